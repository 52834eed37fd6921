/* The panel's outline, and what hangs over it: how far paint reaches beyond the edge, all the way round. */
#ifndef RN_SHOW_LIP_H
#define RN_SHOW_LIP_H

#include <stdbool.h>

#include "matter/panel.h"

/* A place told from the nearest edge. */
typedef struct rn_rim_place {
    float along;   /* counter-clockwise round the edge from its front left end (a disc's bearing -135 deg) [m] */
    float out;     /* distance from the edge, negative on the panel [m] */
    float nx, ny;  /* outward */
    float foot[2]; /* the nearest point of the edge [m] */
} rn_rim_place;

rn_rim_place rn_lip_place(const rn_panel *panel, float x, float y);

/* All the way round [m]. */
double rn_lip_length(const rn_panel *panel);

typedef struct rn_lip {
    int count;
    float step;   /* [m] */
    float *reach; /* count: how far paint hangs over the edge [m] */
} rn_lip;

/* spill[count]: what has run over each of `count` equal stretches of the edge [m3], from its front left end. Where paint
   ran over, it coats the edge; drips hang there, the more and longer the more ran over, in places drawn from a fixed
   seed; elsewhere nothing does. False if no memory; rn_lip_clear takes either. */
bool rn_lip_init(rn_lip *lip, const rn_panel *panel, const double *spill, int count);
void rn_lip_clear(rn_lip *lip);

/* Reach at `along` [m], and how it changes along the edge [-]. */
float rn_lip_reach(float *change, const rn_lip *lip, float along);

#define RN_LIP_MOST 9e-3f /* no drip reaches farther [m] */

#endif
