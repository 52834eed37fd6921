/* Closing in on the border between values that meet a goal and values that do not, two at a time. Knows nothing of runs:
   asks for points and is told what became of them, and puts up with a border that is not quite sharp. */
#ifndef RN_SEARCH_BRACKET_H
#define RN_SEARCH_BRACKET_H

#include <stdbool.h>

#include "search/dial.h"

#define RN_BRACKET_MOST 128 /* points */

/* Gives a value the digits it is to be tried with. */
typedef double rn_bracket_round(const void *context, double value);

typedef struct rn_bracket {
    double from, to; /* the range, from < to, both positive if logarithmic */
    bool logarithmic;
    bool falling;           /* small values meet the goal; otherwise great ones do */
    double hint;            /* where to begin, within the range */
    double first;           /* how far to either side: a share of hint if logarithmic, else in its unit */
    double absolute, share; /* close enough: the greater of the two, share of the value that meets it */
    rn_bracket_round *round;
    const void *round_context;
    int count; /* from here on the bracket's own; 0 to begin with */
    double told[RN_BRACKET_MOST];
    bool met[RN_BRACKET_MOST];
} rn_bracket;

/* A bracket over a dial's range, to begin near hint; first: as a share of that. */
rn_bracket rn_bracket_of_dial(const rn_dial *dial, double hint, double first, double share, double absolute);

/* What to try next: 0, 1 or 2 points that were not tried before. 0: it is as close as was asked for, or as it can be. */
int rn_bracket_ask(double points[2], const rn_bracket *bracket);
void rn_bracket_tell(rn_bracket *bracket, double value, bool met);

typedef enum rn_bracket_state {
    RN_BRACKET_OPEN,  /* nothing is known of the border yet */
    RN_BRACKET_FOUND, /* it lies between */
    RN_BRACKET_ALL,   /* what was tried meets the goal: to the end of the range, once nothing more is asked */
    RN_BRACKET_NONE,  /* nothing beyond the last that does not, likewise */
} rn_bracket_state;

/* *met meets the goal, and so does all that was tried beyond it; *unmet is the nearest tried that does not. NaN where
   there is none. */
rn_bracket_state rn_bracket_found(double *met, double *unmet, const rn_bracket *bracket);

/* Whether the border is not sharp: some value on the far side met the goal all the same; *first is the farthest. */
bool rn_bracket_jumps(double *first, const rn_bracket *bracket);

#endif
