/* The contour lines of a window: where coverage, run-off and stretch come to values that are worth a line, and how such lines
   are drawn. */
#ifndef RN_SHOW_WINDOW_LINES_H
#define RN_SHOW_WINDOW_LINES_H

#include "search/window.h"
#include "show/contour.h"
#include "show/pen.h"

/* What contour lines are drawn of. */
typedef enum rn_window_field {
    RN_WINDOW_COVERAGE, /* [%] */
    RN_WINDOW_RUN_OFF,  /* [% of the paint] */
    RN_WINDOW_STRETCH,  /* [-] */
    RN_WINDOW_FIELDS,
} rn_window_field;

#define RN_WINDOW_LEVELS_MOST 5

/* Of one field, in tiles; owned. */
typedef struct rn_window_lines {
    int count;
    double levels[RN_WINDOW_LEVELS_MOST];
    rn_contour contours[RN_WINDOW_LEVELS_MOST]; /* may be without a line */
} rn_window_lines;

/* False if no memory; they are then empty. */
bool rn_window_lines_trace(rn_window_lines *lines, const rn_window *window, rn_window_field field);
void rn_window_lines_clear(rn_window_lines *lines);

/* Whether the window has any line of it. */
bool rn_window_field_shown(const rn_window *window, rn_window_field field);

/* "95 %". */
#define RN_WINDOW_LEVEL_TEXT 40
void rn_window_level_text(char text[RN_WINDOW_LEVEL_TEXT], rn_window_field field, double level);

rn_role rn_window_field_role(rn_window_field field);

/* Strokes the path as a line of the field: first the pale bed on which it stands out from any texture, then the line. */
void rn_window_field_bed(rn_pen *pen);
void rn_window_field_ink(rn_pen *pen, rn_window_field field);

#endif
