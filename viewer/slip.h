/* The rows of a paper slip: the keys of one thing, from the key table. */
#ifndef SLIP_H
#define SLIP_H

#include "plan/plan_keys.h"
#include "view.h"

/* How many keys the slip that lies open shows; 0 if none does. */
int slip_rows(const rv_view *view);

/* The key of a row; NULL if there is no such row. */
const rn_key *slip_key(const rv_view *view, int row);

/* Whether it is one of the plan's limits, which the plan's slip shows with its own keys. */
bool slip_limit(const rn_key *key);

/* Its path for rn_plan_set: "paints.coral.viscosity", "moves.3.tilt", "panel.size", "cover". False if there is none. */
bool slip_path(char *path, int size, const rv_view *view, int row);

#endif
