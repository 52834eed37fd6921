/* What lies on the panel: shared by the files that draw it. */
#ifndef FILM_H
#define FILM_H

#include "canvas.h"

/* The outline of the panel as the current path, turned as the view shows it. */
void film_outline(const rv_canvas *canvas);

/* An image of the panel's rectangle, first row at the back, laid over it. */
void film_lay(const rv_canvas *canvas, cairo_surface_t *image, bool smooth);

/* The sheets that lie over the face: film_maps.c. */
void film_depth(rv_canvas *canvas, const rn_still *still);
void film_arrival(rv_canvas *canvas, const rn_record *record);
void film_stretch(rv_canvas *canvas, const rv_studio_pull *pull);

#endif
