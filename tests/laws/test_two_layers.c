/* Columns of several paints. On a slope the shear stress is G (h - z) whatever the film is made of [oron1997], so that
   q = int_0^h (h - z) rate(z) dz: for two Newtonian layers in closed form (derived; confirmed here by quadrature), for
   Herschel-Bulkley layers [balmforth2002] by quadrature. Spin thinning after [emslie1958] (confirmed in a second text),
   with the viscosity that the same integral gives a layered film. */
#include "lab.h"

#include <string.h>

#include "film/mobility.h"

#define LEVELS 8
#define CELLS 32 /* a side of the film that is only asked for its rates */

typedef struct stack {
    rn_law laws[4];
    int law_count, levels;
    unsigned char law_of[LEVELS]; /* from the panel up */
} stack;

static rn_column column_of(const stack *of)
{
    return (rn_column){of->laws, of->law_of, 1, of->levels, NULL};
}

/* `lower` levels of one paint below, the rest of another. */
static stack two_layers(rn_law under, rn_law over, int lower, int levels)
{
    stack made = {{under, over}, 2, levels, {0}};
    for (int l = lower; l < levels; l++)
        made.law_of[l] = 1;
    return made;
}

static rn_law plain(double viscosity)
{
    return (rn_law){viscosity, 1.0, 0.0};
}

static double slope_pull(double deg)
{
    return LAB_DENSITY * RN_GRAVITY * sin(deg * DEG);
}

/* Gives every cell of a film the same column. */
static void lay(rn_film *film, const stack *of)
{
    const rn_grid *grid = rn_film_grid(film);
    const size_t plane = (size_t)grid->nx * (size_t)grid->ny;
    unsigned char *laws_of = malloc(plane * (size_t)of->levels);
    assert_non_null(laws_of);
    for (int l = 0; l < of->levels; l++)
        memset(laws_of + (size_t)l * plane, of->law_of[l], plane);
    rn_error err = {0};
    check_ok(rn_film_set_columns(film, laws_of, NULL, of->levels, of->laws, of->law_count, &err), &err);
    free(laws_of);
}

/* The film's flux across its first faces: how fast its first column and row empty. */
static double film_flux(const stack *of, double deg, double toward, double h, double tension)
{
    rn_film_options options = lab_options(0.05, CELLS, CELLS);
    options.law = (rn_law){0.123, 0.9, 0.1}; /* not any of the paints */
    options.tension = tension;
    laboratory lab = lab_new(&options);
    lay(lab.film, of);
    lab_set_even(&lab, h);
    lab_look(&lab);
    double pull = RN_GRAVITY * sin(deg * DEG), run_off[4], *speed = calloc(CELLS * CELLS, sizeof *speed);
    assert_non_null(speed);
    rn_film_input input = {.gravity_x = pull * cos(toward),
                           .gravity_y = pull * sin(toward),
                           .gravity_normal = RN_GRAVITY * cos(deg * DEG)};
    rn_film_rates(speed, run_off, lab.film, lab.depth, &input, lab.rates);
    check_within(speed[CELLS / 2 * CELLS + CELLS / 2], 0.0, 1e-15); /* as much comes as goes */
    double x = -speed[CELLS / 2 * CELLS] * options.grid.dx, y = -speed[CELLS / 2] * options.grid.dy;
    free(speed);
    lab_free(&lab);
    return x * cos(toward) + y * sin(toward);
}

/* --- Newtonian --------------------------------------------------------------------------------------------------- */

/* q = G [(h h1^2/2 - h1^3/6)/mu1 + (h h1 - h1^2/2) h2/mu1 + h2^3/(3 mu2)] */
static double two_layer_flux(double h1, double viscosity1, double h2, double viscosity2, double pull)
{
    double h = h1 + h2;
    return pull * ((h * h1 * h1 / 2.0 - h1 * h1 * h1 / 6.0) / viscosity1 + (h * h1 - h1 * h1 / 2.0) * h2 / viscosity1 +
                   h2 * h2 * h2 / (3.0 * viscosity2));
}

static void two_newtonian_layers_flow_by_the_exact_flux(void **state)
{
    (void)state;
    double pull = slope_pull(10.0), exact = two_layer_flux(1e-3, 2.0, 1e-3, 0.5, pull);
    check_close(exact, 3.43419e-6, 1e-5);
    stack halves = two_layers(plain(2.0), plain(0.5), 1, 2), eighths = two_layers(plain(2.0), plain(0.5), 4, 8);
    rn_column of_two = column_of(&halves), of_eight = column_of(&eighths);
    check_close(rn_column_flux(&of_two, 2e-3, pull), exact, 1e-13);
    check_close(rn_column_flux(&of_eight, 2e-3, pull), exact, 1e-13);
    check_close(film_flux(&halves, 10.0, 0.0, 2e-3, 0.0), exact, 1e-3);
    check_close(film_flux(&eighths, 10.0, 0.0, 2e-3, 0.0), exact, 1e-12);
}

static void other_shares_and_viscosities_too(void **state)
{
    (void)state;
    static const double viscosities[][2] = {{0.1, 5.0}, {5.0, 0.1}, {1.0, 1.3}, {2.0, 2.0}, {0.03, 30.0}};
    static const double depths[] = {0.4e-3, 3e-3}, slopes[] = {0.7, 25.0};
    for (int v = 0; v < 5; v++)
        for (int lower = 1; lower < LEVELS; lower += 2)
            for (int k = 0; k < 2; k++) {
                double h1 = depths[k] * lower / LEVELS, pull = slope_pull(slopes[k]);
                double exact = two_layer_flux(h1, viscosities[v][0], depths[k] - h1, viscosities[v][1], pull);
                stack of = two_layers(plain(viscosities[v][0]), plain(viscosities[v][1]), lower, LEVELS);
                rn_column column = column_of(&of);
                check_close(rn_column_flux(&column, depths[k], pull), exact, 1e-12);
                check_close(film_flux(&of, slopes[k], (20.0 + 70.0 * v) * DEG, depths[k], LAB_TENSION), exact, 1e-10);
            }
}

/* --- Herschel-Bulkley -------------------------------------------------------------------------------------------- */

/* int over the column's stresses y = G (h - z) of weight(y) rate(y), from stress `from` to the bottom's, by Simpson's
   rule level by level, in the substitution excess = v^4 that makes the integrand smooth where paint begins to yield. */
static double stress_integral(const stack *of, double bottom, double from, bool moment)
{
    enum { STEPS = 400 };
    double all = 0.0;
    for (int l = 0; l < of->levels; l++) {
        const rn_law *law = &of->laws[of->law_of[l]];
        double high = bottom * (of->levels - l) / of->levels - law->yield;
        double low = fmax(bottom * (of->levels - l - 1) / of->levels, from) - law->yield;
        if (high <= 0.0 || high <= low)
            continue;
        double start = sqrt(sqrt(fmax(low, 0.0))), step = (sqrt(sqrt(high)) - start) / STEPS, sum = 0.0;
        for (int k = 0; k <= STEPS; k++) {
            double v = start + k * step, excess = v * v * v * v;
            double rate = pow(excess / law->consistency, 1.0 / law->power);
            sum += (k == 0 || k == STEPS ? 1.0
                    : k % 2              ? 4.0
                                         : 2.0) *
                   rate * (moment ? excess + law->yield : 1.0) * 4.0 * v * v * v;
        }
        all += sum * step / 3.0;
    }
    return all;
}

static double exact_flux(const stack *of, double pull, double h)
{
    return stress_integral(of, pull * h, 0.0, true) / (pull * pull);
}

static const stack stacks[] = {
    {{{1.0, 0.6, 1.0}, {3.0, 0.8, 0.4}}, 2, 8, {0, 0, 0, 1, 1, 1, 1, 1}},
    {{{3.0, 0.8, 0.4}, {1.0, 0.6, 1.0}}, 2, 8, {0, 0, 0, 0, 0, 1, 1, 1}},
    {{{0.3, 1.0, 0.0}, {5.0, 0.7, 10.0}, {1.0, 1.3, 0.2}}, 3, 8, {1, 1, 0, 2, 1, 0, 0, 2}},
    {{{2.0, 1.0, 1.0}, {0.5, 1.0, 3.0}}, 2, 4, {0, 1, 0, 1}},
    {{{2.0, 1.0, 0.0}, {0.5, 0.5, 0.0}}, 2, 2, {1, 0}},
    {{{0.1, 1.0, 0.0}, {4.0, 0.9, 2.0}}, 2, 8, {0, 1, 1, 1, 1, 1, 1, 1}},
};
#define STACKS (int)(sizeof stacks / sizeof *stacks)

static void layers_with_laws_of_their_own_follow_the_quadrature(void **state)
{
    (void)state;
    static const double slopes[] = {0.5, 3.0, 10.0, 40.0}, depths[] = {0.3e-3, 1e-3, 3e-3};
    int flowing = 0;
    double scalar_off = 0.0, film_off = 0.0;
    for (int s = 0; s < STACKS; s++)
        for (int slope = 0; slope < 4; slope++)
            for (int depth = 0; depth < 3; depth++) {
                double pull = slope_pull(slopes[slope]), exact = exact_flux(&stacks[s], pull, depths[depth]);
                double toward = (17.0 + 31.0 * slope + 90.0 * depth) * DEG; /* not along the grid */
                rn_column column = column_of(&stacks[s]);
                double scalar = rn_column_flux(&column, depths[depth], pull);
                double film = film_flux(&stacks[s], slopes[slope], toward, depths[depth], LAB_TENSION);
                check_close(scalar, exact, 1e-7);
                check_close(film, scalar, 1e-9);
                flowing += exact > 0.0;
                if (exact > 0.0) {
                    scalar_off = fmax(scalar_off, fabs(scalar / exact - 1.0));
                    film_off = fmax(film_off, fabs(film / scalar - 1.0));
                }
            }
    printf("layers: %d flow, off the quadrature by %.2g, the film off the exact sum by %.2g\n", flowing, scalar_off,
           film_off);
    check_at_least(flowing, 40);
    check_at_most(flowing, STACKS * 12 - 1);
}

static void layers_of_one_law_are_that_law(void **state)
{
    (void)state;
    static const rn_law laws[] = {{1.0, 0.6, 1.0}, {2.0, 0.8, 0.6}, {5.0, 0.7, 10.0}, {0.3, 1.0, 0.2},
                                  {0.5, 1.3, 0.5}, {1.0, 0.9, 0.0}, {1.0, 1.0, 0.0}};
    int flowing = 0;
    for (int law = 0; law < 7; law++)
        for (double deg = 1.0; deg < 60.0; deg *= 2.0)
            for (double h = 0.2e-3; h < 5e-3; h *= 1.7) {
                stack of = two_layers(laws[law], laws[law], 3, LEVELS); /* two entries alike */
                rn_column column = column_of(&of);
                double by_depth[2], by_drive[2], pull = slope_pull(deg), one = rn_law_flux(&laws[law], h, pull);
                check_close(rn_column_flux(&column, h, pull), one, 1e-12);
                rn_column_flux_slopes(&by_depth[0], &by_drive[0], &column, h, pull);
                rn_law_flux_slopes(&by_depth[1], &by_drive[1], &laws[law], h, pull);
                check_close(by_depth[0], by_depth[1], 1e-12);
                check_close(by_drive[0], by_drive[1], 1e-11);
                flowing += one > 0.0;
            }
    check_at_least(flowing, 190);
}

static void the_slopes_of_the_flux_are_its_derivatives(void **state)
{
    (void)state;
    for (int s = 0; s < STACKS; s++)
        for (double deg = 3.0; deg < 50.0; deg *= 2.0) {
            rn_column column = column_of(&stacks[s]);
            double h = 2e-3, pull = slope_pull(deg), by_depth, by_drive, e = 1e-5;
            rn_column_flux_slopes(&by_depth, &by_drive, &column, h, pull);
            double rise = rn_column_flux(&column, h * (1.0 + e), pull) - rn_column_flux(&column, h * (1.0 - e), pull);
            double push = rn_column_flux(&column, h, pull * (1.0 + e)) - rn_column_flux(&column, h, pull * (1.0 - e));
            check_close(by_depth, rise / (2.0 * e * h), 1e-4);
            check_close(by_drive, push / (2.0 * e * pull), 1e-4);
        }
}

static void the_profile_is_that_of_the_quadrature(void **state)
{
    (void)state;
    static const double shares[] = {0.0, 0.0625, 0.1875, 0.25, 0.4, 0.5, 0.5625, 0.8125, 0.9375, 1.0};
    double speed[10], below[10];
    for (int s = 0; s < STACKS; s++) {
        rn_column column = column_of(&stacks[s]);
        double h = 2e-3, pull = slope_pull(20.0), bottom = pull * h, q = exact_flux(&stacks[s], pull, h);
        rn_column_profile(speed, below, &column, h, pull, shares, 10);
        for (int k = 0; k < 10; k++) {
            double y = bottom * (1.0 - shares[k]), rate = stress_integral(&stacks[s], bottom, y, false);
            check_within(speed[k], rate / pull * h / q, 1e-6);
            check_within(below[k], (stress_integral(&stacks[s], bottom, y, true) - y * rate) / (pull * pull) / q, 1e-6);
        }
    }
    /* One Newtonian liquid: 3 s - 1.5 s^2, and s^2 (3 - s)/2 of the flux below [jeffreys1930]. */
    stack one = two_layers(plain(2.0), plain(2.0), 4, 8);
    rn_column column = column_of(&one);
    rn_column_profile(speed, below, &column, 1e-3, 500.0, shares, 10);
    for (int k = 0; k < 10; k++) {
        check_within(speed[k], shares[k] * (3.0 - 1.5 * shares[k]), 1e-12);
        check_within(below[k], 0.5 * shares[k] * shares[k] * (3.0 - shares[k]), 1e-12);
    }
}

/* --- layers that do not yield ------------------------------------------------------------------------------------ */

static void a_stiff_layer_rides_on_a_flowing_one(void **state)
{
    (void)state;
    /* What never yields is as infinitely viscous: the exact two-layer flux with 1/mu = 0 for that layer. */
    double h = 2e-3, pull = slope_pull(10.0), speed[3], below[3];
    static const double shares[] = {0.5, 0.7, 1.0};
    stack riding = two_layers(plain(2.0), (rn_law){1.0, 0.7, 50.0}, 4, LEVELS);
    rn_column column = column_of(&riding);
    double exact = two_layer_flux(0.5 * h, 2.0, 0.5 * h, INFINITY, pull);
    check_close(rn_column_flux(&column, h, pull), exact, 1e-12);
    check_close(film_flux(&riding, 10.0, 33.0 * DEG, h, LAB_TENSION), exact, 1e-9);
    rn_column_profile(speed, below, &column, h, pull, shares, 3);
    check_close(speed[1], speed[0], 1e-12); /* one speed through the plug */
    check_close(speed[2], speed[0], 1e-12);
    check_close(speed[0], pull * (0.5 * h * h - 0.125 * h * h) / 2.0 * h / exact, 1e-12);

    /* The other way round, the upper layer flows over a bed that stays. */
    stack bedded = two_layers((rn_law){1.0, 0.7, 50.0}, plain(0.5), 4, LEVELS);
    column = column_of(&bedded);
    exact = two_layer_flux(0.5 * h, INFINITY, 0.5 * h, 0.5, pull);
    check_close(rn_column_flux(&column, h, pull), exact, 1e-12);
    check_close(film_flux(&bedded, 10.0, 33.0 * DEG, h, LAB_TENSION), exact, 1e-9);
    rn_column_profile(speed, below, &column, h, pull, shares, 3);
    check_within(speed[0], 0.0, 1e-12);
    check_within(below[0], 0.0, 1e-12);

    /* Where nothing yields the film is at rest, and its profile that of one plug. */
    stack still = two_layers((rn_law){1.0, 0.7, 50.0}, (rn_law){1.0, 1.0, 40.0}, 4, LEVELS);
    column = column_of(&still);
    check_within(rn_column_flux(&column, h, pull), 0.0, 0.0);
    check_within(film_flux(&still, 10.0, 33.0 * DEG, h, LAB_TENSION), 0.0, 0.0);
    rn_column_profile(speed, below, &column, h, pull, shares, 3);
    check_within(speed[1], 1.0, 0.0);
    check_within(below[1], 0.7, 1e-7);
}

static void a_layered_film_stops_where_its_weakest_layer_does(void **state)
{
    (void)state;
    /* On a slope each level yields where its own lower end bears more than its yield stress: here the bed of 0.5 Pa
       holds h = tau_y/(rho g sin) [coussot1996] while the paint above would hold far more. */
    double deg = 5.0, stop = 0.5 / slope_pull(deg);
    check_close(stop, 0.5 * 1.06363e-3, 1e-4);
    stack of = two_layers((rn_law){1.0, 1.0, 0.5}, (rn_law){2.0, 0.8, 3.0}, 2, LEVELS);
    check_within(film_flux(&of, deg, 0.5, stop * 0.999, LAB_TENSION), 0.0, 0.0);
    check_at_least(film_flux(&of, deg, 0.5, stop * 1.01, LAB_TENSION), 1e-15);
}

/* --- columns that differ from place to place --------------------------------------------------------------------- */

/* Depth at which a column carries the flux q. */
static double depth_for(const rn_column *column, double q, double pull)
{
    double low = 0.0, high = 0.1;
    for (int k = 0; k < 200; k++) {
        double h = 0.5 * (low + high);
        *(rn_column_flux(column, h, pull) < q ? &low : &high) = h;
    }
    return 0.5 * (low + high);
}

static void a_steady_stream_stays_steady_across_seams(void **state)
{
    (void)state;
    /* Down a slope without gravity across it or tension, q(h) is the same everywhere where h answers each column: the
       rates vanish at every seam between columns, in both directions along either axis. */
    for (int yields = 0; yields < 2; yields++)
        for (int turned = 0; turned < 4; turned++) {
            rn_film_options options = lab_options(0.1, CELLS, CELLS);
            laboratory lab = lab_new(&options);
            const int plane = CELLS * CELLS;
            double q = 2e-6, pull = slope_pull(10.0), deepest = 0.0, shallowest = 1.0;
            rn_law laws[3] = {plain(0.4), plain(1.5), plain(6.0)};
            if (yields)
                laws[1] = (rn_law){1.0, 0.7, 1.0};
            unsigned char *laws_of = malloc(LEVELS * (size_t)plane);
            double *speed = malloc((size_t)plane * sizeof *speed), run_off[4];
            assert_non_null(laws_of);
            assert_non_null(speed);
            for (int j = 0; j < CELLS; j++)
                for (int i = 0; i < CELLS; i++) {
                    int along = (turned % 2 ? j : i) / 4, cell = j * CELLS + i;
                    for (int l = 0; l < LEVELS; l++)
                        laws_of[l * plane + cell] = (unsigned char)((along * 5 + (l * (along + 1)) / 4) % 3);
                    rn_column column = {laws, laws_of + cell, plane, LEVELS, NULL};
                    lab.depth[cell] = depth_for(&column, q, pull);
                    deepest = fmax(deepest, lab.depth[cell]);
                    shallowest = fmin(shallowest, lab.depth[cell]);
                }
            check_at_least(deepest / shallowest, 1.5); /* the columns do differ */
            rn_error err = {0};
            check_ok(rn_film_set_columns(lab.film, laws_of, NULL, LEVELS, laws, 3, &err), &err);
            double pull_g = RN_GRAVITY * sin(10.0 * DEG) * (turned < 2 ? 1.0 : -1.0);
            rn_film_input input = {.gravity_x = turned % 2 ? 0.0 : pull_g, .gravity_y = turned % 2 ? pull_g : 0.0};
            rn_film_rates(speed, run_off, lab.film, lab.depth, &input, lab.rates);
            for (int n = 1; n < CELLS - 1; n++) {
                int cell = turned % 2 ? n * CELLS + CELLS / 2 : CELLS / 2 * CELLS + n;
                check_within(speed[cell] * options.grid.dx / q, 0.0, 1e-8);
            }
            free(laws_of);
            free(speed);
            lab_free(&lab);
        }
}

static void levels_and_columns_without_paint_take_the_nearest(void **state)
{
    (void)state;
    double pull = slope_pull(10.0), run_off[4], h = 2e-3;
    rn_film_options options = lab_options(0.05, CELLS, CELLS);
    laboratory lab = lab_new(&options);
    unsigned char *laws_of = malloc(LEVELS * CELLS * CELLS);
    double *speed = malloc(CELLS * CELLS * sizeof *speed);
    assert_non_null(laws_of);
    assert_non_null(speed);
    memset(laws_of, 255, LEVELS * CELLS * CELLS);
    stack of = two_layers(plain(2.0), plain(0.5), 4, LEVELS);
    for (int l = 3; l < 6; l++) /* one cell in the middle, and there its middle levels alone */
        laws_of[l * CELLS * CELLS + CELLS / 2 * CELLS + CELLS / 2] = of.law_of[l];
    rn_error err = {0};
    check_ok(rn_film_set_columns(lab.film, laws_of, NULL, LEVELS, of.laws, 2, &err), &err);
    lab_set_even(&lab, h);
    lab_look(&lab);
    rn_film_input input = {.gravity_x = RN_GRAVITY * sin(10.0 * DEG)};
    rn_film_rates(speed, run_off, lab.film, lab.depth, &input, lab.rates);
    for (int j = 0; j < CELLS; j++)
        check_close(-speed[j * CELLS] * options.grid.dx, two_layer_flux(0.5 * h, 2.0, 0.5 * h, 0.5, pull), 1e-12);

    /* Nothing known, and NULL: the film's own law again. */
    memset(laws_of, 255, LEVELS * CELLS * CELLS);
    for (int k = 0; k < 2; k++) {
        check_ok(rn_film_set_columns(lab.film, k ? NULL : laws_of, NULL, LEVELS, of.laws, 2, &err), &err);
        rn_film_rates(speed, run_off, lab.film, lab.depth, &input, lab.rates);
        check_close(-speed[0] * options.grid.dx, pull * h * h * h / (3.0 * LAB_VISCOSITY), 1e-12);
    }
    free(laws_of);
    free(speed);
    lab_free(&lab);
}

/* --- spin -------------------------------------------------------------------------------------------------------- */

static void a_layered_film_thins_with_its_own_viscosity(void **state)
{
    (void)state;
    /* h = h0/sqrt(1 + 4 K h0^2 t), K = rho w^2/(3 mu), where two layers that keep their shares count as
       1/mu = (1 - 1/8)/mu1 + (1/8)/mu2 for halves: the two-layer flux over G h^3/3. */
    static const int parts[] = {10, 20, 40, 80};
    double start = 1.5e-3, rate = 60.0 * RPM, t = 10.0, errors[4];
    double fluidity = 3.0 * two_layer_flux(0.5, 2.0, 0.5, 0.5, 1.0);
    check_close(fluidity, 7.0 / 8.0 / 2.0 + 1.0 / 8.0 / 0.5, 1e-14);
    double exact = start / sqrt(1.0 + 4.0 * LAB_DENSITY * rate * rate * fluidity / 3.0 * start * start * t);
    stack of = two_layers(plain(2.0), plain(0.5), 4, LEVELS);
    for (int k = 0; k < 4; k++) {
        rn_film_options options = lab_options(0.3048, 64, 64);
        options.edges = RN_EDGE_OPEN;
        options.tolerance = 1e3; /* the step is set by the limit alone */
        options.step_most = 10.0;
        laboratory lab = lab_new(&options);
        lay(lab.film, &of);
        lab.input.rate = rate;
        lab.input.gravity_normal = 0.0;
        lab_set_even(&lab, start);
        for (int n = 1; n <= parts[k]; n++)
            lab_run(&lab, t * n / parts[k]);
        errors[k] = fabs(lab_depth(&lab, 0.0, 0.0) / exact - 1.0);
        printf("layered film in %d steps (%ld taken): %.3g %%\n", parts[k], rn_film_steps(lab.film), 100.0 * errors[k]);
        lab_free(&lab);
    }
    check_at_most(errors[3], 1e-3);
    check_at_least(lab_order(parts, errors, 4), 1.7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_newtonian_layers_flow_by_the_exact_flux),
        cmocka_unit_test(other_shares_and_viscosities_too),
        cmocka_unit_test(layers_with_laws_of_their_own_follow_the_quadrature),
        cmocka_unit_test(layers_of_one_law_are_that_law),
        cmocka_unit_test(the_slopes_of_the_flux_are_its_derivatives),
        cmocka_unit_test(the_profile_is_that_of_the_quadrature),
        cmocka_unit_test(a_stiff_layer_rides_on_a_flowing_one),
        cmocka_unit_test(a_layered_film_stops_where_its_weakest_layer_does),
        cmocka_unit_test(a_steady_stream_stays_steady_across_seams),
        cmocka_unit_test(levels_and_columns_without_paint_take_the_nearest),
        cmocka_unit_test(a_layered_film_thins_with_its_own_viscosity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
