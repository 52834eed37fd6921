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
    int cells;               /* along the longer side, 64..1024; 256 */
    int threads;             /* 0: one per processor */
    double until;            /* stop here [s]; NaN: the plan's end */
    double tolerance;        /* of the step control; NaN: the film's own */
    double ripple_tolerance; /* of ripples in it; NaN: as tracing asks for where paint is traced, else not looked at */
    bool history;            /* remember the film's motion, for its layers; steps are then at most 0.2 s */
    int layer_points; /* where paints flow by laws of their own: layers are followed at so many points along the longer
                           side; 0: 128. Never more than cells */
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

/* ---- going back, and going on with another plan ---- */

/* How far ahead the next step will have looked at the plan, whatever its length turns out to be [s]: it is the same for
   every plan that agrees with the session's until then. Looks at most two of the longest steps ahead: 0.4 s with the
   history. Whoever is about to change the plan from some time on steps only while this is no later. */
double rn_session_reach(const rn_session *session);

/* How far ahead the steps so far have looked [s]. A plan that agrees with the session's until then (rn_plan_agree_until)
   would have brought it to where it is, to the last bit. */
double rn_session_bound(const rn_session *session);

/* The session as it is, to go back to: a copy of the film and of how far it had come, but not of the history and the
   reel. Small where an interval of the history has just begun. Freed by rn_bookmark_free, before or after the session. */
typedef struct rn_bookmark rn_bookmark;
rn_status rn_session_mark(rn_bookmark **mark, const rn_session *session, rn_error *err);
void rn_bookmark_free(rn_bookmark *mark);
double rn_bookmark_time(const rn_bookmark *mark);
double rn_bookmark_bound(const rn_bookmark *mark); /* rn_session_bound at that time */
long rn_bookmark_bytes(const rn_bookmark *mark);

/* Whether the next mark would be small. */
bool rn_session_between_intervals(const rn_session *session);

/* Goes back to a mark of this session; its plan stays. Cuts the history, the reel and the moments off there: what has been
   read of them no longer holds. RN_E_USAGE, nothing changed, if the session has since gone back behind the mark: it then
   lies on a way that was left. */
rn_status rn_session_rewind(rn_session *session, const rn_bookmark *mark, rn_error *err);

/* Goes on with another plan, which is copied: RN_E_USAGE, nothing changed, unless it agrees with the session's own until
   rn_session_bound. From then on all is as in a session of that plan from its start, to the last bit, but for the moments'
   spacing where the end has moved. */
rn_status rn_session_replan(rn_session *session, const rn_plan *plan, rn_error *err);

/* Memory of the session, about. */
long rn_session_bytes(const rn_session *session);

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
