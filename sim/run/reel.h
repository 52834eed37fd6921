/* The film through time: a frame of its depth for every moment of a session, so that any moment can be seen again. */
#ifndef RN_RUN_REEL_H
#define RN_RUN_REEL_H

#include "film/height.h"
#include "run/record.h"
#include "run/still.h"

typedef struct rn_reel rn_reel;

rn_status rn_reel_new(rn_reel **reel, const rn_film *film, double base, rn_error *err);
void rn_reel_free(rn_reel *reel);

/* Adds the film as it is, at that moment; times rise. */
rn_status rn_reel_add(rn_reel *reel, const rn_film *film, const rn_moment *moment, rn_error *err);

/* Keeps only the first `count` frames. */
void rn_reel_cut(rn_reel *reel, int count);

int rn_reel_count(const rn_reel *reel);
const rn_moment *rn_reel_moment(const rn_reel *reel, int index);
long rn_reel_bytes(const rn_reel *reel);

/* The film at any time of the reel [s], linear between two frames; the caller frees it. Depths are rounded to 1/65535 of
   the frame's deepest. */
rn_status rn_reel_still(rn_still **still, const rn_reel *reel, double time, rn_error *err);

#endif
