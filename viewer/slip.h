/* The rows of a paper slip: the keys of one thing, from the key table. */
#ifndef SLIP_H
#define SLIP_H

#include "plan/plan_keys.h"
#include "view.h"

/* Where the keys of such a thing stand. */
rn_section slip_section(rv_slip_kind kind);

/* The figures above a jar's keys are rows before the first of these. */
#define SLIP_ROW_VOLUME (-2)
#define SLIP_ROW_CONSISTENCY (-1)

/* How many keys the slip that lies open shows; 0 if none does. */
int slip_rows(const rv_view *view);

/* The row that the slip begins with: 0, or SLIP_ROW_VOLUME if it is a jar's. */
int slip_first(const rv_view *view);

/* The row with the focus so many further on; past the last comes the first. */
void slip_walk(rv_view *view, int step);

/* The key of a row; NULL if there is no such row. */
const rn_key *slip_key(const rv_view *view, int row);

/* Whether it is one of the plan's limits, which the plan's slip shows with its own keys. */
bool slip_limit(const rn_key *key);

/* The rules on a jar's slip: their ends on the page, and what their knob stands for at x. */
void slip_rule(double *x, double *width, const rv_layout *at);
double slip_volume_top(double volume); /* at the right end, for a jar that holds so much [m3] */
double slip_volume_at(const rv_layout *at, double x, double top);
double slip_viscosity_at(const rv_layout *at, double x); /* [Pa s] */
double slip_viscosity_share(double viscosity);

/* Its path for rn_plan_set: "paints.coral.viscosity", "moves.3.tilt", "panel.size", "cover". False if there is none. */
bool slip_path(char *path, int size, const rv_view *view, int row);

#endif
