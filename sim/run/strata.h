/* Which paint lies where in the film at one moment: planes of points over the whole panel, each traced back to the
   release, or the base coat, that it came from. */
#ifndef RN_RUN_STRATA_H
#define RN_RUN_STRATA_H

#include <stdbool.h>

#include "base/parallel.h"
#include "film/chain.h"
#include "run/nuclei.h"
#include "run/past.h"
#include "run/still.h"

#define RN_STRATA_LEVELS 8
#define RN_STRATA_POINTS 512 /* along the longer side */

/* Plain data, owned. Point (i, j) lies at x = ((i + 0.5)/nx - 0.5) width, y = ((j + 0.5)/ny - 0.5) height, row 0 at the
   front; points off a round panel, and where the film is thinner than RN_STRATA_BARE, are RN_PAINT_NONE. */
#define RN_STRATA_BARE 1e-5 /* [m] */
typedef struct rn_strata {
    int nx, ny;
    int planes;           /* depth levels from the panel up, at their midpoints, and the face as the last */
    double width, height; /* of the panel [m] */
    double time;          /* [s] */
    float *sigma;         /* planes: z/h, rising; the last is 1, or where the film was peeled */
    unsigned char *paint; /* planes*ny*nx: index into the plan's paints */
    short *pour;          /* planes*ny*nx: the pour it left; RN_FROM_NOWHERE: the base coat */
    float *released;      /* planes*ny*nx: how much that pour had let out just then [m3]; 0 for a base coat */
} rn_strata;

typedef struct rn_strata_options {
    int points;  /* along the panel's longer side, 64..4096; RN_STRATA_POINTS */
    int levels;  /* of depth, 1..64; 1: the face alone; RN_STRATA_LEVELS */
    double peel; /* in place of the levels one plane at this share of the depth from the top, 0..1; NaN: none */
    const rn_nuclei *nuclei; /* cells that open in the face; NULL: none; stays the caller's */
    double opened;           /* when they do [s] */
} rn_strata_options;

rn_strata_options rn_strata_defaults(void);

/* Traces the film of a still back through the past; the history must reach up to the still. */
rn_status rn_strata_trace(rn_strata **strata, const rn_past *past, const rn_still *still, rn_strata_options options,
                          rn_team *team, rn_error *err);

/* The face alone, from a chain that has been brought up to the still's time. Quicker; some hundredths of the face may take
   a neighbouring band's colour. */
rn_status rn_strata_find(rn_strata **strata, const rn_past *past, const rn_still *still, const rn_chain *chain,
                         int points, rn_team *team, rn_error *err);

void rn_strata_free(rn_strata *strata);

/* The same step by step, for whoever may have to break off on the way back. An empty one, its points not yet told; NULL if no
   memory: */
rn_strata *rn_strata_new(const rn_plan *plan, rn_strata_options options, double time);
/* then for each plane nothing lies anywhere, */
void rn_strata_clear_plane(rn_strata *strata, int plane);
/* the points that the film covers are put where they lie, at[k] telling where point k is in the plane (both nx*ny); their
   number, to be set as the tracers' count by the caller, */
long rn_strata_gather(const rn_tracers *points, int *at, const rn_strata *strata, const rn_still *still, int plane);
/* and, when they have been traced back, what they turned out to be is written down. */
void rn_strata_take(rn_strata *strata, int plane, const rn_past *past, const rn_tracers *wet, const int *at);

/* The plane of one level (planes - 1: the face): offset of its first point. */
static inline long rn_strata_plane(const rn_strata *strata, int plane)
{
    return (long)plane * strata->nx * strata->ny;
}

/* Which band of a pour is out when it has released that much [m3]: bands are numbered through its repeats, 0 first out;
   band % layer_count is the place in its stack. */
int rn_strata_band(const rn_pour *pour, double released);

/* Where that band begins and ends, in volume released [m3]. */
void rn_strata_band_range(double *from, double *to, const rn_pour *pour, int band);

#endif
