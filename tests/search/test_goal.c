/* Goals: where they come from, how an outcome is judged by them, and what is decided before a run's end. */
#include "check.h"

#include <string.h>

#include "run/session.h"
#include "search/goal.h"
#include "search/stand_in.h"

static rn_outcome outcome_at(double coverage)
{
    rn_plan *plan = stand_in_plan(NULL);
    const rn_outcome outcome = stand_in_outcome(plan, coverage);
    rn_plan_free(plan);
    return outcome;
}

/* ---- where they come from ---- */

static void a_plan_s_own_or_that_it_is_covered(void **state)
{
    (void)state;
    rn_plan *plan = stand_in_plan("cover: 0.2 mm\n");
    rn_goal goal = rn_goal_of_plan(plan);
    assert_int_equal(goal.count, 2);
    assert_int_equal(goal.demands[0].kind, RN_EXPECT_COVERAGE);
    check_close(goal.demands[0].value, 0.995, 1e-12);
    assert_int_equal(goal.demands[1].kind, RN_EXPECT_CORNER);
    assert_false(goal.demands[1].one_side);
    check_close(goal.demands[1].value, 0.2e-3, 1e-12);
    rn_plan_free(plan);
    plan = stand_in_plan("expect: {coverage: at least 90 %, run-off: 20 ml +- 5 ml}\n");
    goal = rn_goal_of_plan(plan);
    assert_int_equal(goal.count, 2);
    check_close(goal.demands[0].value, 0.9, 1e-12);
    assert_int_equal(goal.demands[1].relation, RN_ABOUT);
    rn_plan_free(plan);
}

static void a_demand_takes_the_place_of_its_kind(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_goal goal = stand_in_goal("coverage", "at least 99 %", "run-off", "at least 5 ml", "run-off", "at most 30 ml",
                                 "run-off", "front at most 9 ml", NULL);
    assert_int_equal(goal.count, 4);
    check_ok(rn_goal_add(&goal, "run-off", "at most 10 %", &err), &err); /* volume or share, it bounds the same */
    assert_int_equal(goal.count, 4);
    assert_true(goal.demands[3].share);
    assert_int_equal(goal.demands[1].relation, RN_AT_LEAST);
    check_ok(rn_goal_add(&goal, "run-off", "front at most 3 ml", &err), &err);
    assert_int_equal(goal.count, 4);
    check_ok(rn_goal_add(&goal, "run-off", "back at most 3 ml", &err), &err);
    assert_int_equal(goal.count, 5);
    check_ok(rn_goal_add(&goal, "run-off", "20 ml +- 2 ml", &err), &err); /* of both bounds of the whole */
    assert_int_equal(goal.count, 4);
    check_ok(rn_goal_add(&goal, "run-off", "at most 12 ml", &err), &err); /* and back */
    assert_int_equal(goal.count, 4);
    check_ok(rn_goal_add(&goal, "corner", "back left at least 1 mm", &err), &err);
    check_ok(rn_goal_add(&goal, "corner", "at least 0.5 mm", &err), &err);
    assert_int_equal(goal.count, 6);
}

static void what_is_no_demand_is_refused(void **state)
{
    (void)state;
    rn_goal goal = stand_in_goal("coverage", "at least 99 %", NULL);
    static const char *const wrong[][2] = {
        {"coverage", "plenty"}, {"shine", "at least 9 %"},     {"run-off", "at most 5 mm"}, {"", ""},
        {"coverage", ""},       {"coverage", "at least nan %"}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        rn_error err = {0};
        check_status(rn_goal_add(&goal, wrong[i][0], wrong[i][1], &err), RN_E_PLAN, &err);
        assert_true(err.message[0] != '\0');
        assert_int_equal(goal.count, 1);
    }
    /* as many as there is room for, and one more */
    rn_goal full = goal;
    rn_error err = {0};
    for (full.count = 0; full.count < RN_EXPECTS_MOST; full.count++)
        full.demands[full.count] = goal.demands[0];
    check_status(rn_goal_add(&full, "thinnest", "at least 1 mm", &err), RN_E_PLAN, &err);
    assert_string_equal(err.message, "there are too many demands: at most 32");
    assert_int_equal(full.count, RN_EXPECTS_MOST);
}

static void patterns_are_only_worked_out_for_what_needs_them(void **state)
{
    (void)state;
    const rn_goal plain = stand_in_goal("coverage", "at least 99 %", "corner", "at least 1 mm", NULL);
    const rn_goal stretch = stand_in_goal("coverage", "at least 99 %", "stretch", "at most 2", NULL);
    const rn_goal twist = stand_in_goal("twist", "30 deg +- 5 deg", NULL);
    assert_false(rn_goal_needs_pattern(&plain));
    assert_true(rn_goal_needs_pattern(&stretch));
    assert_true(rn_goal_needs_pattern(&twist));
}

/* ---- judged ---- */

static void margins_say_how_far_inside(void **state)
{
    (void)state;
    rn_outcome outcome = outcome_at(0.93); /* 100 ml on 200 cm2: 5 mm everywhere */
    outcome.run_off = 12e-6;
    outcome.run_off_by_side[RN_FRONT] = 9e-6;
    outcome.corner[0] = 0.4e-3;
    outcome.covered_at = 50;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 30 ml", "run-off",
                                       "front at most 8 ml", "corner", "at least 0.5 mm", "corner",
                                       "front right at least 0.5 mm", "covered by", "55 s +- 4 s", NULL);
    const rn_goal_verdict verdict = rn_goal_judge(&goal, &outcome);
    assert_false(verdict.met);
    assert_int_equal(verdict.count, 6);
    const double margins[] = {0.03, 18e-6, -1e-6, -0.1e-3, 4.5e-3, -1};
    for (int i = 0; i < 6; i++) {
        check_close(verdict.margins[i].margin, margins[i], 1e-9);
        assert_int_equal(verdict.margins[i].met, margins[i] >= 0);
    }
    check_close(verdict.margins[2].lack, 1e-6 / 100e-6, 1e-9); /* of all paint */
    check_close(verdict.margins[3].lack, 0.1 / 0.5, 1e-9);     /* of what is wanted */
    check_close(verdict.margins[5].lack, 1.0 / 55, 1e-9);
    assert_int_equal(verdict.worst, 3);
    check_close(verdict.lack, 0.01 + 0.2 + 1.0 / 55, 1e-9);
}

static void what_is_met_lacks_nothing(void **state)
{
    (void)state;
    const rn_outcome outcome = outcome_at(1);
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 0 ml", NULL);
    const rn_goal_verdict verdict = rn_goal_judge(&goal, &outcome);
    assert_true(verdict.met);
    assert_int_equal(verdict.worst, -1);
    assert_true(verdict.lack == 0);
}

/* The same of runs whose words and numbers are run/judge.h's. */
static void judged_as_runnel_check_judges(void **state)
{
    (void)state;
    rn_outcome outcome = outcome_at(0.93);
    const rn_goal goal = stand_in_goal("coverage", "at least 95 %", "covered by", "at most 60 s", "thinnest",
                                       "at least 2 mm", "stretch", "at most 2", NULL);
    for (int pattern = 0; pattern < 2; pattern++) {
        outcome.has_pattern = pattern;
        outcome.stretch = 1.5;
        const rn_forecast forecast = rn_outcome_forecast(&outcome);
        const rn_goal_verdict verdict = rn_goal_judge(&goal, &outcome);
        for (int i = 0; i < goal.count; i++) {
            char said[RN_JUDGE_SIZE], asked[RN_JUDGE_SIZE];
            const rn_judgement judgement = rn_judge_expect(&goal.demands[i], &forecast);
            assert_int_equal(verdict.margins[i].met, judgement.verdict == RN_MET);
            rn_goal_said(said, &goal.demands[i], &outcome);
            rn_goal_wanted(asked, &goal.demands[i]);
            assert_string_equal(said, judgement.outcome);
            assert_string_equal(asked, judgement.wanted);
        }
    }
}

static void never_covered_is_worse_than_late(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("covered by", "at most 60 s", NULL);
    rn_outcome late = outcome_at(1), bare = outcome_at(0.4), nearly = outcome_at(0.99);
    late.covered_at = 100;
    const double lacks[] = {rn_goal_judge(&goal, &late).lack, rn_goal_judge(&goal, &nearly).lack,
                            rn_goal_judge(&goal, &bare).lack};
    assert_true(0 < lacks[0] && lacks[0] < lacks[1] && lacks[1] < lacks[2]);
    assert_true(isfinite(lacks[2]));
    assert_true(rn_goal_judge(&goal, &bare).margins[0].margin == -INFINITY);
    assert_true(isnan(rn_goal_judge(&goal, &bare).margins[0].value));
}

static void what_is_not_whole_tells_yes_or_no(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 30 ml", NULL);
    rn_outcome outcome = outcome_at(1); /* would meet it */
    outcome.state = RN_OUTCOME_DECIDED;
    outcome.goal_met = true;
    assert_true(rn_goal_judge(&goal, &outcome).met);
    outcome.goal_met = false;
    const rn_goal_verdict verdict = rn_goal_judge(&goal, &outcome);
    assert_false(verdict.met);
    assert_int_equal(verdict.worst, -1);
    assert_true(isnan(verdict.margins[0].margin));
    outcome.state = RN_OUTCOME_FAILED;
    outcome.goal_met = true;
    assert_false(rn_goal_judge(&goal, &outcome).met);
    outcome.state = RN_OUTCOME_NONE;
    assert_false(rn_goal_judge(&goal, &outcome).met);
}

static void figures_stand_alone(void **state)
{
    (void)state;
    char text[RN_JUDGE_SIZE];
    rn_outcome outcome = outcome_at(0.4);
    const rn_goal goal =
        stand_in_goal("coverage", "at least 30 %", "coverage", "at most 30 %", "covered by", "at most 60 s", NULL);
    rn_goal_figure(text, &goal.demands[0], &outcome);
    assert_string_equal(text, "40 %");
    rn_goal_figure(text, &goal.demands[1], &outcome);
    assert_string_equal(text, "40 %");
    rn_goal_figure(text, &goal.demands[2], &outcome);
    assert_string_equal(text, "not covered at the end");
}

/* ---- by what more paint does ---- */

static void demands_part_by_what_more_paint_does(void **state)
{
    (void)state;
    rn_goal rising, falling, either;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "coverage", "at most 99 %", "covered by",
                                       "at most 60 s", "covered by", "at least 20 s", "run-off", "20 ml +- 5 ml",
                                       "run-off", "front at most 3 ml", "corner", "at least 1 mm", "thinnest",
                                       "at most 3 mm", "stretch", "at most 2", "twist", "10 deg +- 1 deg", NULL);
    rn_goal_apart(&rising, &falling, &either, &goal);
    assert_int_equal(rising.count, 4);
    assert_int_equal(rising.demands[0].kind, RN_EXPECT_COVERAGE);
    assert_int_equal(rising.demands[1].kind, RN_EXPECT_COVERED_BY); /* the more, the sooner covered */
    assert_int_equal(rising.demands[1].relation, RN_AT_MOST);
    assert_int_equal(rising.demands[2].kind, RN_EXPECT_RUN_OFF); /* its lower bound */
    assert_int_equal(rising.demands[2].relation, RN_AT_LEAST);
    check_close(rising.demands[2].value, 15e-6, 1e-12);
    assert_int_equal(rising.demands[3].kind, RN_EXPECT_CORNER);
    assert_int_equal(falling.count, 5);
    assert_int_equal(falling.demands[1].kind, RN_EXPECT_COVERED_BY);
    check_close(falling.demands[2].value, 25e-6, 1e-12); /* its upper bound */
    assert_true(falling.demands[3].one_side);
    assert_int_equal(falling.demands[4].kind, RN_EXPECT_THINNEST);
    assert_int_equal(either.count, 2);
    assert_int_equal(either.demands[1].relation, RN_ABOUT); /* which way it goes is not known: not split */
}

/* Whatever an outcome says, the parts together say what the goal says. */
static void the_parts_say_what_the_goal_says(void **state)
{
    (void)state;
    rn_goal rising, falling, either;
    const rn_goal goal = stand_in_goal("coverage", "90 % +- 5 %", "run-off", "4 ml +- 5 ml", "thinnest",
                                       "at least 1 mm", "covered by", "60 s +- 10 s", "stretch", "at most 2", NULL);
    rn_goal_apart(&rising, &falling, &either, &goal);
    int met = 0;
    for (int i = 0; i < 3 * 3 * 2 * 4 * 2; i++) {
        rn_outcome outcome = outcome_at((double[]){0.8, 0.93, 0.97}[i % 3]);
        outcome.run_off = (double[]){0, 8e-6, 12e-6}[i / 3 % 3];
        outcome.thinnest = (double[]){0.5e-3, 2e-3}[i / 9 % 2];
        outcome.covered_at = (double[]){NAN, 40, 60, 80}[i / 18 % 4];
        outcome.has_pattern = true;
        outcome.stretch = (double[]){1.5, 2.5}[i / 72 % 2];
        const bool parts = rn_goal_judge(&rising, &outcome).met && rn_goal_judge(&falling, &outcome).met &&
                           rn_goal_judge(&either, &outcome).met;
        assert_int_equal(rn_goal_judge(&goal, &outcome).met, parts);
        met += parts;
    }
    assert_true(met > 0);
}

/* ---- before the end ---- */

#define DEMANDS_MOST 400
#define LOOKS_MOST 400

typedef struct early {
    int looks, count;
    rn_forecast told[LOOKS_MOST]; /* before the end */
    rn_goal goals[DEMANDS_MOST];
} early;

static bool look(void *context, const rn_session *session)
{
    early *e = context;
    rn_error err = {0};
    rn_forecast now;
    if (rn_session_time(session) < e->looks * rn_session_end(session) / LOOKS_MOST)
        return true;
    check_ok(rn_session_forecast(&now, session, &err), &err);
    if (!now.complete)
        e->told[e->looks++] = now;
    return true;
}

static void add_round(early *e, rn_expect demand, double value)
{
    static const double shares[] = {0, 0.3, 0.8, 0.99, 1 - 1e-9, 1, 1 + 1e-9, 1.01, 1.2, 3};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++)
        for (int relation = 0; relation < 3; relation++) {
            demand.value = shares[i] * value;
            demand.relation = (rn_relation)relation;
            demand.tolerance = relation == RN_ABOUT ? 0.1 * value : 0;
            if (demand.relation == RN_ABOUT && shares[i] == 0)
                continue;
            assert_true(e->count < DEMANDS_MOST);
            e->goals[e->count++] = (rn_goal){.count = 1, .demands = {demand}};
        }
}

/* Demands round what comes of the run, to both sides of it, near and far. */
static void add_all(early *e, const rn_outcome *end)
{
    add_round(e, (rn_expect){.kind = RN_EXPECT_COVERAGE}, end->coverage);
    add_round(e, (rn_expect){.kind = RN_EXPECT_COVERED_BY}, isnan(end->covered_at) ? 60 : end->covered_at);
    add_round(e, (rn_expect){.kind = RN_EXPECT_RUN_OFF}, end->run_off + 1e-7);
    add_round(e, (rn_expect){.kind = RN_EXPECT_RUN_OFF, .share = true}, rn_outcome_lost(end) + 1e-3);
    add_round(e, (rn_expect){.kind = RN_EXPECT_RUN_OFF, .one_side = true, .side_y = -1},
              end->run_off_by_side[RN_FRONT] + 1e-7);
    add_round(e, (rn_expect){.kind = RN_EXPECT_RUN_OFF, .one_side = true, .side_x = 1},
              end->run_off_by_side[RN_RIGHT] + 1e-7);
    add_round(e, (rn_expect){.kind = RN_EXPECT_CORNER}, rn_outcome_least_corner(end) + 1e-5);
    add_round(e, (rn_expect){.kind = RN_EXPECT_THINNEST}, end->thinnest + 1e-5);
    add_round(e, (rn_expect){.kind = RN_EXPECT_THINNEST}, end->mean);
    for (int i = e->count - 30; i > 0 && e->count < DEMANDS_MOST; i -= 7) /* two at once */
        e->goals[e->count++] = (rn_goal){.count = 2, .demands = {e->goals[i].demands[0], e->goals[i / 2].demands[0]}};
}

static rn_outcome run_watched(const rn_plan *plan, early *e)
{
    rn_session *session = NULL;
    rn_session_options options = rn_session_defaults();
    rn_forecast forecast;
    rn_error err = {0};
    options.cells = 64;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, look, e, &err), &err);
    check_ok(rn_session_forecast(&forecast, session, &err), &err);
    rn_session_free(session);
    return rn_outcome_of(&forecast);
}

static rn_decided decided_first(const rn_plan *plan, const early *e, int demand)
{
    char why[RN_OUTCOME_WHY];
    rn_decided first = RN_OPEN;
    for (int k = 0; k < e->looks; k++) {
        const rn_decided decided = rn_goal_decided(why, &e->goals[demand], plan, &e->told[k]);
        if (first != RN_OPEN)
            assert_int_equal(decided, first); /* once decided, always */
        if (decided != RN_OPEN)
            assert_true(why[0] != '\0');
        first = decided;
    }
    return first;
}

/* What is decided on the way is what the end says, for hundreds of demands round what comes of each plan. */
static void what_is_decided_early_holds_at_the_end(void **state)
{
    (void)state;
    static const char *const paths[] = {"presets/small-study.yaml", "presets/wrapped-sides.yaml",
                                        "presets/too-little.yaml", "presets/lesson-volume.yaml"};
    int met = 0, missed = 0;
    early *e = malloc(sizeof *e);
    assert_non_null(e);
    for (size_t p = 0; p < sizeof paths / sizeof paths[0]; p++) {
        rn_plan *plan = NULL;
        rn_error err = {0};
        check_ok(rn_plan_read_file(&plan, paths[p], &err), &err);
        memset(e, 0, sizeof *e);
        const rn_outcome end = run_watched(plan, e);
        assert_int_equal(end.state, RN_OUTCOME_WHOLE);
        assert_true(e->looks > 20);
        add_all(e, &end);
        for (int i = 0; i < e->count; i++) {
            const rn_decided decided = decided_first(plan, e, i);
            met += decided == RN_SURELY_MET;
            missed += decided == RN_SURELY_MISSED;
            if (decided != RN_OPEN && rn_goal_judge(&e->goals[i], &end).met != (decided == RN_SURELY_MET))
                fail_msg("%s: demand %d was decided as %s and is not", paths[p], i,
                         decided == RN_SURELY_MET ? "met" : "missed");
        }
        rn_plan_free(plan);
    }
    free(e);
    printf("decided early: %d met, %d missed\n", met, missed);
    assert_true(met > 20 && missed > 100);
}

/* Too little paint for a demand is seen before anything is poured: nothing comes from nowhere. */
static void too_little_paint_is_seen_at_once(void **state)
{
    (void)state;
    char why[RN_OUTCOME_WHY] = "";
    rn_plan *plan = stand_in_plan(NULL); /* 100 ml for 200 cm2: 5 mm */
    const rn_forecast start = {.cover = plan->cover};
    const rn_goal deep = stand_in_goal("thinnest", "at least 6 mm", NULL);
    const rn_goal shallow = stand_in_goal("thinnest", "at least 4.9 mm", NULL);
    const rn_goal off = stand_in_goal("run-off", "at least 101 ml", NULL);
    const rn_goal none = stand_in_goal("run-off", "at most 101 ml", NULL);
    assert_int_equal(rn_goal_decided(why, &deep, plan, &start), RN_SURELY_MISSED);
    assert_string_equal(why, "thinnest at least 6 mm: too little paint is left for it");
    assert_int_equal(rn_goal_decided(why, &shallow, plan, &start), RN_OPEN);
    assert_int_equal(rn_goal_decided(why, &off, plan, &start), RN_SURELY_MISSED);
    assert_int_equal(rn_goal_decided(why, &none, plan, &start), RN_SURELY_MET);
    rn_plan_free(plan);
}

/* The cells that lie on a round panel have another area than the panel: an even film on them that covers it whole can hold less
   than the panel's area asks for, and is not given up on the way. */
static void cells_of_the_rim_are_not_taken_for_a_lack(void **state)
{
    (void)state;
    static const char even[] =
        "plan: 1\npanel: {across: 200 mm, edges: walls}\ncover: 0.2 mm\n"
        "paints: {silt: {viscosity: 100 Pa s}}\nbase: [{paint: silt, depth: 0.2001 mm}]\nend: 0.2 s\n";
    char why[RN_OUTCOME_WHY];
    rn_plan *plan = stand_in_read(even);
    const rn_goal goals[] = {stand_in_goal("coverage", "at least 100 %", NULL),
                             stand_in_goal("thinnest", "at least 0.2 mm", NULL)};
    int tight = 0;
    for (int cells = 64; cells <= 80; cells++) {
        rn_session *session = NULL;
        rn_session_options options = rn_session_defaults();
        rn_forecast begin, end;
        rn_error err = {0};
        options.cells = cells;
        check_ok(rn_session_new(&session, plan, &options, &err), &err);
        check_ok(rn_session_forecast(&begin, session, &err), &err);
        check_ok(rn_session_run(session, NULL, NULL, &err), &err);
        check_ok(rn_session_forecast(&end, session, &err), &err);
        tight += begin.on_panel < rn_panel_area(&plan->panel) * plan->cover;
        const rn_outcome outcome = rn_outcome_of(&end);
        for (int i = 0; i < 2; i++) {
            assert_true(rn_goal_judge(&goals[i], &outcome).met);
            if (rn_goal_decided(why, &goals[i], plan, &begin) == RN_SURELY_MISSED)
                fail_msg("on %d cells: %s", cells, why);
        }
        rn_session_free(session);
    }
    assert_true(tight > 0);
    rn_plan_free(plan);
}

static void no_demands_are_never_decided(void **state)
{
    (void)state;
    char why[RN_OUTCOME_WHY];
    rn_plan *plan = stand_in_plan(NULL);
    const rn_forecast start = {.cover = plan->cover};
    const rn_goal nothing = {0};
    assert_int_equal(rn_goal_decided(why, &nothing, plan, &start), RN_OPEN);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_s_own_or_that_it_is_covered),
        cmocka_unit_test(a_demand_takes_the_place_of_its_kind),
        cmocka_unit_test(what_is_no_demand_is_refused),
        cmocka_unit_test(patterns_are_only_worked_out_for_what_needs_them),
        cmocka_unit_test(margins_say_how_far_inside),
        cmocka_unit_test(what_is_met_lacks_nothing),
        cmocka_unit_test(judged_as_runnel_check_judges),
        cmocka_unit_test(never_covered_is_worse_than_late),
        cmocka_unit_test(what_is_not_whole_tells_yes_or_no),
        cmocka_unit_test(figures_stand_alone),
        cmocka_unit_test(demands_part_by_what_more_paint_does),
        cmocka_unit_test(the_parts_say_what_the_goal_says),
        cmocka_unit_test(what_is_decided_early_holds_at_the_end),
        cmocka_unit_test(too_little_paint_is_seen_at_once),
        cmocka_unit_test(cells_of_the_rim_are_not_taken_for_a_lack),
        cmocka_unit_test(no_demands_are_never_decided),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
