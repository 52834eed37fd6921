#include "trace.h"

#include <math.h>
#include <stdlib.h>

rn_status trace_begin(rv_trace *trace, const rn_plan *plan, const rn_still *still, int points, double sigma,
                      rn_error *err)
{
    const rn_strata_options options = {.points = points, .levels = 1, .peel = sigma < 1 ? 1 - sigma : NAN};
    *trace = (rv_trace){.face = rn_strata_new(plan, options, still->moment.time), .time = still->moment.time};
    if (!trace->face)
        return rn_fail(err, RN_E_MEMORY, "no memory to trace the face");
    const long count = (long)trace->face->nx * trace->face->ny;
    rn_status status = rn_tracers_init(&trace->wet, count, err);
    trace->at = malloc((size_t)count * sizeof *trace->at);
    if (status == RN_OK && !trace->at)
        status = rn_fail(err, RN_E_MEMORY, "no memory to trace the face");
    if (status != RN_OK) {
        trace_end(trace);
        return status;
    }
    rn_strata_clear_plane(trace->face, 0);
    trace->wet.count = rn_strata_gather(&trace->wet, trace->at, trace->face, still, 0);
    return RN_OK;
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
