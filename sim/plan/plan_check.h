/* The check of a plan, with the places in its file where each value stands. */
#ifndef RN_PLAN_PLAN_CHECK_H
#define RN_PLAN_PLAN_CHECK_H

#include "plan/plan.h"
#include "plan/plan_keys.h"

#define RN_KEYS_MOST 16

/* Where an element and the values of its keys stand; line 0: not in the file. Keys by their place in the table. */
typedef struct rn_element_marks {
    rn_mark own, keys[RN_KEYS_MOST];
} rn_element_marks;

typedef struct rn_plan_marks {
    rn_element_marks plan, panel, limits;
    rn_element_marks paints[RN_PAINTS_MOST], bases[RN_BASES_MOST], pours[RN_POURS_MOST], moves[RN_MOVES_MOST];
} rn_plan_marks;

/* The marks of one element. */
rn_element_marks *rn_marks_of(rn_plan_marks *marks, rn_section section, int index);

/* As rn_plan_check; with marks (may be NULL) the error has its line and column. */
rn_status rn_plan_check_marked(const rn_plan *plan, rn_plan_marks *marks, rn_error *err);

#endif
