/* The lanes of the clock. */
#ifndef LANES_H
#define LANES_H

#include "canvas.h"

extern const char *const lanes_names[LANES];
rv_lane lanes_of(rn_move_kind kind);

/* From when on nothing is poured and no hand moves the panel [s]. */
double lanes_still(const rn_plan *plan);

/* What a lane holds, in few words: "340 ml, 5 bursts", "4.0 rpm ↺ at 5–66 s", "none". */
void lanes_summary(char *text, int size, const rv_canvas *canvas, rv_lane lane);

/* Where in a lane, at or right of `from`, a text so wide stands on no block and not on the line of the time shown [units];
   NaN if nowhere. */
double lanes_gap(const rv_canvas *canvas, rv_lane lane, double from, double width);

/* What the block with the focus is, and what keys do to it: "tilt 1 of 2: 4.5° down to front right, 41–62 s. arrows move".
   False if none has it. */
bool lanes_note(char *text, int size, const rv_canvas *canvas);

#endif
