/* A session's insides, shared by session.c and bookmark.c. Not a public header. */
#ifndef RN_RUN_SESSION_STATE_H
#define RN_RUN_SESSION_STATE_H

#include "film/height.h"
#include "run/layering.h"
#include "run/measure.h"
#include "run/session.h"

/* Since when something has held, for what must hold until the end. */
typedef struct rn_since {
    double value; /* at the last look */
    double at;    /* [s]; NaN: does not hold */
} rn_since;

/* How far a session has come, but for the film and what is remembered of it. */
typedef struct rn_so_far {
    double time;
    double bound;               /* see rn_session_bound [s] */
    double laid[RN_POURS_MOST]; /* by instant bursts [m3] */
    int moment_count;
    double next_moment;
    rn_since covered, corners[RN_CORNERS];
    double best_coverage, best_at;
    double balance_error; /* worst */
} rn_so_far;

/* A going back. */
typedef struct rn_return {
    long number; /* counted from 1 */
    double to;   /* [s] */
} rn_return;

struct rn_session {
    rn_plan *plan;
    rn_session_options options;
    rn_film *film;
    rn_measure *measure;
    rn_history *history;   /* NULL unless asked for, */
    rn_reel *reel;         /* as is this */
    rn_layering *layering; /* NULL unless the paints differ in how they flow */
    int source_count;
    rn_source sources[RN_POURS_MOST];
    rn_moment *moments;
    int moment_size;
    double base; /* volume of the base coat as laid [m3] */
    double end;
    rn_so_far so_far;
    double wall; /* [s] */

    long returns; /* in all */
    int return_count, return_size;
    rn_return *return_list; /* those that no later one went behind: times rise */
};

/* The plan's end, unless the options have another. */
double rn_session_end_of(const rn_session_options *options, const rn_plan *plan);

/* The film's sources by a plan; nothing is changed on failure. */
rn_status rn_session_set_sources(rn_session *session, const rn_plan *plan, rn_error *err);

#endif
