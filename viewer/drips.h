/* Where paint leaves a panel: places along its rim, counter-clockwise from the front left. */
#ifndef DRIPS_H
#define DRIPS_H

#include "canvas.h"

/* Where a side begins along the rim, and how long it is, as shares of the whole. */
void drips_side(double *from, double *length, const rn_panel *panel, rn_side side);

double drips_rim(const rn_panel *panel); /* how long the rim is [m] */

/* What has gone over the rim between two shares of it [m3]. */
double drips_spilled(const rn_still *still, double from, double to);

/* The place at share u of a side, and the way out there, for a panel drawn in that box square to the reader [units]. */
void drips_place(double place[2], double out[2], rn_box panel, bool round, rn_side side, double u);

#endif
