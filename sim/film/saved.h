/* A film as it was at one moment, to be put back: from there it takes the same steps again, to the last bit. */
#ifndef RN_FILM_SAVED_H
#define RN_FILM_SAVED_H

#include "film/height.h"

typedef struct rn_film_saved rn_film_saved;

rn_status rn_film_save(rn_film_saved **saved, const rn_film *film, rn_error *err);
void rn_film_saved_free(rn_film_saved *saved);
long rn_film_saved_bytes(const rn_film_saved *saved);

/* Puts it back into the film that it was taken of. Sources stay those that the film has now. */
void rn_film_restore(rn_film *film, const rn_film_saved *saved);

/* Memory of a film. */
long rn_film_bytes(const rn_film *film);

#endif
