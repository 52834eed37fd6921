/* The paints of a plan, as they would stand on a shelf, and the panel they go on. */
#ifndef RN_SHOW_SHELF_H
#define RN_SHOW_SHELF_H

#include "plan/plan.h"
#include "run/forecast.h"
#include "show/pen.h"

/* The height that its paints need [units]. */
double rn_shelf_height(const rn_plan *plan);

/* Draws it from the top of the box, under it how long it stays wet and what to mind; where there
   is room; warnings that do not fit are counted in a last line. */
void rn_shelf_draw(rn_pen *pen, rn_box box, const rn_plan *plan, const rn_forecast *forecast);

#endif
