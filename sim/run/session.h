/* A session: a plan set in motion. Plan in, moments out; knows nothing of windows or files. */
#ifndef RN_RUN_SESSION_H
#define RN_RUN_SESSION_H

#include <stdbool.h>

#include "film/history.h"
#include "plan/plan.h"
#include "run/forecast.h"
#include "run/record.h"
#include "run/reel.h"
#include "run/still.h"

typedef struct rn_session rn_session;

typedef struct rn_session_options {
    int cells;          /* along the longer side, 64..1024; 256 */
    int threads;        /* 0: one per processor */
    double until;       /* stop here [s]; NaN: the plan's end */
    double tolerance;   /* of the step control; NaN: by the grid (see film/height.h) */
    bool history;       /* remember the film's motion, for its layers; steps are then at most 0.2 s */
    const char *kernel; /* "baseline", "avx2", "avx512"; NULL: the best this machine has */
} rn_session_options;

rn_session_options rn_session_defaults(void);

/* Sets a plan in motion at time 0, its base coat laid. The plan is copied. */
rn_status rn_session_new(rn_session **session, const rn_plan *plan, const rn_session_options *options, rn_error *err);
void rn_session_free(rn_session *session);

/* Advances one step of the film. */
rn_status rn_session_step(rn_session *session, rn_error *err);

/* Called every few steps; return false to stop. */
typedef bool rn_session_watch(void *context, const rn_session *session);

/* Steps to the end. A stop by `watch` (may be NULL) is a result, not an error: the record says complete = false. */
rn_status rn_session_run(rn_session *session, rn_session_watch *watch, void *context, rn_error *err);

double rn_session_time(const rn_session *session);
double rn_session_end(const rn_session *session);
bool rn_session_done(const rn_session *session);

/* The film now: grid, depth ny*nx [m] copied out. */
const rn_grid *rn_session_grid(const rn_session *session);
void rn_session_depth(double *depth, const rn_session *session);

/* The history so far, a copy the caller frees with rn_record_free. */
rn_status rn_session_record(rn_record **record, const rn_session *session, rn_error *err);

/* The film as it is now, a copy the caller frees with rn_still_free. */
rn_status rn_session_still(rn_still **still, const rn_session *session, rn_error *err);

/* What the film's layers are traced through; NULL unless the options asked for it. Valid until the next step. */
const rn_history *rn_session_history(const rn_session *session);

/* The film at every moment of the record; with the history, NULL without it. Valid until the next step. */
const rn_reel *rn_session_reel(const rn_session *session);

/* What the painter is told. */
rn_status rn_session_forecast(rn_forecast *forecast, const rn_session *session, rn_error *err);

#endif
