/* Where and when paint arrives: releases from under a lifted rim or from a cup. */
#ifndef RN_MATTER_SOURCE_H
#define RN_MATTER_SOURCE_H

#include <stdbool.h>

#define RN_BURSTS_MOST 200
#define RN_SAME_MOMENT 1e-9 /* two events closer than this are one [s], as in motion.c */

typedef struct rn_source {
    bool on_top;                  /* a cup lays paint on the film; a rim feeds the film's whole depth */
    double x, y;                  /* centre [m] */
    double across;                /* rim or disc diameter [m] */
    double width;                 /* of the ring that the rim lets out [m]; unused by a cup */
    double volume;                /* in all [m3] */
    double start;                 /* of the first burst [s] */
    double every;                 /* from burst to burst [s] */
    double open;                  /* how long each burst lasts [s]; 0 is instant */
    int bursts;                   /* 1..RN_BURSTS_MOST */
    double share[RN_BURSTS_MOST]; /* of each burst, sum 1 */
    double uneven;                /* first harmonic round the rim, 0..1 */
    double uneven_toward;         /* its bearing [rad] */
} rn_source;

/* Volume let out up to time t [m3]. Each burst of length open flows at 1 - cos(2 pi t/open);
   an instant burst is out from its start on. */
double rn_source_released(const rn_source *source, double t);

/* Rate at time t [m3/s]; instant bursts do not show. */
double rn_source_rate(const rn_source *source, double t);

/* The first time after t at which a burst begins or ends; INFINITY if none. */
double rn_source_next_break(const rn_source *source, double t);

double rn_source_end(const rn_source *source);

/* Density of the release at a point, not normalised: a raised cosine across the ring's width times
   1 + uneven cos(bearing - uneven_toward); a cup's disc is even with a soft rim a tenth of its radius wide. */
double rn_source_shape(const rn_source *source, double x, double y);

/* A cup or a rim finer than cells of that size [m] becomes as fine as they can show, or the points that look for it
   would miss it. */
void rn_source_coarsen(rn_source *source, double cell);

#endif
