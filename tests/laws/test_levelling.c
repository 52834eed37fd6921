/* Ripples level at s = h^3 (rho g k^2 + gamma k^4)/(3 mu):
   [orchard1963] S. E. Orchard 1963, Appl. Sci. Res. A11:451 (capillary part confirmed in a second text, the sum from
   memory; it is the linearised thin-film equation, and the solver is held to that thin law, not to Stokes flow). */
#include "lab.h"

typedef struct ripple {
    double mean, height, kx, ky, left, front;
} ripple;

static double ripple_depth(const void *context, double x, double y)
{
    const ripple *now = context;
    return now->mean + now->height * cos(now->kx * (x - now->left)) * cos(now->ky * (y - now->front));
}

static double ripple_rate(const ripple *now, double gravity, double tension)
{
    double k2 = now->kx * now->kx + now->ky * now->ky;
    return pow(now->mean, 3.0) * (LAB_DENSITY * gravity * k2 + tension * k2 * k2) / (3.0 * LAB_VISCOSITY);
}

/* The ripple's height still there: projection on its own shape. */
static double ripple_left(const laboratory *lab, const ripple *now)
{
    const rn_grid *grid = &lab->options.grid;
    ripple shape = *now;
    shape.mean = 0.0;
    shape.height = 1.0;
    double sum = 0.0, norm = 0.0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            double value = ripple_depth(&shape, rn_grid_x(grid, i), rn_grid_y(grid, j));
            sum += value * (lab->depth[j * grid->nx + i] - now->mean);
            norm += value * value;
        }
    return sum / norm;
}

/* Error of the rate, share of the exact one. waves_y 0: a plane ripple on a strip. */
static double rate_error(int cells, double width, double mean, double length, bool crossed, double gravity,
                         double tension)
{
    rn_film_options options = lab_options(width, cells, crossed ? cells : LAB_STRIP);
    options.tension = tension;
    options.slip = 0.0; /* there is no front */
    options.tolerance = 1e-6;
    ripple now = {mean,
                  0.002 * mean,
                  2.0 * RN_PI / length,
                  crossed ? 2.0 * RN_PI / length : 0.0,
                  -0.5 * width,
                  -0.5 * options.grid.dy * options.grid.ny};
    double exact = ripple_rate(&now, gravity, tension), t = 1.0 / exact;
    options.step_most = t / 200.0;
    laboratory lab = lab_new(&options);
    lab.input.gravity_normal = gravity;
    lab_set(&lab, ripple_depth, &now, 8);
    lab_look(&lab);
    double before = ripple_left(&lab, &now);
    lab_run(&lab, t);
    double rate = log(before / ripple_left(&lab, &now)) / t;
    lab_free(&lab);
    return rate / exact - 1.0;
}

static void check_rates(const char *name, double mean, double length, bool crossed, double gravity, double tension)
{
    static const int grids[] = {32, 64, 128};
    double errors[3] = {0}, width = 2.0 * length;
    int count = lab_grids(grids, 3);
    for (int k = 0; k < count; k++) {
        double error = rate_error(grids[k], width, mean, length, crossed, gravity, tension);
        printf("%s, %d cells a wave: rate %.3g %%\n", name, grids[k] / 2, 100.0 * error);
        errors[k] = fabs(error);
    }
    check_at_most(errors[count - 1], count == 3 ? 1e-2 : 4e-2);
    if (count == 3)
        check_within(lab_order(grids, errors, 3), 2.0, 0.25);
}

static void the_rates_have_the_tabulated_values(void **state)
{
    (void)state;
    ripple fine = {1e-3, 0.0, 2.0 * RN_PI / 0.02, 0.0, 0.0, 0.0},
           broad = {1.5e-3, 0.0, 2.0 * RN_PI / 0.05, 0.0, 0.0, 0.0};
    check_close(ripple_rate(&fine, RN_GRAVITY, LAB_TENSION), 0.452298, 1e-5);
    check_close(ripple_rate(&fine, 0.0, LAB_TENSION), 0.0974090, 1e-5);
    check_close(ripple_rate(&broad, RN_GRAVITY, LAB_TENSION), 0.200056, 1e-5);
}

static void ripples_level_by_gravity_and_tension(void **state)
{
    (void)state;
    check_rates("20 mm ripple", 1e-3, 0.02, false, RN_GRAVITY, LAB_TENSION);
    check_rates("50 mm ripple", 1.5e-3, 0.05, false, RN_GRAVITY, LAB_TENSION);
}

static void ripples_level_by_gravity_alone(void **state)
{
    (void)state;
    check_rates("20 mm ripple, gravity", 1e-3, 0.02, false, RN_GRAVITY, 0.0);
}

static void ripples_level_by_tension_alone(void **state)
{
    (void)state;
    check_rates("20 mm ripple, tension", 1e-3, 0.02, false, 0.0, LAB_TENSION);
}

static void crossed_ripples_level(void **state)
{
    (void)state;
    /* Both directions at once: the mixed fourth derivative carries half of the capillary part. */
    check_rates("crossed 20 mm ripples", 1e-3, 0.02, true, RN_GRAVITY, LAB_TENSION);
    check_rates("crossed 10 mm ripples, tension", 1e-3, 0.01, true, 0.0, LAB_TENSION);
}

static void long_steps_keep_the_rate(void **state)
{
    (void)state;
    /* 2nd order in time: the same ripple on one grid, steps of 1/5, 1/10 and 1/20 of its lifetime against 1/640. */
    static const int parts[] = {5, 10, 20};
    double errors[3], lives[4];
    double length = 0.02, mean = 1e-3, width = 2.0 * length;
    for (int k = 0; k < 4; k++) {
        rn_film_options options = lab_options(width, 64, LAB_STRIP);
        options.tension = LAB_TENSION;
        options.slip = 0.0;
        options.tolerance = 1e3; /* the step is set by the limit alone */
        options.step_most = 10.0;
        ripple now = {mean, 0.002 * mean, 2.0 * RN_PI / length, 0.0, -0.5 * width, 0.0};
        double t = 1.0 / ripple_rate(&now, RN_GRAVITY, LAB_TENSION);
        laboratory lab = lab_new(&options);
        lab_set(&lab, ripple_depth, &now, 8);
        int n = k < 3 ? parts[k] : 640;
        for (int step = 1; step <= n; step++)
            lab_run(&lab, t * step / n);
        printf("ripple in %d steps of %g s: %ld taken\n", n, t / n, rn_film_steps(lab.film));
        lives[k] = ripple_left(&lab, &now) / now.height;
        lab_free(&lab);
    }
    for (int k = 0; k < 3; k++) {
        errors[k] = fabs(lives[k] / lives[3] - 1.0);
        printf("ripple in %d steps: height off by %.3g %%\n", parts[k], 100.0 * errors[k]);
    }
    check_at_most(errors[2], 1e-2);
    check_at_least(lab_order(parts, errors, 3), 1.7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rates_have_the_tabulated_values),
        cmocka_unit_test(ripples_level_by_gravity_and_tension),
        cmocka_unit_test(ripples_level_by_gravity_alone),
        cmocka_unit_test(ripples_level_by_tension_alone),
        cmocka_unit_test(crossed_ripples_level),
        cmocka_unit_test(long_steps_keep_the_rate),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
