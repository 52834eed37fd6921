/* The laws once more, through the program: laboratory cases written as plans, judged from what the command prints.
   [emslie1958] a spun film: h = h0/sqrt(1 + 4 K h0^2 t), K = rho omega^2/(3 mu) (confirmed against a second text).
   [jeffreys1930] a vertical film drains to h = sqrt(mu x/(rho g t)) (record confirmed, formula from memory).
   [coussot1996] paint with a yield stress stops on a slope at tau_y = rho g h sin(alpha) (record confirmed).
   [degennes2004] a wide puddle is 2 l_c sin(theta/2) deep (from memory and by balance of forces). */
#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "shell.h"

#define DEG (RN_PI / 180)

/* Depths ny*nx of the final film, row 0 at the back edge; freed by the caller. */
static double *run_for_field(void **state, const char *plan, int cells, int *nx, int *ny)
{
    char grid[16];
    snprintf(grid, sizeof grid, "%d", cells);
    const char *field = shell_path(state, "field.npy");
    shell got = {0};
    shell_run_fed(&got, plan, "forecast", "-", "--quiet", "--grid", grid, "--field", field, NULL);
    if (got.exit != 0)
        fail_msg("exit %d: %s", got.exit, got.err);
    shell_clear(&got);
    size_t size;
    char *bytes = shell_read(field, &size);
    assert_non_null(bytes);
    const char *shape = strstr(bytes + 10, "'shape': (");
    assert_non_null(shape);
    assert_int_equal(sscanf(shape, "'shape': (%d, %d)", ny, nx), 2);
    size_t count = (size_t)*nx * (size_t)*ny * sizeof(double);
    double *depth = malloc(count);
    assert_non_null(depth);
    memcpy(depth, bytes + size - count, count);
    free(bytes);
    return depth;
}

static void a_spun_film_thins(void **state)
{
    int nx, ny;
    double *depth = run_for_field(state,
                                  "plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\n"
                                  "paints: {lab: {viscosity: 1 Pa s, density: 1100 kg/m3, tension: 0 mN/m}}\n"
                                  "base: [{paint: lab, depth: 1.5 mm}]\n"
                                  "moves: [{start: 0 s, for: 10 s, spin: 60 rpm, ramp: 0 s}]\nend: 10 s\n",
                                  check_grid(128), &nx, &ny);
    double omega = 2 * RN_PI, K = 1100 * omega * omega / 3;
    check_close(depth[ny / 2 * nx + nx / 2], 1.5e-3 / sqrt(1 + 4 * K * 1.5e-3 * 1.5e-3 * 10), 1e-3);
    free(depth);
}

static void a_vertical_film_drains(void **state)
{
    int nx, ny, cells = check_grid(256);
    double *depth =
        run_for_field(state,
                      "plan: 1\npanel: {size: 30 cm x 10 cm, edges: open}\n"
                      "paints: {lab: {viscosity: 1 Pa s, density: 1100 kg/m3, tension: 0 mN/m}}\n"
                      "base: [{paint: lab, depth: 1.5 mm}]\n"
                      "moves: [{start: 0 s, for: 60 s, tilt: 90 deg, toward: right, ramp: 0 s}]\nend: 60 s\n",
                      cells, &nx, &ny);
    for (int i = nx / 3; i < nx; i += nx / 8) {
        double x = (i + 0.5) * 0.3 / nx;
        check_close(depth[ny / 2 * nx + i], sqrt(x / (1100 * RN_GRAVITY * 60)), cells < 256 ? 2e-2 : 5e-3);
    }
    free(depth);
}

static void paint_with_a_yield_stress_stops_on_a_slope(void **state)
{
    int nx, ny;
    double *depth =
        run_for_field(state,
                      "plan: 1\npanel: {size: 20 cm x 10 cm, edges: open}\n"
                      "paints: {lab: {viscosity: 0.05 Pa s, yield: 1 Pa, density: 1100 kg/m3, tension: 0 mN/m}}\n"
                      "base: [{paint: lab, depth: 2 mm}]\n"
                      "moves: [{start: 0 s, for: 600 s, tilt: 10 deg, toward: right, ramp: 0 s}]\nend: 600 s\n",
                      64, &nx, &ny);
    double stop = 1 / (1100 * RN_GRAVITY * sin(10 * DEG));
    double middle = depth[ny / 2 * nx + nx / 4];
    printf("stop depth: %.4f mm, law %.4f mm\n", 1e3 * middle, 1e3 * stop);
    assert_true(middle >= stop * (1 - 1e-6));
    check_close(middle, stop, 3e-2); /* it stops for ever more slowly */
    free(depth);
}

static void a_puddle_stands_at_its_holding_depth(void **state)
{
    int nx, ny, cells = check_grid(128);
    double *depth = run_for_field(state,
                                  "plan: 1\npanel: {size: 20 cm x 20 cm, edges: walls, advance: 25 deg}\n"
                                  "paints: {lab: {viscosity: 0.3 Pa s, density: 1200 kg/m3, tension: 33 mN/m}}\n"
                                  "base: [{paint: lab, volume: 10 ml, at: centre, across: 60 mm}]\nend: 15 min\n",
                                  cells, &nx, &ny);
    double hold = 2 * sqrt(0.033 / (1200 * RN_GRAVITY)) * sin(12.5 * DEG), area = 0;
    for (long n = 0; n < (long)nx * ny; n++)
        area += depth[n] > 0.1e-3 ? 0.04 / ((double)nx * ny) : 0;
    printf("puddle: middle %.4f, volume %.4f of the law's\n", depth[ny / 2 * nx + nx / 2] / hold,
           10e-6 / (area * hold));
    check_close(depth[ny / 2 * nx + nx / 2], hold, 3e-2);
    check_close(10e-6 / (area * hold), 1, 6e-2);
    free(depth);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_spun_film_thins, shell_make_folder, shell_remove_folder),
        cmocka_unit_test_setup_teardown(a_vertical_film_drains, shell_make_folder, shell_remove_folder),
        cmocka_unit_test_setup_teardown(paint_with_a_yield_stress_stops_on_a_slope, shell_make_folder,
                                        shell_remove_folder),
        cmocka_unit_test_setup_teardown(a_puddle_stands_at_its_holding_depth, shell_make_folder, shell_remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
