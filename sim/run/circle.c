/* The centre of the area A that a polygon encloses, with c_j = x_j y_k - x_k y_j and k = j + 1:
     A = 1/2 sum c_j,    x = sum (x_j + x_k) c_j / 6 A,    y likewise
   is geometry (Green's theorem). */
#include "run/circle.h"

#include <math.h>

#include "base/physical.h"
#include "film/spectral.h"

#define BEARINGS 256

static bool gone(const rn_circle *circle, int point)
{
    return circle->missing && circle->missing[point];
}

/* The next point that is still on the panel; there is one. */
static int next_point(const rn_circle *circle, int point)
{
    do
        point = (point + 1) % circle->count;
    while (gone(circle, point));
    return point;
}

/* False where the points do not enclose an area counter-clockwise. Relative to the drawn centre, to keep digits. */
static bool centre_of_area(double *x, double *y, const rn_circle *circle)
{
    double area = 0, sum_x = 0, sum_y = 0;
    for (int j = 0; j < circle->count; j++) {
        if (gone(circle, j))
            continue;
        const int k = next_point(circle, j);
        const double xj = (double)circle->x[j] - circle->cx, yj = (double)circle->y[j] - circle->cy;
        const double xk = (double)circle->x[k] - circle->cx, yk = (double)circle->y[k] - circle->cy;
        const double cross = xj * yk - xk * yj;
        area += 0.5 * cross;
        sum_x += (xj + xk) * cross;
        sum_y += (yj + yk) * cross;
    }
    if (!(area > 0))
        return false;
    *x = circle->cx + sum_x / (6 * area);
    *y = circle->cy + sum_y / (6 * area);
    return true;
}

static double wrapped(double angle)
{
    return angle - 2 * RN_PI * round(angle / (2 * RN_PI));
}

/* The outermost radius around (x, y) on BEARINGS bearings, even in the angle between one point and the next.
   False where the curve does not go round (x, y). */
static bool radius_around(double *radius, const rn_circle *circle, double x, double y)
{
    const double step = 2 * RN_PI / BEARINGS;
    for (int b = 0; b < BEARINGS; b++)
        radius[b] = NAN;
    double winding = 0;
    for (int j = 0; j < circle->count; j++) {
        if (gone(circle, j))
            continue;
        const int k = next_point(circle, j);
        const double xj = (double)circle->x[j] - x, yj = (double)circle->y[j] - y;
        const double xk = (double)circle->x[k] - x, yk = (double)circle->y[k] - y;
        const double from = atan2(yj, xj), turn = wrapped(atan2(yk, xk) - from), rj = hypot(xj, yj), rk = hypot(xk, yk);
        winding += turn;
        const double least = fmin(from, from + turn), most = fmax(from, from + turn);
        for (int b = (int)ceil(least / step); b * step <= most && most > least; b++) {
            double *r = &radius[(b % BEARINGS + BEARINGS) % BEARINGS];
            *r = fmax(*r, rj + (rk - rj) * (b * step - from) / turn); /* fmax passes over a NaN */
        }
    }
    for (int b = 0; b < BEARINGS; b++)
        if (isnan(radius[b]))
            return false;
    return winding > RN_PI;
}

/* Mean turning of the points about the moved centre, followed from point to point and back near `last`. */
static double twist_of(const rn_circle *circle, double x, double y, double last)
{
    double sum = 0, before = NAN;
    int count = 0;
    for (int j = 0; j < circle->count; j++) {
        if (gone(circle, j))
            continue;
        double turn =
            wrapped(atan2((double)circle->y[j] - y, (double)circle->x[j] - x) - 2 * RN_PI * j / circle->count);
        if (!isnan(before))
            turn = before + wrapped(turn - before);
        sum += turn;
        before = turn;
        count++;
    }
    const double mean = sum / count;
    return last + wrapped(mean - last);
}

static rn_circle_fate lost(const rn_circle *circle, int missing)
{
    rn_circle_fate fate = {.lost = true, .missing = missing, .drawn = circle->radius};
    fate.radius = fate.drift_x = fate.drift_y = fate.twist = NAN;
    fate.off_centre = fate.oval = fate.square = fate.fingers = NAN;
    for (int m = 0; m <= RN_CIRCLE_MODES; m++)
        fate.mode[m] = fate.phase[m] = NAN;
    return fate;
}

static rn_status spectrum(rn_circle_fate *fate, const double *radius, rn_error *err)
{
    const rn_status status = rn_spectral_modes(fate->mode, fate->phase, RN_CIRCLE_MODES, radius, BEARINGS, err);
    if (status != RN_OK)
        return status;
    fate->radius = fate->mode[0];
    fate->oval = fate->mode[2];
    fate->square = fate->mode[4];
    double squares = 0;
    for (int m = 6; m <= RN_CIRCLE_MODES; m++)
        squares += fate->mode[m] * fate->mode[m];
    fate->fingers = sqrt(squares);
    return RN_OK;
}

static rn_status measure(rn_circle_fate *fate, const rn_circle *circle, double last, rn_error *err)
{
    double radius[BEARINGS], x, y;
    int missing = 0;
    for (int j = 0; j < circle->count; j++)
        missing += gone(circle, j);
    *fate = lost(circle, missing);
    if (circle->count < RN_CIRCLE_POINTS || missing > RN_CIRCLE_MISSING * circle->count ||
        !centre_of_area(&x, &y, circle) || !radius_around(radius, circle, x, y))
        return RN_OK;
    fate->lost = false;
    fate->drift_x = x - circle->cx;
    fate->drift_y = y - circle->cy;
    fate->twist = twist_of(circle, x, y, last);
    rn_status status = spectrum(fate, radius, err);
    if (status == RN_OK && radius_around(radius, circle, circle->cx, circle->cy)) {
        double amplitude[2], phase[2];
        status = rn_spectral_modes(amplitude, phase, 1, radius, BEARINGS, err);
        fate->off_centre = status == RN_OK ? amplitude[1] : NAN;
    }
    return status;
}

rn_status rn_circle_measure(rn_circle_fate *fates, const rn_circle *circles, int count, rn_error *err)
{
    double last = 0;
    rn_status status = RN_OK;
    for (int c = 0; status == RN_OK && c < count; c++) {
        status = measure(&fates[c], &circles[c], last, err);
        if (status == RN_OK && !fates[c].lost)
            last = fates[c].twist;
    }
    return status;
}
