/* Plans side by side: what the parts of that page share. */
#ifndef SIDE_H
#define SIDE_H

#include "outcome.h"
#include "plan/plan_unlike.h"

/* One column of the page. */
typedef struct rv_side_column {
    int index; /* of the view's columns */
    char letter[2];
    rn_box box;
    rn_box panel;
    const rn_plan *plan;
    const rv_studio_tale *tale;       /* of the plan as it stands, or NULL */
    const rv_studio_picture *picture; /* as above */
    const rv_studio_picture *seen;    /* what there is to be seen, of whatever plan; may be NULL */
    bool known;                       /* the moment shown is worked out: */
    rn_moment moment;
} rv_side_column;

typedef struct rv_side {
    int count; /* of columns that are shown */
    rv_side_column columns[COLUMNS];
    int all;                       /* of columns that there are */
    rv_side_column every[COLUMNS]; /* with empty boxes */
    rn_unlike unlike;
    double head, rules, action, clock; /* y of the heads, of the first rule, of the actions; of the clock's top */
    double step;                       /* from rule to rule */
    double gutter;                     /* width at the left, for the rules' names */
    rn_box letters[COLUMNS];           /* at the clock's curves, as they were drawn; width 0: there is none */
} rv_side;

/* What is known of the plans on the bench and beside it, and then where all of it stands. */
void side_look(rv_side *side, const rv_canvas *canvas);
void side_place(rv_side *side, const rv_canvas *canvas);

/* The sentence over them: of the moment shown, and only of what all of them tell (side_words.c). */
int side_phrases(rv_phrase phrases[PHRASES_MOST], const rv_canvas *canvas, const rv_side *side);

/* What comes of a plan by its end, a rule for each. */
typedef enum rv_side_rule { RULE_COVERED, RULE_RUN_OFF, RULE_THINNEST, RULE_TWIST, RULE_STRETCH, RULES } rv_side_rule;

/* The figure in SI, NaN where there is none: never covered, nothing to stretch. False: it is not worked out yet. */
bool side_figure(double *value, const rv_side_column *column, rv_side_rule rule);

/* The figure in words, as it stands by its rule. */
typedef struct rv_side_reading {
    double value;
    rv_tile tile;
    bool has_tile, bold;
    rn_role role;
    char words[48], less[32]; /* less: where there is no room */
} rv_side_reading;
rv_side_reading side_read(const rv_canvas *canvas, const rv_side_column *column, rv_side_rule rule);

/* What is asked of an outcome: from..to; NaN where that side is open. False if nothing is asked. */
bool side_wish(double *from, double *to, const rn_plan *plan, rn_expect_kind kind, double all_paint);

/* A share of the panel on the clock. */
double side_curve_y(const rv_canvas *canvas, const rv_side *side, double coverage);

void side_rules(rv_canvas *canvas, const rv_side *side);                              /* side_rules.c */
void side_clock(rv_canvas *canvas, rv_side *side);                                    /* side_clock.c */
void side_face(rv_canvas *canvas, const rv_side *side, const rv_side_column *column); /* side_face.c */

#endif
