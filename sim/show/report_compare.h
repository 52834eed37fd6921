/* Plans side by side as a table and as one JSON object. */
#ifndef RN_SHOW_REPORT_COMPARE_H
#define RN_SHOW_REPORT_COMPARE_H

#include <stdio.h>

#include "show/compare.h"
#include "show/report_search.h"

/* At most RN_SCREEN_COLUMNS columns. In each line the best is marked with a star, where one is better than the others;
   lines in which all are alike say so. Write errors stay with the stream. */
void rn_report_compare_text(FILE *out, const rn_compare *compare, const rn_search_facts *facts);
void rn_report_compare_json(FILE *out, const rn_compare *compare, const rn_search_facts *facts);

#endif
