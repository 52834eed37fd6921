/* A session that can change its plan on the way: it keeps marks and goes back to the last one from which the new plan is
   the same pour, so that an edit is worked out again from the moment that it matters. */
#ifndef COURSE_H
#define COURSE_H

#include "run/session.h"

#define COURSE_MARKS 40

typedef struct rv_course {
    rn_session *session; /* owned */
    int count;
    rn_bookmark *marks[COURSE_MARKS]; /* by time; owned */
    double spacing;                   /* between marks [s] */
} rv_course;

/* Takes a plan: on from where it agrees with the one before (`agreed`, see rn_plan_agree_until; 0 for none), or from the
   start. *kept: up to when what was worked out stays [s]. On failure there is no session. */
rn_status course_take(rv_course *course, const rn_plan *plan, double agreed, const rn_session_options *options,
                      double *kept, rn_error *err);

/* One step; keeps a mark now and then. */
rn_status course_step(rv_course *course, rn_error *err);

long course_bytes(const rv_course *course); /* about, marks included */
void course_clear(rv_course *course);

#endif
