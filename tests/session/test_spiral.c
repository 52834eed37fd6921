/* The spiral of made rings r = r0 + a cos(theta - phi(r0)), whose shift and phase are known ring by ring. */
#include "check.h"

#include "base/physical.h"
#include "made_face.h"
#include "run/spiral.h"

#define VOLUME 200e-6 /* of made_plan's pour */

typedef struct made {
    double radius;      /* of the front [m] */
    double shift;       /* a [m] */
    double phase, turn; /* phi = phase + turn r0 */
    double scatter;     /* of phi, from ring to ring [rad] */
} made;

static double phase_of(const made *m, double r0)
{
    return m->phase + m->turn * r0 + m->scatter * sin(700 * r0);
}

/* Which ring a place lies on, by steps toward the root of r = r0 + a cos(theta - phi(r0)); then the flat cake's law (volume is
   kept: V = all (1 - r0^2 / R^2)). */
static double made_rings(double x, double y, const void *detail)
{
    const made *m = detail;
    const double r = hypot(x, y), theta = atan2(y, x);
    double r0 = r;
    for (int n = 0; n < 60; n++)
        r0 = 0.5 * (r0 + r - m->shift * cos(theta - phase_of(m, r0)));
    return r0 < m->radius ? VOLUME * (1 - r0 * r0 / (m->radius * m->radius)) : MADE_BASE;
}

static rn_spiral measure(made m, int repeat)
{
    rn_plan *plan = made_plan(0, 0, repeat);
    rn_strata *strata = made_face(plan, 512, made_rings, &m);
    rn_spiral spiral;
    rn_error err = {0};
    check_ok(rn_spiral_measure(&spiral, strata, plan, 0, NULL, &err), &err);
    rn_strata_free(strata);
    rn_plan_free(plan);
    return spiral;
}

static double ring_radius(const made *m, double released)
{
    return m->radius * sqrt(1 - released / VOLUME);
}

static void a_made_spiral(void **state)
{
    (void)state;
    for (int hand = -1; hand <= 1; hand += 2) {
        const made m = {0.12, 3e-3, 2.0, hand * 45.0, 0};
        const rn_spiral spiral = measure(m, 6);
        assert_int_equal(spiral.count, 17);
        assert_int_equal(spiral.complete, 17);
        assert_int_equal(spiral.used, 17);
        for (int k = 0; k < spiral.complete; k++) {
            const rn_ring_curve *curve = &spiral.curves[k];
            const double r0 = ring_radius(&m, curve->released);
            check_within(curve->radius, r0, 4e-6);
            check_within(curve->shift, m.shift, 4e-6);
            /* Followed from ring to ring, so equal up to the whole turns of the first. */
            const double off = curve->phase - phase_of(&m, r0),
                         first = spiral.curves[0].phase - phase_of(&m, ring_radius(&m, spiral.curves[0].released));
            check_within(off - first, 0, 3e-3);
            check_within(remainder(off, 2 * RN_PI), 0, 3e-3);
        }
        assert_int_equal(spiral.hand, hand > 0 ? RN_HAND_COUNTER_CLOCKWISE : RN_HAND_CLOCKWISE);
        check_close(rn_spiral_per_decimetre(&spiral), hand * 45.0 * 0.1 / (2 * RN_PI), 1e-3);
        const double range = spiral.curves[16].radius - spiral.curves[0].radius;
        check_close(spiral.turned, hand * 45.0 * range, 1e-3);
    }
}

/* Phases that lie up to 0.2 rad off the line, one way and the other from ring to ring. */
static void scatter_does_not_move_the_spiral_much(void **state)
{
    (void)state;
    const made m = {0.12, 3e-3, -1.0, 30.0, 0.2};
    const rn_spiral spiral = measure(m, 6);
    assert_int_equal(spiral.hand, RN_HAND_COUNTER_CLOCKWISE);
    check_close(spiral.turn, 30.0, 0.05);
}

/* A solid shift: all phases are one, so there is no spiral; mode 1 is the shift itself. */
static void a_shift_alone_is_no_spiral(void **state)
{
    (void)state;
    const made m = {0.12, 5e-3, 0.7, 0, 0};
    const rn_spiral spiral = measure(m, 3);
    assert_int_equal(spiral.complete, 8);
    assert_int_equal(spiral.used, 8);
    for (int k = 0; k < spiral.complete; k++) {
        check_within(spiral.curves[k].shift, 5e-3, 4e-6);
        check_within(spiral.curves[k].phase, 0.7, 2e-3);
    }
    assert_int_equal(spiral.hand, RN_HAND_NONE);
    check_within(spiral.turn, 0, 0);
}

static void round_rings_have_no_phase(void **state)
{
    (void)state;
    const rn_spiral spiral = measure((made){0.12, 0.2e-3, 1.0, 60, 0}, 3);
    assert_int_equal(spiral.complete, 8);
    assert_int_equal(spiral.used, 0);
    assert_int_equal(spiral.hand, RN_HAND_NONE);
}

/* Rings that reach over the panel's edge (150 mm) are not read: V = all (1 - r^2 / R^2) with R = 200 mm leaves those
   inside 150 mm - a. */
static void rings_past_the_edge_are_incomplete(void **state)
{
    (void)state;
    const made m = {0.2, 2e-3, 0, 20, 0};
    const rn_spiral spiral = measure(m, 6);
    int inside = 0;
    for (int k = 0; k < spiral.count; k++) {
        const double r0 = ring_radius(&m, spiral.curves[k].released);
        inside += r0 < 0.148;
        assert_true(spiral.curves[k].complete == (k < spiral.complete));
        if (spiral.curves[k].complete)
            check_at_most(r0, 0.152);
        else
            assert_true(isnan(spiral.curves[k].radius));
    }
    check_at_least(spiral.complete, inside);
    check_at_most(spiral.complete, spiral.count - 1);
}

/* More edges than are kept: they are picked evenly. */
static void many_bands(void **state)
{
    (void)state;
    const made m = {0.12, 3e-3, 2.0, 45.0, 0};
    const rn_spiral spiral = measure(m, 40);
    assert_int_equal(spiral.count, RN_CURVES_MOST);
    check_close(rn_spiral_per_decimetre(&spiral), 45.0 * 0.1 / (2 * RN_PI), 2e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_made_spiral),
        cmocka_unit_test(scatter_does_not_move_the_spiral_much),
        cmocka_unit_test(a_shift_alone_is_no_spiral),
        cmocka_unit_test(round_rings_have_no_phase),
        cmocka_unit_test(rings_past_the_edge_are_incomplete),
        cmocka_unit_test(many_bands),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
