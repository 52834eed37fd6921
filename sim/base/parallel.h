/* A small team of threads that share ordered blocks of work. Every block is worked exactly as it would be alone,
   so the result has the same bits for any number of threads. */
#ifndef RN_BASE_PARALLEL_H
#define RN_BASE_PARALLEL_H

#include <stdbool.h>

#include "base/error.h"

typedef struct rn_team rn_team;

/* threads: 0 for one per processor this process may use. The caller is one of them. */
rn_status rn_team_new(rn_team **team, int threads, rn_error *err);
void rn_team_free(rn_team *team);
int rn_team_size(const rn_team *team);

/* Calls work(context, block, member) for every block 0..blocks-1 and returns when all are done. member is
   0..size-1 and tells apart those who work at the same time; each has a run of neighbouring blocks. */
typedef void rn_team_work(void *context, int block, int member);
void rn_team_share(rn_team *team, int blocks, rn_team_work *work, void *context);

/* From here on go_on(context) is asked before each share of work and each block of it, by the thread that gives the work
   out; once it says no, no block is begun any more, and what is being worked out is worth nothing. NULL: nobody is asked. */
typedef bool rn_team_go_on(void *context);
void rn_team_heed(rn_team *team, rn_team_go_on *go_on, void *context);

/* RN_E_STOPPED once it has said no: what works with a team ends with it. */
rn_status rn_team_ends(const rn_team *team, rn_error *err);

#endif
