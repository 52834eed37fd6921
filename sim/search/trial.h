/* One run as a session: the model that a study works with. */
#ifndef RN_SEARCH_TRIAL_H
#define RN_SEARCH_TRIAL_H

#include "search/study.h"

/* An rn_study_model; needs no context. */
void rn_trial_run(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                  void *study);

#endif
