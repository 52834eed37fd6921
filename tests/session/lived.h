/* A plan that has been run with its history, for tests of what is worked out from it afterwards. */
#ifndef RN_TESTS_SESSION_LIVED_H
#define RN_TESTS_SESSION_LIVED_H

#include "run/past.h"
#include "run/session.h"

typedef struct lived {
    rn_plan *plan;
    rn_session *session;
    rn_still *still; /* at the end */
    rn_team *team;
    rn_past past;
} lived;

/* text: of the plan; until NaN: to the plan's end. */
lived *lived_new(const char *text, int cells, double until);
lived *lived_of(rn_plan *plan, int cells, int threads, double until); /* takes the plan */
void lived_free(lived *life);

rn_plan *lived_plan(const char *text);

#endif
