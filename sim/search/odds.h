/* The odds of a plan whose numbers are not known exactly: the chance that a goal is met, how far each outcome spreads, and
   which of the numbers matters most. The list of runs and what is made of their outcomes stand apart, so that the list can
   be worked in pieces. */
#ifndef RN_SEARCH_ODDS_H
#define RN_SEARCH_ODDS_H

#include "search/batch.h"
#include "search/chance.h"
#include "search/doubt.h"
#include "search/goal.h"

#define RN_ODDS_DRAWS 100  /* by which a chance is known to about 10 % in the worst case */
#define RN_ODDS_MOST 10000 /* draws */
#define RN_ODDS_SURE 0.95  /* of intervals */

typedef struct rn_odds_options {
    rn_goal goal;
    rn_doubts doubts;
    int draws;
    int cells;     /* of the draws, along the longer side */
    int own_cells; /* of the plan's own run, which confirms; not more than `cells`: there is only the one */
    bool even;     /* spread evenly, as a Latin hypercube: the spread from fewer draws, and no interval of the chance */
    bool pattern;  /* stretch and twist as well, also where the goal does not ask for them */
    uint64_t seed;
} rn_odds_options;

/* 100 draws on 96 cells, confirmed on 256; seed 1; goal and doubts are empty. */
rn_odds_options rn_odds_defaults(void);

/* Lists the runs: the plan's own on the fine grid (if finer) and on the draws' grid, then the draws in their order; an empty
   batch to begin with. Draws that make no plan keep their places. RN_E_PLAN where the plan is not in doubt or the goal is
   empty. */
rn_status rn_odds_list(rn_batch *batch, const rn_plan *plan, const rn_odds_options *options, rn_error *err);

/* Adds the run of one draw, of these numbers; a place without a plan where they make none. */
rn_status rn_odds_add_draw(rn_batch *batch, const rn_plan *plan, const rn_doubts *doubts, const double *numbers,
                           int cells, bool pattern, rn_error *err);

/* What is told of every draw. */
typedef enum rn_odds_figure {
    RN_ODDS_COVERAGE,
    RN_ODDS_COVERED_AT, /* INFINITY: not covered at the end */
    RN_ODDS_LEAST_CORNER,
    RN_ODDS_THINNEST,
    RN_ODDS_RUN_OFF,
    RN_ODDS_STRETCH, /* NaN: not worked out, or nothing to tell; so with twist */
    RN_ODDS_TWIST,
    RN_ODDS_FIGURES,
} rn_odds_figure;

/* "coverage", "covered at" ...; its dimension; and what an outcome says of it [SI]. */
const char *rn_odds_figure_name(rn_odds_figure figure);
rn_dimension rn_odds_figure_dimension(rn_odds_figure figure);
double rn_odds_figure_of(rn_odds_figure figure, const rn_outcome *outcome);

typedef struct rn_spread {
    int count;                /* draws that say something of it; 0: the rest is NaN */
    int never;                /* of those, how many are INFINITY: not covered at the end */
    double low, middle, high; /* 5, 50 and 95 of 100 lie below; covered at: INFINITY, never */
} rn_spread;

typedef struct rn_odds_draw {
    double readings[RN_READINGS_MOST];
    rn_outcome outcome;
    rn_goal_verdict verdict;
} rn_odds_draw;

typedef struct rn_odds {
    rn_goal goal;
    rn_doubts doubts;
    int reading_count;
    rn_reading readings[RN_READINGS_MOST];
    bool even;
    uint64_t seed;
    int cells;
    int asked;                   /* draws */
    int done;                    /* the first so many of them; all that follows is of these */
    int met, failed;             /* draws that failed count as missing the goal; their reason is in their outcome */
    rn_interval interval;        /* of the chance, RN_ODDS_SURE; even draws: NaN */
    int missed[RN_EXPECTS_MOST]; /* by demand, without those that failed */
    rn_spread spreads[RN_ODDS_FIGURES];
    /* Rank correlations of what was drawn with each figure, and with what each demand judges; NaN: nothing to tell. */
    double figure_ranks[RN_ODDS_FIGURES][RN_READINGS_MOST];
    double demand_ranks[RN_EXPECTS_MOST][RN_READINGS_MOST];
    double noise;         /* what coefficients of nothing stay under, see rn_rank_noise */
    int tightest;         /* the demand missed most often, or nearest to it; -1: none */
    rn_outcome own, fine; /* the plan's own run on both grids; state NONE where it was not run */
    int fine_cells;       /* 0: there is no fine run */
    rn_odds_draw *draws;  /* [done], owned */
} rn_odds;

/* Works the odds out from a batch that rn_odds_list made of the same plan and options, from those of its draws that are
   done, in order up to the first that is not. Free it with rn_odds_free. */
rn_status rn_odds_take(rn_odds **odds, const rn_batch *batch, const rn_plan *plan, const rn_odds_options *options,
                       rn_error *err);
void rn_odds_free(rn_odds *odds);

#endif
