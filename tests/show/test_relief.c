/* The film's surface between the cells: properties of the uniform cubic B-spline (de Boor 1978 [deboor1978], from
   memory). */
#include "check.h"

#include "show/relief.h"

#define CELLS 64

static double depths[CELLS * CELLS];
static bool insides[CELLS * CELLS];
static const rn_grid grid = {.nx = CELLS, .ny = CELLS, .dx = 0.002, .dy = 0.003};

static void look(double seen[3], double x, double y, const bool *inside)
{
    rn_relief relief;
    float scratch[2 * CELLS], at = (float)x, depth, slope_x, slope_y;
    assert_true(rn_relief_init(&relief, &grid, inside, depths));
    rn_relief_row(&depth, &slope_x, &slope_y, &relief, scratch, &at, 1, (float)y);
    check_close((double)rn_relief_depth(&relief, (float)x, (float)y), (double)depth, 1e-5); /* two ways to one depth */
    rn_relief_clear(&relief);
    seen[0] = (double)depth;
    seen[1] = (double)slope_x;
    seen[2] = (double)slope_y;
}

static void weights_are_a_share_each(void **state)
{
    (void)state;
    for (int k = 0; k <= 20; k++) {
        float weight[4], slope[4];
        double sum = 0.0, slopes = 0.0, first = 0.0;
        rn_relief_spline(weight, slope, (float)k / 20.0f);
        for (int i = 0; i < 4; i++) {
            sum += (double)weight[i];
            slopes += (double)slope[i];
            first += (double)weight[i] * (i - 1);
        }
        check_within(sum, 1.0, 1e-6);
        check_within(slopes, 0.0, 1e-6);
        check_within(first, k / 20.0, 1e-6); /* straight lines stay */
    }
}

static void planes_stay_and_bowls_rise_evenly(void **state)
{
    (void)state;
    for (int j = 0; j < CELLS; j++)
        for (int i = 0; i < CELLS; i++) {
            const double x = rn_grid_x(&grid, i), y = rn_grid_y(&grid, j);
            depths[j * CELLS + i] = 1e-3 + 0.02 * x - 0.01 * y + 0.5 * x * x;
        }
    double seen[3];
    look(seen, 0.0113, -0.0207, NULL);
    /* x^2 rises by the spline's variance, dx^2/3, and the binomial mean's, dx^2/2; its slope stays. */
    const double x = 0.0113, y = -0.0207, lift = 0.5 * (1.0 / 3.0 + 0.5) * grid.dx * grid.dx;
    check_within(seen[0], 1e-3 + 0.02 * x - 0.01 * y + 0.5 * x * x + lift, 1e-8);
    check_within(seen[1], 0.02 + x, 1e-5);
    check_within(seen[2], -0.01, 1e-5);
}

static void a_rim_is_no_slope(void **state)
{
    (void)state;
    for (int j = 0; j < CELLS; j++)
        for (int i = 0; i < CELLS; i++) {
            insides[j * CELLS + i] = hypot(i - 31.5, j - 31.5) < 25.0;
            depths[j * CELLS + i] = insides[j * CELLS + i] ? 1e-3 : 0.0;
        }
    for (double angle = 0.0; angle < 6.28; angle += 0.1) {
        double seen[3];
        look(seen, 25.0 * grid.dx * cos(angle), 25.0 * grid.dy * sin(angle), insides);
        check_close(seen[0], 1e-3, 1e-5);
        check_within(seen[1], 0.0, 1e-5);
        check_within(seen[2], 0.0, 1e-5);
    }
}

static void beyond_the_grid_as_at_its_edge(void **state)
{
    (void)state;
    for (int c = 0; c < CELLS * CELLS; c++)
        depths[c] = 2e-3;
    double seen[3];
    look(seen, 1.0, -1.0, NULL);
    check_close(seen[0], 2e-3, 1e-6);
    check_within(seen[1], 0.0, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_are_a_share_each),
        cmocka_unit_test(planes_stay_and_bowls_rise_evenly),
        cmocka_unit_test(a_rim_is_no_slope),
        cmocka_unit_test(beyond_the_grid_as_at_its_edge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
