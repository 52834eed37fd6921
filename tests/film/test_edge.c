/* The rim: what goes over it at which depth and under which forces, and what it remembers; wrapped sides as one vertical
   film of mean depth.
   [oliver1977] a sharp edge holds 2 l_c sin((90 deg + theta)/2), a wet one what a puddle's front holds, 2 l_c sin(theta/2)
     [degennes2004] (concept confirmed, formulas from memory and by balance of forces). How the one gives way to the other
     is a rule of ours, stated in film/edge.h and docs/physics.md: held here to its words.
   [nusselt1916] a film under a drive G flows at h^3 G/(3 mu) (from memory).
   [huppert1982] in a level film the drive is -rho g dh/dx, q = -rho g h^3 h_x/(3 mu) (record confirmed).
   [jeffreys1930] Jeffreys 1930, Proc. Camb. Phil. Soc. 26:204: a draining vertical film is sqrt(mu x/(rho g t)) deep at x
     below its top, its mean over a height H two thirds of the depth at the foot (confirmed for the profile; the mean by
     quadrature).
   [huppert1982slope] Huppert 1982, Nature 300:427: a fixed volume A per width creeps down to (9 A^2 g t/(4 nu))^(1/3). */
#include "check.h"

#include "base/physical.h"
#include "film/edge.h"

#define DENSITY 1200.0
#define TENSION 0.033
#define ANGLE (25 * RN_PI / 180)
#define SIZE 0.2

enum { CELLS = 20 };

static const rn_law thin = {0.8, 1, 0}, stiff = {1.2, 0.7, 0.8};

typedef struct rim {
    rn_edges edges;
    double h0, h1, lc;
} rim;

/* The edges of a square panel all of whose cells lie inside. */
static rim rim_of(rn_edge_kind kind)
{
    static bool inside[CELLS * CELLS];
    rn_film_options options = rn_film_defaults();
    options.grid = (rn_grid){CELLS, CELLS, SIZE / CELLS, SIZE / CELLS};
    options.density = DENSITY;
    options.tension = TENSION;
    options.advance = ANGLE;
    options.edges = kind;
    for (int n = 0; n < CELLS * CELLS; n++)
        inside[n] = true;
    rim made = {.lc = sqrt(TENSION / (DENSITY * RN_GRAVITY))};
    made.h0 = 2 * made.lc * sin((RN_PI / 2 + ANGLE) / 2);
    made.h1 = 2 * made.lc * sin(ANGLE / 2);
    rn_error err = {0};
    check_ok(rn_edges_init(&made.edges, &options, inside, &err), &err);
    assert_int_equal(made.edges.count, 4 * CELLS);
    return made;
}

/* The rim's face of a cell whose outward normal is this. */
static rn_edge_face *face_of(const rim *at, int i, int j, int normal_x, int normal_y)
{
    for (int f = 0; f < at->edges.count; f++) {
        rn_edge_face *face = &at->edges.faces[f];
        if (face->i == i && face->j == j && face->normal_x == normal_x && face->normal_y == normal_y)
            return face;
    }
    fail_msg("no face looks out of cell %d, %d to %d, %d", i, j, normal_x, normal_y);
    return NULL;
}

static double flux(const rim *at, const rn_edge_face *face, const rn_law *law, double h, rn_film_input input)
{
    double q, slope;
    const rn_column paint = {.laws = law, .levels = 1};
    rn_edge_flux(&q, &slope, &at->edges, face, &paint, h, h, &input);
    return q;
}

/* The drive behind a flux of plain paint [nusselt1916]. */
static double drive_of(double q, double h)
{
    return 3 * thin.consistency * q / (h * h * h);
}

static const rn_film_input level = {.gravity_normal = RN_GRAVITY};

static void an_edge_holds_what_it_says_and_lets_out_what_lies_above(void **state)
{
    (void)state;
    rim clean = rim_of(RN_EDGE_CLEAN);
    rn_edge_face *face = face_of(&clean, CELLS - 1, 7, 1, 0);
    check_close(clean.edges.hold, clean.h0, 1e-12);
    check_close(clean.edges.rehold, clean.h1, 1e-12);
    check_within(flux(&clean, face, &thin, 0, level), 0, 0);
    check_within(flux(&clean, face, &thin, 0.9999 * clean.h0, level), 0, 0);

    /* Once all is spilled: on the half cell to the rim the drive is rho g (h - r)/a, at the rim rho g (r - h1)/l_c, so both
       are rho g (h - h1)/(l_c + a). */
    const double way = clean.lc + 0.5 * SIZE / CELLS;
    face->spilled = 1;
    check_within(flux(&clean, face, &thin, 0.9999 * clean.h1, level), 0, 0);
    for (double h = 1.05 * clean.h1; h < 4 * clean.h1; h *= 1.3)
        check_close(drive_of(flux(&clean, face, &thin, h, level), h), DENSITY * RN_GRAVITY * (h - clean.h1) / way,
                    1e-12);

    /* Half spilled it holds half way between, and less as h rises above 1.05 h0, where half would be spilled anew. */
    face->spilled = 0.5;
    const double between = 0.5 * (clean.h0 + clean.h1), high = 1.08 * clean.h0;
    check_within(flux(&clean, face, &thin, 0.9999 * between, level), 0, 0);
    check_close(drive_of(flux(&clean, face, &thin, 1.2 * between, level), 1.2 * between),
                DENSITY * RN_GRAVITY * 0.2 * between / way, 1e-11);
    check_close(drive_of(flux(&clean, face, &thin, high, level), high),
                DENSITY * RN_GRAVITY * (high - clean.h0 - 0.8 * (clean.h1 - clean.h0)) / way, 1e-11);
    rn_edges_clear(&clean.edges);
}

static void a_push_over_the_edge_comes_in_within_a_tenth_of_the_hold(void **state)
{
    (void)state;
    rim clean = rim_of(RN_EDGE_CLEAN);
    const double push = 1.3;
    for (int side = 0; side < 4; side++) {
        const int nx = (side == 1) - (side == 3), ny = (side == 2) - (side == 0);
        rn_edge_face *face =
            face_of(&clean, nx ? (nx > 0 ? CELLS - 1 : 0) : 4, ny ? (ny > 0 ? CELLS - 1 : 0) : 4, nx, ny);
        assert_int_equal(face->side, side);
        face->spilled = 1;
        const rn_film_input out = {.gravity_x = push * nx, .gravity_y = push * ny, .gravity_normal = RN_GRAVITY};
        const rn_film_input in = {.gravity_x = -9 * nx, .gravity_y = -9 * ny, .gravity_normal = 3.9};
        const rn_film_input along = {.gravity_x = push * ny, .gravity_y = push * nx, .gravity_normal = RN_GRAVITY};
        /* A rim so far above its threshold lets out this drive, and stands so far from the cell's middle that the slope
           leaves just as much of the push. */
        static const double excess[] = {0.02, 0.05, 0.1, 0.3};
        const double half = 0.5 * SIZE / CELLS;
        for (int k = 0; k < 4; k++) {
            const double r = (1 + excess[k]) * clean.h1,
                         weighs = DENSITY * RN_GRAVITY * excess[k] * clean.h1 / clean.lc;
            const double pushed = DENSITY * push * fmin(1, excess[k] / 0.1) + weighs;
            const double rise = half * (DENSITY * push - pushed) / (DENSITY * RN_GRAVITY);
            const double h = rise < 0.5 * r ? r - rise : r * r / (4 * rise), /* a straight face, or a wedge */
                h_along = r + half * weighs / (DENSITY * RN_GRAVITY);
            check_close(drive_of(flux(&clean, face, &thin, h, out), h), pushed, 1e-10);
            check_close(drive_of(flux(&clean, face, &thin, h_along, along), h_along), weighs, 1e-10);
            check_within(flux(&clean, face, &thin, r, in), 0, 0); /* what is over does not come back */
        }
    }
    rn_edges_clear(&clean.edges);
}

/* What a body at rest on a turning panel is pushed with, from where it goes in the room: minus the second derivative of
   its place, seen in the panel's axes. */
static void push_of_turning(double push[2], double x, double y, double rate, double acceleration)
{
    const double dt = 1e-3;
    double at[3][2];
    for (int k = -1; k <= 1; k++) {
        const double t = k * dt, turned = rate * t + 0.5 * acceleration * t * t;
        at[k + 1][0] = x * cos(turned) - y * sin(turned);
        at[k + 1][1] = x * sin(turned) + y * cos(turned);
    }
    for (int axis = 0; axis < 2; axis++)
        push[axis] = -(at[0][axis] - 2 * at[1][axis] + at[2][axis]) / (dt * dt);
}

static void an_edge_feels_the_panels_turning(void **state)
{
    (void)state;
    rim open = rim_of(RN_EDGE_OPEN);
    const double h = 1e-3;
    for (int f = 0; f < open.edges.count; f++) {
        const rn_edge_face *face = &open.edges.faces[f];
        for (int k = 0; k < 2; k++) {
            const rn_film_input turning = {
                .gravity_normal = RN_GRAVITY, .rate = k ? -6 : 6, .acceleration = k ? 8 : -8};
            double push[2];
            push_of_turning(push, face->x, face->y, turning.rate, turning.acceleration);
            const double rest = drive_of(flux(&open, face, &thin, h, level), h),
                         more = drive_of(flux(&open, face, &thin, h, turning), h) - rest;
            check_within(more, DENSITY * (push[0] * face->normal_x + push[1] * face->normal_y), 1e-4 * DENSITY);
        }
    }
    rn_edges_clear(&open.edges);
}

static void an_open_edge_lets_go_what_falls_to_nothing_there(void **state)
{
    (void)state;
    /* A steady q = -rho g h^3 h_x/(3 mu) has h^4 falling evenly: with nothing left half a cell on, the flux is
       rho g h^4/(12 mu d/2). */
    rim open = rim_of(RN_EDGE_OPEN);
    const rn_edge_face *face = face_of(&open, 3, 0, 0, -1);
    for (double h = 1e-5; h < 1e-2; h *= 3)
        check_close(flux(&open, face, &thin, h, level),
                    DENSITY * RN_GRAVITY * pow(h, 4) / (12 * thin.consistency * 0.5 * SIZE / CELLS), 1e-12);
    rn_edges_clear(&open.edges);
}

static void the_slope_is_how_the_flux_grows_with_depth(void **state)
{
    (void)state;
    static const rn_edge_kind kinds[] = {RN_EDGE_CLEAN, RN_EDGE_WRAPPED, RN_EDGE_OPEN};
    const rn_film_input pushed = {
        .gravity_x = 0.7, .gravity_y = -0.3, .gravity_normal = 9.7, .rate = 2, .acceleration = 1};
    int seen = 0;
    for (int k = 0; k < 3; k++) {
        rim at = rim_of(kinds[k]);
        for (int spilled = 0; spilled <= 4; spilled++)
            for (double h = 0.11e-3; h < 6e-3; h *= 1.07)
                for (int law = 0; law < 2; law++) {
                    const rn_column paint = {.laws = law ? &stiff : &thin, .levels = 1};
                    rn_edge_face *face = face_of(&at, CELLS - 1, 12, 1, 0);
                    face->spilled = 0.25 * spilled;
                    double q, slope, before, after, unused;
                    const double step = 1e-6 * h;
                    rn_edge_flux(&q, &slope, &at.edges, face, &paint, h, h, &pushed);
                    rn_edge_flux(&before, &unused, &at.edges, face, &paint, h - step, h - step, &pushed);
                    rn_edge_flux(&after, &unused, &at.edges, face, &paint, h + step, h + step, &pushed);
                    const double left = (q - before) / step, right = (after - q) / step;
                    if (fabs(left - right) > 1e-3 * fabs(left)) /* a bend of the rule lies here */
                        continue;
                    check_within(slope, 0.5 * (left + right), 1e-4 * fabs(slope) + 1e-9);
                    seen += q > 0;
                }
        rn_edges_clear(&at.edges);
    }
    assert_true(seen > 500);
}

static void a_wedge_at_the_rim_is_as_deep_as_its_paint_makes_it(void **state)
{
    (void)state;
    /* On a steep slope the cell's paint lies in a wedge at the rim: of volume h 2a per length and slope f/(rho g), its depth
       r there is r^2 = 4 a h f/(rho g). It spills from h0 on. */
    rim clean = rim_of(RN_EDGE_CLEAN);
    rn_edge_face *face = face_of(&clean, CELLS - 1, 7, 1, 0);
    const double steep = 0.8, half = 0.5 * SIZE / CELLS, h = clean.h0 * clean.h0 / (4 * half * steep);
    const rn_film_input out = {.gravity_x = steep * RN_GRAVITY, .gravity_normal = RN_GRAVITY};
    check_at_most(h, steep * half); /* or there is no wedge */
    check_within(flux(&clean, face, &thin, 0.999 * h, out), 0, 0);
    assert_true(flux(&clean, face, &thin, 1.001 * h, out) > 0);
    rn_edges_clear(&clean.edges);
}

static void an_edge_remembers_how_far_it_has_spilled(void **state)
{
    (void)state;
    rim clean = rim_of(RN_EDGE_CLEAN);
    rn_edge_face *face = face_of(&clean, 0, 3, -1, 0);
    static const struct {
        double h, spilled; /* of h0 */
    } course[] = {{0.5, 0},    {1, 0},   {1.03, 0.3}, {1.01, 0.3}, {0.2, 0.3}, {1.02, 0.3}, {1.06, 0.6},
                  {0.01, 0.6}, {0, 0.6}, {1.2, 1},    {1.5, 1},    {0.9, 1},   {0.02, 1},   {0, 1}};
    for (size_t k = 0; k < sizeof course / sizeof *course; k++) {
        rn_edge_settle(face, &clean.edges, course[k].h * clean.h0);
        check_within(face->spilled, course[k].spilled, 1e-12);
    }
    rn_edges_clear(&clean.edges);

    rim open = rim_of(RN_EDGE_OPEN);
    rn_edge_settle(&open.edges.faces[0], &open.edges, 1);
    check_within(open.edges.faces[0].spilled, 0, 0); /* it holds nothing to begin with */
    rn_edges_clear(&open.edges);
}

/* However little an edge would hold by tension and angle, it holds a twentieth of a millimetre; a wet edge never holds more
   than a dry one. */
static void every_edge_holds_a_little(void **state)
{
    (void)state;
    static const struct {
        double tension, angle_deg, hold, rehold; /* NaN: by the formula */
    } cases[] = {{TENSION, 0, NAN, 0.05e-3}, {1e-6, 25, 0.05e-3, 0.05e-3}, {1e-6, 0, 0.05e-3, 0.05e-3}};
    static const bool inside[] = {true};
    rn_film_options options = rn_film_defaults();
    options.grid = (rn_grid){1, 1, SIZE, SIZE};
    options.density = DENSITY;
    options.edges = RN_EDGE_CLEAN;
    rn_edges edges;
    rn_error err = {0};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        options.tension = cases[k].tension;
        options.advance = cases[k].angle_deg * RN_PI / 180;
        check_ok(rn_edges_init(&edges, &options, inside, &err), &err);
        const double lc = sqrt(options.tension / (DENSITY * RN_GRAVITY));
        check_close(edges.hold, isnan(cases[k].hold) ? 2 * lc * sin(RN_PI / 4) : cases[k].hold, 1e-12);
        check_close(edges.rehold, cases[k].rehold, 1e-12);
        rn_edges_clear(&edges);
    }
    options.tension = TENSION;
    options.advance = 150 * RN_PI / 180;
    check_ok(rn_edges_init(&edges, &options, inside, &err), &err);
    check_within(edges.rehold, edges.hold, 0);
    rn_edges_clear(&edges);
}

static rn_edges tall_edges(double side)
{
    return (rn_edges){.kind = RN_EDGE_WRAPPED, .side = side, .density = 1200};
}

static void a_side_drains_as_jeffreys_film(void **state)
{
    (void)state;
    double side = 0.02, viscosity = 1, t = 0, dt = 0.05;
    rn_edges edges = tall_edges(side);
    const rn_law law = {viscosity, 1, 0};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {.side_volume = side * 1.5e-3, .side_wetted = side};
    double given = face.side_volume, dripped = 0;
    for (int k = 0; k < 12000; k++, t += dt)
        dripped += rn_edge_side_step(&face, &edges, &paint, 0, dt);
    double mean = 2.0 / 3.0 * sqrt(viscosity * side / (1200 * RN_GRAVITY * t));
    check_close(face.side_volume / side, mean, 5e-3); /* the start is forgotten as t0/t */
    check_close(face.side_volume + dripped, given, 1e-12);
}

static void a_fixed_volume_creeps_down_as_huppert_says(void **state)
{
    (void)state;
    double viscosity = 2, area = 2e-6, t = 0, dt = 0.02;
    rn_edges edges = tall_edges(10);
    const rn_law law = {viscosity, 1, 0};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {0};
    double dripped = rn_edge_side_step(&face, &edges, &paint, area, dt);
    for (int k = 1; k < 5000; k++, t += dt)
        dripped += rn_edge_side_step(&face, &edges, &paint, 0, dt);
    double reach = cbrt(9 * area * area * RN_GRAVITY * t * 1200 / (4 * viscosity));
    check_close(face.side_wetted, reach, 1e-2);
    check_within(dripped, 0, 0);
    check_close(face.side_volume, area, 1e-14);
}

static void a_strip_of_the_side_is_wet_at_once(void **state)
{
    (void)state;
    rn_edges edges = tall_edges(0.02);
    const rn_law law = {1, 1, 6}; /* so little of it does not flow */
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {0};
    check_within(rn_edge_side_step(&face, &edges, &paint, 0, 0.1), 0, 0);
    check_within(face.side_wetted, 0, 0);
    check_within(rn_edge_side_step(&face, &edges, &paint, 1e-9, 0.1), 0, 0);
    check_close(face.side_wetted, 1e-4, 1e-12);
}

/* A long step that gets to the bottom has only what is left of it to drip: as many short ones. */
static void what_drips_is_of_the_time_after_the_bottom_is_reached(void **state)
{
    (void)state;
    const double side = 0.02, fine = 1e-3;
    rn_edges edges = tall_edges(side);
    const rn_law law = {1, 1, 0};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {0};
    rn_edge_side_step(&face, &edges, &paint, 6e-6, fine);
    while (face.side_wetted < 0.9 * side)
        rn_edge_side_step(&face, &edges, &paint, 0, fine);
    rn_edge_face at_once = face;
    double t = 0, after = 0, dripped = 0;
    for (; face.side_wetted < side || after < t - after; t += fine) {
        after += face.side_wetted < side ? 0 : fine;
        dripped += rn_edge_side_step(&face, &edges, &paint, 0, fine);
    }
    check_close(rn_edge_side_step(&at_once, &edges, &paint, 0, t), dripped, 0.25);
    assert_true(dripped > 0);
}

static void paint_with_a_yield_stress_stays_on_the_side(void **state)
{
    (void)state;
    /* A vertical film yields where rho g d > tau_y: with 1.5 d at the foot, d = tau_y/(1.5 rho g) stays. */
    rn_edges edges = tall_edges(0.02);
    const rn_law law = {1, 1, 6};
    const rn_column paint = {.laws = &law, .levels = 1};
    rn_edge_face face = {.side_volume = 0.02 * 2e-3, .side_wetted = 0.02};
    for (int k = 0; k < 20000; k++)
        rn_edge_side_step(&face, &edges, &paint, 0, 0.5);
    check_close(face.side_volume / 0.02, 6 / (1.5 * 1200 * RN_GRAVITY), 2e-2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_edge_holds_what_it_says_and_lets_out_what_lies_above),
        cmocka_unit_test(a_push_over_the_edge_comes_in_within_a_tenth_of_the_hold),
        cmocka_unit_test(an_edge_feels_the_panels_turning),
        cmocka_unit_test(an_open_edge_lets_go_what_falls_to_nothing_there),
        cmocka_unit_test(the_slope_is_how_the_flux_grows_with_depth),
        cmocka_unit_test(a_wedge_at_the_rim_is_as_deep_as_its_paint_makes_it),
        cmocka_unit_test(an_edge_remembers_how_far_it_has_spilled),
        cmocka_unit_test(a_side_drains_as_jeffreys_film),
        cmocka_unit_test(a_fixed_volume_creeps_down_as_huppert_says),
        cmocka_unit_test(every_edge_holds_a_little),
        cmocka_unit_test(a_strip_of_the_side_is_wet_at_once),
        cmocka_unit_test(what_drips_is_of_the_time_after_the_bottom_is_reached),
        cmocka_unit_test(paint_with_a_yield_stress_stays_on_the_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
