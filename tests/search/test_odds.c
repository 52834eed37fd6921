/* The odds of stand-in models whose chance is known. */
#include "check.h"

#include <stdatomic.h>
#include <string.h>

#include "search/nook.h"
#include "search/odds.h"
#include "search/rank.h"
#include "search/stand_in.h"

static rn_plan *plan;

static int enter(void **state)
{
    plan = stand_in_spun();
    return nook_make(state);
}

static int leave(void **state)
{
    rn_plan_free(plan);
    plan = NULL;
    return nook_remove(state);
}

/* How the stand-in behaves. */
typedef struct model {
    stand_in base;
    bool fails;     /* where more than 104 ml are poured */
    bool uncovered; /* where less than 100 ml are */
    int stop_after; /* runs; 0: never */
    rn_study *study;
} model;

/* A face of which half is covered by 100 ml, that loses as many ml as the paint has Pa s, and is the deeper the faster it is
   spun. */
static rn_outcome outcome_of(const rn_run *run, const void *context)
{
    const model *m = context;
    const double volume = rn_plan_poured_all(run->plan);
    rn_outcome outcome = stand_in_outcome(run->plan, volume / 200e-6);
    outcome.nx = outcome.ny = run->cells;
    outcome.covered_at = m->uncovered && volume < 100e-6 ? NAN : 30 + volume * 1e5;
    outcome.run_off = 1e-6 * run->plan->paints[0].law.consistency;
    outcome.thinnest = run->plan->moves[0].amount * 1e-4;
    for (int c = 0; c < RN_CORNERS; c++)
        outcome.corner[c] = 1e-3;
    if (m->fails && volume > 104e-6)
        outcome = (rn_outcome){.state = RN_OUTCOME_FAILED, .why = "too much of it"};
    return outcome;
}

static void work(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on, void *study)
{
    model *m = context;
    stand_in_run(&m->base, outcome, bytes, run, go_on, study);
    if (m->stop_after > 0 && atomic_load(&m->base.calls) >= m->stop_after)
        rn_study_stop(m->study);
}

static rn_odds_options options_of(const char *goal, const char *wanted, const char *const doubts[])
{
    rn_odds_options options = rn_odds_defaults();
    rn_error err = {0};
    check_ok(rn_goal_add(&options.goal, goal, wanted, &err), &err);
    for (int i = 0; doubts[i]; i += 2)
        check_ok(rn_doubts_add(&options.doubts, plan, doubts[i], doubts[i + 1], &err), &err);
    return options;
}

static const char *const volume_alone[] = {"poured", "+-8 ml", NULL};
static const char *const three[] = {"poured", "+-8 ml", "consistency", "+-10%", "moves.spin", "+-5%", NULL};

static rn_odds *work_out(model *m, const rn_odds_options *options, int threads, rn_cache *cache)
{
    rn_study_options how = rn_study_defaults();
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    rn_error err = {0};
    how.threads = threads;
    how.cache = cache;
    m->base.of = outcome_of;
    m->base.context = m;
    how.model = work;
    how.model_context = m;
    how.model_name = "stand-in";
    check_ok(rn_study_new(&m->study, how, &err), &err);
    check_ok(rn_odds_list(&batch, plan, options, &err), &err);
    check_ok(rn_batch_work(&batch, 0, 1, m->study, &err), &err);
    check_ok(rn_odds_take(&odds, &batch, plan, options, &err), &err);
    rn_batch_clear(&batch);
    rn_study_free(m->study);
    return odds;
}

/* 100 ml +- 8 ml are at least 98 ml in Phi(0.5) = 0.6915 of all cases and at least 95 ml in Phi(1.25) = 0.8944 (table 26.1
   of [abramowitz1964]). The count of 2000 draws lies within four of its standard deviations. */
static void the_chance_is_the_known_one(void **state)
{
    (void)state;
    static const struct {
        const char *wanted;
        double chance;
    } cases[] = {{"at least 49 %", 0.6914625}, {"at least 47.5 %", 0.8943502}, {"at least 50 %", 0.5}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        model m = {0};
        rn_odds_options options = options_of("coverage", cases[i].wanted, volume_alone);
        options.draws = 2000;
        rn_odds *odds = work_out(&m, &options, 2, NULL);
        assert_int_equal(odds->done, 2000);
        assert_int_equal(odds->missed[0], 2000 - odds->met);
        check_within(odds->met / 2000.0, cases[i].chance, 4 * sqrt(cases[i].chance * (1 - cases[i].chance) / 2000));
        const rn_interval expected = rn_chance_interval(odds->met, 2000, 0.95);
        assert_true(odds->interval.from == expected.from && odds->interval.to == expected.to);
        rn_odds_free(odds);
    }
}

/* Of a hundred seeds, some 95 intervals hold the chance: at least 88, which fewer would be in 2 of 1000 series
   (binomial). */
static void intervals_hold_the_chance(void **state)
{
    (void)state;
    int held = 0;
    rn_odds_options options = options_of("coverage", "at least 49 %", volume_alone);
    options.draws = 60;
    for (int seed = 1; seed <= 100; seed++) {
        model m = {0};
        options.seed = (uint64_t)seed;
        rn_odds *odds = work_out(&m, &options, 1, NULL);
        held += odds->interval.from <= 0.6914625 && odds->interval.to >= 0.6914625;
        rn_odds_free(odds);
    }
    assert_in_range(held, 88, 100);
}

/* 5, 50 and 95 of 100 of a normal distribution lie below z = -1.6449, 0 and 1.6449; the errors of quantiles are those of
   [hyndman1996]'s references, sqrt(p (1 - p)/n)/density. Evenly spread draws do better by far [mckay1979]. */
static void spreads_are_the_known_ones(void **state)
{
    (void)state;
    for (int even = 0; even < 2; even++) {
        model m = {0};
        rn_odds_options options = options_of("coverage", "at least 49 %", volume_alone);
        options.draws = even ? 200 : 2000;
        options.even = even;
        rn_odds *odds = work_out(&m, &options, 2, NULL);
        const rn_spread *spread = &odds->spreads[RN_ODDS_COVERAGE];
        assert_int_equal(spread->count, options.draws);
        check_within(spread->low, 0.5 - 0.02 * 1.644854, even ? 6e-4 : 0.004);
        check_within(spread->middle, 0.5, even ? 2e-4 : 0.0023);
        check_within(spread->high, 0.5 + 0.02 * 1.644854, even ? 6e-4 : 0.004);
        assert_true(even == isnan(odds->interval.from));
        rn_odds_free(odds);
    }
}

/* Each figure hangs on one input alone, so its rank correlation with that is 1, and with the others what chance does. */
static void what_matters_is_told(void **state)
{
    (void)state;
    model m = {0};
    rn_odds_options options = options_of("run-off", "at most 1.02 ml", three);
    rn_odds *odds = work_out(&m, &options, 2, NULL);
    static const rn_odds_figure figures[] = {RN_ODDS_COVERAGE, RN_ODDS_RUN_OFF, RN_ODDS_THINNEST};
    assert_int_equal(odds->reading_count, 3);
    for (int f = 0; f < 3; f++)
        for (int r = 0; r < 3; r++)
            if (r == f)
                check_within(odds->figure_ranks[figures[f]][r], 1, 1e-12);
            else
                check_within(odds->figure_ranks[figures[f]][r], 0, 2 * odds->noise);
    assert_int_equal(odds->tightest, 0);
    check_within(odds->demand_ranks[0][1], 1, 1e-12);
    assert_true(isnan(odds->figure_ranks[RN_ODDS_LEAST_CORNER][0])); /* does not vary */
    assert_true(isnan(odds->figure_ranks[RN_ODDS_STRETCH][0]));
    assert_int_equal(odds->spreads[RN_ODDS_STRETCH].count, 0);
    rn_odds_free(odds);
}

/* Never is later than any time: half of the draws here. */
static void what_is_never_covered_counts_as_latest(void **state)
{
    (void)state;
    model m = {.uncovered = true};
    rn_odds_options options = options_of("covered by", "200 s", volume_alone);
    rn_odds *odds = work_out(&m, &options, 2, NULL);
    const rn_spread *spread = &odds->spreads[RN_ODDS_COVERED_AT];
    assert_int_equal(odds->missed[0], 100 - odds->met);
    assert_int_equal(spread->never, 100 - odds->met);
    assert_in_range(odds->met, 30, 70);
    assert_true(isfinite(spread->low) && spread->high == INFINITY);
    assert_true(odds->demand_ranks[0][0] < -0.5);
    rn_odds_free(odds);
}

static void draws_that_fail_count_as_missed(void **state)
{
    (void)state;
    model m = {.fails = true};
    rn_odds_options options = options_of("coverage", "at least 40 %", volume_alone);
    rn_odds *odds = work_out(&m, &options, 2, NULL);
    assert_true(odds->failed > 5 && odds->failed < 30); /* Phi(-1) = 16 % */
    assert_int_equal(odds->met, 100 - odds->failed);
    assert_int_equal(odds->missed[0], 0);
    assert_int_equal(odds->spreads[RN_ODDS_COVERAGE].count, 100 - odds->failed);
    rn_odds_free(odds);
}

/* Draws that make no plan keep their places: a move that runs into the next. */
static void draws_without_a_plan_keep_their_places(void **state)
{
    (void)state;
    static const char two[] = "plan: 1\npanel: {size: 200 mm x 200 mm}\npaints: {kelp: {}}\n"
                              "pours: [{stack: [kelp 100 ml]}]\nmoves:\n"
                              "  - {start: 20 s, for: 8 s, spin: 40 rpm}\n  - {start: 30 s, for: 8 s, spin: 40 rpm}\n";
    static const char *const start[] = {"moves.1.start", "+-4s", NULL};
    rn_plan_free(plan);
    plan = stand_in_read(two);
    model m = {0};
    rn_odds_options options = options_of("coverage", "at least 1 %", start);
    rn_odds *odds = work_out(&m, &options, 2, NULL);
    assert_int_equal(odds->done, 100);
    assert_in_range(odds->failed, 5, 30); /* Phi(-1) = 16 % */
    for (int k = 0; k < 100; k++) {
        const bool runs_into = odds->draws[k].readings[0] > 22;
        assert_true(runs_into == (odds->draws[k].outcome.state == RN_OUTCOME_FAILED));
        assert_true(runs_into == (odds->draws[k].outcome.why[0] != '\0'));
    }
    rn_odds_free(odds);
}

static void check_alike(const rn_odds *a, const rn_odds *b, int draws)
{
    for (int k = 0; k < draws; k++) {
        assert_memory_equal(a->draws[k].readings, b->draws[k].readings, sizeof a->draws[k].readings);
        assert_true(a->draws[k].outcome.coverage == b->draws[k].outcome.coverage);
        assert_true(a->draws[k].verdict.met == b->draws[k].verdict.met);
    }
}

static void threads_change_nothing(void **state)
{
    (void)state;
    model one = {0}, many = {0};
    const rn_odds_options options = options_of("coverage", "at least 49 %", three);
    rn_odds *a = work_out(&one, &options, 1, NULL), *b = work_out(&many, &options, 7, NULL);
    check_alike(a, b, 100);
    assert_int_equal(a->met, b->met);
    assert_memory_equal(a->figure_ranks, b->figure_ranks, sizeof a->figure_ranks);
    rn_odds_free(a);
    rn_odds_free(b);
}

/* More draws go on where fewer ended, from what is kept. */
static void more_draws_go_on_from_what_is_kept(void **state)
{
    rn_cache *cache = NULL;
    rn_error err = {0};
    check_ok(rn_cache_open(&cache, nook_path(state, "runs"), &err), &err);
    model first = {0}, second = {0};
    rn_odds_options options = options_of("coverage", "at least 49 %", three);
    options.draws = 30;
    rn_odds *a = work_out(&first, &options, 2, cache);
    options.draws = 50;
    rn_odds *b = work_out(&second, &options, 2, cache);
    check_alike(a, b, 30);
    assert_int_equal(atomic_load(&first.base.calls), 32);
    assert_int_equal(atomic_load(&second.base.calls), 20);
    rn_odds_free(a);
    rn_odds_free(b);
    rn_cache_close(cache);
}

/* What was done before it was stopped, in order: no draw after one that is missing. */
static void a_stop_leaves_the_first_draws(void **state)
{
    (void)state;
    for (int threads = 1; threads <= 3; threads += 2) {
        model m = {.stop_after = 40}, whole = {0};
        const rn_odds_options options = options_of("coverage", "at least 49 %", three);
        rn_odds *odds = work_out(&m, &options, threads, NULL), *all = work_out(&whole, &options, 2, NULL);
        assert_in_range(odds->done, 30, 40);
        assert_int_equal(odds->asked, 100);
        check_alike(odds, all, odds->done);
        assert_true(odds->interval.to - odds->interval.from > all->interval.to - all->interval.from);
        rn_odds_free(odds);
        rn_odds_free(all);
    }
    model at_once = {.stop_after = 1};
    const rn_odds_options options = options_of("coverage", "at least 49 %", three);
    rn_odds *odds = work_out(&at_once, &options, 1, NULL);
    assert_int_equal(odds->done, 0);
    assert_true(odds->interval.from == 0 && odds->interval.to == 1 && odds->tightest == -1);
    rn_odds_free(odds);
}

/* The list may be worked in shares. */
static void shares_add_up(void **state)
{
    (void)state;
    model m = {0}, whole = {0};
    rn_study_options how = rn_study_defaults();
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    rn_error err = {0};
    const rn_odds_options options = options_of("coverage", "at least 49 %", three);
    m.base.of = outcome_of;
    m.base.context = &m;
    how.model = work;
    how.model_context = &m;
    check_ok(rn_odds_list(&batch, plan, &options, &err), &err);
    for (int share = 2; share >= 0; share--) {
        check_ok(rn_study_new(&m.study, how, &err), &err);
        check_ok(rn_batch_work(&batch, share, 3, m.study, &err), &err);
        rn_study_free(m.study);
    }
    check_ok(rn_odds_take(&odds, &batch, plan, &options, &err), &err);
    rn_odds *all = work_out(&whole, &options, 2, NULL);
    assert_int_equal(odds->done, 100);
    check_alike(odds, all, 100);
    rn_odds_free(all);
    rn_odds_free(odds);
    rn_batch_clear(&batch);
}

static void the_plan_itself_is_run_on_both_grids(void **state)
{
    (void)state;
    model m = {0};
    rn_odds_options options = options_of("coverage", "at least 49 %", volume_alone);
    rn_odds *odds = work_out(&m, &options, 2, NULL);
    assert_int_equal(odds->own.nx, 96);
    assert_int_equal(odds->fine.nx, 256);
    assert_int_equal(odds->draws[0].outcome.nx, 96);
    rn_odds_free(odds);
    options.own_cells = 96;
    odds = work_out(&m, &options, 2, NULL);
    assert_int_equal(odds->fine_cells, 0);
    assert_int_equal(odds->own.nx, 96);
    assert_int_equal(odds->done, 100);
    rn_odds_free(odds);
}

static void what_makes_no_odds_is_refused(void **state)
{
    (void)state;
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    rn_error err = {0};
    rn_odds_options options = options_of("coverage", "at least 49 %", volume_alone);
    check_status(rn_odds_take(&odds, &batch, plan, &options, &err), RN_E_USAGE, &err);
    err = (rn_error){0};
    options.doubts.count = 0;
    check_status(rn_odds_list(&batch, plan, &options, &err), RN_E_PLAN, &err);
    err = (rn_error){0};
    options = options_of("coverage", "at least 49 %", volume_alone);
    options.goal.count = 0;
    check_status(rn_odds_list(&batch, plan, &options, &err), RN_E_PLAN, &err);
    rn_batch_clear(&batch);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)
    const struct CMUnitTest tests[] = {
        TEST(the_chance_is_the_known_one),
        TEST(intervals_hold_the_chance),
        TEST(spreads_are_the_known_ones),
        TEST(what_matters_is_told),
        TEST(what_is_never_covered_counts_as_latest),
        TEST(draws_that_fail_count_as_missed),
        TEST(draws_without_a_plan_keep_their_places),
        TEST(threads_change_nothing),
        TEST(more_draws_go_on_from_what_is_kept),
        TEST(a_stop_leaves_the_first_draws),
        TEST(shares_add_up),
        TEST(the_plan_itself_is_run_on_both_grids),
        TEST(what_makes_no_odds_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
