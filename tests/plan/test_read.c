/* The plan file as a painter writes it becomes the plan it means. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "plan/plan.h"

static rn_plan *read_file(const char *path)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, path, &err), &err);
    return plan;
}

static rn_plan *read_text(const char *text)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "text", &err), &err);
    return plan;
}

static void old_words_mean_what_they_did_and_are_noted(void **state)
{
    (void)state;
    rn_plan *plan = read_text("plan: 1\n"
                              "panel: {size: 10 in x 10 in}\n"
                              "paints:\n"
                              "  slate: {consistency: double cream}\n"
                              "  foam: {consistency: warm honey}\n"
                              "  kelp:\n"
                              "    consistency: Yoghurt\n"
                              "pours: [{stack: [slate 40 ml, foam 40 ml, kelp 40 ml]}]\n");
    check_close(plan->paints[0].law.consistency, 0.4, 0);
    check_close(plan->paints[1].law.consistency, 2, 0);
    check_close(plan->paints[2].law.consistency, 1, 0);
    assert_int_equal(plan->old_word_count, 2);
    assert_string_equal(rn_consistency_olds[plan->old_words[0].word].word, "double cream");
    assert_int_equal(plan->old_words[0].mark.line, 4);
    assert_int_equal(plan->old_words[0].mark.column, 24);
    assert_string_equal(rn_consistency_olds[plan->old_words[1].word].word, "yoghurt");
    assert_int_equal(plan->old_words[1].mark.line, 7);
    assert_int_equal(plan->old_words[1].mark.column, 18);
    /* What is written of it has the numbers, and none of the words. */
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_plan_write(&text, plan, &err), &err);
    rn_plan *again = read_text(text);
    assert_int_equal(again->old_word_count, 0);
    for (int i = 0; i < 3; i++)
        check_close(again->paints[i].law.consistency, plan->paints[i].law.consistency, 0);
    free(text);
    rn_plan_free(again);
    rn_plan_free(plan);
}

static void panel_and_limits_are_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml");
    assert_string_equal(plan->title, "Tide table, first try");
    assert_false(plan->panel.round);
    check_close(plan->panel.width, 0.3048, 1e-15);
    check_close(plan->panel.height, 0.3048, 1e-15);
    assert_int_equal(plan->panel.edges, RN_EDGE_CLEAN);
    check_close(plan->panel.side, 0.01905, 1e-15);
    assert_int_equal(plan->panel.ground, RN_GROUND_PRIMED);
    check_close(plan->panel.advance, 25 * RN_DEGREE, 1e-15);
    check_close(plan->panel.slope, 0.2 * RN_DEGREE, 1e-15);
    check_close(plan->panel.downhill, RN_PI / 2, 1e-15);
    check_close(plan->cover, 0.15e-3, 1e-15);
    check_close(plan->limits.spin, 60 * RN_RPM, 1e-15);
    check_close(plan->limits.stretch, 2, 0);
    check_close(plan->limits.deepest, 4e-3, 1e-15);
    check_close(plan->end, 180, 0);
    assert_true(plan->end_given);
    rn_plan_free(plan);
}

static void paints_are_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml");
    assert_int_equal(plan->paint_count, 3);
    const rn_paint *slate = &plan->paints[0], *kelp = &plan->paints[1], *brass = &plan->paints[2];
    assert_string_equal(slate->name, "slate");
    assert_memory_equal(slate->colour, "\x2b\x3a\x55", 3);
    check_close(slate->law.consistency, 1, 0);
    check_close(slate->density, 1200, 1e-15);
    check_close(slate->tension, 0.033, 1e-15);
    check_close(slate->solids, 0.35, 1e-15);
    assert_true(isnan(slate->price));
    check_close(kelp->law.consistency, 1.1, 1e-15);
    check_close(kelp->law.power, 1, 0);
    check_close(kelp->law.yield, 0, 0);
    check_close(kelp->price, 4e4, 1e-15);
    check_close(brass->law.consistency, 2, 1e-15);
    check_close(brass->law.power, 0.8, 1e-15);
    check_close(brass->law.yield, 0.6, 1e-15);
    rn_plan_free(plan);
}

static void base_coats_are_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml");
    assert_int_equal(plan->base_count, 3);
    assert_int_equal(plan->bases[0].kind, RN_BASE_ALL);
    check_close(plan->bases[0].depth, 0.3e-3, 1e-15);
    assert_true(isnan(plan->bases[0].volume));
    assert_int_equal(plan->bases[1].kind, RN_BASE_CORNERS);
    check_close(plan->bases[1].volume, 8e-6, 1e-15);
    check_close(plan->bases[1].across, 0.04, 1e-15);
    assert_int_equal(plan->bases[2].kind, RN_BASE_DISC);
    assert_int_equal(plan->bases[2].paint, 1);
    check_close(plan->bases[2].at.x, 0.04, 1e-15);
    check_close(plan->bases[2].at.y, -0.02, 1e-15);
    check_close(plan->bases[2].across, 0.03, 1e-15);
    /* 0.3 mm over a square foot is 27.870912 ml. */
    double volumes[3];
    rn_plan_based(volumes, plan);
    check_close(volumes[0], 27.870912e-6 + 8e-6, 1e-14);
    check_close(volumes[1], 3e-6, 1e-14);
    check_within(volumes[2], 0, 0);
    rn_plan_free(plan);
}

static void pours_are_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml");
    assert_int_equal(plan->pour_count, 1);
    const rn_pour *pour = &plan->pours[0];
    assert_false(pour->cup);
    assert_int_equal(pour->lifts, 8);
    assert_int_equal(pour->size_count, 8);
    assert_int_equal(pour->repeat, 4);
    assert_int_equal(pour->seed, 7);
    assert_int_equal(pour->layer_count, 4);
    assert_int_equal(pour->stack[2].paint, 2);
    double volumes[3];
    rn_plan_poured(volumes, plan);
    check_close(volumes[0], 20e-6, 1e-14);
    check_close(volumes[1], 60e-6, 1e-14);
    check_close(volumes[2], 10e-6, 1e-14);
    rn_source source = rn_pour_source(plan, pour);
    assert_false(source.on_top);
    check_close(source.volume, 90e-6, 1e-14);
    check_within(source.x, 0, 0);
    check_within(source.y, 0, 0);
    check_close(source.across, 0.07, 1e-15);
    check_close(source.width, 0.01, 1e-15);
    check_close(source.start, 5, 0);
    check_close(source.every, 5, 0);
    check_close(source.open, 2, 0);
    assert_int_equal(source.bursts, 8);
    for (int i = 0; i < 8; i++)
        check_close(source.share[i], 0.125, 1e-15);
    check_close(source.uneven, 0.1, 1e-15);
    /* The bearing is the generator's first draw, whose algorithm is published [steele2014]. */
    rn_random random = rn_random_seeded(7);
    check_close(source.uneven_toward, 2 * RN_PI * rn_random_unit(&random), 1e-15);
    check_close(rn_pour_end(pour), 42, 1e-15);
    rn_plan_free(plan);
}

static void moves_and_expectations_are_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml");
    assert_int_equal(plan->move_count, 4);
    const rn_move *moves = plan->moves;
    assert_int_equal(moves[0].kind, RN_MOVE_TURN);
    check_close(moves[0].amount, 6 * RN_RPM, 1e-15);
    check_close(moves[0].ramp, 1, 0);
    assert_int_equal(moves[1].kind, RN_MOVE_TILT);
    check_close(moves[1].amount, 8 * RN_DEGREE, 1e-15);
    check_close(moves[1].ramp, 0.5, 0);
    check_close(moves[1].toward, 45 * RN_DEGREE, 1e-15); /* a square's diagonal */
    assert_false(moves[1].room_frame);
    check_close(moves[2].toward, 180 * RN_DEGREE, 1e-15);
    assert_true(moves[2].room_frame);
    assert_int_equal(moves[3].kind, RN_MOVE_SPIN);
    check_close(moves[3].start, 110, 0);
    check_close(moves[3].duration, 20, 0);
    check_close(moves[3].ramp, 3, 0);
    assert_int_equal(plan->expect_count, 2);
    assert_int_equal(plan->expects[0].kind, RN_EXPECT_COVERAGE);
    assert_int_equal(plan->expects[0].relation, RN_AT_LEAST);
    check_close(plan->expects[0].value, 0.99, 1e-15);
    assert_int_equal(plan->expects[1].kind, RN_EXPECT_RUN_OFF);
    assert_int_equal(plan->expects[1].relation, RN_AT_MOST);
    check_close(plan->expects[1].value, 30e-6, 1e-15);
    assert_false(plan->expects[1].share);
    rn_plan_free(plan);
}

static void what_is_left_out_has_its_default(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/smallest.yaml");
    assert_string_equal(plan->title, "");
    check_close(plan->panel.advance, 25 * RN_DEGREE, 1e-15);
    check_close(plan->cover, 0.15e-3, 1e-15);
    check_within(plan->panel.slope, 0, 0);
    assert_true(isnan(plan->limits.spin));
    const rn_paint *slate = &plan->paints[0];
    check_close(slate->law.consistency, 1, 0);
    check_close(slate->density, 1200, 1e-15);
    check_close(slate->tension, 0.033, 1e-15);
    check_close(slate->solids, 0.35, 1e-15);
    rn_source source = rn_pour_source(plan, &plan->pours[0]);
    check_close(source.volume, 150e-6, 1e-14);
    check_close(source.across, 0.07, 1e-15);
    check_close(source.width, 0.01, 1e-15);
    assert_int_equal(source.bursts, 1);
    check_close(source.open, 2, 0);
    check_close(source.share[0], 1, 0);
    assert_false(plan->end_given);
    check_close(plan->end, 62, 1e-15); /* the burst's 2 s and 60 s more */
    rn_plan_free(plan);
}

static void a_round_tray_is_read(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/round-cups.yaml");
    assert_string_equal(plan->title, "Rock pool: \"low water\", round tray");
    assert_true(plan->panel.round);
    check_close(plan->panel.width, 0.3, 1e-15);
    assert_int_equal(plan->panel.edges, RN_EDGE_WRAPPED);
    check_close(plan->panel.side, 0.01905, 1e-15);
    check_close(plan->panel.advance, 35 * RN_DEGREE, 1e-15); /* sealed */
    check_close(plan->panel.downhill, 225 * RN_DEGREE, 1e-15);
    assert_memory_equal(plan->paints[1].colour, "\x12\x34\x56", 3); /* looks like a number */
    assert_memory_equal(plan->paints[2].colour, "\x1e\x50\x00", 3); /* looks like a huge one */
    check_close(plan->paints[1].law.consistency, 0.85, 1e-15);
    check_close(plan->paints[2].price, 1.15 / 29.5735295625e-6, 1e-14);
    check_close(plan->bases[0].volume, 0.040 / 1080, 1e-14); /* 40 g */
    assert_int_equal(plan->pours[0].stack[0].paint, 0);      /* "foam white", not "foam" */
    check_close(plan->pours[0].stack[0].volume, 0.020 / 1080, 1e-14);
    assert_int_equal(plan->pours[0].stack[1].paint, 1);
    rn_source third = rn_pour_source(plan, &plan->pours[2]);
    check_close(third.start, 15, 1e-15);
    check_close(third.share[1], 2 / 3.5, 1e-15);
    check_within(hypot(third.x, third.y), 0.15 - 0.025 - 0.004, 1e-15); /* the ring touches the rim from inside */
    check_within(atan2(third.y, third.x), 45 * RN_DEGREE, 1e-15);
    check_close(plan->moves[0].amount, -6 * RN_RPM, 1e-15);
    check_within(plan->moves[0].ramp, 0, 0);
    check_close(plan->moves[1].amount, 0.1, 1e-15);
    check_close(plan->moves[1].toward, 135 * RN_DEGREE, 1e-15);
    check_close(plan->moves[2].ramp, 0.2, 1e-15); /* half of 0.4 s */
    assert_int_equal(plan->moves[3].kind, RN_MOVE_REST);
    check_close(plan->moves[4].ramp, 0.5, 1e-15);
    assert_int_equal(plan->expect_count, 10);
    assert_true(plan->expects[0].share);
    check_close(plan->expects[0].value, 0.2, 1e-15);
    assert_true(plan->expects[1].one_side);
    assert_int_equal(plan->expects[1].side_y, -1);
    assert_int_equal(plan->expects[2].relation, RN_ABOUT);
    check_close(plan->expects[2].tolerance, 0.5e-6, 1e-15);
    assert_false(plan->expects[3].one_side);
    assert_int_equal(plan->expects[4].side_x, -1);
    assert_int_equal(plan->expects[4].side_y, 1);
    assert_int_equal(plan->expects[5].relation, RN_AT_MOST);
    check_close(plan->expects[5].value, 100, 0);
    check_close(plan->expects[9].value, -5 * RN_DEGREE, 1e-15);
    rn_plan_free(plan);
}

static void laboratory_cases_can_be_written(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/laboratory.yaml");
    check_close(plan->panel.width, 0.6, 1e-15);
    check_close(plan->panel.height, 0.4, 1e-15);
    check_within(plan->paints[0].tension, 0, 0);
    check_close(plan->moves[0].toward, atan2(0.4, 0.6), 1e-15); /* the bearing of that corner */
    check_close(plan->moves[0].amount, 90 * RN_DEGREE, 1e-15);
    double volumes[1];
    rn_plan_based(volumes, plan);
    check_close(volumes[0], 1.5e-3 * 0.24 + 2e-3 * 0.03 * 0.4 + 10e-6, 1e-14);
    double x, y;
    rn_place_point(&x, &y, &plan->panel, &plan->bases[2].at, 0.025);
    check_within(x, 0, 0);
    check_close(y, -0.175, 1e-15);
    rn_plan_free(plan);
}

static void yaml_s_freedoms_are_free(void **state)
{
    (void)state;
    static const char *const same[] = {
        "plan: 1\npanel: {size: 30 cm x 30 cm}\npaints: {a: {}}\nbase: [{paint: a, depth: 1 mm}]\n",
        "---\nplan: 1\npanel:\n  size: 30 × 30 cm\npaints:\n  a:\nbase:\n- paint: a\n  depth: 1 mm\n...\n",
        "\xEF\xBB\xBFplan: 1\r\npanel: {\"size\": '30 cm x 30 cm'}\r\npaints: {a: }\r\nbase: [{paint: a, depth: 1 "
        "mm}]\r\n",
        "{plan: 1, panel: {size: 30cmx30cm}, paints: {a: {}}, base: [{paint: a, depth: 1mm}], moves: , expect: }",
        "base: [{depth: 1 mm, paint: a}]\npaints: {a: {}}\npanel: {size: 300 mm X 0.3 m}\nplan: 1"};
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        rn_plan *plan = read_text(same[i]);
        check_close(plan->panel.width, 0.3, 1e-15);
        check_close(plan->panel.height, 0.3, 1e-15);
        check_close(plan->bases[0].depth, 1e-3, 1e-15);
        rn_plan_free(plan);
    }
}

static void copies_are_their_own(void **state)
{
    (void)state;
    rn_plan *plan = read_file("tests/plans/tide-table-full.yaml"), *copy = rn_plan_copy(plan);
    copy->pours[0].lifts = 3;
    copy->paints[0].density = 1;
    assert_int_equal(plan->pours[0].lifts, 8);
    check_close(plan->paints[0].density, 1200, 1e-15);
    rn_plan_free(copy);
    rn_plan_free(plan);
    rn_plan_free(NULL);
}

static void files_that_cannot_be_read_are_named(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_status(rn_plan_read_file(&plan, "tests/plans/nowhere.yaml", &err), RN_E_FILE, &err);
    assert_string_equal(err.file, "tests/plans/nowhere.yaml");
    assert_non_null(strstr(err.message, "cannot be opened"));
    err = (rn_error){0};
    check_status(rn_plan_read_file(&plan, "tests/plans", &err), RN_E_FILE, &err);
    err = (rn_error){0};
    check_status(rn_plan_read(&plan, "plan: 2", 7, "-", &err), RN_E_PLAN, &err);
    assert_string_equal(err.file, "standard input");
    assert_int_equal(err.line, 1);
    assert_int_equal(err.column, 7);
    assert_null(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(panel_and_limits_are_read),
        cmocka_unit_test(paints_are_read),
        cmocka_unit_test(base_coats_are_read),
        cmocka_unit_test(pours_are_read),
        cmocka_unit_test(moves_and_expectations_are_read),
        cmocka_unit_test(what_is_left_out_has_its_default),
        cmocka_unit_test(a_round_tray_is_read),
        cmocka_unit_test(laboratory_cases_can_be_written),
        cmocka_unit_test(yaml_s_freedoms_are_free),
        cmocka_unit_test(old_words_mean_what_they_did_and_are_noted),
        cmocka_unit_test(copies_are_their_own),
        cmocka_unit_test(files_that_cannot_be_read_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
