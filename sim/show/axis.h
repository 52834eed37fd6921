/* Axes with round figures. */
#ifndef RN_SHOW_AXIS_H
#define RN_SHOW_AXIS_H

#include "show/pen.h"

typedef struct rn_axis {
    double from, to; /* values at the ends */
    double x0, x1;   /* where those stand on the page, along the axis */
} rn_axis;

double rn_axis_place(const rn_axis *axis, double value);

/* A step of 1, 2 or 5 times a power of ten that makes at most `most` steps of a range. */
double rn_axis_step(double range, int most);

/* A horizontal axis at y with ticks and figures beneath, the last with its unit; hairs up to `top`. */
void rn_axis_draw_along(rn_pen *pen, const rn_axis *axis, double y, double top, double step, const char *unit);

/* A vertical axis' figures, right-aligned at x - 8, the topmost with its unit; hairs to x1. */
void rn_axis_draw_up(rn_pen *pen, const rn_axis *axis, double x, double x1, double step, const char *unit);

#endif
