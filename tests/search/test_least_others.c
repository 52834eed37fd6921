/* The least of other numbers than the volume, against a model whose answers are known, and searches that find none. */
#include "check.h"

#include <string.h>

#include "search/least_world.h"
#include "search/nook.h"

/* ---- other numbers ---- */

static void the_least_spin_that_does(void **state)
{
    (void)state;
    world w = simple;
    w.spin[0] = 30;
    w.spin[1] = 55;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    for (int k = 0; k < 2; k++) { /* on the coarse grid elsewhere, once where the fine one has nothing above */
        w.coarse_spin[0] = k ? 60 : 30.3;
        w.coarse_spin[1] = k ? 90 : 60;
        search *s = search_of(&w, "moves.2.spin", "10 rpm", "100 rpm", goal, rn_study_defaults());
        search_find(s);
        assert_true(s->dial.negative);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        check_at_least(s->found.fine.value, 30 * RN_RPM * (1 - 1e-9));
        check_close(s->found.fine.value, 30 * RN_RPM, 0.0101);
        check_at_most(s->found.fine.unmet, 30 * RN_RPM);
        check_close(s->found.coarse.value, (k ? 60 : 30.3) * RN_RPM, 0.0101);
        assert_int_equal(s->found.fine.runs < 10, k == 0); /* near the coarse answer, not over all of the range again */
        search_free(s);
    }
}

static void no_spin_does(void **state)
{
    (void)state;
    world w = simple;
    w.spin[0] = 30;
    w.spin[1] = 30.0001;
    search *s =
        found_by(&w, "moves.2.spin", stand_in_goal("thinnest", "at least 1 mm", "coverage", "at least 90 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_NOWHERE);
    assert_int_equal(s->found.fine.needs, 1);
    /* of ten by factors from 2.5 to 640 rpm the nearest to 30 rpm, where the model covers most */
    check_close(s->found.fine.value / RN_RPM, 2.5 * pow(256, 4.0 / 9), 1e-3);
    search_free(s);
}

static void spins_that_all_do(void **state)
{
    (void)state;
    world w = simple;
    w.spin[1] = 1e6;
    search *s = found_by(&w, "moves.2.spin", stand_in_goal("coverage", "at least 90 %", NULL));
    assert_int_equal(s->found.fine.state, RN_LEAST_LOWEST);
    check_close(s->found.fine.value, 2.5 * RN_RPM, 1e-9);
    search_free(s);
}

/* Whole numbers: the answer and the one below it, though the grids differ by one. */
static void whole_numbers(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    for (int lifts = 2; lifts <= 20; lifts++) {
        world w = simple;
        w.lifts = lifts;
        search *s = search_of(&w, "pours.1.lifts", "1", "24", goal, rn_study_defaults());
        search_find(s);
        assert_int_equal(s->found.fine.state, RN_LEAST_FOUND);
        assert_true(s->found.fine.value == lifts);
        assert_true(s->found.fine.unmet == lifts - 1);
        assert_true(s->found.coarse.value == lifts + 1);
        search_free(s);
    }
    world w = simple; /* fewer values than rungs: each once */
    w.lifts = 3;
    search *s = search_of(&w, "pours.1.lifts", "1", "4", goal, rn_study_defaults());
    search_find(s);
    assert_true(s->found.fine.value == 3 && s->found.fine.unmet == 2);
    assert_true(s->found.coarse.runs <= 4);
    search_free(s);
}

/* ---- what goes wrong ---- */

static void check_no_answer(search *s, rn_status status, const char *says)
{
    s->found.close = 17;
    check_status(rn_least_find(&s->found, s->plan, &s->dial, &s->options, s->study, &s->err), status, &s->err);
    if (!strstr(s->err.message, says))
        fail_msg("'%s' does not say '%s'", s->err.message, says);
    assert_true(s->found.close == 17); /* untouched */
    search_free(s);
}

static void runs_that_fail_are_no_answer(void **state)
{
    (void)state;
    world w = simple;
    w.fails[1] = 1e9;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    check_no_answer(search_of(&w, "poured", NULL, NULL, goal, rn_study_defaults()), RN_E_NUMERIC,
                    "could not be worked out: the film tore at 3 s");
    check_no_answer(search_of(&w, "moves.2.spin", NULL, NULL, goal, rn_study_defaults()), RN_E_NUMERIC,
                    "could not be worked out: the film tore at 3 s");
    w.fails[1] = 250; /* too little fails, and what is beyond does not: the least that can be worked out */
    search *s = found_by(&w, "poured", goal);
    check_close(s->found.fine.value, 250 * ML, 0.0101);
    assert_int_equal(s->found.fine.below.state, RN_OUTCOME_FAILED);
    search_free(s);
}

static void values_that_make_no_plan(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", NULL);
    check_no_answer(search_of(&simple, "pours.1.width", NULL, NULL, goal, rn_study_defaults()), RN_E_PLAN,
                    "makes no plan, so the range must be less: ");
    check_no_answer(search_of(&simple, "poured", "0 ml", NULL, stand_in_goal("coverage", "at least 1 %", NULL),
                              rn_study_defaults()),
                    RN_E_PLAN, "poured 0 ml makes no plan");
}

static void without_a_goal(void **state)
{
    (void)state;
    check_no_answer(search_of(&simple, "poured", NULL, NULL, (rn_goal){0}, rn_study_defaults()), RN_E_PLAN,
                    "there is no goal to meet");
}

static bool tell_until(void *context, const rn_progress *progress)
{
    return progress->done < *(const int *)context;
}

/* Stopped after any number of runs: no answer, or the coarse one, and the search goes on from what is kept. */
static void stopped_after_any_number_of_runs(void **state)
{
    const rn_goal goal = stand_in_goal("coverage", "at least 90 %", "run-off", "at most 10 ml", NULL);
    world w = simple;
    w.overflow = 100;
    search *whole = found_by(&w, "poured", goal);
    const int all = atomic_load(&whole->model.calls);
    for (int limit = 0; limit <= all; limit++) {
        char name[40];
        int calls = 0;
        rn_error err = {0};
        rn_study_options options = rn_study_defaults();
        snprintf(name, sizeof name, "runs%d", limit);
        check_ok(rn_cache_open(&options.cache, nook_path(state, name), &err), &err);
        options.threads = 1;
        options.tell = tell_until;
        options.tell_context = &limit;
        search *s = search_of(&w, "poured", NULL, NULL, goal, options);
        s->model.lasting = 1e-3;
        search_find(s);
        calls = atomic_load(&s->model.calls);
        assert_true(!s->found.has_fine || rn_study_stopped(s->study) == (limit <= all));
        assert_int_equal(s->found.has_coarse, s->found.coarse.state == RN_LEAST_APART);
        if (limit == 0)
            assert_false(s->found.has_coarse);
        search_free(s);
        options.tell = NULL;
        s = search_of(&w, "poured", NULL, NULL, goal, options);
        search_find(s);
        assert_true(s->found.fine.value == whole->found.fine.value && s->found.fine.most == whole->found.fine.most);
        assert_true(calls + atomic_load(&s->model.calls) <= all + 1); /* but for the one in flight */
        search_free(s);
        rn_cache_close(options.cache);
    }
    search_free(whole);
}

static void threads_do_not_matter(void **state)
{
    (void)state;
    const rn_goal goal = stand_in_goal("coverage", "at least 77 %", NULL);
    double values[3];
    for (int k = 0; k < 3; k++) {
        rn_study_options options = rn_study_defaults();
        options.threads = (int[]){1, 2, 16}[k];
        search *s = search_of(&simple, "poured", NULL, NULL, goal, options);
        search_find(s);
        values[k] = s->found.fine.value;
        search_free(s);
    }
    assert_true(values[0] == values[1] && values[0] == values[2]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_least_spin_that_does),
        cmocka_unit_test(no_spin_does),
        cmocka_unit_test(spins_that_all_do),
        cmocka_unit_test(whole_numbers),
        cmocka_unit_test(runs_that_fail_are_no_answer),
        cmocka_unit_test(values_that_make_no_plan),
        cmocka_unit_test(without_a_goal),
        cmocka_unit_test_setup_teardown(stopped_after_any_number_of_runs, nook_make, nook_remove),
        cmocka_unit_test(threads_do_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
