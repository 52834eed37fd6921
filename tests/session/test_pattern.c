/* The pattern of sessions whose outcome is known: a film at rest, a still before the release ends, a panel
   that only spins, one that runs empty. */
#include "check.h"

#include "base/physical.h"
#include "lived.h"
#include "run/pattern.h"

static rn_pattern *look(const lived *life, double time, double since, int levels)
{
    rn_pattern *pattern = NULL;
    rn_still *still = NULL;
    rn_error err = {0};
    rn_pattern_options options = rn_pattern_defaults();
    options.points = 256;
    options.levels = levels;
    options.since = since;
    check_ok(rn_reel_still(&still, rn_session_reel(life->session), time, &err), &err);
    check_ok(rn_pattern_work_out(&pattern, life->plan, life->session, still, options, life->team, &err), &err);
    rn_still_free(still);
    return pattern;
}

static void a_coat_at_rest_has_no_pattern(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 16 cm, edges: walls}\n"
                            "paints: {kelp: {colour: 1f7a5c}}\n"
                            "base: [{paint: kelp, depth: 1 mm}]\n"
                            "end: 20 s\n",
                            64, NAN);
    rn_pattern *pattern = look(life, 20, NAN, 4);
    check_within(pattern->time, 20, 1e-9);
    check_within(pattern->since, 0, 0);
    check_close(pattern->stretch.median, 1, 1e-3);
    check_close(pattern->stretch.most, 1, 1e-2);
    check_close(pattern->stretch.known, 1, 1e-12);
    for (int k = 0; k < 3; k++)
        check_within(pattern->stretch.past[k], 0, 0);
    assert_true(isnan(pattern->twist));
    assert_int_equal(pattern->pour_count, 0);
    assert_true(pattern->has_colours);
    check_within(pattern->mud, 0, 0);
    check_close(pattern->colours.visible[0], 1, 1e-12);
    check_close(pattern->colours.on_face[0], 0.2 * 0.16 * 1e-3, 1e-9);
    rn_pattern_free(pattern);
    lived_free(life);
}

#define RING                                                                                                           \
    "plan: 1\n"                                                                                                        \
    "panel: {size: 20 cm x 20 cm, edges: walls}\n"                                                                     \
    "paints: {slate: {colour: 2b3a55}, kelp: {colour: 1f7a5c}, foam: {colour: ecebe4}}\n"                              \
    "base: [{paint: foam, depth: 0.5 mm}]\n"                                                                           \
    "pours: [{across: 50 mm, width: 8 mm, start: 0 s, lifts: 1, open: 6 s, repeat: 3, "                                \
    "stack: [slate 15 ml, kelp 15 ml]}]\n"

/* Nothing turns or tilts it: circles stay round, about where they were, and do not turn. */
static void a_pour_left_alone_does_not_twist(void **state)
{
    (void)state;
    lived *life = lived_new(RING "end: 40 s\n", 64, NAN);
    rn_pattern *pattern = look(life, 40, NAN, 0);
    assert_int_equal(pattern->pour_count, 1);
    check_within(pattern->pours[0].drawn, 6, 1e-9);
    check_within(pattern->since, 6, 1e-9);
    check_within(pattern->twist, 0, 0.1 * RN_PI / 180);
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
        const rn_circle_fate *fate = &pattern->pours[0].circles[c];
        assert_false(fate->lost);
        check_at_most(hypot(fate->drift_x, fate->drift_y), 0.2e-3);
        check_at_most(fate->oval, 0.2e-3);
        check_at_least(fate->radius, fate->drawn * 0.999); /* it spreads */
    }
    assert_int_equal(pattern->pours[0].spiral.hand, RN_HAND_NONE);
    assert_false(pattern->has_colours);
    rn_pattern_free(pattern);
    /* Once the film is level nothing is stretched any more. */
    pattern = look(life, 40, 39.9, 0);
    check_within(pattern->since, 39.9, 1e-9);
    check_close(pattern->stretch.median, 1, 1e-2);
    rn_pattern_free(pattern);
    lived_free(life);
}

/* A still from before the release ends: what would be counted from its end is counted from that still. */
static void before_the_release_ends_nothing_is_stretched(void **state)
{
    (void)state;
    lived *life = lived_new(RING "end: 12 s\n", 64, NAN);
    rn_pattern *pattern = look(life, 3, NAN, 4);
    check_within(pattern->time, 3, 1e-9);
    check_within(pattern->since, 3, 1e-9);
    check_within(pattern->cells.opened, 3, 1e-9);
    check_within(pattern->pours[0].drawn, 3, 1e-9);
    check_close(pattern->stretch.median, 1, 1e-4);
    check_close(pattern->stretch.known, 1, 1e-12);
    check_within(pattern->twist, 0, 1e-4);
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++)
        check_close(pattern->pours[0].circles[c].radius, pattern->pours[0].circles[c].drawn, 1e-3);
    check_close(pattern->colours.came[0] + pattern->colours.came[1], 15e-6, 1e-6); /* half of it is out */
    rn_pattern_free(pattern);
    /* At the beginning there is the coat alone. */
    pattern = look(life, 0, NAN, 4);
    assert_true(isnan(pattern->twist));
    assert_null(pattern->pours[0].rings.bearings[0].bands);
    check_within(pattern->colours.came[0] + pattern->colours.came[1], 0, 0);
    check_close(pattern->colours.visible[2], 1, 1e-12);
    rn_pattern_free(pattern);
    lived_free(life);
}

/* The film answers the table's jerk as it does gravity [oron1997]: the face turns by -Omega' h^2 rho/(2 mu) a second, while
   h thins as h0/sqrt(F), F = 1 + 4 rho h0^2/(3 mu) int Omega^2 dt [emslie1958], here with Omega changing. */
static double lag(double *thinned_to, double h0, double rate, double ramp, double until, double stop)
{
    enum { N = 20000 };
    const double density = 1100, viscosity = 0.2, dt = until / N;
    double thinned = 1, turned = 0;
    for (int n = 0; n < N; n++) {
        const double t = (n + 0.5) * dt;
        const double u = fmin(1, fmin(t, stop - t) / ramp), sign = t < 0.5 * stop ? 1 : -1;
        const double omega = t < stop ? rate * u * u * (3 - 2 * u) : 0;
        const double jerk = t < stop && u < 1 ? sign * rate * 6 * u * (1 - u) / ramp : 0;
        thinned += dt * 4 * density * omega * omega * h0 * h0 / (3 * viscosity);
        turned -= dt * jerk * density * h0 * h0 / (2 * viscosity * thinned);
    }
    *thinned_to = thinned;
    return turned;
}

/* Nothing but a spin of a film that is level but for a trace of paint let out in the middle; then its stop too. */
static void a_spin_leaves_the_face_behind(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: open}\n"
                            "paints: {kelp: {colour: 1f7a5c, viscosity: 0.2 Pa s, density: 1.1 g/ml}}\n"
                            "base: [{paint: kelp, depth: 1.5 mm}]\n"
                            "pours: [{across: 50 mm, width: 8 mm, start: 0 s, lifts: 1, open: 1 s, "
                            "stack: [kelp 0.005 ml]}]\n"
                            "moves: [{start: 1 s, for: 6 s, spin: 60 rpm, ramp: 2 s}]\n"
                            "end: 8 s\n",
                            128, NAN);
    static const double times[] = {3, 5, 8};
    for (int k = 0; k < 3; k++) {
        rn_pattern *pattern = look(life, times[k], NAN, 0);
        double thinned;
        int seen = 0;
        const double turned = lag(&thinned, 1.5e-3, 2 * RN_PI, 2, times[k] - 1, 6);
        for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
            const rn_circle_fate *fate = &pattern->pours[0].circles[c];
            if (fate->drawn > 0.06) /* farther out the edges are felt */
                continue;
            seen++;
            check_close(fate->twist, turned, 0.01);
            check_close(fate->radius / fate->drawn, pow(thinned, 3.0 / 8), 0.01); /* the face [emslie1958] */
            check_at_most(hypot(fate->drift_x, fate->drift_y), 0.1e-3);
        }
        assert_in_range(seen, 4, RN_PATTERN_CIRCLES);
        check_close(fabs(pattern->twist), fabs(turned), 0.05);
        rn_pattern_free(pattern);
    }
    lived_free(life);
}

/* A cup poured out and left alone: by symmetry the middle spreads alike to all sides, and little circles there stay
   circles. */
static void the_middle_of_a_pour_stays_round(void **state)
{
    (void)state;
    static const char *const pours[] = {"{from: cup, at: centre, across: 110 mm, ",
                                        "{across: 70 mm, width: 10 mm, lifts: 1, "};
    for (int k = 0; k < 2; k++) {
        char text[600];
        snprintf(text, sizeof text,
                 "plan: 1\npanel: {size: 10 in x 10 in}\npaints: {kelp: {colour: 1f7a5c, viscosity: 0.4 Pa s}}\n"
                 "base: [{paint: kelp, depth: 0.5 mm}]\n"
                 "pours: [%sstart: 1 s, open: 5 s, stack: [kelp 45 ml]}]\nend: 25 s\n",
                 pours[k]);
        lived *life = lived_new(text, check_grid(256), NAN);
        rn_pattern *pattern = look(life, 25, 10, 0);
        const rn_stretch *stretch = &pattern->stretch;
        double most = 0;
        for (int j = 0; j < stretch->ny; j++)
            for (int i = 0; i < stretch->nx; i++)
                if (hypot((i + 0.5) / stretch->nx - 0.5, (j + 0.5) / stretch->ny - 0.5) * 0.254 < 0.03)
                    most = fmax(most, (double)stretch->ratio[j * stretch->nx + i]);
        printf("greatest stretch within 30 mm of the centre %.3f\n", most);
        check_at_least(most, 1);
        check_at_most(most, 1.2);
        rn_pattern_free(pattern);
        lived_free(life);
    }
}

/* Most of the face runs over the lower edge, and all circles with it. */
static void circles_that_run_off_are_lost(void **state)
{
    (void)state;
    lived *life = lived_new("plan: 1\n"
                            "panel: {size: 20 cm x 20 cm, edges: open}\n"
                            "paints: {kelp: {colour: 1f7a5c, viscosity: 1 Pa s}, foam: {colour: ecebe4}}\n"
                            "base: [{paint: kelp, depth: 2 mm}]\n"
                            "pours: [{across: 50 mm, width: 8 mm, start: 0 s, lifts: 1, open: 2 s, "
                            "stack: [foam 5 ml]}]\n"
                            "moves: [{start: 2 s, for: 48 s, tilt: 30 deg, toward: right, ramp: 1 s}]\n"
                            "end: 50 s\n",
                            64, NAN);
    rn_pattern *pattern = look(life, 50, NAN, 0);
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
        assert_true(pattern->pours[0].circles[c].lost);
        assert_true(isnan(pattern->pours[0].circles[c].twist));
    }
    assert_true(isnan(pattern->twist));
    rn_pattern_free(pattern);
    pattern = look(life, 2.5, NAN, 0); /* hardly tilted yet */
    for (int c = 0; c < RN_PATTERN_CIRCLES / 2; c++)
        assert_false(pattern->pours[0].circles[c].lost);
    rn_pattern_free(pattern);
    lived_free(life);
}

static void one_thread_and_two_find_the_same(void **state)
{
    (void)state;
    lived *life = lived_new(RING "moves:\n"
                                 "  - {start: 6 s, for: 14 s, turn: 6 rpm}\n"
                                 "  - {start: 6 s, for: 14 s, tilt: 6 deg, toward: right, frame: room}\n"
                                 "end: 24 s\n",
                            64, NAN);
    rn_pattern *one = look(life, 24, NAN, 2);
    rn_team_free(life->team);
    rn_error err = {0};
    check_ok(rn_team_new(&life->team, 1, &err), &err);
    rn_pattern *other = look(life, 24, NAN, 2);
    assert_memory_equal(&one->twist, &other->twist, sizeof one->twist);
    for (int c = 0; c < RN_PATTERN_CIRCLES; c++) {
        const rn_circle_fate *a = &one->pours[0].circles[c], *b = &other->pours[0].circles[c];
        assert_memory_equal(a->mode, b->mode, sizeof a->mode);
        assert_memory_equal(&a->drift_x, &b->drift_x, sizeof a->drift_x);
    }
    assert_memory_equal(one->colours.on_face, other->colours.on_face, sizeof one->colours.on_face);
    assert_memory_equal(one->colours.over, other->colours.over, sizeof one->colours.over);
    check_at_least(one->stretch.high, 1.1);
    rn_pattern_free(one);
    rn_pattern_free(other);
    lived_free(life);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_coat_at_rest_has_no_pattern),
        cmocka_unit_test(a_pour_left_alone_does_not_twist),
        cmocka_unit_test(before_the_release_ends_nothing_is_stretched),
        cmocka_unit_test(a_spin_leaves_the_face_behind),
        cmocka_unit_test(the_middle_of_a_pour_stays_round),
        cmocka_unit_test(circles_that_run_off_are_lost),
        cmocka_unit_test(one_thread_and_two_find_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
