#define _XOPEN_SOURCE 700 /* nice */

#include "studio.h"

#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "work.h"

#define MANNERS 10      /* how much the window goes first */
#define SLICE 0.02      /* of working out, before the window is looked to again [s] */
#define TALE_EVERY 0.1  /* [s] */
#define AGAIN_EVERY 0.1 /* a picture of a time not yet reached is made again as the film comes nearer [s] */

/* What has been answered, so that it is not answered twice. */
typedef struct answered {
    bool tale_final, outlined;
    double tale_at; /* [s] */
    double told;    /* how far the film was in the last tale [s] */
    bool picture, sharp, core, section, pull;
    double picture_at;
    rv_studio_wish wish; /* that these were made for */
    double solved;       /* how far the film was then */
} answered;

struct rv_studio {
    rv_studio_options options;
    pthread_t thread;
    bool running;
    pthread_mutex_t lock;
    pthread_cond_t news;
    /* under the lock: */
    bool stop;
    rn_plan *plan; /* the newest, not yet taken up */
    long version;
    rv_studio_wish wish;
    rv_studio_tale *tale;
    rv_studio_picture *picture;
    rv_studio_core *core;
    rv_studio_section *section;
    rv_studio_pull *pull;
    bool begun; /* the thread has made what it works with, or could not: */
    rn_status status;
    rn_error err;
    /* the thread's own: */
    rv_work *work;
    answered done;
};

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void wake_window(rv_studio *studio)
{
    if (studio->options.wake)
        studio->options.wake(studio->options.context);
}

/* Puts an answer where the window finds it, in place of one it has not taken. */
#define ANSWER(studio, kind, answer)                                                                                   \
    do {                                                                                                               \
        pthread_mutex_lock(&(studio)->lock);                                                                           \
        studio_##kind##_free((studio)->kind);                                                                          \
        (studio)->kind = (answer);                                                                                     \
        pthread_mutex_unlock(&(studio)->lock);                                                                         \
        wake_window(studio);                                                                                           \
    } while (0)

static bool same_view(const rv_studio_wish *a, const rv_studio_wish *b)
{
    return a->time == b->time && a->pixels == b->pixels && a->dark == b->dark && a->sheen == b->sheen &&
           a->peel == b->peel;
}

static bool same_wish(const rv_studio_wish *a, const rv_studio_wish *b)
{
    return same_view(a, b) && a->horizon == b->horizon && a->moving == b->moving && a->stretch == b->stretch &&
           a->core == b->core && a->core_x == b->core_x && a->core_y == b->core_y && a->section == b->section &&
           memcmp(a->a, b->a, sizeof a->a) == 0 && memcmp(a->b, b->b, sizeof a->b) == 0;
}

/* Which answers still hold after the wish has changed. */
static void compare_wishes(answered *done, const rv_studio_wish *wish)
{
    const rv_studio_wish *was = &done->wish;
    if (!same_view(was, wish))
        done->picture = done->sharp = false;
    if (was->time != wish->time)
        done->core = done->section = done->pull = false;
    if (was->core_x != wish->core_x || was->core_y != wish->core_y || was->core != wish->core)
        done->core = false;
    if (memcmp(was->a, wish->a, sizeof was->a) != 0 || memcmp(was->b, wish->b, sizeof was->b) != 0 ||
        was->section != wish->section || was->moving != wish->moving)
        done->section = false;
    done->wish = *wish;
}

static void tell(rv_studio *studio)
{
    rv_studio_tale *tale = work_tell(studio->work);
    studio->done.tale_at = seconds();
    studio->done.told = work_solved(studio->work);
    studio->done.tale_final = work_complete(studio->work) || work_stuck(studio->work);
    if (tale)
        ANSWER(studio, tale, tale);
}

/* A time beyond what is worked out is shown as far as it goes, again and again. */
static void mind_progress(rv_studio *studio)
{
    answered *done = &studio->done;
    const double solved = work_solved(studio->work);
    if (solved <= done->solved || done->wish.time <= done->solved)
        return;
    if (seconds() - done->picture_at < AGAIN_EVERY && solved < done->wish.time)
        return;
    done->picture = done->sharp = done->core = done->section = done->pull = false;
    done->solved = solved;
}

static bool draw(rv_studio *studio, bool sharp)
{
    answered *done = &studio->done;
    done->solved = work_solved(studio->work);
    rv_studio_picture *picture = work_picture(studio->work, done->wish, sharp);
    done->picture = true;
    done->sharp = sharp;
    done->picture_at = seconds();
    if (picture)
        ANSWER(studio, picture, picture);
    return true;
}

static bool cut(rv_studio *studio)
{
    answered *done = &studio->done;
    if (done->wish.core && !done->core) {
        done->core = true;
        rv_studio_core *core = work_core(studio->work, done->wish);
        if (core)
            ANSWER(studio, core, core);
        return true;
    }
    if (done->wish.section && !done->section) {
        done->section = true;
        rv_studio_section *section = work_section(studio->work, done->wish);
        if (section)
            ANSWER(studio, section, section);
        return true;
    }
    return false;
}

static bool pull(rv_studio *studio)
{
    answered *done = &studio->done;
    if (!done->wish.stretch || done->pull || done->wish.moving)
        return false;
    done->pull = true;
    rv_studio_pull *made = work_pull(studio->work, done->wish);
    if (made)
        ANSWER(studio, pull, made);
    return true;
}

/* The most urgent thing; false if there is nothing left to do. */
static bool work_on(rv_studio *studio)
{
    rv_work *work = studio->work;
    answered *done = &studio->done;
    if (!work_begun(work)) {
        if (!done->tale_final)
            tell(studio);
        return false;
    }
    mind_progress(studio);
    bool worked = false;
    if (done->wish.pixels > 0 && !done->picture)
        worked = draw(studio, false);
    if (cut(studio))
        worked = true;
    if (work_step(work, SLICE, done->wish.horizon)) {
        worked = true;
        const bool outlined = work_outlined(work) && !done->outlined;
        done->outlined = done->outlined || outlined;
        if (seconds() - done->tale_at >= TALE_EVERY || outlined || work_complete(work) || work_stuck(work))
            tell(studio);
    }
    if (worked)
        return true;
    if (done->told != work_solved(work)) { /* it waits at the horizon: how far it came */
        tell(studio);
        return true;
    }
    if (!done->wish.moving && done->wish.pixels > 0 && !done->sharp)
        return draw(studio, true);
    if (pull(studio))
        return true;
    if (work_prepare(work))
        return true;
    if (!studio->options.judges || done->wish.moving || !work_judge(work))
        return false;
    tell(studio);
    return true;
}

/* Makes what it works with on the thread itself, so that its team gives way to the window as it does. */
static bool begin(rv_studio *studio)
{
    const rv_studio_options *options = &studio->options;
    rn_error err = {0};
    const int now = nice(MANNERS); /* on this system a thread's own */
    (void)now;
    const rn_status status = work_new(&studio->work, options->cells, options->points, options->threads, &err);
    pthread_mutex_lock(&studio->lock);
    studio->begun = true;
    studio->status = status;
    studio->err = err;
    pthread_cond_signal(&studio->news);
    pthread_mutex_unlock(&studio->lock);
    return status == RN_OK;
}

static void *run(void *context)
{
    rv_studio *studio = context;
    bool idle = true;
    if (!begin(studio))
        return NULL;
    for (;;) {
        pthread_mutex_lock(&studio->lock);
        while (!studio->stop && !studio->plan && idle && same_wish(&studio->wish, &studio->done.wish))
            pthread_cond_wait(&studio->news, &studio->lock);
        const bool stop = studio->stop;
        rn_plan *plan = studio->plan;
        const long version = studio->version;
        const rv_studio_wish wish = studio->wish;
        studio->plan = NULL;
        pthread_mutex_unlock(&studio->lock);
        if (stop) {
            rn_plan_free(plan);
            return NULL;
        }
        compare_wishes(&studio->done, &wish);
        if (plan) {
            work_take_plan(studio->work, plan, version);
            studio->done = (answered){.wish = wish, .tale_at = seconds(), .told = -1};
        }
        idle = !work_on(studio);
    }
}

rn_status studio_new(rv_studio **made, rv_studio_options options, rn_error *err)
{
    rv_studio *studio = calloc(1, sizeof *studio);
    if (!studio)
        return rn_fail(err, RN_E_MEMORY, "no memory for a studio");
    studio->options = options;
    studio->wish.horizon = studio->done.wish.horizon = INFINITY;
    pthread_mutex_init(&studio->lock, NULL);
    pthread_cond_init(&studio->news, NULL);
    studio->running = pthread_create(&studio->thread, NULL, run, studio) == 0;
    rn_status status = studio->running ? RN_OK : rn_fail(err, RN_E_MEMORY, "no thread for a studio");
    pthread_mutex_lock(&studio->lock);
    while (studio->running && !studio->begun)
        pthread_cond_wait(&studio->news, &studio->lock);
    if (studio->running && studio->status != RN_OK) {
        status = studio->status;
        *err = studio->err;
    }
    pthread_mutex_unlock(&studio->lock);
    if (status == RN_OK)
        *made = studio;
    else
        studio_free(studio);
    return status;
}

void studio_free(rv_studio *studio)
{
    if (!studio)
        return;
    if (studio->running) {
        pthread_mutex_lock(&studio->lock);
        studio->stop = true;
        pthread_cond_signal(&studio->news);
        pthread_mutex_unlock(&studio->lock);
        pthread_join(studio->thread, NULL);
    }
    work_free(studio->work);
    rn_plan_free(studio->plan);
    studio_tale_free(studio->tale);
    studio_picture_free(studio->picture);
    studio_core_free(studio->core);
    studio_section_free(studio->section);
    studio_pull_free(studio->pull);
    pthread_mutex_destroy(&studio->lock);
    pthread_cond_destroy(&studio->news);
    free(studio);
}

rn_status studio_set_plan(rv_studio *studio, const rn_plan *plan, long version, rn_error *err)
{
    rn_plan *copy = rn_plan_copy(plan);
    if (!copy)
        return rn_fail(err, RN_E_MEMORY, "no memory to work out the plan");
    pthread_mutex_lock(&studio->lock);
    rn_plan_free(studio->plan);
    studio->plan = copy;
    studio->version = version;
    pthread_cond_signal(&studio->news);
    pthread_mutex_unlock(&studio->lock);
    return RN_OK;
}

void studio_set_wish(rv_studio *studio, rv_studio_wish wish)
{
    pthread_mutex_lock(&studio->lock);
    if (!same_wish(&studio->wish, &wish)) {
        studio->wish = wish;
        pthread_cond_signal(&studio->news);
    }
    pthread_mutex_unlock(&studio->lock);
}

#define TAKE(kind)                                                                                                     \
    rv_studio_##kind *studio_take_##kind(rv_studio *studio)                                                            \
    {                                                                                                                  \
        pthread_mutex_lock(&studio->lock);                                                                             \
        rv_studio_##kind *taken = studio->kind;                                                                        \
        studio->kind = NULL;                                                                                           \
        pthread_mutex_unlock(&studio->lock);                                                                           \
        return taken;                                                                                                  \
    }

TAKE(tale)
TAKE(picture)
TAKE(core)
TAKE(section)
TAKE(pull)
