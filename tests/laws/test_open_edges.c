/* A film that drains over edges which hold nothing: h_t = K div(h^3 grad h), K = rho g/(3 mu), h = 0 at the rim. It is the
   porous-medium equation [vazquez2007] of exponent 4. At first the loss for each length of edge is that of a film without
   another end, c sqrt(K H^5 t), later h = F(place) (L^2/(K t))^(1/3) whatever the start was, with div(F^3 grad F) = -F/3. The
   forms are from memory; c is worked out below from the ordinary equation, F in the middle of a square was worked out
   from its own equation by another method and is kept here as a figure. */
#include "lab.h"

#define SIDE 0.2
#define DEPTH 2e-3
#define SQUARE_MIDDLE 0.71059 /* F in the middle of a square of half side L */
#define SQUARE_MEAN 0.773     /* mean over middle, to its last digit */

/* (f^3 f')' + x f'/2 = 0, f(0) = 0: how far f gets for a given f^3 f' at 0. With u = f^4, u'' = -x u'/(2 u^(3/4)). */
static double far_value(double flux)
{
    const double step = 1e-3;
    double x = 1e-9, u = 4 * flux * x, slope = 4 * flux;
    while (x < 8) { /* the middle of the step, in its second order */
        const double half = -x * slope / (2 * pow(u, 0.75));
        const double middle_u = u + 0.5 * step * slope, middle_slope = slope + 0.5 * step * half;
        const double bend = -(x + 0.5 * step) * middle_slope / (2 * pow(middle_u, 0.75));
        u += step * middle_slope;
        slope += step * bend;
        x += step;
    }
    return pow(u, 0.25);
}

/* c = 2 f^3 f'(0) where f becomes 1: conservation gives the loss as the flux at the rim times twice the time. */
static double early_constant(void)
{
    double low = 0.05, high = 0.5;
    for (int k = 0; k < 50; k++) {
        const double flux = 0.5 * (low + high);
        *(far_value(flux) < 1 ? &low : &high) = flux;
    }
    return low + high;
}

static laboratory wet_square(int cells)
{
    rn_film_options options = lab_options(SIDE, cells, cells);
    options.edges = RN_EDGE_OPEN;
    laboratory lab = lab_new(&options);
    lab_set_even(&lab, DEPTH);
    return lab;
}

static double spread(void)
{
    return LAB_DENSITY * RN_GRAVITY / (3 * LAB_VISCOSITY);
}

static void the_constant_is_the_known_one(void **state)
{
    (void)state;
    check_close(early_constant(), 0.36832, 1e-4);
}

/* Along the middle line both edges lose as if the others were not there. */
static void the_first_loss_grows_as_the_root_of_time(void **state)
{
    (void)state;
    const double c = early_constant();
    static const double times[] = {5, 10, 15}; /* under a twentieth of L^2/(K H^3) */
    laboratory lab = wet_square(check_grid(128));
    const rn_grid grid = lab.options.grid;
    for (int k = 0; k < 3; k++) {
        lab_run(&lab, times[k]);
        double left = 0;
        for (int i = 0; i < grid.nx; i++)
            left += lab.depth[(grid.ny / 2) * grid.nx + i] * grid.dx;
        const double lost = 0.5 * (DEPTH * SIDE - left), law = c * sqrt(spread() * pow(DEPTH, 5) * times[k]);
        printf("open edge %g s: lost %.4g mm2 for each edge, law %.4g (%+.2f %%)\n", times[k], lost * 1e6, law * 1e6,
               100 * (lost / law - 1));
        check_close(lost, law, 0.015);
    }
    lab_free(&lab);
}

/* In time h^-3 grows evenly, whatever the start was: its slope gives F in the middle. */
static void the_last_of_a_square_thins_by_its_law(void **state)
{
    (void)state;
    const double half = SIDE / 2, times[2] = {2400, 3600};
    double middle[2], mean = 0;
    laboratory lab = wet_square(check_grid(96));
    const rn_grid grid = lab.options.grid;
    for (int k = 0; k < 2; k++) {
        lab_run(&lab, times[k]);
        middle[k] = lab_depth(&lab, 0, 0);
        mean = 0;
        for (int n = 0; n < grid.nx * grid.ny; n++)
            mean += lab.depth[n] / (grid.nx * grid.ny);
    }
    const double slope = (pow(middle[1], -3) - pow(middle[0], -3)) / (times[1] - times[0]);
    const double found = cbrt(spread() / (slope * half * half));
    printf("square: F %.4f, law %.4f; mean over middle %.4f, law %.3f\n", found, SQUARE_MIDDLE, mean / middle[1],
           SQUARE_MEAN);
    check_close(found, SQUARE_MIDDLE, 0.01);
    check_close(mean / middle[1], SQUARE_MEAN, 0.005);
    lab_free(&lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_constant_is_the_known_one),
        cmocka_unit_test(the_first_loss_grows_as_the_root_of_time),
        cmocka_unit_test(the_last_of_a_square_thins_by_its_law),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
