/* The rim, where the film's depth counts and not that of a cell half inside it.
   [oliver1977] a sharp edge holds the film to h0 = 2 l_c sin((90 deg + theta)/2) (concept confirmed, formula from memory and
     by balance of forces). Paint at rest on a slope has a level face (hydrostatics): over a length L of mean depth m it
     stands m + tan(slope) L/2 deep at the lower rim, on any grid.
   What then runs over is a rule of ours: it is held to be the same on coarse and fine grids. */
#include "lab.h"

#define SIDE 0.1 /* of the panel [m] */

static laboratory rim_lab(int cells, int rows, double depth, double slope)
{
    rn_film_options options = lab_options(SIDE, cells, rows);
    options.density = 1200.0;
    options.tension = 0.033;
    options.advance = 25.0 * DEG;
    options.edges = RN_EDGE_CLEAN;
    options.law.consistency = 0.1; /* comes to rest within a minute */
    laboratory lab = lab_new(&options);
    lab.input.gravity_x = RN_GRAVITY * sin(slope);
    lab.input.gravity_normal = RN_GRAVITY * cos(slope);
    lab_set_even(&lab, depth);
    return lab;
}

static double run_off(const laboratory *lab)
{
    double sides[4];
    rn_film_run_off(sides, lab->film);
    return sides[0] + sides[1] + sides[2] + sides[3];
}

static void a_tilted_film_spills_from_where_it_stands_as_deep_as_the_rim_holds(void **state)
{
    (void)state;
    const double mean = 1.8e-3, hold = 2.0 * sqrt(0.033 / (1200.0 * RN_GRAVITY)) * sin(0.5 * 115.0 * DEG);
    const double steepest = atan((hold - mean) / (0.5 * SIDE));
    static const int grids[] = {16, 32, 64, 128};
    int count = lab_grids(grids, 4);
    for (int k = 0; k < count; k++) {
        laboratory under = rim_lab(grids[k], LAB_STRIP, mean, 0.985 * steepest);
        lab_run(&under, 400.0);
        check_within(run_off(&under), 0.0, 0.0);
        lab_free(&under);
        laboratory over = rim_lab(grids[k], LAB_STRIP, mean, 1.015 * steepest);
        lab_run(&over, 400.0);
        printf("%d cells: %.3g %% run off at 1.5 %% over\n", grids[k],
               100.0 * run_off(&over) / (run_off(&over) + rn_film_volume(over.film)));
        assert_true(run_off(&over) > 0.0);
        lab_free(&over);
    }
}

/* 1.5 mm on a slope of 12 deg for 15 s. */
static double share_gone(int cells, double tolerance)
{
    rn_film_options options = lab_options(SIDE, cells, cells);
    options.density = 1200.0;
    options.tension = 0.033;
    options.advance = 25.0 * DEG;
    options.edges = RN_EDGE_CLEAN;
    options.tolerance = tolerance;
    laboratory lab = lab_new(&options);
    lab.input.gravity_x = RN_GRAVITY * sin(12.0 * DEG);
    lab.input.gravity_normal = RN_GRAVITY * cos(12.0 * DEG);
    lab_set_even(&lab, 1.5e-3);
    double poured = rn_film_volume(lab.film);
    lab_run(&lab, 15.0);
    double gone = run_off(&lab) / poured;
    printf("%d cells, tolerance %g: %.3f %% run off, %ld+%ld steps\n", cells, tolerance, 100.0 * gone,
           rn_film_steps(lab.film), rn_film_rejected(lab.film));
    lab_free(&lab);
    return gone;
}

static void what_runs_off_does_not_hang_on_the_grid(void **state)
{
    (void)state;
    /* Cells of 3.1, 1.6 and 0.8 mm against 0.4. */
    double fine = share_gone(check_grid(256), 1e-3);
    check_close(share_gone(32, 1e-3), fine, 1.5e-2);
    check_close(share_gone(64, 1e-3), fine, 1e-2);
    check_close(share_gone(128, 1e-3), fine, 5e-3);
}

static void what_runs_off_does_not_hang_on_the_step(void **state)
{
    (void)state;
    double fine = share_gone(64, 1e-4);
    check_within(share_gone(64, RN_FILM_TOLERANCE), fine, 3e-3); /* of the paint */
    check_within(share_gone(64, 1e-2), fine, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tilted_film_spills_from_where_it_stands_as_deep_as_the_rim_holds),
        cmocka_unit_test(what_runs_off_does_not_hang_on_the_grid),
        cmocka_unit_test(what_runs_off_does_not_hang_on_the_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
