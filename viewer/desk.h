/* One plan, who works on it, and what of their answers is shown: a quick studio tells within a moment, the bench's fine one
   takes over when the hands are still. Old and new never mix: what an edit makes untrue is let go. */
#ifndef DESK_H
#define DESK_H

#include "studio.h"
#include "view.h"

typedef struct rv_desk_options {
    int cells, preview;          /* of the fine studio and of the quick one, along the longer side */
    int points;                  /* of a fine face */
    int threads;                 /* of the fine studio; 0: one per processor */
    void (*wake)(void *context); /* from a studio's thread; may be NULL */
    void *context;
} rv_desk_options;

typedef struct rv_desk {
    int place;                        /* see view.h */
    rv_studio *quick, *fine;          /* fine: of the bench alone; quick: of a column once it is on the page */
    long quick_given, fine_given;     /* versions */
    bool quick_done;                  /* it knows the outcome of that version */
    double quick_traced, fine_traced; /* faces can be shown until then, of the present version [s] */
    bool fine_shows;                  /* pictures come from it */
    bool fine_seen;                   /* the one that is shown did: both may work on the same grid */
    rn_plan *told;                    /* the plan that `shown` is of */
    rv_shown shown;
    bool changed; /* what is shown, since the last look */
} rv_desk;

/* Zero is a desk of a column that has not been on the page. On failure there is nothing to let go. */
rn_status desk_new_bench(rv_desk *desk, const rv_desk_options *options, rn_error *err);
void desk_clear(rv_desk *desk);

/* Lets the studios know what is wanted and takes what they have answered. */
void desk_update(rv_desk *desk, const rv_desk_options *options, rv_view *view);

/* Whether what the page shows of this column is worked out at the finest grid it gets, or never will be. */
bool desk_still(const rv_desk *desk, int cells, const rv_view *view);

#endif
