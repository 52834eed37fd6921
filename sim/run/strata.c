#include "run/strata.h"

#include <math.h>
#include <stdlib.h>

void rn_strata_free(rn_strata *strata)
{
    if (!strata)
        return;
    free(strata->sigma);
    free(strata->paint);
    free(strata->pour);
    free(strata->released);
    free(strata);
}

rn_strata_options rn_strata_defaults(void)
{
    return (rn_strata_options){.points = RN_STRATA_POINTS, .levels = RN_STRATA_LEVELS, .peel = NAN};
}

rn_strata *rn_strata_new(const rn_plan *plan, rn_strata_options options, double time)
{
    rn_strata *made = calloc(1, sizeof *made);
    if (!made)
        return NULL;
    const double longer = fmax(plan->panel.width, plan->panel.height);
    const bool face_alone = options.levels == 1 || !isnan(options.peel);
    made->width = plan->panel.width;
    made->height = plan->panel.height;
    made->time = time;
    made->nx = (int)fmax(2, round(options.points * plan->panel.width / longer));
    made->ny = (int)fmax(2, round(options.points * plan->panel.height / longer));
    made->planes = face_alone ? 1 : options.levels + 1;
    const size_t count = (size_t)made->planes * (size_t)made->nx * (size_t)made->ny;
    made->sigma = malloc((size_t)made->planes * sizeof *made->sigma);
    made->paint = malloc(count * sizeof *made->paint);
    made->pour = malloc(count * sizeof *made->pour);
    made->released = calloc(count, sizeof *made->released);
    if (!made->sigma || !made->paint || !made->pour || !made->released) {
        rn_strata_free(made);
        return NULL;
    }
    for (int plane = 0; plane < made->planes - 1; plane++)
        made->sigma[plane] = (float)((plane + 0.5) / options.levels);
    made->sigma[made->planes - 1] = isnan(options.peel) ? 1.0f : (float)(1 - options.peel);
    return made;
}

long rn_strata_gather(const rn_tracers *points, int *at, const rn_strata *strata, const rn_still *still, int plane)
{
    const rn_grid *grid = &still->grid;
    long count = 0;
    for (int j = 0; j < strata->ny; j++)
        for (int i = 0; i < strata->nx; i++) {
            const double u = (i + 0.5) / strata->nx, v = (j + 0.5) / strata->ny;
            const long cell = (long)(int)(v * grid->ny) * grid->nx + (int)(u * grid->nx);
            if (!still->inside[cell] || !(still->depth[cell] > RN_STRATA_BARE))
                continue;
            points->x[count] = (float)((u - 0.5) * strata->width);
            points->y[count] = (float)((v - 0.5) * strata->height);
            points->sigma[count] = strata->sigma[plane];
            points->source[count] = RN_FROM_NOWHERE;
            at[count++] = j * strata->nx + i;
        }
    return count;
}

/* What lies within a cell when it opens comes up from below. */
static void open_cells(const rn_tracers *points, const rn_nuclei *nuclei)
{
    for (long p = 0; p < points->count; p++) {
        double share;
        if (points->source[p] == RN_FROM_NOWHERE &&
            rn_nuclei_at(&share, nuclei, (double)points->x[p], (double)points->y[p]) >= 0)
            points->sigma[p] = (float)rn_nuclei_depth(share);
    }
}

void rn_strata_clear_plane(rn_strata *strata, int plane)
{
    const long first = rn_strata_plane(strata, plane), all = (long)strata->nx * strata->ny;
    for (long p = 0; p < all; p++) {
        strata->paint[first + p] = RN_PAINT_NONE;
        strata->pour[first + p] = RN_FROM_NOWHERE;
    }
}

void rn_strata_take(rn_strata *strata, int plane, const rn_past *past, const rn_tracers *wet, const int *at)
{
    const long first = rn_strata_plane(strata, plane);
    for (long p = 0; p < wet->count; p++) {
        strata->paint[first + at[p]] = (unsigned char)rn_past_paint(NULL, past, wet, p);
        strata->pour[first + at[p]] = wet->source[p];
        strata->released[first + at[p]] = wet->source[p] >= 0 ? wet->released[p] : 0;
    }
}

static rn_status trace_plane(rn_strata *strata, rn_tracers *points, int *at, int plane, const rn_past *past,
                             const rn_still *still, const rn_strata_options *options, rn_team *team, rn_error *err)
{
    const bool opens = options->nuclei && plane == strata->planes - 1 && options->opened < strata->time;
    rn_tracers wet = *points;
    rn_strata_clear_plane(strata, plane);
    wet.count = rn_strata_gather(points, at, strata, still, plane);
    double from = strata->time;
    rn_status status = RN_OK;
    if (opens) {
        status = rn_layers_trace(&wet, &past->layers, from, options->opened, team, err);
        if (status == RN_OK)
            open_cells(&wet, options->nuclei);
        from = options->opened;
    }
    if (status == RN_OK)
        status = rn_layers_trace(&wet, &past->layers, from, 0, team, err);
    if (status == RN_OK)
        rn_strata_take(strata, plane, past, &wet, at);
    return status;
}

/* An empty one with what is needed to fill it. */
static rn_status begin(rn_strata **made, rn_tracers *points, int **at, const rn_plan *plan, rn_strata_options options,
                       double time, rn_error *err)
{
    rn_status status = RN_OK;
    *points = (rn_tracers){0};
    *at = NULL;
    *made = rn_strata_new(plan, options, time);
    if (*made) {
        const long count = (long)(*made)->nx * (*made)->ny;
        status = rn_tracers_init(points, count, err);
        *at = malloc((size_t)count * sizeof **at);
    }
    if (!*made || (status == RN_OK && !*at))
        status = rn_fail(err, RN_E_MEMORY, "no memory to trace the layers");
    return status;
}

static rn_status end(rn_strata **strata, rn_strata *made, rn_tracers *points, int *at, rn_status status)
{
    rn_tracers_clear(points);
    free(at);
    if (status == RN_OK)
        *strata = made;
    else
        rn_strata_free(made);
    return status;
}

rn_status rn_strata_trace(rn_strata **strata, const rn_past *past, const rn_still *still, rn_strata_options options,
                          rn_team *team, rn_error *err)
{
    rn_strata *made;
    rn_tracers points;
    int *at;
    rn_status status = begin(&made, &points, &at, past->plan, options, still->moment.time, err);
    for (int plane = 0; status == RN_OK && plane < made->planes; plane++)
        status = trace_plane(made, &points, at, plane, past, still, &options, team, err);
    return end(strata, made, &points, at, status);
}

rn_status rn_strata_find(rn_strata **strata, const rn_past *past, const rn_still *still, const rn_chain *chain,
                         int points, rn_team *team, rn_error *err)
{
    rn_strata *made;
    rn_tracers lattice;
    int *at;
    const rn_strata_options options = {.points = points, .levels = 1, .peel = NAN};
    rn_status status = begin(&made, &lattice, &at, past->plan, options, still->moment.time, err);
    if (status == RN_OK) {
        rn_tracers wet = lattice;
        rn_strata_clear_plane(made, 0);
        wet.count = rn_strata_gather(&lattice, at, made, still, 0);
        rn_chain_find(&wet, chain, team);
        status = rn_team_ends(team, err);
        if (status == RN_OK)
            rn_strata_take(made, 0, past, &wet, at);
    }
    return end(strata, made, &lattice, at, status);
}

static double order_volume(const rn_pour *pour)
{
    double total = 0;
    for (int l = 0; l < pour->layer_count; l++)
        total += pour->stack[l].volume;
    return total / pour->repeat;
}

int rn_strata_band(const rn_pour *pour, double released)
{
    const double order = order_volume(pour);
    int turn = order > 0 ? (int)floor(released / order) : 0;
    turn = turn < 0 ? 0 : turn >= pour->repeat ? pour->repeat - 1 : turn;
    double left = released - turn * order;
    int place = 0;
    while (place < pour->layer_count - 1 && (left -= pour->stack[place].volume / pour->repeat) >= 0)
        place++;
    return turn * pour->layer_count + place;
}

void rn_strata_band_range(double *from, double *to, const rn_pour *pour, int band)
{
    *from = band / pour->layer_count * order_volume(pour);
    for (int place = 0; place < band % pour->layer_count; place++)
        *from += pour->stack[place].volume / pour->repeat;
    *to = *from + pour->stack[band % pour->layer_count].volume / pour->repeat;
}
