#include "run/colours.h"

#include <math.h>
#include <stdlib.h>

#include "film/flow.h"

#define COLUMNS (1 + RN_SIDES) /* the face, then the edges */
#define FIT_ROUNDS 2000
#define FIT_GOOD 1e-14
#define LITTLE 1e-9 /* share of all paint that a paint is given on the face where no trace has found any */

typedef struct ledger {
    double volume[RN_PAINTS_MOST][COLUMNS]; /* traced [m3] */
    double corner[RN_CORNERS][RN_PAINTS_MOST];
} ledger;

double rn_colours_fit(double *table, int rows, int columns, const double *row_sums, const double *column_sums)
{
    double whole = 0, error = 0;
    for (int r = 0; r < rows; r++)
        whole += row_sums[r];
    for (int round = 0; round < FIT_ROUNDS && whole > 0; round++) {
        error = 0;
        for (int r = 0; r < rows; r++) {
            double sum = 0;
            for (int c = 0; c < columns; c++)
                sum += table[r * columns + c];
            error = fmax(error, fabs(sum - row_sums[r]) / whole);
            for (int c = 0; c < columns && sum > 0; c++)
                table[r * columns + c] *= row_sums[r] / sum;
        }
        for (int c = 0; c < columns; c++) {
            double sum = 0;
            for (int r = 0; r < rows; r++)
                sum += table[r * columns + c];
            for (int r = 0; r < rows && sum > 0; r++)
                table[r * columns + c] *= column_sums[c] / sum;
        }
        if (error < FIT_GOOD)
            break;
    }
    return error;
}

/* Evenly spread numbers in 0..1, each pair of places another one: the plastic number's sequence [roberts2018]. */
static double spread(long a, long b)
{
    const double u = 0.7548776662466927 * (double)a + 0.5698402909980532 * (double)b + 0.5;
    return u - floor(u);
}

static bool in_corner(const rn_panel *panel, int c, double x, double y)
{
    x *= rn_corner_x[c];
    y *= rn_corner_y[c];
    if (panel->round)
        return x > 0 && y > 0 && hypot(x, y) > 0.5 * panel->width - RN_COLOUR_CORNER;
    return x > 0.5 * panel->width - RN_COLOUR_CORNER && y > 0.5 * panel->height - RN_COLOUR_CORNER;
}

/* One level of the film: a point in each cell, at a depth of its own within the level. */
static rn_status trace_level(ledger *found, rn_tracers *points, long *cells, int level, int levels, const rn_past *past,
                             const rn_still *still, rn_team *team, rn_error *err)
{
    const rn_grid *grid = &still->grid;
    rn_tracers wet = *points;
    wet.count = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            const long cell = (long)j * grid->nx + i;
            if (!still->inside[cell] || !(still->depth[cell] > 0))
                continue;
            wet.x[wet.count] = (float)rn_grid_x(grid, i);
            wet.y[wet.count] = (float)rn_grid_y(grid, j);
            wet.sigma[wet.count] = (float)((level + spread(i, j)) / levels);
            wet.source[wet.count] = RN_FROM_NOWHERE;
            cells[wet.count++] = cell;
        }
    rn_status status = rn_layers_trace(&wet, &past->layers, still->moment.time, 0, team, err);
    for (long p = 0; status == RN_OK && p < wet.count; p++) {
        const double volume = still->depth[cells[p]] * grid->dx * grid->dy / levels;
        const int paint = rn_past_paint(NULL, past, &wet, p);
        if (paint == RN_PAINT_NONE)
            continue;
        const double x = rn_grid_x(grid, (int)(cells[p] % grid->nx)), y = rn_grid_y(grid, (int)(cells[p] / grid->nx));
        found->volume[paint][0] += volume;
        for (int c = 0; c < RN_CORNERS; c++)
            if (in_corner(&past->plan->panel, c, x, y))
                found->corner[c][paint] += volume;
    }
    return status;
}

static rn_status trace_face_and_depths(ledger *found, int levels, const rn_past *past, const rn_still *still,
                                       rn_team *team, rn_error *err)
{
    const long count = (long)still->grid.nx * still->grid.ny;
    rn_tracers points;
    rn_status status = rn_tracers_init(&points, count, err);
    if (status != RN_OK)
        return status;
    long *cells = malloc((size_t)count * sizeof *cells);
    if (!cells)
        status = rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    for (int level = 0; status == RN_OK && level < levels; level++)
        status = trace_level(found, &points, cells, level, levels, past, still, team, err);
    free(cells);
    rn_tracers_clear(&points);
    return status;
}

/* Every interval's spill at every place of the rim is one point, at a depth drawn by the share of the flux. */
static long count_spills(const rn_history *history, int last)
{
    const rn_spill_place *places;
    const int place_count = rn_history_places(&places, history);
    long count = 0;
    for (int k = 0; k <= last; k++) {
        const float *spill = rn_history_spill(history, k);
        for (int f = 0; spill && f < place_count; f++)
            count += spill[f] > 0;
    }
    return count;
}

static rn_status trace_spills(ledger *found, const rn_past *past, double until, rn_team *team, rn_error *err)
{
    const rn_history *history = past->layers.history;
    const int last = rn_history_find(history, until);
    const rn_spill_place *places;
    const int place_count = rn_history_places(&places, history);
    const long count = count_spills(history, last);
    if (count == 0)
        return RN_OK;
    rn_tracers points;
    rn_status status = rn_tracers_init(&points, count, err);
    if (status != RN_OK)
        return status;
    int *interval = malloc((size_t)count * sizeof *interval), *place = malloc((size_t)count * sizeof *place);
    if (!interval || !place)
        status = rn_fail(err, RN_E_MEMORY, "no memory to trace what ran off");
    long p = 0;
    for (int k = last; k >= 0 && status == RN_OK; k--) {
        const float *spill = rn_history_spill(history, k);
        for (int f = 0; spill && f < place_count; f++) {
            if (!(spill[f] > 0))
                continue;
            points.x[p] = places[f].x;
            points.y[p] = places[f].y;
            points.sigma[p] = (float)rn_flow_height_of(spread(k, f), history, past->layers.power, k,
                                                       (double)places[f].x, (double)places[f].y);
            interval[p] = k;
            place[p++] = f;
        }
    }
    points.interval = interval;
    if (status == RN_OK)
        status = rn_layers_trace(&points, &past->layers, until, 0, team, err);
    for (p = 0; status == RN_OK && p < count; p++) {
        const int paint = rn_past_paint(NULL, past, &points, p);
        if (paint != RN_PAINT_NONE)
            found->volume[paint][1 + places[place[p]].side] += (double)rn_history_spill(history, interval[p])[place[p]];
    }
    free(interval);
    free(place);
    rn_tracers_clear(&points);
    return status;
}

/* What has come of each paint by then. */
static void find_came(double *came, const rn_past *past, const rn_still *still)
{
    const rn_plan *plan = past->plan;
    double based[RN_PAINTS_MOST], sum = 0;
    rn_plan_based(based, plan);
    for (int p = 0; p < plan->paint_count; p++)
        sum += based[p];
    for (int p = 0; p < plan->paint_count; p++)
        came[p] = sum > 0 ? based[p] * still->base / sum : 0;
    for (int k = 0; k < plan->pour_count; k++) {
        const rn_pour *pour = &plan->pours[k];
        const double released = rn_source_released(&past->sources[k], still->moment.time);
        for (int band = 0; band < pour->layer_count * pour->repeat; band++) {
            double from, to;
            rn_strata_band_range(&from, &to, pour, band);
            came[pour->stack[band % pour->layer_count].paint] += fmax(0, fmin(to, released) - from);
        }
    }
}

static void find_visible(rn_colours *colours, const rn_panel *panel, const rn_strata *seen)
{
    const unsigned char *face = seen->paint + rn_strata_plane(seen, seen->planes - 1);
    long all = 0, count[RN_PAINTS_MOST] = {0};
    for (int j = 0; j < seen->ny; j++)
        for (int i = 0; i < seen->nx; i++) {
            const double x = (i + 0.5) / seen->nx - 0.5, y = (j + 0.5) / seen->ny - 0.5;
            if (panel->round && x * x + y * y > 0.25)
                continue;
            const int paint = face[(long)j * seen->nx + i];
            all++;
            if (paint < colours->paint_count)
                count[paint]++;
        }
    colours->bare = 1;
    for (int p = 0; p < colours->paint_count; p++) {
        colours->visible[p] = (double)count[p] / (double)all;
        colours->bare -= colours->visible[p];
    }
    colours->bare = fmax(colours->bare, 0);
}

/* Volumes over the edges as the film has them: spilled, not what the history's rounded numbers add up to. */
static void find_columns(double columns[COLUMNS], const rn_history *history, const rn_still *still)
{
    const rn_spill_place *places;
    const int place_count = rn_history_places(&places, history);
    const int last = rn_history_find(history, still->moment.time);
    double over = 0, sum = 0;
    columns[0] = still->on_face;
    for (int s = 0; s < RN_SIDES; s++)
        columns[1 + s] = 0;
    for (int k = 0; k <= last; k++) {
        const float *spill = rn_history_spill(history, k);
        for (int f = 0; spill && f < place_count; f++)
            columns[1 + places[f].side] += (double)spill[f];
    }
    for (int f = 0; f < still->spill_count; f++)
        over += still->spill[f];
    for (int s = 0; s < RN_SIDES; s++)
        sum += columns[1 + s];
    for (int s = 0; s < RN_SIDES && sum > 0; s++)
        columns[1 + s] *= over / sum;
}

static void judge_raw(rn_colours *colours, const ledger *found)
{
    double whole = 0;
    for (int p = 0; p < colours->paint_count; p++) {
        double traced = 0;
        for (int c = 0; c < COLUMNS; c++)
            traced += found->volume[p][c];
        const double error = fabs(traced - colours->came[p]);
        whole += colours->came[p];
        colours->misplaced += 0.5 * error;
        if (colours->came[p] > 0)
            colours->worst = fmax(colours->worst, error / colours->came[p]);
    }
    colours->misplaced = whole > 0 ? colours->misplaced / whole : 0;
}

static void fit(rn_colours *colours, const ledger *found, const double columns[COLUMNS], const rn_still *still)
{
    const int rows = colours->paint_count;
    double table[RN_PAINTS_MOST * COLUMNS], sums[COLUMNS], whole = 0, there = 0;
    for (int c = 0; c < COLUMNS; c++)
        there += columns[c];
    for (int p = 0; p < rows; p++)
        whole += colours->came[p];
    for (int c = 0; c < COLUMNS; c++) /* the film's balance holds to rounding; so must the two sets of sums */
        sums[c] = there > 0 ? columns[c] * whole / there : 0;
    for (int p = 0; p < rows; p++)
        for (int c = 0; c < COLUMNS; c++)
            table[p * COLUMNS + c] = found->volume[p][c] + (c == 0 || columns[c] > 0 ? LITTLE * colours->came[p] : 0);
    rn_colours_fit(table, rows, COLUMNS, colours->came, sums);
    for (int p = 0; p < rows; p++) {
        colours->on_face[p] = table[p * COLUMNS];
        for (int s = 0; s < RN_SIDES; s++) {
            colours->over[s][p] = table[p * COLUMNS + 1 + s];
            colours->run_off[s][p] =
                sums[1 + s] > 0 ? colours->over[s][p] * fmin(still->moment.run_off[s] / sums[1 + s], 1) : 0;
        }
    }
    for (int c = 0; c < RN_CORNERS; c++) {
        double all = 0;
        for (int p = 0; p < rows; p++)
            all += found->corner[c][p];
        for (int p = 0; p < rows && all > 0; p++)
            colours->corner[c][p] = found->corner[c][p] / all;
    }
}

rn_status rn_colours_trace(rn_colours *colours, const rn_past *past, const rn_still *still, const rn_strata *seen,
                           int levels, rn_team *team, rn_error *err)
{
    ledger *found = calloc(1, sizeof *found);
    if (!found)
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    rn_status status = trace_face_and_depths(found, levels, past, still, team, err);
    if (status == RN_OK)
        status = trace_spills(found, past, still->moment.time, team, err);
    if (status == RN_OK) {
        double columns[COLUMNS];
        *colours = (rn_colours){.paint_count = past->plan->paint_count};
        find_came(colours->came, past, still);
        find_columns(columns, past->layers.history, still);
        find_visible(colours, &past->plan->panel, seen);
        judge_raw(colours, found);
        fit(colours, found, columns, still);
    }
    free(found);
    return status;
}
