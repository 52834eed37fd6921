/* The safest plan of a window by plane geometry, and the nearest that works. */
#include "check.h"

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
    check_within(best.x_more - best.x_less, 2 * best.radius * 0.4, 1e-9);
    check_within(best.y_more - best.y_less, 2 * best.radius * 40e-6, 1e-12);
    for (int i = 0; i < 48 * 48; i++) { /* all within the circle works */
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_safest_stands_in_the_middle_of_a_disc),
        cmocka_unit_test(the_safest_of_a_band_has_half_its_width),
        cmocka_unit_test(where_all_works_the_middle_is_safest),
        cmocka_unit_test(where_nothing_works_there_is_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
