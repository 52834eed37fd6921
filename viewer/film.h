/* What lies on the panel: shared by the files that draw it. */
#ifndef FILM_H
#define FILM_H

#include "bench.h"
#include "show/contour.h"
#include "show/sheet.h"

/* An image of the panel's rectangle, first row at the back, laid over it as it stands. */
void film_lay(const rv_canvas *canvas, const rv_bench *bench, cairo_surface_t *image);

/* Words on the panel: haloed, light on dark or dark on light; kept on the panel and off other words, or not drawn. */
bool film_words(rv_canvas *canvas, const rv_bench *bench, double x, double y, double align, bool light,
                const uint8_t halo[3], const char *text);

/* Over a face that is dimmed. */
bool film_note(rv_canvas *canvas, const rv_bench *bench, double x, double y, double align, const char *text);

/* A line under the bench at the right that says what the sheets show; line 0 is the lowest. The tile
   may be NULL. */
void film_caption(rv_canvas *canvas, int line, const rv_tile *tile, double share, rn_role role,
                  const char *const wordings[]);

/* The depth that is wanted at least, or else that counts as covered [m]; the head of the ramp for a still [m]. */
double film_least(const rn_plan *plan);
double film_top(const rn_plan *plan, const rn_still *still);

/* The sheets that lie over the face: film_depth.c and film_maps.c. */
void film_depth(rv_canvas *canvas, const rv_bench *bench, bool lines_only);
void film_arrival(rv_canvas *canvas, const rv_bench *bench);
void film_stretch(rv_canvas *canvas, const rv_bench *bench);

/* Lines of equal value (film_lines.c). With `steep` [value per metre] they stop where the field is steeper than that: at a
   front many would run into one. */
typedef struct rv_lines {
    rn_contour contour;
    const rn_sheet *sheet;
} rv_lines;
/* A field of the film laid out for tracing, coarser where it is finer than lines can show: depths or arrivals, the other
   NULL; NaN only where all the cells that become one are. Clear with rn_sheet_clear. False if no memory. */
bool film_sheet(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const double *depth, const float *arrival);
bool film_trace(rv_lines *lines, const rn_sheet *sheet, double level, int smooth);
void film_path(rv_canvas *canvas, const rv_bench *bench, const rv_lines *lines, double steep);
/* Names the lines once, where they lie farthest along a bearing of the page and there is room. */
void film_name(rv_canvas *canvas, const rv_bench *bench, const rv_lines *lines, double steep, double bearing,
               bool light, const uint8_t halo[3], const char *text);

#endif
