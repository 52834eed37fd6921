/* Which paints lie over each other in the film while a session runs, so that paints of different consistency each flow
   by their own law: a chain of the film's maps is followed, and the film's columns are set anew about once a second. */
#ifndef RN_RUN_LAYERING_H
#define RN_RUN_LAYERING_H

#include "film/chain.h"
#include "film/height.h"
#include "plan/plan.h"

#define RN_LAYERING_POINTS 128 /* at most, along the longer side; fewer are quicker and tell less */

typedef struct rn_layering rn_layering;

/* Whether the paints that the plan uses differ in how they flow. */
bool rn_layering_needed(const rn_plan *plan);

/* For the film as it is at time 0, followed at `most` points along the longer side; the plan stays the caller's. The history
   is told of every change of the columns. */
rn_status rn_layering_new(rn_layering **layering, const rn_plan *plan, rn_film *film, rn_history *history, int most,
                          int threads, rn_error *err);
void rn_layering_free(rn_layering *layering);

/* Another plan that agrees with the one before up to now; stays the caller's. */
void rn_layering_replan(rn_layering *layering, const rn_plan *plan);

/* How far it had come, to go back to. */
typedef struct rn_layering_saved rn_layering_saved;
rn_status rn_layering_save(rn_layering_saved **saved, const rn_layering *layering, rn_error *err);
void rn_layering_saved_free(rn_layering_saved *saved);
long rn_layering_saved_bytes(const rn_layering_saved *saved);
void rn_layering_restore(rn_layering *layering, const rn_layering_saved *saved);

long rn_layering_bytes(const rn_layering *layering);

/* When it next wants to be renewed [s]. */
double rn_layering_due(const rn_layering *layering);

/* Sets the film's columns for this time, which must be an end of an interval of the history. */
rn_status rn_layering_renew(rn_layering *layering, rn_film *film, rn_history *history, double time, rn_error *err);

#endif
