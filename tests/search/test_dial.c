/* The numbers of a plan that a search turns at: their ranges, signs, digits and limits, and plans turned. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "search/dial.h"
#include "search/stand_in.h"

#define RPM (RN_PI / 30)

static const char moves[] = "moves:\n"
                            "  - {start: 5 s, for: 20 s, turn: -6 rpm}\n"
                            "  - {start: 30 s, for: 8 s, tilt: 10 deg, toward: back right}\n"
                            "  - {start: 50 s, for: 10 s, spin: -40 rpm}\n"
                            "  - {start: 70 s, for: 10 s, spin: 30 rpm}\n";

static rn_dial dial_of(const rn_plan *plan, const char *path, const char *from, const char *to)
{
    rn_dial dial = {0};
    rn_error err = {0};
    check_ok(rn_dial_make(&dial, plan, path, from, to, &err), &err);
    return dial;
}

static void check_refused(const rn_plan *plan, const char *path, const char *from, const char *to, const char *says)
{
    rn_dial dial = {.now = 17};
    rn_error err = {0};
    check_status(rn_dial_make(&dial, plan, path, from, to, &err), RN_E_PLAN, &err);
    if (!strstr(err.message, says))
        fail_msg("'%s' does not say '%s'", err.message, says);
    assert_null(strchr(err.message, '\n'));
    assert_true(dial.now == 17); /* untouched */
}

/* An eighth to eight times, or 8 mm all over: 8 mm on 200 cm2 are 160 ml, less than 8 x 100 ml. */
static void the_volume_has_its_range(void **state)
{
    (void)state;
    rn_plan *plan = stand_in_plan(NULL);
    rn_dial dial = dial_of(plan, "poured", NULL, NULL);
    check_close(dial.now, 100e-6, 1e-12);
    check_close(dial.from, 12.5e-6, 1e-12);
    check_close(dial.to, 800e-6, 1e-12);
    assert_true(dial.logarithmic && !dial.negative && !dial.whole && !dial.with_base);
    assert_int_equal(dial.dimension, RN_DIM_VOLUME);
    rn_error err = {0};
    check_ok(rn_plan_set(plan, "poured", "10 ml", &err), &err);
    dial = dial_of(plan, "poured", NULL, NULL);
    check_close(dial.to, 160e-6, 1e-12); /* now 8 mm are more than 80 ml */
    dial = dial_of(plan, "poured", "9 ml", "12 ml");
    check_close(dial.from, 9e-6, 1e-12);
    check_close(dial.to, 12e-6, 1e-12);
    assert_false(dial.logarithmic);                  /* a short range is gone through by steps */
    dial = dial_of(plan, "poured", "50 ml", "5 ml"); /* either way round */
    check_close(dial.from, 5e-6, 1e-12);
    check_close(dial.to, 50e-6, 1e-12);
    rn_plan_free(plan);
}

static void others_go_sixteen_times_within_their_keys(void **state)
{
    (void)state;
    rn_plan *plan = stand_in_plan(moves);
    rn_dial dial = dial_of(plan, "pours.1.across", NULL, NULL);
    check_close(dial.from, 2.5e-3, 1e-12);
    check_close(dial.to, 640e-3, 1e-12);
    dial = dial_of(plan, "moves.2.tilt", NULL, NULL);
    check_close(dial.to, 90 * RN_PI / 180, 1e-12); /* not 160 deg */
    dial = dial_of(plan, "panel.slope", NULL, NULL);
    assert_true(dial.now == 0 && dial.from == 0); /* of nothing: the key's whole range */
    check_close(dial.to, 30 * RN_PI / 180, 1e-12);
    assert_false(dial.logarithmic);
    dial = dial_of(plan, "pours.1.lifts", NULL, NULL);
    assert_true(dial.whole && !dial.logarithmic && dial.from == 1 && dial.to == 16);
    rn_plan_free(plan);
}

/* A turn clockwise stays one: what is least is its speed. */
static void clockwise_stays_clockwise(void **state)
{
    (void)state;
    char text[60];
    rn_plan *plan = stand_in_plan(moves), *turned = NULL;
    rn_error err = {0};
    rn_dial dial = dial_of(plan, "moves.3.spin", NULL, NULL);
    assert_true(dial.negative);
    check_close(dial.now, 40 * RPM, 1e-12);
    check_close(dial.from, 2.5 * RPM, 1e-9);
    check_close(dial.to, 640 * RPM, 1e-9);
    rn_dial_text(text, sizeof text, &dial, 25 * RPM);
    assert_string_equal(text, "-25 rpm");
    check_ok(rn_dial_turn(&turned, &dial, plan, 25 * RPM, &err), &err);
    check_close(turned->moves[2].amount, -25 * RPM, 1e-12);
    check_close(plan->moves[2].amount, -40 * RPM, 1e-12);
    rn_plan_free(turned);
    dial = dial_of(plan, "moves.3.spin", "10 rpm", "-90 rpm"); /* as speeds, however they are written */
    check_close(dial.from, 10 * RPM, 1e-9);
    check_close(dial.to, 90 * RPM, 1e-9);
    dial = dial_of(plan, "moves.1.turn", NULL, NULL);
    check_close(dial.to, 60 * RPM, 1e-9); /* the key's own bound, of the other sign */
    rn_plan_free(plan);
}

static void the_table_is_not_driven_too_fast(void **state)
{
    (void)state;
    char text[600];
    snprintf(text, sizeof text, "%slimits: {spin: 123.4567 rpm}\n", moves);
    rn_plan *plan = stand_in_plan(text);
    rn_dial dial = dial_of(plan, "moves.4.spin", NULL, NULL);
    check_at_most(dial.to, plan->limits.spin); /* four digits would be 123.5 rpm */
    check_close(dial.to, 123.4567 * RPM, 1e-3);
    dial = dial_of(plan, "moves.3.spin", "20 rpm", "500 rpm");
    check_at_most(dial.to, plan->limits.spin);
    dial = dial_of(plan, "moves.1.turn", NULL, NULL);
    check_close(dial.to, 60 * RPM, 1e-9); /* a turn is by hand */
    check_refused(plan, "moves.4.spin", "200 rpm", "300 rpm", "is no range to search");
    rn_plan_free(plan);
}

static void values_have_four_digits(void **state)
{
    (void)state;
    rn_plan *plan = stand_in_plan(moves);
    rn_dial dial = dial_of(plan, "poured", NULL, NULL);
    char text[60];
    check_close(rn_dial_round(&dial, 123.456789e-6), 123.5e-6, 1e-12);
    check_close(rn_dial_round(&dial, 0.0123449e-6), 0.01234e-6, 1e-12);
    rn_dial_text(text, sizeof text, &dial, rn_dial_round(&dial, 123.456789e-6));
    assert_string_equal(text, "123.5 ml");
    dial = dial_of(plan, "moves.4.spin", NULL, NULL);
    check_close(rn_dial_round(&dial, 33.33333 * RPM), 33.33 * RPM, 1e-12);
    dial = dial_of(plan, "pours.1.lifts", NULL, NULL);
    assert_true(rn_dial_round(&dial, 3.5001) == 4 && rn_dial_round(&dial, 3.4) == 3);
    rn_plan_free(plan);
}

/* What is printed is what was tried: a value written and set is that value. */
static void what_is_written_is_what_is_set(void **state)
{
    (void)state;
    static const char *const paths[] = {
        "poured",        "consistency",           "panel.advance",       "panel.slope",  "cover",
        "end",           "paints.silt.viscosity", "paints.silt.density", "pours.1.open", "pours.1.width",
        "pours.1.lifts", "pours.1.stack.silt",    "moves.1.turn",        "moves.2.tilt", "moves.2.for",
        "moves.3.spin",  "moves.4.start",         "paints.silt.yield"};
    char text[600];
    snprintf(text, sizeof text, "%send: 200 s\n", moves);
    rn_plan *plan = stand_in_plan(text);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        rn_dial dial = dial_of(plan, paths[i], NULL, NULL);
        check_at_most(dial.from, dial.now);
        check_at_least(dial.to, dial.now);
        for (int k = 0; k <= 20; k++) {
            rn_plan *turned = NULL;
            rn_plan_number number;
            rn_error err = {0};
            const double value = rn_dial_round(&dial, dial.from + k / 20.0 * (dial.to - dial.from));
            if (rn_dial_turn(&turned, &dial, plan, value, &err))
                continue; /* a move that would overlap another, an end before a pour: no plan */
            check_ok(rn_plan_number_at(&number, turned, paths[i], &err), &err);
            check_close(number.value, dial.negative ? -value : value, 1e-9);
            rn_plan_free(turned);
        }
    }
    rn_plan_free(plan);
}

/* At what the plan says, the plan is as it was. */
static void turned_to_now_is_the_plan(void **state)
{
    (void)state;
    rn_plan *plan = stand_in_plan(moves), *turned = NULL;
    rn_error err = {0};
    static const char *const paths[] = {"poured", "moves.3.spin", "moves.2.tilt", "pours.1.across"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const rn_dial dial = dial_of(plan, paths[i], NULL, NULL);
        check_ok(rn_dial_turn(&turned, &dial, plan, dial.now, &err), &err);
        check_close(rn_plan_poured_all(turned), rn_plan_poured_all(plan), 1e-12);
        for (int m = 0; m < plan->move_count; m++)
            check_within(turned->moves[m].amount, plan->moves[m].amount, 1e-12);
        check_close(turned->pours[0].across, plan->pours[0].across, 1e-12);
        rn_plan_free(turned);
    }
    rn_plan_free(plan);
}

static void base_coats_are_scaled_if_asked(void **state)
{
    (void)state;
    rn_plan *plan =
        stand_in_plan("base:\n  - {paint: silt, depth: 0.4 mm}\n  - {paint: silt, volume: 8 ml, at: corners}\n");
    rn_plan *turned = NULL;
    rn_error err = {0};
    rn_dial dial = dial_of(plan, "poured", NULL, NULL);
    check_ok(rn_dial_turn(&turned, &dial, plan, 150e-6, &err), &err);
    check_close(rn_plan_poured_all(turned), 150e-6, 1e-12);
    check_close(turned->pours[0].stack[0].volume, 90e-6, 1e-12); /* shares are kept */
    check_close(turned->bases[0].depth, 0.4e-3, 1e-12);
    check_close(turned->bases[1].volume, 8e-6, 1e-12);
    rn_plan_free(turned);
    dial.with_base = true;
    check_ok(rn_dial_turn(&turned, &dial, plan, 150e-6, &err), &err);
    check_close(turned->bases[0].depth, 0.6e-3, 1e-12);
    check_close(turned->bases[1].volume, 12e-6, 1e-12);
    assert_true(isnan(turned->bases[0].volume) && isnan(turned->bases[1].depth));
    rn_plan_free(turned);
    rn_plan_free(plan);
}

static void what_is_refused(void **state)
{
    (void)state;
    char longer[200];
    rn_plan *plan = stand_in_plan(moves);
    memset(longer, 'a', sizeof longer);
    longer[sizeof longer - 1] = '\0';
    check_refused(plan, "moves.9.spin", NULL, NULL, "'moves.9.spin' is no number of this plan");
    check_refused(plan, "moves.2.spin", NULL, NULL, "is no number"); /* it is a tilt */
    check_refused(plan, "title", NULL, NULL, "is no number");
    check_refused(plan, "paints.silt.colour", NULL, NULL, "is no number");
    check_refused(plan, "", NULL, NULL, "");
    check_refused(plan, longer, NULL, NULL, "");
    check_refused(plan, "poured", "plenty", NULL, "poured: ");
    check_refused(plan, "poured", "10 mm", NULL, "poured: ");
    check_refused(plan, "poured", NULL, "nan ml", "poured: ");
    check_refused(plan, "poured", "80 ml", "80 ml", "poured from 80 ml to 80 ml is no range to search");
    check_refused(plan, "poured", "-80 ml", "100 ml", "is no range to search");
    check_refused(plan, "moves.2.tilt", "100 deg", "120 deg", "is no range to search");
    rn_error err = {0};
    rn_dial dial = dial_of(plan, "moves.3.for", NULL, NULL);
    rn_plan *turned = NULL;
    check_status(rn_dial_turn(&turned, &dial, plan, 60, &err), RN_E_PLAN, &err); /* runs into the next move */
    assert_null(turned);
    check_close(plan->moves[2].duration, 10, 1e-12);
    rn_plan_free(plan);
}

static void nothing_poured_nothing_to_look_for(void **state)
{
    (void)state;
    static const char text[] =
        "plan: 1\npanel: {size: 20 cm x 20 cm}\npaints: {silt: }\nbase: [{paint: silt, depth: 1 mm}]\nend: 10 s\n";
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "base.yaml", &err), &err);
    check_refused(plan, "poured", NULL, NULL, "nothing is poured in this plan");
    rn_plan_free(plan);
}

/* Only what was asked for and is not taken counts as cut. */
static void a_range_that_is_cut_is_told(void **state)
{
    (void)state;
    static const struct {
        const char *path, *from, *to;
        bool cut;
    } cases[] = {
        {"moves.2.tilt", "-5 deg", "200 deg", true}, {"moves.2.tilt", "5 deg", "200 deg", true},
        {"moves.2.tilt", "200 deg", "5 deg", true},  {"moves.2.tilt", "-5 deg", NULL, true},
        {"moves.2.tilt", "5 deg", "90 deg", false},  {"moves.2.tilt", "5 deg", NULL, false},
        {"moves.2.tilt", NULL, NULL, false},         {"poured", "1 ml", "9000 ml", false},
        {"moves.3.spin", "20 rpm", "60 rpm", false}, {"moves.3.spin", "20 rpm", "1e6 rpm", true},
    };
    rn_plan *plan = stand_in_plan(moves);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        assert_int_equal(dial_of(plan, cases[i].path, cases[i].from, cases[i].to).cut, cases[i].cut);
    plan->limits.spin = 50 * RPM;
    assert_true(dial_of(plan, "moves.3.spin", "20 rpm", "60 rpm").cut);
    rn_plan_free(plan);
}

/* Each pair and whether one undoes the other, told by what the keys mean. */
static void dials_that_speak_of_the_same(void **state)
{
    (void)state;
    static const struct {
        const char *one, *other;
        bool alike;
    } pairs[] = {
        {"poured", "poured", true},
        {"poured", "pours.1.stack.1", true},
        {"poured", "pours.1.stack.silt", true},
        {"pours.1.stack.1", "pours.1.stack.samphire", true},
        {"pours.1.stack.1", "pours.1.stack.2", false},
        {"consistency", "paints.silt.viscosity", true},
        {"paints.silt.viscosity", "paints.samphire.viscosity", false},
        {"pours.1.lifts", "pours.ring.lifts", true},
        {"pours.1.lifts", "pours.1.across", false},
        {"poured", "consistency", false},
        {"poured", "base.1.depth", false},
        {"panel.slope", "panel.downhill", false},
        {"moves.4.for", "end", false}, /* the end follows the last move, and not the other way round */
        {"moves.3.spin", "moves.4.spin", false},
    };
    rn_plan *plan = stand_in_plan("base: [{paint: silt, depth: 0.3 mm}]\nmoves:\n"
                                  "  - {start: 5 s, for: 20 s, turn: -6 rpm}\n"
                                  "  - {start: 30 s, for: 8 s, tilt: 10 deg, toward: back right}\n"
                                  "  - {start: 50 s, for: 10 s, spin: -40 rpm}\n"
                                  "  - {start: 70 s, for: 10 s, spin: 30 rpm}\n");
    snprintf(plan->pours[0].name, sizeof plan->pours[0].name, "ring");
    plan->panel.slope = 0.2 * RN_DEGREE;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const bool wide = strncmp(pairs[i].other, "panel", 5) == 0;
        const rn_dial one = dial_of(plan, pairs[i].one, NULL, NULL);
        const rn_dial other = dial_of(plan, pairs[i].other, wide ? "10 deg" : NULL, wide ? "300 deg" : NULL);
        if (rn_dial_alike(&one, &other, plan) != pairs[i].alike || rn_dial_alike(&other, &one, plan) != pairs[i].alike)
            fail_msg("%s and %s", pairs[i].one, pairs[i].other);
    }
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_volume_has_its_range),
        cmocka_unit_test(others_go_sixteen_times_within_their_keys),
        cmocka_unit_test(clockwise_stays_clockwise),
        cmocka_unit_test(the_table_is_not_driven_too_fast),
        cmocka_unit_test(values_have_four_digits),
        cmocka_unit_test(what_is_written_is_what_is_set),
        cmocka_unit_test(turned_to_now_is_the_plan),
        cmocka_unit_test(base_coats_are_scaled_if_asked),
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(nothing_poured_nothing_to_look_for),
        cmocka_unit_test(a_range_that_is_cut_is_told),
        cmocka_unit_test(dials_that_speak_of_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
