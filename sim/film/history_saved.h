/* How far a history had come at one moment, to go back to: what was remembered by then is not copied, only counted. */
#ifndef RN_FILM_HISTORY_SAVED_H
#define RN_FILM_HISTORY_SAVED_H

#include "film/history.h"

typedef struct rn_history_saved rn_history_saved;

/* Smallest where an interval has just begun. forgets: the owner will call rn_history_forget; then what it has not yet
   forgotten is copied after all. */
rn_status rn_history_save(rn_history_saved **saved, const rn_history *history, const rn_film *film, bool forgets,
                          rn_error *err);
void rn_history_saved_free(rn_history_saved *saved);
long rn_history_saved_bytes(const rn_history_saved *saved);

/* Whether an interval has just begun. */
bool rn_history_is_between(const rn_history *history);

/* Fetches back what has been forgotten since; before the next, which then cannot fail. */
rn_status rn_history_recall(rn_history *history, const rn_history_saved *saved, rn_error *err);

/* Cuts the history off and puts the interval at hand back; the film is as it was already. */
void rn_history_restore(rn_history *history, const rn_history_saved *saved, const rn_film *film);

#endif
