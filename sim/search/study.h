/* Many runs, worked on all processors with bounded memory: what every search is made of. Results do not depend on the
   number of threads, and what they are judged to be not on what is known from before: a run that would be stopped once its
   goal is decided may be known to its end. */
#ifndef RN_SEARCH_STUDY_H
#define RN_SEARCH_STUDY_H

#include <stdbool.h>

#include "plan/plan.h"
#include "search/cache.h"
#include "search/goal.h"
#include "search/outcome.h"

/* One run: what is asked, and what came of it. */
typedef struct rn_run {
    const rn_plan *plan;    /* the caller's, unchanged until the run is done */
    int cells;              /* along the longer side */
    bool pattern;           /* stretch and twist as well; takes more time and memory, and finer steps */
    const rn_goal *settles; /* stop as soon as this goal is decided; NULL: run to the end */
    rn_outcome outcome;     /* state NONE where it was not run, for somebody asked to stop */
    bool known;             /* from before, not worked out now */
} rn_run;

typedef struct rn_progress {
    int done, of;   /* runs; `of` counts those announced by rn_study_announce as well */
    int known;      /* of those done, from before */
    double elapsed; /* [s] */
    double left;    /* [s]; NaN while it is too early to tell */
} rn_progress;

/* Called by the thread that called rn_study_work, a few times a second; false asks to stop. */
typedef bool rn_study_tell(void *context, const rn_progress *progress);

/* Works out one run's outcome; asks `go_on` every so often and returns with state NONE when that is false. Must depend on
   nothing but the run; called by several threads at once. *bytes: the memory it took, about. */
typedef bool rn_study_go_on(void *study);
typedef void rn_study_model(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                            void *study);

typedef struct rn_study_options {
    int threads; /* runs at the same time, each on one thread; 0: one per processor */
    long
        memory_most; /* for all runs in flight, by what earlier ones took [bytes]; one run is always let through; 0: half
                         of the machine's */
    rn_cache *cache; /* NULL: nothing is known from before, and nothing kept */
    rn_study_tell *tell;
    void *tell_context;
    rn_study_model *model; /* NULL: sessions */
    void *model_context;
    const char *model_name; /* tells its outcomes from those of other models in the cache; NULL: sessions */
} rn_study_options;

rn_study_options rn_study_defaults(void);

typedef struct rn_study rn_study;

rn_status rn_study_new(rn_study **study, rn_study_options options, rn_error *err);
void rn_study_free(rn_study *study);

/* Works all runs of a list. RN_OK also where it was asked to stop (see rn_study_stopped) and where runs failed, which their
   outcomes tell. A run that is in the list twice is worked twice. */
rn_status rn_study_work(rn_study *study, rn_run *runs, int count, rn_error *err);

/* Says that after the next list about so many runs of this grid are still to come, for the progress. */
void rn_study_announce(rn_study *study, int to_come, int cells);

/* Asks to stop; from any thread. A study that was stopped works no more. */
void rn_study_stop(rn_study *study);
bool rn_study_stopped(const rn_study *study);

/* Runs worked out by now, and those known from before. Not while a list is worked. */
void rn_study_counts(int *worked, int *known, const rn_study *study);

/* How many of those worked out could not be kept in the cache; *why: of the first of them. Not while a list is worked. */
int rn_study_unkept(rn_error *why, const rn_study *study);

#endif
