/* The least that is sure enough to meet a goal, in words and as one JSON object. */
#ifndef RN_SHOW_REPORT_SURE_H
#define RN_SHOW_REPORT_SURE_H

#include <stdio.h>

#include "search/sure.h"
#include "show/report_search.h"

#define RN_REPORT_SURE_SIZE 600

/* The answer in a sentence or two, without line breaks. */
void rn_report_sure_headline(char text[RN_REPORT_SURE_SIZE], const rn_sure *sure);

/* Write errors stay with the stream. */
void rn_report_sure_text(FILE *out, const rn_sure *sure, const rn_search_facts *facts);
void rn_report_sure_json(FILE *out, const rn_sure *sure, const rn_search_facts *facts);

#endif
