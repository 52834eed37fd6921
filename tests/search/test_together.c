/* Several numbers made least together: the descent against functions whose least is known, and the search of a plan against
   a model and against sessions.
   [rosenbrock1960] the curved valley, least 0 at (1, 1); [dixon1978] the six-hump camel back, two least of -1.0316 at
   (0.0898, -0.7126) and (-0.0898, 0.7126); both from memory, and checked here by their gradients. */
#include "check.h"

#include <string.h>

#include "search/stand_in.h"
#include "search/together.h"

#define ML 1e-6
#define MM 1e-3

/* ---- of functions ---- */

typedef struct valley {
    double (*of)(const double *x);
    int count;
    double low, high; /* of each number */
    int calls, stop_at;
    bool outside;
} valley;

static double bowl(const double *x)
{
    return pow(x[0] - 0.3, 2) + 2 * pow(x[1] - 0.7, 2) + 3 * pow(x[2] - 0.45, 2);
}

static double bent_valley(const double *x)
{
    return 100 * pow(x[1] - x[0] * x[0], 2) + pow(1 - x[0], 2);
}

static double camel(const double *x)
{
    const double u = x[0] * x[0], v = x[1] * x[1];
    return (4 - 2.1 * u + u * u / 3) * u + x[0] * x[1] + (-4 + 4 * v) * v;
}

/* Least at its very edge, and with a wall beyond which nothing goes: like a least volume that just holds. */
static double ramp_and_wall(const double *x)
{
    return x[0] + x[1] >= 0.8 ? x[0] + 2 * x[1] : 100 + (0.8 - x[0] - x[1]);
}

static double value_of(void *context, const double *place)
{
    valley *v = context;
    double x[RN_TOGETHER_MOST] = {0};
    v->calls++;
    for (int i = 0; i < v->count; i++) {
        v->outside = v->outside || !(place[i] >= 0 && place[i] <= 1);
        x[i] = v->low + place[i] * (v->high - v->low);
    }
    return v->of(x);
}

static bool stops(void *context)
{
    const valley *v = context;
    return v->stop_at > 0 && v->calls >= v->stop_at;
}

/* The value found, from a place, and the numbers there. */
static double descend(valley *v, double *x, double from, int wide, int near)
{
    double place[RN_TOGETHER_MOST] = {from, from, from};
    v->calls = 0;
    const int calls = rn_together_descend(place, v->count, wide, near, 0.1, value_of, stops, v);
    assert_int_equal(calls, v->calls);
    assert_true(calls <= wide + near + 1);
    assert_false(v->outside);
    for (int i = 0; i < v->count; i++)
        x[i] = v->low + place[i] * (v->high - v->low);
    return v->of(x);
}

static void a_bowl_of_three_numbers(void **state)
{
    (void)state;
    double x[3];
    valley v = {.of = bowl, .count = 3, .high = 1};
    for (double from = 0; from <= 1; from += 0.25) {
        check_at_most(descend(&v, x, from, 90, 200), 1e-5);
        check_within(x[0], 0.3, 3e-3);
        check_within(x[1], 0.7, 3e-3);
        check_within(x[2], 0.45, 3e-3);
    }
}

static void a_bent_valley(void **state)
{
    (void)state;
    double x[3];
    valley v = {.of = bent_valley, .count = 2, .low = -2.048, .high = 2.048};
    check_at_most(descend(&v, x, 0.5, 100, 600), 1e-4);
    check_within(x[0], 1, 2e-2);
    check_within(x[1], 1, 4e-2);
}

/* The least of all, not the nearest: the near search alone would stay in one of the other four. */
static void several_valleys(void **state)
{
    (void)state;
    double x[3];
    valley v = {.of = camel, .count = 2, .low = -2, .high = 2.5};
    check_within(descend(&v, x, 0.9, 80, 80), -1.0316, 1e-3);
    check_within(fabs(x[0]), 0.0898, 0.02);
    check_within(fabs(x[1]), 0.7126, 0.02);
    assert_true(x[0] * x[1] < 0);
    /* the gradient is 0 there, by differences */
    const double at[] = {0.0898, -0.7126}, step = 1e-4;
    for (int i = 0; i < 2; i++) {
        double more[] = {at[0], at[1]}, less[] = {at[0], at[1]};
        more[i] += step;
        less[i] -= step;
        check_within((camel(more) - camel(less)) / (2 * step), 0, 2e-3);
    }
}

static void a_least_at_a_wall(void **state)
{
    (void)state;
    double x[3];
    valley v = {.of = ramp_and_wall, .count = 2, .high = 1};
    check_at_most(descend(&v, x, 0.5, 60, 100), 0.83); /* 0.8 at (0.8, 0) */
    check_at_least(x[0] + x[1], 0.8);
}

static void one_number(void **state)
{
    (void)state;
    double x[3] = {0};
    valley v = {.of = bowl, .count = 1, .high = 1};
    check_at_most(descend(&v, x, 0.9, 30, 30), 2 * 0.49 + 3 * 0.2025 + 1e-4); /* the other two are 0 */
    check_within(x[0], 0.3, 1e-2);
}

/* A place to begin with that is better than all that is found is kept: a plan that is good already. */
static void the_place_to_begin_with_counts(void **state)
{
    (void)state;
    double x[3];
    valley v = {.of = bowl, .count = 3, .high = 1};
    double place[] = {0.3, 0.7, 0.45};
    rn_together_descend(place, 3, 5, 0, 0.1, value_of, stops, &v);
    assert_true(place[0] == 0.3 && place[1] == 0.7 && place[2] == 0.45);
    (void)descend(&v, x, 0.5, 0, 0); /* of no runs: as it was */
    assert_true(x[0] == 0.5 && v.calls == 1);
}

static void it_stops_when_asked(void **state)
{
    (void)state;
    double x[3];
    for (int limit = 1; limit < 60; limit += 7) {
        valley v = {.of = bowl, .count = 3, .high = 1, .stop_at = limit};
        const double all = descend(&v, x, 0.5, 60, 60);
        assert_int_equal(v.calls, limit);
        check_at_most(all, bowl((double[]){0.5, 0.5, 0.5})); /* the best so far */
    }
}

/* ---- of a plan ---- */

static const char turning[] = "moves:\n  - {start: 10 s, for: 10 s, tilt: 5 deg, toward: back}\n"
                              "  - {start: 30 s, for: 10 s, spin: 40 rpm}\n";

static const double tilt_now = 5 * 3.14159265358979 / 180;

/* Covered where volume and tilt together are enough: v/100 ml + tilt/5 deg at least 1.5; steep tilts lose paint. */
static rn_outcome by_volume_and_tilt(const rn_run *run, const void *context)
{
    const double *lossy = context;
    const double volume = rn_plan_poured_all(run->plan) / (100 * ML), tilt = run->plan->moves[0].amount / tilt_now;
    rn_outcome outcome = stand_in_outcome(run->plan, fmin((volume + tilt) / 1.5, 1));
    outcome.run_off = *lossy * fmin(0.1 * tilt, 1) * outcome.poured;
    if (run->cells < 128 && volume < 0.3)
        outcome = (rn_outcome){.state = RN_OUTCOME_FAILED};
    return outcome;
}

typedef struct search {
    rn_plan *plan;
    rn_dial dials[2];
    stand_in model;
    rn_study *study;
    rn_together_options options;
    rn_error err;
    rn_together found;
} search;

static search *search_of(const double *lossy, const char *goal, rn_study_options options)
{
    search *s = calloc(1, sizeof *s);
    assert_non_null(s);
    s->plan = stand_in_plan(turning);
    s->model = (stand_in){.of = by_volume_and_tilt, .context = lossy};
    s->options = rn_together_defaults();
    s->options.goal = stand_in_goal("coverage", goal, NULL);
    check_ok(rn_dial_make(&s->dials[0], s->plan, "poured", "20 ml", "300 ml", &s->err), &s->err);
    check_ok(rn_dial_make(&s->dials[1], s->plan, "moves.1.tilt", "1 deg", "20 deg", &s->err), &s->err);
    s->study = stand_in_study(&s->model, options);
    return s;
}

static rn_status find(search *s)
{
    return rn_together_find(&s->found, s->plan, s->dials, 2, &s->options, s->study, &s->err);
}

static void search_free(search *s)
{
    rn_study_free(s->study);
    rn_plan_free(s->plan);
    free(s);
}

/* Each as a share of the plan's, added up: anywhere on the line of 1.5 is as good. */
static void the_sum_of_shares_is_least(void **state)
{
    (void)state;
    const double lossy = 0;
    search *s = search_of(&lossy, "at least 99.9 %", rn_study_defaults());
    check_ok(find(s), &s->err);
    assert_true(s->found.has_coarse && s->found.has_fine && !s->found.stopped);
    assert_true(s->found.fine.met && s->found.coarse.met);
    check_at_least(s->found.fine.cost, 1.5 * 0.999 * (1 - 1e-9));
    check_at_most(s->found.fine.cost, 1.5 * 1.02);
    check_close(s->found.fine.values[0] / (100 * ML) + s->found.fine.values[1] / tilt_now, s->found.fine.cost, 1e-9);
    assert_int_equal(s->found.coarse.runs + s->found.fine.runs, atomic_load(&s->model.calls));
    assert_true(atomic_load(&s->model.calls) <= 2 * 50 + 1 + 8);
    assert_int_equal(s->found.fine.cells, 256);
    assert_true(s->found.fine.runs <= 8); /* the grids agree: no second search on the dear one */
    search_free(s);
}

/* With a weight on what runs off (10 % of all for each 5 deg) the least is where there is the least tilt: 1 deg, 130 ml. */
static void a_weight_on_what_runs_off(void **state)
{
    (void)state;
    const double lossy = 1;
    search *s = search_of(&lossy, "at least 99.9 %", rn_study_defaults());
    s->options.weight = 20; /* each 5 deg cost 2, a share of volume only 1 */
    check_ok(find(s), &s->err);
    assert_true(s->found.fine.met);
    const double best = 1.3 + 0.2 + 20 * 0.1 * 0.2;
    check_at_least(s->found.fine.cost, best * 0.998);
    check_at_most(s->found.fine.cost, best * 1.05);
    check_close(s->found.fine.values[0], 130 * ML, 0.05);
    search_free(s);
}

static void nothing_meets_it(void **state)
{
    (void)state;
    const double lossy = 0;
    search *s = search_of(&lossy, "at least 100 %", rn_study_defaults());
    check_ok(rn_goal_add(&s->options.goal, "run-off", "at least 1 ml", &s->err), &s->err); /* nothing ever runs off */
    check_ok(find(s), &s->err);
    assert_false(s->found.fine.met);
    assert_true(s->found.has_fine);
    check_close(s->found.fine.outcome.coverage, 1, 1e-9); /* the nearest: all but what cannot be */
    search_free(s);
}

static bool tell_until(void *context, const rn_progress *progress)
{
    return progress->done < *(const int *)context;
}

static void stopped_it_has_the_best_so_far(void **state)
{
    (void)state;
    const double lossy = 0;
    for (int limit = 0; limit < 140; limit += 11) {
        rn_study_options options = rn_study_defaults();
        options.tell = tell_until;
        options.tell_context = &limit;
        search *s = search_of(&lossy, "at least 99.9 %", options);
        check_ok(find(s), &s->err);
        assert_int_equal(s->found.stopped, rn_study_stopped(s->study));
        if (s->found.stopped && s->found.has_fine)
            assert_true(s->found.fine.met); /* else the coarse one is the answer */
        if (s->found.has_coarse)
            assert_int_equal(s->found.coarse.outcome.state, RN_OUTCOME_WHOLE);
        search_free(s);
    }
}

static void what_makes_no_search(void **state)
{
    (void)state;
    const double lossy = 0;
    search *s = search_of(&lossy, "at least 90 %", rn_study_defaults());
    rn_dial four[4] = {s->dials[0], s->dials[1], s->dials[0], s->dials[1]};
    check_status(rn_together_find(&s->found, s->plan, four, 4, &s->options, s->study, &s->err), RN_E_PLAN, &s->err);
    assert_string_equal(s->err.message, "one to 3 numbers can be made least together");
    s->err = (rn_error){0};
    check_status(rn_together_find(&s->found, s->plan, four, 0, &s->options, s->study, &s->err), RN_E_PLAN, &s->err);
    s->err = (rn_error){0};
    s->options.goal.count = 0;
    check_status(find(s), RN_E_PLAN, &s->err);
    assert_string_equal(s->err.message, "there is no goal to meet");
    search_free(s);
}

/* Values that make no plan are passed over: a ring wider than it is across. */
static void what_makes_no_plan_is_passed_over(void **state)
{
    (void)state;
    const double lossy = 0;
    search *s = search_of(&lossy, "at least 60 %", rn_study_defaults());
    check_ok(rn_dial_make(&s->dials[1], s->plan, "pours.1.width", NULL, NULL, &s->err), &s->err);
    check_ok(find(s), &s->err);
    assert_true(s->found.fine.met); /* of 5 deg that stay and any volume the model always is near enough */
    assert_true(s->found.fine.values[1] <= 20 * MM);
    search_free(s);
}

/* Of sessions: least volume and tilt of a small study. No neighbour on the same grid that is smaller in one and not larger in
   the other meets the goal by much. */
static void of_sessions(void **state)
{
    (void)state;
    rn_study *study = NULL;
    rn_plan *plan = NULL;
    rn_dial dials[2];
    rn_together found;
    rn_error err = {0};
    rn_together_options options = rn_together_defaults();
    check_ok(rn_plan_read_file(&plan, "presets/small-study.yaml", &err), &err);
    check_ok(rn_study_new(&study, rn_study_defaults(), &err), &err);
    check_ok(rn_dial_make(&dials[0], plan, "poured", "30 ml", "90 ml", &err), &err);
    check_ok(rn_dial_make(&dials[1], plan, "moves.1.tilt", "2 deg", "10 deg", &err), &err);
    options.goal = stand_in_goal("coverage", "at least 97 %", NULL);
    options.cells = options.coarse_cells = 64;
    options.wide = 8;
    options.near = 8;
    check_ok(rn_together_find(&found, plan, dials, 2, &options, study, &err), &err);
    assert_true(found.has_fine && !found.has_coarse && found.fine.met);
    assert_true(found.fine.runs <= 17);
    check_at_least(found.fine.outcome.coverage, 0.97);
    check_close(found.fine.cost, found.fine.values[0] / (60 * ML) + found.fine.values[1] / dials[1].now, 1e-9);
    rn_plan *first = NULL, *turned = NULL; /* the outcome is that of the plan with both numbers */
    check_ok(rn_dial_turn(&first, &dials[0], plan, found.fine.values[0], &err), &err);
    check_ok(rn_dial_turn(&turned, &dials[1], first, found.fine.values[1], &err), &err);
    rn_run runs[2] = {{.plan = turned, .cells = 64}, {.plan = plan, .cells = 64}};
    check_ok(rn_study_work(study, runs, 2, &err), &err);
    assert_true(runs[0].outcome.coverage == found.fine.outcome.coverage);
    if (rn_goal_judge(&options.goal, &runs[1].outcome).met)
        check_at_most(found.fine.cost, 2); /* never worse than the plan itself */
    rn_plan_free(first);
    rn_plan_free(turned);
    rn_plan_free(plan);
    rn_study_free(study);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bowl_of_three_numbers),
        cmocka_unit_test(a_bent_valley),
        cmocka_unit_test(several_valleys),
        cmocka_unit_test(a_least_at_a_wall),
        cmocka_unit_test(one_number),
        cmocka_unit_test(the_place_to_begin_with_counts),
        cmocka_unit_test(it_stops_when_asked),
        cmocka_unit_test(the_sum_of_shares_is_least),
        cmocka_unit_test(a_weight_on_what_runs_off),
        cmocka_unit_test(nothing_meets_it),
        cmocka_unit_test(stopped_it_has_the_best_so_far),
        cmocka_unit_test(what_makes_no_search),
        cmocka_unit_test(what_makes_no_plan_is_passed_over),
        cmocka_unit_test(of_sessions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
