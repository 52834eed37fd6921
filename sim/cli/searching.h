/* What the commands that search have in common: the goal, the scheduler with its cache, progress and Ctrl-C. */
#ifndef RN_CLI_SEARCHING_H
#define RN_CLI_SEARCHING_H

#include "cli/cmd.h"
#include "cli/watch.h"
#include "search/dial.h"
#include "search/doubt.h"
#include "search/study.h"
#include "show/report_search.h"

/* The plan's own goal with what the arguments put in place of it. RN_E_USAGE where one of those is wrong. */
rn_status rn_searching_goal(rn_goal *goal, const rn_plan *plan, const rn_arguments *arguments, rn_error *err);

/* Whose fault it is that a number cannot be looked for: the plan's if it pours nothing and that is the number, else the
   arguments'. */
rn_status rn_searching_fault(const rn_plan *plan, const char *path);

/* Says on err where less is looked at of a number than was asked for. */
void rn_searching_say_cut(const rn_dial *dial, const char *command, FILE *err);

/* What is usually in doubt, unless --only, with what --vary puts in its place. RN_E_USAGE where one of those is wrong. */
rn_status rn_searching_doubts(rn_doubts *doubts, const rn_plan *plan, const rn_arguments *arguments, rn_error *err);

typedef struct rn_searching {
    rn_study *study; /* owned, as is all below */
    rn_cache *cache; /* NULL: nothing is kept */
    rn_watch *watch;
    const char *work;      /* "looking for the least volume" */
    rn_study_model *model; /* in place of sessions, and then nothing is kept; to be set before it is opened, or NULL */
    void *model_context;
    double began; /* [s] */
    FILE *err;    /* the caller's */
    int unkept;   /* once closed: runs that could not be kept */
} rn_searching;

/* From here on SIGINT stops the study. Close it after success and failure alike, *searching being zeros, but for the model,
   to begin with. */
rn_status rn_searching_open(rn_searching *searching, const char *work, const rn_arguments *arguments,
                            rn_streams streams, rn_error *err);

/* Whether it was stopped by hand. *seconds: how long it took. Says on err where runs could not be kept. */
bool rn_searching_close(rn_searching *searching, double *seconds);

/* Once closed: says on err what is kept of a search that was stopped, or with --resume how much was known. */
void rn_searching_say_kept(const rn_searching *closed, bool stopped, const char *command, const rn_search_facts *facts,
                           const rn_arguments *arguments, FILE *err);

/* Says on err that the plan that was to be saved is not, there being none. */
void rn_searching_say_unsaved(const char *path, const char *command, FILE *err);

/* Whether a file that was asked for, or NULL, goes to the standard output, in the report's place. */
bool rn_searching_takes_standard(const char *path);

/* The files that are asked for, before any run: RN_E_USAGE where two, or one and --json, go to the standard output and would
   be mixed, or a picture is of no known kind; RN_E_FILE where one cannot be written. which: the options that the command
   knows, "--picture and --csv". */
rn_status rn_searching_check_files(const rn_arguments *arguments, const char *which, rn_error *err);

#endif
