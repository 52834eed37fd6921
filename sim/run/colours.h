/* Where each colour ends up: on the panel, over each edge, in the corners, in sight. */
#ifndef RN_RUN_COLOURS_H
#define RN_RUN_COLOURS_H

#include "base/parallel.h"
#include "run/past.h"
#include "run/record.h"
#include "run/still.h"
#include "run/strata.h"

#define RN_COLOUR_CORNER 20e-3 /* side of a corner's square, or width of a disc's rim, whose colours are told [m] */

/* Plain data; entries beyond paint_count are 0. */
typedef struct rn_colours {
    int paint_count;
    double came[RN_PAINTS_MOST];               /* poured and coated so far [m3] */
    double on_face[RN_PAINTS_MOST];            /* of that on the panel's face [m3] */
    double over[RN_SIDES][RN_PAINTS_MOST];     /* and over each edge: run off, or on its side [m3] */
    double run_off[RN_SIDES][RN_PAINTS_MOST];  /* of the latter what has run off; the side's paint is taken as mixed */
    double corner[RN_CORNERS][RN_PAINTS_MOST]; /* shares of the film in each corner; all 0 where it is bare */
    double visible[RN_PAINTS_MOST];            /* shares of the panel's area on whose face the paint is seen */
    double bare;                               /* share of the panel's area */
    double misplaced; /* before the volumes were fitted: share of all paint that was traced to the wrong colour */
    double worst;     /* and the greatest error of one paint's volume, as a share of that volume */
} rn_colours;

/* Traces the film of a still (`levels` points over the depth of each cell) and what has left the panel, then
   fits the volumes, paints by {face, edges}, in proportion to what came of each paint and what the film says is where
   (iterative proportional fitting [deming1940]); both are met to rounding. `seen`: its last plane is the face. */
rn_status rn_colours_trace(rn_colours *colours, const rn_past *past, const rn_still *still, const rn_strata *seen,
                           int levels, rn_team *team, rn_error *err);

/* Fits table[rows*columns] (>= 0) to the sums of its rows and columns; both add up to the same. The greatest remaining
   error of a sum, as a share of the whole. A row or column whose sum is positive must have a positive entry. */
double rn_colours_fit(double *table, int rows, int columns, const double *row_sums, const double *column_sums);

#endif
