/* Whether two plans are the same, field by field. */
#ifndef RN_TESTS_PLAN_SAME_H
#define RN_TESTS_PLAN_SAME_H

#include "plan/plan.h"

/* Fails the test that calls it, naming the field, unless all fields agree within 1e-12 of their value. */
void check_same_plan(const rn_plan *a, const rn_plan *b);

#endif
