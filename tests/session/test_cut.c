/* A cut through the film: its depth between the cells, and its layers against those of the whole panel. */
#include "check.h"

#include "lived.h"
#include "run/cut.h"
#include "run/strata.h"

static const char text[] =
    "plan: 1\n"
    "panel: {size: 20 cm x 20 cm, edges: walls}\n"
    "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}}\n"
    "base: [{paint: foam, volume: 10 ml, at: centre, across: 140 mm}]\n"
    "pours: [{across: 50 mm, width: 8 mm, start: 1 s, lifts: 2, every: 4 s, open: 3 s, repeat: 2, "
    "stack: [slate 20 ml, kelp 10 ml]}]\n"
    "end: 10 s\n";

/* Bilinear interpolation has a plane exactly. */
static void depth_is_bilinear(void **state)
{
    (void)state;
    enum { NX = 64, NY = 48 };
    static double depth[NX * NY];
    rn_still still = {.depth = depth};
    rn_error err = {0};
    check_ok(rn_grid_make(&still.grid, 0.2, 0.15, NX, &err), &err);
    assert_int_equal(still.grid.ny, NY);
    for (int j = 0; j < NY; j++)
        for (int i = 0; i < NX; i++)
            depth[j * NX + i] = 1e-3 + 2e-3 * rn_grid_x(&still.grid, i) - 4e-3 * rn_grid_y(&still.grid, j);
    static const double places[][2] = {{0, 0}, {0.0123, -0.0311}, {-0.07, 0.06}, {0.098, -0.073}};
    for (int k = 0; k < 4; k++)
        check_close(rn_still_depth(&still, places[k][0], places[k][1]),
                    1e-3 + 2e-3 * places[k][0] - 4e-3 * places[k][1], 1e-9);
    check_close(rn_still_depth(&still, -0.1, 0), depth[NY / 2 * NX] / 2 + depth[(NY / 2 - 1) * NX] / 2, 1e-9);
    check_within(rn_still_depth(&still, 0.1001, 0), 0, 0);
    check_within(rn_still_depth(&still, 0, -0.0751), 0, 0);
}

/* Along a row of the strata's points, the same paint at the same place. */
static void a_cut_is_a_row_of_the_strata(void **state)
{
    (void)state;
    enum { N = 128, LEVELS = 6, ROW = 61 };
    lived *life = lived_new(text, 64, NAN);
    rn_error err = {0};
    rn_strata *strata = NULL;
    rn_cut cut;
    rn_strata_options wanted = rn_strata_defaults();
    wanted.points = N;
    wanted.levels = LEVELS;
    check_ok(rn_strata_trace(&strata, &life->past, life->still, wanted, life->team, &err), &err);
    const double y = ((ROW + 0.5) / N - 0.5) * 0.2, a[2] = {-0.1, y}, b[2] = {0.1, y};
    check_ok(rn_cut_trace(&cut, &life->past, life->still, a, b, N, LEVELS, life->team, &err), &err);
    int other = 0, kinds[3] = {0};
    for (int i = 0; i < N; i++)
        for (int level = 0; level < LEVELS; level++) {
            const int paint = cut.paint[i * LEVELS + level];
            other += paint != strata->paint[rn_strata_plane(strata, level) + ROW * N + i];
            if (paint < 3)
                kinds[paint]++;
            assert_true(paint < 3 || cut.depth[i] <= 2 * RN_STRATA_BARE);
            if (cut.pour[i * LEVELS + level] >= 0)
                assert_in_range(1e9 * (double)cut.released[i * LEVELS + level], 0, 30000);
        }
    assert_in_range(other, 0, N * LEVELS / 50); /* rounding of x, and half a cell at the rim of the wet film */
    for (int p = 0; p < 3; p++)
        assert_in_range(kinds[p], 10, N * LEVELS);
    rn_strata_free(strata);
    rn_cut_clear(&cut);
    assert_null(cut.paint);
    lived_free(life);
}

static void bare_ground_has_no_paint(void **state)
{
    (void)state;
    lived *life = lived_new(text, 64, NAN);
    rn_cut cut;
    rn_error err = {0};
    const double a[2] = {-0.1, 0.095}, b[2] = {0.1, 0.095};
    check_ok(rn_cut_trace(&cut, &life->past, life->still, a, b, 40, 4, life->team, &err), &err);
    for (int p = 0; p < 160; p++) {
        assert_int_equal(cut.paint[p], RN_PAINT_NONE);
        assert_int_equal(cut.pour[p], RN_FROM_NOWHERE);
    }
    rn_cut_clear(&cut);
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(depth_is_bilinear),
        cmocka_unit_test(a_cut_is_a_row_of_the_strata),
        cmocka_unit_test(bare_ground_has_no_paint),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
