/* The window of plans that work, in words, as a table and as one JSON object. */
#ifndef RN_SHOW_REPORT_WINDOW_H
#define RN_SHOW_REPORT_WINDOW_H

#include <stdio.h>

#include "search/window_answer.h"
#include "show/report_search.h"

#define RN_REPORT_WINDOW_SIZE 1000

/* What was run of the tiles in the oval around the safest. */
#define RN_REPORT_WINDOW_INSIDE 120
void rn_report_window_inside(char *text, int size, const rn_window_answer *answer);

/* How many plans work and which stands safest; then what this plan comes to. Without line breaks. */
void rn_report_window_headline(char text[RN_REPORT_WINDOW_SIZE], const rn_window *window,
                               const rn_window_answer *answer);
void rn_report_window_own(char text[RN_REPORT_WINDOW_SIZE], const rn_window *window, const rn_window_answer *answer);

/* "1.31 Pa s, 158 ml": what the two numbers are, each with its name where that is not plain. */
#define RN_REPORT_WINDOW_PLACE 370
void rn_report_window_place(char *text, int size, const rn_window *window, double x, double y);

/* Write errors stay with the stream. */
void rn_report_window_text(FILE *out, const rn_window *window, const rn_window_answer *answer,
                           const rn_search_facts *facts);
void rn_report_window_json(FILE *out, const rn_window *window, const rn_window_answer *answer,
                           const rn_search_facts *facts);

/* A line for each tile, row by row from the least y; fields are quoted as in [rfc4180]. Figures that are not known are
   empty. */
void rn_report_window_csv(FILE *out, const rn_window *window);

#endif
