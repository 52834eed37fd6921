/* A cut through the film from A to B: its paints one over another on the panel, depth exaggerated and said to be. */
#ifndef RN_SHOW_SECTION_H
#define RN_SHOW_SECTION_H

#include "plan/plan.h"
#include "run/strata.h"
#include "show/figure.h"
#include "show/pen.h"

/* What is drawn; all of it stays the caller's. Column i stands at the share (i + 0.5)/columns of the way from A to B. */
typedef struct rn_section_view {
    const rn_plan *plan;
    double time;                /* [s] */
    double ax, ay, bx, by;      /* the ends, from the panel's centre, apart [m] */
    int columns, rows;          /* >= 2, >= 1 */
    const double *depth;        /* columns [m]; up to RN_STRATA_BARE is bare */
    const unsigned char *paint; /* columns*rows: [column*rows + row], level (row + 0.5)/rows of the depth, row 0 at the
                                   panel; index into the plan's paints, RN_PAINT_NONE where nothing is known */
    /* As in rn_strata, laid out like the paints: with them, bands are as sharp as the picture; both may be NULL. */
    const short *pour;
    const float *released;
} rn_section_view;

/* How many times deeper than wide it is drawn in so much room [units]: the greatest of 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8
   and these by tens with which the film fits. 1 where there is no film. */
double rn_section_exaggeration(const rn_section_view *section, double width, double height);

/* The height that the key of its paints needs below the cut [units]. */
double rn_section_key_height(rn_pen *pen, const rn_section_view *section, double width);

/* Draws the cut, its scales and its key into the box. False if no memory. */
bool rn_section_draw(rn_pen *pen, rn_box box, const rn_section_view *section);

/* The same on a page with a headline and a small plan of where the cut lies: its height [units], and the drawing of it.
   False if no memory. */
#define RN_SECTION_PAGE_WIDTH 1280.0
double rn_section_page_height(rn_pen *pen, const rn_section_view *section);
bool rn_section_page_draw(rn_pen *pen, const rn_section_view *section, double height);

/* Writes that page; the path's suffix (.png, .pdf, .svg) says which kind, "-" is a PNG to `standard`. RN_E_USAGE for
   another suffix. */
rn_status rn_section_write(const char *path, FILE *standard, const rn_section_view *section, rn_figure_options options,
                           rn_error *err);

#endif
