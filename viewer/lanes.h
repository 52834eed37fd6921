/* The lanes of the clock. */
#ifndef LANES_H
#define LANES_H

#include "canvas.h"

/* What the block with the focus is, and what keys do to it: "tilt 1 of 2: 4.5° down to front right, 41–62 s. arrows move".
   False if none has it. */
bool lanes_note(char *text, int size, const rv_canvas *canvas);

#endif
