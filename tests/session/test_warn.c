/* Every warning appears beyond its limit and not short of it; the limits mean what their sources say. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "run/warn.h"

/* A quiet case: 12 x 12 in, 150 ml of one Newtonian paint from a 70 mm rim, covered, at rest. */
typedef struct quiet {
    rn_plan *plan;
    rn_forecast forecast;
    rn_moment moments[3];
} quiet;

static int set_up(void **state)
{
    quiet *q = calloc(1, sizeof *q);
    if (!q || !(q->plan = rn_plan_new()))
        return -1;
    rn_plan *plan = q->plan;
    plan->panel.width = plan->panel.height = 0.3048;
    plan->panel.advance = 25 * RN_DEGREE;
    plan->cover = 0.15e-3;
    plan->paint_count = 2;
    for (int i = 0; i < 2; i++)
        plan->paints[i] = (rn_paint){.density = 1100, .tension = 0.030, .law = {1, 1, 0}, .solids = 0.35, .price = NAN};
    plan->pour_count = 1;
    plan->pours[0] = (rn_pour){.across = 0.070, .width = 0.010, .start = 5, .lifts = 1, .repeat = 1, .layer_count = 2};
    plan->pours[0].stack[0] = (rn_layer){0, 75e-6};
    plan->pours[0].stack[1] = (rn_layer){1, 75e-6};
    plan->move_count = 1;
    plan->moves[0] = (rn_move){.kind = RN_MOVE_SPIN, .start = 60, .duration = 20, .amount = 40 * RN_RPM, .ramp = 1};
    plan->limits = (rn_limits){.spin = 60 * RN_RPM, .stretch = 2, .deepest = 4e-3};
    plan->end = 180;
    q->forecast =
        (rn_forecast){.complete = true, .duration = 180, .still_moving = 0.1e-3 / 60, .most = {.depth = 2.8e-3}};
    q->moments[0] = (rn_moment){.time = 0};
    q->moments[1] = (rn_moment){.time = 40, .deepest = 4e-3, .wet_area = 0.4};
    q->moments[2] = (rn_moment){.time = 70, .deepest = 1.5e-3, .wet_area = 0.9, .rate = 40 * RN_RPM};
    *state = q;
    return 0;
}

static int tear_down(void **state)
{
    quiet *q = *state;
    rn_plan_free(q->plan);
    free(q);
    return 0;
}

static void warn(quiet *q)
{
    q->forecast.warning_count = 0;
    rn_warn_all(&q->forecast, q->plan, q->moments, 3);
}

/* Exactly one warning, with these words in it; none where words is NULL. */
static void says_at(quiet *q, const char *words, const char *file, int line)
{
    warn(q);
    const int expected = words ? 1 : 0;
    if (q->forecast.warning_count == expected && (!words || strstr(q->forecast.warnings[0], words)))
        return;
    fprintf(stderr, "%s:%d: wanted %s\n", file, line, words ? words : "no warning");
    for (int i = 0; i < q->forecast.warning_count; i++)
        fprintf(stderr, "  %s\n", q->forecast.warnings[i]);
    _fail(file, line);
}

#define says(q, words) says_at((q), (words), __FILE__, __LINE__)

static void a_quiet_case_has_no_warning(void **state)
{
    says(*state, NULL);
}

static void paints_that_differ(void **state)
{
    quiet *q = *state;
    q->plan->paints[1].law.consistency = 1.49;
    says(q, NULL);
    q->plan->paints[1].law.consistency = 2;
    says(q, "differ in consistency by 2 times (more than 1.5): each layer flows by its own");
    q->plan->pours[0].stack[1].volume = 0; /* what is not used does not count */
    says(q, NULL);
}

static void a_table_beyond_its_limit(void **state)
{
    quiet *q = *state;
    q->plan->moves[0].amount = -60 * RN_RPM;
    says(q, NULL);
    q->plan->moves[0].amount = -66 * RN_RPM;
    says(q, "Move 1 turns at 66 rpm, faster than the table's limit of 60 rpm");
    q->plan->limits.spin = NAN;
    says(q, NULL);
    q->plan->limits.spin = 60 * RN_RPM;
    q->forecast.duration = 50; /* the forecast ended before that move */
    says(q, NULL);
}

/* Corner speed is rate times half the diagonal, from geometry; that 1.5 m/s is too fast is common practice, no source. */
static void a_corner_too_fast_to_stand_beside(void **state)
{
    quiet *q = *state;
    const double limit = RN_WARN_CORNER_SPEED / hypot(0.1524, 0.1524);
    q->plan->limits.spin = NAN;
    q->plan->moves[0].amount = 0.99 * limit;
    says(q, NULL);
    q->plan->moves[0].amount = -1.01 * limit;
    says(q, "Danger: in move 1 the panel's corners pass at 1.5 m/s");
    q->plan->moves[0].kind = RN_MOVE_TURN;
    says(q, "corners pass");
    q->plan->limits.spin = 300 * RN_RPM; /* a stronger turntable is no safer */
    q->plan->moves[0].amount = 300 * RN_RPM;
    says(q, "corners pass at 6.8 m/s");
    q->plan->panel.round = true;
    says(q, "rim passes at 4.8 m/s");
    q->forecast.duration = 50; /* the forecast ended before that move */
    says(q, NULL);
}

static void the_danger_tells_what_is_thrown_while_it_lasts(void **state)
{
    quiet *q = *state;
    q->plan->limits.spin = NAN;
    q->plan->moves[0].amount = 300 * RN_RPM;
    q->moments[1].run_off[RN_FRONT] = 5e-6; /* in a tilt before */
    q->moments[2].rate = 300 * RN_RPM;
    q->moments[2].run_off[RN_FRONT] = 30e-6;
    q->moments[2].run_off[RN_LEFT] = 15e-6;
    warn(q);
    assert_non_null(strstr(q->forecast.warnings[0], "40 ml of paint are thrown off"));
    /* Warnings that fill the list come after it. */
    q->plan->panel.advance = 40 * RN_DEGREE;
    q->forecast.most.depth = 5e-3;
    warn(q);
    assert_true(q->forecast.warning_count > 1);
    assert_non_null(strstr(q->forecast.warnings[0], "Danger"));
}

static void a_film_that_cracks(void **state)
{
    quiet *q = *state;
    q->forecast.most.depth = 4e-3;
    says(q, NULL);
    q->forecast.most.depth = 4.6e-3; /* the limit of 4 mm: common practice, no source */
    says(q, "up to 4.6 mm deep; from 4 mm on it often cracks");
    q->forecast.complete = false; /* stopped by hand: the heap would have spread */
    says(q, NULL);
}

static void paint_that_still_moves(void **state)
{
    quiet *q = *state;
    q->forecast.still_moving = 0.9e-3 / 60;
    says(q, NULL);
    q->forecast.still_moving = 3.2e-3 / 60;
    says(q, "still moves at 3.2 mm per minute");
    q->forecast.complete = false; /* stopped by hand: of course it moves */
    says(q, NULL);
}

static void too_little_paint(void **state)
{
    quiet *q = *state;
    /* 12 in x 12 in is 0.09290304 m2 (exact), so 0.15 mm takes 13.935 ml */
    q->plan->pours[0].stack[0].volume = 7e-6;
    q->plan->pours[0].stack[1].volume = 6.93e-6;
    says(q, "13.9 ml cannot cover this panel, even spread evenly: 0.15 mm over its face takes 13.9 ml");
    q->plan->pours[0].stack[1].volume = 6.94e-6;
    says(q, NULL);
}

static void a_wide_advancing_angle(void **state)
{
    quiet *q = *state;
    q->plan->panel.advance = 30 * RN_DEGREE;
    says(q, NULL);
    q->plan->panel.advance = 40 * RN_DEGREE;
    says(q, "An advancing angle of 40 deg is beyond");
    q->plan->base_count = 1; /* no dry ground is left */
    q->plan->bases[0] = (rn_base){.paint = 0, .kind = RN_BASE_ALL, .volume = NAN, .depth = 0.1e-3};
    says(q, NULL);
}

static void a_base_coat_that_covers_by_itself(void **state)
{
    quiet *q = *state;
    q->plan->base_count = 1;
    q->plan->bases[0] = (rn_base){.paint = 0, .kind = RN_BASE_ALL, .volume = NAN, .depth = 0.9 * q->plan->cover};
    says(q, NULL);
    q->plan->bases[0].depth = 0.3e-3;
    says(q, "The base coat, 0.3 mm, counts as covered by itself");
    q->plan->pour_count = 0; /* nothing is to reach a corner */
    says(q, NULL);
    q->plan->pour_count = 1;
    q->plan->bases[0].kind = RN_BASE_CORNERS;
    says(q, NULL);
}

/* Emslie, Bonner and Peck's condition Omega h^2/nu << 1 in figures: 1.5 mm of 1 Pa s and 1100 kg/m3 at 120 rpm is
   0.031 [emslie1958]. */
static void coriolis_number(void **state)
{
    quiet *q = *state;
    q->plan->limits.spin = NAN;
    q->moments[2].rate = -120 * RN_RPM;
    const rn_law law = {1, 1, 0};
    const rn_extremes found = rn_warn_extremes(q->plan, &law, 1100, q->moments, 3);
    check_within(found.coriolis, 0.0311, 0.00005);
    check_within(found.coriolis_at, 70, 0);
    says(q, NULL);
    for (int i = 0; i < 2; i++)
        q->plan->paints[i].law.consistency = 0.25; /* 0.124 */
    q->moments[2].deepest = 1.5e-3;
    warn(q);
    bool warned = false;
    for (int i = 0; i < q->forecast.warning_count; i++)
        warned = warned || strstr(q->forecast.warnings[i], "At 70 s the turning bends the flow sideways");
    assert_true(warned);
}

/* The sideways flux is 4/5 of the number times the outward one: nu v'' = 2 Omega u, v(0) = 0, v'(h) = 0, with
   u = Omega^2 r/nu (h z - z^2/2), integrated here by the trapezoidal rule. */
static void coriolis_limit_is_eight_percent(void **state)
{
    (void)state;
    enum { COUNT = 20000 };
    const double h = 1, nu = 1, omega = RN_WARN_CORIOLIS * nu / (h * h), r = 1, dz = h / COUNT;
    double outward = 0, sideways = 0, slope = 0, v = 0;
    for (int i = 0; i < COUNT; i++) { /* v'(0) = -integral of v'' */
        const double z = (i + 0.5) * dz;
        slope -= 2 * omega / nu * (omega * omega * r / nu) * (h * z - z * z / 2) * dz;
    }
    for (int i = 0; i < COUNT; i++) {
        const double z = (i + 0.5) * dz, u = omega * omega * r / nu * (h * z - z * z / 2);
        const double slope_after = slope + 2 * omega / nu * u * dz;
        const double v_after = v + (slope + slope_after) / 2 * dz;
        outward += u * dz;
        sideways += (v + v_after) / 2 * dz;
        slope = slope_after;
        v = v_after;
    }
    check_close(-sideways / outward, 0.8 * RN_WARN_CORIOLIS, 1e-6);
}

/* The face of a Herschel-Bulkley film on a slope: rho 1100, 2 mm, 10 deg, tau_y 1, K 1, n 0.6 moves at
   2.96130e-3 m/s [balmforth2002]. */
static void reynolds_number(void **state)
{
    quiet *q = *state;
    const rn_law law = {1, 0.6, 1};
    q->plan->pour_count = 0;
    q->moments[1] = (rn_moment){.time = 40, .deepest = 2e-3, .tilt = 10 * RN_DEGREE};
    q->moments[2] = (rn_moment){.time = 70};
    const double h = 2e-3, speed = 2.96130e-3, stress = 1100 * 9.80665 * sin(10 * RN_DEGREE) * h;
    const double viscosity = stress / pow(stress - 1, 1 / 0.6); /* apparent, at the ground */
    const rn_extremes found = rn_warn_extremes(q->plan, &law, 1100, q->moments, 3);
    check_close(found.reynolds, 1100 * speed * h / viscosity * h / 0.1524, 1e-5);
    check_within(found.reynolds_at, 40, 0);
    const rn_law stiff = {1, 0.6, 4}; /* does not flow there: 3.75 Pa of 4 */
    check_within(rn_warn_extremes(q->plan, &stiff, 1100, q->moments, 3).reynolds, 0, 0);
}

static void thin_paint_on_a_steep_slope(void **state)
{
    quiet *q = *state;
    for (int i = 0; i < 2; i++)
        q->plan->paints[i].law.consistency = 0.05;
    q->moments[1] = (rn_moment){.time = 40, .deepest = 3e-3, .wet_area = 0.6, .tilt = 20 * RN_DEGREE};
    q->moments[2] = (rn_moment){.time = 70};
    says(q, "At 40 s the paint flows so fast that its inertia counts");
}

/* The limit for heaps: where the thin film's levelling rate is 18 % above the exact one of a viscous layer,
   (sinh x cosh x - x)/(cosh^2 x + x^2)/(2 mu k) against h^3/(3 mu) k^2 (x = k h) [orchard1963, from memory]. */
static void steepness_limit_is_eighteen_percent(void **state)
{
    (void)state;
    const double x = RN_PI / 2 * RN_WARN_STEEP;
    const double thin = x * x * x / 3, exact = (sinh(x) * cosh(x) - x) / (2 * (cosh(x) * cosh(x) + x * x));
    check_within(x, 0.314, 0.0005);
    check_within(thin / exact, 1.18, 0.005);
}

static void a_steep_heap(void **state)
{
    quiet *q = *state;
    for (int i = 0; i < 2; i++)
        q->plan->paints[i].law.consistency = 5;                /* thick, so that inertia is no matter */
    q->moments[1] = (rn_moment){.time = 6, .deepest = 7.9e-3}; /* of a rim that lets paint out to 40 mm */
    says(q, NULL);
    q->moments[1].deepest = 10e-3;
    says(q, "At 6 s the heap is steep for a thin film, 0.25 of its radius deep");
    q->moments[1].wet_area = 0.2; /* it has spread to a disc of 77 mm radius */
    says(q, NULL);
    q->moments[0].wet_area = 0.2; /* but not if that ground was wet before */
    says(q, "At 6 s the heap is steep");
}

static void more_warnings_than_room(void **state)
{
    quiet *q = *state;
    q->plan->panel.advance = 40 * RN_DEGREE;
    q->forecast.warning_count = RN_WARNINGS_MOST;
    rn_warn_all(&q->forecast, q->plan, q->moments, 3);
    assert_int_equal(q->forecast.warning_count, RN_WARNINGS_MOST);
}

/* Of several heaps the narrowest is the steepest; one that is not poured yet does not count. */
static void the_narrowest_heap_is_the_steepest(void **state)
{
    quiet *q = *state;
    const rn_law law = {1, 1, 0};
    q->moments[1] = (rn_moment){.time = 6, .deepest = 3e-3};
    q->moments[2] = (rn_moment){.time = 70};
    check_close(rn_warn_extremes(q->plan, &law, 1100, q->moments, 3).steep, 3e-3 / 0.040, 1e-12);
    q->plan->pour_count = 2;
    q->plan->pours[1] = q->plan->pours[0];
    q->plan->pours[1].across = 0.030;
    check_close(rn_warn_extremes(q->plan, &law, 1100, q->moments, 3).steep, 3e-3 / 0.020, 1e-12);
    q->plan->pours[1].start = 6.5;
    check_close(rn_warn_extremes(q->plan, &law, 1100, q->moments, 3).steep, 3e-3 / 0.040, 1e-12);
    q->plan->pour_count = 1;
}

int main(void)
{
#define WATCHED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        WATCHED(a_quiet_case_has_no_warning),
        WATCHED(paints_that_differ),
        WATCHED(a_table_beyond_its_limit),
        WATCHED(a_corner_too_fast_to_stand_beside),
        WATCHED(the_danger_tells_what_is_thrown_while_it_lasts),
        WATCHED(a_film_that_cracks),
        WATCHED(paint_that_still_moves),
        WATCHED(too_little_paint),
        WATCHED(a_wide_advancing_angle),
        WATCHED(a_base_coat_that_covers_by_itself),
        WATCHED(coriolis_number),
        WATCHED(reynolds_number),
        WATCHED(thin_paint_on_a_steep_slope),
        WATCHED(a_steep_heap),
        WATCHED(the_narrowest_heap_is_the_steepest),
        WATCHED(more_warnings_than_room),
        cmocka_unit_test(coriolis_limit_is_eight_percent),
        cmocka_unit_test(steepness_limit_is_eighteen_percent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
