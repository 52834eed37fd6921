/* Where paint came from, and where it goes. Composition is not carried along, for that would smear it: points of the
   film are traced through its history.

   With sigma = z/h, phi and F of film/profile.h,

     dx/dt = phi q/h,    dsigma/dt = [ sigma div q - div(F q) - sigma s_top ] / h

   with phi and F those of the column's own layers where the history knows what they are made of (u proportional to the
   integral of (1 - s)/mu(s); laws that are not a plain viscosity count with their apparent one at a shear rate of 1/s), and
   where a release through the film's whole depth changes no sigma and one laid on top lowers all. At sigma = 1 the face
   moves at phi(1) q/h and stays the face. A rim is a line finer than the grid: near it the smeared release's velocity
   is replaced by that of a line, and a trace that crosses the line while paint leaves it to both sides began there. */
#ifndef RN_FILM_LAYERS_H
#define RN_FILM_LAYERS_H

#include "base/parallel.h"
#include "film/history.h"
#include "matter/source.h"

#define RN_FROM_NOWHERE (-1) /* on the panel since time 0: base coat, or where the trace began */

/* Points to trace; arrays of `count`, changed in place: at the end where each was at the earlier time. */
typedef struct rn_tracers {
    long count;
    float *x, *y, *sigma; /* [m], [m], 0 at the panel .. 1 at the face */
    short *source;        /* which release it left, or RN_FROM_NOWHERE */
    float *released;      /* how much that release had let out by then [m3] */
    const int *interval;  /* NULL, or for each point the last interval that moves it, falling from point to point: they
                             are then taken up as the trace passes by */
} rn_tracers;

/* All of them RN_FROM_NOWHERE, nothing else set; no `interval`. */
rn_status rn_tracers_init(rn_tracers *points, long count, rn_error *err);
void rn_tracers_clear(rn_tracers *points);

/* What the points move through; stays the caller's. */
typedef struct rn_layers {
    const rn_history *history;
    double power;             /* the liquid's n, for its profile */
    const rn_source *sources; /* releases to look for */
    int source_count;
} rn_layers;

/* Traces points back from time `from` to time `to` [s], both rounded to the history's intervals. A point that has left a
   source stays there. */
rn_status rn_layers_trace(const rn_tracers *points, const rn_layers *layers, double from, double to, rn_team *team,
                          rn_error *err);

/* Carries points on from time `from` to time `to` [s]. A point that has left the panel stays outside. */
rn_status rn_layers_carry(const rn_tracers *points, const rn_layers *layers, double from, double to, rn_team *team,
                          rn_error *err);

#endif
