#define _XOPEN_SOURCE 700 /* nice */

#include "survey.h"

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "search/least.h"
#include "search/odds.h"
#include "search/trial.h"
#include "show/report_least.h"
#include "show/report_odds.h"

#define MANNERS 15 /* how much all else goes first; studios keep 10 */
#define RUNS_MOST 512

/* What is asked besides the window. */
typedef struct inquiry {
    rv_question question;
    rn_plan *plan; /* owned; NULL: nothing is asked */
    rn_goal goal;
} inquiry;

struct rv_survey {
    rv_survey_options options;
    rn_cache *cache;
    pthread_t thread;
    bool running;
    pthread_mutex_t lock;
    pthread_cond_t news;
    /* under the lock: */
    bool stop, rests;
    rn_study *study; /* what is being worked, so that it can be stopped */
    bool inquires;   /* and whether that is an inquiry */
    bool given;      /* there is another window, */
    rn_window *next; /* this one; NULL: none */
    long next_version;
    bool judges; /* there is another goal */
    rn_goal goal;
    inquiry asked;
    bool dropped; /* what is being answered is not wanted any more */
    rv_survey_tale *tale;
    rv_survey_run runs[RUNS_MOST];
    int run_count;
    bool answered;
    rv_survey_answer answer;
    /* the thread's own: */
    rn_window *window;
    long version;
    bool more;
};

static void wake_window(rv_survey *survey)
{
    if (survey->options.wake)
        survey->options.wake(survey->options.context);
}

/* ---- studies ---- */

/* A run like any other, told as soon as it is done. */
static void run_and_tell(void *context, rn_outcome *outcome, long *bytes, const rn_run *run, rn_study_go_on *go_on,
                         void *study)
{
    rv_survey *survey = context;
    rn_study_model *model = survey->options.model ? survey->options.model : rn_trial_run;
    model(survey->options.model_context, outcome, bytes, run, go_on, study);
    rn_plan_number x, y;
    if (survey->inquires || outcome->state == RN_OUTCOME_NONE ||
        rn_plan_number_at(&x, run->plan, rn_window_x(survey->window)->path, NULL) != RN_OK ||
        rn_plan_number_at(&y, run->plan, rn_window_y(survey->window)->path, NULL) != RN_OK)
        return;
    pthread_mutex_lock(&survey->lock);
    if (survey->run_count < RUNS_MOST)
        survey->runs[survey->run_count++] =
            (rv_survey_run){.version = survey->version, .x = fabs(x.value), .y = fabs(y.value), .outcome = *outcome};
    pthread_mutex_unlock(&survey->lock);
    wake_window(survey);
}

static bool tell(void *context, const rn_progress *progress)
{
    rv_survey *survey = context;
    pthread_mutex_lock(&survey->lock);
    const bool tells = survey->inquires;
    if (tells) {
        survey->answered = true;
        survey->answer = (rv_survey_answer){.question = survey->answer.question,
                                            .working = true,
                                            .runs = progress->done,
                                            .of = progress->of,
                                            .left = progress->left,
                                            .value = NAN};
    }
    pthread_mutex_unlock(&survey->lock);
    if (tells)
        wake_window(survey);
    return true;
}

/* Something else is wanted by now than what a study would be made for. Called with the lock. */
static bool wanted_otherwise(const rv_survey *survey, bool inquires)
{
    if (survey->stop || survey->asked.plan)
        return true;
    return inquires ? survey->dropped : survey->given || survey->rests;
}

/* A study that can be stopped from outside, and is at once where something else came first; NULL: no memory. */
static rn_study *begin_study(rv_survey *survey, bool inquires, rn_error *err)
{
    rn_study_options options = rn_study_defaults();
    options.threads = survey->options.threads;
    options.cache = survey->cache;
    options.tell = tell;
    options.tell_context = survey;
    options.model = run_and_tell;
    options.model_context = survey;
    rn_study *study = NULL;
    if (rn_study_new(&study, options, err) != RN_OK)
        return NULL;
    pthread_mutex_lock(&survey->lock);
    if (wanted_otherwise(survey, inquires))
        rn_study_stop(study);
    survey->study = study;
    survey->inquires = inquires;
    pthread_mutex_unlock(&survey->lock);
    return study;
}

static void end_study(rv_survey *survey, rn_study *study)
{
    pthread_mutex_lock(&survey->lock);
    survey->study = NULL;
    survey->inquires = false;
    pthread_mutex_unlock(&survey->lock);
    rn_study_free(study);
}

/* ---- the window ---- */

static void tell_tale(rv_survey *survey, const rn_error *trouble)
{
    rv_survey_tale *tale = calloc(1, sizeof *tale);
    rn_error err = {0};
    if (!tale || rn_window_copy(&tale->window, survey->window, &err) != RN_OK) {
        free(tale);
        return;
    }
    tale->version = survey->version;
    tale->complete = !survey->more;
    if (trouble)
        snprintf(tale->trouble, sizeof tale->trouble, "%.*s", (int)sizeof tale->trouble - 1, trouble->message);
    pthread_mutex_lock(&survey->lock);
    survey_tale_free(survey->tale);
    survey->tale = tale;
    survey->run_count = 0; /* it holds them */
    pthread_mutex_unlock(&survey->lock);
    wake_window(survey);
}

static void refine(rv_survey *survey)
{
    rn_error err = {0};
    rn_study *study = begin_study(survey, false, &err);
    bool stopped = false;
    rn_status status = study ? rn_window_refine(survey->window, &survey->more, study, &err) : RN_E_MEMORY;
    if (study) {
        stopped = rn_study_stopped(study);
        end_study(survey, study);
    }
    if (status != RN_OK)
        survey->more = false;
    else if (stopped)
        survey->more = true;
    tell_tale(survey, status != RN_OK ? &err : NULL);
}

/* ---- questions ---- */

static void find_least(rv_survey_answer *answer, const inquiry *asked, rn_study *study, rn_error *err)
{
    rn_dial dial;
    rn_least *least = calloc(1, sizeof *least);
    rn_least_options options = rn_least_defaults();
    options.goal = asked->goal;
    rn_status status = least ? rn_dial_make(&dial, asked->plan, "poured", NULL, NULL, err)
                             : rn_fail(err, RN_E_MEMORY, "no memory left");
    if (status == RN_OK)
        status = rn_least_find(least, asked->plan, &dial, &options, study, err);
    if (status == RN_OK) {
        char text[RN_REPORT_LEAST_SIZE];
        rn_report_least_headline(text, least);
        snprintf(answer->text, sizeof answer->text, "%.*s", (int)sizeof answer->text - 1, text);
        const rn_least_look *look = least->has_fine ? &least->fine : &least->coarse;
        if ((least->has_fine || least->has_coarse) && (look->state == RN_LEAST_FOUND || look->state == RN_LEAST_LOWEST))
            answer->value = look->value;
    }
    free(least);
}

/* By the usual doubts, on the draws' own grid. */
static void find_odds(rv_survey_answer *answer, const inquiry *asked, rn_study *study, rn_error *err)
{
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    rn_odds_options options = rn_odds_defaults();
    options.goal = asked->goal;
    options.doubts = rn_doubts_usual(asked->plan);
    options.own_cells = options.cells;
    rn_status status = rn_odds_list(&batch, asked->plan, &options, err);
    if (status == RN_OK)
        status = rn_batch_work(&batch, 0, 1, study, err);
    if (status == RN_OK)
        status = rn_odds_take(&odds, &batch, asked->plan, &options, err);
    if (status == RN_OK) {
        char text[RN_REPORT_ODDS_SIZE];
        rn_report_odds_headline(text, odds);
        snprintf(answer->text, sizeof answer->text, "%.*s", (int)sizeof answer->text - 1, text);
    }
    rn_odds_free(odds);
    rn_batch_clear(&batch);
}

static void inquire(rv_survey *survey, inquiry *asked)
{
    rn_error err = {0};
    rv_survey_answer answer = {.question = asked->question, .left = NAN, .value = NAN};
    rn_study *study = begin_study(survey, true, &err);
    if (study) {
        if (asked->question == RV_ODDS)
            find_odds(&answer, asked, study, &err);
        else
            find_least(&answer, asked, study, &err);
        answer.stopped = rn_study_stopped(study);
        end_study(survey, study);
    }
    if (err.status)
        snprintf(answer.text, sizeof answer.text, "%.*s", (int)sizeof answer.text - 1, err.message);
    rn_plan_free(asked->plan);
    pthread_mutex_lock(&survey->lock);
    if (!survey->asked.plan) { /* else another has taken its place */
        survey->answer = answer;
        survey->answered = true;
    }
    pthread_mutex_unlock(&survey->lock);
    wake_window(survey);
}

/* ---- the thread ---- */

static bool idle(const rv_survey *survey)
{
    return !survey->stop && !survey->given && !survey->judges && !survey->asked.plan &&
           (survey->rests || !survey->window || !survey->more);
}

/* Other demands: told at once; the page has judged its own copy already. */
static void judge(rv_survey *survey, const rn_goal *goal)
{
    rn_error err = {0};
    if (!survey->window)
        return;
    if (rn_window_judge(survey->window, goal, &err) != RN_OK)
        return; /* a window that needs another search comes with that */
    survey->more = rn_window_to_come(survey->window) > 0;
    tell_tale(survey, NULL);
}

static void *run(void *context)
{
    rv_survey *survey = context;
    const int now = nice(MANNERS); /* on this system a thread's own, and of those that it starts */
    (void)now;
    for (;;) {
        pthread_mutex_lock(&survey->lock);
        while (idle(survey))
            pthread_cond_wait(&survey->news, &survey->lock);
        const bool stop = survey->stop, given = survey->given, judges = survey->judges, rests = survey->rests;
        rn_window *next = survey->next;
        inquiry asked = survey->asked;
        const rn_goal goal = survey->goal;
        survey->next = NULL;
        survey->given = survey->judges = false;
        survey->asked.plan = NULL;
        if (given) {
            rn_window_free(survey->window);
            survey->window = next;
            survey->version = survey->next_version;
            survey->more = next && rn_window_to_come(next) > 0;
            survey->run_count = 0;
        }
        if (asked.plan) {
            survey->answer.question = asked.question;
            survey->dropped = false;
        }
        pthread_mutex_unlock(&survey->lock);
        if (stop) {
            rn_plan_free(asked.plan);
            return NULL;
        }
        if (judges)
            judge(survey, &goal);
        if (asked.plan)
            inquire(survey, &asked);
        else if (!rests && survey->window && survey->more)
            refine(survey);
    }
}

/* ---- from outside ---- */

/* Stops what is worked now. Called with the lock. */
static void interrupt(rv_survey *survey, bool inquiries)
{
    if (survey->study && (inquiries || !survey->inquires))
        rn_study_stop(survey->study);
}

rn_status survey_new(rv_survey **made, rv_survey_options options, rn_error *err)
{
    rv_survey *survey = calloc(1, sizeof *survey);
    if (!survey)
        return rn_fail(err, RN_E_MEMORY, "no memory for a survey");
    survey->options = options;
    pthread_mutex_init(&survey->lock, NULL);
    pthread_cond_init(&survey->news, NULL);
    if (options.caches && rn_cache_open(&survey->cache, options.cache_folder, NULL) != RN_OK)
        survey->cache = NULL; /* no search depends on it */
    survey->running = pthread_create(&survey->thread, NULL, run, survey) == 0;
    if (!survey->running) {
        survey_free(survey);
        return rn_fail(err, RN_E_MEMORY, "no thread for a survey");
    }
    *made = survey;
    return RN_OK;
}

void survey_free(rv_survey *survey)
{
    if (!survey)
        return;
    if (survey->running) {
        pthread_mutex_lock(&survey->lock);
        survey->stop = true;
        interrupt(survey, true);
        pthread_cond_signal(&survey->news);
        pthread_mutex_unlock(&survey->lock);
        pthread_join(survey->thread, NULL);
    }
    rn_window_free(survey->window);
    rn_window_free(survey->next);
    rn_plan_free(survey->asked.plan);
    survey_tale_free(survey->tale);
    rn_cache_close(survey->cache);
    pthread_mutex_destroy(&survey->lock);
    pthread_cond_destroy(&survey->news);
    free(survey);
}

rn_status survey_set_window(rv_survey *survey, const rn_window *window, long version, rn_error *err)
{
    rn_window *copy = NULL;
    if (window) {
        const rn_status status = rn_window_copy(&copy, window, err);
        if (status != RN_OK)
            return status;
    }
    pthread_mutex_lock(&survey->lock);
    rn_window_free(survey->next);
    survey->next = copy;
    survey->next_version = version;
    survey->given = true;
    survey->judges = false; /* it comes with its goal */
    survey->run_count = 0;
    survey_tale_free(survey->tale);
    survey->tale = NULL;
    interrupt(survey, false);
    pthread_cond_signal(&survey->news);
    pthread_mutex_unlock(&survey->lock);
    return RN_OK;
}

void survey_set_goal(rv_survey *survey, const rn_goal *goal)
{
    pthread_mutex_lock(&survey->lock);
    survey->goal = *goal;
    survey->judges = true;
    pthread_cond_signal(&survey->news);
    pthread_mutex_unlock(&survey->lock);
}

void survey_rest(rv_survey *survey, bool rests)
{
    pthread_mutex_lock(&survey->lock);
    if (rests != survey->rests) {
        survey->rests = rests;
        if (rests)
            interrupt(survey, false);
        pthread_cond_signal(&survey->news);
    }
    pthread_mutex_unlock(&survey->lock);
}

rv_survey_tale *survey_take_tale(rv_survey *survey)
{
    pthread_mutex_lock(&survey->lock);
    rv_survey_tale *tale = survey->tale;
    survey->tale = NULL;
    pthread_mutex_unlock(&survey->lock);
    return tale;
}

void survey_tale_free(rv_survey_tale *tale)
{
    if (!tale)
        return;
    rn_window_free(tale->window);
    free(tale);
}

int survey_take_runs(rv_survey_run *runs, int most, rv_survey *survey)
{
    pthread_mutex_lock(&survey->lock);
    const int count = survey->run_count < most ? survey->run_count : most;
    memcpy(runs, survey->runs, (size_t)count * sizeof *runs);
    survey->run_count -= count;
    memmove(survey->runs, survey->runs + count, (size_t)survey->run_count * sizeof *runs);
    pthread_mutex_unlock(&survey->lock);
    return count;
}

rn_status survey_ask(rv_survey *survey, rv_question question, const rn_plan *plan, const rn_goal *goal, rn_error *err)
{
    rn_plan *copy = rn_plan_copy(plan);
    if (!copy)
        return rn_fail(err, RN_E_MEMORY, "no memory for a question");
    pthread_mutex_lock(&survey->lock);
    rn_plan_free(survey->asked.plan);
    survey->asked = (inquiry){.question = question, .plan = copy, .goal = *goal};
    survey->answered = false; /* what was not taken is of another question */
    interrupt(survey, true);
    pthread_cond_signal(&survey->news);
    pthread_mutex_unlock(&survey->lock);
    return RN_OK;
}

void survey_cancel(rv_survey *survey)
{
    pthread_mutex_lock(&survey->lock);
    rn_plan_free(survey->asked.plan);
    survey->asked.plan = NULL;
    survey->dropped = true; /* also where its study is still to be made */
    if (survey->study && survey->inquires)
        rn_study_stop(survey->study);
    pthread_mutex_unlock(&survey->lock);
}

bool survey_take_answer(rv_survey_answer *answer, rv_survey *survey)
{
    pthread_mutex_lock(&survey->lock);
    const bool answered = survey->answered;
    if (answered)
        *answer = survey->answer;
    survey->answered = false;
    pthread_mutex_unlock(&survey->lock);
    return answered;
}
