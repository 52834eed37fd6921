/* The screen and the hands: an SDL window, or none at all for pictures and tests. The only other file that knows SDL is
   input.c. */
#ifndef WINDOW_H
#define WINDOW_H

#include <cairo.h>
#include <stdbool.h>

#include "base/error.h"
#include "input.h"

typedef struct rv_window rv_window;

/* A window of that size in the screen's own measure. RN_E_FILE where there is no screen. */
rn_status window_open(rv_window **window, int width, int height, rn_error *err);
void window_close(rv_window *window);

/* Size of the drawing surface [pixels], and its pixels per pixel of the window's own measure. */
void window_size(const rv_window *window, int *width, int *height, double *ratio);

void window_title(rv_window *window, const char *title);
void window_full(rv_window *window); /* to the whole screen, and back */

/* The next thing that happened; waits for it up to so long [s]. False if nothing did. */
bool window_next(rv_window *window, rv_input *input, double wait);

/* Ends a wait from another thread. */
void window_wake(void *window);

/* Shows an RGB24 image surface of the window's size. */
rn_status window_show(rv_window *window, cairo_surface_t *image, rn_error *err);

/* Of a clock that only rises [s]. */
double window_clock(void);

#endif
