/* The odds of a plan as one picture: the draws as drops, how far each outcome spreads, and what matters most. */
#ifndef RN_SHOW_ODDS_PAGE_H
#define RN_SHOW_ODDS_PAGE_H

#include "search/odds.h"
#include "show/figure.h"
#include "show/pen.h"

#define RN_ODDS_PAGE_WIDTH 1280.0

/* The page [units], RN_ODDS_PAGE_WIDTH across; title: of the plan, may be empty. */
typedef struct rn_odds_page {
    const rn_odds *odds;
    const char *title;
} rn_odds_page;

double rn_odds_page_height(rn_pen *pen, const rn_odds_page *page);
void rn_odds_page_draw(rn_pen *pen, double height, const rn_odds_page *page);

/* Writes the page; the path's suffix (.png, .pdf, .svg) says as what, "-" is a PNG to `standard`. */
rn_status rn_odds_page_write(const char *path, FILE *standard, const rn_odds *odds, const char *title,
                             rn_figure_options options, rn_error *err);

#endif
