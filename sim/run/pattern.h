/* The pattern a session shows: everything that is worked out from where each paint of the film came from. */
#ifndef RN_RUN_PATTERN_H
#define RN_RUN_PATTERN_H

#include "run/cells.h"
#include "run/circle.h"
#include "run/colours.h"
#include "run/rings.h"
#include "run/session.h"
#include "run/spiral.h"
#include "run/strata.h"
#include "run/stretch.h"

#define RN_PATTERN_CIRCLES                                                                                             \
    8 /* drawn round each pour, evenly out to where the wet film ends, or as far as most stay on */

typedef struct rn_pattern_options {
    int points;   /* of the face along the longer side, 256..2048; RN_STRATA_POINTS */
    double since; /* stretch is counted from here [s]; NaN: the end of the last release */
    int levels;   /* of depth that are traced for the volumes by colour, 1..64; 0: no volumes; RN_STRATA_LEVELS */
    rn_nuclei_options cells;
} rn_pattern_options;

rn_pattern_options rn_pattern_defaults(void);

typedef struct rn_pour_pattern {
    rn_rings rings;
    rn_spiral spiral;
    double drawn; /* when the circles were drawn: the end of the release, or before the pattern's time [s] */
    rn_circle_fate circles[RN_PATTERN_CIRCLES];
} rn_pour_pattern;

/* Plain data, owned. */
typedef struct rn_pattern {
    double time;     /* [s] */
    rn_strata *face; /* one plane */
    bool has_colours;
    rn_colours colours;
    double mud;     /* share of the wet face with bands thinner than RN_MUD_WIDTH */
    int pour_count; /* those that had begun by then come with figures; the others' are empty */
    rn_pour_pattern *pours;
    double since; /* [s] */
    rn_stretch stretch;
    rn_cells cells;
    double twist; /* the greatest of the circles that are not lost, by size, counter-clockwise positive [rad]; NaN
                          where all are lost */
} rn_pattern;

/* For the film of a still of this session, which must have its history. */
rn_status rn_pattern_work_out(rn_pattern **pattern, const rn_plan *plan, const rn_session *session,
                              const rn_still *still, rn_pattern_options options, rn_team *team, rn_error *err);
void rn_pattern_free(rn_pattern *pattern);

#endif
