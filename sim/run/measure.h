/* What is measured on the film while it runs: coverage, arrival, corners. */
#ifndef RN_RUN_MEASURE_H
#define RN_RUN_MEASURE_H

#include <stdbool.h>

#include "base/error.h"
#include "base/grid.h"
#include "matter/panel.h"
#include "run/record.h"

/* Share of the face that must be covered for a panel to count as covered. */
#define RN_COVERED_SHARE 0.995

/* Side of the square at a corner whose mean depth is the corner's [m]. On a disc each quarter stands in for a
   corner: the band this wide along its rim. */
#define RN_CORNER_SIZE 5e-3

#define RN_WET_DEPTH 1e-5 /* less than this is not called wet [m] */

typedef struct rn_measure rn_measure;

/* What one look at the film shows. */
typedef struct rn_look {
    double coverage;           /* share of the face */
    double corner[RN_CORNERS]; /* mean depths [m] */
} rn_look;

/* inside: ny*nx, copied. */
rn_status rn_measure_new(rn_measure **measure, const rn_panel *panel, const rn_grid *grid, const bool *inside,
                         double cover, rn_error *err);
void rn_measure_free(rn_measure *measure);

/* Looks at the film at time t: depth points at cell (0, 0), rows are stride apart [m]. Cells that have become
   covered get t as their arrival. */
rn_look rn_measure_look(rn_measure *measure, const double *depth, long stride, double t);

/* What need not be known after every step: the greatest depth [m] and the share of the face that is wet. */
void rn_measure_extent(double *deepest, double *wet_area, const rn_measure *measure, const double *depth, long stride);

/* ny*nx: first time at least `cover` deep [s]; infinite where never. */
const float *rn_measure_arrival(const rn_measure *measure);

/* Arrivals as they once were, ny*nx; copied. */
void rn_measure_set_arrival(rn_measure *measure, const float *arrival);

#endif
