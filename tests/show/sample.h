/* Invented plans and films to draw and to tabulate: smooth shapes, not the solver's work. */
#ifndef RN_TESTS_SHOW_SAMPLE_H
#define RN_TESTS_SHOW_SAMPLE_H

#include "plan/plan.h"
#include "run/forecast.h"
#include "run/record.h"

typedef struct sample {
    rn_plan *plan;
    rn_record record;
    rn_forecast forecast;
} sample;

typedef struct sample_options {
    double width, height; /* [m] */
    bool round;
    bool short_corners; /* two corners stay bare or short */
    bool stopped;       /* the session stopped before the plan's end */
    int paints;
    const char *title;
    int cells;
} sample_options;

sample_options sample_defaults(void);
sample sample_make(sample_options options);
void sample_clear(sample *s);

#endif
