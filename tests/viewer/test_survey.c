/* What is asked besides the window of plans that work: the least volume and the odds, told and let go. */
#include <string.h>
#include <time.h>

#include "axes.h"
#include "base/monotonic.h"
#include "check.h"
#include "edit.h"
#include "program.h"
#include "survey.h"

#define ML 1e-6 /* [m3] */

static bool answered(program *p)
{
    return program_map(p)->answers[RV_LEAST_VOLUME].done || program_map(p)->answers[RV_ODDS].done;
}

static void the_least_volume_is_found_and_taken(void **state)
{
    (void)state;
    program *p = program_mapped(false);
    rn_plan *draft = document_draft(p->view->doc);
    rn_error err = {0};
    draft->expect_count = 0; /* covered, and nothing else */
    program_change(p, draft);
    hand_wait(&p->hand, 0.3);
    program_show(p);
    program_wait(p, program_complete);
    hand_key(&p->hand, 'v', 0);
    program_wait(p, answered);
    const rv_map_answer *answer = &program_map(p)->answers[RV_LEAST_VOLUME];
    /* By the formula: 0.7 + 500 depth / (1 + viscosity) is 0.995. */
    const rn_plan *plan = document_plan(p->view->doc);
    rn_plan_number number;
    check_ok(rn_plan_number_at(&number, plan, "consistency", &err), &err);
    const double least = 0.295 * (1 + number.value) / 500 * rn_panel_area(&plan->panel);
    check_at_least(answer->value, least * (1 - 1e-9));
    check_at_most(answer->value, least + 1.5 * ML);
    program_frame(p);
    hand_press(&p->hand, PART_ANSWER, RV_LEAST_VOLUME, 0);
    double poured = 0;
    for (int k = 0; k < document_plan(p->view->doc)->paint_count; k++)
        poured += edit_jar_volume(document_plan(p->view->doc), k);
    check_at_least(poured, least * (1 - 1e-9));
    check_at_most(poured, least + 1.5 * ML);
    program_frame(p);
    assert_false(program_map(p)->answers[RV_LEAST_VOLUME].done); /* it was of another plan */
    program_end(p);
}

static void the_odds_are_told(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    hand_key(&p->hand, 'o', 0);
    program_wait(p, answered);
    assert_non_null(strstr(program_map(p)->answers[RV_ODDS].text, "of 100 draws"));
    program_end(p);
}

static void a_question_is_let_go(void **state)
{
    (void)state;
    program *p = program_shown(false, program_complete);
    atomic_store(&p->model->shut, true);
    hand_key(&p->hand, 'v', 0);
    program_frame(p);
    assert_true(program_map(p)->answers[RV_LEAST_VOLUME].working);
    assert_false(program_still(p));
    hand_key(&p->hand, KEY_ESCAPE, 0);
    program_frame(p);
    assert_false(program_map(p)->answers[RV_LEAST_VOLUME].working);
    hand_wait(&p->hand, 0.2);
    for (int k = 0; k < 20; k++) {
        program_frame(p);
        nanosleep(&(struct timespec){0, 10000000}, NULL);
    }
    assert_false(program_map(p)->answers[RV_LEAST_VOLUME].done);
    hand_key(&p->hand, 'v', 0); /* and can be asked again */
    program_frame(p);
    atomic_store(&p->model->shut, false);
    program_wait(p, answered);
    program_end(p);
}

/* ---- asked and let go at any moment ---- */

#define CELLS 64      /* of the window's runs */
#define QUESTIONS 300 /* that are let go */
#define LATER 1e-6    /* each so much longer after it was asked than the one before [s] */
#define SOON 3600.0   /* what hangs ends so; the tests' own limit comes first [s] */

/* Only the window's runs end by themselves. */
static void run_window_only(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                            void *study)
{
    if (run->cells == CELLS) {
        mapped_run(context, outcome, bytes, run, go_on, study);
        return;
    }
    *outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    *bytes = 1000;
    while (go_on(study))
        nanosleep(&(struct timespec){0, 100000}, NULL);
}

static rn_window *small_window(const rn_plan *plan, const rn_goal *goal)
{
    rn_dial x, y;
    rn_error err = {0};
    rn_window *window = NULL;
    rn_window_options options = rn_window_defaults();
    options.columns = options.rows = RN_WINDOW_TILES_LEAST;
    options.cells = CELLS;
    check_ok(axes_dial(&x, plan, "consistency", &err), &err);
    check_ok(axes_dial(&y, plan, "poured", &err), &err);
    check_ok(rn_window_new(&window, plan, &x, &y, goal, &options, &err), &err);
    return window;
}

static void wait_for_tale(rv_survey *survey, long version)
{
    const double since = rn_monotonic_now();
    for (bool told = false; !told;) {
        rv_survey_tale *tale = survey_take_tale(survey);
        told = tale && tale->version == version;
        survey_tale_free(tale);
        assert_true(rn_monotonic_now() - since < SOON);
        nanosleep(&(struct timespec){0, 200000}, NULL);
    }
}

/* Whether it was waiting, taken up or under way: then the window goes on. */
static void no_question_stays_that_was_let_go(void **state)
{
    (void)state;
    rv_survey *survey = NULL;
    rn_error err = {0};
    const rv_survey_options options = {.threads = 1, .model = run_window_only};
    rn_plan *plan = program_plan();
    const rn_goal goal = rn_goal_of_plan(plan);
    rn_window *window = small_window(plan, &goal);
    check_ok(survey_new(&survey, options, &err), &err);
    for (int k = 0; k < QUESTIONS; k++) {
        check_ok(survey_ask(survey, RV_LEAST_VOLUME, plan, &goal, &err), &err);
        const double since = rn_monotonic_now();
        while (rn_monotonic_now() - since < LATER * k)
            ;
        survey_cancel(survey);
        check_ok(survey_set_window(survey, window, k, &err), &err);
        wait_for_tale(survey, k);
    }
    survey_free(survey);
    rn_window_free(window);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_least_volume_is_found_and_taken),
        cmocka_unit_test(the_odds_are_told),
        cmocka_unit_test(a_question_is_let_go),
        cmocka_unit_test(no_question_stays_that_was_let_go),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
