/* Plans side by side: what the parts of that page share. */
#ifndef SIDE_H
#define SIDE_H

#include "canvas.h"

/* In what plans differ. */
typedef enum rv_unlike_kind {
    UNLIKE_NOTHING,
    UNLIKE_CONSISTENCY,
    UNLIKE_POURED,
    UNLIKE_ONE,
    UNLIKE_SEVERAL
} rv_unlike_kind;

typedef struct rv_unlike {
    rv_unlike_kind kind;
    char words[80];           /* "consistency", "spin of move 4" */
    char values[COLUMNS][64]; /* what each has there: "double cream", "45 rpm" */
    char note[COLUMNS][48];   /* and more closely: "0.6 Pa·s" */
    int count;                /* in how many keys */
} rv_unlike;

/* Compares plans by the key table (side_unlike.c). */
rv_unlike side_unlike(const rn_plan *const plans[], int count);

/* Viscosity of a plan's paint, all mixed, at 1/s [Pa s]; NaN without paint. */
double side_viscosity(const rn_plan *plan);

/* One column of the page. */
typedef struct rv_side_column {
    int index; /* of the view's columns */
    char letter[2];
    rn_box box;
    rn_box panel;
    const rn_plan *plan;
    const rv_studio_tale *tale;       /* of the plan as it stands, or NULL */
    const rv_studio_picture *picture; /* as above */
    bool known;                       /* the moment shown is worked out: */
    rn_moment moment;
} rv_side_column;

typedef struct rv_side {
    int count; /* of columns that are shown */
    rv_side_column columns[COLUMNS];
    int all;                       /* of columns that there are */
    rv_side_column every[COLUMNS]; /* with empty boxes */
    rv_unlike unlike;
    double head, rules, action, clock; /* y of the heads, of the first rule, of the actions; of the clock's top */
    double step;                       /* from rule to rule */
    double gutter;                     /* width at the left, for the rules' names */
} rv_side;

/* What is asked of an outcome: from..to; NaN where that side is open. False if nothing is asked. */
bool side_wish(double *from, double *to, const rn_plan *plan, rn_expect_kind kind, double all_paint);

void side_rules(rv_canvas *canvas, const rv_side *side);                              /* side_rules.c */
void side_clock(rv_canvas *canvas, const rv_side *side);                              /* side_clock.c */
void side_face(rv_canvas *canvas, const rv_side *side, const rv_side_column *column); /* side_face.c */

/* The first of the wordings that has room whole, in smaller letters if need be; NULL ends the list. False if none. */
bool side_say(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *const wordings[]);

#endif
