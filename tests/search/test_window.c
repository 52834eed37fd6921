/* The window of plans on stand-in models whose borders are known, and against the window in which every tile is run. Its
   safest and nearest plans: tests/search/test_window_best.c; with sessions: tests/search/test_window_sessions.c. */
#include "check.h"

#include <string.h>

#include "search/window_bench.h"

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

static void failing(rn_outcome *outcome, double x, double y)
{
    band(outcome, x, y);
    if (x > 0.7) {
        *outcome = (rn_outcome){.state = RN_OUTCOME_FAILED};
        snprintf(outcome->why, sizeof outcome->why, "the film is too thin for the grid");
    }
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

/* ---- what becomes of a window ---- */

/* Alike to the last bit, tile by tile. */
static void check_alike(const rn_window *a, const rn_window *b)
{
    const rn_window_options options = rn_window_options_of(a);
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            const rn_tile *p = rn_window_tile(a, column, row), *q = rn_window_tile(b, column, row);
            char one[RN_OUTCOME_LINE], other[RN_OUTCOME_LINE];
            rn_outcome_write(one, &p->outcome);
            rn_outcome_write(other, &q->outcome);
            assert_string_equal(one, other);
            assert_int_equal(p->kind, q->kind);
            assert_int_equal(p->worked, q->worked);
            assert_int_equal(p->worst, q->worst);
            assert_true(p->lack == q->lack && p->x == q->x && p->y == q->y);
        }
}

static void does_not_depend_on_threads(void **state)
{
    (void)state;
    bench *b = bench_new(band);
    rn_window *one = window_of(b, 32, false), *three = window_of(b, 32, false);
    new_study(b, (rn_study_options){.threads = 1});
    finish(one, b->study);
    new_study(b, (rn_study_options){.threads = 3});
    finish(three, b->study);
    check_alike(one, three);
    rn_window_free(one);
    rn_window_free(three);
    bench_free(b);
}

static void a_copy_shares_nothing(void **state)
{
    (void)state;
    bench *b = bench_new(disc);
    rn_error err = {0};
    bool more = true;
    rn_window *window = window_of(b, 16, false), *copy = NULL;
    check_ok(rn_window_refine(window, &more, b->study, &err), &err);
    check_ok(rn_window_copy(&copy, window, &err), &err);
    check_alike(window, copy);
    finish(copy, b->study);
    assert_true(rn_window_to_come(window) > 0);
    finish(window, b->study);
    check_alike(window, copy);
    rn_window_free(window);
    assert_int_equal(rn_window_to_come(copy), 0);
    assert_string_equal(rn_window_x(copy)->path, "consistency");
    rn_window_free(copy);
    bench_free(b);
}

/* Nothing is told before the first pass is done; what lies at a border is open until it is run. */
static void tiles_at_borders_are_open_until_they_are_run(void **state)
{
    (void)state;
    bench *b = bench_new(disc);
    rn_error err = {0};
    bool more = true;
    rn_window *window = window_of(b, 32, false);
    assert_int_equal(rn_window_count(window, RN_TILE_OPEN), 32 * 32);
    assert_int_equal(rn_window_to_come(window), 32 * 32);
    check_ok(rn_window_refine(window, &more, b->study, &err), &err);
    assert_int_equal(rn_window_worked(window), 81);
    while (more) {
        const int open = rn_window_count(window, RN_TILE_OPEN), to_come = rn_window_to_come(window);
        assert_true(open == to_come ||
                    (open == 0 && to_come == 1)); /* in the end the safest is run, though it was told */
        for (int i = 0; i < 32 * 32; i++) {
            const rn_tile *tile = rn_window_tile(window, i % 32, i / 32);
            assert_true(tile->kind != RN_TILE_OPEN || (!tile->worked && tile->outcome.state == RN_OUTCOME_NONE));
        }
        check_ok(rn_window_refine(window, &more, b->study, &err), &err);
    }
    assert_int_equal(rn_window_count(window, RN_TILE_OPEN), 0);
    rn_window_free(window);
    bench_free(b);
}

/* Every border that is shown has a run on either side: no tile works by an invented number. */
static void borders_have_runs_on_both_sides(void **state)
{
    (void)state;
    bench *b = bench_new(hook);
    rn_window *window = window_of(b, 40, false);
    finish(window, b->study);
    for (int row = 0; row < 40; row++)
        for (int column = 0; column + 1 < 40; column++) {
            const rn_tile *tile = rn_window_tile(window, column, row), *right = rn_window_tile(window, column + 1, row);
            const rn_tile *up = rn_window_tile(window, row, column + 1), *below = rn_window_tile(window, row, column);
            assert_true(tile->kind == right->kind || (tile->worked && right->worked));
            assert_true(up->kind == below->kind || (up->worked && below->worked));
        }
    rn_window_free(window);
    bench_free(b);
}

static void other_demands_are_judged_without_a_run(void **state)
{
    (void)state;
    bench *b = bench_new(disc);
    rn_error err = {0};
    rn_window *window = window_of(b, 32, false), *afresh = NULL;
    finish(window, b->study);
    const int runs = b->model.calls;
    const rn_goal narrower = stand_in_goal("coverage", "at least 60 %", "run-off", "at most 50 %", NULL);
    check_ok(rn_window_judge(window, &narrower, &err), &err);
    assert_int_equal(b->model.calls, runs);
    assert_true(rn_window_to_come(window) > 0); /* the border has moved */
    finish(window, b->study);
    b->goal = narrower;
    afresh = window_of(b, 32, true);
    finish(afresh, b->study);
    assert_int_equal(differences(window, afresh), 0);
    assert_true(b->model.calls < runs + 32 * 32 + 150);
    const rn_goal pulled = stand_in_goal("stretch", "at most 2", NULL), nothing = {0};
    assert_int_equal(rn_window_judge(window, &pulled, &err), RN_E_PLAN);
    assert_string_equal(err.message, "stretch and twist were not worked out for this window");
    err = (rn_error){0};
    assert_int_equal(rn_window_judge(window, &nothing, &err), RN_E_PLAN);
    rn_window_free(window);
    rn_window_free(afresh);
    bench_free(b);
}

/* ---- stopped, in pieces ---- */

static bool stop_soon(void *context, const rn_progress *progress)
{
    (void)progress;
    int *left = context;
    return (*left)-- > 0;
}

static void goes_on_where_it_was_stopped(void **state)
{
    (void)state;
    bench *b = bench_new(band);
    rn_error err = {0};
    int left = 1;
    bool more = false;
    rn_window *whole = window_of(b, 32, false), *stopped = window_of(b, 32, false);
    finish(whole, b->study);
    new_study(b, (rn_study_options){.threads = 2, .tell = stop_soon, .tell_context = &left});
    b->model.lasting = 0.02;
    check_ok(rn_window_refine(stopped, &more, b->study, &err), &err);
    assert_true(rn_study_stopped(b->study));
    assert_true(more);
    const int kept = rn_window_worked(stopped);
    assert_true(kept > 0 && kept < 81);
    assert_int_equal(rn_window_count(stopped, RN_TILE_OPEN), 32 * 32 - kept);
    new_study(b, (rn_study_options){.threads = 2});
    finish(stopped, b->study);
    assert_int_equal(b->model.calls, rn_window_worked(whole) - kept); /* none twice */
    check_alike(whole, stopped);
    rn_window_free(whole);
    rn_window_free(stopped);
    bench_free(b);
}

static void a_list_of_all_runs_makes_the_same_window(void **state)
{
    (void)state;
    bench *b = bench_new(failing);
    rn_error err = {0};
    rn_batch batch = {0};
    rn_window *every = window_of(b, 12, true), *taken = window_of(b, 12, true);
    finish(every, b->study);
    check_ok(rn_window_list(&batch, taken, &err), &err);
    assert_int_equal(batch.count, 144);
    check_ok(rn_batch_work(&batch, 1, 2, b->study, &err), &err);
    check_ok(rn_window_take(taken, &batch, &err), &err);
    assert_int_equal(rn_window_worked(taken), 72);
    assert_int_equal(rn_window_to_come(taken), 72);
    check_ok(rn_batch_work(&batch, 0, 2, b->study, &err), &err);
    check_ok(rn_window_take(taken, &batch, &err), &err);
    check_alike(every, taken);
    rn_window *other = window_of(b, 10, true);
    assert_int_equal(rn_window_take(other, &batch, &err), RN_E_PLAN);
    assert_string_equal(err.message, "144 runs for a window of 100 tiles");
    rn_batch_clear(&batch);
    rn_window_free(every);
    rn_window_free(taken);
    rn_window_free(other);
    bench_free(b);
}

/* ---- axes ---- */

static void an_axis_goes_from_half_to_twice(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_dial dial;
    rn_plan *plan = stand_in_plan("moves:\n  - {start: 5 s, for: 3 s, spin: -30 rpm}\n");
    check_ok(rn_window_axis(&dial, plan, "poured", NULL, NULL, &err), &err);
    check_close(dial.from, 50e-6, 1e-12);
    check_close(dial.to, 200e-6, 1e-12);
    assert_true(dial.logarithmic);
    check_ok(rn_window_axis(&dial, plan, "poured", "90 ml", NULL, &err), &err);
    check_close(dial.from, 90e-6, 1e-12);
    check_close(dial.to, 200e-6, 1e-12);
    check_ok(rn_window_axis(&dial, plan, "moves.1.spin", NULL, NULL, &err), &err);
    assert_true(dial.negative);
    check_close(dial.to, 2 * dial.now, 1e-12);
    assert_int_equal(rn_window_axis(&dial, plan, "poured", "300 ml", NULL, &err), RN_E_PLAN);
    rn_plan_free(plan);
}

static void values_and_places_agree(void **state)
{
    (void)state;
    rn_error err = {0};
    bench *b = bench_new(disc);
    check_ok(rn_window_axis(&b->y, b->plan, "poured", NULL, NULL, &err), &err);
    rn_window *window = window_of(b, 32, false);
    for (int i = 0; i < 32; i++) { /* as far as they are rounded */
        check_within(rn_window_along_x(window, rn_window_tile(window, i, 3)->x), i, 0.1);
        check_within(rn_window_along_y(window, rn_window_tile(window, 3, i)->y), i, 0.1);
    }
    check_within(rn_window_along_y(window, 100e-6), 15.5, 1e-9);
    check_within(rn_window_along_y(window, 25e-6), -15.5, 1e-9);
    rn_window_free(window);
    bench_free(b);
}

/* Whole numbers have a tile each, and what room there is ends at whole numbers. */
static void whole_numbers_stay_whole(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_window_best best;
    bench *b = bench_new(everywhere);
    check_ok(rn_dial_make(&b->x, b->plan, "pours.1.lifts", "1", "6", &err), &err);
    b->goal = stand_in_goal("run-off", "at most 50 %", NULL);
    rn_window *window = window_of(b, 9, true);
    assert_int_equal(rn_window_options_of(window).columns, 6);
    finish(window, b->study);
    for (int i = 0; i < 6; i++)
        assert_true(rn_window_tile(window, i, 0)->x == i + 1);
    assert_true(rn_window_find_best(&best, window));
    assert_true(best.x_less == ceil(best.x_less) && best.x_more == floor(best.x_more));
    assert_true(best.x_less <= best.column + 1 && best.x_more >= best.column + 1);
    rn_window_free(window);
    bench_free(b);
}

static void what_makes_no_window_is_said(void **state)
{
    (void)state;
    bench *b = bench_new(disc);
    rn_error err = {0};
    rn_window *window = NULL;
    rn_window_options options = rn_window_defaults();
    const rn_goal nothing = {0};
    assert_int_equal(rn_window_new(&window, b->plan, &b->x, &b->x, &b->goal, &options, &err), RN_E_PLAN);
    assert_string_equal(err.message, "both axes are consistency; a window needs two numbers");
    err = (rn_error){0};
    rn_dial paint;
    check_ok(rn_window_axis(&paint, b->plan, "paints.1.viscosity", NULL, NULL, &err), &err);
    assert_int_equal(rn_window_new(&window, b->plan, &b->x, &paint, &b->goal, &options, &err), RN_E_PLAN);
    assert_string_equal(err.message,
                        "consistency and paints.1.viscosity speak of the same; a window needs two numbers");
    err = (rn_error){0};
    assert_int_equal(rn_window_new(&window, b->plan, &b->x, &b->y, &nothing, &options, &err), RN_E_PLAN);
    assert_string_equal(err.message, "there is no goal to meet");
    err = (rn_error){0};
    options.rows = 3;
    assert_int_equal(rn_window_new(&window, b->plan, &b->x, &b->y, &b->goal, &options, &err), RN_E_PLAN);
    assert_string_equal(err.message, "3 tiles along poured; between 4 and 256 are possible");
    err = (rn_error){0};
    options.rows = 32;
    check_ok(rn_dial_make(&b->y, b->plan, "poured", "100 ml", "100.2 ml", &err), &err);
    assert_int_equal(rn_window_new(&window, b->plan, &b->x, &b->y, &b->goal, &options, &err), RN_E_PLAN);
    assert_string_equal(err.message, "poured from 100 ml to 100.2 ml is too narrow for 32 tiles");
    assert_null(window);
    bench_free(b);
}

/* A value that makes no plan is a tile with its reason, and costs no run. */
static void values_that_make_no_plan_say_why(void **state)
{
    (void)state;
    bench *b = bench_new(everywhere);
    rn_error err = {0};
    rn_plan_free(b->plan);
    b->plan = stand_in_plan("moves:\n  - {start: 5 s, for: 3 s, tilt: 4 deg, toward: right}\n"
                            "  - {start: 12 s, for: 3 s, tilt: 4 deg, toward: left}\n");
    check_ok(rn_dial_make(&b->x, b->plan, "moves.1.for", "2 s", "12 s", &err), &err);
    rn_window *window = window_of(b, 11, true);
    finish(window, b->study);
    const rn_tile *good = rn_window_tile(window, 2, 5), *bad = rn_window_tile(window, 9, 5);
    assert_int_equal(good->outcome.state, RN_OUTCOME_WHOLE);
    assert_int_equal(bad->kind, RN_TILE_NONE);
    assert_true(bad->outcome.why[0] != '\0');
    assert_int_equal(b->model.calls, 11 * 11 - rn_window_count(window, RN_TILE_NONE));
    rn_window_free(window);
    bench_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(is_as_if_every_tile_was_run),
        cmocka_unit_test(does_not_depend_on_threads),
        cmocka_unit_test(a_copy_shares_nothing),
        cmocka_unit_test(tiles_at_borders_are_open_until_they_are_run),
        cmocka_unit_test(borders_have_runs_on_both_sides),
        cmocka_unit_test(other_demands_are_judged_without_a_run),
        cmocka_unit_test(goes_on_where_it_was_stopped),
        cmocka_unit_test(a_list_of_all_runs_makes_the_same_window),
        cmocka_unit_test(an_axis_goes_from_half_to_twice),
        cmocka_unit_test(values_and_places_agree),
        cmocka_unit_test(whole_numbers_stay_whole),
        cmocka_unit_test(what_makes_no_window_is_said),
        cmocka_unit_test(values_that_make_no_plan_say_why),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
