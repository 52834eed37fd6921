/* The stick that is the key to depth; it stands left of the ring. */
#ifndef DIPSTICK_H
#define DIPSTICK_H

#include "layout.h"

/* The stick on the page [units]: depth 0 at its foot, `top` [m] at its head. */
rn_box dipstick_box(const rv_layout *at);

/* A round depth at the head of the stick, or of another scale of depth, for a film so deep [m]. */
double dipstick_top(double deepest);

/* The depth at a place of the stick, for a stick that ends at `top` [m]. */
double dipstick_depth(const rv_layout *at, double y, double top);

#endif
