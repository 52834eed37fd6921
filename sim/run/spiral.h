/* The spiral that a pour shows: ring after ring is shifted off-centre, and the bearing of the shift turns.

   The edge of the bands where V had been released lies around the release's centre at r(theta) = radius +
   shift cos(theta - phase) + ...; where the phase turns from ring to ring, a spiral is seen, even if no paint turned. */
#ifndef RN_RUN_SPIRAL_H
#define RN_RUN_SPIRAL_H

#include <stdbool.h>

#include "base/error.h"
#include "plan/plan.h"
#include "run/strata.h"

#define RN_CURVE_BEARINGS 256
#define RN_CURVES_MOST 64
#define RN_SPIRAL_SHIFT 0.5e-3 /* a ring shifted less than this has no phase to speak of [m] */
#define RN_SPIRAL_TURN 0.1745  /* phases that turn less than this over all rings are no spiral [rad]: 10 deg */
#define RN_SPIRAL_RINGS 3      /* so many rings at least */

typedef struct rn_ring_curve {
    double released; /* V [m3] */
    bool complete;   /* met on nearly every bearing; if not, the rest is NaN */
    bool used;       /* for the spiral */
    double radius;   /* mean [m] */
    double shift;    /* amplitude of mode 1 [m] */
    double phase;    /* its bearing [rad]; turned by whole turns to lie nearest to the next ring within */
} rn_ring_curve;

typedef enum rn_hand {
    RN_HAND_NONE,
    RN_HAND_COUNTER_CLOCKWISE, /* going out along it one turns counter-clockwise, seen from above */
    RN_HAND_CLOCKWISE,
} rn_hand;

typedef struct rn_spiral {
    int pour;
    double x, y; /* what it is measured around [m] */
    int count;   /* edges looked for: all of the pour's, or RN_CURVES_MOST of them, evenly picked */
    rn_ring_curve curves[RN_CURVES_MOST]; /* complete ones first, from the smallest radius out */
    int complete, used;
    rn_hand hand;
    double turn;   /* of the phase with the radius, counter-clockwise outward positive [rad/m]; 0 where no hand */
    double turned; /* turn times the range of radius of the rings that were used [rad] */
} rn_spiral;

#define RN_CURVE_MISSING 0.125 /* share of a ring's bearings that may be out of sight; they are bridged */

/* Around `centre` [m], or where that is NULL the release's: once the paint has drifted its own middle is the better one.
   From the outermost places where the face crosses each V. `turn` is the slope of the phase over the radius with
   which the rings accord best, each counting by its shift; none where they do not. */
rn_status rn_spiral_measure(rn_spiral *spiral, const rn_strata *strata, const rn_plan *plan, int pour,
                            const double centre[2], rn_error *err);

/* `turn` in turns per decimetre. */
double rn_spiral_per_decimetre(const rn_spiral *spiral);

#endif
