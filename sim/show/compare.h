/* Plans side by side: what comes of each, line by line, and one page of it. */
#ifndef RN_SHOW_COMPARE_H
#define RN_SHOW_COMPARE_H

#include <cairo.h>
#include <stdbool.h>
#include <stdio.h>

#include "plan/plan_unlike.h"
#include "run/record.h"
#include "search/goal.h"
#include "search/outcome.h"
#include "show/figure.h"
#include "show/pen.h"

#define RN_COMPARE_MOST RN_UNLIKE_PLANS

typedef enum rn_compare_line {
    RN_COMPARE_COVERED_AT,
    RN_COMPARE_COVERAGE,
    RN_COMPARE_CORNER, /* the thinnest of the four */
    RN_COMPARE_THINNEST,
    RN_COMPARE_MEAN,
    RN_COMPARE_RUN_OFF,
    RN_COMPARE_TWIST, /* the last two only where the pattern was worked out */
    RN_COMPARE_STRETCH,
    RN_COMPARE_LINES,
} rn_compare_line;

/* One of the plans; all of it stays the caller's. */
typedef struct rn_compare_plan {
    const rn_plan *plan;
    const char *name; /* of its file, or what it is to the others: "thin" */
    rn_goal goal;
    rn_outcome outcome;
    const rn_record *record; /* these two only for the page */
    cairo_surface_t *face;
} rn_compare_plan;

typedef struct rn_compare {
    int count; /* 2..RN_COMPARE_MOST */
    rn_compare_plan plans[RN_COMPARE_MOST];
    rn_unlike unlike;
} rn_compare;

/* "A" for the first. */
const char *rn_compare_letter(int plan);

/* "run-off". */
const char *rn_compare_name(rn_compare_line line);

/* In SI; NaN where there is nothing to tell: never covered, no pattern, not worked out. */
double rn_compare_value(const rn_compare_plan *of, rn_compare_line line);

#define RN_COMPARE_SIZE 40

/* "83 s", "never", "17.7 ml". */
void rn_compare_text(char text[RN_COMPARE_SIZE], const rn_compare_plan *of, rn_compare_line line);

/* Whether all plans come to the same there, as far as a run can tell; false where one of them was not worked out. */
bool rn_compare_alike(const rn_compare *compare, rn_compare_line line);

/* The plan that does best there; -1 where two do, they are alike, none is better than another, nothing is known, or one of
   them was not run yet. */
int rn_compare_best(const rn_compare *compare, rn_compare_line line);

/* "Three plans, unlike only in consistency. First covered: A, 83 s. Least run-off: C, 2 ml." No line breaks. */
#define RN_COMPARE_HEADLINE 400
void rn_compare_headline(char text[RN_COMPARE_HEADLINE], const rn_compare *compare);

#define RN_COMPARE_PAGE 1280.0 /* units across, see pen.h */

/* The height that the page needs, and the page drawn. */
double rn_compare_height(rn_pen *pen, const rn_compare *compare);
void rn_compare_draw(rn_pen *pen, const rn_compare *compare);

/* One page with the faces, the measures on shared rules, and coverage and run-off on one clock; see rn_leaf_write. */
rn_status rn_compare_write(const char *path, FILE *standard, const rn_compare *compare, rn_figure_options options,
                           rn_error *err);

#endif
