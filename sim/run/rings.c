#include "run/rings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "run/walk.h"

#define NO_PAINT (-1)

/* Bands as they are met along one bearing. */
typedef struct tally {
    rn_ring_band *bands;
    int count, room;
    rn_ring_band open; /* begun and not yet ended; paint NO_PAINT: none */
    bool rough;        /* it began beside other paint or a fold, where edges are only known to half a point */
    double finest;     /* with a rough end, less than this is a jag and no band [m] */
} tally;

/* Too thin to be seen, or a jag without a width of its own: no band. */
static bool close_band(tally *t, double at, bool whole, bool rough)
{
    if (t->open.paint == NO_PAINT)
        return true;
    if (at - t->open.from < (rough || t->rough ? t->finest : RN_MUD_WIDTH)) {
        t->open.paint = NO_PAINT;
        return true;
    }
    if (t->count == t->room) {
        const int room = t->room ? 2 * t->room : 64;
        rn_ring_band *bands = realloc(t->bands, (size_t)room * sizeof *bands);
        if (!bands)
            return false;
        t->bands = bands;
        t->room = room;
    }
    t->open.to = at;
    t->open.whole = t->open.whole && whole;
    t->bands[t->count++] = t->open;
    t->open.paint = NO_PAINT;
    return true;
}

/* From here on that paint is seen. */
static bool turn_to(tally *t, double at, int paint, bool rough)
{
    if (paint == t->open.paint)
        return true;
    if (!close_band(t, at, true, rough))
        return false;
    rn_ring_band *last = t->count > 0 ? &t->bands[t->count - 1] : NULL;
    if (last && paint != NO_PAINT && last->paint == paint && at - last->to < t->finest) {
        t->open = *last; /* it goes on beyond what is not seen */
        t->count--;
    } else {
        t->open = (rn_ring_band){.from = at, .paint = paint, .whole = true};
    }
    t->rough = rough;
    return true;
}

/* All edges between two footings on one smooth slope. */
static bool cross_edges(tally *t, const rn_walk *walk, double from, double to, double v0, double v1)
{
    const int last = rn_strata_band(walk->pour, v1);
    bool good = true;
    for (int band = rn_strata_band(walk->pour, v0); good && band != last;) {
        double begin, end;
        rn_strata_band_range(&begin, &end, walk->pour, band);
        const double edge = last > band ? end : begin;
        band += last > band ? 1 : -1;
        const double share = v1 != v0 ? fmin(fmax((edge - v0) / (v1 - v0), 0.0), 1.0) : 0.5;
        good = turn_to(t, from + share * (to - from), rn_walk_paint(walk, band), false);
    }
    return good;
}

static int paint_under(const rn_walk *walk, rn_footing footing)
{
    return footing.ours ? rn_walk_paint(walk, rn_strata_band(walk->pour, footing.released)) : NO_PAINT;
}

/* Distance from the centre to the edge of the panel. */
static double reach_of(const rn_walk *walk, const rn_panel *panel, double c, double s)
{
    if (panel->round) {
        const double along = walk->x * c + walk->y * s, radius = 0.5 * panel->width;
        const double rest = radius * radius - walk->x * walk->x - walk->y * walk->y + along * along;
        return rest > 0 ? fmax(sqrt(rest) - along, 0.0) : 0.0;
    }
    const double x = fabs(c) > 1e-12 ? (copysign(0.5 * panel->width, c) - walk->x) / c : INFINITY;
    const double y = fabs(s) > 1e-12 ? (copysign(0.5 * panel->height, s) - walk->y) / s : INFINITY;
    return fmax(fmin(x, y), 0.0);
}

static bool walk_out(tally *t, const rn_walk *walk, double bearing, double reach)
{
    const double c = cos(bearing), s = sin(bearing);
    rn_footing here = rn_walk_look(walk, walk->x, walk->y);
    t->open = (rn_ring_band){.from = 0, .paint = paint_under(walk, here), .whole = false};
    bool good = true;
    double at = 0;
    for (long n = 1; good && at < reach; n++) {
        const double next = fmin((double)n * walk->step, reach);
        const double inside = fmin(next, reach * (1 - 1e-12)); /* the very edge still counts as on the panel */
        const rn_footing there = rn_walk_look(walk, walk->x + inside * c, walk->y + inside * s);
        if (here.smooth && there.smooth)
            good = cross_edges(t, walk, at, next, here.released, there.released);
        else
            good = turn_to(t, 0.5 * (at + next), paint_under(walk, there), true);
        here = there;
        at = next;
    }
    return good && close_band(t, reach, false, false);
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static rn_ring_widths widths_of(double *widths, int count)
{
    if (count == 0)
        return (rn_ring_widths){0, NAN, NAN, NAN};
    qsort(widths, (size_t)count, sizeof *widths, by_size);
    const double median = 0.5 * (widths[(count - 1) / 2] + widths[count / 2]);
    return (rn_ring_widths){count, widths[0], median, widths[count - 1]};
}

static int collect(double *widths, const rn_ring_bearing *bearing)
{
    int count = 0;
    for (int b = 0; b < bearing->count; b++)
        if (bearing->bands[b].whole)
            widths[count++] = bearing->bands[b].to - bearing->bands[b].from;
    return count;
}

static bool sum_up(rn_rings *rings)
{
    int total = 0, count = 0;
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        total += rings->bearings[k].count;
    double *widths = malloc(((size_t)total + 1) * sizeof *widths);
    if (!widths)
        return false;
    for (int k = 0; k < RN_RING_BEARINGS; k++) {
        rn_ring_bearing *bearing = &rings->bearings[k];
        bearing->widths = widths_of(widths, collect(widths, bearing));
    }
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        count += collect(widths + count, &rings->bearings[k]);
    rings->all = widths_of(widths, count);
    free(widths);
    return true;
}

rn_status rn_rings_measure(rn_rings *rings, const rn_strata *strata, const rn_plan *plan, int pour, rn_error *err)
{
    const rn_walk walk = rn_walk_make(strata, plan, pour);
    rn_rings made = {.pour = pour, .x = walk.x, .y = walk.y};
    bool good = true;
    for (int k = 0; good && k < RN_RING_BEARINGS; k++) {
        rn_ring_bearing *bearing = &made.bearings[k];
        bearing->bearing = 2 * RN_PI * k / RN_RING_BEARINGS;
        bearing->reach = reach_of(&walk, &plan->panel, cos(bearing->bearing), sin(bearing->bearing));
        tally t = {.finest = fmax(6 * walk.step, RN_MUD_WIDTH)};
        good = walk_out(&t, &walk, bearing->bearing, bearing->reach);
        bearing->bands = t.bands;
        bearing->count = t.count;
    }
    if (!good || !sum_up(&made)) {
        rn_rings_clear(&made);
        return rn_fail(err, RN_E_MEMORY, "no memory left to measure the rings");
    }
    *rings = made;
    return RN_OK;
}

void rn_rings_clear(rn_rings *rings)
{
    for (int k = 0; k < RN_RING_BEARINGS; k++)
        free(rings->bearings[k].bands);
    memset(rings, 0, sizeof *rings);
}

/* Points of one pour where its bands are thinner than `width`. */
static long count_mud(const rn_walk *walk, double width)
{
    const rn_strata *strata = walk->strata;
    const long face = rn_strata_plane(strata, strata->planes - 1);
    long mud = 0;
    for (int j = 0; j < strata->ny; j++)
        for (int i = 0; i < strata->nx; i++) {
            const long point = face + (long)j * strata->nx + i;
            if (strata->pour[point] != walk->number || strata->paint[point] == RN_PAINT_NONE)
                continue;
            int ends;
            const double range =
                rn_walk_visible(&ends, walk, rn_strata_band(walk->pour, (double)strata->released[point]));
            mud += ends > 0 && range < width * rn_walk_slope(walk, i, j); /* false for a NaN */
        }
    return mud;
}

double rn_rings_mud(const rn_strata *strata, const rn_plan *plan, double width)
{
    const long face = rn_strata_plane(strata, strata->planes - 1), points = (long)strata->nx * strata->ny;
    long wet = 0, mud = 0;
    for (long k = 0; k < points; k++)
        wet += strata->paint[face + k] != RN_PAINT_NONE;
    for (int pour = 0; pour < plan->pour_count; pour++) {
        const rn_walk walk = rn_walk_make(strata, plan, pour);
        mud += count_mud(&walk, width);
    }
    return wet > 0 ? (double)mud / (double)wet : 0.0;
}
