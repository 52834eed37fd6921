/* The least value that meets a goal, looked for in a model whose answers are known. */
#ifndef RN_TESTS_SEARCH_LEAST_WORLD_H
#define RN_TESTS_SEARCH_LEAST_WORLD_H

#include "base/physical.h"
#include "search/least.h"
#include "search/stand_in.h"

#define ML 1e-6 /* [m3] */

/* What a pour of the model does; volumes in ml. */
typedef struct world {
    double all;            /* covers all of the face; less in proportion, as far as `most` */
    double most;           /* the greatest coverage there is */
    double overflow;       /* what is beyond runs off */
    double dry[2];         /* but for between these */
    double coarse;         /* by so much the coarse grid takes all of this for more */
    double gap[2];         /* between these nothing is covered */
    bool coarse_gap;       /* on the coarse grid alone */
    double fails[2];       /* between these nothing can be worked out */
    double stretch_at_all; /* stretch falls from 10 at nothing by factors: it is this at `all` */
    double spin[2];        /* covered where the last move's speed is between these, if given [rpm]; fine grid */
    double coarse_spin[2];
    int lifts; /* covered from so many on, if given */
    bool settles;
} world;

/* Covered by 200 ml, and nothing runs off. */
extern const world simple;

typedef struct search {
    rn_plan *plan;
    rn_dial dial;
    stand_in model;
    rn_study *study;
    rn_least_options options;
    rn_error err;
    rn_least found;
} search;

/* A search of the model for a dial, a range as for rn_dial_make and a goal; owned by the caller. */
search *search_of(const world *w, const char *path, const char *from, const char *to, rn_goal goal,
                  rn_study_options options);
void search_free(search *s);

/* Looks. */
void search_find(search *s);

/* The same over the usual range, with what it found; owned by the caller. */
search *found_by(const world *w, const char *path, rn_goal goal);

/* The answer lies on the right side of what is known [m3], and no farther off than was asked. */
void check_answer(const rn_least *found, double known);

#endif
