/* What a window comes to: the plan itself, the plan that stands safest, and the nearest that works; the first two confirmed
   on the plan's own grid. */
#ifndef RN_SEARCH_WINDOW_ANSWER_H
#define RN_SEARCH_WINDOW_ANSWER_H

#include "search/window.h"

typedef struct rn_window_answer {
    int cells;                   /* of the runs that confirm */
    rn_outcome own_told;         /* the plan itself on the window's grid; state NONE here and below: stopped before */
    rn_outcome own;              /* and on its own */
    bool found;                  /* some tile works */
    rn_window_best best;         /* its circle no larger than its four ends, that are run on the window's grid, allow */
    bool ends_run;               /* all four; else the circle is only what the tiles tell */
    int inside_run, inside_told; /* tiles in the circle, see rn_window_inside */
    rn_outcome best_told, best_own;
    bool has_nearest; /* to the plan itself, which does not work and has its place on the axes */
    int nearest_column, nearest_row;
    int closest_column, closest_row; /* nothing works: the tile that lacks least; -1: none is known */
} rn_window_answer;

/* RN_OK also where the study was asked to stop. */
rn_status rn_window_answer_find(rn_window_answer *answer, const rn_window *window, int cells, rn_study *study,
                                rn_error *err);

/* Whether the plan that stands safest works, as far as is known: on its own grid if it was run there. */
bool rn_window_answer_holds(const rn_window_answer *answer, const rn_window *window);

#endif
