#include "base/grid.h"

#include "check.h"

#include <string.h>

static void a_square_panel_gets_the_cells_asked_for(void **state)
{
    (void)state;
    for (int cells = RN_GRID_LEAST; cells <= RN_GRID_MOST; cells *= 2) {
        rn_error err = {0};
        rn_grid grid;
        check_ok(rn_grid_make(&grid, 0.3048, 0.3048, cells, &err), &err);
        assert_int_equal(grid.nx, cells);
        assert_int_equal(grid.ny, cells);
        check_close(grid.dx, 0.3048 / cells, 1e-15);
    }
}

static void the_longer_side_gets_the_cells_asked_for(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_grid wide, tall;
    check_ok(rn_grid_make(&wide, 0.4064, 0.3048, 256, &err), &err);
    assert_int_equal(wide.nx, 256);
    assert_int_equal(wide.ny, 192);
    check_ok(rn_grid_make(&tall, 0.3048, 0.4064, 256, &err), &err);
    assert_int_equal(tall.nx, 192);
    assert_int_equal(tall.ny, 256);
}

static void cells_are_square_within_a_percent_and_fill_the_panel(void **state)
{
    (void)state;
    int counts[] = {RN_GRID_LEAST, 65, 100, 128, 255, 256, 700, 1023, RN_GRID_MOST};
    for (size_t c = 0; c < sizeof counts / sizeof counts[0]; c++)
        for (double width = 0.02; width < 3; width *= 1.09)
            for (double height = width / 7.5; height < 7.5 * width; height *= 1.013) {
                rn_error err = {0};
                rn_grid grid;
                check_ok(rn_grid_make(&grid, width, height, counts[c], &err), &err);
                check_within(grid.dx / grid.dy, 1, 0.0101);
                check_close(grid.nx * grid.dx, width, 1e-14);
                check_close(grid.ny * grid.dy, height, 1e-14);
                int along = grid.nx > grid.ny ? grid.nx : grid.ny;
                check_within(along, counts[c], 8); /* "a few more" is at most the ratio of the sides */
            }
}

static void coordinates_are_symmetric_about_the_centre(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_grid grid;
    check_ok(rn_grid_make(&grid, 0.5, 0.3, 101, &err), &err);
    check_close(rn_grid_x(&grid, 0), -0.25 + grid.dx / 2, 1e-14);
    check_close(rn_grid_x(&grid, grid.nx - 1), 0.25 - grid.dx / 2, 1e-14);
    check_close(rn_grid_y(&grid, 0), -0.15 + grid.dy / 2, 1e-14);
    check_close(rn_grid_y(&grid, grid.ny - 1), 0.15 - grid.dy / 2, 1e-14);
    check_within(rn_grid_x(&grid, 50), 0, 1e-16);
}

static void what_cannot_be_laid_out_is_refused_and_leaves_the_grid_alone(void **state)
{
    (void)state;
    struct {
        double width, height;
        int cells;
        rn_status status;
        const char *word;
    } wrong[] = {
        {0.3, 0.3, 63, RN_E_USAGE, "64 to 1024"},     {0.3, 0.3, 1025, RN_E_USAGE, "64 to 1024"},
        {0.3, 0.3, -1, RN_E_USAGE, "64 to 1024"},     {0, 0.3, 128, RN_E_PLAN, "two sides"},
        {0.3, -0.3, 128, RN_E_PLAN, "two sides"},     {NAN, 0.3, 128, RN_E_PLAN, "two sides"},
        {0.3, INFINITY, 128, RN_E_PLAN, "two sides"}, {3, 0.02, 256, RN_E_PLAN, "3000 mm x 20 mm is too narrow"},
        {0.02, 3, 1024, RN_E_PLAN, "too narrow"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        rn_error err = {0};
        rn_grid grid = {7, 8, 9, 10};
        check_status(rn_grid_make(&grid, wrong[i].width, wrong[i].height, wrong[i].cells, &err), wrong[i].status, &err);
        assert_non_null(strstr(err.message, wrong[i].word));
        assert_int_equal(grid.nx, 7);
        check_close(grid.dy, 10, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_square_panel_gets_the_cells_asked_for),
        cmocka_unit_test(the_longer_side_gets_the_cells_asked_for),
        cmocka_unit_test(cells_are_square_within_a_percent_and_fill_the_panel),
        cmocka_unit_test(coordinates_are_symmetric_about_the_centre),
        cmocka_unit_test(what_cannot_be_laid_out_is_refused_and_leaves_the_grid_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
