/* The panel's rim: how much film an edge holds back, what runs over it, and where that goes.

   A sharp edge pins the film to h0 = 2 l_c sin((90 deg + theta)/2) [oliver1977]; where paint has gone over,
   the wetted edge holds only h1 = 2 l_c sin(theta/2). Beyond the threshold thr a rim of depth r lets out a drive

     G = f_n min(1, (r - thr)/(0.1 thr)) + rho g_n (r - thr)/l_c

   with f_n the body force outward; nothing comes back in. The film knows the depth h in the middle of its cell, a length a
   inside the rim. On that way the same drive is what the slope leaves of the body force,

     G = f_n - rho g_n (r - h)/a

   (where that would leave less than nothing at the cell's inner end, the paint is a wedge: r^2/(4 h a) for the slope). The
   two give r and G, which the cell's own column answers with q(h, G). So the rim holds on every grid what it says.

   thr moves from h0 to h1 with the play operator s = max over history of clamp((r - h0)/(0.1 h0), 0, 1),
   thr = h0 + s (h1 - h0), r here as the film's own slope carries its depth on to the rim: an edge once wet stays wet, however
   thin it drains. Open edges hold nothing. */
#ifndef RN_FILM_EDGE_H
#define RN_FILM_EDGE_H

#include <stdbool.h>

#include "base/error.h"
#include "base/grid.h"
#include "film/height.h"
#include "film/mobility.h"

/* The edge rule's constants, kept together because run-off hangs on them. */
#define RN_EDGE_SPILL_RANGE 0.1    /* the threshold falls from h0 to h1 while r rises by this share of h0 */
#define RN_EDGE_RAMP 0.1           /* body force acts in full from thr (1 + this) */
#define RN_EDGE_LEAST_HOLD 0.05e-3 /* neither h0 nor h1 is ever less [m] */

typedef struct rn_edge_face {
    int i, j;                        /* the cell inside */
    bool across_x;                   /* the face's axis is x, otherwise y */
    int sign;                        /* +1: outward is +x or +y */
    double normal_x, normal_y;       /* of the true perimeter */
    double weight;                   /* true length over the staircase's */
    double inset;                    /* from the cell's middle to the true perimeter [m] */
    double x, y;                     /* [m] */
    int side;                        /* 0 front, 1 right, 2 back, 3 left */
    double spilled;                  /* s, 0..1 */
    double side_volume, side_wetted; /* wrapped: paint on the side per length [m2], how far down it reaches [m] */
    double passed;                   /* has gone over so far, run off or on the side [m3] */
} rn_edge_face;

typedef struct rn_edges {
    rn_edge_kind kind;
    double hold, rehold;     /* h0, h1 [m] */
    double capillary_length; /* l_c [m] */
    double half_cell;        /* open edges: how far inside the rim the film begins to fall [m] */
    double side;             /* height of the sides [m] */
    double density;          /* [kg/m3] */
    int count;
    rn_edge_face *faces; /* sorted by row */
    int *row_first;      /* ny + 1: faces of row j are row_first[j] .. row_first[j+1]-1 */
} rn_edges;

/* Finds the rim's faces of the cells inside (ny*nx). */
rn_status rn_edges_init(rn_edges *edges, const rn_film_options *options, const bool *inside, rn_error *err);
void rn_edges_clear(rn_edges *edges);

/* Outward flux [m2/s] per length of the cell's face, and its slope by h [m/s]; rim: h carried on to the rim [m]. */
void rn_edge_flux(double *q, double *slope, const rn_edges *edges, const rn_edge_face *face, const rn_column *column,
                  double h, double rim, const rn_film_input *input);

/* After an accepted step: the edge remembers how far it spilled. */
void rn_edge_settle(rn_edge_face *face, const rn_edges *edges, double rim);

/* Wrapped edges: takes `arriving` [m2] per true length during dt [s] and returns what drips off [m2]. The side's film
   is layered as the column that feeds it. */
double rn_edge_side_step(rn_edge_face *face, const rn_edges *edges, const rn_column *column, double arriving,
                         double dt);

#endif
