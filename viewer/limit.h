/* What must hold, as knobs: the plan's `expect`, five kinds of it. A limit that is not asked for stands at the lax end of its
   range. */
#ifndef LIMIT_H
#define LIMIT_H

#include "plan/plan.h"
#include "search/goal.h"

typedef enum rv_limit { LIMIT_COVERED, LIMIT_RUN_OFF, LIMIT_THINNEST, LIMIT_STRETCH, LIMIT_TWIST, LIMITS } rv_limit;

typedef struct rv_limit_at {
    bool on;         /* it is asked for */
    int expect;      /* where in the plan; -1: nowhere */
    bool least;      /* at least, else at most or about */
    double value;    /* SI, or a share; off: the lax end */
    double from, to; /* of the knob */
    double step;     /* of an arrow */
} rv_limit_at;

rv_limit_at limit_get(const rn_plan *plan, rv_limit limit);

/* Sets it, within the knob's range and by its steps; at the lax end, or NaN, it is asked for no more. A plan that asked for
   nothing asks from then on for what it was judged by before as well: that it is covered. */
void limit_set(rn_plan *plan, rv_limit limit, double value);

/* As a plan words it, to be typed over: "at most 30 %", "29 ml +- 6 ml"; "" where nothing is asked. And back: a figure alone is
   meant as the knob's words have it; nothing, or "any", asks for it no more. RN_E_PLAN says what is wrong. */
void limit_typed(char *text, int size, const rn_plan *plan, rv_limit limit);
rn_status limit_put(rn_plan *plan, rv_limit limit, const char *text, rn_error *err);

/* Where the knob stands, 0 left to 1 right, and the value at a place. */
double limit_along(const rv_limit_at *at, double value);
double limit_value(const rv_limit_at *at, double along);

const char *limit_words(rv_limit limit);                                                 /* "run-off at most" */
const char *limit_short(rv_limit limit);                                                 /* "run-off" */
void limit_text(char *text, int size, const rn_plan *plan, rv_limit limit, bool ounces); /* "30 %", "any" */

/* The kind of limit that a demand is shown as; LIMITS: none, it has a line of its own. */
rv_limit limit_of(const rn_plan *plan, int expect);

#endif
