/* The least that is sure enough, of stand-in models whose chance at every volume is known. */
#include "check.h"

#include <stdatomic.h>
#include <string.h>

#include "search/stand_in.h"
#include "search/sure.h"

static rn_plan *plan;

static int enter(void **state)
{
    (void)state;
    plan = stand_in_spun();
    return 0;
}

static int leave(void **state)
{
    (void)state;
    rn_plan_free(plan);
    plan = NULL;
    return 0;
}

typedef struct model {
    stand_in base;
    int stop_after; /* runs; 0: never */
    rn_study *study;
} model;

/* Covered by 200 ml at 1 Pa s, by more the thicker it is; what is over 60 ml runs off, less where it is thick. */
static rn_outcome outcome_of(const rn_run *run, const void *context)
{
    (void)context;
    const double volume = rn_plan_poured_all(run->plan), thickness = run->plan->paints[0].law.consistency;
    rn_outcome outcome = stand_in_outcome(run->plan, fmin(1, volume / (200e-6 * thickness)));
    outcome.nx = outcome.ny = run->cells;
    outcome.run_off = fmax(0, volume - 60e-6 * thickness);
    outcome.thinnest = fabs(run->plan->moves[0].amount) * 1e-4;
    return outcome;
}

static void work(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on, void *study)
{
    model *m = context;
    stand_in_run(&m->base, outcome, bytes, run, go_on, study);
    if (m->stop_after > 0 && atomic_load(&m->base.calls) >= m->stop_after)
        rn_study_stop(m->study);
}

static rn_sure_options options_of(double sure, const char *path, const char *how)
{
    rn_sure_options options = rn_sure_defaults();
    rn_error err = {0};
    options.sure = sure;
    check_ok(rn_doubts_add(&options.doubts, plan, path, how, &err), &err);
    return options;
}

static void want(rn_sure_options *options, const char *word, const char *wanted)
{
    rn_error err = {0};
    check_ok(rn_goal_add(&options->least.goal, word, wanted, &err), &err);
}

static rn_sure find_of(model *m, const char *path, const rn_sure_options *options, int threads)
{
    rn_study_options how = rn_study_defaults();
    rn_sure found;
    rn_dial dial;
    rn_error err = {0};
    m->base.of = outcome_of;
    how.threads = threads;
    how.model = work;
    how.model_context = m;
    check_ok(rn_study_new(&m->study, how, &err), &err);
    check_ok(rn_dial_make(&dial, plan, path, NULL, NULL, &err), &err);
    check_ok(rn_sure_find(&found, plan, &dial, options, m->study, &err), &err);
    rn_study_free(m->study);
    return found;
}

/* What a draw needs is 0.5 x 200 ml x (1 + 0.1 z), z normal: 9 of 10 draws are met from 100 ml x (1 + 0.1 x 1.28155) on,
   half of them from 100 ml on (table 26.3 of [abramowitz1964]). Of the 600 draws a share p has its quantile within
   sqrt(p (1 - p)/n)/density standard deviations, here taken fourfold. */
static void the_volume_is_the_known_quantile(void **state)
{
    (void)state;
    static const struct {
        double sure, z, error;
    } cases[] = {{0.5, 0, 0.0512}, {0.9, 1.2815516, 0.0698}, {0.975, 1.959964, 0.109}};
    for (int i = 0; i < 3; i++) {
        model m = {0};
        rn_sure_options options = options_of(cases[i].sure, "consistency", "+-20%");
        options.draws = 600;
        want(&options, "coverage", "at least 50 %");
        const rn_sure found = find_of(&m, "poured", &options, 2);
        assert_int_equal(found.state, RN_LEAST_FOUND);
        check_within(found.at.value, 100e-6 * (1 + 0.1 * cases[i].z), 10e-6 * 4 * cases[i].error + 1.3e-6);
        check_within(found.own.fine.value, 100e-6, 1e-6);
        check_at_least(found.at.met, cases[i].sure * 600);
        assert_int_equal(found.at.missed[0], 600 - found.at.met);
        assert_true(found.unmet < found.at.value && found.at.value - found.unmet < 1.4e-6);
        assert_in_range(found.at_own.met, 240, 380); /* half, and what lies within 1 ml of it */
        assert_int_equal(found.fine.nx, 256);
        check_at_most(atomic_load(&m.base.calls),
                      5 * 600); /* two counts of all, and the rest mostly known from other volumes */
    }
}

/* Counted one by one from the draws themselves: exactly so many draws meet the goal there, and fewer than are needed below. */
static void the_share_is_that_of_the_draws(void **state)
{
    (void)state;
    model m = {0};
    rn_sure_options options = options_of(0.8, "consistency", "+-20%");
    want(&options, "coverage", "at least 50 %");
    const rn_sure found = find_of(&m, "poured", &options, 1);
    int met = 0, below = 0;
    for (int k = 0; k < options.draws; k++) {
        double numbers[1], readings[1];
        rn_error err = {0};
        rn_doubts_random(numbers, &options.doubts, options.seed, k);
        check_ok(rn_doubts_draw(NULL, readings, &options.doubts, plan, numbers, &err), &err);
        met += found.at.value >= 100e-6 * readings[0] * (1 - 1e-5);
        below += found.unmet >= 100e-6 * readings[0] * (1 - 1e-5);
    }
    assert_int_equal(found.needed, 48);
    assert_int_equal(found.at.met, met);
    assert_true(met >= 48 && below < 48);
}

static void a_volume_in_doubt_is_scaled(void **state)
{
    (void)state;
    model m = {0};
    rn_sure_options options = options_of(0.9, "poured", "+-20%");
    options.draws = 600;
    want(&options, "coverage", "at least 50 %");
    const rn_sure found = find_of(&m, "poured", &options, 2);
    assert_int_equal(found.state, RN_LEAST_FOUND);
    check_close(found.at.value, 100e-6 / (1 - 0.1 * 1.2815516), 0.045);
}

/* More is wanted by the coverage, less by the run-off. Where both are to be had, the volume lies between; where they are not,
   it is said which wants what. */
static void what_wants_less_bounds_it(void **state)
{
    (void)state;
    for (int far = 0; far < 2; far++) {
        model m = {0};
        rn_sure_options options = options_of(0.9, "consistency", far ? "+-40%" : "+-5%");
        options.draws = 200;
        want(&options, "coverage", "at least 50 %");
        want(&options, "run-off", "at most 50 ml");
        const rn_sure found = find_of(&m, "poured", &options, 2);
        if (!far) { /* needs 103.2 ml; runs off from 110 - 1.9 ml on */
            assert_int_equal(found.state, RN_LEAST_FOUND);
            check_within(found.at.value, 103.2e-6, 2.2e-6);
            continue;
        }
        assert_int_equal(found.state, RN_LEAST_APART); /* needs 125.6 ml, allows 110 - 15.4 ml */
        check_within(found.at.value, 125.6e-6, 8e-6);
        check_within(found.most, 94.6e-6, 6e-6);
        check_at_most(found.too_much, found.unmet);
        assert_int_equal(found.allows, 1);
        assert_int_equal(found.needs, 0);
        assert_true(found.at.met < found.needed);
    }
}

/* How many draws want no more than a volume, how many allow as much, and how many do both. */
static void count_draws(int *wants, int *allows, int *both, const double *thickness, int draws, double volume,
                        double spilt)
{
    *wants = *allows = *both = 0;
    for (int k = 0; k < draws; k++) {
        const bool covers = volume / (200e-6 * thickness[k]) >= 0.5, holds = volume - 60e-6 * thickness[k] <= spilt;
        *wants += covers;
        *allows += holds;
        *both += covers && holds;
    }
}

static void thickness_of_draws(double *thickness, const rn_sure_options *options)
{
    for (int k = 0; k < options->draws; k++) {
        double numbers[1], readings[1];
        rn_plan *drawn = NULL;
        rn_error err = {0};
        rn_doubts_random(numbers, &options->doubts, options->seed, k);
        check_ok(rn_doubts_draw(&drawn, readings, &options->doubts, plan, numbers, &err), &err);
        thickness[k] = drawn->paints[0].law.consistency;
        rn_plan_free(drawn);
    }
}

/* More and less are wanted within less than each is looked for: what is said of the volumes between is what the draws
   themselves say. Volumes are told to 0.1 ml here. */
static void what_lies_between_is_tried(void **state)
{
    (void)state;
    int found_some = 0, apart_some = 0;
    for (double spilt = 41; spilt < 45.5; spilt += 0.39) {
        model m = {0};
        char wanted[40];
        double thickness[100];
        int wants, allows, both, best = 0;
        rn_sure_options options = options_of(0.9, "consistency", "+-2%");
        options.draws = 100;
        want(&options, "coverage", "at least 50 %");
        snprintf(wanted, sizeof wanted, "at most %g ml", spilt);
        want(&options, "run-off", wanted);
        const rn_sure found = find_of(&m, "poured", &options, 2);
        thickness_of_draws(thickness, &options);
        for (int tenth = 1000; tenth < 1100; tenth++) {
            count_draws(&wants, &allows, &both, thickness, 100, tenth * 1e-7, spilt * 1e-6);
            best = both > best ? both : best;
        }
        if (found.state == RN_LEAST_FOUND) {
            count_draws(&wants, &allows, &both, thickness, 100, found.at.value, spilt * 1e-6);
            assert_int_equal(found.at.met, both);
            assert_true(both >= found.needed);
            found_some++;
            continue;
        }
        if (found.state == RN_LEAST_APART) {
            assert_true(best < found.needed);
            assert_true(found.too_much - found.unmet < 0.11e-6);
            count_draws(&wants, &allows, &both, thickness, 100, found.unmet, spilt * 1e-6);
            assert_true(wants < found.needed);
            count_draws(&wants, &allows, &both, thickness, 100, found.too_much, spilt * 1e-6);
            assert_true(allows < found.needed);
            assert_int_equal(found.needs, 0);
            assert_int_equal(found.allows, 1);
            apart_some++;
            continue;
        }
        assert_int_equal(found.state, RN_LEAST_NOWHERE); /* each for itself, but not both in so many draws */
        assert_true(best < found.needed);
    }
    assert_true(found_some > 2 && apart_some > 2);
}

static void what_no_volume_does_is_said(void **state)
{
    (void)state;
    model m = {0};
    rn_sure_options options = options_of(0.9, "moves.spin", "+-50%");
    want(&options, "thinnest", "at least 0.4 mm"); /* hangs on the spin alone, and is met in half of the draws */
    rn_sure found = find_of(&m, "poured", &options, 2);
    assert_int_equal(found.state, RN_LEAST_NEVER);
    check_close(found.at.value, found.dial.to, 1e-9);
    assert_int_equal(found.at.worst, 0);
    assert_true(found.at.met < found.needed && found.at.met > 0);

    rn_sure_options spilled = options_of(0.9, "consistency", "+-20%");
    want(&spilled, "run-off", "at most 10 ml");
    want(&spilled, "coverage", "at least 1 %");
    found = find_of(&m, "poured", &spilled, 2);
    assert_int_equal(found.state, RN_LEAST_LOWEST);
    check_close(found.at.value, found.dial.from, 1e-9);
    assert_int_equal(found.at.met, found.at.of);
}

/* 0.4 mm at 4 rad/s; 9 of 10 from 4/(1 - 0.1 x 1.28155) on. */
static void another_number_is_gone_through(void **state)
{
    (void)state;
    model m = {0};
    rn_sure_options options = options_of(0.9, "moves.1.spin", "+-20%");
    options.draws = 200;
    want(&options, "thinnest", "at least 0.4 mm");
    const rn_sure found = find_of(&m, "moves.1.spin", &options, 2);
    assert_int_equal(found.state, RN_LEAST_FOUND);
    check_close(found.at.value, 4 / (1 - 0.1 * 1.2815516), 0.05);
    check_at_least(found.at.met, 180);
}

static void threads_change_nothing(void **state)
{
    (void)state;
    model one = {0}, many = {0};
    rn_sure_options options = options_of(0.9, "consistency", "+-20%");
    want(&options, "coverage", "at least 50 %");
    const rn_sure a = find_of(&one, "poured", &options, 1), b = find_of(&many, "poured", &options, 5);
    assert_true(a.at.value == b.at.value && a.unmet == b.unmet && a.at.met == b.at.met && a.at_own.met == b.at_own.met);
    assert_int_equal(atomic_load(&one.base.calls), atomic_load(&many.base.calls));
}

static void a_stop_leaves_no_answer(void **state)
{
    (void)state;
    rn_sure_options options = options_of(0.9, "consistency", "+-20%");
    want(&options, "coverage", "at least 50 %");
    for (int after = 1; after < 200; after += 23) {
        model m = {.stop_after = after};
        const rn_sure found = find_of(&m, "poured", &options, 2);
        assert_int_equal(found.state, RN_LEAST_STOPPED);
    }
}

static void what_cannot_be_looked_for_is_refused(void **state)
{
    (void)state;
    model m = {0};
    rn_study_options how = rn_study_defaults();
    rn_sure found;
    rn_dial dial;
    rn_error err = {0};
    m.base.of = outcome_of;
    how.model = work;
    how.model_context = &m;
    rn_sure_options options = options_of(0.9, "consistency", "+-20%");
    check_ok(rn_study_new(&m.study, how, &err), &err);
    check_ok(rn_dial_make(&dial, plan, "poured", NULL, NULL, &err), &err);
    check_status(rn_sure_find(&found, plan, &dial, &options, m.study, &err), RN_E_PLAN, &err);
    err = (rn_error){0};
    want(&options, "coverage", "at least 50 %");
    options.doubts.count = 0;
    check_status(rn_sure_find(&found, plan, &dial, &options, m.study, &err), RN_E_PLAN, &err);
    rn_study_free(m.study);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)
    const struct CMUnitTest tests[] = {
        TEST(the_volume_is_the_known_quantile), TEST(the_share_is_that_of_the_draws),
        TEST(a_volume_in_doubt_is_scaled),      TEST(what_wants_less_bounds_it),
        TEST(what_lies_between_is_tried),       TEST(what_no_volume_does_is_said),
        TEST(another_number_is_gone_through),   TEST(threads_change_nothing),
        TEST(a_stop_leaves_no_answer),          TEST(what_cannot_be_looked_for_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
