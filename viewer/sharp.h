/* Sharp faces that were traced already, the newest few: what is asked for again - in another light, on another page, at the
   end of play - need not be traced again, nor seen roughly meanwhile. */
#ifndef SHARP_H
#define SHARP_H

#include "run/strata.h"

#define SHARP_MOST 4

typedef struct rv_sharp_face {
    rn_strata *strata; /* one plane, owned; NULL: none */
    double peel;       /* share of the depth lifted off it */
} rv_sharp_face;

typedef struct rv_sharp {
    rv_sharp_face faces[SHARP_MOST];
    int next; /* gives way next */
} rv_sharp;

/* Keeps a copy of a face of that plan; where there is no memory it is not kept. */
void sharp_keep(rv_sharp *sharp, const rn_plan *plan, const rn_strata *face, double peel);

/* A copy of the face of that moment, the caller's; NULL: it is not kept. */
rn_strata *sharp_find(const rv_sharp *sharp, const rn_plan *plan, double time, double peel);

/* Lets go of what lies after a time, as the film there is another now. */
void sharp_cut(rv_sharp *sharp, double time);

#endif
