/* The window of plans that work as one picture: its map with contour lines, this plan, the safest and the nearest, and what
   must hold. Lengths on the page are units (see pen.h). */
#ifndef RN_SHOW_WINDOW_PAGE_H
#define RN_SHOW_WINDOW_PAGE_H

#include <stdio.h>

#include "base/error.h"
#include "search/window_answer.h"
#include "show/figure.h"
#include "show/pen.h"

#define RN_WINDOW_PAGE_WIDTH 1280.0

typedef struct rn_window_page {
    const char *title; /* of the plan; NULL or empty: none */
    const rn_window *window;
    const rn_window_answer *answer;
} rn_window_page;

/* The page is that high. */
double rn_window_page_height(rn_pen *pen, const rn_window_page *page);
/* False if no memory. */
bool rn_window_page_draw(rn_pen *pen, double height, const rn_window_page *page);

/* Writes the page; the path's suffix (.png, .pdf, .svg) says as what, "-" is a PNG to `standard`. */
rn_status rn_window_page_write(const char *path, FILE *standard, const rn_window_page *page, rn_figure_options options,
                               rn_error *err);

#endif
