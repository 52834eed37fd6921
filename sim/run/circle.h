/* What became of circles drawn in the face: turned, shifted, and out of round. */
#ifndef RN_RUN_CIRCLE_H
#define RN_RUN_CIRCLE_H

#include <stdbool.h>

#include "base/error.h"

#define RN_CIRCLE_MODES 12
#define RN_CIRCLE_POINTS 24      /* least number of points of a circle */
#define RN_CIRCLE_MISSING 0.0625 /* share of a circle's points that may have left the panel */

/* Drawn with its points evenly round, counter-clockwise, the first right of the centre; all of it stays the caller's. */
typedef struct rn_circle {
    double cx, cy, radius; /* as drawn [m] */
    int count;
    const float *x, *y;  /* where its points lie now [m] */
    const bool *missing; /* points that left the panel; NULL: none */
} rn_circle;

/* What became of a circle. A circle that lost more than RN_CIRCLE_MISSING of its points, or that does not go round its
   own middle any more, is lost: all figures are NaN. */
typedef struct rn_circle_fate {
    bool lost;
    int missing;                       /* points; shorter gaps are bridged */
    double drawn;                      /* radius at first [m] */
    double radius;                     /* mean, around the moved centre [m] */
    double drift_x, drift_y;           /* of the centre of the area enclosed [m] */
    double twist;                      /* mean turning about the moving centre, counter-clockwise positive [rad] */
    double mode[RN_CIRCLE_MODES + 1];  /* amplitudes of the radius around the moved centre; [0] the mean [m] */
    double phase[RN_CIRCLE_MODES + 1]; /* [rad] */
    double off_centre; /* mode 1 of the radius around the centre as drawn [m]; NaN where it does not go round that */
    double oval;       /* mode 2 [m] */
    double square;     /* mode 4 [m] */
    double fingers;    /* modes 6 to 12: root of the summed squares [m] */
} rn_circle_fate;

/* Circles from the smallest outward. Whole turns cannot be seen in one circle: each is taken to be turned within half a
   turn of the last before it that is not lost, the first of all within half a turn. */
rn_status rn_circle_measure(rn_circle_fate *fates, const rn_circle *circles, int count, rn_error *err);

#endif
