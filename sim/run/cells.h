/* Cells: where a heavier paint lies over a lighter one it turns over, and colours from below come up in rounds that the
   flowing face then carries along and stretches. What size and how fast follows from the layers (matter/overturn.h);
   where each opens is drawn by lot (run/nuclei.h). */
#ifndef RN_RUN_CELLS_H
#define RN_RUN_CELLS_H

#include "base/parallel.h"
#include "run/nuclei.h"
#include "run/past.h"
#include "run/still.h"
#include "run/stretch.h"

#define RN_CELLS_GROWN 3.0 /* e-foldings until ripples have become cells: about twentyfold (a choice) */

/* Plain data; `nuclei` is owned. */
typedef struct rn_cells {
    double opened;     /* when [s] */
    double turns_over; /* share of the wet area where some heavier paint lies over lighter */
    double width;      /* expected, from the fastest ripple: half the columns that turn over have less [m]; NaN: none */
    double growth;     /* time of one e-folding of that ripple, median [s]; NaN: none */
    double rest;       /* from `opened` until the film is next tilted or spun, or the plan ends [s] */
    bool expected;     /* rest is long enough for RN_CELLS_GROWN e-foldings over a tenth of the wet area or more */
    double limit;      /* the plan's stretch to which a cell keeps its shape */
    int count, lost;   /* nuclei drawn by lot; of those, off the panel at the end */
    double stretch;    /* of the cells at the end: half of them have less; NaN where there are none */
    double stretch_high; /* nine in ten have less */
    double kept;         /* share of the cells at the end whose stretch is within the limit; NaN */
    rn_nuclei nuclei;    /* where they opened */
} rn_cells;

/* options.moment NaN: at the end of the last release; options.spacing NaN: as wide as the layers say, and no nuclei
   where they say nothing. opened: the film then. stretch: of the face at `until` since then. */
rn_status rn_cells_work_out(rn_cells *cells, const rn_past *past, const rn_still *opened, rn_nuclei_options options,
                            const rn_stretch *stretch, double until, rn_team *team, rn_error *err);
void rn_cells_clear(rn_cells *cells);

/* When they open [s]. */
double rn_cells_moment(const rn_plan *plan, rn_nuclei_options options);

#endif
