/* Up to when two plans are the same pour: answers that can be read off the plans. */
#include "check.h"

#include <string.h>

#include "plan/plan.h"

static const char plain[] =
    "plan: 1\n"
    "panel: {size: 20 cm x 16 cm, edges: clean}\n"
    "paints: {slate: {viscosity: 1 Pa s}, foam: {viscosity: 1 Pa s}}\n"
    "base: [{paint: foam, volume: 4 ml, at: corners, across: 30 mm}, {paint: foam, depth: 0.2 mm}]\n"
    "pours:\n"
    "  - {across: 50 mm, width: 8 mm, start: 1 s, lifts: 3, every: 2 s, open: 1 s, uneven: 5 %, stack: [slate 31 ml]}\n"
    "  - {from: cup, at: 40 mm left 0 mm back, across: 40 mm, start: 11 s, open: 2 s, stack: [slate 5 ml, foam 7 ml]}\n"
    "moves:\n"
    "  - {start: 8 s, for: 6 s, tilt: 9 deg, toward: right, ramp: 1 s}\n"
    "  - {start: 2 s, for: 4 s, turn: 6 rpm, ramp: 1 s}\n"
    "  - {start: 16 s, for: 4 s, spin: 30 rpm, ramp: 0.5 s}\n"
    "  - {start: 22 s, for: 2 s, rest: yes}\n"
    "limits: {spin: 60 rpm}\n"
    "end: 30 s\n"
    "expect: {coverage: at least 99 %}\n";

static rn_plan *read_plan(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "test", &err), &err);
    return plan;
}

/* What one setting of one value leaves in common. */
static double until(const char *text, const char *path, const char *value)
{
    rn_plan *a = read_plan(text), *b = read_plan(text);
    rn_error err = {0};
    check_ok(rn_plan_set(b, path, value, &err), &err);
    const double there = rn_plan_agree_until(a, b), back = rn_plan_agree_until(b, a);
    assert_true(back == there);
    rn_plan_free(a);
    rn_plan_free(b);
    return there;
}

static void a_plan_is_itself(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = rn_plan_copy(a);
    assert_true(isinf(rn_plan_agree_until(a, a)));
    assert_true(isinf(rn_plan_agree_until(a, b)));
    rn_plan_free(a);
    rn_plan_free(b);
}

static void what_no_paint_flows_by_never_matters(void **state)
{
    (void)state;
    static const char *const settings[][2] = {
        {"title", "Ebb"},           {"paints.slate.colour", "2b3a55"}, {"paints.slate.price", "0.1 per ml"},
        {"limits.spin", "50 rpm"},  {"limits.stretch", "3"},           {"paints.foam.solids", "30 %"},
        {"panel.downhill", "left"}, {"pours.1.name", "tide"},          {"pours.2.seed", "4"},
        {"panel.side", "12 mm"}};
    for (size_t k = 0; k < sizeof settings / sizeof *settings; k++)
        if (!isinf(until(plain, settings[k][0], settings[k][1])))
            fail_msg("%s: %s counts", settings[k][0], settings[k][1]);
}

static void the_panel_and_the_liquid_matter_from_the_start(void **state)
{
    (void)state;
    static const char *const settings[][2] = {
        {"panel.size", "21 cm x 16 cm"},
        {"panel.edges", "walls"},
        {"panel.advance", "30 deg"},
        {"panel.slope", "1 deg"},
        {"cover", "0.2 mm"},
        {"paints.foam.viscosity", "1.1 Pa s"},
        {"paints.slate.density", "1.3 g/ml"},
        {"paints.slate.tension", "30 mN/m"},
        {"base.1.volume", "5 ml"},
        {"base.2.depth", "0.3 mm"},
        {"base.1.across", "25 mm"},
        {"paints.foam.yield", "0.2 Pa"},
    };
    for (size_t k = 0; k < sizeof settings / sizeof *settings; k++)
        check_within(until(plain, settings[k][0], settings[k][1]), 0, 0);
}

static void pours_matter_from_their_start(void **state)
{
    (void)state;
    check_within(until(plain, "pours.2.start", "12 s"), 11, 0);
    check_within(until(plain, "pours.2.start", "9 s"), 9, 0);
    check_within(until(plain, "pours.2.across", "44 mm"), 11, 0);
    check_within(until(plain, "pours.2.from", "rim"), 11, 0);
    check_within(until(plain, "pours.2.open", "1.5 s"), 11, 0);
    check_within(until(plain, "pours.1.uneven", "6 %"), 1, 0);
    check_within(until(plain, "pours.1.seed", "9"), 1, 0);
    check_within(until(plain, "pours.1.every", "2.5 s"), 3, 0); /* the second burst */
    check_within(until(plain, "pours.1.lifts", "4"), 1, 0);     /* all are smaller then */
}

/* Paints that flow alike mix to the same liquid whatever there is of each. */
static void volumes_matter_from_the_pour_on(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = read_plan(plain);
    for (int k = 1; k < 20; k++) {
        b->pours[1].stack[1].volume = 1.37e-6 * k;
        check_within(rn_plan_agree_until(a, b), 11, 0);
    }
    rn_plan_free(a);
    rn_plan_free(b);
}

static void sizes_matter_from_the_first_burst_that_differs(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = read_plan(plain);
    const double first[] = {4, 1, 3}, second[] = {4, 3, 1};
    a->pours[0].size_count = b->pours[0].size_count = 3;
    memcpy(a->pours[0].sizes, first, sizeof first);
    memcpy(b->pours[0].sizes, second, sizeof second);
    check_within(rn_plan_agree_until(a, b), 3, 0);
    rn_plan_free(a);
    rn_plan_free(b);
}

static void moves_matter_when_the_panel_moves_otherwise(void **state)
{
    (void)state;
    check_within(until(plain, "moves.1.tilt", "8 deg"), 8, 0);
    check_within(until(plain, "moves.1.toward", "left"), 8, 0);
    check_within(until(plain, "moves.1.frame", "room"), 8, 0);
    check_within(until(plain, "moves.1.ramp", "0.5 s"), 8, 0);
    check_within(until(plain, "moves.1.start", "7 s"), 7, 0);
    check_within(until(plain, "moves.1.start", "9 s"), 8, 0);
    check_within(until(plain, "moves.1.for", "8 s"), 13, 0);   /* 14 s less the ramp */
    check_within(until(plain, "moves.3.for", "3 s"), 18.5, 0); /* 19 s less half a second */
    check_within(until(plain, "moves.3.spin", "40 rpm"), 16, 0);
    check_within(until(plain, "moves.2.turn", "-6 rpm"), 2, 0);
    check_within(until(plain, "moves.4.start", "23 s"), 22, 0); /* steps end where a rest does */
}

static void a_later_end_is_the_same_until_the_earlier(void **state)
{
    (void)state;
    check_within(until(plain, "end", "40 s"), 30, 0);
    check_within(until(plain, "end", "26 s"), 26, 0);
}

static void moves_that_are_added_matter_when_they_begin(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = read_plan(plain);
    b->moves[b->move_count++] = (rn_move){.kind = RN_MOVE_TILT, .start = 24.5, .duration = 2, .amount = 0.1};
    check_within(rn_plan_agree_until(a, b), 24.5, 0);
    check_within(rn_plan_agree_until(b, a), 24.5, 0);
    a->moves[a->move_count++] = (rn_move){.kind = RN_MOVE_TILT, .start = 24.5, .duration = 4, .amount = 0.1};
    check_within(rn_plan_agree_until(a, b), 26.5, 0);
    rn_plan_free(a);
    rn_plan_free(b);
}

static void swap_moves(rn_plan *plan, int p, int q)
{
    const rn_move kept = plan->moves[p];
    plan->moves[p] = plan->moves[q];
    plan->moves[q] = kept;
}

/* Of moves the list's order does not matter, but for turns: the angle turned is summed in that order. */
static void the_order_of_moves(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = read_plan(plain);
    swap_moves(b, 0, 1);
    assert_true(isinf(rn_plan_agree_until(a, b)));
    swap_moves(b, 2, 3);
    assert_true(isinf(rn_plan_agree_until(a, b)));
    swap_moves(b, 0, 3);
    check_within(rn_plan_agree_until(a, b), 16, 0); /* the second turn begins */
    rn_plan_free(a);
    rn_plan_free(b);
}

static void a_pour_that_is_taken_out_mattered_from_its_start(void **state)
{
    (void)state;
    rn_plan *a = read_plan(plain), *b = read_plan(plain);
    b->pour_count = 1;
    check_within(rn_plan_agree_until(a, b), 11, 0);
    check_within(rn_plan_agree_until(b, a), 11, 0);
    rn_plan_free(a);
    rn_plan_free(b);
}

static const char layered[] =
    "plan: 1\n"
    "panel: {size: 20 cm x 16 cm, edges: clean}\n"
    "paints: {slate: {viscosity: 1 Pa s}, foam: {viscosity: 1 Pa s}, brass: {viscosity: 3 Pa s}}\n"
    "base: [{paint: foam, depth: 0.2 mm}]\n"
    "pours:\n"
    "  - {across: 50 mm, start: 1 s, open: 4 s, stack: [slate 16 ml, brass 8 ml]}\n"
    "  - {from: cup, across: 40 mm, start: 11 s, open: 2 s, stack: [slate 4 ml, foam 4 ml, brass 8 ml]}\n"
    "end: 30 s\n";

/* Where the paints differ in law, what comes out when tells how the film flows. */
static void the_order_of_laws_matters_from_the_pour_on(void **state)
{
    (void)state;
    rn_plan *a = read_plan(layered), *b = read_plan(layered);
    rn_layer *stack = b->pours[1].stack;
    stack[0].paint = 1; /* foam before slate: one law */
    stack[1].paint = 0;
    assert_true(isinf(rn_plan_agree_until(a, b)));
    stack[0] = (rn_layer){2, 8e-6};
    stack[2] = (rn_layer){1, 4e-6};
    check_within(rn_plan_agree_until(a, b), 11, 0);
    b->pours[1] = a->pours[1];
    b->bases[0].paint = 0;
    assert_true(isinf(rn_plan_agree_until(a, b)));
    b->bases[0].paint = 2;
    check_within(rn_plan_agree_until(a, b), 0, 0);
    b->bases[0].paint = 1;
    b->pours[1].stack[0].volume = 5e-6; /* another mixture */
    check_within(rn_plan_agree_until(a, b), 0, 0);
    rn_plan_free(a);
    rn_plan_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_is_itself),
        cmocka_unit_test(what_no_paint_flows_by_never_matters),
        cmocka_unit_test(the_panel_and_the_liquid_matter_from_the_start),
        cmocka_unit_test(pours_matter_from_their_start),
        cmocka_unit_test(volumes_matter_from_the_pour_on),
        cmocka_unit_test(sizes_matter_from_the_first_burst_that_differs),
        cmocka_unit_test(moves_matter_when_the_panel_moves_otherwise),
        cmocka_unit_test(a_later_end_is_the_same_until_the_earlier),
        cmocka_unit_test(moves_that_are_added_matter_when_they_begin),
        cmocka_unit_test(the_order_of_moves),
        cmocka_unit_test(a_pour_that_is_taken_out_mattered_from_its_start),
        cmocka_unit_test(the_order_of_laws_matters_from_the_pour_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
