/* Faces of a film at moments a few seconds apart, so that the face at any time between is found quickly: points are traced
   back to the moment before only, and take the paint that lay there then. Each kept face is found that way from the one
   before it, so that edges of bands wander by a point or two over a whole plan: good enough while time moves. */
#ifndef TRACK_H
#define TRACK_H

#include "run/past.h"
#include "run/reel.h"
#include "run/strata.h"

typedef struct rv_track rv_track;

/* `points` along the longer side; NULL if no memory. */
rv_track *track_new(int points);
void track_free(rv_track *track);
double track_reaches(const rv_track *track); /* time of the last face [s]; 0: none */
long track_bytes(const rv_track *track);

/* Keeps one more face if the film is known far enough; false if there was nothing to do. spacing [s]. */
bool track_grow(rv_track *track, const rn_past *past, const rn_reel *reel, double spacing, double solved,
                rn_team *team);

/* Lets go of what lies after a time, as the film there is another now. */
void track_cut(rv_track *track, double time);

/* How long the way back from `time` is to the moment before [s]. */
double track_way(const rv_track *track, double time);

/* The face of a still. */
rn_status track_face(rn_strata **face, const rv_track *track, const rn_past *past, const rn_still *still, rn_team *team,
                     rn_error *err);

#endif
