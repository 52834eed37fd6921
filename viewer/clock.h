/* Parts of the clock that other pages have too; each draws into the clock and strip of the canvas' layout. */
#ifndef CLOCK_H
#define CLOCK_H

#include "canvas.h"

void clock_ground(rv_canvas *canvas, double solved); /* what is worked out until then, the rest hatched */
void clock_axis(rv_canvas *canvas);
void clock_disc(rv_canvas *canvas); /* pour or hold */
void clock_time(rv_canvas *canvas);

/* The line of the time shown, with dots where it meets the curves of the tale (may be NULL). top: of the run-off's scale. */
void clock_plumb(rv_canvas *canvas, const rv_studio_tale *tale, double top);

#endif
