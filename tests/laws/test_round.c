/* The round panel: its cells make stairs, its edge must not. What leaves over an open edge is the flux times the true
   perimeter (conservation of volume), and evenly round it.
   [emslie1958] thinning gives the flux on a spinning disc, [nusselt1916] Nusselt 1916, VDI-Z. 60:541 (from memory)
   the flux rho g sin(alpha) h^3/(3 mu) on a slope. */
#include "lab.h"

static const double across = 0.3, depth = 1.5e-3;

static double outflow(double run_off[4], laboratory *lab, const rn_film_input *input)
{
    const rn_grid *grid = &lab->options.grid;
    double *speed = calloc((size_t)grid->nx * (size_t)grid->ny, sizeof *speed);
    assert_non_null(speed);
    rn_film_rates(speed, run_off, lab->film, lab->depth, input, lab->rates);
    free(speed);
    return run_off[0] + run_off[1] + run_off[2] + run_off[3];
}

static laboratory round_lab(int cells)
{
    rn_film_options options = lab_options(across, cells, cells);
    options.round = true;
    options.edges = RN_EDGE_OPEN;
    laboratory lab = lab_new(&options);
    lab_set_even(&lab, depth);
    lab_look(&lab);
    return lab;
}

static double flux(double force)
{
    return LAB_DENSITY * force * pow(depth, 3.0) / (3.0 * LAB_VISCOSITY);
}

static void the_face_has_the_area_of_its_disc(void **state)
{
    (void)state;
    static const int grids[] = {64, 128, 256};
    int count = lab_grids(grids, 3);
    for (int k = 0; k < count; k++) {
        laboratory lab = round_lab(grids[k]);
        double volume = rn_film_volume(lab.film), exact = 0.25 * RN_PI * across * across * depth;
        printf("round face %d: area %.3g %%\n", grids[k], 100.0 * (volume / exact - 1.0));
        check_close(volume, exact, grids[k] > 64 ? 3e-3 : 1e-2);
        lab_free(&lab);
    }
}

static void a_spun_disc_sheds_its_perimeter_times_the_flux(void **state)
{
    (void)state;
    static const int grids[] = {64, 128, 256};
    double rate = 60.0 * RPM, exact = RN_PI * across * flux(rate * rate * 0.5 * across);
    int count = lab_grids(grids, 3);
    for (int k = 0; k < count; k++) {
        laboratory lab = round_lab(grids[k]);
        rn_film_input input = {.rate = rate};
        double run_off[4], whole = outflow(run_off, &lab, &input);
        printf("spun disc %d: outflow %.3g %%, quarters %.3g %.3g %.3g %.3g of a quarter\n", grids[k],
               100.0 * (whole / exact - 1.0), 4.0 * run_off[0] / exact, 4.0 * run_off[1] / exact,
               4.0 * run_off[2] / exact, 4.0 * run_off[3] / exact);
        check_close(whole, exact, grids[k] > 64 ? 1e-2 : 2e-2);
        for (int side = 0; side < 4; side++)
            check_close(run_off[side], 0.25 * whole, 1e-9);
        lab_free(&lab);
    }
}

static void a_tilted_disc_sheds_its_width_times_the_flux(void **state)
{
    (void)state;
    /* Only the component along the outward normal leaves: int over the lower half of cos = 2, so 2 R q; toward the
       front the front quarter takes int from -45 to 45 deg = sqrt(2) R q of it. */
    static const int grids[] = {64, 128, 256};
    double pull = RN_GRAVITY * sin(8.0 * DEG), exact = across * flux(pull);
    int count = lab_grids(grids, 3);
    for (int k = 0; k < count; k++) {
        laboratory lab = round_lab(grids[k]);
        for (int turn = 0; turn < 8; turn++) {
            double toward = turn * 45.0 * DEG, run_off[4];
            rn_film_input input = {.gravity_x = pull * cos(toward), .gravity_y = pull * sin(toward)};
            double whole = outflow(run_off, &lab, &input);
            if (turn == 6)
                printf("tilted disc %d: outflow %.3g %%, front quarter %.3g %%\n", grids[k],
                       100.0 * (whole / exact - 1.0), 100.0 * (run_off[0] / exact * sqrt(2.0) - 1.0));
            check_close(whole, exact, grids[k] > 64 ? 1e-2 : 2e-2);
            if (turn == 6)
                check_close(run_off[0], exact / sqrt(2.0), grids[k] > 64 ? 2e-2 : 4e-2);
        }
        lab_free(&lab);
    }
}

static void a_spun_disc_thins_as_an_endless_film(void **state)
{
    (void)state;
    /* h = h0/sqrt(1 + 4 K h0^2 t) everywhere, so what is left on the disc thins alike. */
    double rate = 60.0 * RPM, t = 10.0,
           thinning = 4.0 * LAB_DENSITY * rate * rate / (3.0 * LAB_VISCOSITY) * depth * depth * t;
    laboratory lab = round_lab(check_grid(128));
    lab.input.rate = rate;
    lab.input.gravity_normal = 0.0;
    double before = rn_film_volume(lab.film);
    lab_run(&lab, t);
    double run_off[4], after = rn_film_volume(lab.film);
    rn_film_run_off(run_off, lab.film);
    printf("spun disc: left %.3g %%\n", 100.0 * (after / before * sqrt(1.0 + thinning) - 1.0));
    check_close(after, before / sqrt(1.0 + thinning), 1e-2);
    check_close(after + run_off[0] + run_off[1] + run_off[2] + run_off[3], before, 1e-10);
    for (int side = 1; side < 4; side++)
        check_close(run_off[side], run_off[0], 1e-4); /* a step solves first along x, then along y */
    lab_free(&lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_face_has_the_area_of_its_disc),
        cmocka_unit_test(a_spun_disc_sheds_its_perimeter_times_the_flux),
        cmocka_unit_test(a_tilted_disc_sheds_its_width_times_the_flux),
        cmocka_unit_test(a_spun_disc_thins_as_an_endless_film),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
