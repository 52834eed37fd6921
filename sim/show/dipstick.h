/* The key to the depth ramp: a stick dipped into the film. */
#ifndef RN_SHOW_DIPSTICK_H
#define RN_SHOW_DIPSTICK_H

#include "show/pen.h"

#define RN_DIPSTICK_WIDTH 130.0 /* what it needs with its figures [units] */

/* Draws it inside the box (figures to the left, notes to the right of the stick): 0 at the foot, `top` [m] at the
   head, hatched up to `cover` [m], a mark at the mean depth [m]. */
void rn_dipstick_draw(rn_pen *pen, rn_box box, double top, double cover, double mean);

#endif
