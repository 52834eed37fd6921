/* The window of plans on stand-in models whose borders are known, and against the window in which every tile is run. */
#include "check.h"

#include <string.h>

#include "plan/plan.h"
#include "search/window.h"

static const char plan_text[] = "plan: 1\n"
                                "panel: {size: 100 mm x 100 mm}\n"
                                "paints:\n"
                                "  slate: {viscosity: 1 Pa s}\n"
                                "pours:\n"
                                "  - {from: rim, at: centre, stack: [slate 100 ml]}\n"
                                "end: 10 s\n";

/* What comes of a plan whose consistency and volume stand at x, y of their ranges, 0..1. */
typedef void behaviour(rn_outcome *outcome, double x, double y);

static double share_of(const rn_plan *plan, const char *path, double from, double to)
{
    rn_plan_number number;
    rn_error err = {0};
    check_ok(rn_plan_number_at(&number, plan, path, &err), &err);
    return (number.value - from) / (to - from);
}

/* consistency 0.8..1.2 Pa s, poured 80..120 ml */
static void model(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study)
{
    behaviour *const *behave = context;
    *bytes = 1000;
    if (!go_on(study))
        return;
    *outcome = (rn_outcome){
        .state = RN_OUTCOME_WHOLE,
        .nx = run->cells,
        .ny = run->cells,
        .coverage = 1,
        .covered_at = 5,
        .poured = 1e-4,
        .duration = 10,
        .has_pattern = run->pattern,
    };
    (*behave)(outcome, share_of(run->plan, "consistency", 0.8, 1.2), share_of(run->plan, "poured", 80e-6, 120e-6));
}

/* Goals: coverage at least 50 %, run-off at most 50 %. A distance inside a border, in shares of the axes, as each. */
static void cover(rn_outcome *outcome, double inside)
{
    outcome->coverage = fmin(fmax(0.5 + inside, 0), 1);
    outcome->covered_at = outcome->coverage > 0.99 ? 5 : NAN;
}

static void spill(rn_outcome *outcome, double inside)
{
    outcome->run_off = 1e-4 * fmin(fmax(0.5 - inside, 0), 1);
}

#define DISC_X 0.62
#define DISC_Y 0.41
#define DISC_RADIUS 0.27

static void disc(rn_outcome *outcome, double x, double y)
{
    cover(outcome, DISC_RADIUS - hypot(x - DISC_X, y - DISC_Y));
}

static void band(rn_outcome *outcome, double x, double y)
{
    cover(outcome, y - 0.8 * x - 0.03);
    spill(outcome, 0.8 * x + 0.25 - y);
}

/* Two tiles wide: where it is both covered and kept on the panel. */
static void sliver(rn_outcome *outcome, double x, double y)
{
    cover(outcome, y - 0.5 * x - 0.2);
    spill(outcome, 0.5 * x + 0.26 - y);
}

static void hook(rn_outcome *outcome, double x, double y)
{
    cover(outcome, y - 0.3 - 0.9 * (x - 0.4) * (x - 0.4));
    spill(outcome, 0.8 - y - 0.1 * sin(6 * x));
    outcome->stretch = 3 + 4 * (x - 0.8 + 0.2 * y);
}

static void everywhere(rn_outcome *outcome, double x, double y)
{
    cover(outcome, 0.1 + 0.1 * x + 0.1 * y);
}

static void nowhere(rn_outcome *outcome, double x, double y)
{
    cover(outcome, -0.4 + 0.1 * x + 0.1 * y);
}

static void failing(rn_outcome *outcome, double x, double y)
{
    band(outcome, x, y);
    if (x > 0.7) {
        *outcome = (rn_outcome){.state = RN_OUTCOME_FAILED};
        snprintf(outcome->why, sizeof outcome->why, "the film is too thin for the grid");
    }
}

typedef struct bench {
    rn_plan *plan;
    rn_dial x, y;
    rn_goal goal;
    behaviour *behave;
    rn_study *study;
    int runs, most; /* told: stops at so many */
} bench;

static rn_goal goal_of(const char *const (*demands)[2], int count)
{
    rn_goal goal = {0};
    rn_error err = {0};
    for (int i = 0; i < count; i++)
        check_ok(rn_goal_add(&goal, demands[i][0], demands[i][1], &err), &err);
    return goal;
}

static void new_study(bench *b, int threads)
{
    rn_error err = {0};
    rn_study_options options = rn_study_defaults();
    rn_study_free(b->study);
    options.threads = threads;
    options.model = model;
    options.model_context = &b->behave;
    options.model_name = "stand-in";
    check_ok(rn_study_new(&b->study, options, &err), &err);
}

static bench *bench_new(behaviour *behave)
{
    static const char *const demands[][2] = {{"coverage", "at least 50 %"}, {"run-off", "at most 50 %"}};
    rn_error err = {0};
    bench *b = calloc(1, sizeof *b);
    b->behave = behave;
    check_ok(rn_plan_read(&b->plan, plan_text, sizeof plan_text - 1, "window", &err), &err);
    check_ok(rn_dial_make(&b->x, b->plan, "consistency", "0.8 Pa s", "1.2 Pa s", &err), &err);
    check_ok(rn_dial_make(&b->y, b->plan, "poured", "80 ml", "120 ml", &err), &err);
    b->goal = goal_of(demands, 2);
    new_study(b, 2);
    return b;
}

static void bench_free(bench *b)
{
    rn_study_free(b->study);
    rn_plan_free(b->plan);
    free(b);
}

static rn_window *window_of(const bench *b, int tiles, bool every)
{
    rn_error err = {0};
    rn_window *window = NULL;
    rn_window_options options = rn_window_defaults();
    options.columns = options.rows = tiles;
    options.every = every;
    check_ok(rn_window_new(&window, b->plan, &b->x, &b->y, &b->goal, &options, &err), &err);
    return window;
}

static int finish(rn_window *window, rn_study *study)
{
    rn_error err = {0};
    int passes = 0;
    for (bool more = true; more; passes++) {
        check_ok(rn_window_refine(window, &more, study, &err), &err);
        assert_true(passes < 200);
    }
    return passes;
}

static const char marks[RN_TILE_KINDS] = {
    [RN_TILE_OPEN] = '.',    [RN_TILE_WORKS] = '#',  [RN_TILE_SHORT] = '/',
    [RN_TILE_SPILLED] = '!', [RN_TILE_PULLED] = '0', [RN_TILE_NONE] = 'x',
};

static void draw(const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    for (int row = options.rows - 1; row >= 0; row--) {
        for (int column = 0; column < options.columns; column++) {
            const rn_tile *tile = rn_window_tile(window, column, row);
            fprintf(stderr, "%c%c", marks[tile->kind], tile->worked ? '*' : ' ');
        }
        fputc('\n', stderr);
    }
}

/* Tiles of one window that are of another kind in another. */
static int differences(const rn_window *a, const rn_window *b)
{
    const rn_window_options options = rn_window_options_of(a);
    int count = 0;
    for (int i = 0; i < options.columns * options.rows; i++)
        count += rn_window_tile(a, i % options.columns, i / options.columns)->kind !=
                 rn_window_tile(b, i % options.columns, i / options.columns)->kind;
    return count;
}

static void check_against_every(behaviour *behave, const char *name)
{
    bench *b = bench_new(behave);
    if (behave == hook) {
        rn_error err = {0};
        check_ok(rn_goal_add(&b->goal, "stretch", "at most 3", &err), &err);
    }
    rn_window *told = window_of(b, 32, false), *every = window_of(b, 32, true);
    const int passes = finish(told, b->study), passes_every = finish(every, b->study);
    const int wrong = differences(told, every);
    fprintf(stderr, "%s: %d runs in %d passes, %d tiles work\n", name, rn_window_worked(told), passes,
            rn_window_count(every, RN_TILE_WORKS));
    if (wrong) {
        draw(every);
        draw(told);
    }
    assert_int_equal(wrong, 0);
    assert_int_equal(passes_every, 1);
    assert_int_equal(rn_window_worked(every), 32 * 32);
    assert_true(rn_window_worked(told) < 250);
    assert_int_equal(rn_window_to_come(told), 0);
    rn_window_free(told);
    rn_window_free(every);
    bench_free(b);
}

static void is_as_if_every_tile_was_run(void **state)
{
    (void)state;
    check_against_every(disc, "disc");
    check_against_every(band, "band");
    check_against_every(sliver, "sliver");
    check_against_every(hook, "hook");
    check_against_every(everywhere, "everywhere");
    check_against_every(nowhere, "nowhere");
    check_against_every(failing, "failing");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(is_as_if_every_tile_was_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
