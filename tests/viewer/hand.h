/* A hand on the window, for tests: finds what can be pressed in the last frame, presses, drags, types. */
#ifndef HAND_H
#define HAND_H

#include "view.h"

typedef struct painter {
    rv_view *view;
    double now; /* [s] */
} painter;

/* The topmost place of a part in the last frame [units]; false if it is not there. */
bool hand_find(rn_box *box, const painter *hand, rv_part part, int a, int b);

void hand_press(painter *hand, rv_part part, int a, int b); /* and lifts */
void hand_take(painter *hand, rv_part part, int a, int b);  /* presses and holds */
void hand_move(painter *hand, double x, double y);          /* to a place [units] */
void hand_shift(painter *hand, double dx, double dy);       /* by so much [units] */
void hand_lift(painter *hand);
void hand_drag(painter *hand, rv_part part, int a, int b, double dx, double dy);
void hand_key(painter *hand, int key, unsigned mods);
void hand_type(painter *hand, const char *text);
void hand_wait(painter *hand, double seconds); /* in ticks of a sixtieth */

#endif
