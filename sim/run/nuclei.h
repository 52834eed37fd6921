/* Where cells open on the face, drawn by lot. It illustrates how large cells come out and how far the paint stretches
   them; it does not promise where one will open. Spacing comes from the instability (matter/overturn.h) or from the
   caller, places and sizes from a seed. */
#ifndef RN_RUN_NUCLEI_H
#define RN_RUN_NUCLEI_H

#include <stdbool.h>

#include "base/error.h"
#include "matter/panel.h"

#define RN_NUCLEI_MOST 250000  /* on one panel */
#define RN_NUCLEI_DEEPEST 0.15 /* what opens in the middle: paint lower than that is held by the panel (a choice) */

typedef struct rn_nuclei_options {
    double amount;  /* 0 none .. 1 as many and as wide as there is room for; 0.5 */
    long seed;      /* 1 */
    double moment;  /* when they open [s]; NaN: at the end of the last release */
    double spacing; /* there is one to spacing^2 at amount 1 [m]; NaN: the caller is to set it */
    double size;    /* greatest width at amount 1 [m]; NaN: 0.9 of the spacing */
} rn_nuclei_options;

rn_nuclei_options rn_nuclei_defaults(void);

typedef struct rn_nucleus {
    double x, y, radius; /* from the panel's centre [m] */
} rn_nucleus;

/* Plain data, owned. */
typedef struct rn_nuclei {
    int count;
    rn_nucleus *nucleus;
    int columns, rows; /* of the buckets */
    double bucket;     /* their side [m]; no more than one nucleus lies in each */
    double x0, y0;     /* front left corner of the first */
    int *first;        /* rows*columns: the nucleus in a bucket, -1 none */
} rn_nuclei;

/* Scatters them over the panel: no two lie closer than 0.8 of the spacing, no two overlap. The same seed gives the same
   nuclei; a greater amount keeps those of a smaller one, widens them and adds more. RN_E_USAGE where the options say
   nothing that can be drawn, or more than RN_NUCLEI_MOST. */
rn_status rn_nuclei_scatter(rn_nuclei *nuclei, const rn_panel *panel, rn_nuclei_options options, rn_error *err);

void rn_nuclei_free(rn_nuclei *nuclei);

/* Keeps those that are wanted, in their order; number: their place so far. */
typedef bool rn_nuclei_wanted(const void *context, const rn_nucleus *nucleus, int number);
void rn_nuclei_keep(rn_nuclei *nuclei, rn_nuclei_wanted *wanted, const void *context);

/* The nucleus whose cell covers a point, or -1; *share is the distance from its middle over its radius, 0..1 (untouched
   where there is none). */
int rn_nuclei_at(double *share, const rn_nuclei *nuclei, double x, double y);

/* The depth z/h whose paint an open cell shows at that share of its radius: RN_NUCLEI_DEEPEST in the middle, 1 (the
   face) at the rim. Each layer takes the part of the cell's area that its thickness deserves, lowest innermost:
   sigma = deepest + (1 - deepest) share^2. An illustration without a source. */
double rn_nuclei_depth(double share);

#endif
