/* The odds of a plan in words, as one JSON object, and each draw as a line of CSV. */
#ifndef RN_SHOW_REPORT_ODDS_H
#define RN_SHOW_REPORT_ODDS_H

#include <stdio.h>

#include "search/odds.h"
#include "show/report_search.h"

#define RN_REPORT_ODDS_SIZE 400
#define RN_FIGURE_SIZE 40

/* The answer in a sentence or two, without line breaks. */
void rn_report_odds_headline(char text[RN_REPORT_ODDS_SIZE], const rn_odds *odds);

/* A figure in its unit with three digits, "never" where it is INFINITY; a reading, with a sign where it is a change. */
void rn_report_odds_figure(char text[RN_FIGURE_SIZE], rn_odds_figure figure, double value);
void rn_report_odds_reading(char text[RN_FIGURE_SIZE], const rn_reading *reading, double value);

/* The reading that goes most with a figure or demand; -1: none beyond what chance would do. */
int rn_report_odds_strongest(const double ranks[RN_READINGS_MOST], const rn_odds *odds);

/* order[odds->reading_count]: the readings from the one that matters most to the one that says nothing (NaN). */
void rn_report_odds_order(int order[RN_READINGS_MOST], const double ranks[RN_READINGS_MOST], const rn_odds *odds);

/* Write errors stay with the stream. */
void rn_report_odds_text(FILE *out, const rn_odds *odds, const rn_search_facts *facts);
void rn_report_odds_json(FILE *out, const rn_odds *odds, const rn_search_facts *facts);

/* A line for each draw: its number from 1, whether the goal is met, what was drawn, what came of it. The header names every
   column and its unit [rfc4180]; what is not known, or never, is empty. */
void rn_report_odds_csv(FILE *out, const rn_odds *odds);

#endif
