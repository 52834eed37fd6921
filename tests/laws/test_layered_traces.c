/* Points traced through a film of several paints. On a slope the shear stress is G (h - z) whatever the film is made of
   [oron1997], so a layer of thickness h1 and viscosity mu1 under one of h2 and mu2 moves (derived)

     at z in the lower one  u = G (h z - z^2/2)/mu1,   in the upper one  u = u(h1) + G [(h2^2 - (h - z)^2)/2]/mu2.

   In a steady stream with the same flux everywhere, paint keeps to its streamline: the share of the flux that runs below
   it stays the same, whatever the columns that it passes through are made of. */
#include "lab.h"

#include <string.h>

#include "film/history.h"
#include "film/layers.h"
#include "film/mobility.h"

#define LEVELS 8
#define TILT (10 * DEG)

static const double viscosities[] = {2.0, 0.5, 6.0};
static const rn_law laws[] = {{2.0, 1.0, 0.0}, {0.5, 1.0, 0.0}, {6.0, 1.0, 0.0}};

static double pull(void)
{
    return LAB_DENSITY * RN_GRAVITY * sin(TILT);
}

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const laboratory *lab = context;
    *input = lab->input;
    (void)volumes;
    (void)t0;
    (void)t1;
}

typedef struct stream {
    laboratory lab;
    rn_history *history;
} stream;

/* Level l of the column in cell i is made of laws[law_of(l, i)]; depths are those of lab->depth. */
static stream run(int cells, int rows, double width, int law_of(int level, int cell, int cells), const double *depths,
                  double every, double until)
{
    rn_error err = {0};
    rn_film_options options = lab_options(width, cells, rows);
    options.edges = RN_EDGE_OPEN;
    options.step_most = every;
    stream made = {.lab = lab_new(&options)};
    made.lab.input.gravity_x = RN_GRAVITY * sin(TILT);
    made.lab.input.gravity_normal = 0;
    const size_t plane = (size_t)cells * (size_t)rows;
    unsigned char *column = malloc(LEVELS * plane);
    assert_non_null(column);
    for (size_t p = 0; p < LEVELS * plane; p++)
        column[p] = (unsigned char)law_of((int)(p / plane), (int)(p % (size_t)cells), cells);
    for (size_t p = 0; p < plane; p++)
        made.lab.depth[p] = depths[p % (size_t)cells];
    rn_film_set(made.lab.film, made.lab.depth);
    check_ok(rn_film_set_columns(made.lab.film, column, NULL, LEVELS, laws, 3, &err), &err);
    check_ok(rn_history_new(&made.history, made.lab.film, &err), &err);
    const rn_history_columns columns = {0, cells, rows, LEVELS, column, NULL};
    check_ok(rn_history_note_columns(made.history, &columns, viscosities, 3, &err), &err);
    double taken;
    for (double t = 0; t < until; t = until - t - taken < 1e-12 ? until : t + taken) {
        check_ok(rn_film_step(&taken, made.lab.film, t, until, drive, &made.lab, &err), &err);
        check_ok(rn_history_note(made.history, made.lab.film, taken, &err), &err);
        check_ok(rn_history_close(made.history, made.lab.film, &err), &err);
    }
    free(column);
    return made;
}

static void stream_free(stream *of)
{
    rn_history_free(of->history);
    lab_free(&of->lab);
}

typedef struct place {
    double x, sigma;
} place;

static place origin(const stream *of, double x, double sigma, double until, bool on)
{
    float at_x = (float)x, at_y = 0.001f, at_sigma = (float)sigma, released = 0;
    short source = RN_FROM_NOWHERE;
    const rn_tracers one = {1, &at_x, &at_y, &at_sigma, &source, &released, NULL};
    const rn_layers layers = {.history = of->history, .power = 1};
    rn_team *team = NULL;
    rn_error err = {0};
    check_ok(rn_team_new(&team, 1, &err), &err);
    if (on)
        check_ok(rn_layers_carry(&one, &layers, 0, until, team, &err), &err);
    else
        check_ok(rn_layers_trace(&one, &layers, until, 0, team, &err), &err);
    rn_team_free(team);
    assert_int_equal(source, RN_FROM_NOWHERE);
    check_within((double)at_y, 0.001, 1e-7);
    return (place){(double)at_x, (double)at_sigma};
}

/* --- two layers on a slope --------------------------------------------------------------------------------------- */

static int halves(int level, int cell, int cells)
{
    (void)cell;
    (void)cells;
    return level < LEVELS / 2 ? 0 : 1;
}

static double speed_in_layers(double z, double h1, double viscosity1, double h2, double viscosity2)
{
    const double h = h1 + h2, lower = fmin(z, h1);
    double u = pull() * (h * lower - lower * lower / 2) / viscosity1;
    if (z > h1)
        u += pull() * (h2 * h2 - (h - z) * (h - z)) / 2 / viscosity2;
    return u;
}

static void each_layer_goes_as_far_as_its_own_speed(void **state)
{
    (void)state;
    enum { N = 64 };
    const double h = 1.5e-3, until = 8;
    static const double at[] = {0.1, 0.3, 0.5, 0.55, 0.75, 0.9, 1};
    double depths[N];
    for (int i = 0; i < N; i++)
        depths[i] = h;
    stream of = run(N, 16, 0.3, halves, depths, RN_HISTORY_INTERVAL, until);
    const double one_liquid = pull() * h * h / (3 * exp(0.5 * log(2.0 * 0.5))) * until;
    for (int k = 0; k < 7; k++) {
        const double gone = speed_in_layers(at[k] * h, h / 2, 2.0, h / 2, 0.5) * until;
        const place back = origin(&of, 0.08, at[k], until, false), on = origin(&of, 0.02, at[k], until, true);
        printf("sigma %.2f: %.3f mm, exact %.3f mm\n", at[k], 1e3 * (0.08 - back.x), 1e3 * gone);
        check_close(0.08 - back.x, gone, 1e-3);
        check_close(on.x - 0.02, gone, 1e-3);
        check_within(back.sigma, at[k], 1e-4);
        check_within(on.sigma, at[k], 1e-4);
        /* A film mixed into one liquid, with its parabola, would be far off. */
        check_at_least(fabs((3 * at[k] - 1.5 * at[k] * at[k]) * one_liquid / gone - 1), 0.05);
    }
    stream_free(&of);
}

/* No paint is known for the lowest levels, as at a front that has rolled over dry ground. */
static int unknown_below(int level, int cell, int cells)
{
    return level < 2 ? 255 : halves(level, cell, cells) + 1;
}

static void levels_of_no_known_paint_go_with_their_neighbour(void **state)
{
    (void)state;
    enum { N = 64 };
    const double h = 1.5e-3, until = 8;
    static const double at[] = {0.1, 0.3, 0.55, 1};
    double depths[N];
    for (int i = 0; i < N; i++)
        depths[i] = h;
    stream of = run(N, 16, 0.3, unknown_below, depths, RN_HISTORY_INTERVAL, until);
    for (int k = 0; k < 4; k++)
        check_close(0.08 - origin(&of, 0.08, at[k], until, false).x,
                    speed_in_layers(at[k] * h, h / 2, 0.5, h / 2, 6.0) * until, 1e-3);
    stream_free(&of);
}

/* --- through columns that differ --------------------------------------------------------------------------------- */

/* Upstream of the seam thin paint under thick, downstream of it thick under thin. */
static int turned_over(int level, int cell, int cells)
{
    return (level < LEVELS / 2) == (cell < cells / 2) ? 1 : 2;
}

static rn_column column_at(unsigned char law_of[LEVELS], int cell, int cells)
{
    for (int l = 0; l < LEVELS; l++)
        law_of[l] = (unsigned char)turned_over(l, cell, cells);
    return (rn_column){laws, law_of, 1, LEVELS, NULL};
}

static double depth_for(const rn_column *column, double q)
{
    double low = 0, high = 0.1;
    for (int k = 0; k < 200; k++) {
        const double h = 0.5 * (low + high);
        *(rn_column_flux(column, h, pull()) < q ? &low : &high) = h;
    }
    return 0.5 * (low + high);
}

static double below(int cell, int cells, double sigma)
{
    unsigned char law_of[LEVELS];
    const rn_column column = column_at(law_of, cell, cells);
    double speed, share;
    rn_column_profile(&speed, &share, &column, 1e-3, pull(), &sigma, 1);
    return share;
}

/* The greatest change in the share of the flux below, over points that pass the seam; intervals of `every` [s]. */
static double off_streamline(double every)
{
    enum { N = 128 };
    const double width = 0.3, q = 2e-6, until = 20, start = -0.006;
    static const double at[] = {0.2, 0.3, 0.5, 0.7, 0.9, 1};
    double depths[N], off = 0;
    for (int i = 0; i < N; i++) {
        unsigned char law_of[LEVELS];
        const rn_column column = column_at(law_of, i, N);
        depths[i] = depth_for(&column, q);
    }
    check_at_least(depths[N - 1] / depths[0], 1.2);
    stream of = run(N, 8, width, turned_over, depths, every, until);
    for (int k = 0; k < 6; k++) {
        const place on = origin(&of, start, at[k], until, true), back = origin(&of, on.x, on.sigma, until, false);
        const double before = below(0, N, at[k]), after = below(N - 1, N, on.sigma);
        printf("sigma %.2f before the seam, %.3f at %.1f mm: %.4f and %.4f of the flux below\n", at[k], on.sigma,
               1e3 * on.x, before, after);
        check_at_least(on.x, 0.004);
        check_within(back.x, start, 2e-4);
        off = fmax(off, fabs(after - before));
    }
    stream_free(&of);
    return off;
}

static void paint_keeps_to_its_streamline(void **state)
{
    (void)state;
    /* The trace smooths the laws over two points of their lattice to either side, so that its steps are short beside a
       seam as sharp as a cell. */
    static const int parts[] = {1, 4, 16};
    double off[3];
    for (int k = 0; k < 3; k++) {
        off[k] = off_streamline(RN_HISTORY_INTERVAL / parts[k]);
        printf("intervals of %.4f s: off by %.2g of the flux\n", RN_HISTORY_INTERVAL / parts[k], off[k]);
    }
    check_at_most(off[0], 2e-3);
    check_at_most(off[2], 5e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_layer_goes_as_far_as_its_own_speed),
        cmocka_unit_test(levels_of_no_known_paint_go_with_their_neighbour),
        cmocka_unit_test(paint_keeps_to_its_streamline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
