/* The panel's area and places, by plane geometry. */
#include "check.h"

#include "base/physical.h"
#include "matter/panel.h"

static void areas_are_those_of_plane_figures(void **state)
{
    (void)state;
    rn_panel square = {.width = 0.3048, .height = 0.3048};
    check_close(rn_panel_area(&square), 0.09290304, 1e-15); /* 1 square foot, exact [nist811] */
    rn_panel disc = {.round = true, .width = 0.3, .height = 0.3};
    check_close(rn_panel_area(&disc), RN_PI * 0.15 * 0.15, 1e-15);
}

static void discs_at_places_touch_the_edge_from_inside(void **state)
{
    (void)state;
    const double radius = 0.02;
    rn_panel wide = {.width = 0.4, .height = 0.3}, disc = {.round = true, .width = 0.3, .height = 0.3};
    for (int side_x = -1; side_x <= 1; side_x++)
        for (int side_y = -1; side_y <= 1; side_y++) {
            double x, y;
            rn_panel_place(&x, &y, &wide, side_x, side_y, radius);
            if (side_x)
                check_within(0.2 - fabs(x), radius, 1e-15);
            if (side_y)
                check_within(0.15 - fabs(y), radius, 1e-15);
            assert_true(x * side_x >= 0 && y * side_y >= 0);
            assert_true((side_x || x == 0) && (side_y || y == 0));
            rn_panel_place(&x, &y, &disc, side_x, side_y, radius);
            if (side_x || side_y) {
                check_within(0.15 - hypot(x, y), radius, 1e-15);
                check_within(atan2(y, x), atan2(side_y, side_x), 1e-15);
            }
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(areas_are_those_of_plane_figures),
        cmocka_unit_test(discs_at_places_touch_the_edge_from_inside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
