/* A bench as the window would show it, worked out in the test itself on a small grid: no threads, no window. */
#ifndef STAGED_H
#define STAGED_H

#include "canvas.h"

typedef struct staged {
    rv_view *view;
    rv_shown shown[PLACE_COUNT];
} staged;

/* Opens a plan, works it out and shows it at that time (INFINITY: at its end) with everything a studio would answer.
   cells 0: the test's grid. False if anything goes wrong. */
bool staged_set(staged *stage, const char *path, double time, int cells);

/* The same for the plan that the view holds now at one place: after an edit. */
bool staged_again(staged *stage, int place, int cells);
void staged_clear(staged *stage);

/* Draws a frame, with `longer` as in rv_frame_check; writes it to a PNG file unless that is NULL. */
bool staged_draw(staged *stage, int width, int height, double longer, rv_frame_check *check, const char *png);

#endif
