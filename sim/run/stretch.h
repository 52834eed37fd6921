/* How far the face has been pulled since an earlier moment: the ellipse that a small circle drawn then has become. */
#ifndef RN_RUN_STRETCH_H
#define RN_RUN_STRETCH_H

#include <stdbool.h>

#include "base/error.h"

#define RN_STRETCH_DISTANCE 0.5e-3 /* to either side of a point; differences reach at least one point [m] */

/* Where each point of the face was at the earlier moment; all of it stays the caller's. Points lie as in rn_strata:
   x = ((i + 0.5)/nx - 0.5) width, row 0 at the front. */
typedef struct rn_past_face {
    int nx, ny;
    double width, height; /* of the panel [m] */
    const float *x0, *y0; /* ny*nx [m] */
    const bool *known;    /* ny*nx: paint that was in the face then; false for bare ground and paint poured since */
} rn_past_face;

typedef struct rn_stretch {
    int nx, ny;
    double width, height; /* [m] */
    /* ny*nx, owned; NaN where it is not known. The ellipse's longer axis over its shorter; both axes over the circle's
       diameter; and the bearing of the longer, -pi/2..pi/2 [rad]. */
    float *ratio, *longest, *shortest, *direction;
    double known;                /* share of the wet face where it is known; 0: the rest is NaN */
    double past[3];              /* shares of what is known whose ratio is beyond 1.5, 2, 3 */
    double limit, past_limit;    /* the ratio asked about, and the share beyond it */
    double median, high;         /* ratio: half and 99 % of what is known have less */
    double most, most_x, most_y; /* greatest ratio that holds over some places at once, and where [m] */
} rn_stretch;

/* Gradient of x0, y0 by differences over RN_STRETCH_DISTANCE to both sides, to one where only that is known; its
   inverse is the deformation gradient, whose singular values are the ellipse's axes. A place where the face has turned
   over or closed up (no inverse) is not known. `most` is the greatest median of 3 by 3 points. wet: ny*nx, or NULL where
   all the face is; limit: the plan's. */
rn_status rn_stretch_measure(rn_stretch *stretch, const rn_past_face *past, const bool *wet, double limit,
                             rn_error *err);
void rn_stretch_clear(rn_stretch *stretch);

/* The ratio that this share of what is known stays under; NaN if nothing is, or no memory. */
double rn_stretch_quantile(const rn_stretch *stretch, double share);

#endif
