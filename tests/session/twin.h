/* Whether two sessions have come to the very same, to the last bit. */
#ifndef RN_TESTS_SESSION_TWIN_H
#define RN_TESTS_SESSION_TWIN_H

#include "run/session.h"

rn_session *twin_new(const rn_plan *plan, int cells, int threads, bool history);

/* Fails the test that calls it unless films, histories, reels, arrivals, forecasts and, where asked, moments agree. */
void check_twins(const rn_session *a, const rn_session *b, bool moments);

#endif
