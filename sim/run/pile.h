/* What lies over each other at one place of the film: layers from the panel up, each with the law that its paint follows. A
   column's traced points, at a few heights, tell where they came from; between two of them the borders of the layers are
   found to a fraction of their distance, so that thin layers count for what they are. */
#ifndef RN_RUN_PILE_H
#define RN_RUN_PILE_H

#include <stdbool.h>

#include "plan/plan.h"

#define RN_PILE_MOST 16 /* layers; what comes above them counts as the last */

typedef struct rn_pile {
    int count;
    unsigned char law[RN_PILE_MOST];
    float foot[RN_PILE_MOST]; /* where each layer begins, as a share of the depth; the first 0 */
} rn_pile;

static inline rn_pile rn_pile_of(unsigned char law)
{
    return (rn_pile){.count = 1, .law = {law}};
}

/* Lays a layer on top that begins at `foot`, or at the last one's where that is higher. */
void rn_pile_add(rn_pile *pile, unsigned char law, float foot);

/* The layer at a height. */
int rn_pile_at(const rn_pile *pile, float height);

/* Gives all from one height to another that law. */
void rn_pile_paint(rn_pile *pile, unsigned char law, float from, float to);

/* How fast the layers' feet move [1/s], where the film spreads thin at that rate and is laid on from above at that one, both
   of its depth [1/s]: df/dt = (f - F(f)) spread - f laid, with F the share of the flux that runs below; rate[count].
   ease[law]: 1/mu. Returns how fast the column's own 1/mu changes, as a share of it [1/s]. */
double rn_pile_rates(float *rate, const rn_pile *pile, const double *ease, double spread, double laid);

/* A point of a column and where it came from. */
typedef struct rn_pile_point {
    float height;        /* where it is, as a share of the depth */
    const rn_pile *from; /* the column that it came from; NULL: it left a release, */
    float sigma;         /* and how high there */
    const rn_pour *pour; /* the release, */
    short number;
    bool on_top;
    float released; /* and how much it had let out by then [m3] */
} rn_pile_point;

/* The pile of a column whose points, from the panel (height 0) up, are known. law_of[paint]. sure: bit k where the borders
   between point k and the next are known to a fraction of their distance, and not only to lie between them. */
void rn_pile_find(rn_pile *pile, unsigned *sure, const rn_pile_point *points, int count, const unsigned char *law_of);

/* The law at a point. */
unsigned char rn_pile_law(const rn_pile_point *point, const unsigned char *law_of);

#endif
