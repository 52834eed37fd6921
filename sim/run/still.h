/* The film at one moment, kept for a picture. */
#ifndef RN_RUN_STILL_H
#define RN_RUN_STILL_H

#include "base/error.h"
#include "base/grid.h"
#include "run/record.h"

typedef struct rn_still {
    rn_grid grid;
    bool *inside;     /* ny*nx, owned */
    double *depth;    /* ny*nx [m], owned */
    rn_moment moment; /* time, coverage, run-off, pose */
    int spill_count;  /* all the way round the edge, counter-clockwise from the front left end (round panels: from the
                         bearing -135 deg): equal stretches, and what has run over each of them so far [m3], owned */
    double *spill;
} rn_still;

void rn_still_free(rn_still *still);

#endif
