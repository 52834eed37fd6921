/* The layers along a line across the panel. */
#ifndef RN_RUN_CUT_H
#define RN_RUN_CUT_H

#include "base/parallel.h"
#include "run/past.h"
#include "run/still.h"

/* Plain data, owned; column i stands at the share (i + 0.5)/columns of the way from A to B, entries are
   [column*rows + row], level (row + 0.5)/rows of the depth, row 0 at the panel. */
typedef struct rn_cut {
    double ax, ay, bx, by; /* [m] */
    int columns, rows;
    double *depth;        /* columns [m] */
    unsigned char *paint; /* RN_PAINT_NONE where the film is thinner than RN_STRATA_BARE */
    short *pour;
    float *released; /* [m3] */
} rn_cut;

rn_status rn_cut_trace(rn_cut *cut, const rn_past *past, const rn_still *still, const double a[2], const double b[2],
                       int columns, int rows, rn_team *team, rn_error *err);
void rn_cut_clear(rn_cut *cut);

#endif
