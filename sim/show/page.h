/* The forecast's page: where the words, the map, the shelf, the dipstick and the clock stand on it. It is laid out in
   units, RN_PAGE_WIDTH of them across, whatever size it is printed at. */
#ifndef RN_SHOW_PAGE_H
#define RN_SHOW_PAGE_H

#include "show/figure.h"
#include "show/pen.h"

#define RN_PAGE_WIDTH 1280.0

/* The height that the page of this forecast needs [units]; needs a pen only to measure. */
double rn_page_height(rn_pen *pen, const rn_figure *figure);

/* Draws the whole page. False if no memory. */
bool rn_page_draw(rn_pen *pen, const rn_figure *figure, double height);

#endif
