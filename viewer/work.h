/* A plan being worked out: the session, what is traced through its history, and the answers that are made from them. One
   thread's; see studio.h for how the window gets at it. */
#ifndef WORK_H
#define WORK_H

#include "run/past.h"
#include "run/session.h"
#include "studio.h"
#include "track.h"

typedef struct rv_work rv_work;

rn_status work_new(rv_work **made, int cells, int points, int threads, rn_error *err);
void work_free(rv_work *work);

/* Goes over to this plan, which is then the work's; keeps what was worked out until the two part. */
void work_take_plan(rv_work *work, rn_plan *plan, long version);

/* Steps for about so long [s], no further than the horizon [s]; false if there was nothing to do. */
bool work_step(rv_work *work, double lasting, double horizon);

long work_version(const rv_work *work);
bool work_begun(const rv_work *work);    /* there is a film */
double work_solved(const rv_work *work); /* [s] */
double work_end(const rv_work *work);
bool work_complete(const rv_work *work);
bool work_outlined(const rv_work *work); /* the outcome is known, though the film is not traced so far */
bool work_stuck(const rv_work *work);    /* it stopped for good before the end */

/* Answers, the caller's to free; NULL where there is no memory, or nothing to tell. */
rv_studio_tale *work_tell(const rv_work *work);
rv_studio_picture *work_picture(rv_work *work, rv_studio_wish wish, bool sharp);
rv_studio_core *work_core(rv_work *work, rv_studio_wish wish);
rv_studio_section *work_section(rv_work *work, rv_studio_wish wish);
rv_studio_pull *work_pull(rv_work *work, rv_studio_wish wish);

/* Once it is complete: stretch and twist for the forecast; false if that is done or cannot be. */
bool work_judge(rv_work *work);

/* Prepares for quick pictures, a little at a time; false if there is nothing left to prepare. */
bool work_prepare(rv_work *work);

#endif
