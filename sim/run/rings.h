/* The bands that a pour shows on the face: how many, how wide, and where they are too thin to be told apart. */
#ifndef RN_RUN_RINGS_H
#define RN_RUN_RINGS_H

#include <stdbool.h>

#include "base/error.h"
#include "plan/plan.h"
#include "run/strata.h"

#define RN_RING_BEARINGS 8
#define RN_MUD_WIDTH 0.5e-3 /* bands thinner than this run together for the eye [m]; common practice, no source */

/* One band met on the way out from the release's centre: a stretch of one paint. */
typedef struct rn_ring_band {
    double from, to; /* distance from the centre [m] */
    int paint;       /* index into the plan's paints */
    bool whole;      /* false for the one that the centre lies in and for one cut by the panel's edge */
} rn_ring_band;

/* Widths of whole bands [m]; NaN where there are none. */
typedef struct rn_ring_widths {
    int count;
    double least, median, greatest;
} rn_ring_widths;

typedef struct rn_ring_bearing {
    double bearing;      /* counter-clockwise from right [rad] */
    double reach;        /* from the centre to the panel's edge [m] */
    int count;           /* bands seen, whole or not, outward; between them lie other paint and mud */
    rn_ring_band *bands; /* owned */
    rn_ring_widths widths;
} rn_ring_bearing;

typedef struct rn_rings {
    int pour;
    double x, y;                                /* the release's centre, panel's frame [m] */
    rn_ring_bearing bearings[RN_RING_BEARINGS]; /* right, right back, back, ...: every 45 deg */
    rn_ring_widths all;                         /* of all bearings together */
} rn_rings;

/* Measures the face plane of the strata. Band edges are found between its points; where other paint or a fold of the
   face lies, to half a point, and what is thinner there than one and a half points is a jag and no band. Bands thinner
   than RN_MUD_WIDTH are not seen, and of bands in a row that are the same paint one is. */
rn_status rn_rings_measure(rn_rings *rings, const rn_strata *strata, const rn_plan *plan, int pour, rn_error *err);
void rn_rings_clear(rn_rings *rings);

/* Share of the wet face where bands of a pour are thinner than `width` [m], the paint in the band over |grad released|;
   folds, other pours and base coats beside a point are passed over. */
double rn_rings_mud(const rn_strata *strata, const rn_plan *plan, double width);

#endif
