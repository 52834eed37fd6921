/* The past of a film: what is needed to tell which paint a traced point is. */
#ifndef RN_RUN_PAST_H
#define RN_RUN_PAST_H

#include "film/layers.h"
#include "plan/plan.h"

#define RN_PAINT_NONE 255 /* bare ground */

typedef struct rn_past {
    const rn_plan *plan; /* the caller's, as the history is */
    rn_source sources[RN_POURS_MOST];
    rn_layers layers; /* points into `sources`: do not copy an rn_past */
} rn_past;

void rn_past_init(rn_past *past, const rn_plan *plan, const rn_history *history);

/* The paint of a point that was traced back to time 0: of the pour that it left, of the base
   coat at whose depth it lay, or, where
   that is dry ground, the front's: the first paint of the nearest pour (*front, may be NULL, then says so). Never
   RN_PAINT_NONE if the plan pours or coats anything. */
int rn_past_paint(bool *front, const rn_past *past, const rn_tracers *points, long point);

/* The paint of the base coats at a place, at the share `sigma` of their depth; RN_PAINT_NONE where there is none. */
int rn_past_based(const rn_plan *plan, double x, double y, double sigma);

#endif
