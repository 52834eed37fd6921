/* What one run tells, as plain numbers: what searches compare, judge and keep. Goes to one line of text and back without
   losing a bit. */
#ifndef RN_SEARCH_OUTCOME_H
#define RN_SEARCH_OUTCOME_H

#include <stdbool.h>

#include "plan/plan.h"
#include "run/forecast.h"

typedef enum rn_outcome_state {
    RN_OUTCOME_NONE,    /* not run */
    RN_OUTCOME_WHOLE,   /* ran to the plan's end */
    RN_OUTCOME_DECIDED, /* stopped on the way, its goal being decided: the numbers are those of that moment */
    RN_OUTCOME_FAILED,  /* could not be worked out */
} rn_outcome_state;

#define RN_OUTCOME_WHY 160
#define RN_OUTCOME_LINE 4096

typedef struct rn_outcome {
    rn_outcome_state state;
    bool goal_met;            /* decided: which way */
    char why[RN_OUTCOME_WHY]; /* decided, failed: one line for a person, else empty */
    int nx, ny;               /* the grid */
    double duration;          /* [s] */
    double cover;             /* the depth that counts as covered [m] */
    double coverage;          /* share of the face */
    double covered_at;        /* from then on [s]; NaN: not covered at the end */
    double best_coverage, best_at;
    double base, poured, on_panel, on_sides, run_off; /* [m3] */
    double run_off_by_side[RN_SIDES];
    double mean, thinnest, deepest; /* depths of the face [m] */
    double corner[RN_CORNERS];      /* depths [m] */
    double corner_at[RN_CORNERS];   /* covered from then on [s]; NaN: it is not */
    double side_coverage;           /* of wrapped sides; else NaN */
    double still_moving;            /* [m/s] */
    bool has_pattern;               /* the next two were worked out */
    double stretch, twist;          /* [-, rad]; NaN: nothing to tell */
} rn_outcome;

/* Of a forecast, whole if that is complete. */
rn_outcome rn_outcome_of(const rn_forecast *forecast);

/* A forecast with the numbers of an outcome, for whoever judges one; complete if the outcome is whole. */
rn_forecast rn_outcome_forecast(const rn_outcome *outcome);

/* What ran off, as a share of base and poured; 0 where there is no paint. */
double rn_outcome_lost(const rn_outcome *outcome);

/* Told from whole outcomes by their weights, which add up to 1: each number is the weighted mean, and NaN where it is NaN in
   one of them. */
rn_outcome rn_outcome_between(const rn_outcome *const *outcomes, const double *weights, int count);

double rn_outcome_least_corner(const rn_outcome *outcome);

/* One line without its end, every bit kept. */
void rn_outcome_write(char line[RN_OUTCOME_LINE], const rn_outcome *outcome);

/* False, and *outcome untouched, unless the line is whole and right and each number one that some run can come to: a line may
   come from elsewhere. */
bool rn_outcome_read(rn_outcome *outcome, const char *line);

/* What of it no session of this plan on so many cells along the longer side can come to, in a word, "volume"; NULL: all that
   was looked at is possible, and may be made up all the same. */
const char *rn_outcome_strange(const rn_outcome *outcome, const rn_plan *plan, int cells);

#endif
