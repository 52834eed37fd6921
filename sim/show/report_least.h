/* The least that meets a goal, in words and as one JSON object. */
#ifndef RN_SHOW_REPORT_LEAST_H
#define RN_SHOW_REPORT_LEAST_H

#include <stdio.h>

#include "search/least.h"
#include "search/together.h"
#include "show/report_search.h"

#define RN_REPORT_LEAST_SIZE 700

/* The answer in a sentence or two, without line breaks: the least, or why there is none. */
void rn_report_least_headline(char text[RN_REPORT_LEAST_SIZE], const rn_least *least);
void rn_report_together_headline(char text[RN_REPORT_LEAST_SIZE], const rn_together *together);

/* Write errors stay with the stream. */
void rn_report_least_text(FILE *out, const rn_least *least, const rn_search_facts *facts);
void rn_report_together_text(FILE *out, const rn_together *together, const rn_search_facts *facts);

/* "found": the word that the JSON has for a state. */
const char *rn_report_least_state(rn_least_state state);

void rn_report_least_json(FILE *out, const rn_least *least, const rn_search_facts *facts);
void rn_report_together_json(FILE *out, const rn_together *together, const rn_search_facts *facts);

#endif
