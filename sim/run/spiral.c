#include "run/spiral.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "film/spectral.h"
#include "run/walk.h"

#define SLOPE_MOST (2 * RN_PI * 30) /* steeper spirals are not looked for: 3 turns a decimetre [rad/m] */
#define SLOPE_STEP 0.1              /* of the phase over all rings, between two slopes that are tried [rad] */
#define TURN_COST 0.02              /* accord that a whole turn over the rings must be worth */
#define ACCORD_LEAST 0.7            /* phases that accord less lie on no line */

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

/* How well the phases lie on a line of that slope: 1 if they all do, each counting by its ring's shift. */
static double accord(const rn_spiral *spiral, double slope)
{
    double x = 0, y = 0, all = 0;
    for (int k = 0; k < spiral->complete; k++) {
        const rn_ring_curve *curve = &spiral->curves[k];
        if (!curve->used)
            continue;
        x += curve->shift * cos(curve->phase - slope * curve->radius);
        y += curve->shift * sin(curve->phase - slope * curve->radius);
        all += curve->shift;
    }
    return all > 0 ? hypot(x, y) / all : 0;
}

/* Accord less a little for every turn over the rings: phases know no whole turns, so few rings fit many slopes. */
static double merit(const rn_spiral *spiral, double slope, double range)
{
    return accord(spiral, slope) - TURN_COST * fabs(slope) * range / (2 * RN_PI);
}

/* The slope of most accord between two, by golden section. */
static double refine(const rn_spiral *spiral, double low, double high)
{
    const double part = 0.6180339887498949;
    for (int k = 0; k < 60; k++) {
        const double a = high - part * (high - low), b = low + part * (high - low);
        if (accord(spiral, a) < accord(spiral, b))
            low = a;
        else
            high = b;
    }
    return 0.5 * (low + high);
}

/* The slope of phase over radius with which the rings accord best. */
static void fit(rn_spiral *spiral)
{
    double least = INFINITY, most = -INFINITY, best = 0, slope = 0;
    for (int k = 0; k < spiral->complete; k++) {
        const rn_ring_curve *curve = &spiral->curves[k];
        if (!curve->used)
            continue;
        least = fmin(least, curve->radius);
        most = fmax(most, curve->radius);
        spiral->used++;
    }
    const double range = most - least;
    if (spiral->used < RN_SPIRAL_RINGS || !(range > 0))
        return;
    const double step = SLOPE_STEP / range;
    for (double b = -SLOPE_MOST; b <= SLOPE_MOST; b += step)
        if (merit(spiral, b, range) > best) {
            best = merit(spiral, b, range);
            slope = b;
        }
    slope = refine(spiral, slope - step, slope + step);
    if (accord(spiral, slope) < ACCORD_LEAST || fabs(slope * range) < RN_SPIRAL_TURN)
        return;
    spiral->turn = slope;
    spiral->turned = slope * range;
    spiral->hand = slope > 0 ? RN_HAND_COUNTER_CLOCKWISE : RN_HAND_CLOCKWISE;
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
    fit(&made);
    *spiral = made;
    return RN_OK;
}

double rn_spiral_per_decimetre(const rn_spiral *spiral)
{
    return spiral->turn * 0.1 / (2 * RN_PI);
}
