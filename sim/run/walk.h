/* The face of the film, walked along straight lines: how much a pour had let out when the paint there left it, between
   the points of the strata as well as on them. */
#ifndef RN_RUN_WALK_H
#define RN_RUN_WALK_H

#include <stdbool.h>

#include "plan/plan.h"
#include "run/strata.h"

typedef struct rn_walk {
    const rn_strata *strata; /* these two stay the caller's */
    const rn_pour *pour;
    int number;    /* of the pour in its plan */
    double x, y;   /* the release's centre [m] */
    double finest; /* the least band of the stack [m3] */
    double step;   /* a quarter of the distance between points [m] */
} rn_walk;

rn_walk rn_walk_make(const rn_strata *strata, const rn_plan *plan, int pour);

/* What is underfoot. */
typedef struct rn_footing {
    bool on_panel;   /* on its rectangle */
    bool ours;       /* paint of this pour */
    bool smooth;     /* interpolated; else it is the nearest point's, since other paint or a fold is within a point */
    double released; /* [m3] */
} rn_footing;

rn_footing rn_walk_look(const rn_walk *walk, double x, double y);

/* How fast the volume released changes across the face there, |grad released| [m2], from neighbours of the same pour
   and this side of any fold; NaN where there are none. i, j: a point of the strata that is the pour's. */
double rn_walk_slope(const rn_walk *walk, int i, int j);

/* The paint of a band. */
int rn_walk_paint(const rn_walk *walk, int band);

/* How much paint the visible band around `band` holds: neighbours in the order of release that are the same paint are
   seen as one [m3]. *ends: how many of its ends (0..2) are an edge to another paint. */
double rn_walk_visible(int *ends, const rn_walk *walk, int band);

#endif
