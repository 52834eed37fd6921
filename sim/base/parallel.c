/* Workers wait for the next job by spinning for a moment (the film has six short jobs a step) and then
   sleeping. The caller works too, then waits the same way for the others. */
#include "base/parallel.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdlib.h>
#include <unistd.h>

#define SPINS 4000 /* some ten microseconds: longer than the gap between two jobs of one step */
#define TEAM_MOST 64

typedef struct member {
    rn_team *team;
    int number;
    pthread_t thread;
} member;

struct rn_team {
    int size;
    member members[TEAM_MOST];
    pthread_mutex_t lock;
    pthread_cond_t wake, finished;
    atomic_uint job;      /* counts jobs given out */
    atomic_int remaining; /* workers still at the present job */
    atomic_bool closing;
    int blocks;
    rn_team_work *work;
    void *context;
    rn_team_go_on *go_on; /* asked by member 0 alone */
    void *go_on_context;
    atomic_bool stopped;
};

static inline void pause_briefly(void)
{
#if defined(__x86_64__) || defined(__i386__)
    __builtin_ia32_pause();
#endif
}

/* Whether the work goes on. */
static bool ask(rn_team *team, int number)
{
    if (atomic_load_explicit(&team->stopped, memory_order_relaxed))
        return false;
    if (number == 0 && team->go_on && !team->go_on(team->go_on_context))
        atomic_store(&team->stopped, true);
    return !atomic_load_explicit(&team->stopped, memory_order_relaxed);
}

static void work_share(rn_team *team, int number)
{
    int from = (int)((long)team->blocks * number / team->size);
    int to = (int)((long)team->blocks * (number + 1) / team->size);
    for (int block = from; block < to && ask(team, number); block++)
        team->work(team->context, block, number);
}

static void wait_for_job(rn_team *team, unsigned seen)
{
    for (int spin = 0; spin < SPINS; spin++) {
        if (atomic_load_explicit(&team->job, memory_order_acquire) != seen)
            return;
        pause_briefly();
    }
    pthread_mutex_lock(&team->lock);
    while (atomic_load(&team->job) == seen)
        pthread_cond_wait(&team->wake, &team->lock);
    pthread_mutex_unlock(&team->lock);
}

static void *worker(void *argument)
{
    member *self = argument;
    rn_team *team = self->team;
    for (unsigned seen = 0;; seen++) {
        wait_for_job(team, seen);
        if (atomic_load(&team->closing))
            return NULL;
        work_share(team, self->number);
        if (atomic_fetch_sub(&team->remaining, 1) == 1) {
            pthread_mutex_lock(&team->lock);
            pthread_cond_signal(&team->finished);
            pthread_mutex_unlock(&team->lock);
        }
    }
}

static void give_out_job(rn_team *team)
{
    pthread_mutex_lock(&team->lock);
    atomic_fetch_add(&team->job, 1);
    pthread_cond_broadcast(&team->wake);
    pthread_mutex_unlock(&team->lock);
}

rn_status rn_team_new(rn_team **team, int threads, rn_error *err)
{
    if (threads <= 0)
        threads = (int)sysconf(_SC_NPROCESSORS_ONLN);
    if (threads < 1)
        threads = 1;
    if (threads > TEAM_MOST)
        threads = TEAM_MOST;
    rn_team *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory for %d threads", threads);
    pthread_mutex_init(&made->lock, NULL);
    pthread_cond_init(&made->wake, NULL);
    pthread_cond_init(&made->finished, NULL);
    atomic_init(&made->stopped, false);
    made->size = 1;
    while (made->size < threads) { /* fewer threads than asked for is slower, not wrong */
        member *next = &made->members[made->size];
        *next = (member){.team = made, .number = made->size};
        if (pthread_create(&next->thread, NULL, worker, next) != 0)
            break;
        made->size++;
    }
    *team = made;
    return RN_OK;
}

void rn_team_free(rn_team *team)
{
    if (!team)
        return;
    atomic_store(&team->closing, true);
    give_out_job(team);
    for (int i = 1; i < team->size; i++)
        pthread_join(team->members[i].thread, NULL);
    pthread_cond_destroy(&team->finished);
    pthread_cond_destroy(&team->wake);
    pthread_mutex_destroy(&team->lock);
    free(team);
}

int rn_team_size(const rn_team *team)
{
    return team->size;
}

void rn_team_share(rn_team *team, int blocks, rn_team_work *work, void *context)
{
    team->blocks = blocks;
    team->work = work;
    team->context = context;
    if (!ask(team, 0))
        return;
    if (team->size == 1 || blocks < 2) {
        for (int block = 0; block < blocks && ask(team, 0); block++)
            work(context, block, 0);
        return;
    }
    atomic_store(&team->remaining, team->size - 1);
    give_out_job(team);
    work_share(team, 0);
    for (int spin = 0; spin < SPINS; spin++) {
        if (atomic_load_explicit(&team->remaining, memory_order_acquire) == 0)
            return;
        pause_briefly();
    }
    pthread_mutex_lock(&team->lock);
    while (atomic_load(&team->remaining) > 0)
        pthread_cond_wait(&team->finished, &team->lock);
    pthread_mutex_unlock(&team->lock);
}

void rn_team_heed(rn_team *team, rn_team_go_on *go_on, void *context)
{
    team->go_on = go_on;
    team->go_on_context = context;
    atomic_store(&team->stopped, false);
}

rn_status rn_team_ends(const rn_team *team, rn_error *err)
{
    return atomic_load(&team->stopped) ? rn_fail(err, RN_E_STOPPED, "stopped by hand") : RN_OK;
}
