/* An invented pour to look at: strata and still made of simple shapes, not the solver's work. */
#ifndef RN_TESTS_SHOW_POURED_H
#define RN_TESTS_SHOW_POURED_H

#include <stdbool.h>

#include "plan/plan.h"
#include "run/still.h"
#include "run/strata.h"

typedef struct poured_options {
    double width, height; /* [m] */
    bool round;
    int cells, points; /* along the longer side */
    double depth;      /* of the film [m] */
} poured_options;

typedef struct poured {
    rn_plan *plan;
    rn_still still;
    rn_strata strata;
} poured;

/* 0.2 m square, 128 cells, 256 points, 1 mm deep. */
poured_options poured_defaults(void);

/* Four paints - slate, brass, kelp, foam - and one pour of 4 bands of 10 ml: slate, brass, slate, brass. Everywhere on
   the panel lies slate, half of the first band out. One plane; nothing has run over; 80 stretches of edge. */
poured poured_make(poured_options options);
void poured_clear(poured *made);

/* Sets one point of the strata; pour RN_FROM_NOWHERE is a base coat of that paint. */
void poured_set(poured *made, int i, int j, int paint, int pour, double released);

double poured_x(const poured *made, int i);
double poured_y(const poured *made, int j);

#endif
