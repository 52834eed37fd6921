/* The safest plan of a window by plane geometry, and the nearest that works. */
#include "check.h"

#include "search/window_answer.h"
#include "search/window_bench.h"

static void the_safest_stands_in_the_middle_of_a_disc(void **state)
{
    (void)state;
    const double tile = 1.0 / 47;
    bench *b = bench_new(disc);
    rn_window *window = window_of(b, 48, false);
    rn_window_best best;
    finish(window, b->study);
    assert_true(rn_window_find_best(&best, window));
    check_within(best.column * tile, DISC_X, 1.5 * tile);
    check_within(best.row * tile, DISC_Y, 1.5 * tile);
    check_within(best.radius, DISC_RADIUS, 1.5 * tile);
    check_within(best.x_more - best.x_less, 2 * best.radius * 0.4, 0.01);   /* three digits each, up to 1.2 Pa s ... */
    check_within(best.y_more - best.y_less, 2 * best.radius * 40e-6, 1e-6); /* ... and 120 ml */
    for (int i = 0; i < 48 * 48; i++) {                                     /* all within the circle works */
        const int column = i % 48, row = i / 48;
        if (hypot(column - best.column, row - best.row) * tile < best.radius)
            assert_int_equal(rn_window_tile(window, column, row)->kind, RN_TILE_WORKS);
    }
    rn_window_free(window);
    bench_free(b);
}

/* The safest of a straight band lies on its middle line; its circle touches the band's edges or the window's. */
static void the_safest_of_a_band_has_half_its_width(void **state)
{
    (void)state;
    bench *b = bench_new(band);
    rn_window *window = window_of(b, 64, false);
    rn_window_best best;
    finish(window, b->study);
    assert_true(rn_window_find_best(&best, window));
    const double x = best.column / 63.0, y = best.row / 63.0;
    check_within(y - 0.8 * x, 0.14, 1.5 / 63);
    check_within(best.radius, 0.5 * 0.22 / hypot(1, 0.8), 1.5 / 63);
    rn_window_free(window);
    bench_free(b);
}

static void where_all_works_the_middle_is_safest(void **state)
{
    (void)state;
    bench *b = bench_new(everywhere);
    rn_window *window = window_of(b, 9, false);
    rn_window_best best;
    int column, row;
    finish(window, b->study);
    assert_true(rn_window_find_best(&best, window));
    assert_int_equal(best.column, 4);
    assert_int_equal(best.row, 4);
    check_within(best.radius, 0.5, 1e-12);
    assert_true(rn_window_nearest(&column, &row, window, 2.2, 6.9));
    assert_int_equal(column, 2);
    assert_int_equal(row, 7);
    assert_true(rn_window_nearest(&column, &row, window, -4, 60));
    assert_int_equal(column, 0);
    assert_int_equal(row, 8);
    rn_window_free(window);
    bench_free(b);
}

static void where_nothing_works_there_is_none(void **state)
{
    (void)state;
    bench *b = bench_new(nowhere);
    rn_window *window = window_of(b, 9, false);
    rn_window_best best;
    int column, row;
    assert_false(rn_window_find_best(&best, window));
    finish(window, b->study);
    assert_false(rn_window_find_best(&best, window));
    assert_false(rn_window_nearest(&column, &row, window, 2, 2));
    rn_window_free(window);
    bench_free(b);
}

/* Works within so far of a place alone; and everywhere but so near to it. */
static struct {
    double x, y, radius;
} spot;

static void at_the_spot(rn_outcome *outcome, double x, double y)
{
    cover(outcome, spot.radius - hypot(x - spot.x, y - spot.y));
}

static void but_at_the_spot(rn_outcome *outcome, double x, double y)
{
    cover(outcome, hypot(x - spot.x, y - spot.y) - spot.radius);
}

static rn_window_answer answer_of(rn_window *window, bench *b)
{
    rn_error err = {0};
    rn_window_answer answer;
    finish(window, b->study);
    check_ok(rn_window_answer_find(&answer, window, 96, b->study, &err), &err);
    return answer;
}

static bool works_at(const bench *b, double x, double y)
{
    rn_outcome outcome = {.poured = 1};
    b->behave(&outcome, (x - 0.8) / 0.4, (y - 80e-6) / 40e-6);
    return outcome.coverage >= 0.5 && outcome.run_off <= 0.5;
}

/* One tile alone works: that tiles beside it do not says nothing of where between them the border lies. */
static void the_ends_of_the_oval_work(void **state)
{
    (void)state;
    static const double radii[] = {0.2, 0.07, 0.05, 0.03, 0.02, 1e-4};
    for (size_t i = 0; i < sizeof radii / sizeof radii[0]; i++) {
        spot.x = spot.y = 0.5;
        spot.radius = radii[i];
        bench *b = bench_new(at_the_spot);
        rn_window *window = window_of(b, 9, false);
        const rn_window_answer answer = answer_of(window, b);
        const rn_tile *best = rn_window_tile(window, 4, 4);
        assert_true(answer.found);
        if (!(answer.best.radius > 0)) {
            assert_false(answer.ends_run);
            check_at_most(radii[i], 1.0 / 16 / 8 + 0.025); /* an eighth of half a tile, and three digits */
            check_within(answer.best.x_more - answer.best.x_less, 0, 1e-9);
        } else {
            assert_true(answer.ends_run);
            check_at_most(answer.best.radius, radii[i] + 0.025);
            assert_true(works_at(b, answer.best.x_less, best->y) && works_at(b, answer.best.x_more, best->y));
            assert_true(works_at(b, best->x, answer.best.y_less) && works_at(b, best->x, answer.best.y_more));
        }
        assert_int_equal(answer.inside_run, radii[i] > 0.125 ? answer.inside_run : 1);
        assert_int_equal(answer.inside_told, 0);
        rn_window_free(window);
        bench_free(b);
    }
}

/* A hole that no line crosses: told tiles stand over it, so the oval promises no more than those that were run. Where it is
   under the safest, another is. */
static void a_hole_in_the_oval(void **state)
{
    (void)state;
    bench *b = bench_new(everywhere);
    rn_window *window = window_of(b, 48, false);
    rn_window_answer answer = answer_of(window, b);
    const int column = answer.best.column, row = answer.best.row;
    assert_true(rn_window_tile(window, column, row)->worked);
    assert_true(answer.inside_told > 1000 && answer.inside_run < 100 && answer.ends_run);
    rn_window_free(window);
    bench_free(b);
    for (int k = 0; k < 2; k++) {
        spot.x = (column + 2 * k) / 47.0; /* under the safest, and two tiles beside it */
        spot.y = (row - 2 * k) / 47.0;
        spot.radius = 0.6 / 47;
        b = bench_new(but_at_the_spot);
        window = window_of(b, 48, false);
        answer = answer_of(window, b);
        const rn_tile *over = rn_window_tile(window, column + 2 * k, row - 2 * k);
        assert_true(rn_window_tile(window, answer.best.column, answer.best.row)->worked);
        assert_true(answer.ends_run);
        if (k == 0) {
            assert_true(over->worked && over->kind == RN_TILE_SHORT);
            check_at_least(hypot(answer.best.column - column, answer.best.row - row), 3);
        } else {
            assert_false(over->worked); /* it would be told to work: the report counts it as told */
            assert_true(answer.inside_told > 0);
        }
        for (int i = 0; i < 48 * 48; i++) {
            const rn_tile *tile = rn_window_tile(window, i % 48, i / 48);
            if (tile->worked)
                assert_int_equal(tile->kind == RN_TILE_WORKS, works_at(b, tile->x, tile->y));
        }
        rn_window_free(window);
        bench_free(b);
    }
}

/* Of a study that was stopped nothing is promised of the ends. */
static void ends_that_were_not_run(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_window_answer answer;
    bench *b = bench_new(disc);
    rn_window *window = window_of(b, 48, false);
    finish(window, b->study);
    rn_study_stop(b->study);
    check_ok(rn_window_answer_find(&answer, window, 96, b->study, &err), &err);
    assert_true(answer.found && answer.best.radius > 0.2);
    assert_false(answer.ends_run);
    rn_window_free(window);
    bench_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_safest_stands_in_the_middle_of_a_disc),
        cmocka_unit_test(the_safest_of_a_band_has_half_its_width),
        cmocka_unit_test(where_all_works_the_middle_is_safest),
        cmocka_unit_test(where_nothing_works_there_is_none),
        cmocka_unit_test(the_ends_of_the_oval_work),
        cmocka_unit_test(a_hole_in_the_oval),
        cmocka_unit_test(ends_that_were_not_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
