/* A plan being worked out: the session, what is traced through its history, and the answers that are made from them. One
   thread's; see studio.h for how the window gets at it. */
#ifndef WORK_H
#define WORK_H

#include "course.h"
#include "run/past.h"
#include "sharp.h"
#include "studio.h"
#include "track.h"

/* Asked on the way through long work: whether something more urgent has come. */
typedef struct rv_pause {
    bool (*asked)(void *context);
    void *context;
} rv_pause;

typedef struct rv_work {
    int cells, points, threads;
    rn_team *team;
    rn_plan *plan;
    long version;
    rv_course outline; /* without a history, which is many times quicker: the outcome comes first from it */
    rv_course traced;  /* with it; no session: nothing can be worked out */
    bool stuck;        /* it stopped for good before the end, */
    char trouble[320]; /* and why */
    rn_past past;
    rv_track *track;
    rv_sharp sharp;
    bool judged, has_pattern;
    double stretch, twist, turned; /* the last: twist with its sense */
} rv_work;

rn_status work_new(rv_work **made, int cells, int points, int threads, rn_error *err);
void work_free(rv_work *work);

/* Goes over to this plan, which is then the work's; keeps what was worked out until the two part. */
void work_take_plan(rv_work *work, rn_plan *plan, long version);

/* Steps for about so long [s], no further than the horizon [s]; false if there was nothing to do. */
bool work_step(rv_work *work, double lasting, double horizon);

bool work_outlines(const rv_work *work, double horizon); /* the outline comes first, and is not done */
bool work_begun(const rv_work *work);                    /* there is a film */
double work_solved(const rv_work *work);                 /* the film with its motion is known until then [s] */
double work_told(const rv_work *work);                   /* the outcome is known until then [s] */
double work_end(const rv_work *work);                    /* of the plan [s] */
bool work_complete(const rv_work *work);                 /* with its motion */
bool work_outlined(const rv_work *work);                 /* the outcome is known to the end */
long work_bytes(const rv_work *work);                    /* about */

/* Answers, the caller's to free; NULL where there is no memory, or nothing to tell. */
rv_studio_tale *work_tell(const rv_work *work);

/* A quick one unless a sharp one is kept; or where it is `sharp` one traced right back, which gives up when it is asked to. */
rv_studio_picture *work_picture(rv_work *work, rv_studio_wish wish, bool sharp, rv_pause pause);
rv_studio_core *work_core(rv_work *work, rv_studio_wish wish);
rv_studio_section *work_section(rv_work *work, rv_studio_wish wish);
rv_studio_pull *work_pull(rv_work *work, rv_studio_wish wish);

/* Once it is complete: stretch and twist for the forecast; false if that is done or cannot be. */
bool work_judge(rv_work *work);

/* Prepares one more step toward quick pictures of a time; false if there is nothing to prepare. */
bool work_prepare(rv_work *work, double time);

#endif
