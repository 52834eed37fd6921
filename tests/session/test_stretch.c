/* Stretch of the face against maps whose ellipses are known in closed form. */
#include "check.h"

#include <string.h>

#include "base/physical.h"
#include "run/stretch.h"

enum { N = 512 };

#define SIDE 0.3 /* [m] */

/* Where the point at (x, y) was. */
typedef void came_from(double *x0, double *y0, double x, double y, const double *by);

typedef struct lattice {
    float x0[N * N], y0[N * N];
    bool known[N * N];
} lattice;

static double place(int i)
{
    return ((i + 0.5) / N - 0.5) * SIDE;
}

static rn_past_face map_face(lattice *l, came_from *from, const double *by)
{
    for (int j = 0; j < N; j++)
        for (int i = 0; i < N; i++) {
            double x0, y0;
            from(&x0, &y0, place(i), place(j), by);
            l->x0[j * N + i] = (float)x0;
            l->y0[j * N + i] = (float)y0;
            l->known[j * N + i] = true;
        }
    return (rn_past_face){N, N, SIDE, SIDE, l->x0, l->y0, l->known};
}

static rn_stretch measure(const rn_past_face *past, const bool *wet, double limit)
{
    rn_stretch stretch;
    rn_error err = {0};
    check_ok(rn_stretch_measure(&stretch, past, wet, limit, &err), &err);
    return stretch;
}

/* A film that drains down a slope, deeper on one side than on the other: h = h0 (1 + k y). The face moves at
   rho g sin a h^2 / (2 mu), 1.5 times the mean [nusselt1916], so that it is sheared along x by
   s = t du/dy = t rho g sin a h h0 k / mu. */
static double shear_of(const double *by, double y)
{
    const double rate = 1200 * RN_GRAVITY * sin(by[0]) / (3 * 0.8), h0 = 1e-3, k = 4;
    return by[1] * 1.5 * rate * 2 * h0 * (1 + k * y) * h0 * k;
}

static void drained(double *x0, double *y0, double x, double y, const double *by)
{
    const double rate = 1200 * RN_GRAVITY * sin(by[0]) / (3 * 0.8), h = 1e-3 * (1 + 4 * y);
    *x0 = x - 1.5 * rate * h * h * by[1];
    *y0 = y;
}

/* Strain ellipse of simple shear by s: axes s/2 + sqrt(1 + s^2/4) and its inverse, the longer at
   tan 2 theta = 2/s from the direction of shear [ramsay1983]. */
static void shear_on_a_slope(void **state)
{
    (void)state;
    static lattice l;
    const double by[] = {3 * RN_PI / 180, 100};
    const rn_past_face past = map_face(&l, drained, by);
    rn_stretch stretch = measure(&past, NULL, 2);
    double most = 0;
    for (int j = 0; j < N; j += 7) {
        const double s = shear_of(by, place(j)), axis = 0.5 * s + sqrt(1 + 0.25 * s * s);
        const long k = (long)j * N + 100;
        /* Central differences of a parabola are exact; floats of 0.15 m are good to 1e-5 of a point's distance. */
        if (j > 0 && j < N - 1) {
            check_close((double)stretch.ratio[k], axis * axis, 1e-4);
            check_close((double)stretch.longest[k], axis, 1e-4);
            check_close((double)stretch.shortest[k], 1 / axis, 1e-4);
            check_within((double)stretch.direction[k], 0.5 * atan2(2, s), 1e-4);
        }
        most = fmax(most, axis * axis);
    }
    check_close(stretch.known, 1, 1e-15);
    /* The ratio grows with y: half the face has less than at y = 0, 99 % less than at 0.49 of the side. */
    const double middle = shear_of(by, 0), high = shear_of(by, 0.49 * SIDE);
    check_close(stretch.median, pow(0.5 * middle + sqrt(1 + 0.25 * middle * middle), 2), 2e-3);
    check_close(stretch.high, pow(0.5 * high + sqrt(1 + 0.25 * high * high), 2), 2e-3);
    check_close(stretch.most, most, 5e-3);
    check_within(stretch.most_y, 0.5 * SIDE, 3 * SIDE / N);
    for (int m = 0; m < 3; m++) {
        static const double marks[] = {1.5, 2, 3};
        /* ratio = mark where s = sqrt(mark) - 1/sqrt(mark). */
        const double s = sqrt(marks[m]) - 1 / sqrt(marks[m]);
        const double y = (s / shear_of(by, 0) - 1) / 4; /* s is linear in y */
        check_within(stretch.past[m], fmin(fmax(0.5 - y / SIDE, 0), 1), 2.0 / N);
    }
    check_close(stretch.past_limit, stretch.past[1], 1e-15);
    rn_stretch_clear(&stretch);
}

/* Spin of an even film: the face goes from r0 to r0 F^(3/8), F = 1 + 4 K h0^2 t [emslie1958]: circles stay circles. */
static void spun(double *x0, double *y0, double x, double y, const double *by)
{
    *x0 = x / by[0];
    *y0 = y / by[0];
}

static void even_stretch_under_spin(void **state)
{
    (void)state;
    static lattice l;
    const double omega = 120 * 2 * RN_PI / 60, h0 = 1.5e-3, k = 1200 * omega * omega / (3 * 0.8);
    const double by[] = {pow(1 + 4 * k * h0 * h0 * 3, 3.0 / 8)};
    const rn_past_face past = map_face(&l, spun, by);
    rn_stretch stretch = measure(&past, NULL, 2);
    check_at_least(by[0], 1.2);
    for (long p = 0; p < N * N; p += 97) {
        check_close((double)stretch.ratio[p], 1, 2e-4);
        check_close((double)stretch.longest[p], by[0], 1e-4);
        check_close((double)stretch.shortest[p], by[0], 1e-4);
    }
    check_within(stretch.past[0], 0, 0);
    check_close(stretch.most, 1, 2e-4);
    rn_stretch_clear(&stretch);
}

/* r = r0 + c r0^3: stretched dr/dr0 = 1 + 3 c r0^2 outward and r/r0 = 1 + c r0^2 around (geometry). */
static void bulged(double *x0, double *y0, double x, double y, const double *by)
{
    const double r = hypot(x, y);
    double r0 = r;
    for (int n = 0; n < 40; n++)
        r0 -= (r0 + by[0] * r0 * r0 * r0 - r) / (1 + 3 * by[0] * r0 * r0);
    *x0 = x * r0 / r;
    *y0 = y * r0 / r;
}

static void uneven_radial_stretch(void **state)
{
    (void)state;
    static lattice l;
    for (int sign = -1; sign <= 1; sign += 2) {
        const double by[] = {sign > 0 ? 60.0 : -2.0};
        const rn_past_face past = map_face(&l, bulged, by);
        rn_stretch stretch = measure(&past, NULL, 2);
        for (int j = 3; j < N - 3; j += 17)
            for (int i = 3; i < N - 3; i += 13) {
                double x0, y0;
                bulged(&x0, &y0, place(i), place(j), by);
                const double r2 = by[0] * (x0 * x0 + y0 * y0), outward = 1 + 3 * r2, around = 1 + r2;
                const double toward = atan2(y0, x0) + (sign > 0 ? 0 : 0.5 * RN_PI);
                const double ratio = fmax(outward, around) / fmin(outward, around);
                check_close((double)stretch.ratio[j * N + i], ratio, 3e-3);
                check_close((double)stretch.longest[j * N + i], fmax(outward, around), 3e-3);
                if (ratio > 1.2)
                    check_within(remainder((double)stretch.direction[j * N + i] - toward, RN_PI), 0, 5e-3);
            }
        rn_stretch_clear(&stretch);
    }
}

/* Two even pieces that met along x = 0: the seam is seen by no point. */
static void met(double *x0, double *y0, double x, double y, const double *by)
{
    *x0 = x / by[0] + (x > 0 ? 0.1 : -0.1);
    *y0 = y;
}

static void a_seam_is_no_stretch(void **state)
{
    (void)state;
    static lattice l;
    const double by[] = {1.8};
    const rn_past_face past = map_face(&l, met, by);
    rn_stretch stretch = measure(&past, NULL, 1.7);
    for (long p = 0; p < N * N; p++)
        check_close((double)stretch.ratio[p], 1.8, 2e-4);
    check_close(stretch.past[0], 1, 1e-15);
    check_within(stretch.past[1], 0, 0);
    check_close(stretch.past_limit, 1, 1e-15);
    rn_stretch_clear(&stretch);
}

static void turned_over(double *x0, double *y0, double x, double y, const double *by)
{
    *x0 = by[0] * x;
    *y0 = y;
}

static void what_is_not_known_is_said(void **state)
{
    (void)state;
    static lattice l;
    static bool wet[N * N];
    const double even[] = {1.25}, flip[] = {-1}, closed[] = {1e5};
    rn_past_face past = map_face(&l, spun, even);
    memset(wet, 0, sizeof wet);
    for (int j = 0; j < N; j++)
        for (int i = 0; i < N; i++) {
            l.known[j * N + i] = i < N / 4;
            wet[j * N + i] = i < N / 2;
            if (!l.known[j * N + i])
                l.x0[j * N + i] = l.y0[j * N + i] = NAN; /* nobody may look at these */
        }
    rn_stretch stretch = measure(&past, wet, 2);
    check_close(stretch.known, 0.5, 1e-12);
    check_close((double)stretch.longest[5 * N + N / 4 - 1], 1.25, 2e-4); /* one side alone */
    assert_true(isnan(stretch.ratio[5 * N + N / 4]));
    rn_stretch_clear(&stretch);

    past = map_face(&l, turned_over, flip);
    stretch = measure(&past, NULL, 2);
    check_within(stretch.known, 0, 0);
    assert_true(isnan(stretch.median) && isnan(stretch.most) && isnan(stretch.past[0]));
    rn_stretch_clear(&stretch);
    past = map_face(&l, turned_over, closed);
    stretch = measure(&past, NULL, 2);
    check_within(stretch.known, 0, 0);
    rn_stretch_clear(&stretch);
}

/* One wild point does not make the greatest stretch; nine do. */
static void the_greatest_holds_over_some_places(void **state)
{
    (void)state;
    static lattice l;
    const double even[] = {1.5};
    const rn_past_face past = map_face(&l, spun, even);
    l.x0[200 * N + 300] += 0.4e-3f;
    rn_stretch stretch = measure(&past, NULL, 2);
    double wildest = 0;
    for (long p = 0; p < N * N; p++)
        wildest = fmax(wildest, (double)stretch.ratio[p]);
    check_at_least(wildest, 1.5);
    check_close(stretch.most, 1, 2e-4);
    rn_stretch_clear(&stretch);
    for (int j = 100; j < 106; j++)
        for (int i = 120; i < 126; i++)
            l.x0[j * N + i] += 0.2e-3f * (float)(i - 119);
    stretch = measure(&past, NULL, 2);
    check_at_least(stretch.most, 1.3);
    check_within(stretch.most_x, place(123), 3 * SIDE / N);
    check_within(stretch.most_y, place(102), 3 * SIDE / N);
    rn_stretch_clear(&stretch);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shear_on_a_slope),          cmocka_unit_test(even_stretch_under_spin),
        cmocka_unit_test(uneven_radial_stretch),     cmocka_unit_test(a_seam_is_no_stretch),
        cmocka_unit_test(what_is_not_known_is_said), cmocka_unit_test(the_greatest_holds_over_some_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
