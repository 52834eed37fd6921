/* Read, written and read again a plan is the same, and written again the text is the same. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "plan/plan.h"
#include "same.h"

static char *written(const rn_plan *plan)
{
    rn_error err = {0};
    char *text = NULL;
    check_ok(rn_plan_write(&text, plan, &err), &err);
    return text;
}

static rn_plan *read_text(const char *text)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    if (rn_plan_read(&plan, text, (long)strlen(text), "text", &err))
        fail_msg("%d:%d: %s\n%s", err.line, err.column, err.message, text);
    return plan;
}

static void check_round_trip(const rn_plan *plan)
{
    char *text = written(plan);
    rn_plan *again = read_text(text);
    check_same_plan(plan, again);
    char *text_again = written(again);
    assert_string_equal(text_again, text);
    free(text_again);
    free(text);
    rn_plan_free(again);
}

static void files_survive_being_written(void **state)
{
    (void)state;
    static const char *const paths[] = {"tests/plans/tide-table-full.yaml", "tests/plans/smallest.yaml",
                                        "tests/plans/round-cups.yaml", "tests/plans/laboratory.yaml"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        rn_error err = {0};
        rn_plan *plan = NULL;
        check_ok(rn_plan_read_file(&plan, paths[i], &err), &err);
        check_round_trip(plan);
        rn_plan_free(plan);
    }
}

/* Uneven values as a drag of the hand would leave them. */
static void shake(rn_plan *plan, rn_random *random)
{
    plan->panel.width *= 1 + 0.01 * rn_random_unit(random);
    plan->panel.slope = 0.1 * rn_random_unit(random);
    plan->panel.downhill = 2 * RN_PI * rn_random_unit(random);
    plan->cover *= 1 + rn_random_unit(random);
    for (int i = 0; i < plan->paint_count; i++) {
        plan->paints[i].law.consistency *= 1 + rn_random_unit(random);
        plan->paints[i].law.yield = rn_random_unit(random);
        plan->paints[i].price = 1e6 * rn_random_unit(random);
        plan->paints[i].solids = rn_random_unit(random);
    }
    for (int i = 0; i < plan->pour_count; i++)
        for (int k = 0; k < plan->pours[i].layer_count; k++)
            plan->pours[i].stack[k].volume *= 0.5 + rn_random_unit(random);
    for (int i = 0; i < plan->move_count; i++)
        if (plan->moves[i].kind == RN_MOVE_TILT) {
            plan->moves[i].amount *= 0.1 + 0.9 * rn_random_unit(random);
            plan->moves[i].toward = 2 * RN_PI * rn_random_unit(random);
        }
    for (int i = 0; i < plan->expect_count; i++)
        plan->expects[i].value *= rn_random_unit(random);
}

static void uneven_values_survive_too(void **state)
{
    (void)state;
    rn_random random = rn_random_seeded(2);
    for (int trial = 0; trial < 100; trial++) {
        rn_error err = {0};
        rn_plan *plan = NULL;
        check_ok(rn_plan_read_file(&plan, "tests/plans/tide-table-full.yaml", &err), &err);
        shake(plan, &random);
        check_round_trip(plan);
        rn_plan_free(plan);
    }
}

static void titles_of_any_text_survive(void **state)
{
    (void)state;
    static const char *const titles[] = {"Low tide", "  spaces  ", "\"quoted\" \\ slashed",
                                         "#hash",    "key: value", "- dash",
                                         "'single'", "1e5",        "null",
                                         "{a: b}",   "*alias",     "caf\u00E9 \u2013 f\u00F6hn",
                                         "%percent", "trailing:",  "a #b",
                                         "@at"};
    for (size_t i = 0; i < sizeof titles / sizeof titles[0]; i++) {
        rn_error err = {0};
        rn_plan *plan = NULL;
        check_ok(rn_plan_read_file(&plan, "tests/plans/smallest.yaml", &err), &err);
        snprintf(plan->title, sizeof plan->title, "%s", titles[i]);
        check_round_trip(plan);
        rn_plan_free(plan);
    }
}

static void each_paint_pour_and_move_has_its_line(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, "tests/plans/tide-table-full.yaml", &err), &err);
    char *text = written(plan);
    static const char *const lines[] = {
        "plan: 1\ntitle: Tide table, first try\npanel:\n  size: 304.8 mm x 304.8 mm\n",
        "\n  kelp: {colour: \"#1f7a5c\", viscosity: 1.1 Pa s, density: 1.2 g/ml, tension: 33 mN/m, solids: 35 %, "
        "price: "
        "0.04 per ml}\n",
        "\n  brass: {colour: \"#c9962f\", viscosity: 2 Pa s^n, power: 0.8, yield: 0.6 Pa, density: ",
        "\n  - {paint: slate, volume: 8 ml, at: corners, across: 40 mm}\n",
        "stack: [slate 20 ml, kelp 30 ml, brass 10 ml, kelp 30 ml]}\n",
        "\n  - {start: 60 s, for: 8 s, tilt: 8 deg, ramp: 0.5 s, toward: back right, frame: panel}\n",
        "\nexpect:\n  coverage: at least 99 %\n  run-off: at most 30 ml\n",
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
        if (!strstr(text, lines[i]))
            fail_msg("not written: %s\n%s", lines[i], text);
    free(text);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_survive_being_written),
        cmocka_unit_test(uneven_values_survive_too),
        cmocka_unit_test(titles_of_any_text_survive),
        cmocka_unit_test(each_paint_pour_and_move_has_its_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
