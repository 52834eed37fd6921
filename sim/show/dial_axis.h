/* An axis along which a number of a plan changes: by steps or by factors, with figures in a person's unit. */
#ifndef RN_SHOW_DIAL_AXIS_H
#define RN_SHOW_DIAL_AXIS_H

#include "search/dial.h"
#include "show/pen.h"

typedef struct rn_dial_axis {
    const rn_dial *dial;
    double x0, x1; /* where its ends, dial->from and dial->to, stand on the page, along the axis */
} rn_dial_axis;

/* Of a magnitude, as in rn_dial. */
double rn_dial_axis_place(const rn_dial_axis *axis, double value);

/* Round values within the range, rising, so far apart on the page that figures of `gap` units have room. Returns how
   many. */
#define RN_DIAL_TICKS_MOST 24
int rn_dial_axis_ticks(double values[RN_DIAL_TICKS_MOST], const rn_dial_axis *axis, double gap);

/* "consistency", "paint poured", "spin of move 4": the number in words. */
void rn_dial_words(char *text, int size, const rn_dial *dial);

/* Ticks and figures under a horizontal axis at y, the last with its unit; for consistencies the ladder's words beneath;
   then the number in words. */
void rn_dial_axis_draw_along(rn_pen *pen, const rn_dial_axis *axis, double y);

/* The same to the left of a vertical axis at x, within `room`, words and unit turned to read upward. */
void rn_dial_axis_draw_up(rn_pen *pen, const rn_dial_axis *axis, double x, double room);

#endif
