/* The numbers of a plan that a doubt moves, or a dial. */
#ifndef RN_SEARCH_DOUBT_TARGET_H
#define RN_SEARCH_DOUBT_TARGET_H

#include <stdbool.h>
#include <stddef.h>

#include "search/doubt.h"

#define RN_TARGETS_MOST RN_MOVES_MOST
#define RN_DOUBT_LEVEL "panel.slope"
#define RN_DOUBT_DOWNHILL "panel.downhill"

typedef struct rn_target {
    char path[RN_DOUBT_PATH];
    rn_plan_number number;
} rn_target;

/* Whether it is the slope of the bench, which is drawn with its direction. */
bool rn_doubt_is_level(const char *path);

/* Which way a slope leads, from its parts to the right and to the back: 0 to 2 pi. */
double rn_doubt_bearing(double right, double back);

/* False where there is no number that may be off by some: none at all, a whole one, or one that is not given. */
bool rn_target_at(rn_target *found, const rn_plan *plan, const char *path);

/* A list that a plan has: "moves". */
typedef struct rn_target_entries {
    const char *word;
    int count;
} rn_target_entries;

/* The list whose word is text[length]; count -1: there is none. */
rn_target_entries rn_target_list(const rn_plan *plan, const char *text, size_t length);

/* "moves.spin" with every move that spins; 0 where the path is none of that kind or nothing has the key. */
int rn_targets_of_list(rn_target targets[RN_TARGETS_MOST], const rn_plan *plan, const char *path);

/* Either kind of path. */
int rn_targets_of(rn_target targets[RN_TARGETS_MOST], const rn_plan *plan, const char *path);

/* What a path speaks of: of the volume all places of stacks, of the consistency all viscosities, of the level its direction
   too. */
int rn_targets_behind(rn_target behind[RN_TARGETS_MOST], const rn_plan *plan, const char *path);

/* Whether any of them is another number in this plan. */
bool rn_targets_changed(const rn_target *targets, int count, const rn_plan *plan);

#endif
