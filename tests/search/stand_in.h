/* A model in place of sessions, for tests of searches: outcomes by a formula, and a look at how a study works. */
#ifndef RN_TESTS_SEARCH_STAND_IN_H
#define RN_TESTS_SEARCH_STAND_IN_H

#include <stdatomic.h>

#include "search/study.h"

/* The outcome of a plan; must be whole, or failed with its reason. */
typedef rn_outcome stand_in_of(const rn_run *run, const void *context);

typedef struct stand_in {
    stand_in_of *of;
    const void *context;
    double lasting;    /* of each run [s], asked whether to go on all the while */
    int waits_for;     /* all but the first go on until so many were under way at once, for two minutes at most */
    long bytes;        /* that each says it took */
    atomic_int calls;  /* runs begun */
    atomic_int flight; /* now */
    atomic_int most;   /* at once, so far */
} stand_in;

/* An rn_study_model with a stand_in as its context. */
void stand_in_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study);

/* A study of it, owned by the caller; model and context of the options are put in. */
rn_study *stand_in_study(stand_in *model, rn_study_options options);

/* A whole outcome on which nothing ran off: so much is poured, that share is covered, corners and thinnest are of the mean
   depth. */
rn_outcome stand_in_outcome(const rn_plan *plan, double coverage);

/* The plan of a text without faults, owned by the caller, as those below are. */
rn_plan *stand_in_read(const char *text);

/* 100 ml of 1 Pa s on a panel of 200 mm x 200 mm, spun once. */
rn_plan *stand_in_spun(void);

/* A plan, 100 ml of 0.1 Pa s on a panel of 200 mm x 100 mm, with `more` lines after it. */
rn_plan *stand_in_plan(const char *more);

/* Demands as one writes them, "coverage" and "at least 90 %", up to a NULL. */
rn_goal stand_in_goal(const char *word, ...) __attribute__((sentinel));

/* An rn_study_go_on that never stops. */
bool stand_in_goes_on(void *study);

/* Sleeps [s]. */
void stand_in_doze(double seconds);

#endif
