/* The least value of a number of the plan - the volume poured, unless told otherwise - that meets a goal: found on a coarse
   grid, confirmed on the plan's. */
#ifndef RN_SEARCH_LEAST_H
#define RN_SEARCH_LEAST_H

#include "search/dial.h"
#include "search/goal.h"
#include "search/study.h"

#define RN_LEAST_FINE 256  /* cells along the longer side: the grid of the answer */
#define RN_LEAST_COARSE 96 /* and the one it is first looked for on */

typedef struct rn_least_options {
    rn_goal goal;
    int cells;        /* of the answer */
    int coarse_cells; /* of the first look; not less than `cells`: there is none */
    double share;     /* how close: the greater of a share of the answer */
    double absolute;  /* and this, in the dial's unit [m3 ...]; NaN: see rn_least_absolute */
} rn_least_options;

/* 256 cells after 96, to 1 % or 1 ml; the goal is empty. */
rn_least_options rn_least_defaults(void);

typedef enum rn_least_state {
    RN_LEAST_STOPPED, /* it was asked to stop before there was an answer */
    RN_LEAST_FOUND,   /* value meets the goal, unmet does not */
    RN_LEAST_LOWEST,  /* the least value of the range meets it: the answer may be less still */
    RN_LEAST_NEVER,   /* nothing in the range meets some demand: short */
    RN_LEAST_APART,   /* of two demands one needs more than `unmet`, the other allows less than `too_much` */
    RN_LEAST_NOWHERE, /* no value that was tried meets all demands together */
} rn_least_state;

/* What one grid says. */
typedef struct rn_least_look {
    rn_least_state state;
    int cells, runs;    /* runs it asked for */
    double value;       /* the answer; NEVER, NOWHERE: the value that came nearest; APART: the least that is enough */
    rn_outcome outcome; /* of value, whole */
    double unmet;       /* the nearest value below that was tried and misses the goal; NaN: none */
    rn_outcome below;   /* of unmet; may be of a run that was stopped */
    int needs;          /* the demand of the goal that wants more: the one missed below, or NEVER; -1: none */
    double most;        /* APART: the greatest value that meets what wants less; NaN: not even the least of the range */
    double too_much;    /* APART: the least that was tried and misses it; not above unmet, or no value lies between */
    int allows;         /* APART: the demand of the goal that wants less; -1: none */
    bool jumps;         /* the border is not sharp: jump, though less than unmet, met the demands that want more */
    double jump;
} rn_least_look;

typedef struct rn_least {
    rn_dial dial;
    rn_goal goal;
    double close; /* the answer lies within so much [the dial's unit] */
    bool has_coarse, has_fine;
    rn_least_look coarse, fine; /* fine is the answer where there is one */
} rn_least;

/* How close the answer comes at least, in the dial's unit: as the options say, or 1 ml for volumes, nothing for what goes
   by factors, 1/400 of the range for others. */
double rn_least_absolute(const rn_least_options *options, const rn_dial *dial);

/* Needs a goal of one demand or more. RN_OK whatever the answer is, also where it was asked to stop, which leaves the looks
   that were finished; RN_E_PLAN where a value of the range makes no plan. */
rn_status rn_least_find(rn_least *found, const rn_plan *plan, const rn_dial *dial, const rn_least_options *options,
                        rn_study *study, rn_error *err);

#endif
