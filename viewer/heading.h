/* What the parts of the right column share (sheets.c). */
#ifndef HEADING_H
#define HEADING_H

#include "canvas.h"

/* A heading at the left, one at the right (may be ""), and a line under both; y: of the letters. */
void sheets_heading(rv_canvas *canvas, double x, double y, double width, const char *text, const char *right);

/* Where the list of sheets ends, and the core or section may begin [units]. */
double sheets_foot(const rv_canvas *canvas);

#endif
