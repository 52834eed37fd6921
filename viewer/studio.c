#define _XOPEN_SOURCE 700 /* nice */

#include "studio.h"

#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/monotonic.h"
#include "work.h"

#define MANNERS 10      /* how much the window goes first */
#define SLICE 0.02      /* of working out, before the window is looked to again [s] */
#define TALE_EVERY 0.1  /* [s] */
#define AGAIN_EVERY 0.1 /* a picture of a time not yet reached is made again as the film comes nearer [s] */
#define CUT_EVERY 0.15  /* while time moves [s] */
#define QUIET 0.3       /* what cannot be broken off begins when nothing has been asked for so long [s] */
#define SOON 0.03       /* to sleep while something waits for its moment [s] */

typedef enum doing { IDLE, WAITING, BUSY } doing;

/* What has been answered, so that it is not answered twice. */
typedef struct answered {
    double tale_at, picture_at, cut_at, asked_at; /* when [s] */
    bool tale, tale_stuck, tale_pattern;
    double tale_solved, tale_traced; /* what the last one told */
    bool picture, sharp, core, section, pull;
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

static void wake_window(rv_studio *studio)
{
    if (studio->options.wake)
        studio->options.wake(studio->options.context);
}

/* Puts an answer where the window finds it, in place of one it has not taken; one of a plan that has been changed since is
   let go. */
#define ANSWER(studio, kind, answer)                                                                                   \
    do {                                                                                                               \
        rv_studio_##kind *given = (answer);                                                                            \
        pthread_mutex_lock(&(studio)->lock);                                                                           \
        const bool wanted = given && given->version == (studio)->version;                                              \
        if (wanted) {                                                                                                  \
            studio_##kind##_free((studio)->kind);                                                                      \
            (studio)->kind = given;                                                                                    \
        }                                                                                                              \
        pthread_mutex_unlock(&(studio)->lock);                                                                         \
        if (wanted)                                                                                                    \
            wake_window(studio);                                                                                       \
        else                                                                                                           \
            studio_##kind##_free(given);                                                                               \
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

/* Whether something else is wanted by now than what is being done. */
static bool asked_anew(void *context)
{
    rv_studio *studio = context;
    pthread_mutex_lock(&studio->lock);
    const bool asked = studio->stop || studio->plan || !same_wish(&studio->wish, &studio->done.wish);
    pthread_mutex_unlock(&studio->lock);
    return asked;
}

/* Tells how far it has come, if there is anything new: ten times a second, and at once where the work has come to a halt. */
static bool tell(rv_studio *studio, bool halted)
{
    const rv_work *work = studio->work;
    answered *done = &studio->done;
    const double now = rn_monotonic_now();
    if (done->tale && done->tale_solved == work_told(work) && done->tale_traced == work_solved(work) &&
        done->tale_stuck == work->stuck && done->tale_pattern == work->has_pattern)
        return false;
    const bool ended = work_outlined(work) && done->tale_solved < work_end(work);
    if (done->tale && !halted && !ended && now - done->tale_at < TALE_EVERY)
        return false;
    done->tale = true;
    done->tale_solved = work_told(work);
    done->tale_traced = work_solved(work);
    done->tale_stuck = work->stuck;
    done->tale_pattern = work->has_pattern;
    ANSWER(studio, tale, work_tell(work));
    done->tale_at = rn_monotonic_now();
    return true;
}

/* A time beyond what is worked out is shown as far as it goes, again and again. */
static void mind_progress(rv_studio *studio)
{
    answered *done = &studio->done;
    const double solved = work_solved(studio->work);
    if (solved <= done->solved || done->wish.time <= done->solved)
        return;
    if (rn_monotonic_now() - done->picture_at < AGAIN_EVERY && solved < done->wish.time)
        return;
    done->picture = done->sharp = done->core = done->section = done->pull = false;
    done->solved = solved;
}

static bool draw(rv_studio *studio, bool sharp)
{
    answered *done = &studio->done;
    const rv_pause pause = {asked_anew, studio};
    done->solved = work_solved(studio->work);
    rv_studio_picture *picture = work_picture(studio->work, done->wish, sharp, pause);
    if (!picture && sharp && asked_anew(studio))
        return true;
    done->picture = true;
    done->sharp = sharp || (picture && picture->sharp);
    done->picture_at = rn_monotonic_now();
    ANSWER(studio, picture, picture);
    return true;
}

static doing cut(rv_studio *studio)
{
    answered *done = &studio->done;
    const bool core = done->wish.core && !done->core, section = done->wish.section && !done->section;
    if (!core && !section)
        return IDLE;
    if (done->wish.moving && rn_monotonic_now() - done->cut_at < CUT_EVERY)
        return WAITING;
    done->core = done->section = true;
    if (core)
        ANSWER(studio, core, work_core(studio->work, done->wish));
    if (section)
        ANSWER(studio, section, work_section(studio->work, done->wish));
    done->cut_at = rn_monotonic_now();
    return BUSY;
}

/* When all is worked out that may be. */
static doing refine(rv_studio *studio)
{
    rv_work *work = studio->work;
    answered *done = &studio->done;
    if (!done->wish.moving && done->wish.pixels > 0 && !done->sharp)
        return draw(studio, true) ? BUSY : IDLE;
    if (done->wish.stretch && !done->pull && !done->wish.moving) {
        done->pull = true;
        ANSWER(studio, pull, work_pull(work, done->wish));
        return BUSY;
    }
    if (work_prepare(work, INFINITY))
        return BUSY;
    if (!studio->options.judges || done->wish.moving || work->judged || !work_complete(work))
        return IDLE;
    if (rn_monotonic_now() - done->asked_at < QUIET)
        return WAITING;
    return work_judge(work) ? BUSY : IDLE;
}

/* The most urgent things. */
static doing work_on(rv_studio *studio)
{
    rv_work *work = studio->work;
    answered *done = &studio->done;
    if (!work->plan)
        return IDLE;
    if (!work_begun(work)) {
        tell(studio, true);
        return IDLE;
    }
    mind_progress(studio);
    bool worked = false;
    if (done->wish.pixels > 0 && !done->picture)
        worked = draw(studio, false);
    const doing cutting = cut(studio);
    worked = worked || cutting == BUSY;
    const double horizon = done->wish.horizon;
    if (done->wish.pixels > 0 && !work_outlines(work, horizon) && work_prepare(work, done->wish.time))
        worked = true;
    const bool stepped = work_step(work, SLICE, horizon);
    if (tell(studio, !stepped) || worked || stepped)
        return BUSY;
    const doing refining = refine(studio);
    return refining == IDLE ? cutting : refining;
}

/* Waits under the lock until something is asked, or for a moment. */
static void wait(rv_studio *studio, doing last)
{
    struct timespec until;
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_nsec += (long)(1e9 * SOON);
    until.tv_sec += until.tv_nsec / 1000000000;
    until.tv_nsec %= 1000000000;
    while (!studio->stop && !studio->plan && same_wish(&studio->wish, &studio->done.wish))
        if (last == IDLE)
            pthread_cond_wait(&studio->news, &studio->lock);
        else if (last == BUSY || pthread_cond_timedwait(&studio->news, &studio->lock, &until) != 0)
            break;
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
    doing last = IDLE;
    if (!begin(studio))
        return NULL;
    for (;;) {
        pthread_mutex_lock(&studio->lock);
        wait(studio, last);
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
        if (plan || !same_wish(&wish, &studio->done.wish))
            studio->done.asked_at = rn_monotonic_now();
        compare_wishes(&studio->done, &wish);
        if (plan) {
            work_take_plan(studio->work, plan, version);
            studio->done = (answered){.wish = wish, .asked_at = rn_monotonic_now()};
        }
        last = work_on(studio);
    }
}

static void drop_answers(rv_studio *studio)
{
    studio_tale_free(studio->tale);
    studio_picture_free(studio->picture);
    studio_core_free(studio->core);
    studio_section_free(studio->section);
    studio_pull_free(studio->pull);
    studio->tale = NULL;
    studio->picture = NULL;
    studio->core = NULL;
    studio->section = NULL;
    studio->pull = NULL;
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
    drop_answers(studio);
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
    drop_answers(studio);
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
