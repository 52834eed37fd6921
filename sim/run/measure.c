#include "run/measure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"

/* Cells of one corner with the share of each that lies in it. */
typedef struct corner_cell {
    int i, j;
    double weight;
} corner_cell;

typedef struct corner {
    int count;
    corner_cell *cells;
    double weight;
} corner;

struct rn_measure {
    rn_grid grid;
    double cover;
    long inside_count;
    int *row_from, *row_to; /* cells of the face in each row */
    float *arrival;
    corner corners[RN_CORNERS];
};

const char *const rn_side_names[RN_SIDES] = {"front", "right", "back", "left"};
const char *const rn_corner_names[RN_CORNERS] = {"back left", "back right", "front right", "front left"};

const int rn_corner_x[RN_CORNERS] = {-1, 1, 1, -1}, rn_corner_y[RN_CORNERS] = {1, 1, -1, -1};

static double overlap(double centre, double size, double from, double to)
{
    double low = fmax(centre - 0.5 * size, from), high = fmin(centre + 0.5 * size, to);
    return high > low ? (high - low) / size : 0;
}

/* Share of cell (i, j) in corner c. */
static double share_in_corner(const rn_grid *grid, const rn_panel *panel, int c, int i, int j)
{
    double x = rn_grid_x(grid, i) * rn_corner_x[c], y = rn_grid_y(grid, j) * rn_corner_y[c];
    if (panel->round) {
        bool in_quarter = x > 0 && y > 0;
        return in_quarter && hypot(x, y) > 0.5 * panel->width - RN_CORNER_SIZE ? 1 : 0;
    }
    double half_width = 0.5 * panel->width, half_height = 0.5 * panel->height;
    return overlap(x, grid->dx, half_width - RN_CORNER_SIZE, half_width) *
           overlap(y, grid->dy, half_height - RN_CORNER_SIZE, half_height);
}

static bool find_corner(corner *found, const rn_measure *measure, const rn_panel *panel, int c)
{
    const rn_grid *grid = &measure->grid;
    int size = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = measure->row_from[j]; i < measure->row_to[j]; i++) {
            double weight = share_in_corner(grid, panel, c, i, j);
            if (!(weight > 0))
                continue;
            if (found->count == size) {
                size = size ? 2 * size : 16;
                corner_cell *more = realloc(found->cells, (size_t)size * sizeof *more);
                if (!more)
                    return false;
                found->cells = more;
            }
            found->cells[found->count++] = (corner_cell){i, j, weight};
            found->weight += weight;
        }
    return true;
}

rn_status rn_measure_new(rn_measure **measure, const rn_panel *panel, const rn_grid *grid, const bool *inside,
                         double cover, rn_error *err)
{
    rn_measure *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to measure the film");
    made->grid = *grid;
    made->cover = cover;
    long cells = (long)grid->nx * grid->ny;
    made->row_from = calloc((size_t)grid->ny, sizeof *made->row_from);
    made->row_to = calloc((size_t)grid->ny, sizeof *made->row_to);
    made->arrival = malloc((size_t)cells * sizeof *made->arrival);
    bool whole = made->row_from && made->row_to && made->arrival;
    for (int j = 0; whole && j < grid->ny; j++) {
        int from = 0, to = grid->nx;
        while (from < to && !inside[(long)j * grid->nx + from])
            from++;
        while (to > from && !inside[(long)j * grid->nx + to - 1])
            to--;
        made->row_from[j] = from;
        made->row_to[j] = to;
        made->inside_count += to - from;
    }
    for (long at = 0; whole && at < cells; at++)
        made->arrival[at] = INFINITY;
    for (int c = 0; whole && c < RN_CORNERS; c++)
        whole = find_corner(&made->corners[c], made, panel, c);
    if (!whole) {
        rn_measure_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory to measure the film");
    }
    *measure = made;
    return RN_OK;
}

void rn_measure_free(rn_measure *measure)
{
    if (!measure)
        return;
    for (int c = 0; c < RN_CORNERS; c++)
        free(measure->corners[c].cells);
    free(measure->row_from);
    free(measure->row_to);
    free(measure->arrival);
    free(measure);
}

static double corner_depth(const corner *region, const double *depth, long stride)
{
    double sum = 0;
    for (int k = 0; k < region->count; k++)
        sum += region->cells[k].weight * depth[region->cells[k].j * stride + region->cells[k].i];
    return region->weight > 0 ? sum / region->weight : 0;
}

/* Counts the covered cells of a row and notes the new ones' arrival. */
static int look_along(float *restrict arrival, const double *restrict h, double cover, float now, int n)
{
    int covered = 0;
    for (int i = 0; i < n; i++) {
        covered += h[i] >= cover;
        float first = arrival[i] < now ? arrival[i] : now;
        arrival[i] = h[i] >= cover ? first : arrival[i];
    }
    return covered;
}

rn_look rn_measure_look(rn_measure *measure, const double *depth, long stride, double t)
{
    const rn_grid *grid = &measure->grid;
    long covered = 0;
    for (int j = 0; j < grid->ny; j++) {
        int from = measure->row_from[j];
        covered += look_along(measure->arrival + (long)j * grid->nx + from, depth + j * stride + from, measure->cover,
                              (float)t, measure->row_to[j] - from);
    }
    rn_look look = {.coverage = (double)covered / (double)measure->inside_count};
    for (int c = 0; c < RN_CORNERS; c++)
        look.corner[c] = corner_depth(&measure->corners[c], depth, stride);
    return look;
}

void rn_measure_extent(double *deepest, double *wet_area, const rn_measure *measure, const double *depth, long stride)
{
    long wet = 0;
    *deepest = 0;
    for (int j = 0; j < measure->grid.ny; j++)
        for (int i = measure->row_from[j]; i < measure->row_to[j]; i++) {
            double h = depth[j * stride + i];
            wet += h > RN_WET_DEPTH;
            *deepest = h > *deepest ? h : *deepest;
        }
    *wet_area = (double)wet / (double)measure->inside_count;
}

const float *rn_measure_arrival(const rn_measure *measure)
{
    return measure->arrival;
}

void rn_measure_set_arrival(rn_measure *measure, const float *arrival)
{
    memcpy(measure->arrival, arrival, (size_t)measure->grid.nx * (size_t)measure->grid.ny * sizeof *arrival);
}
