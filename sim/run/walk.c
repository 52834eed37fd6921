#include "run/walk.h"

#include <math.h>

/* A leap from one point to the next that is so many times the leaps on either side is a fold, where the face has closed
   over older paint, and no slope. */
#define TORN 4.0

rn_walk rn_walk_make(const rn_strata *strata, const rn_plan *plan, int pour)
{
    rn_walk walk = {.strata = strata, .pour = &plan->pours[pour], .number = pour, .finest = INFINITY};
    rn_place_point(&walk.x, &walk.y, &plan->panel, &walk.pour->at, rn_pour_reach(walk.pour));
    walk.step = 0.25 * fmin(strata->width / strata->nx, strata->height / strata->ny);
    for (int l = 0; l < walk.pour->layer_count; l++)
        walk.finest = fmin(walk.finest, walk.pour->stack[l].volume / walk.pour->repeat);
    return walk;
}

static bool ours(const rn_walk *walk, long point)
{
    const long face = rn_strata_plane(walk->strata, walk->strata->planes - 1);
    return walk->strata->pour[face + point] == walk->number && walk->strata->paint[face + point] != RN_PAINT_NONE;
}

static double released(const rn_walk *walk, long point)
{
    return (double)walk->strata->released[rn_strata_plane(walk->strata, walk->strata->planes - 1) + point];
}

/* Leap between `point` and the next along its row or column, which begins `at` and holds `count`; NaN unless both are
   the pour's. */
static double leap(const rn_walk *walk, long point, long stride, int at, int count)
{
    if (at < 0 || at + 1 >= count || !ours(walk, point) || !ours(walk, point + stride))
        return NAN;
    return fabs(released(walk, point + stride) - released(walk, point));
}

/* True if the four points' paint is the pour's and lies in order between point and point + stride. */
static bool holds(const rn_walk *walk, long point, long stride, int at, int count)
{
    const double here = leap(walk, point, stride, at, count);
    if (isnan(here))
        return false;
    const double around =
        fmax(leap(walk, point - stride, stride, at - 1, count), leap(walk, point + stride, stride, at + 1, count));
    return here <= 0.5 * walk->finest || isnan(around) || here <= TORN * around;
}

static bool smooth(const rn_walk *walk, int i, int j)
{
    const int nx = walk->strata->nx, ny = walk->strata->ny;
    const long point = (long)j * nx + i;
    return holds(walk, point, 1, i, nx) && holds(walk, point + nx, 1, i, nx) && holds(walk, point, nx, j, ny) &&
           holds(walk, point + 1, nx, j, ny);
}

/* Index of the point at or before a place, and how far on it is, 0..1. */
static int cell_of(double *share, double place, double length, int count)
{
    const double at = (place / length + 0.5) * count - 0.5;
    int i = (int)floor(at);
    i = i < 0 ? 0 : i > count - 2 ? count - 2 : i;
    *share = fmin(fmax(at - i, 0.0), 1.0);
    return i;
}

rn_footing rn_walk_look(const rn_walk *walk, double x, double y)
{
    const rn_strata *strata = walk->strata;
    if (fabs(x) > 0.5 * strata->width || fabs(y) > 0.5 * strata->height)
        return (rn_footing){0};
    double u, v;
    const int i = cell_of(&u, x, strata->width, strata->nx), j = cell_of(&v, y, strata->height, strata->ny);
    const long point = (long)j * strata->nx + i, above = point + strata->nx;
    rn_footing footing = {.on_panel = true, .smooth = smooth(walk, i, j)};
    if (footing.smooth) {
        footing.ours = true;
        footing.released = (1 - v) * ((1 - u) * released(walk, point) + u * released(walk, point + 1)) +
                           v * ((1 - u) * released(walk, above) + u * released(walk, above + 1));
        return footing;
    }
    const long nearest = (v < 0.5 ? point : above) + (u < 0.5 ? 0 : 1);
    footing.ours = ours(walk, nearest);
    footing.released = footing.ours ? released(walk, nearest) : 0.0;
    return footing;
}

/* One direction's part of the slope: both sides' mean, or the gentler side's where a fold lies to the other. */
static double slope_along(const rn_walk *walk, long point, long stride, int at, int count, double spacing)
{
    const double before = leap(walk, point - stride, stride, at - 1, count);
    const double after = leap(walk, point, stride, at, count);
    if (isnan(before) || isnan(after))
        return fmin(before, after) / spacing; /* fmin passes over a NaN */
    const double least = fmin(before, after), most = fmax(before, after);
    const bool fold = most > 0.5 * walk->finest && most > TORN * least;
    return (fold ? least : 0.5 * (before + after)) / spacing;
}

double rn_walk_slope(const rn_walk *walk, int i, int j)
{
    const rn_strata *strata = walk->strata;
    const long point = (long)j * strata->nx + i;
    const double across = slope_along(walk, point, 1, i, strata->nx, strata->width / strata->nx);
    const double along = slope_along(walk, point, strata->nx, j, strata->ny, strata->height / strata->ny);
    return hypot(across, along);
}

int rn_walk_paint(const rn_walk *walk, int band)
{
    return walk->pour->stack[band % walk->pour->layer_count].paint;
}

double rn_walk_visible(int *ends, const rn_walk *walk, int band)
{
    const int count = walk->pour->layer_count * walk->pour->repeat, paint = rn_walk_paint(walk, band);
    int first = band, last = band;
    while (first > 0 && rn_walk_paint(walk, first - 1) == paint)
        first--;
    while (last < count - 1 && rn_walk_paint(walk, last + 1) == paint)
        last++;
    double from, to, unused;
    rn_strata_band_range(&from, &unused, walk->pour, first);
    rn_strata_band_range(&unused, &to, walk->pour, last);
    *ends = (first > 0) + (last < count - 1);
    return to - from;
}
