/* Circles under deformations whose outcome is known in closed form. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "run/circle.h"

enum { COUNT = 512, RINGS = 8 };

typedef struct drawn {
    float x[COUNT], y[COUNT];
    bool missing[COUNT];
} drawn;

typedef void deform(double *x, double *y, const double *by);

/* A circle of that radius around (cx, cy), moved by the deformation, which sees places relative to the centre. */
static rn_circle draw(drawn *points, double cx, double cy, double radius, deform *move, const double *by)
{
    memset(points, 0, sizeof *points);
    for (int j = 0; j < COUNT; j++) {
        double x = radius * cos(2 * RN_PI * j / COUNT), y = radius * sin(2 * RN_PI * j / COUNT);
        move(&x, &y, by);
        points->x[j] = (float)(cx + x);
        points->y[j] = (float)(cy + y);
    }
    return (rn_circle){cx, cy, radius, COUNT, points->x, points->y, points->missing};
}

static rn_circle_fate fate_of(const rn_circle *circle)
{
    rn_circle_fate fate;
    rn_error err = {0};
    check_ok(rn_circle_measure(&fate, circle, 1, &err), &err);
    return fate;
}

static void shift(double *x, double *y, const double *by)
{
    *x += by[0];
    *y += by[1];
}

/* r(theta) = d cos(theta - delta) + sqrt(R^2 - d^2 sin^2(theta - delta)) (law of cosines): the root has even modes only,
   so mode 1 is the shift itself. */
static void a_solid_shift(void **state)
{
    (void)state;
    drawn points;
    const double by[] = {4e-3, -3e-3};
    const rn_circle circle = draw(&points, 0.02, 0.01, 0.05, shift, by);
    const rn_circle_fate fate = fate_of(&circle);
    assert_false(fate.lost);
    check_within(fate.drift_x, 4e-3, 2e-8);
    check_within(fate.drift_y, -3e-3, 2e-8);
    check_close(fate.off_centre, 5e-3, 1e-4);
    check_close(fate.radius, 0.05, 1e-6);
    check_within(fate.twist, 0, 1e-6);
    check_at_most(fate.oval, 2e-8);
    check_at_most(fate.square, 2e-8);
    check_at_most(fate.fingers, 4e-8);
}

/* Turning that grows with the radius, to two turns and more; by: turning per radius [rad/m]. */
static void twirl(double *x, double *y, const double *by)
{
    const double r = hypot(*x, *y), angle = atan2(*y, *x) + by[0] * r;
    *x = r * cos(angle) + by[1];
    *y = r * sin(angle);
}

static void turning_is_followed_outward(void **state)
{
    (void)state;
    for (int hand = -1; hand <= 1; hand += 2) {
        static drawn points[RINGS];
        rn_circle circles[RINGS];
        rn_circle_fate fates[RINGS];
        const double by[] = {hand * 110.0, 2e-3};
        for (int c = 0; c < RINGS; c++)
            circles[c] = draw(&points[c], 0, 0, 0.02 * (c + 1), twirl, by);
        memset(points[3].missing, 1, sizeof points[3].missing); /* one is lost between */
        rn_error err = {0};
        check_ok(rn_circle_measure(fates, circles, RINGS, &err), &err);
        for (int c = 0; c < RINGS; c++) {
            assert_true(fates[c].lost == (c == 3));
            if (c == 4) /* 4.4 rad on from the last that is known: a whole turn cannot be seen */
                check_within(remainder(fates[c].twist - by[0] * circles[c].radius, 2 * RN_PI), 0, 1e-5);
            else if (c < 3)
                check_within(fates[c].twist, by[0] * circles[c].radius, 1e-5);
        }
        check_within(fates[2].drift_x, 2e-3, 2e-8);
    }
}

/* Even turning of all circles, with nothing else. */
static void a_solid_turn(void **state)
{
    (void)state;
    drawn points;
    for (int c = 1; c <= 3; c++) {
        const double radius = 0.03 * c, by[] = {0.4 / radius, 0};
        const rn_circle circle = draw(&points, -0.01, 0.02, radius, twirl, by);
        const rn_circle_fate fate = fate_of(&circle);
        check_within(fate.twist, 0.4, 1e-6);
        check_at_most(hypot(fate.drift_x, fate.drift_y), 2e-8);
        check_at_most(fate.off_centre, 3e-8);
    }
}

static void stretch(double *x, double *y, const double *by)
{
    *x *= by[0];
    *y *= by[1];
}

/* An ellipse of half-axes a, b: the mean of its radius over the angle is a b / AGM(a, b), by Gauss's mean for the
   complete elliptic integral [olver2010]; its modes by the midpoint sum of r = a b / sqrt(a^2 sin^2 + b^2 cos^2). */
static void an_oval(void **state)
{
    (void)state;
    drawn points;
    const double by[] = {1.2, 0.85}, a = 0.06 * by[0], b = 0.06 * by[1];
    const rn_circle circle = draw(&points, 0.01, 0.01, 0.06, stretch, by);
    const rn_circle_fate fate = fate_of(&circle);
    double mean = a, other = b, modes[7] = {0};
    for (int n = 0; n < 10; n++) {
        const double sum = 0.5 * (mean + other);
        other = sqrt(mean * other);
        mean = sum;
    }
    for (int n = 0; n < 4096; n++) {
        const double theta = 2 * RN_PI * (n + 0.5) / 4096, r = a * b / hypot(a * sin(theta), b * cos(theta));
        for (int m = 0; m < 7; m++)
            modes[m] += (m ? 2 : 1) * r * cos(m * theta) / 4096;
    }
    check_close(modes[0], a * b / mean, 1e-12); /* the sum against Gauss */
    check_close(fate.radius, a * b / mean, 1e-5);
    check_close(fate.oval, modes[2], 1e-4);
    check_within(fate.phase[2], 0, 1e-5); /* longest to the right and left */
    check_close(fate.square, modes[4], 1e-3);
    check_close(fate.fingers, fabs(modes[6]), 0.05);
    check_within(fate.off_centre, 0, 3e-8);
    check_within(fate.twist, 0, 1e-6);
    /* To first order half the difference of the half-axes. */
    check_close(fate.oval, 0.5 * (a - b), 0.05);
}

/* r = r0 (1 + e cos m t) for two m at once. */
static void ripple(double *x, double *y, const double *by)
{
    const double t = atan2(*y, *x), factor = 1 + by[0] * cos(by[1] * t) + by[2] * cos(by[3] * t - by[4]);
    *x *= factor;
    *y *= factor;
}

static void square_and_fingers(void **state)
{
    (void)state;
    drawn points;
    const double square[] = {0.08, 4, 0, 0, 0};
    rn_circle circle = draw(&points, 0, 0.02, 0.08, ripple, square);
    rn_circle_fate fate = fate_of(&circle);
    check_close(fate.square, 0.08 * 0.08, 1e-3);
    check_at_most(fate.oval, 1e-6);
    check_at_most(fate.fingers, 4e-6); /* of mode 8: the points' straight lines */
    const double fingers[] = {0.03, 7, 0.04, 11, 1.0};
    circle = draw(&points, 0, 0.02, 0.08, ripple, fingers);
    fate = fate_of(&circle);
    check_close(fate.fingers, 0.05 * 0.08, 3e-3); /* 3, 4, 5 */
    check_close(fate.mode[7], 0.03 * 0.08, 3e-3);
    check_close(fate.mode[11], 0.04 * 0.08, 3e-3);
    check_within(fate.phase[11], 1.0, 5e-3);
}

static void gaps_are_bridged_or_lose_the_circle(void **state)
{
    (void)state;
    drawn points;
    const double by[] = {4e-3, -3e-3};
    rn_circle circle = draw(&points, 0.02, 0.01, 0.05, shift, by);
    const int most = (int)(RN_CIRCLE_MISSING * COUNT);
    for (int j = 0; j < most; j++)
        points.missing[(100 + j) % COUNT] = true;
    for (int j = 0; j < COUNT; j++)
        if (points.missing[j])
            points.x[j] = points.y[j] = 9.0f; /* nobody may look at these */
    rn_circle_fate fate = fate_of(&circle);
    assert_false(fate.lost);
    assert_int_equal(fate.missing, most);
    /* The chord cuts off R^2/2 (gap - sin gap) of the area. */
    check_within(fate.drift_x, 4e-3, 1e-4);
    check_close(fate.off_centre, 5e-3, 0.02);
    check_close(fate.radius, 0.05, 1e-3);
    check_within(fate.twist, 0, 2e-3);
    points.missing[0] = true;
    fate = fate_of(&circle);
    assert_true(fate.lost);
    assert_int_equal(fate.missing, most + 1);
    assert_true(isnan(fate.radius) && isnan(fate.twist) && isnan(fate.fingers));
}

/* Shifted by more than its radius it no longer goes round where it was drawn; turned inside out it is lost. */
static void a_circle_that_went_away(void **state)
{
    (void)state;
    drawn points;
    const double far[] = {0.06, 0}, flip[] = {-1, 1};
    rn_circle circle = draw(&points, 0, 0, 0.05, shift, far);
    rn_circle_fate fate = fate_of(&circle);
    assert_false(fate.lost);
    check_within(fate.drift_x, 0.06, 2e-8);
    assert_true(isnan(fate.off_centre));
    circle = draw(&points, 0, 0, 0.05, stretch, flip);
    fate = fate_of(&circle);
    assert_true(fate.lost);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_solid_shift),
        cmocka_unit_test(turning_is_followed_outward),
        cmocka_unit_test(a_solid_turn),
        cmocka_unit_test(an_oval),
        cmocka_unit_test(square_and_fingers),
        cmocka_unit_test(gaps_are_bridged_or_lose_the_circle),
        cmocka_unit_test(a_circle_that_went_away),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
