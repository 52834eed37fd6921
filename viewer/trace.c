#include "trace.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static rn_strata *bare_face(const rn_plan *plan, int points, double sigma, double time)
{
    rn_strata *made = calloc(1, sizeof *made);
    if (!made)
        return NULL;
    const double longer = fmax(plan->panel.width, plan->panel.height);
    made->width = plan->panel.width;
    made->height = plan->panel.height;
    made->nx = (int)fmax(2, round(points * made->width / longer));
    made->ny = (int)fmax(2, round(points * made->height / longer));
    made->planes = 1;
    made->time = time;
    const size_t count = (size_t)made->nx * (size_t)made->ny;
    made->sigma = malloc(sizeof *made->sigma);
    made->paint = malloc(count * sizeof *made->paint);
    made->pour = malloc(count * sizeof *made->pour);
    made->released = calloc(count, sizeof *made->released);
    if (!made->sigma || !made->paint || !made->pour || !made->released) {
        rn_strata_free(made);
        return NULL;
    }
    made->sigma[0] = (float)sigma;
    memset(made->paint, RN_PAINT_NONE, count);
    for (size_t p = 0; p < count; p++)
        made->pour[p] = RN_FROM_NOWHERE;
    return made;
}

static void gather(rv_trace *trace, const rn_still *still)
{
    const rn_grid *grid = &still->grid;
    const rn_strata *face = trace->face;
    long count = 0;
    for (int j = 0; j < face->ny; j++)
        for (int i = 0; i < face->nx; i++) {
            const double u = (i + 0.5) / face->nx, v = (j + 0.5) / face->ny;
            const long cell = (long)(int)(v * grid->ny) * grid->nx + (int)(u * grid->nx);
            if (!still->inside[cell] || !(still->depth[cell] > RN_STRATA_BARE))
                continue;
            trace->wet.x[count] = (float)((u - 0.5) * face->width);
            trace->wet.y[count] = (float)((v - 0.5) * face->height);
            trace->wet.sigma[count] = face->sigma[0];
            trace->wet.source[count] = RN_FROM_NOWHERE;
            trace->at[count++] = j * face->nx + i;
        }
    trace->wet.count = count;
}

rn_status trace_begin(rv_trace *trace, const rn_plan *plan, const rn_still *still, int points, double sigma,
                      rn_error *err)
{
    *trace = (rv_trace){.face = bare_face(plan, points, sigma, still->moment.time), .time = still->moment.time};
    if (!trace->face)
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the face");
    const long count = (long)trace->face->nx * trace->face->ny;
    rn_status status = rn_tracers_init(&trace->wet, count, err);
    trace->at = malloc((size_t)count * sizeof *trace->at);
    if (status == RN_OK && !trace->at)
        status = rn_fail(err, RN_E_MEMORY, "no memory to trace the face");
    if (status == RN_OK)
        gather(trace, still);
    else
        trace_end(trace);
    return status;
}

rn_status trace_back(rv_trace *trace, const rn_past *past, double to, rn_team *team, rn_error *err)
{
    const rn_history *history = past->layers.history;
    const int index = rn_history_find(history, to);
    const double from = trace->time;
    trace->time = index < 0 ? 0 : rn_history_time(history, index);
    return rn_layers_trace(&trace->wet, &past->layers, from, trace->time, team, err);
}

void trace_take(rv_trace *trace, const rn_past *past, long point)
{
    const long at = trace->at[point];
    const short source = trace->wet.source[point];
    trace->face->paint[at] = (unsigned char)rn_past_paint(NULL, past, &trace->wet, point);
    trace->face->pour[at] = source;
    trace->face->released[at] = source >= 0 ? trace->wet.released[point] : 0;
}

void trace_end(rv_trace *trace)
{
    rn_strata_free(trace->face);
    trace->face = NULL;
    trace_finish(trace);
}

rn_strata *trace_finish(rv_trace *trace)
{
    rn_strata *face = trace->face;
    rn_tracers_clear(&trace->wet);
    free(trace->at);
    *trace = (rv_trace){0};
    return face;
}
