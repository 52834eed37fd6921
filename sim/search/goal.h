/* What must hold of an outcome: the demands of a plan's `expect`, or others, each judged with a margin. */
#ifndef RN_SEARCH_GOAL_H
#define RN_SEARCH_GOAL_H

#include "plan/plan.h"
#include "run/judge.h"
#include "search/outcome.h"

typedef struct rn_goal {
    int count;
    rn_expect demands[RN_EXPECTS_MOST];
} rn_goal;

/* What the plan expects; where it expects nothing: that it is covered, all but 0.5 % of the face and each corner. */
rn_goal rn_goal_of_plan(const rn_plan *plan);

/* Adds a demand as one writes it in a plan, "run-off" and "front at most 5 ml"; it takes the place of those of its kind
   that speak of the same side or corner and bound it from the same side. */
rn_status rn_goal_add(rn_goal *goal, const char *word, const char *text, rn_error *err);

/* Whether stretch or twist is asked for, which need the pattern. */
bool rn_goal_needs_pattern(const rn_goal *goal);

/* One demand, judged. */
typedef struct rn_margin {
    bool met;
    double value;  /* what the outcome says, in the demand's unit; NaN where it says nothing */
    double margin; /* how far inside, in the demand's unit: negative where it is missed; -INFINITY where value is NaN */
    double lack;   /* how far outside, as a share of what is wanted, to compare demands; 0 where met, always finite */
} rn_margin;

typedef struct rn_goal_verdict {
    bool met;    /* every demand is */
    int worst;   /* the demand with the greatest lack; where all are met, or nothing is known of them, -1 */
    double lack; /* of all together */
    int count;
    rn_margin margins[RN_EXPECTS_MOST];
} rn_goal_verdict;

/* Judges an outcome that is whole. One that was decided on the way for this goal has its verdict and no margins; one that
   failed, or was not run, misses everything. */
rn_goal_verdict rn_goal_judge(const rn_goal *goal, const rn_outcome *outcome);

/* As a plan words it: "run-off at most 30 ml"; what an outcome says of it: "met: 28.1 ml"; and only the figure: "28.1 ml". */
void rn_goal_wanted(char text[RN_JUDGE_SIZE], const rn_expect *demand);
void rn_goal_said(char text[RN_JUDGE_SIZE], const rn_expect *demand, const rn_outcome *outcome);
void rn_goal_figure(char text[RN_JUDGE_SIZE], const rn_expect *demand, const rn_outcome *outcome);

/* The demands by what more paint does to them: those that are sooner met (coverage, depths, run-off that is wanted), those
   that are sooner missed (run-off that is not), and those of which that cannot be said (stretch, twist). What is wanted
   within bounds is split into its two bounds. */
void rn_goal_apart(rn_goal *rising, rn_goal *falling, rn_goal *either, const rn_goal *goal);

/* Whether the goal is decided before the session's end, from what cannot come back: paint that ran off, time that has
   passed, and the volume that is left. */
typedef enum rn_decided { RN_OPEN, RN_SURELY_MET, RN_SURELY_MISSED } rn_decided;

/* The forecast is of now. why: the demand that decides, "run-off at most 30 ml: 31.2 ml by 64 s". */
rn_decided rn_goal_decided(char why[RN_OUTCOME_WHY], const rn_goal *goal, const rn_plan *plan,
                           const rn_forecast *forecast);

#endif
