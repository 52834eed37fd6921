/* A face being traced back, piece by piece, so that it can be given up between two pieces or taken from an earlier one. */
#ifndef TRACE_H
#define TRACE_H

#include "run/past.h"
#include "run/strata.h"

typedef struct rv_trace {
    rn_strata *face; /* owned; bare so far, its one plane at some share of the depth */
    rn_tracers wet;  /* its points that the film covers */
    int *at;         /* and where in the face they lie */
    double time;     /* where they stand [s] */
} rv_trace;

/* A lattice of `points` along the longer side over a still, as rn_strata lays it out; sigma 1: the face. */
rn_status trace_begin(rv_trace *trace, const rn_plan *plan, const rn_still *still, int points, double sigma,
                      rn_error *err);

/* Back to a time, or to the beginning of the history's interval that it lies in. */
rn_status trace_back(rv_trace *trace, const rn_past *past, double to, rn_team *team, rn_error *err);

/* Writes one point into the face: what it turned out to be. */
void trace_take(rv_trace *trace, const rn_past *past, long point);

void trace_end(rv_trace *trace);          /* gives it up */
rn_strata *trace_finish(rv_trace *trace); /* the face, the caller's */

#endif
