/* Lines of equal value through a field: marching squares, joined to polylines. */
#ifndef RN_SHOW_CONTOUR_H
#define RN_SHOW_CONTOUR_H

#include <stdbool.h>

typedef struct rn_polyline {
    int first, count; /* into the points */
    bool closed;      /* the last point is joined to the first */
} rn_polyline;

typedef struct rn_contour {
    double *x, *y; /* in steps of the field: node (i, j) lies at x = i, y = j */
    int point_count, point_room;
    rn_polyline *lines;
    int line_count, line_room;
} rn_contour;

/* Traces field[ny*nx] (row-major, at least 2 x 2) at a level, linear between nodes; squares with a NaN corner
   are left out. False if no memory; the contour is then empty. Start from `rn_contour c = {0}`. */
bool rn_contour_trace(rn_contour *contour, const double *field, int nx, int ny, double level);
void rn_contour_clear(rn_contour *contour);

/* Rounds the staircase that a sharp front leaves on the grid: each point becomes the (1, 2, 1) mean along its line, so
   many times over. No line is lost; ends stay where they are. */
void rn_contour_smooth(rn_contour *contour, int passes);

#endif
