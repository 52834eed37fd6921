/* Two or three numbers of a plan made least together, with a weight on what runs off: looked for over their whole ranges and
   then near the best by methods that need no derivatives, on a coarse grid, and confirmed on the plan's. */
#ifndef RN_SEARCH_TOGETHER_H
#define RN_SEARCH_TOGETHER_H

#include "search/dial.h"
#include "search/goal.h"
#include "search/study.h"

#define RN_TOGETHER_MOST 3

typedef struct rn_together_options {
    rn_goal goal;
    int cells, coarse_cells; /* as for rn_least_options */
    double weight;           /* on what runs off, as a share of all paint */
    int wide, near; /* runs at most, on the coarse grid: over the ranges, near the best; 0: by how many numbers */
} rn_together_options;

rn_together_options rn_together_defaults(void);

/* What is made least: each number as a share of what the plan says (of its range's end, where that is nothing), all added
   up, and weight times the share that runs off. */
typedef struct rn_together_look {
    int cells, runs;
    bool met; /* the goal, at values; else they came nearest to it */
    double values[RN_TOGETHER_MOST];
    rn_outcome outcome;
    double cost;
} rn_together_look;

typedef struct rn_together {
    int count;
    rn_dial dials[RN_TOGETHER_MOST];
    rn_goal goal;
    double weight;
    bool
        stopped; /* it was asked to stop: looks hold the best so far; none of the fine one where that held nothing yet */
    bool has_coarse, has_fine;
    rn_together_look coarse, fine;
} rn_together;

/* One to RN_TOGETHER_MOST dials. RN_OK whatever the answer; RN_E_PLAN where the dials and the goal make no search. Values
   that make no plan count as missing the goal. */
rn_status rn_together_find(rn_together *found, const rn_plan *plan, const rn_dial *dials, int count,
                           const rn_together_options *options, rn_study *study, rn_error *err);

/* The same search of any function of up to three numbers in 0..1, smaller being better: first all over, by DIRECT in its
   locally biased form [gablonsky2001], then near the best by Subplex [rowan1990], both of NLopt [johnson2007]. best: in the
   place to begin with, out the best. `stop` is asked before every call; returns how often value was called. */
typedef double rn_together_value(void *context, const double *place);
typedef bool rn_together_stop(void *context);
int rn_together_descend(double *best, int count, int wide, int near, double first, rn_together_value *value,
                        rn_together_stop *stop, void *context);

#endif
