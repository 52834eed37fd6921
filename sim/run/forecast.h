/* The forecast: what the painter is told about one plan. Plain data, SI units. */
#ifndef RN_RUN_FORECAST_H
#define RN_RUN_FORECAST_H

#include <stdbool.h>

#include "run/record.h"

#define RN_WARNINGS_MOST 16
#define RN_WARNING_SIZE 240

typedef struct rn_corner_outcome {
    double covered_at; /* from this time on it stays covered [s]; NaN: it does not */
    double depth;      /* final mean over its 5 mm square [m] */
} rn_corner_outcome;

typedef struct rn_spot {
    double depth; /* [m] */
    double x, y;  /* where, from the centre [m] */
} rn_spot;

typedef struct rn_forecast {
    char title[200];
    double cover;         /* the depth that counts as covered [m] */
    double coverage;      /* final share of the face */
    bool covered;         /* at least 99.5 % of the face and no corner short, at the end */
    double covered_at;    /* from this time on [s]; NaN where not covered at the end */
    double best_coverage; /* greatest coverage on the way */
    double best_at;       /* and when [s] */
    double base, poured;  /* [m3]; poured is what has been released, without the base */
    double on_panel;      /* [m3], sides included */
    double on_sides;      /* [m3], wrapped edges */
    double run_off;       /* [m3] */
    double run_off_by_side[RN_SIDES];
    double run_off_cost;  /* [money]; NaN unless every paint is priced */
    double poured_cost;   /* of base and poured [money]; NaN unless every paint is priced */
    double balance_error; /* greatest |base + poured - on panel - run off| / (base + poured) on the way */
    double mean;          /* film depth over the face [m] */
    rn_spot least, most;
    rn_corner_outcome corners[RN_CORNERS];
    bool round;          /* corners are quarters, sides are quarters */
    double still_moving; /* speed of the face [m/s]: 99th percentile over the wet film */
    bool wrapped;
    double side_coverage;       /* share of the sides' area that paint has wetted; NaN unless wrapped */
    bool has_pattern;           /* the next two were worked out, see run/judge.h */
    double stretch, twist;      /* NaN: nothing to tell [-, rad] */
    double wet_least, wet_most; /* how long the mean film gives off its water at 20 degC, 50 % r.h. [s]; a band */
    double duration;            /* simulated [s] */
    bool complete;
    long steps, rejected;
    rn_grid grid;
    double wall; /* [s] */
    int warning_count;
    char warnings[RN_WARNINGS_MOST][RN_WARNING_SIZE];
} rn_forecast;

/* One expectation of a plan, judged. */
typedef enum rn_verdict { RN_MET, RN_MISSED, RN_NOT_JUDGED } rn_verdict;

#endif
