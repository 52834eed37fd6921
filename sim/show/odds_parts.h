/* The parts of the odds' page. Lengths are units of the page (see pen.h). */
#ifndef RN_SHOW_ODDS_PARTS_H
#define RN_SHOW_ODDS_PARTS_H

#include "show/odds_page.h"

/* Each draw a drop: filled where the goal is met, hollow where it is missed; and the chance with its interval. */
void rn_odds_draw_drops(rn_pen *pen, rn_box box, const rn_odds *odds);

/* For each figure a strip: all draws, where 5, 50 and 95 of 100 lie below, the plan itself, and what is demanded. */
double rn_odds_spreads_height(const rn_odds *odds);
void rn_odds_draw_spreads(rn_pen *pen, rn_box box, const rn_odds *odds);

/* Bars of the rank correlations with the tightest demand, the doubts beside their names. */
double rn_odds_matter_height(const rn_odds *odds);
void rn_odds_draw_matter(rn_pen *pen, rn_box box, const rn_odds *odds);

#endif
