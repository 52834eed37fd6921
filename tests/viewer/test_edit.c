/* Changes to a plan: cases with answers known beforehand. */
#include "base/physical.h"
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "edit.h"
#include "tidy.h"

#define ML 1e-6

static double between(rn_random *random, double least, double most)
{
    return least + (most - least) * rn_random_unit(random);
}

static char *text_of(const rn_plan *plan)
{
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    return text;
}

static const char two[] = "plan: 1\n"
                          "panel: {size: 30 cm x 30 cm}\n"
                          "paints: {slate: {viscosity: 1 Pa s}, foam: {viscosity: 2 Pa s, yield: 1 Pa}, kelp: {}}\n"
                          "pours:\n"
                          "  - {lifts: 4, every: 5 s, open: 2 s, stack: [slate 20 ml, foam 30 ml, slate 40 ml]}\n"
                          "  - {start: 30 s, from: cup, across: 40 mm, stack: [foam 10 ml]}\n"
                          "moves:\n"
                          "  - {start: 10 s, for: 10 s, turn: 6 rpm}\n"
                          "  - {start: 30 s, for: 10 s, spin: 60 rpm}\n"
                          "  - {start: 15 s, for: 5 s, tilt: 4 deg, toward: right}\n";

static rn_plan *made(void)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, two, (long)strlen(two), "test", &err), &err);
    return plan;
}

static void volumes_of_jars(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_jar_volume(plan, 0), 60 * ML, 1e-15);
    check_within(edit_jar_volume(plan, 1), 40 * ML, 1e-15);
    edit_set_jar_volume(plan, 0, 30 * ML); /* in proportion */
    check_within(plan->pours[0].stack[0].volume, 10 * ML, 1e-15);
    check_within(plan->pours[0].stack[2].volume, 20 * ML, 1e-15);
    edit_set_jar_volume(plan, 1, 100 * ML);
    check_within(plan->pours[0].stack[1].volume, 75 * ML, 1e-15);
    check_within(plan->pours[1].stack[0].volume, 25 * ML, 1e-15);
    edit_set_jar_volume(plan, 2, 12 * ML); /* it had no place yet: last out of the first pour */
    assert_int_equal(plan->pours[0].layer_count, 4);
    assert_int_equal(plan->pours[0].stack[3].paint, 2);
    check_within(edit_jar_volume(plan, 2), 12 * ML, 1e-15);
    edit_set_jar_volume(plan, 0, 10 * ML); /* thirds: written in millilitres a person can read, and still the sum */
    char *text = text_of(plan);
    assert_non_null(strstr(text, "slate 3.333 ml"));
    assert_non_null(strstr(text, "slate 6.667 ml"));
    check_within(edit_jar_volume(plan, 0), 10 * ML, 1e-15);
    free(text);
    rn_plan_free(plan);
}

/* By rn_law_viscosity at 1/s: 2 Pa s + 1 Pa is 3 Pa s there. */
static void consistency_of_jars(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_jar_viscosity(plan, 1), 3, 1e-12);
    edit_set_jar_viscosity(plan, 1, 6);
    check_within(plan->paints[1].law.consistency, 4, 1e-12);
    check_within(plan->paints[1].law.yield, 2, 1e-12);
    edit_set_jar_viscosity(plan, 0, 1.23456);
    check_within(plan->paints[0].law.consistency, 1.23, 1e-12);
    edit_scale_viscosity(plan, 0.5);
    check_within(plan->paints[0].law.consistency, 0.615, 1e-12);
    check_within(plan->paints[1].law.yield, 1, 1e-12);
    rn_plan_free(plan);
}

static void jars_change_places(void **state)
{
    (void)state;
    rn_plan *plan = made();
    int order[RN_PAINTS_MOST];
    assert_int_equal(edit_shelf_order(order, plan), 3);
    assert_int_equal(order[0], 0);
    edit_move_jar(plan, 0, 1); /* slate to where foam stands: each keeps its volume in the stack that holds both */
    edit_shelf_order(order, plan);
    assert_int_equal(order[0], 1);
    assert_int_equal(plan->pours[0].stack[0].paint, 1);
    assert_int_equal(plan->pours[0].stack[1].paint, 0);
    assert_int_equal(plan->pours[0].stack[2].paint, 1);
    check_within(plan->pours[0].stack[0].volume, 10 * ML, 1e-15); /* 20 : 40 of 30 */
    check_within(plan->pours[0].stack[1].volume, 60 * ML, 1e-15);
    check_within(plan->pours[0].stack[2].volume, 20 * ML, 1e-15);
    assert_int_equal(plan->pours[1].stack[0].paint, 1); /* where only one of them is, nothing changes */
    check_within(plan->pours[1].stack[0].volume, 10 * ML, 1e-15);
    edit_move_jar(plan, 2, 1); /* kelp is in no stack: it cannot stand before what is poured */
    edit_shelf_order(order, plan);
    assert_int_equal(order[2], 2);
    rn_plan_free(plan);
}

/* From end to end of a stack of six: the others keep their order. */
static void a_jar_passes_one_neighbour_after_the_other(void **state)
{
    (void)state;
    static const char six[] = "plan: 1\npanel: {size: 30 cm x 30 cm}\n"
                              "paints: {a: {}, b: {}, c: {}, d: {}, e: {}, f: {}}\n"
                              "pours: [{stack: [a 1 ml, b 2 ml, c 3 ml, d 4 ml, e 5 ml, f 6 ml]}]\n";
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, six, (long)strlen(six), "test", &err), &err);
    edit_move_jar(plan, 5, 0);
    static const int wanted[] = {5, 0, 1, 2, 3, 4};
    int order[RN_PAINTS_MOST];
    assert_int_equal(edit_shelf_order(order, plan), 6);
    for (int k = 0; k < 6; k++) {
        assert_int_equal(order[k], wanted[k]);
        check_within(edit_jar_volume(plan, k), (k + 1) * ML, 1e-15);
    }
    edit_move_jar(plan, 5, 2);
    edit_shelf_order(order, plan);
    assert_int_equal(order[3], 5);
    rn_plan_free(plan);
}

static void moves_stop_where_they_touch(void **state)
{
    (void)state;
    rn_plan *plan = made();
    edit_shift_move(plan, 0, 27); /* a turn before a spin: one axis */
    check_within(plan->moves[0].start, 20, 1e-12);
    edit_stretch_move(plan, 0, 20, 99);
    check_within(plan->moves[0].duration, 10, 1e-12);
    edit_stretch_move(plan, 1, 3, 40);
    check_within(plan->moves[1].start, 30, 1e-12);
    edit_shift_move(plan, 2, -4);
    check_within(plan->moves[2].start, 0, 0);
    assert_int_equal(edit_add_move(plan, RN_MOVE_TURN, 25, 3), -1);
    const int added = edit_add_move(plan, RN_MOVE_TILT, 6, 8);
    assert_true(added >= 0);
    edit_stretch_move(plan, 2, 0, 20);
    check_within(plan->moves[2].duration, 6, 1e-12);
    edit_set_amount(plan, added, 10);
    check_within(plan->moves[added].amount, 0.5 * RN_PI, 1e-12); /* upright */
    edit_set_amount(plan, 0, -1000);
    check_within(plan->moves[0].amount, -60 * RN_PI / 30, 1e-12);
    double from, to;
    assert_true(edit_gap(&from, &to, plan, RN_MOVE_SPIN, 12));
    check_within(from, 0, 0);
    check_within(to, 20, 1e-12);
    assert_false(edit_gap(&from, &to, plan, RN_MOVE_TURN, 35));
    rn_plan_free(plan);
}

static void a_given_end_makes_room(void **state)
{
    (void)state;
    rn_plan *plan = made();
    plan->end_given = true;
    plan->end = 50;
    edit_shift_move(plan, 2, 60);
    check_within(plan->end, 65, 1e-12);
    edit_shift_pour(plan, 1, 100);
    check_within(plan->end, 102, 1e-12);
    rn_plan_free(plan);
}

static void bursts_keep_theirs(void **state)
{
    (void)state;
    rn_plan *plan = made(); /* 90 ml in four */
    check_within(edit_burst_volume(plan, 0, 2), 22.5 * ML, 1e-15);
    edit_set_burst_volume(plan, 0, 2, 32.5 * ML);
    check_within(edit_burst_volume(plan, 0, 2), 32.5 * ML, 1e-12);
    check_within(edit_burst_volume(plan, 0, 0), 22.5 * ML, 1e-12);
    check_within(edit_jar_volume(plan, 0), 60 * ML * 100 / 90, 0.001 * ML);
    edit_set_burst_count(plan, 0, 5);
    assert_int_equal(plan->pours[0].size_count, 5);
    check_within(edit_burst_volume(plan, 0, 4), 20 * ML, 1e-12); /* 25 of 125, of 100 ml */
    check_within(edit_burst_volume(plan, 0, 2), 26 * ML, 1e-12);
    edit_set_burst_count(plan, 0, 1);
    check_within(edit_burst_volume(plan, 0, 0), 100 * ML, 1e-12);
    rn_plan_free(plan);
}

static void pours_stretch_and_stay_apart(void **state)
{
    (void)state;
    rn_plan *plan = made();
    edit_stretch_pour(plan, 0, 32);
    check_within(plan->pours[0].every, 10, 1e-12);
    edit_stretch_pour(plan, 0, 3);
    check_within(plan->pours[0].every, 2, 1e-12); /* bursts that touch */
    edit_set_burst_open(plan, 0, 9);
    check_within(plan->pours[0].open, 2, 1e-12);
    edit_set_burst_open(plan, 1, 9);
    check_within(plan->pours[1].open, 9, 1e-12);
    rn_plan_free(plan);
}

static void rings_stop_where_they_must(void **state)
{
    (void)state;
    rn_plan *plan = made();
    double inner, outer;
    edit_get_ring(&inner, &outer, plan, 0); /* 70 mm across, 10 mm wide */
    check_within(inner, 30e-3, 1e-12);
    check_within(outer, 40e-3, 1e-12);
    edit_set_ring(plan, 0, 30e-3, 60e-3);
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(inner, 30e-3, 1e-12);
    check_within(outer, 60e-3, 1e-12);
    edit_set_ring(plan, 0, 5e-3, 60e-3); /* at most half as wide as the rim's radius */
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(inner, 20e-3, 1e-12);
    check_within(outer, 60e-3, 1e-12);
    edit_place_pour(plan, 0, 1, 0);
    check_within(plan->pours[0].at.x, 90e-3, 1e-12); /* 150 mm less its reach */
    edit_set_ring(plan, 0, 50e-3, 1);
    edit_set_ring(plan, 0, 50e-3, 1);
    edit_get_ring(&inner, &outer, plan, 0);
    check_within(outer, 60e-3, 1e-12); /* the panel's edge */
    edit_place_pour(plan, 0, 3e-3, 3e-3);
    assert_false(plan->pours[0].at.point);
    rn_plan_free(plan);
}

static void a_coat_of_paint(void **state)
{
    (void)state;
    rn_plan *plan = made();
    check_within(edit_base_depth(plan), 0, 0);
    edit_set_base_depth(plan, 0.25e-3);
    check_within(edit_base_depth(plan), 0.25e-3, 1e-15);
    assert_int_equal(plan->base_count, 1);
    edit_set_base_depth(plan, 0);
    assert_int_equal(plan->base_count, 0);
    plan->base_count = 1; /* by volume: 45 ml over 30 cm x 30 cm is 0.5 mm */
    plan->bases[0] = (rn_base){.kind = RN_BASE_ALL, .volume = 45 * ML, .depth = NAN};
    check_within(edit_base_depth(plan), 0.5e-3, 1e-15);
    edit_remove_jar(plan, 0);
    assert_int_equal(plan->base_count, 0);
    assert_int_equal(plan->paint_count, 2);
    assert_int_equal(plan->pours[0].layer_count, 1);
    assert_int_equal(plan->pours[1].stack[0].paint, 0); /* foam moved up */
    edit_remove_jar(plan, 0);
    assert_int_equal(plan->pour_count, 0);
    rn_plan_free(plan);
}

/* Rounded numbers are those that reading them gives, so that plan and file are the same to the last bit. */
static void tidy_numbers_are_read_the_same(void **state)
{
    (void)state;
    static const struct {
        rn_dimension dimension;
        double most;
        int decimals;
    } kinds[] = {{RN_DIM_VOLUME, 5e-3, 3}, {RN_DIM_TIME, 4000, 2},  {RN_DIM_ANGLE, 6.28, 2},
                 {RN_DIM_RATE, 300, 2},    {RN_DIM_LENGTH, 3, 1},   {RN_DIM_VISCOSITY, 50, 3},
                 {RN_DIM_STRESS, 50, 3},   {RN_DIM_PLAIN, 1000, 3}, {RN_DIM_ANGLE, 1, 1}};
    rn_random random = rn_random_seeded(7);
    rn_error err = {0};
    for (size_t kind = 0; kind < sizeof kinds / sizeof *kinds; kind++)
        for (int k = 0; k < 3000; k++) {
            const double exact = between(&random, 0, kinds[kind].most);
            const double value = tidy(exact, kinds[kind].dimension, kinds[kind].decimals);
            char text[64];
            double read;
            rn_units_write(text, sizeof text, value, kinds[kind].dimension, NULL);
            check_ok(rn_units_read(&read, NULL, text, kinds[kind].dimension, 0, &err), &err);
            assert_true(read == value);
            assert_true(tidy(value, kinds[kind].dimension, kinds[kind].decimals) == value);
            const double within = tidy_within(exact, exact, exact, kinds[kind].dimension, kinds[kind].decimals);
            assert_true(within == exact);
        }
    const rn_panel panel = {.width = 0.4, .height = 0.3};
    check_within(tidy_bearing(-0.01, 5, &panel), 0, 0);
    check_within(tidy_bearing(2 * RN_PI - 0.01, 5, &panel), 0, 0);
    check_within(tidy_bearing(-RN_PI / 2, 5, &panel), 1.5 * RN_PI, 1e-12);
    check_within(tidy_bearing(1.0, 5, &panel), 55 * RN_PI / 180, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volumes_of_jars),
        cmocka_unit_test(consistency_of_jars),
        cmocka_unit_test(jars_change_places),
        cmocka_unit_test(a_jar_passes_one_neighbour_after_the_other),
        cmocka_unit_test(moves_stop_where_they_touch),
        cmocka_unit_test(a_given_end_makes_room),
        cmocka_unit_test(bursts_keep_theirs),
        cmocka_unit_test(pours_stretch_and_stay_apart),
        cmocka_unit_test(rings_stop_where_they_must),
        cmocka_unit_test(a_coat_of_paint),
        cmocka_unit_test(tidy_numbers_are_read_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
