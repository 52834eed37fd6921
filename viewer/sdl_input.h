/* From SDL's events to inputs; for window.c alone. */
#ifndef SDL_INPUT_H
#define SDL_INPUT_H

#include <SDL.h>
#include <stdbool.h>

#include "input.h"

/* ratio: pixels of the surface per pixel of the window; width, height: of the surface [pixels]. False if the event is of no
   concern. */
bool input_from_event(rv_input *input, const SDL_Event *event, double ratio, int width, int height);

#endif
