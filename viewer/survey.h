/* A survey works the window of plans that work out, on a thread of its own that gives way to all else, and answers questions
   besides: the least volume, the odds. The page never waits for it: it is given a window and asked, and is told by copies. */
#ifndef SURVEY_H
#define SURVEY_H

#include "search/cache.h"
#include "search/study.h"
#include "search/window.h"

typedef struct rv_survey rv_survey;

typedef enum rv_question { RV_LEAST_VOLUME, RV_ODDS, RV_QUESTIONS } rv_question;

#define RV_ANSWER_SIZE 400

typedef struct rv_survey_options {
    int threads;              /* runs at the same time; 0: one per processor */
    bool caches;              /* outcomes are kept for another time, and found */
    const char *cache_folder; /* NULL: where the command line keeps them */
    rn_study_model *model;    /* NULL: sessions; others for tests, which do not cache */
    void *model_context;
    void (*wake)(void *context); /* from the survey's threads, when there is news; may be NULL */
    void *context;
} rv_survey_options;

rn_status survey_new(rv_survey **survey, rv_survey_options options, rn_error *err);
void survey_free(rv_survey *survey); /* stops what it does, within a step of a run */

/* Works this window out from now on, whose copy is taken; NULL: none. Tales carry `version`. */
rn_status survey_set_window(rv_survey *survey, const rn_window *window, long version, rn_error *err);

/* Judges by other demands from now on; borders that have moved are worked out anew. */
void survey_set_goal(rv_survey *survey, const rn_goal *goal);

/* Rests, or goes on. A question is answered all the same. */
void survey_rest(rv_survey *survey, bool rests);

typedef struct rv_survey_tale {
    long version;
    rn_window *window; /* as of the last pass; owned */
    bool complete;
    char trouble[320]; /* "" or why it went no further */
} rv_survey_tale;

/* The newest not yet taken, the caller's; NULL: none. */
rv_survey_tale *survey_take_tale(rv_survey *survey);
void survey_tale_free(rv_survey_tale *tale);

/* Runs of the pass under way that are done: each is told once, before the tale that holds it. x, y: on the window's axes. */
typedef struct rv_survey_run {
    long version;
    double x, y;
    rn_outcome outcome;
} rv_survey_run;
int survey_take_runs(rv_survey_run *runs, int most, rv_survey *survey);

/* Asks a question of a plan; the window waits meanwhile. One that is asked while another is answered takes its place. */
rn_status survey_ask(rv_survey *survey, rv_question question, const rn_plan *plan, const rn_goal *goal, rn_error *err);
void survey_cancel(rv_survey *survey);

typedef struct rv_survey_answer {
    rv_question question;
    bool working; /* there is more to come */
    bool stopped; /* it was cancelled */
    int runs, of;
    double left; /* [s]; NaN */
    char text[RV_ANSWER_SIZE];
    double value; /* a volume to take [m3]; NaN: none */
} rv_survey_answer;

/* False: nothing new. */
bool survey_take_answer(rv_survey_answer *answer, rv_survey *survey);

#endif
