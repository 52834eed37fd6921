/* What the reports of all searches have in common: lines of a screen, and pieces of JSON. */
#ifndef RN_SHOW_REPORT_SEARCH_H
#define RN_SHOW_REPORT_SEARCH_H

#include <stdio.h>

#include "search/dial.h"
#include "search/doubt.h"
#include "search/goal.h"
#include "search/outcome.h"
#include "show/screen.h"

/* How the search went, for the last lines. */
typedef struct rn_search_facts {
    const char *title; /* of the plan */
    int worked, known; /* runs */
    double seconds;
} rn_search_facts;

/* What a dial turns, as a sentence names it: "volume", "moves.4.spin"; a value of it, "nothing" where it is NaN. */
#define RN_SEARCH_VALUE 60
const char *rn_search_name(const rn_dial *dial);
void rn_search_value(char text[RN_SEARCH_VALUE], const rn_dial *dial, double value);

/* A demand in words; "the goal" for -1. */
void rn_search_demand(char text[RN_JUDGE_SIZE], const rn_goal *goal, int demand);

/* Two demands that stand apart, in words: of a dial's values the greatest that is too little for the one and the least that
   is too much for the other. */
typedef struct rn_search_apart {
    char needs[RN_JUDGE_SIZE], allows[RN_JUDGE_SIZE];                              /* the demands */
    char unmet[RN_SEARCH_VALUE], too_much[RN_SEARCH_VALUE], from[RN_SEARCH_VALUE]; /* from: where the range begins */
    char digits[40]; /* " of 4 digits" where the two values are neighbours, as far as values are told; else "" */
} rn_search_apart;
rn_search_apart rn_search_say_apart(const rn_dial *dial, const rn_goal *goal, int needs, int allows, double unmet,
                                    double too_much);

/* How long the longest of the demands is in words [bytes]. */
int rn_search_widest(const rn_goal *goal);

/* Each demand of the goal and what an outcome says of it, a line for each. */
void rn_search_say_goal(rn_screen *page, const rn_goal *goal, const rn_outcome *outcome);
void rn_search_say_run_off(rn_screen *page, const rn_outcome *outcome);
/* What is in doubt, a line for each, and what "+-" means. */
void rn_search_say_doubts(rn_screen *page, const rn_doubts *doubts);
void rn_search_say_facts(rn_screen *page, const rn_search_facts *facts);

/* Named values, "name": ..., without what comes between. */
void rn_search_put_number(FILE *out, const char *name, double value);
void rn_search_put_string(FILE *out, const char *name, const char *value);
void rn_search_put_goal(FILE *out, const rn_goal *goal, const rn_outcome *outcome);
void rn_search_put_facts(FILE *out, const rn_search_facts *facts);

/* Several names of a dial: what it is of, the plan's value and the range. */
void rn_search_put_dial(FILE *out, const rn_dial *dial);

/* "doubts": a list. */
void rn_search_put_doubts(FILE *out, const rn_doubts *doubts);

/* An object. */
void rn_search_put_outcome(FILE *out, const rn_outcome *outcome);

#endif
