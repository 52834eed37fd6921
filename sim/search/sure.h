/* The least value of a number of the plan - the volume poured, unless told otherwise - at which a goal is met in a wanted
   share of draws, where numbers are in doubt. The same draws are made at every value; all is worked out on a coarse grid. */
#ifndef RN_SEARCH_SURE_H
#define RN_SEARCH_SURE_H

#include "search/chance.h"
#include "search/doubt.h"
#include "search/least.h"

#define RN_SURE_DRAWS 60

typedef struct rn_sure_options {
    rn_least_options least; /* goal, both grids, how close: the draws are run on its coarse grid */
    rn_doubts doubts;
    double sure; /* the share, above 0 and below 1 */
    int draws;
    uint64_t seed;
} rn_sure_options;

/* 9 of 10 of 60 draws, seed 1; goal and doubts are empty. */
rn_sure_options rn_sure_defaults(void);

/* All draws at one value, run to their ends. */
typedef struct rn_sure_count {
    double value; /* [the dial's unit]; NaN: none was counted */
    int met, of, failed;
    rn_interval interval;        /* of the chance, 95 % */
    int missed[RN_EXPECTS_MOST]; /* by demand, without those that failed */
    int worst;                   /* the demand missed most often; -1: none */
} rn_sure_count;

typedef struct rn_sure {
    rn_dial dial;
    rn_goal goal;
    rn_doubts doubts;
    double sure, close; /* the share; the answer lies within so much [the dial's unit] */
    int draws, needed;  /* so many of the draws must meet the goal */
    int cells;          /* of the draws */
    uint64_t seed;
    rn_least own;         /* what the plan itself needs at least, without doubts */
    rn_least_state state; /* as for rn_least, of the share instead of one run */
    rn_sure_count at;     /* the answer; NEVER: the greatest value; NOWHERE: the best that was tried; APART: see most */
    double unmet;         /* the nearest value below that was tried and is not so sure; NaN: none */
    double most; /* APART: the greatest that was tried at which what wants less is met in the share; NaN: none is */
    rn_sure_count at_most; /* there; at is then where what wants more is met in the share */
    double too_much;       /* APART: the least that was tried at which what wants less is not; not above unmet, or no
                              value lies between */
    int needs, allows;     /* APART: the demands that stand apart, one missed too often at unmet and one at too_much */
    rn_sure_count at_own;  /* at the plan's own least */
    rn_outcome fine;       /* the plan itself at the answer, on the fine grid; state NONE: not run */
    int fine_cells;        /* 0: there is none */
} rn_sure;

/* Volumes: what wants more paint and what wants less are looked for apart, and a draw that meets the one is taken to meet it
   with more, the other with less, until all draws are run at the answer. Other numbers are gone through from the least
   up. RN_OK whatever the answer is, also where it was asked to stop. RN_E_PLAN: no goal, nothing in doubt, or a value of the
   range makes no plan. */
rn_status rn_sure_find(rn_sure *found, const rn_plan *plan, const rn_dial *dial, const rn_sure_options *options,
                       rn_study *study, rn_error *err);

#endif
