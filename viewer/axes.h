/* What the window of plans that work can be spread over: numbers of the plan, each with its words, a range around what the plan
   says, and the marks of its axis. */
#ifndef AXES_H
#define AXES_H

#include "search/dial.h"

#define AXES_MOST 12

typedef struct rv_axis {
    char path[RN_DIAL_PATH];
    char words[64]; /* "consistency", "spin at 110 s" */
} rv_axis;

/* Numbers of a plan that a window can be spread over, the usual two first; how many. */
int axes_list(rv_axis list[AXES_MOST], const rn_plan *plan);

/* The dial of a path, its range around what the plan says and bounded by what the plan allows. */
rn_status axes_dial(rn_dial *dial, const rn_plan *plan, const char *path, rn_error *err);

/* "1.3 Pa·s", "405 ml": for reading, so with fewer digits than the value is tried with. */
void axes_text(char *text, int size, const rn_dial *dial, double value, bool ounces);

/* The unit alone, "" for plain numbers. */
const char *axes_unit(const rn_dial *dial, bool ounces);

/* Marks of an axis from end to end, round numbers, at most so many; how many, and each as text without a unit. */
#define AXES_MARKS 24
typedef struct rv_axis_mark {
    double value;
    char text[16];
} rv_axis_mark;
int axes_marks(rv_axis_mark marks[AXES_MARKS], const rn_dial *dial, double from, double to, int most, bool ounces);

/* Whether the axis is the consistency, which has a word for each stretch of it. */
bool axes_has_words(const rn_dial *dial);

#endif
