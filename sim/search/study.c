#include "search/study.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/monotonic.h"
#include "search/identity.h"
#include "search/trial.h"

#define TELL_EVERY 0.1  /* [s] */
#define TRUST_AFTER 0.5 /* no time left is told before this [s] */
#define THREADS_MOST 256

/* Memory of a session by the square of its cells, before one was seen [bytes]: about what sessions of some minutes take,
   whose history is most of what a pattern needs. */
#define BYTES_PLAIN 200
#define BYTES_PATTERN 10000

struct rn_study {
    rn_study_options options;
    int threads;
    long memory_most;
    atomic_bool stopped;
    int worked, known; /* from here on all is under the lock while a list is worked */
    int to_come;
    double to_come_weight;                    /* see weight_of */
    double started, thread_time, weight_done; /* [s], [s] */
    double bytes_each[2];                     /* by the square of its cells, the most a run was seen to take, ... */
    bool bytes_seen[2];                       /* without a pattern and with one; not seen: a guess */
    int unkept;
    rn_error why_unkept;
    pthread_mutex_t lock;
    pthread_cond_t changed;
};

/* A list being worked. */
typedef struct job {
    rn_study *study;
    rn_run *runs;
    char **identities; /* NULL where nothing is kept */
    int *order;        /* of those that must be worked out */
    int count, next, done, in_flight;
    double bytes_in_flight;
} job;

rn_study_options rn_study_defaults(void)
{
    return (rn_study_options){0};
}

static long half_of_memory(void)
{
    const long pages = sysconf(_SC_PHYS_PAGES), size = sysconf(_SC_PAGESIZE);
    return pages > 0 && size > 0 ? pages / 2 * size : 1L << 30;
}

static int processors(void)
{
    const long count = sysconf(_SC_NPROCESSORS_ONLN);
    return count < 1 ? 1 : count > THREADS_MOST ? THREADS_MOST : (int)count;
}

rn_status rn_study_new(rn_study **study, rn_study_options options, rn_error *err)
{
    rn_study *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    made->options = options;
    made->threads = options.threads > 0 ? options.threads : processors();
    if (made->threads > THREADS_MOST)
        made->threads = THREADS_MOST;
    made->memory_most = options.memory_most > 0 ? options.memory_most : half_of_memory();
    if (!made->options.model)
        made->options.model = rn_trial_run;
    const bool sessions = made->options.model == rn_trial_run; /* of other models the first run goes alone */
    made->bytes_each[false] = sessions ? BYTES_PLAIN : INFINITY;
    made->bytes_each[true] = sessions ? BYTES_PATTERN : INFINITY;
    made->started = rn_monotonic_now();
    atomic_init(&made->stopped, false);
    pthread_condattr_t attributes;
    pthread_condattr_init(&attributes);
    pthread_condattr_setclock(&attributes, CLOCK_MONOTONIC);
    pthread_mutex_init(&made->lock, NULL);
    pthread_cond_init(&made->changed, &attributes);
    pthread_condattr_destroy(&attributes);
    *study = made;
    return RN_OK;
}

void rn_study_free(rn_study *study)
{
    if (!study)
        return;
    pthread_cond_destroy(&study->changed);
    pthread_mutex_destroy(&study->lock);
    free(study);
}

void rn_study_stop(rn_study *study)
{
    atomic_store(&study->stopped, true);
}

bool rn_study_stopped(const rn_study *study)
{
    return atomic_load(&study->stopped);
}

static bool go_on(void *study)
{
    return !rn_study_stopped(study);
}

void rn_study_counts(int *worked, int *known, const rn_study *study)
{
    *worked = study->worked;
    *known = study->known;
}

int rn_study_unkept(rn_error *why, const rn_study *study)
{
    *why = study->why_unkept;
    return study->unkept;
}

/* How long a run takes, by its grid: steps grow shorter as cells do. By the timing reference, where 256 cells take some 13
   times as long as 96, and a pattern ten times as long on 96 and four times on 256. */
static double weight_of(int cells, bool pattern)
{
    const double film = pow(cells / 96.0, 2.6);
    return pattern ? 3 * film + 7 : film;
}

void rn_study_announce(rn_study *study, int to_come, int cells)
{
    study->to_come = to_come;
    study->to_come_weight = to_come * weight_of(cells, false);
}

/* ---- the workers ---- */

/* The memory a run is thought to take, no more than there is. */
static double bytes_of(const rn_study *study, const rn_run *run)
{
    return fmin(study->bytes_each[run->pattern] * run->cells * run->cells, (double)study->memory_most);
}

static void learn_bytes(rn_study *study, const rn_run *run, long bytes)
{
    const double each = (double)bytes / run->cells / run->cells;
    double *most = &study->bytes_each[run->pattern];
    *most = study->bytes_seen[run->pattern] ? fmax(*most, each) : each;
    study->bytes_seen[run->pattern] = true;
}

/* The next run to work out, once there is memory for it, which *bytes is set aside of; -1: none. Called with the lock. */
static int take(double *bytes, job *all)
{
    rn_study *study = all->study;
    while (all->next < all->count && !rn_study_stopped(study)) {
        *bytes = bytes_of(study, &all->runs[all->order[all->next]]);
        if (all->in_flight == 0 || all->bytes_in_flight + *bytes <= (double)study->memory_most) {
            all->in_flight++;
            all->bytes_in_flight += *bytes;
            return all->order[all->next++];
        }
        pthread_cond_wait(&study->changed, &study->lock);
    }
    return -1;
}

/* What cannot be kept is worked out again another time. */
static rn_status keep(const job *all, int at, rn_error *err)
{
    const rn_study *study = all->study;
    if (!study->options.cache)
        return RN_OK;
    return rn_cache_keep(study->options.cache, all->identities[at], &all->runs[at].outcome, err);
}

static void *work(void *context)
{
    job *all = context;
    rn_study *study = all->study;
    double reserved;
    pthread_mutex_lock(&study->lock);
    for (int at = take(&reserved, all); at >= 0; at = take(&reserved, all)) {
        rn_run *run = &all->runs[at];
        rn_error why = {0};
        long bytes = 0;
        pthread_mutex_unlock(&study->lock);
        const double began = rn_monotonic_now();
        study->options.model(study->options.model_context, &run->outcome, &bytes, run, go_on, study);
        keep(all, at, &why);
        const double took = rn_monotonic_now() - began;
        pthread_mutex_lock(&study->lock);
        all->in_flight--;
        all->bytes_in_flight -= reserved;
        if (run->outcome.state == RN_OUTCOME_WHOLE || run->outcome.state == RN_OUTCOME_DECIDED)
            learn_bytes(study, run, bytes);
        if (why.status && study->unkept++ == 0)
            study->why_unkept = why;
        if (run->outcome.state != RN_OUTCOME_NONE) {
            all->done++;
            study->worked++;
            study->thread_time += took;
            study->weight_done += weight_of(run->cells, run->pattern);
        }
        pthread_cond_broadcast(&study->changed);
    }
    pthread_mutex_unlock(&study->lock);
    return NULL;
}

/* Called with the lock. */
static rn_progress progress_of(const job *all)
{
    const rn_study *study = all->study;
    rn_progress progress = {.done = study->worked + study->known,
                            .known = study->known,
                            .elapsed = rn_monotonic_now() - study->started,
                            .left = NAN};
    double weight = study->to_come_weight;
    for (int i = all->next - all->in_flight; i < all->count; i++)
        weight += weight_of(all->runs[all->order[i]].cells, all->runs[all->order[i]].pattern);
    progress.of = progress.done + (all->count - all->done) + study->to_come;
    if (study->weight_done > 0 && progress.elapsed > TRUST_AFTER)
        progress.left = weight * study->thread_time / study->weight_done / study->threads;
    return progress;
}

/* Tells how far it is. The lock is held but while telling. */
static void tell_now(job *all)
{
    rn_study *study = all->study;
    if (!study->options.tell)
        return;
    const rn_progress progress = progress_of(all);
    pthread_mutex_unlock(&study->lock);
    if (!study->options.tell(study->options.tell_context, &progress))
        rn_study_stop(study);
    pthread_mutex_lock(&study->lock);
}

/* Tells until all is done or stopped, and once more then: the last runs may end while it is telling. The lock is held but
   while waiting and telling. */
static void watch(job *all)
{
    rn_study *study = all->study;
    while (all->in_flight > 0 || (all->next < all->count && !rn_study_stopped(study))) {
        const double until = rn_monotonic_now() + TELL_EVERY;
        const struct timespec at = {.tv_sec = (time_t)until, .tv_nsec = (long)(1e9 * (until - floor(until)))};
        pthread_cond_timedwait(&study->changed, &study->lock, &at);
        tell_now(all);
    }
    tell_now(all);
    pthread_cond_broadcast(&study->changed);
}

static rn_status work_out(job *all, rn_error *err)
{
    rn_study *study = all->study;
    pthread_t threads[THREADS_MOST];
    int started = 0;
    const int wanted = all->count < study->threads ? all->count : study->threads;
    while (started < wanted && pthread_create(&threads[started], NULL, work, all) == 0)
        started++;
    if (wanted > 0 && started == 0)
        return rn_fail(err, RN_E_MEMORY, "no thread can be started");
    pthread_mutex_lock(&study->lock);
    watch(all);
    pthread_mutex_unlock(&study->lock);
    for (int i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    return RN_OK;
}

/* ---- a list ---- */

static bool find(rn_run *run, char **identity, const rn_study *study, rn_error *err)
{
    if (rn_identity_write(identity, run, study->options.model_name, err))
        return false;
    rn_outcome found;
    if (!rn_cache_find(&found, study->options.cache, *identity))
        return false;
    if (study->options.model == rn_trial_run && rn_outcome_strange(&found, run->plan, run->cells))
        return false; /* no session came to that: it is worked out anew */
    run->outcome = found;
    return true;
}

/* A run that is known from before: to its end, or as far as its goal is decided. */
static bool look_up(job *all, int at, rn_error *err)
{
    const rn_study *study = all->study;
    rn_run *run = &all->runs[at];
    run->outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
    run->known = study->options.cache && find(run, &all->identities[at], study, err);
    if (study->options.cache && !run->known && run->settles && err->status == RN_OK) {
        rn_run whole = *run;
        char *identity = NULL;
        whole.settles = NULL;
        run->known = find(&whole, &identity, study, err);
        run->outcome = whole.outcome;
        free(identity);
    }
    return run->known;
}

rn_status rn_study_work(rn_study *study, rn_run *runs, int count, rn_error *err)
{
    job all = {.study = study, .runs = runs};
    rn_error own = {0};
    rn_status status = RN_OK;
    all.identities = calloc((size_t)count + 1, sizeof *all.identities);
    all.order = calloc((size_t)count + 1, sizeof *all.order);
    if (!all.identities || !all.order)
        rn_fail(&own, RN_E_MEMORY, "no memory left");
    for (int i = 0; own.status == RN_OK && i < count; i++) {
        if (look_up(&all, i, &own))
            study->known++;
        else
            all.order[all.count++] = i;
    }
    if (own.status)
        status = rn_fail(err, own.status, "%s", own.message);
    else if (all.count > 0 && !rn_study_stopped(study))
        status = work_out(&all, err);
    for (int i = 0; all.identities && i < count; i++)
        free(all.identities[i]);
    free(all.identities);
    free(all.order);
    return status;
}
