/* With G = d(x0, y0)/d(x, y), the deformation gradient is F = G^-1. A circle becomes an ellipse whose axes are the
   singular values of F, s1 >= s2: those of G are 1/s2 and 1/s1. For a matrix (a b; c d), with

     p = hypot(a + d, c - b),   q = hypot(a - d, b + c)

   they are (p + q)/2 and |p - q|/2, and p - q has the sign of the determinant. The longer axis lies across the
   direction in which G^T G is greatest, at the angle 1/2 atan2(2 (ab + cd), a^2 + c^2 - b^2 - d^2). */
#include "run/stretch.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"

#define SEAM 4.0    /* times the leap on the other side, and times the distance of the points */
#define CLOSED 1e-3 /* an axis that has shrunk to so little of the other has closed up */

/* Difference of the earlier places of two points; false unless both are known. */
static bool leap(double *x, double *y, const rn_past_face *past, long from, long to)
{
    *x = (double)past->x0[to] - (double)past->x0[from];
    *y = (double)past->y0[to] - (double)past->y0[from];
    return past->known[from] && past->known[to];
}

/* Derivatives of x0 and y0 along one direction; false where no neighbour is known. Across a seam, where paint from two
   places has met, there is none: then the side that leaps less is taken. */
static bool differ(double *dx0, double *dy0, const rn_past_face *past, long point, long stride, int at, int count,
                   int reach, double spacing)
{
    const long step = reach * stride;
    double x1 = 0, y1 = 0, x2 = 0, y2 = 0;
    bool before = at >= reach && leap(&x1, &y1, past, point - step, point);
    bool after = at + reach < count && leap(&x2, &y2, past, point, point + step);
    if (before && after) {
        const double first = hypot(x1, y1), second = hypot(x2, y2);
        const bool seam = fmax(first, second) > SEAM * fmin(first, second) && fmax(first, second) > SEAM * spacing;
        before = !seam || first < second;
        after = !seam || second <= first;
    }
    if (!before && !after)
        return false;
    const double length = spacing * reach * (before + after);
    *dx0 = ((before ? x1 : 0) + (after ? x2 : 0)) / length;
    *dy0 = ((before ? y1 : 0) + (after ? y2 : 0)) / length;
    return true;
}

static int reach_of(double spacing)
{
    const double points = round(RN_STRETCH_DISTANCE / spacing);
    return points > 1 ? (int)points : 1;
}

/* Fills in one point if it is known. */
static void measure_point(rn_stretch *stretch, const rn_past_face *past, int i, int j)
{
    const double dx = past->width / past->nx, dy = past->height / past->ny;
    const long point = (long)j * past->nx + i;
    double a, b, c, d;
    stretch->ratio[point] = stretch->longest[point] = stretch->shortest[point] = stretch->direction[point] = NAN;
    if (!past->known[point] || !differ(&a, &c, past, point, 1, i, past->nx, reach_of(dx), dx) ||
        !differ(&b, &d, past, point, past->nx, j, past->ny, reach_of(dy), dy))
        return;
    const double p = hypot(a + d, c - b), q = hypot(a - d, b + c);
    const double greater = 0.5 * (p + q), lesser = 0.5 * (p - q);
    if (!(lesser > CLOSED * greater))
        return;
    const double across = 0.5 * atan2(2 * (a * b + c * d), a * a + c * c - b * b - d * d) + 0.5 * RN_PI;
    stretch->ratio[point] = (float)(greater / lesser);
    stretch->longest[point] = (float)(1 / lesser);
    stretch->shortest[point] = (float)(1 / greater);
    stretch->direction[point] = (float)(across > 0.5 * RN_PI ? across - RN_PI : across);
}

static int by_size(const void *a, const void *b)
{
    const float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

/* How many of the sorted values are beyond a ratio. */
static double share_past(const float *sorted, long count, double ratio)
{
    long low = 0, high = count;
    while (low < high) {
        const long middle = low + (high - low) / 2;
        if ((double)sorted[middle] > ratio)
            high = middle;
        else
            low = middle + 1;
    }
    return (double)(count - low) / (double)count;
}

/* The middle of a point's and its neighbours' ratios; NaN unless all nine are known, or where it cannot be beyond the
   best so far. */
static double middle_of_nine(const rn_stretch *stretch, int i, int j)
{
    float nine[9];
    int count = 0, beyond = 0;
    for (int v = j - 1; v <= j + 1; v++)
        for (int u = i - 1; u <= i + 1; u++) {
            const float ratio = stretch->ratio[(long)v * stretch->nx + u];
            if (isnan(ratio))
                return NAN;
            beyond += !((double)ratio <= stretch->most);
            nine[count++] = ratio;
        }
    if (beyond < 5)
        return NAN;
    qsort(nine, 9, sizeof nine[0], by_size);
    return (double)nine[4];
}

static void find_most(rn_stretch *stretch)
{
    for (int j = 1; j < stretch->ny - 1; j++)
        for (int i = 1; i < stretch->nx - 1; i++) {
            const double middle = middle_of_nine(stretch, i, j);
            if (!isnan(middle) && !(middle <= stretch->most)) {
                stretch->most = middle;
                stretch->most_x = ((i + 0.5) / stretch->nx - 0.5) * stretch->width;
                stretch->most_y = ((j + 0.5) / stretch->ny - 0.5) * stretch->height;
            }
        }
}

static void sum_up(rn_stretch *stretch, float *sorted, const bool *wet)
{
    static const double marks[3] = {1.5, 2, 3};
    const long points = (long)stretch->nx * stretch->ny;
    long count = 0, all = 0;
    for (long k = 0; k < points; k++) {
        all += !wet || wet[k];
        if (!isnan(stretch->ratio[k]))
            sorted[count++] = stretch->ratio[k];
    }
    stretch->known = all > 0 ? (double)count / (double)all : 0.0;
    stretch->past[0] = stretch->past[1] = stretch->past[2] = stretch->past_limit = NAN;
    stretch->median = stretch->high = stretch->most = stretch->most_x = stretch->most_y = NAN;
    if (count == 0)
        return;
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    for (int m = 0; m < 3; m++)
        stretch->past[m] = share_past(sorted, count, marks[m]);
    stretch->past_limit = share_past(sorted, count, stretch->limit);
    stretch->median = (double)sorted[(count - 1) / 2];
    stretch->high = (double)sorted[(count - 1) * 99 / 100];
    find_most(stretch);
}

rn_status rn_stretch_measure(rn_stretch *stretch, const rn_past_face *past, const bool *wet, double limit,
                             rn_error *err)
{
    rn_stretch made = {.nx = past->nx, .ny = past->ny, .width = past->width, .height = past->height, .limit = limit};
    const size_t count = (size_t)past->nx * (size_t)past->ny;
    made.ratio = malloc(count * sizeof *made.ratio);
    made.longest = malloc(count * sizeof *made.longest);
    made.shortest = malloc(count * sizeof *made.shortest);
    made.direction = malloc(count * sizeof *made.direction);
    float *sorted = malloc(count * sizeof *sorted);
    const bool good = made.ratio && made.longest && made.shortest && made.direction && sorted;
    if (good) {
        for (int j = 0; j < past->ny; j++)
            for (int i = 0; i < past->nx; i++)
                measure_point(&made, past, i, j);
        sum_up(&made, sorted, wet);
        *stretch = made;
    } else {
        rn_stretch_clear(&made);
    }
    free(sorted);
    return good ? RN_OK : rn_fail(err, RN_E_MEMORY, "no memory left to measure the stretch");
}

void rn_stretch_clear(rn_stretch *stretch)
{
    free(stretch->ratio);
    free(stretch->longest);
    free(stretch->shortest);
    free(stretch->direction);
    memset(stretch, 0, sizeof *stretch);
}

double rn_stretch_quantile(const rn_stretch *stretch, double share)
{
    const long all = (long)stretch->nx * stretch->ny;
    float *sorted = malloc((size_t)all * sizeof *sorted + 1);
    long count = 0;
    for (long p = 0; sorted && p < all; p++)
        if (!isnan(stretch->ratio[p]))
            sorted[count++] = stretch->ratio[p];
    double found = NAN;
    if (count > 0) {
        qsort(sorted, (size_t)count, sizeof *sorted, by_size);
        found = (double)sorted[(long)(share * (double)(count - 1))];
    }
    free(sorted);
    return found;
}
