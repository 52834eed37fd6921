/* What a session leaves behind: its history in time, the moment each place was first covered, and the
   final film. Plain data; outlives its session. */
#ifndef RN_RUN_RECORD_H
#define RN_RUN_RECORD_H

#include <stdbool.h>

#include "base/error.h"
#include "base/grid.h"

#define RN_SIDES 4   /* front, right, back, left: edges of a rectangle; quarters of a disc facing that way */
#define RN_CORNERS 4 /* back left, back right, front right, front left; quarters of a disc at these bearings */

typedef enum rn_side { RN_FRONT, RN_RIGHT, RN_BACK, RN_LEFT } rn_side;

extern const char *const rn_side_names[RN_SIDES];                  /* "front" ... */
extern const char *const rn_corner_names[RN_CORNERS];              /* "back left" ... */
extern const int rn_corner_x[RN_CORNERS], rn_corner_y[RN_CORNERS]; /* -1 left or front, +1 right or back */

typedef struct rn_moment {
    double time;               /* [s] */
    double released;           /* poured so far, without the base [m3] */
    double coverage;           /* share of the face at least `cover` deep */
    double wet_area;           /* share of the face with any paint (over 0.01 mm) */
    double run_off[RN_SIDES];  /* so far [m3] */
    double on_sides;           /* paint on wrapped sides [m3] */
    double deepest;            /* [m] */
    double corner[RN_CORNERS]; /* mean depth over each corner's 5 mm square [m] */
    double tilt, downhill;     /* of the panel to the level; bearing in the panel's frame [rad] */
    double turned, rate;       /* [rad], [rad/s] */
} rn_moment;

/* Over all sides [m3]. */
double rn_moment_run_off(const rn_moment *moment);

typedef struct rn_record {
    rn_grid grid;
    bool *inside;   /* ny*nx: cells of the face (all of them on a rectangle), owned */
    double *depth;  /* ny*nx: final film [m], owned */
    float *arrival; /* ny*nx: first time at least `cover` deep [s]; NaN never, owned */
    int moment_count;
    rn_moment *moments; /* evenly spaced, about 500, the first at 0 and the last at the end; owned */
    double end;         /* where the session stopped [s] */
    bool complete;      /* reached the plan's end (or the time asked for) */
} rn_record;

void rn_record_free(rn_record *record);

#endif
