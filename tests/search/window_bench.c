#include "search/window_bench.h"

#include "check.h"

static double share_of(const rn_plan *plan, const char *path, double from, double to)
{
    rn_plan_number number;
    rn_error err = {0};
    check_ok(rn_plan_number_at(&number, plan, path, &err), &err);
    return (number.value - from) / (to - from);
}

static rn_outcome outcome_of(const rn_run *run, const void *context)
{
    behaviour *const *behave = context;
    rn_outcome outcome = stand_in_outcome(run->plan, 1);
    outcome.has_pattern = run->pattern;
    (*behave)(&outcome, share_of(run->plan, "consistency", 0.8, 1.2), share_of(run->plan, "poured", 80e-6, 120e-6));
    return outcome;
}

void cover(rn_outcome *outcome, double inside)
{
    outcome->coverage = fmin(fmax(0.5 + inside, 0), 1);
    outcome->covered_at = outcome->coverage > 0.99 ? 5 : NAN;
}

void spill(rn_outcome *outcome, double inside)
{
    outcome->run_off = outcome->poured * fmin(fmax(0.5 - inside, 0), 1);
}

void disc(rn_outcome *outcome, double x, double y)
{
    cover(outcome, DISC_RADIUS - hypot(x - DISC_X, y - DISC_Y));
}

void band(rn_outcome *outcome, double x, double y)
{
    cover(outcome, y - 0.8 * x - 0.03);
    spill(outcome, 0.8 * x + 0.25 - y);
}

void everywhere(rn_outcome *outcome, double x, double y)
{
    cover(outcome, 0.1 + 0.1 * x + 0.1 * y);
}

void nowhere(rn_outcome *outcome, double x, double y)
{
    cover(outcome, -0.4 + 0.1 * x + 0.1 * y);
}

void new_study(bench *b, rn_study_options options)
{
    rn_study_free(b->study);
    b->model = (stand_in){.of = outcome_of, .context = &b->behave};
    b->study = stand_in_study(&b->model, options);
}

bench *bench_new(behaviour *behave)
{
    rn_error err = {0};
    bench *b = calloc(1, sizeof *b);
    b->behave = behave;
    b->plan = stand_in_plan("");
    check_ok(rn_dial_make(&b->x, b->plan, "consistency", "0.8 Pa s", "1.2 Pa s", &err), &err);
    check_ok(rn_dial_make(&b->y, b->plan, "poured", "80 ml", "120 ml", &err), &err);
    b->goal = stand_in_goal("coverage", "at least 50 %", "run-off", "at most 50 %", NULL);
    new_study(b, (rn_study_options){.threads = 2});
    return b;
}

void bench_free(bench *b)
{
    rn_study_free(b->study);
    rn_plan_free(b->plan);
    free(b);
}

rn_window *window_of(const bench *b, int tiles, bool every)
{
    rn_error err = {0};
    rn_window *window = NULL;
    rn_window_options options = rn_window_defaults();
    options.columns = options.rows = tiles;
    options.every = every;
    check_ok(rn_window_new(&window, b->plan, &b->x, &b->y, &b->goal, &options, &err), &err);
    return window;
}

int finish(rn_window *window, rn_study *study)
{
    rn_error err = {0};
    int passes = 0;
    for (bool more = true; more; passes++) {
        check_ok(rn_window_refine(window, &more, study, &err), &err);
        assert_true(passes < 200);
    }
    return passes;
}
