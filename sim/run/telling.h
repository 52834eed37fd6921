/* The moments of a session worth a picture. */
#ifndef RN_RUN_TELLING_H
#define RN_RUN_TELLING_H

#include "plan/plan.h"
#include "run/record.h"

#define RN_TELLING_LEAST 6
#define RN_TELLING_MOST 12
#define RN_TELLING_SIZE 64

typedef struct rn_telling {
    double time;                 /* [s] */
    char words[RN_TELLING_SIZE]; /* what happens then: "release ends", "back left corner reached" */
} rn_telling;

/* In order of time: the end of each release, the first edge reached, each corner reached, the end of each spin, and the
   end; those that nearly coincide are one, and where they are few, moments between them fill the gaps, sooner while
   something is poured or moved than at rest. Returns how many:
   RN_TELLING_LEAST..RN_TELLING_MOST, fewer only for a session of no length. */
int rn_telling_find(rn_telling telling[RN_TELLING_MOST], const rn_plan *plan, const rn_record *record);

#endif
