/* Expectations against forecasts made up by hand: met, missed and by how much, and what is not judged. */
#include "check.h"

#include <string.h>

#include "run/judge.h"

static rn_forecast covered_forecast(void)
{
    rn_forecast f = {.coverage = 0.998,
                     .covered = true,
                     .covered_at = 96,
                     .base = 20e-6,
                     .poured = 180e-6,
                     .run_off = 34.2e-6,
                     .run_off_by_side = {5.2e-6, 9e-6, 12e-6, 8e-6},
                     .least = {.depth = 0.21e-3},
                     .complete = true};
    const double corners[RN_CORNERS] = {0.4e-3, 0.5e-3, 0.6e-3, 0.3e-3};
    for (int i = 0; i < RN_CORNERS; i++)
        f.corners[i].depth = corners[i];
    return f;
}

static void judged(const rn_expect *expect, const rn_forecast *forecast, rn_verdict verdict, const char *wanted,
                   const char *outcome)
{
    const rn_judgement j = rn_judge_expect(expect, forecast);
    assert_string_equal(j.wanted, wanted);
    assert_string_equal(j.outcome, outcome);
    assert_int_equal(j.verdict, verdict);
}

static void coverage_is_a_share_of_the_face(void **state)
{
    (void)state;
    const rn_forecast f = covered_forecast();
    rn_expect e = {.kind = RN_EXPECT_COVERAGE, .relation = RN_AT_LEAST, .value = 0.99};
    judged(&e, &f, RN_MET, "coverage at least 99 %", "met: 99.8 %");
    e.value = 0.999;
    judged(&e, &f, RN_MISSED, "coverage at least 99.9 %", "missed by 0.1 %: 99.8 %");
    check_within(rn_judge_expect(&e, &f).by, 0.001, 1e-12);
}

static void run_off_by_volume_share_and_edge(void **state)
{
    (void)state;
    const rn_forecast f = covered_forecast();
    rn_expect e = {.kind = RN_EXPECT_RUN_OFF, .relation = RN_AT_MOST, .value = 30e-6};
    judged(&e, &f, RN_MISSED, "run-off at most 30 ml", "missed by 4.2 ml: 34.2 ml");
    e = (rn_expect){.kind = RN_EXPECT_RUN_OFF, .relation = RN_AT_MOST, .value = 0.2, .share = true};
    judged(&e, &f, RN_MET, "run-off at most 20 %", "met: 17.1 %"); /* 34.2 of 20 + 180 ml */
    e = (rn_expect){.kind = RN_EXPECT_RUN_OFF, .relation = RN_AT_MOST, .value = 5e-6, .one_side = true, .side_y = -1};
    judged(&e, &f, RN_MISSED, "run-off front at most 5 ml", "missed by 0.2 ml: 5.2 ml");
    e.side_x = 1, e.side_y = 0, e.value = 9e-6;
    judged(&e, &f, RN_MET, "run-off right at most 9 ml", "met: 9 ml"); /* the limit itself is met */
    e.side_x = -1, e.value = 7e-6;
    judged(&e, &f, RN_MISSED, "run-off left at most 7 ml", "missed by 1 ml: 8 ml");
    e.side_x = 0, e.side_y = 1, e.value = 12.5e-6;
    judged(&e, &f, RN_MET, "run-off back at most 12.5 ml", "met: 12 ml");
}

static void about_leaves_room_on_both_sides(void **state)
{
    (void)state;
    const rn_forecast f = covered_forecast();
    rn_expect e = {.kind = RN_EXPECT_CORNER, .relation = RN_ABOUT, .value = 0.4e-3, .tolerance = 0.15e-3};
    judged(&e, &f, RN_MET, "corner 0.4 mm +- 0.15 mm", "met: 0.3 mm"); /* the least of the four */
    e.tolerance = 0.05e-3;
    judged(&e, &f, RN_MISSED, "corner 0.4 mm +- 0.05 mm", "missed by 0.05 mm: 0.3 mm");
    e.value = 0.2e-3;
    judged(&e, &f, RN_MISSED, "corner 0.2 mm +- 0.05 mm", "missed by 0.05 mm: 0.3 mm");
}

static void a_corner_can_be_named(void **state)
{
    (void)state;
    static const int sides[RN_CORNERS][2] = {{-1, 1}, {1, 1}, {1, -1}, {-1, -1}};
    const rn_forecast f = covered_forecast();
    for (int i = 0; i < RN_CORNERS; i++) {
        char wanted[80];
        const rn_expect e = {.kind = RN_EXPECT_CORNER,
                             .relation = RN_AT_LEAST,
                             .value = 0.2e-3,
                             .one_side = true,
                             .side_x = sides[i][0],
                             .side_y = sides[i][1]};
        snprintf(wanted, sizeof wanted, "corner %s at least 0.2 mm", rn_corner_names[i]);
        const rn_judgement j = rn_judge_expect(&e, &f);
        assert_string_equal(j.wanted, wanted);
        check_within(j.value, f.corners[i].depth, 0);
    }
}

static void covered_by_wants_to_be_covered(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    rn_expect e = {.kind = RN_EXPECT_COVERED_BY, .relation = RN_AT_MOST, .value = 120};
    judged(&e, &f, RN_MET, "covered by at most 120 s", "met: 96 s");
    e.value = 90;
    judged(&e, &f, RN_MISSED, "covered by at most 90 s", "missed by 6 s: 96 s");
    f.covered = false;
    f.covered_at = NAN;
    judged(&e, &f, RN_MISSED, "covered by at most 90 s", "missed: not covered at the end");
    assert_true(isnan(rn_judge_expect(&e, &f).by));
}

static void thinnest_is_the_least_depth(void **state)
{
    (void)state;
    const rn_forecast f = covered_forecast();
    const rn_expect e = {.kind = RN_EXPECT_THINNEST, .relation = RN_AT_LEAST, .value = 0.25e-3};
    judged(&e, &f, RN_MISSED, "thinnest at least 0.25 mm", "missed by 0.04 mm: 0.21 mm");
}

static void what_is_not_worked_out_is_not_judged(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    rn_expect e = {.kind = RN_EXPECT_STRETCH, .relation = RN_AT_MOST, .value = 2};
    judged(&e, &f, RN_NOT_JUDGED, "stretch at most 2", "not judged: stretch was not worked out");
    e = (rn_expect){
        .kind = RN_EXPECT_TWIST, .relation = RN_ABOUT, .value = 0.3490658503988659, .tolerance = 0.0872664625997165};
    judged(&e, &f, RN_NOT_JUDGED, "twist 20 deg +- 5 deg", "not judged: twist was not worked out");
    f.complete = false;
    e = (rn_expect){.kind = RN_EXPECT_COVERAGE, .relation = RN_AT_LEAST, .value = 0.5};
    judged(&e, &f, RN_NOT_JUDGED, "coverage at least 50 %", "not judged: the forecast stopped before the end");
}

static void no_paint_is_no_division_by_nothing(void **state)
{
    (void)state;
    rn_forecast f = covered_forecast();
    f.base = f.poured = f.run_off = 0;
    const rn_expect e = {.kind = RN_EXPECT_RUN_OFF, .relation = RN_AT_MOST, .value = 0.2, .share = true};
    judged(&e, &f, RN_MISSED, "run-off at most 20 %", "missed: there is no paint to judge");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(coverage_is_a_share_of_the_face),      cmocka_unit_test(run_off_by_volume_share_and_edge),
        cmocka_unit_test(about_leaves_room_on_both_sides),      cmocka_unit_test(a_corner_can_be_named),
        cmocka_unit_test(covered_by_wants_to_be_covered),       cmocka_unit_test(thinnest_is_the_least_depth),
        cmocka_unit_test(what_is_not_worked_out_is_not_judged), cmocka_unit_test(no_paint_is_no_division_by_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
