/* Which paint lies where: from what the layers' traces found to the plan's paints. */
#ifndef RN_RUN_ORIGIN_H
#define RN_RUN_ORIGIN_H

#include "film/history.h"
#include "plan/plan.h"

#define RN_PAINT_NONE 255 /* bare ground, or paint of unknown origin */

/* The paint that a pour lets out when it has released that much [m3]. */
int rn_origin_poured(const rn_pour *pour, double released);

/* The paint of the base coat at a place, the last laid; RN_PAINT_NONE where there is none. */
int rn_origin_based(const rn_plan *plan, double x, double y);

/* The paints of a lattice of nx * ny points over the whole panel (row 0 at the front), at sigma = z/h, at time t [s].
   Where a trace ends on dry ground it is the front's: the first paint of the nearest pour; *unknown counts them. */
rn_status rn_origin_lattice(unsigned char *paints, long *unknown, int nx, int ny, double sigma, double t,
                            const rn_plan *plan, const rn_history *history, int threads, rn_error *err);

#endif
