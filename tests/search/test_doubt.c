/* What "+-" means [jcgm2008], that draws are what they are said to be, and which numbers are in doubt together. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "search/doubt.h"
#include "search/identity.h"
#include "search/stand_in.h"

#define DRAWS 2000
#define ROUNDING 5.1e-6 /* of RN_DOUBT_DIGITS */

static const char text[] = "plan: 1\n"
                           "panel: {size: 200 mm x 200 mm, advance: 25 deg, slope: 0.3 deg, downhill: right}\n"
                           "paints:\n"
                           "  kelp: {viscosity: 1 Pa s}\n"
                           "  foam: {viscosity: 2 Pa s}\n"
                           "base:\n"
                           "  - {paint: foam, volume: 20 ml}\n"
                           "pours:\n"
                           "  - {stack: [kelp 40 ml, foam 20 ml]}\n"
                           "  - {start: 6 s, stack: [kelp 40 ml]}\n"
                           "moves:\n"
                           "  - {start: 20 s, for: 8 s, tilt: 8 deg, toward: back}\n"
                           "  - {start: 30 s, for: 8 s, spin: 40 rpm}\n"
                           "  - {start: 40 s, for: 8 s, spin: -50 rpm}\n";

static rn_plan *plan;

static int enter(void **state)
{
    (void)state;
    plan = stand_in_read(text);
    return 0;
}

static int leave(void **state)
{
    (void)state;
    rn_plan_free(plan);
    plan = NULL;
    return 0;
}

static rn_doubts doubts_of(const char *path, const char *how)
{
    rn_doubts doubts = {0};
    rn_error err = {0};
    check_ok(rn_doubts_add(&doubts, plan, path, how, &err), &err);
    return doubts;
}

static double value_at(const rn_plan *of, const char *path)
{
    rn_plan_number number;
    rn_error err = {0};
    check_ok(rn_plan_number_at(&number, of, path, &err), &err);
    return number.value;
}

/* The values at a path over all draws. */
static void draw_all(double *values, const rn_doubts *doubts, const char *path)
{
    double numbers[RN_DOUBTS_MOST + 1], readings[RN_READINGS_MOST];
    for (int k = 0; k < DRAWS; k++) {
        rn_plan *drawn = NULL;
        rn_error err = {0};
        rn_doubts_random(numbers, doubts, 7, k);
        check_ok(rn_doubts_draw(&drawn, readings, doubts, plan, numbers, &err), &err);
        values[k] = value_at(drawn, path);
        rn_plan_free(drawn);
    }
}

typedef struct moments {
    double mean, deviation, within; /* within: the share of values no farther than `half` from the middle */
} moments;

static moments moments_of(const double *values, double middle, double half)
{
    moments m = {0};
    for (int k = 0; k < DRAWS; k++) {
        m.mean += values[k] / DRAWS;
        m.within += (fabs(values[k] - middle) <= half) / (double)DRAWS;
    }
    for (int k = 0; k < DRAWS; k++)
        m.deviation += (values[k] - m.mean) * (values[k] - m.mean) / DRAWS;
    m.deviation = sqrt(m.deviation);
    return m;
}

/* An expanded uncertainty with the factor 2 [jcgm2008]: the standard deviation is half of it, and 95.45 % of a normal
   distribution lie within (twice table 26.1 of [abramowitz1964] at z = 2, less 1). Bounds are four standard errors. */
static void check_normal(const double *values, double middle, double half)
{
    const moments m = moments_of(values, middle, half);
    check_within(m.mean, middle, 4 * 0.5 * half / sqrt(DRAWS));
    check_close(m.deviation, 0.5 * half, 4 / sqrt(2.0 * DRAWS));
    check_within(m.within, 0.9544997, 4 * sqrt(0.9545 * 0.0455 / DRAWS));
}

static void plus_minus_is_two_standard_deviations(void **state)
{
    (void)state;
    static double values[DRAWS];
    const rn_doubts volume = doubts_of("poured", "+-3 ml"), share = doubts_of("consistency", "±10%");
    draw_all(values, &volume, "poured");
    check_normal(values, 100e-6, 3e-6);
    const double mixed = value_at(plan, "consistency");
    draw_all(values, &share, "consistency");
    check_normal(values, mixed, 0.1 * mixed);
}

/* Both consistencies move by one factor. */
static void a_consistency_is_of_all_paints(void **state)
{
    (void)state;
    const rn_doubts doubts = doubts_of("consistency", "+-10%");
    double numbers[] = {0.9}, reading[1];
    rn_plan *drawn = NULL;
    rn_error err = {0};
    check_ok(rn_doubts_draw(&drawn, reading, &doubts, plan, numbers, &err), &err);
    /* z = 1.28155 below which 0.9 lie, table 26.3 of [abramowitz1964] */
    const double factor = 1 + 0.05 * 1.2815516;
    check_close(value_at(drawn, "paints.kelp.viscosity"), factor, ROUNDING);
    check_close(value_at(drawn, "paints.foam.viscosity"), 2 * factor, ROUNDING);
    check_close(reading[0], value_at(drawn, "consistency"), ROUNDING);
    rn_plan_free(drawn);
}

/* The consistency is off by its own draw also where the volumes, by which paints are mixed, are off as well. */
static void the_volume_does_not_change_the_paints(void **state)
{
    (void)state;
    rn_doubts both = doubts_of("poured", "+-30%");
    rn_error err = {0};
    check_ok(rn_doubts_add(&both, plan, "consistency", "+-10%", &err), &err);
    double numbers[] = {0.05, 0.9}, readings[2];
    rn_plan *drawn = NULL;
    check_ok(rn_doubts_draw(&drawn, readings, &both, plan, numbers, &err), &err);
    check_close(value_at(drawn, "paints.kelp.viscosity"), 1 + 0.05 * 1.2815516, ROUNDING);
    check_close(value_at(drawn, "poured"), 100e-6 * (1 - 0.15 * 1.6448536), ROUNDING);
    rn_plan_free(drawn);
}

/* Each way for itself: the size is then Rayleigh's, with the mean sqrt(pi/2) standard deviations on a level bench. */
static void a_slope_is_drawn_with_its_direction(void **state)
{
    (void)state;
    static double sizes[DRAWS], right[DRAWS], back[DRAWS];
    rn_doubts doubts = doubts_of("panel.slope", "+-0.2deg");
    draw_all(sizes, &doubts, "panel.slope");
    draw_all(right, &doubts, "panel.downhill");
    for (int k = 0; k < DRAWS; k++) {
        back[k] = sizes[k] * sin(right[k]);
        right[k] = sizes[k] * cos(right[k]);
    }
    check_normal(right, 0.3 * RN_DEGREE, 0.2 * RN_DEGREE);
    check_normal(back, 0, 0.2 * RN_DEGREE);
    plan->panel.slope = 0;
    draw_all(sizes, &doubts, "panel.slope");
    check_close(moments_of(sizes, 0, 1).mean, 0.1 * RN_DEGREE * sqrt(RN_PI / 2), 4 * 0.523 / sqrt(DRAWS));
}

static void spins_are_off_alike_whichever_way_they_turn(void **state)
{
    (void)state;
    const rn_doubts doubts = doubts_of("moves.spin", "+-5%");
    double numbers[] = {0.9}, reading[1];
    rn_plan *drawn = NULL;
    rn_error err = {0};
    rn_reading readings[RN_READINGS_MOST];
    check_ok(rn_doubts_draw(&drawn, reading, &doubts, plan, numbers, &err), &err);
    check_close(value_at(drawn, "moves.2.spin"), 40 * RN_RPM * (1 + 0.025 * 1.2815516), ROUNDING);
    check_close(value_at(drawn, "moves.3.spin"), -50 * RN_RPM * (1 + 0.025 * 1.2815516), ROUNDING);
    check_close(value_at(drawn, "moves.1.tilt"), 8 * RN_DEGREE, 1e-12);
    rn_plan_free(drawn);
    assert_int_equal(rn_doubts_readings(readings, &doubts, plan), 1);
    assert_true(readings[0].change && readings[0].dimension == RN_DIM_SHARE);
    check_close(reading[0], 0.025 * 1.2815516, 1e-6);
}

/* A value as --set takes it, of so many digits. */
static void set_to(rn_plan *on, const char *path, double value, rn_dimension dimension, int digits)
{
    char words[60];
    rn_error err = {0};
    rn_units_round(words, sizeof words, value, dimension, NULL, digits);
    check_ok(rn_plan_set(on, path, words, &err), &err);
}

/* What is told of a draw is what was drawn: set one after the other it makes the same plan, to the last bit. */
static void what_is_told_makes_the_same_plan(void **state)
{
    (void)state;
    enum { CONSISTENCY, POURED, SPIN, SLOPE, RIGHT, BACK, ADVANCE, TILT, READINGS };
    rn_doubts doubts = rn_doubts_usual(plan);
    rn_error err = {0};
    check_ok(rn_doubts_add(&doubts, plan, "moves.1.tilt", "+-1deg", &err), &err);
    double numbers[RN_DOUBTS_MOST + 1], told[RN_READINGS_MOST];
    rn_reading readings[RN_READINGS_MOST];
    assert_int_equal(rn_doubts_readings(readings, &doubts, plan), READINGS);
    assert_string_equal(readings[CONSISTENCY].name, "consistency");
    assert_string_equal(readings[BACK].name, "panel.slope back");
    assert_string_equal(readings[TILT].name, "moves.1.tilt");
    for (int k = 0; k < 200; k++) {
        rn_plan *drawn = NULL, *set = rn_plan_copy(plan);
        char *one = NULL, *other = NULL;
        rn_doubts_random(numbers, &doubts, 7, k);
        check_ok(rn_doubts_draw(&drawn, told, &doubts, plan, numbers, &err), &err);
        set_to(set, "consistency", told[CONSISTENCY], RN_DIM_VISCOSITY, 9);
        set_to(set, "poured", told[POURED], RN_DIM_VOLUME, 9);
        set_to(set, "moves.2.spin", value_at(plan, "moves.2.spin") * (1 + told[SPIN]), RN_DIM_RATE, 6);
        set_to(set, "moves.3.spin", value_at(plan, "moves.3.spin") * (1 + told[SPIN]), RN_DIM_RATE, 6);
        set_to(set, "panel.slope", told[SLOPE], RN_DIM_ANGLE, 9);
        const double bearing = atan2(told[BACK], told[RIGHT]);
        set_to(set, "panel.downhill", bearing < 0 ? bearing + 2 * RN_PI : bearing, RN_DIM_ANGLE, 6);
        set_to(set, "panel.advance", told[ADVANCE], RN_DIM_ANGLE, 9);
        set_to(set, "moves.1.tilt", told[TILT], RN_DIM_ANGLE, 9);
        check_ok(rn_identity_write(&one, &(rn_run){.plan = drawn, .cells = 64}, NULL, &err), &err);
        check_ok(rn_identity_write(&other, &(rn_run){.plan = set, .cells = 64}, NULL, &err), &err);
        assert_string_equal(one, other);
        check_close(told[SLOPE], hypot(told[RIGHT], told[BACK]), 1e-12);
        free(one);
        free(other);
        rn_plan_free(drawn);
        rn_plan_free(set);
    }
}

static void a_star_draws_each_for_itself(void **state)
{
    (void)state;
    static double kelp[DRAWS], foam[DRAWS];
    const rn_doubts doubts = doubts_of("paints.*.viscosity", "+-10%");
    double together = 0;
    assert_int_equal(doubts.count, 2);
    assert_string_equal(doubts.items[0].path, "paints.kelp.viscosity");
    draw_all(kelp, &doubts, "paints.kelp.viscosity");
    draw_all(foam, &doubts, "paints.foam.viscosity");
    check_normal(kelp, 1, 0.1);
    check_normal(foam, 2, 0.2);
    for (int k = 0; k < DRAWS; k++)
        together += (kelp[k] - 1) / 0.05 * (foam[k] - 2) / 0.1 / DRAWS;
    check_within(together, 0, 4 / sqrt(DRAWS)); /* independent: no correlation */
}

/* Half of a normal distribution: the mean lies sqrt(2/pi) standard deviations inside. */
static void what_a_key_forbids_is_cut_off(void **state)
{
    (void)state;
    static double values[DRAWS];
    rn_error err = {0};
    check_ok(rn_plan_set(plan, "panel.advance", "90 deg", &err), &err);
    const rn_doubts doubts = doubts_of("panel.advance", "+-20deg");
    draw_all(values, &doubts, "panel.advance");
    for (int k = 0; k < DRAWS; k++)
        check_at_most(values[k], 90 * RN_DEGREE * (1 + 1e-12));
    check_within(moments_of(values, 0, 1).mean, (90 - 10 * sqrt(2 / RN_PI)) * RN_DEGREE,
                 4 * 6.03 / sqrt(DRAWS) * RN_DEGREE);
}

/* A draw is the same whatever else is in doubt, in whichever order, and however many there are. */
static void a_draw_depends_on_its_place_and_path_alone(void **state)
{
    (void)state;
    rn_doubts one = doubts_of("poured", "+-3%"), three = doubts_of("moves.spin", "+-5%");
    rn_error err = {0};
    double of_one[1], of_three[4], other[1];
    check_ok(rn_doubts_add(&three, plan, "panel.slope", "+-0.2deg", &err), &err);
    check_ok(rn_doubts_add(&three, plan, "poured", "+-3%", &err), &err);
    assert_int_equal(rn_doubts_numbers(&three), 4);
    for (int k = 0; k < 50; k++) {
        rn_doubts_random(of_one, &one, 3, k);
        rn_doubts_random(of_three, &three, 3, k);
        assert_true(of_one[0] == of_three[3]);
        rn_doubts_random(other, &one, 4, k);
        assert_true(other[0] != of_one[0]);
        rn_doubts_random(other, &one, 3, k + 1);
        assert_true(other[0] != of_one[0]);
    }
}

/* [mckay1979]: of each number exactly one lies in each part. */
static void even_draws_have_one_in_each_part(void **state)
{
    (void)state;
    enum { N = 37 };
    rn_doubts doubts = doubts_of("poured", "+-3%");
    rn_error err = {0};
    double numbers[N][3];
    int same = 0;
    check_ok(rn_doubts_add(&doubts, plan, "panel.slope", "+-0.2deg", &err), &err);
    check_ok(rn_doubts_even(&numbers[0][0], &doubts, 5, N, &err), &err);
    for (int i = 0; i < 3; i++) {
        int parts[N] = {0};
        for (int k = 0; k < N; k++)
            parts[(int)floor(numbers[k][i] * N)]++;
        for (int k = 0; k < N; k++)
            assert_int_equal(parts[k], 1);
    }
    for (int k = 0; k < N; k++)
        same += floor(numbers[k][0] * N) == floor(numbers[k][1] * N);
    assert_true(same < N / 3); /* in orders of their own */
}

static void what_speaks_of_the_same_takes_the_usual_ones_place(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_doubts doubts = rn_doubts_usual(plan);
    assert_int_equal(doubts.count, 5);
    check_ok(rn_doubts_add(&doubts, plan, "moves.3.spin", "+-2rpm", &err), &err);
    assert_int_equal(doubts.count, 5);
    assert_string_equal(doubts.items[4].path, "moves.3.spin");
    check_ok(rn_doubts_add(&doubts, plan, "paints.*.viscosity", "+-10%", &err), &err);
    assert_int_equal(doubts.count, 6);
    check_ok(rn_doubts_add(&doubts, plan, "panel.slope", "+-0", &err), &err);
    check_ok(rn_doubts_add(&doubts, plan, "panel.advance", "+-0 deg", &err), &err);
    assert_int_equal(doubts.count, 4);
    for (int i = 0; i < doubts.count; i++)
        assert_true(strncmp(doubts.items[i].path, "panel", 5) != 0);
}

static void usual_doubts_are_of_what_there_is(void **state)
{
    (void)state;
    rn_plan *bare = stand_in_read("plan: 1\npanel: {size: 200 mm x 200 mm, advance: 0 deg}\npaints: {kelp: {}}\n"
                                  "base: [{paint: kelp, depth: 1 mm}]\nend: 5 s\n");
    const rn_doubts doubts = rn_doubts_usual(bare);
    rn_plan_free(bare);
    assert_int_equal(doubts.count, 2);
    assert_string_equal(doubts.items[0].path, "consistency");
    assert_string_equal(doubts.items[1].path, "panel.slope");
}

static void check_refused(const char *path, const char *how, const char *says)
{
    rn_error err = {0};
    rn_doubts doubts = doubts_of("poured", "+-3%");
    check_status(rn_doubts_add(&doubts, plan, path, how, &err), RN_E_PLAN, &err);
    if (!strstr(err.message, says))
        fprintf(stderr, "'%s' does not say '%s'\n", err.message, says);
    assert_non_null(strstr(err.message, says));
    assert_int_equal(doubts.count, 1);
}

static void what_is_no_doubt_is_refused(void **state)
{
    (void)state;
    check_refused("consistency", "10%", "'10%' says not how far");
    check_refused("consistency", "", "says not how far");
    check_refused("consistency", "+-", "");
    check_refused("consistency", "+-10", "consistency: '+-10' has no unit; write for example '+-5%' or '+-0.1 Pa s'");
    check_refused("moves.tilt", "+-1", "moves.tilt: '+-1' has no unit; write for example '+-5%' or '+-1 deg'");
    check_refused("consistency", "+--5%", "");
    check_refused("consistency", "+-120%", "is no doubt");
    check_refused("consistency", "+-3 ml", "consistency: ");
    check_refused("consistency", "+-nan%", "consistency: ");
    check_refused("panel.slope", "+-5%", "panel.slope: a share of it says nothing here");
    check_refused("panel.slope", "+-9deg", "a bench is level");
    check_refused("poured", "+-3ml", "'poured' is given as well");
    check_refused("pours.1.stack.kelp", "+-3ml", "'poured' is given as well");
    check_refused("moves.9.spin", "+-3%", "is no number of this plan");
    check_refused("moves.turn", "+-3%", "nothing in that list has such a number");
    check_refused("moves.*.turn", "+-3%", "nothing in that list has such a number");
    check_refused("*.spin", "+-3%", "a star stands for a name or number");
    check_refused("moves.*", "+-3%", "a star stands for a name or number");
    check_refused("title", "+-3%", "");
    check_refused("pours.1.lifts", "+-1", "a whole number cannot be off by some");
    check_refused("limits.spin", "+-1 rpm", "what is not given cannot be off by some");
}

static void a_doubt_reads_as_it_was_written(void **state)
{
    (void)state;
    char words[60];
    const rn_doubts share = doubts_of("moves.spin", "+- 5 %"), angle = doubts_of("moves.1.tilt", "±0.5 deg");
    rn_doubt_text(words, sizeof words, &share.items[0]);
    assert_string_equal(words, "+-5 %");
    rn_doubt_text(words, sizeof words, &angle.items[0]);
    assert_string_equal(words, "+-0.5 deg");
}

/* A start that is off can run into the next move: no plan, with its reason. */
static void a_draw_that_makes_no_plan_says_why(void **state)
{
    (void)state;
    const rn_doubts doubts = doubts_of("moves.2.start", "+-10s");
    double numbers[] = {0.99}, reading[1];
    rn_plan *drawn = NULL;
    rn_error err = {0};
    check_status(rn_doubts_draw(&drawn, reading, &doubts, plan, numbers, &err), RN_E_PLAN, &err);
    assert_null(drawn);
    assert_true(strlen(err.message) > 10);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)
    const struct CMUnitTest tests[] = {
        TEST(plus_minus_is_two_standard_deviations),
        TEST(a_consistency_is_of_all_paints),
        TEST(the_volume_does_not_change_the_paints),
        TEST(a_slope_is_drawn_with_its_direction),
        TEST(spins_are_off_alike_whichever_way_they_turn),
        TEST(what_is_told_makes_the_same_plan),
        TEST(a_star_draws_each_for_itself),
        TEST(what_a_key_forbids_is_cut_off),
        TEST(a_draw_depends_on_its_place_and_path_alone),
        TEST(even_draws_have_one_in_each_part),
        TEST(what_speaks_of_the_same_takes_the_usual_ones_place),
        TEST(usual_doubts_are_of_what_there_is),
        TEST(what_is_no_doubt_is_refused),
        TEST(a_doubt_reads_as_it_was_written),
        TEST(a_draw_that_makes_no_plan_says_why),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
