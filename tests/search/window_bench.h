/* Windows of plans of stand-in models whose borders are known. */
#ifndef RN_TESTS_SEARCH_WINDOW_BENCH_H
#define RN_TESTS_SEARCH_WINDOW_BENCH_H

#include "search/stand_in.h"
#include "search/window.h"

/* What comes of a plan whose consistency (0.8 to 1.2 Pa s) and volume (80 to 120 ml) stand at x, y of their ranges, 0..1. */
typedef void behaviour(rn_outcome *outcome, double x, double y);

/* Goals: coverage at least 50 %, run-off at most 50 %. A distance inside a border, in shares of the axes, as each. */
void cover(rn_outcome *outcome, double inside);
void spill(rn_outcome *outcome, double inside);

#define DISC_X 0.62
#define DISC_Y 0.41
#define DISC_RADIUS 0.27

/* Covered within a disc; covered above one line and kept on the panel below another; covered all over, and nowhere. */
behaviour disc, band, everywhere, nowhere;

typedef struct bench {
    rn_plan *plan;
    rn_dial x, y;
    rn_goal goal;
    behaviour *behave;
    stand_in model;
    rn_study *study;
} bench;

/* Coverage of at least 50 % and run-off of at most 50 %, over both axes; a study of two threads. Owned by the caller. */
bench *bench_new(behaviour *behave);
void bench_free(bench *b);

/* Another study, of which no run has been called yet. */
void new_study(bench *b, rn_study_options options);

/* A window of as many tiles along each axis, owned by the caller; and all its passes: how many. */
rn_window *window_of(const bench *b, int tiles, bool every);
int finish(rn_window *window, rn_study *study);

#endif
