/* Base coats and cups over each other, each by its depth. The exact law: layers in order from the panel, each with its own
   viscosity, under a pull G along the film that is the same through its depth. The stress is G (h - z) [oron1997], so that
   within a layer that begins at z0 the speed is u = u0 + G [(h - z0) s - s^2/2]/mu at s = z - z0, and the layer of depth d
   carries

     q = u0 d + G [(h - z0) d^2/2 - d^3/6]/mu

   (derived; two layers down an incline are the base flow of [kao1968]). On a spinning panel G = rho omega^2 r, the layers
   stay even, and each thins by dd/dt = -2 q/r [emslie1958]; integrated here by a fourth-order Runge-Kutta method. */
#include "check.h"

#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "lived.h"
#include "run/colours.h"

#define CELLS 64
#define DENSITY 1180.0
#define COATS_MOST 4

typedef struct coat {
    double viscosity, depth; /* [Pa s], [m] */
} coat;

static void layered_fluxes(double *q, const coat *coats, const double *depth, int count, double pull)
{
    double h = 0, z = 0, u = 0;
    for (int k = 0; k < count; k++)
        h += depth[k];
    for (int k = 0; k < count; k++) {
        const double d = depth[k], ease = pull / coats[k].viscosity;
        q[k] = u * d + ease * ((h - z) * d * d / 2 - d * d * d / 6);
        u += ease * ((h - z) * d - d * d / 2);
        z += d;
    }
}

/* What is left of each coat after that long on a panel that spins; per_radius: rho omega^2. Their sum. */
static double spun(double *depth, const coat *coats, int count, double per_radius, double time)
{
    enum { STEPS = 4000 };
    const double dt = time / STEPS;
    double sum = 0;
    for (int k = 0; k < count; k++)
        depth[k] = coats[k].depth;
    for (int n = 0; n < STEPS; n++) {
        static const double ahead[4] = {0, 0.5, 0.5, 1}, weight[4] = {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6};
        double rate[COATS_MOST] = {0}, now[COATS_MOST], next[COATS_MOST];
        memcpy(next, depth, sizeof next);
        for (int stage = 0; stage < 4; stage++) {
            for (int k = 0; k < count; k++)
                now[k] = depth[k] - 2 * ahead[stage] * dt * rate[k];
            layered_fluxes(rate, coats, now, count, per_radius);
            for (int k = 0; k < count; k++)
                next[k] -= 2 * weight[stage] * dt * rate[k];
        }
        memcpy(depth, next, sizeof next);
    }
    for (int k = 0; k < count; k++)
        sum += depth[k];
    return sum;
}

/* One paint: h0/sqrt(1 + 4 K h0^2 t), K = rho omega^2/(3 mu) [emslie1958]. */
static void the_reference_is_the_published_law_for_one_paint(void **state)
{
    (void)state;
    double left[COATS_MOST];
    const coat one[] = {{0.7, 0.2e-3}, {0.7, 0.9e-3}, {0.7, 0.3e-3}};
    const double pull = DENSITY * 30, h0 = 1.4e-3, t = 14;
    check_close(spun(left, one, 3, pull, t), h0 / sqrt(1 + 4 * pull / (3 * 0.7) * h0 * h0 * t), 1e-9);
}

static double spin_pull(double rpm)
{
    const double rate = rpm * 2 * RN_PI / 60;
    return DENSITY * rate * rate;
}

/* Mean depth of the middle [m]. */
static double middle_depth(const rn_still *still)
{
    double sum = 0;
    const int nx = still->grid.nx, ny = still->grid.ny;
    for (int j = ny / 2 - 2; j < ny / 2 + 2; j++)
        for (int i = nx / 2 - 2; i < nx / 2 + 2; i++)
            sum += still->depth[(long)j * nx + i] / 16;
    return sum;
}

/* Which of many cases are run: all, or under watch some. */
static bool is_wanted(int number)
{
    return !check_watched() || number % 9 == 4;
}

/* The depth in the middle of a panel at a time when something begins, and at the end; without what is wanted only of its
   layers. */
static double run_middle(double *at, const char *text, double time)
{
    rn_plan *plan = lived_plan(text);
    rn_session *session = NULL;
    rn_still *still = NULL;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = CELLS;
    options.threads = 1;
    options.layer_points = CELLS / 2;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    while (at && rn_session_time(session) < time)
        check_ok(rn_session_step(session, &err), &err);
    if (at) {
        check_within(rn_session_time(session), time, 1e-9);
        check_ok(rn_session_still(&still, session, &err), &err);
        *at = middle_depth(still);
        rn_still_free(still);
    }
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_still(&still, session, &err), &err);
    const double depth = middle_depth(still);
    rn_still_free(still);
    rn_session_free(session);
    rn_plan_free(plan);
    return depth;
}

#define PAINT "{colour: 2b3a55, viscosity: %g Pa s, density: 1180 kg/m3, tension: 0 mN/m}"

static const double pairs[][2] = {{0.1, 10}, {10, 0.1}, {0.4, 2.2}, {2.2, 0.4}, {1, 10}, {10, 1}};
static const double shares[] = {0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.95, 0.98};
#define PAIRS (int)(sizeof pairs / sizeof *pairs)
#define SHARES (int)(sizeof shares / sizeof *shares)

static void two_base_coats_thin_by_the_layered_law(void **state)
{
    (void)state;
    double worst = 0;
    for (int v = 0; v < PAIRS; v++) {
        printf("%4g under %4g Pa s:", pairs[v][0], pairs[v][1]);
        for (int s = 0; s < SHARES; s++) {
            if (!is_wanted(v * SHARES + s))
                continue;
            char text[1024];
            double left[COATS_MOST];
            const coat coats[] = {{pairs[v][0], shares[s] * 1.4e-3}, {pairs[v][1], (1 - shares[s]) * 1.4e-3}};
            snprintf(text, sizeof text,
                     "plan: 1\npanel: {size: 24 cm x 24 cm, edges: open}\npaints: {a: " PAINT ", b: " PAINT "}\n"
                     "base: [{paint: a, depth: %.9g mm}, {paint: b, depth: %.9g mm}]\n"
                     "moves: [{start: 0 s, for: 14 s, spin: 75 rpm, ramp: 0 s}]\nend: 14 s\n",
                     pairs[v][0], pairs[v][1], 1e3 * coats[0].depth, 1e3 * coats[1].depth);
            const double off = run_middle(NULL, text, 0) / spun(left, coats, 2, spin_pull(75), 14) - 1;
            printf(" %+.2f", 100 * off);
            worst = fmax(worst, fabs(off));
        }
        printf(" %%\n");
    }
    printf("two coats: off by %.2f %% at worst\n", 100 * worst);
    check_at_most(worst, 0.02);
}

static void a_cup_over_a_base_thins_by_the_layered_law(void **state)
{
    (void)state;
    static const double opens[] = {0.1, 1, 5, 30}, bases[] = {0.02, 0.05, 0.1, 0.16, 0.3, 0.6, 0.9};
    static const double others[][2] = {{0.4, 1}, {0.1, 1}, {0.1, 10}, {10, 0.1}};
    double worst = 0;
    for (int v = 0; v < 4; v++)
        for (int o = 0; o < 4; o++) {
            printf("%4g under %4g Pa s, laid in %4g s:", others[v][0], others[v][1], opens[o]);
            for (int b = 0; b < 7; b++) {
                if (!is_wanted((v * 4 + o) * 7 + b))
                    continue;
                char text[1024];
                double left[COATS_MOST];
                const double base = bases[b] * 1.5e-3, poured = (1 - bases[b]) * 1.5e-3 * 0.04 * 1e6 / 1.1;
                snprintf(text, sizeof text,
                         "plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\npaints: {a: " PAINT ", b: " PAINT "}\n"
                         "base: [{paint: a, depth: %.9g mm}]\n"
                         "pours: [{from: cup, across: 200 mm, start: 0 s, open: %g s, stack: [b %.9g ml]}]\n"
                         "moves: [{start: %g s, for: 14 s, spin: 60 rpm, ramp: 0 s}]\nend: %g s\n",
                         others[v][0], others[v][1], 1e3 * base, opens[o], poured, opens[o] + 0.1, opens[o] + 14.1);
                double laid;
                const double is = run_middle(&laid, text, opens[o] + 0.1);
                const coat coats[] = {{others[v][0], base}, {others[v][1], laid - base}};
                const double off = is / spun(left, coats, 2, spin_pull(60), 14) - 1;
                printf(" %+.2f", 100 * off);
                worst = fmax(worst, fabs(off));
            }
            printf(" %%\n");
        }
    printf("a cup over a base: off by %.2f %% at worst\n", 100 * worst);
    check_at_most(worst, 0.02);
}

static void three_and_four_coats_too(void **state)
{
    (void)state;
    static const coat piles[][COATS_MOST] = {
        {{1, 0.5e-3}, {0.1, 0.05e-3}, {5, 0.7e-3}}, /* a thin film that the upper slides on */
        {{0.1, 0.05e-3}, {5, 0.7e-3}, {1, 0.5e-3}},
        {{5, 0.4e-3}, {0.2, 0.4e-3}, {1, 0.4e-3}},
        {{0.3, 0.1e-3}, {3, 0.4e-3}, {0.3, 0.3e-3}, {3, 0.5e-3}},
    };
    double worst = 0;
    for (int p = 0; p < 4; p++) {
        char text[2048], coats[512] = "", paints[512] = "";
        double left[COATS_MOST];
        int count = 0;
        for (; count < COATS_MOST && piles[p][count].depth > 0; count++) {
            const size_t at = strlen(coats), in = strlen(paints);
            snprintf(paints + in, sizeof paints - in, "  p%d: " PAINT "\n", count, piles[p][count].viscosity);
            snprintf(coats + at, sizeof coats - at, "  - {paint: p%d, depth: %.9g mm}\n", count,
                     1e3 * piles[p][count].depth);
        }
        snprintf(text, sizeof text,
                 "plan: 1\npanel: {size: 24 cm x 24 cm, edges: open}\npaints:\n%sbase:\n%s"
                 "moves: [{start: 0 s, for: 14 s, spin: 75 rpm, ramp: 0 s}]\nend: 14 s\n",
                 paints, coats);
        const double off = run_middle(NULL, text, 0) / spun(left, piles[p], count, spin_pull(75), 14) - 1;
        printf("%d coats: %+.2f %%\n", count, 100 * off);
        worst = fmax(worst, fabs(off));
    }
    check_at_most(worst, 0.02);
}

/* A cup of two paints over a base of a third: the first out lies lowest. Where the cup's burst is over quickly its film is
   even, and the shares of its paints are those of its volumes. */
static void a_cup_lays_its_paints_in_order(void **state)
{
    (void)state;
    char text[1024];
    double left[COATS_MOST];
    snprintf(text, sizeof text,
             "plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\n"
             "paints: {a: " PAINT ", b: " PAINT ", c: " PAINT "}\nbase: [{paint: a, depth: 0.2 mm}]\n"
             "pours: [{from: cup, across: 200 mm, start: 0 s, open: 1 s, stack: [b 10 ml, c 30 ml]}]\n"
             "moves: [{start: 1.1 s, for: 14 s, spin: 60 rpm, ramp: 0 s}]\nend: 15.1 s\n",
             0.5, 5.0, 1.0);
    double laid;
    const double is = run_middle(&laid, text, 1.1), poured = laid - 0.2e-3;
    const coat coats[] = {{0.5, 0.2e-3}, {5, 0.25 * poured}, {1, 0.75 * poured}};
    check_close(is, spun(left, coats, 3, spin_pull(60), 14), 0.02);
}

/* Laid down at a moment, the cup's paint lies on the base as well. */
static void a_cup_that_is_tipped_out_at_once_lies_on_top(void **state)
{
    (void)state;
    char text[1024];
    double left[COATS_MOST], laid;
    snprintf(text, sizeof text,
             "plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\npaints: {a: " PAINT ", b: " PAINT "}\n"
             "base: [{paint: a, depth: 0.6 mm}]\n"
             "pours: [{from: cup, across: 200 mm, start: 0.5 s, open: 0 s, stack: [b 30 ml]}]\n"
             "moves: [{start: 1 s, for: 14 s, spin: 60 rpm, ramp: 0 s}]\nend: 15 s\n",
             0.4, 2.0);
    const double is = run_middle(&laid, text, 1);
    const coat coats[] = {{0.4, 0.6e-3}, {2, laid - 0.6e-3}};
    check_at_least(coats[1].depth, 0.3e-3);
    check_close(is, spun(left, coats, 2, spin_pull(60), 14), 0.02);
}

/* --- one paint in two coats ------------------------------------------------------------------------------------------ */

static rn_still *left_behind(const char *text)
{
    rn_plan *plan = lived_plan(text);
    rn_session *session = NULL;
    rn_still *still = NULL;
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = CELLS;
    options.threads = 1;
    check_ok(rn_session_new(&session, plan, &options, &err), &err);
    check_ok(rn_session_run(session, NULL, NULL, &err), &err);
    check_ok(rn_session_still(&still, session, &err), &err);
    rn_session_free(session);
    rn_plan_free(plan);
    return still;
}

#define POURED                                                                                                         \
    "pours: [{across: 50 mm, width: 8 mm, start: 1 s, open: 3 s, stack: [b 20 ml]}]\n"                                 \
    "moves: [{start: 4 s, for: 4 s, tilt: 8 deg, toward: right}]\nend: 10 s\n"

static void one_paint_in_two_coats_is_one_coat(void **state)
{
    (void)state;
    static const char *paints[] = {"a: {colour: 2b3a55}, b: {colour: ecebe4}",
                                   "a: {colour: 2b3a55, viscosity: 2 Pa s}, b: {colour: ecebe4, viscosity: 0.5 Pa s}"};
    for (int k = 0; k < 2; k++) { /* of one consistency with the rest, and not */
        char one[1024], two[1024];
        snprintf(one, sizeof one, "plan: 1\npanel: {size: 20 cm x 20 cm, edges: clean}\npaints: {%s}\n%s" POURED,
                 paints[k], "base: [{paint: a, depth: 0.75 mm}]\n");
        snprintf(two, sizeof two, "plan: 1\npanel: {size: 20 cm x 20 cm, edges: clean}\npaints: {%s}\n%s" POURED,
                 paints[k], "base: [{paint: a, depth: 0.25 mm}, {paint: a, depth: 0.5 mm}]\n");
        rn_still *a = left_behind(one), *b = left_behind(two);
        assert_memory_equal(a->depth, b->depth, (size_t)CELLS * CELLS * sizeof *a->depth);
        assert_memory_equal(a->moment.run_off, b->moment.run_off, sizeof a->moment.run_off);
        rn_still_free(a);
        rn_still_free(b);
    }
}

/* --- colour ---------------------------------------------------------------------------------------------------------- */

static rn_colours colours_of(const lived *life)
{
    rn_colours colours;
    rn_strata *face = NULL;
    rn_strata_options wanted = rn_strata_defaults();
    rn_error err = {0};
    wanted.points = 64;
    wanted.levels = 1;
    check_ok(rn_strata_trace(&face, &life->past, life->still, wanted, life->team, &err), &err);
    check_ok(rn_colours_trace(&colours, &life->past, life->still, face, 8, life->team, &err), &err);
    rn_strata_free(face);
    return colours;
}

/* The paint at that share of the depth in the middle. */
static int paint_at(const lived *life, double height)
{
    rn_strata *plane = NULL;
    rn_strata_options wanted = rn_strata_defaults();
    rn_error err = {0};
    wanted.points = 64;
    wanted.peel = 1 - height;
    check_ok(rn_strata_trace(&plane, &life->past, life->still, wanted, life->team, &err), &err);
    const int paint = plane->paint[rn_strata_plane(plane, 0) + 32L * plane->nx + 32];
    rn_strata_free(plane);
    return paint;
}

static void a_thin_coat_is_seen_and_its_like_below_it(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\npanel: {size: 20 cm x 20 cm, edges: walls}\n"
                            "paints: {under: {colour: 1f7a5c}, top: {colour: ecebe4}}\n"
                            "base: [{paint: under, depth: 1 mm}, {paint: top, depth: 0.1 mm}]\nend: 1 s\n",
                            CELLS, NAN);
    const rn_colours colours = colours_of(life);
    assert_int_equal(paint_at(life, 0.5), 0);
    assert_int_equal(paint_at(life, 0.9), 0);
    assert_int_equal(paint_at(life, 0.92), 1);
    check_close(colours.visible[1], 1, 1e-12);
    check_at_most(colours.misplaced, 0.01);
    check_close(colours.on_face[1], 4e-6, 1e-9);
    for (int c = 0; c < RN_CORNERS; c++)
        check_within(colours.corner[c][1], 1 / 11.0, 0.02); /* a corner's square has 36 cells */
    lived_free(life);
}

/* Each coat loses what its own flux carries: what is left of each, in the middle. */
static void each_coat_loses_by_its_own_flux(void **state)
{
    (void)state;
    for (int swapped = 0; swapped < 2; swapped++) {
        char text[1024];
        const coat coats[] = {{swapped ? 2.2 : 0.4, 0.5e-3}, {swapped ? 0.4 : 2.2, 0.9e-3}};
        double left[COATS_MOST];
        snprintf(text, sizeof text,
                 "plan: 1\npanel: {size: 24 cm x 24 cm, edges: open}\npaints: {a: " PAINT ", b: " PAINT "}\n"
                 "base: [{paint: a, depth: 0.5 mm}, {paint: b, depth: 0.9 mm}]\n"
                 "moves: [{start: 0 s, for: 14 s, spin: 75 rpm, ramp: 0 s}]\nend: 14 s\n",
                 coats[0].viscosity, coats[1].viscosity);
        lived *life = lived_new(text, CELLS, NAN);
        const double sum = spun(left, coats, 2, spin_pull(75), 14), border = left[0] / sum;
        const rn_colours colours = colours_of(life);
        printf("%g under %g Pa s: %.4f mm, exact %.4f; border at %.3f of it; misplaced %.2f %%\n", coats[0].viscosity,
               coats[1].viscosity, 1e3 * middle_depth(life->still), 1e3 * sum, border, 100 * colours.misplaced);
        check_close(middle_depth(life->still), sum, 0.02);
        assert_int_equal(paint_at(life, border - 0.01), 0);
        assert_int_equal(paint_at(life, border + 0.01), 1);
        check_at_most(colours.misplaced, 0.01);
        /* open edges: what has gone over is what is gone from the panel, all of it even */
        double gone[2] = {0};
        for (int paint = 0; paint < 2; paint++)
            for (int side = 0; side < RN_SIDES; side++)
                gone[paint] += colours.run_off[side][paint];
        const double area = 0.24 * 0.24;
        check_close(gone[0] / area, coats[0].depth - left[0], 0.04);
        check_close(gone[1] / area, coats[1].depth - left[1], 0.04);
        lived_free(life);
    }
}

/* Thin over stiff on a slope, against the same film of the one viscosity that carries the layered flux:
   mu = G h^3/(3 q). Run-off over its lower edge, of both paints and of each. */
static void thin_over_stiff_runs_off_by_the_layered_law(void **state)
{
    (void)state;
    static const char plan[] = "plan: 1\npanel: {size: 20 cm x 20 cm, edges: open}\npaints:\n"
                               "  stiff: {colour: 1f7a5c, viscosity: %.9g Pa s, density: 1100 kg/m3, tension: 0 mN/m}\n"
                               "  thin: {colour: ecebe4, viscosity: %.9g Pa s, density: 1100 kg/m3, tension: 0 mN/m}\n"
                               "base: [{paint: stiff, depth: %g mm}, {paint: thin, depth: %g mm}]\n"
                               "moves: [{start: 0 s, for: 10 s, tilt: 10 deg, toward: right, ramp: 0 s}]\nend: 10 s\n";
    const coat coats[] = {{10, 1e-3}, {0.1, 0.1e-3}};
    const double depth[] = {1e-3, 0.1e-3}, h = 1.1e-3;
    double q[2];
    char text[1024];
    layered_fluxes(q, coats, depth, 2, 1);
    const double viscosity = h * h * h / (3 * (q[0] + q[1]));
    check_close(8.9e-8, (q[0] + q[1]) * 1100 * RN_GRAVITY * sin(10 * RN_PI / 180), 0.01); /* by hand */
    snprintf(text, sizeof text, plan, 10.0, 0.1, 1.0, 0.1);
    lived *life = lived_new(text, CELLS, NAN);
    snprintf(text, sizeof text, plan, viscosity, viscosity, 1.0, 0.1);
    rn_still *one = left_behind(text);
    const double over = life->still->moment.run_off[RN_RIGHT], exact = one->moment.run_off[RN_RIGHT];
    const rn_colours colours = colours_of(life);
    printf("run-off %.4f ml, by the layered law %.4f; misplaced %.2f %%; thin %.3f of it, by the law %.3f\n",
           1e6 * over, 1e6 * exact, 100 * colours.misplaced, colours.run_off[RN_RIGHT][1] / over, q[1] / (q[0] + q[1]));
    check_close(over, exact, 0.1);
    check_at_most(colours.misplaced, 0.01);
    check_within(colours.run_off[RN_RIGHT][1] / over, q[1] / (q[0] + q[1]), 0.03);
    check_close(colours.visible[1], 1, 0.01);
    rn_still_free(one);
    lived_free(life);
}

/* --- strips, puddles, volumes ---------------------------------------------------------------------------------------- */

static void coats_lie_over_each_other_where_they_are(void **state)
{
    (void)state;
    rn_plan *plan = lived_plan("plan: 1\npanel: {size: 20 cm x 20 cm, edges: walls}\n"
                               "paints: {a: {colour: 1f7a5c}, b: {colour: ecebe4}, c: {colour: 2b3a55}}\nbase:\n"
                               "  - {paint: a, volume: 40 ml}\n" /* 1 mm */
                               "  - {paint: b, along: right, width: 4 cm, depth: 3 mm}\n"
                               "  - {paint: c, at: centre, across: 10 cm, volume: 15.7079633 ml}\n" /* 2 mm */
                               "  - {paint: b, along: left, width: 4 cm, volume: 8 ml}\n"           /* 1 mm */
                               "end: 1 s\n");
    static const struct {
        double x, sigma;
        int paint;
    } wanted[] = {
        {0.09, 0, 0},      {0.09, 0.249, 0},  {0.09, 0.251, 1},  {0.09, 1, 1},     {0, 0.333, 0},
        {0, 0.334, 2},     {0, 1, 2},         {0.055, 0, 0},     {0.055, 1, 0},    {-0.09, 0.4, 0},
        {-0.09, 0.499, 0}, {-0.09, 0.501, 1}, {0.0499, 0.99, 2}, {0.0501, 0.9, 0},
    };
    for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++)
        assert_int_equal(rn_past_based(plan, wanted[k].x, 0, wanted[k].sigma), wanted[k].paint);
    rn_plan_free(plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reference_is_the_published_law_for_one_paint),
        cmocka_unit_test(two_base_coats_thin_by_the_layered_law),
        cmocka_unit_test(a_cup_over_a_base_thins_by_the_layered_law),
        cmocka_unit_test(three_and_four_coats_too),
        cmocka_unit_test(a_cup_lays_its_paints_in_order),
        cmocka_unit_test(a_cup_that_is_tipped_out_at_once_lies_on_top),
        cmocka_unit_test(one_paint_in_two_coats_is_one_coat),
        cmocka_unit_test(a_thin_coat_is_seen_and_its_like_below_it),
        cmocka_unit_test(each_coat_loses_by_its_own_flux),
        cmocka_unit_test(thin_over_stiff_runs_off_by_the_layered_law),
        cmocka_unit_test(coats_lie_over_each_other_where_they_are),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
