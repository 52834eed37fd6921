/* Where paint came from, kept up to date while the film runs: a chain of maps, each of which tells for a lattice of points
   at its end where they were at its beginning, or which release they left on the way. A point goes down the chain to its
   origin. Maps of displacement vary smoothly, so that interpolating them does little harm; what a release had let out is
   interpolated only once. Much quicker than tracing back to time 0 each time, and nearly as sharp. */
#ifndef RN_FILM_CHAIN_H
#define RN_FILM_CHAIN_H

#include <stdbool.h>

#include "film/layers.h"

typedef struct rn_chain rn_chain;

/* At time 0, over a panel of that grid's size, nx*ny points in planes at sigma[planes], rising; the face is 1. */
rn_status rn_chain_new(rn_chain **chain, const rn_grid *grid, int nx, int ny, const float *sigma, int planes,
                       rn_error *err);
void rn_chain_free(rn_chain *chain);

double rn_chain_time(const rn_chain *chain);
int rn_chain_maps(const rn_chain *chain);
long rn_chain_bytes(const rn_chain *chain);

/* Brings it up to the time `to`, an end of one of the history's intervals; about once a simulated second is enough. Needs
   no interval that ends before rn_chain_time. */
rn_status rn_chain_advance(rn_chain *chain, const rn_layers *layers, double to, rn_team *team, rn_error *err);

/* Goes back to the latest beginning of one of its maps that is not after `time`, unless it is no further already; from
   there it can be brought up again through another history that is the same until then. */
void rn_chain_cut(rn_chain *chain, double time);

/* The chain as it is, to go back to exactly there; a copy of one map. */
typedef struct rn_chain_saved rn_chain_saved;
rn_status rn_chain_save(rn_chain_saved **saved, const rn_chain *chain, rn_error *err);
void rn_chain_saved_free(rn_chain_saved *saved);
long rn_chain_saved_bytes(const rn_chain_saved *saved);
void rn_chain_restore(rn_chain *chain, const rn_chain_saved *saved); /* of this chain, not cut to before it */

/* Where points at rn_chain_time came from: as rn_layers_trace to time 0 would say. */
void rn_chain_find(const rn_tracers *points, const rn_chain *chain, rn_team *team);

/* The same through some of the maps only, from the later to the earlier: 0 is the oldest, rn_chain_maps - 1 the one that
   still grows. */
void rn_chain_descend(const rn_tracers *points, const rn_chain *chain, int later, int earlier, rn_team *team);

/* Where the lattice's own points, planes outermost and rows of x innermost, came from through the map that still grows:
   what it tells as it is, with nothing to interpolate. `points` holds as many. */
void rn_chain_newest(const rn_tracers *points, const rn_chain *chain, rn_team *team);

#endif
