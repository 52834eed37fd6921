/* What the film tells of itself: its volume, how fast its face moves, and where paint has gone over the rim.
   [nusselt1916] a film on a slope: q = rho g sin(alpha) h^3/(3 mu), its face goes 1.5 q/h (from memory).
   [emslie1958] on a spinning panel the same, with rho Omega^2 r in place of the pull (confirmed in a second text). */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "film/height.h"

#define SIZE 0.2
#define PULL 1.2 /* [m/s2] */

enum { CELLS = 64 };

typedef struct setting {
    rn_film_input input;
    rn_film *film;
    double *depth; /* CELLS*CELLS [m], owned */
} setting;

static setting set_up(bool round, rn_edge_kind edges)
{
    setting made = {.input = {.gravity_normal = RN_GRAVITY}};
    rn_film_options options = rn_film_defaults();
    options.grid = (rn_grid){CELLS, CELLS, SIZE / CELLS, SIZE / CELLS};
    options.round = round;
    options.edges = edges;
    options.law = (rn_law){1, 1, 0};
    options.density = 1000;
    options.tension = 0;
    options.advance = 0;
    options.slip = 0;
    options.threads = 1;
    rn_error err = {0};
    check_ok(rn_film_new(&made.film, &options, &err), &err);
    made.depth = calloc((size_t)CELLS * CELLS, sizeof *made.depth);
    assert_non_null(made.depth);
    return made;
}

static void tidy(setting *s)
{
    rn_film_free(s->film);
    free(s->depth);
}

/* Lays a depth where x and y, right and back of the centre, lie in [from, to). */
static void lay(setting *s, double depth, double from_x, double to_x, double from_y, double to_y)
{
    const rn_grid *grid = rn_film_grid(s->film);
    for (int j = 0; j < CELLS; j++)
        for (int i = 0; i < CELLS; i++) {
            const double x = rn_grid_x(grid, i), y = rn_grid_y(grid, j);
            if (x >= from_x && x < to_x && y >= from_y && y < to_y)
                s->depth[j * CELLS + i] = depth;
        }
    rn_film_set(s->film, s->depth);
}

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    (void)volumes;
    (void)t0;
    (void)t1;
    *input = ((const setting *)context)->input;
}

static void run(setting *s, double until)
{
    rn_error err = {0};
    for (double t = 0, taken; t < until; t += taken)
        check_ok(rn_film_step(&taken, s->film, t, until, drive, s, &err), &err);
}

static double speed_of(const setting *s, double deeper)
{
    double speed;
    rn_error err = {0};
    check_ok(rn_film_speed(&speed, s->film, deeper, &err), &err);
    return speed;
}

/* However thin: a hundredth of a micrometre in one corner, and everywhere. */
static void all_paint_is_counted(void **state)
{
    (void)state;
    setting s = set_up(false, RN_EDGE_WALLS);
    const double cell = SIZE / CELLS, half = 0.5 * SIZE;
    lay(&s, 1e-8, half - cell, half, half - cell, half);
    check_close(rn_film_volume(s.film), 1e-8 * cell * cell, 1e-12);
    lay(&s, 1e-3, -half, -half + 2 * cell, -half, -half + cell);
    check_close(rn_film_volume(s.film), 2e-3 * cell * cell + 1e-8 * cell * cell, 1e-12);
    lay(&s, 1e-8, -half, half, -half, half);
    check_close(rn_film_volume(s.film), 1e-8 * SIZE * SIZE, 1e-12);
    run(&s, 1);
    check_close(rn_film_volume(s.film), 1e-8 * SIZE * SIZE, 1e-12);
    tidy(&s);
}

static double disc_at_the_rim(const void *context, double x, double y)
{
    (void)context;
    return hypot(x - 0.5 * SIZE, y) < 0.02 ? 1 : 0;
}

/* Of a release that hangs over a disc's rim all comes down on the disc. */
static void a_release_over_the_rim_comes_down_on_the_panel(void **state)
{
    (void)state;
    setting s = set_up(true, RN_EDGE_WALLS);
    rn_error err = {0};
    check_ok(rn_film_add_source(s.film, disc_at_the_rim, NULL, 0.5 * SIZE, 0, 0.02, &err), &err);
    rn_film_deposit(s.film, 0, 5e-6);
    check_close(rn_film_volume(s.film), 5e-6, 1e-12);
    tidy(&s);
}

/* On a slope all cells go alike, but those where the depth changes: a deep patch in a thin film is told apart by the depth
   that is asked for. */
static void a_film_on_a_slope_moves_as_fast_as_its_depth_has_it(void **state)
{
    (void)state;
    const double thin = 0.2e-3, deep = 1e-3, dt = 1e-4;
    setting s = set_up(false, RN_EDGE_OPEN);
    s.input = (rn_film_input){.gravity_x = PULL};
    lay(&s, thin, -1, 1, -1, 1);
    run(&s, dt);
    check_close(speed_of(&s, 0.5 * thin), 1000 * PULL * thin * thin / 2, 1e-3);
    check_within(speed_of(&s, 2 * thin), 0, 0);  /* nothing is as deep */
    lay(&s, deep, -0.007, 0.007, -0.007, 0.007); /* under half a percent of the face */
    run(&s, dt);
    check_close(speed_of(&s, 0.5 * thin), 1000 * PULL * thin * thin / 2, 1e-3);
    check_close(speed_of(&s, 2 * thin), 1000 * PULL * deep * deep / 2, 1e-2);
    tidy(&s);
}

/* 99 of 100 cells of a disc lie within sqrt(0.99) of its radius, and go slower than what is farther out. */
static void a_spun_disc_is_as_fast_as_99_of_100_cells(void **state)
{
    (void)state;
    const double depth = 0.5e-3, rate = 6;
    setting s = set_up(true, RN_EDGE_OPEN);
    s.input = (rn_film_input){.rate = rate};
    lay(&s, depth, -1, 1, -1, 1);
    run(&s, 1e-4);
    check_close(speed_of(&s, 5e-5), 1000 * rate * rate * sqrt(0.99) * 0.5 * SIZE * depth * depth / 2, 1e-2);
    tidy(&s);
}

/* Stretches are counted on from the front left end, and on a disc from the bearing of -135 deg, counter-clockwise. */
static void what_goes_over_is_told_where(void **state)
{
    (void)state;
    enum { STRETCHES = 16 };
    static const struct {
        double x, y; /* of a heap at the rim, as shares of half the size */
        int at[2];   /* the stretches it goes over: on the square, on the disc */
    } cases[] = {
        {-0.625, -0.99, {0, -1}}, {0.125, -0.99, {2, 2}},   {0.875, -0.99, {3, -1}},  {0.99, -0.875, {4, -1}},
        {0.99, 0.125, {6, 6}},    {0.99, 0.875, {7, -1}},   {0.875, 0.99, {8, -1}},   {-0.125, 0.99, {10, 10}},
        {-0.875, 0.99, {11, -1}}, {-0.99, 0.875, {12, -1}}, {-0.99, 0.125, {13, 13}}, {-0.99, -0.875, {15, -1}},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        for (int round = 0; round < 2; round++) {
            if (cases[k].at[round] < 0)
                continue;
            setting s = set_up(round, RN_EDGE_OPEN);
            const double x = 0.5 * SIZE * cases[k].x, y = 0.5 * SIZE * cases[k].y, reach = 0.0035;
            lay(&s, 2e-3, x - reach, x + reach, y - reach, y + reach);
            double passed[STRETCHES], run_off[4], whole = 0;
            run(&s, 0.05);
            rn_film_passed(passed, STRETCHES, s.film);
            rn_film_run_off(run_off, s.film);
            for (int side = 0; side < 4; side++)
                whole += run_off[side];
            assert_true(whole > 0);
            check_close(passed[cases[k].at[round]], whole, 1e-12);
            tidy(&s);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_paint_is_counted),
        cmocka_unit_test(a_release_over_the_rim_comes_down_on_the_panel),
        cmocka_unit_test(a_film_on_a_slope_moves_as_fast_as_its_depth_has_it),
        cmocka_unit_test(a_spun_disc_is_as_fast_as_99_of_100_cells),
        cmocka_unit_test(what_goes_over_is_told_where),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
