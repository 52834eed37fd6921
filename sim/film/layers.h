/* Where paint came from. Composition is not carried along, for that would smear it: points of the film are traced back
   through its history to the release, or the base coat, that they came from.

   With sigma = z/h and the profile of a film that flows over its panel, u(sigma) = phi(sigma) q/h, F its integral,

     dx/dt = phi q/h,    dsigma/dt = [ (sigma - F) div q - sigma s_top ] / h

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
} rn_tracers;

/* Traces points back from time `from` to time `to` [s], both rounded to the history's intervals. power: the liquid's n
   (its profile). Sources are looked for if count > 0. A point that has left a source stays there. */
rn_status rn_layers_trace(const rn_tracers *points, const rn_history *history, const rn_source *sources, int count,
                          double power, double from, double to, rn_team *team, rn_error *err);

/* phi and F of a power-law film at sigma: phi = (2n+1)/(n+1) (1 - (1-sigma)^(1+1/n)). */
double rn_layers_profile(double power, double sigma);
double rn_layers_profile_below(double power, double sigma);

#endif
