/* One run as a session: the model that a study works with. */
#ifndef RN_SEARCH_TRIAL_H
#define RN_SEARCH_TRIAL_H

#include "run/session.h"
#include "search/study.h"

/* Called with a run's session when that has reached its end, by the thread that worked it. It ends with RN_E_STOPPED soon
   after go_on(study) says no. */
typedef rn_status rn_trial_guest(void *context, const rn_run *run, const rn_session *session, rn_study_go_on *go_on,
                                 void *study, rn_error *err);

typedef struct rn_trial_visit {
    rn_trial_guest *guest;
    void *context;
} rn_trial_visit;

/* An rn_study_model. context: an rn_trial_visit, or NULL. */
void rn_trial_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study);

#endif
