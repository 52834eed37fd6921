/* What outlives the window, in the XDG state folder: the plans that were opened last, and the bench as it was a moment ago,
   in case the program does not end as it should. Where that folder cannot be made all of this silently stays away. */
#ifndef RECOVERY_H
#define RECOVERY_H

#include <stdbool.h>
#include <time.h>

#include "plan/plan.h"

#define RECENT_MOST 12
#define RECOVERY_PATH_SIZE 4096

typedef struct rv_recent {
    int count;
    char paths[RECENT_MOST][RECOVERY_PATH_SIZE]; /* the newest first */
} rv_recent;

/* Reads the list; those that are gone are left out. */
void recent_read(rv_recent *recent);

/* Puts a path first. */
void recent_add(const char *path);

/* Keeps the bench: the plan, where it comes from ("" : nowhere), for this process. False if it could not be kept. A bench
   that another process of the same number left behind stays beside it. */
bool recovery_keep(const rn_plan *plan, const char *path);

/* This process's bench need not be kept any longer: it was saved, or left. */
void recovery_drop(void);

/* A bench whose process no longer lives. */
typedef struct rv_left_bench {
    char file[RECOVERY_PATH_SIZE]; /* what it was kept in */
    char path[RECOVERY_PATH_SIZE]; /* where the plan came from; "" : nowhere */
    time_t when;
    rn_plan *plan; /* owned */
} rv_left_bench;

/* The newest of them; false if there is none. */
bool recovery_find(rv_left_bench *left);

/* Lets go of the one found: of its file too if it is not to be offered again. */
void recovery_clear(rv_left_bench *left, bool forget);

#endif
