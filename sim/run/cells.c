#include "run/cells.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "matter/overturn.h"
#include "run/strata.h"

#define SAMPLES 24      /* columns looked at along the longer side */
#define ENOUGH_AREA 0.1 /* of the wet area must turn over for cells to be expected */

double rn_cells_moment(const rn_plan *plan, rn_nuclei_options options)
{
    if (!isnan(options.moment))
        return fmin(options.moment, plan->end);
    double last = 0;
    for (int p = 0; p < plan->pour_count; p++)
        last = fmax(last, rn_pour_end(&plan->pours[p]));
    return fmin(last, plan->end);
}

static double rest_after(const rn_plan *plan, double opened)
{
    double next = plan->end;
    for (int m = 0; m < plan->move_count; m++) {
        const rn_move *move = &plan->moves[m];
        if (move->kind == RN_MOVE_REST || move->kind == RN_MOVE_TURN)
            continue;
        const double end = move->start + move->duration;
        if (move->start <= opened && end > opened)
            return 0;
        if (move->start > opened)
            next = fmin(next, move->start);
    }
    return next - opened;
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Value below which that share of `count` sorted numbers lies. */
static double quantile(const double *sorted, int count, double share)
{
    return count > 0 ? sorted[(int)(share * (count - 1) + 0.5)] : NAN;
}

/* Width and growth of what turns over, from columns spread over the panel. */
static rn_status look_at_columns(rn_cells *cells, const rn_past *past, const rn_still *still, rn_team *team,
                                 rn_error *err)
{
    const rn_plan *plan = past->plan;
    rn_strata_options options = rn_strata_defaults();
    options.points = SAMPLES;
    rn_strata *strata = NULL;
    rn_status status = rn_strata_trace(&strata, past, still, options, team, err);
    if (status != RN_OK)
        return status;
    double widths[SAMPLES * SAMPLES], growths[SAMPLES * SAMPLES];
    int wet = 0, count = 0;
    const long plane = (long)strata->nx * strata->ny;
    for (int j = 0; j < strata->ny; j++)
        for (int i = 0; i < strata->nx; i++) {
            unsigned char column[RN_STRATA_LEVELS];
            const long at = (long)j * strata->nx + i;
            const int x = (int)((i + 0.5) / strata->nx * still->grid.nx),
                      y = (int)((j + 0.5) / strata->ny * still->grid.ny);
            const double depth = still->depth[(long)y * still->grid.nx + x];
            if (strata->paint[at] == RN_PAINT_NONE)
                continue;
            for (int k = 0; k < RN_STRATA_LEVELS; k++)
                column[k] = strata->paint[k * plane + at];
            wet++;
            rn_overturn layers;
            double width, rate;
            if (!rn_overturn_of_column(&layers, column, RN_STRATA_LEVELS, depth, plan->paints, plan->paint_count) ||
                !rn_overturn_fastest(&width, &rate, &layers))
                continue;
            widths[count] = width;
            growths[count++] = 1 / rate;
        }
    rn_strata_free(strata);
    qsort(widths, (size_t)count, sizeof *widths, ascending);
    qsort(growths, (size_t)count, sizeof *growths, ascending);
    cells->turns_over = wet > 0 ? (double)count / wet : 0;
    cells->width = quantile(widths, count, 0.5);
    cells->growth = quantile(growths, count, 0.5);
    cells->expected = cells->turns_over >= ENOUGH_AREA && cells->rest >= RN_CELLS_GROWN * cells->growth;
    return RN_OK;
}

static float ratio_at(const rn_stretch *stretch, double x, double y)
{
    const int i = (int)floor((x / stretch->width + 0.5) * stretch->nx);
    const int j = (int)floor((y / stretch->height + 0.5) * stretch->ny);
    return i >= 0 && j >= 0 && i < stretch->nx && j < stretch->ny ? stretch->ratio[(long)j * stretch->nx + i] : NAN;
}

/* Carries the middles of the cells to the end, and asks the face there how far it has been pulled. */
static rn_status follow(rn_cells *cells, const rn_past *past, const rn_stretch *stretch, double until, rn_team *team,
                        rn_error *err)
{
    const int count = cells->nuclei.count;
    rn_tracers middles;
    rn_status status = rn_tracers_init(&middles, count, err);
    if (status != RN_OK)
        return status;
    double *ratios = malloc((size_t)count * sizeof *ratios + 1);
    if (!ratios)
        status = rn_fail(err, RN_E_MEMORY, "no memory for the cells");
    for (int n = 0; n < count; n++) {
        middles.x[n] = (float)cells->nuclei.nucleus[n].x;
        middles.y[n] = (float)cells->nuclei.nucleus[n].y;
        middles.sigma[n] = 1;
    }
    if (status == RN_OK)
        status = rn_layers_carry(&middles, &past->layers, cells->opened, until, team, err);
    if (status == RN_OK) {
        int there = 0, kept = 0;
        for (int n = 0; n < count; n++) {
            const float ratio = ratio_at(stretch, (double)middles.x[n], (double)middles.y[n]);
            if (isnan(ratio))
                continue;
            kept += (double)ratio <= cells->limit;
            ratios[there++] = (double)ratio;
        }
        qsort(ratios, (size_t)there, sizeof *ratios, ascending);
        cells->lost = count - there;
        cells->stretch = quantile(ratios, there, 0.5);
        cells->stretch_high = quantile(ratios, there, 0.9);
        cells->kept = there > 0 ? (double)kept / there : NAN;
    }
    free(ratios);
    rn_tracers_clear(&middles);
    return status;
}

/* Nuclei on ground that is bare then open nothing. */
static bool is_wet(const void *context, const rn_nucleus *nucleus, int number)
{
    (void)number;
    return rn_still_depth(context, nucleus->x, nucleus->y) > RN_STRATA_BARE;
}

rn_status rn_cells_work_out(rn_cells *cells, const rn_past *past, const rn_still *opened, rn_nuclei_options options,
                            const rn_stretch *stretch, double until, rn_team *team, rn_error *err)
{
    const rn_plan *plan = past->plan;
    *cells = (rn_cells){.opened = opened->moment.time,
                        .rest = rest_after(plan, opened->moment.time),
                        .limit = plan->limits.stretch,
                        .stretch = NAN,
                        .stretch_high = NAN,
                        .kept = NAN};
    rn_status status = look_at_columns(cells, past, opened, team, err);
    if (status != RN_OK)
        return status;
    if (isnan(options.spacing))
        options.spacing = cells->width;
    if (isnan(options.spacing) || options.amount <= 0)
        return RN_OK;
    status = rn_nuclei_scatter(&cells->nuclei, &plan->panel, options, err);
    if (status != RN_OK)
        return status;
    rn_nuclei_keep(&cells->nuclei, is_wet, opened);
    cells->count = cells->nuclei.count;
    status = follow(cells, past, stretch, until, team, err);
    if (status != RN_OK)
        rn_cells_clear(cells);
    return status;
}

void rn_cells_clear(rn_cells *cells)
{
    rn_nuclei_free(&cells->nuclei);
    *cells = (rn_cells){0};
}
