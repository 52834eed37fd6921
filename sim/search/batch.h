/* A list of runs together with the plans they are of, known by their places in it: what can be worked in pieces, by several
   machines. */
#ifndef RN_SEARCH_BATCH_H
#define RN_SEARCH_BATCH_H

#include "search/study.h"

typedef struct rn_batch {
    int count;
    rn_run *runs;    /* state FAILED from the beginning where there is no plan; those are not worked */
    rn_plan **plans; /* owned; NULL: see above */
    int room;        /* the list's own */
} rn_batch;

/* Takes the plan, also where it fails. */
rn_status rn_batch_add(rn_batch *batch, rn_plan *plan, int cells, bool pattern, rn_error *err);

/* A place in the list whose values make no plan; why: one line. */
rn_status rn_batch_add_none(rn_batch *batch, const char *why, rn_error *err);

void rn_batch_clear(rn_batch *batch);

/* Works the runs share, share + shares, share + 2 shares ... of the list, 0 <= share < shares. As rn_study_work: RN_OK also
   where it was asked to stop. */
rn_status rn_batch_work(rn_batch *batch, int share, int shares, rn_study *study, rn_error *err);

/* Whether those runs all have an outcome. */
bool rn_batch_done(const rn_batch *batch, int share, int shares);

#endif
