/* Windows of a stand-in model, to draw and to tell: what comes of a plan follows from two of its numbers by a formula. */
#ifndef RN_TESTS_SHOW_WINDOWS_H
#define RN_TESTS_SHOW_WINDOWS_H

#include "show/window_page.h"

/* What a plan comes to, by its consistency and what is poured [Pa s, ml]. */
typedef void behaviour(rn_outcome *outcome, double viscosity, double poured);

/* Some works, between too little and too much; all works; nothing does. */
behaviour mixed, good, bad;

/* One window with its answer. */
typedef struct view {
    rn_plan *plan;
    rn_window *window;
    rn_window_answer answer;
    rn_window_page page;
} view;

typedef struct wish {
    behaviour *behave;
    const char *x, *y, *stretch; /* stretch: at most, NULL: not asked */
    int columns, rows, passes;   /* so many, then stopped; 0: to the end; -1: none */
    bool unconfirmed, many;      /* many demands */
} wish;

void view_make(view *v, const wish *wanted);

/* Only these tiles are known, of eight by eight. */
void view_make_known(view *v, behaviour *behave, const int *places, int count);
void view_free(view *v);

/* All that a window can look like. */
#define WISHES 12
extern const wish wishes[WISHES];

#endif
