/* The plan on one clock: coverage and run-off above, and under them a lane each for releases, turns, tilts, spins
   and rests. */
#ifndef RN_SHOW_CLOCK_H
#define RN_SHOW_CLOCK_H

#include "plan/plan.h"
#include "run/forecast.h"
#include "run/record.h"
#include "show/pen.h"

typedef struct rn_clock {
    rn_box box;    /* all of it on the page [units] */
    double x0, x1; /* the time axis */
    double end;    /* time at x1 [s]; 0 is at x0 */
    const rn_plan *plan;
    const rn_forecast *forecast;
    const rn_record *record;
} rn_clock;

/* The height that the clock of a plan needs: empty lanes are left out [units]. */
double rn_clock_height(const rn_plan *plan);

void rn_clock_draw(rn_pen *pen, const rn_clock *clock);

/* Page position of a time [s]. */
double rn_clock_x(const rn_clock *clock, double time);

/* The lanes under `top`; used by rn_clock_draw (see lanes.c). */
void rn_lanes_draw(rn_pen *pen, const rn_clock *clock, double top);
double rn_lanes_height(const rn_plan *plan);

#endif
