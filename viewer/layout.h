/* Where everything stands in the window, worked out from its size alone and the panel's shape: what is drawn and what is
   pressed agree because both ask here. Lengths are units (see docs/viewer.md); y grows downward. */
#ifndef LAYOUT_H
#define LAYOUT_H

#include <stdbool.h>

#include "matter/panel.h"
#include "show/pen.h"

typedef enum rv_lane { LANE_RELEASE, LANE_TURN, LANE_TILT, LANE_SPIN, LANE_REST, LANES } rv_lane;

typedef struct rv_layout {
    double width, height; /* of the window [units] */
    double scale;         /* pixels of the surface per unit */
    bool compact;
    double margin, gutter;

    rn_box top; /* the first lines: name, outcome, views */
    rn_box name, outcome, views;
    rn_box shelf, bench, right, clock;

    /* The bench: everything is round (cx, cy). */
    double cx, cy, ring; /* outer radius of the ring */
    double band;         /* its width */
    double per_metre;    /* units per metre of panel */
    rn_box panel;        /* as it lies square to the reader; in room view it turns about (cx, cy) */

    double level_x, level_y, level_radius, level_tilt; /* the bubble level: angle at its rim [rad] */
    rn_box sheets, core;
    rn_box slip; /* where a paper slip comes out between shelf and ring; it may be shorter */

    /* The clock: its axis runs from x0 (time 0) to x1. */
    double x0, x1, axis_y;
    rn_box strip;
    double lane_top[LANES], lane_height[LANES]; /* height 0: the lane is left out (compact, and nothing in it) */
} rv_layout;

/* width, height: of the drawing surface [pixels]; ratio: pixels of the surface per pixel of the window's own measure.
   empty[LANES]: lanes with nothing in them, which a small window leaves out; NULL: none is. */
rv_layout layout_make(int width, int height, double ratio, const rn_panel *panel, const bool empty[LANES]);

double layout_x(const rv_layout *at, double time, double end); /* of a time on the clock's axis */
double layout_time(const rv_layout *at, double x, double end); /* the inverse, within 0..end */

/* A point of the panel [m] on the page, for a panel that stands turned by `turned` [rad] (0: square to the reader), and
   back. */
void layout_point(double *px, double *py, const rv_layout *at, double x, double y, double turned);
void layout_spot(double *x, double *y, const rv_layout *at, double px, double py, double turned);

#endif
