/* The film at one moment, kept for a picture. */
#ifndef RN_RUN_STILL_H
#define RN_RUN_STILL_H

#include "base/error.h"
#include "base/grid.h"
#include "run/record.h"

#define RN_STILL_STRETCHES 512

typedef struct rn_still {
    rn_grid grid;
    bool *inside;     /* ny*nx, owned */
    double *depth;    /* ny*nx [m], owned */
    rn_moment moment; /* time, coverage, run-off, pose */
    double on_face;   /* paint on the panel's face [m3] */
    double base;      /* of the base coat, as laid [m3] */
    int spill_count;  /* equal stretches all the way round the edge, counter-clockwise from the front left end (round
                         panels: from the bearing of -135 deg) */
    double *spill;    /* what has gone over each so far [m3], owned */
} rn_still;

/* One with its memory for films of that grid, nothing in it but the grid; NULL if no memory. */
rn_still *rn_still_new(const rn_grid *grid);
void rn_still_free(rn_still *still);

/* Depth of a still between its cells' middles, bilinear; 0 off the panel [m]. */
double rn_still_depth(const rn_still *still, double x, double y);

#endif
