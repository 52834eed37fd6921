#include "run/spiral.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "film/spectral.h"
#include "run/walk.h"

/* Bearings by edges: distance of the outermost crossing, NaN where there is none. */
typedef struct fan {
    int edges;
    double released[RN_CURVES_MOST]; /* rising */
    double *radius;                  /* edges * RN_CURVE_BEARINGS */
} fan;

/* The edges between the bands of a pour; evenly picked where they are more than fit. */
static void pick_edges(fan *f, const rn_pour *pour)
{
    const int all = pour->layer_count * pour->repeat - 1;
    f->edges = all < RN_CURVES_MOST ? all : RN_CURVES_MOST;
    for (int e = 0; e < f->edges; e++) {
        double from;
        const long band = all <= RN_CURVES_MOST ? e : ((2L * e + 1) * all) / (2L * RN_CURVES_MOST);
        rn_strata_band_range(&from, &f->released[e], pour, (int)band);
    }
}

/* Walks out along one bearing; later crossings write over earlier ones. */
static void walk_out(fan *f, const rn_walk *walk, int bearing)
{
    const double angle = 2 * RN_PI * bearing / RN_CURVE_BEARINGS, c = cos(angle), s = sin(angle);
    rn_footing here = rn_walk_look(walk, walk->x, walk->y);
    for (long n = 1;; n++) {
        const double at = (double)n * walk->step;
        const rn_footing there = rn_walk_look(walk, walk->x + at * c, walk->y + at * s);
        if (!there.on_panel)
            return;
        const double v0 = here.released, v1 = there.released;
        for (int e = 0; here.smooth && there.smooth && e < f->edges; e++)
            if ((v0 < f->released[e]) != (v1 < f->released[e]))
                f->radius[e * RN_CURVE_BEARINGS + bearing] = at - walk->step * (v1 - f->released[e]) / (v1 - v0);
        here = there;
    }
}

/* Bridges what is out of sight, from the last bearing in sight to the next; false if that is too much. */
static bool bridge(double *radius)
{
    int missing = 0, first = -1;
    for (int b = 0; b < RN_CURVE_BEARINGS; b++) {
        missing += isnan(radius[b]);
        if (first < 0 && !isnan(radius[b]))
            first = b;
    }
    if (missing > RN_CURVE_MISSING * RN_CURVE_BEARINGS)
        return false;
    for (int n = 0; n < RN_CURVE_BEARINGS;) { /* from one in sight all the way round to it again */
        const double from = radius[(first + n) % RN_CURVE_BEARINGS];
        int gap = 1;
        while (isnan(radius[(first + n + gap) % RN_CURVE_BEARINGS]))
            gap++;
        const double to = radius[(first + n + gap) % RN_CURVE_BEARINGS];
        for (int k = 1; k < gap; k++)
            radius[(first + n + k) % RN_CURVE_BEARINGS] = from + (to - from) * k / gap;
        n += gap;
    }
    return true;
}

static rn_status read_curve(rn_ring_curve *curve, double *radius, rn_error *err)
{
    if (!bridge(radius)) {
        curve->radius = curve->shift = curve->phase = NAN;
        return RN_OK;
    }
    double amplitude[2], phase[2];
    const rn_status status = rn_spectral_modes(amplitude, phase, 1, radius, RN_CURVE_BEARINGS, err);
    curve->complete = true;
    curve->radius = amplitude[0];
    curve->shift = amplitude[1];
    curve->phase = phase[1];
    curve->used = curve->shift >= RN_SPIRAL_SHIFT;
    return status;
}

static double nearest_turn(double angle, double to)
{
    return angle + 2 * RN_PI * round((to - angle) / (2 * RN_PI));
}

static int by_radius(const void *a, const void *b)
{
    const rn_ring_curve *p = a, *q = b;
    if (p->complete != q->complete)
        return p->complete ? -1 : 1;
    const double x = p->complete ? p->radius : p->released, y = p->complete ? q->radius : q->released;
    return (x > y) - (x < y);
}

typedef struct slope {
    double value, weight;
} slope;

static int by_value(const void *a, const void *b)
{
    const slope *p = a, *q = b;
    return (p->value > q->value) - (p->value < q->value);
}

/* Where half of the weight lies to either side. */
static double weighted_median(slope *slopes, int count)
{
    double total = 0, below = 0;
    qsort(slopes, (size_t)count, sizeof *slopes, by_value);
    for (int k = 0; k < count; k++)
        total += slopes[k].weight;
    for (int k = 0; k < count; k++) {
        below += slopes[k].weight;
        if (below >= 0.5 * total)
            return slopes[k].value;
    }
    return 0;
}

/* The slope of phase over radius from all pairs of rings. False if no memory. */
static bool fit(rn_spiral *spiral)
{
    double least = INFINITY, most = -INFINITY;
    int count = 0;
    slope *slopes = malloc(RN_CURVES_MOST * (RN_CURVES_MOST - 1) / 2 * sizeof *slopes);
    if (!slopes)
        return false;
    for (int a = 0; a < spiral->complete; a++) {
        const rn_ring_curve *p = &spiral->curves[a];
        for (int b = a + 1; p->used && b < spiral->complete; b++) {
            const rn_ring_curve *q = &spiral->curves[b];
            if (q->used && q->radius > p->radius)
                slopes[count++] = (slope){(q->phase - p->phase) / (q->radius - p->radius),
                                          p->shift * q->shift * (q->radius - p->radius)};
        }
        least = p->used ? fmin(least, p->radius) : least;
        most = p->used ? fmax(most, p->radius) : most;
        spiral->used += p->used;
    }
    const double turn = weighted_median(slopes, count);
    free(slopes);
    if (spiral->used >= RN_SPIRAL_RINGS && fabs(turn * (most - least)) >= RN_SPIRAL_TURN) {
        spiral->turn = turn;
        spiral->turned = turn * (most - least);
        spiral->hand = turn > 0 ? RN_HAND_COUNTER_CLOCKWISE : RN_HAND_CLOCKWISE;
    }
    return true;
}

/* Each used ring's phase nearest to that of the used ring within. */
static void unwrap(rn_spiral *spiral)
{
    double last = NAN;
    for (int k = 0; k < spiral->complete; k++) {
        rn_ring_curve *curve = &spiral->curves[k];
        if (!isnan(last))
            curve->phase = nearest_turn(curve->phase, last);
        if (curve->used)
            last = curve->phase;
    }
}

rn_status rn_spiral_measure(rn_spiral *spiral, const rn_strata *strata, const rn_plan *plan, int pour,
                            const double centre[2], rn_error *err)
{
    rn_walk walk = rn_walk_make(strata, plan, pour);
    if (centre) {
        walk.x = centre[0];
        walk.y = centre[1];
    }
    rn_spiral made = {.pour = pour, .x = walk.x, .y = walk.y};
    fan f = {0};
    pick_edges(&f, walk.pour);
    const int cells = f.edges * RN_CURVE_BEARINGS;
    f.radius = malloc(((size_t)cells + 1) * sizeof *f.radius);
    if (!f.radius)
        return rn_fail(err, RN_E_MEMORY, "no memory left to follow the rings");
    for (int k = 0; k < cells; k++)
        f.radius[k] = NAN;
    for (int b = 0; b < RN_CURVE_BEARINGS; b++)
        walk_out(&f, &walk, b);
    rn_status status = RN_OK;
    made.count = f.edges;
    for (int e = 0; status == RN_OK && e < f.edges; e++) {
        made.curves[e].released = f.released[e];
        status = read_curve(&made.curves[e], &f.radius[e * RN_CURVE_BEARINGS], err);
        made.complete += made.curves[e].complete;
    }
    free(f.radius);
    if (status != RN_OK)
        return status;
    qsort(made.curves, (size_t)made.count, sizeof *made.curves, by_radius);
    unwrap(&made);
    if (!fit(&made))
        return rn_fail(err, RN_E_MEMORY, "no memory left to fit the spiral");
    *spiral = made;
    return RN_OK;
}

double rn_spiral_per_decimetre(const rn_spiral *spiral)
{
    return spiral->turn * 0.1 / (2 * RN_PI);
}
