/* A studio works a plan out on a thread of its own and answers what the window asks of it: how far it has come, the face at
   a moment, the layers under the pointer. The window never waits for it: it sets what it would like and takes what is
   ready. Answers carry the version of the plan they belong to and the time they show, so that old and new never mix. */
#ifndef STUDIO_H
#define STUDIO_H

#include <cairo.h>
#include <stdbool.h>

#include "plan/plan.h"
#include "run/cut.h"
#include "run/forecast.h"
#include "run/record.h"
#include "run/session.h"
#include "run/still.h"
#include "run/strata.h"
#include "run/stretch.h"

typedef struct rv_studio rv_studio;

typedef struct rv_studio_options {
    int cells;                   /* of the film along the longer side */
    int points;                  /* of the face along the longer side */
    int threads;                 /* 0: one per processor */
    bool judges;                 /* also works out stretch and twist for the outcome */
    void (*wake)(void *context); /* called from the studio's thread when an answer is ready; may be NULL */
    void *context;
} rv_studio_options;

rn_status studio_new(rv_studio **made, rv_studio_options options, rn_error *err);
void studio_free(rv_studio *studio); /* stops what it does within a tenth of a second, or one trace */

/* How a studio of so many cells works out the film with its motion; what it tells in the end is that film. Before that it
   may tell the outcome of a quicker one without. */
rn_session_options studio_session_options(int cells, int threads);

/* Works on this plan from now on; copied. Answers of another than the newest version are never given. Where it agrees with the plan before up to some time, what was worked out until
   then stays (see rn_plan_agree_until). */
rn_status studio_set_plan(rv_studio *studio, const rn_plan *plan, long version, rn_error *err);

/* What the window would like to see; the latest holds. All zero but `horizon` is a good beginning. */
typedef struct rv_studio_wish {
    double time;    /* [s] */
    double horizon; /* works no further than that [s]; INFINITY: to the end */
    bool moving;    /* the time is being dragged or played: a quick picture rather than a sharp one */
    int pixels;     /* of the face's picture, along the panel's longer side; 0: none wanted */
    bool dark, sheen;
    double peel;  /* share of the depth that is lifted off the top, 0..1: the picture shows what is then seen */
    bool stretch; /* how far the face has been pulled */
    bool core;    /* the layers at a point of the panel [m] */
    double core_x, core_y;
    bool section; /* the layers along a line [m] */
    double a[2], b[2];
} rv_studio_wish;

void studio_set_wish(rv_studio *studio, rv_studio_wish wish);

/* How far it has come: a copy, about ten times a second while it works and once when it is done. */
typedef struct rv_studio_tale {
    long version;
    int cells;
    double solved, end;   /* [s] */
    double traced;        /* the face can be shown until then [s]; the outcome may be known before */
    bool complete;        /* worked out to the end */
    bool outline;         /* by the quicker session without the motion: a first look whatever the grid */
    char trouble[320];    /* "" or why it stopped at `solved` */
    rn_record *record;    /* moments so far, arrival so far, the film at `solved` */
    rn_forecast forecast; /* at `solved`; with the pattern's stretch and twist only when complete */
    double twist;         /* the same with its sense, counter-clockwise positive [rad]; NaN */
} rv_studio_tale;

/* The panel seen from above at a moment. */
typedef struct rv_studio_picture {
    long version;
    int cells;
    rv_studio_wish wish; /* what it answers; wish.time may lie past `time` where that is not worked out yet */
    double time;         /* of the film shown [s] */
    bool sharp;          /* traced right back; else a rough one, found from faces near by */
    rn_still *still;
    rn_strata *face;        /* one plane: the face, or what is seen when peeled */
    cairo_surface_t *image; /* the panel's rectangle, wish.pixels along its longer side */
} rv_studio_picture;

typedef struct rv_studio_core {
    long version;
    rv_studio_wish wish;
    double time;
    rn_cut cut; /* the middle column stands at the point */
} rv_studio_core;

typedef struct rv_studio_section {
    long version;
    rv_studio_wish wish;
    double time;
    rn_cut cut;
} rv_studio_section;

typedef struct rv_studio_pull {
    long version;
    rv_studio_wish wish;
    double time, since; /* [s] */
    rn_stretch stretch;
} rv_studio_pull;

/* The newest answer not yet taken, the caller's to free; NULL if there is none. */
rv_studio_tale *studio_take_tale(rv_studio *studio);
rv_studio_picture *studio_take_picture(rv_studio *studio);
rv_studio_core *studio_take_core(rv_studio *studio);
rv_studio_section *studio_take_section(rv_studio *studio);
rv_studio_pull *studio_take_pull(rv_studio *studio);

void studio_tale_free(rv_studio_tale *tale);
void studio_picture_free(rv_studio_picture *picture);
void studio_core_free(rv_studio_core *core);
void studio_section_free(rv_studio_section *section);
void studio_pull_free(rv_studio_pull *pull);

#endif
