/* The forecast in words (one screen for a painter) and as one JSON object. */
#ifndef RN_SHOW_REPORT_H
#define RN_SHOW_REPORT_H

#include <stdio.h>

#include "run/forecast.h"
#include "run/pattern.h"
#include "show/screen.h"

#define RN_REPORT_COLUMNS RN_SCREEN_COLUMNS
#define RN_REPORT_LINES_MOST 40
#define RN_HEADLINE_SIZE 400

#define RN_BARE_DEPTH 0.01e-3 /* less paint than this is no paint [m] */
#define RN_AT_START 0.5       /* covered before this is covered from the start [s]: times are told in whole seconds */
#define RN_REST_SPEED (0.1e-3 / 60.0) /* a face slower than this is called at rest [m/s] */

/* The answer in a sentence or two: covered from when on, or what is missing. No line breaks. */
void rn_report_headline(char text[RN_HEADLINE_SIZE], const rn_forecast *forecast);

/* Where a place lies, as the painter stands: "143 mm left 148 mm back of the centre". */
void rn_report_place(char *text, int size, double x, double y);

/* At most RN_REPORT_LINES_MOST lines of RN_REPORT_COLUMNS columns. Write errors stay with the stream. */
void rn_report_text(FILE *out, const rn_forecast *forecast);

/* One JSON object [rfc8259]; units are in the key names; what is not known is null. pattern may be NULL (see
   show/report_pattern.h), and so may its plan then. */
void rn_report_json(FILE *out, const rn_forecast *forecast, const rn_plan *plan, const rn_pattern *pattern);

#endif
