/* What a person at the terminal sees and does while a forecast runs: one line of progress, and Ctrl-C. */
#ifndef RN_CLI_WATCH_H
#define RN_CLI_WATCH_H

#include <stdbool.h>
#include <stdio.h>

#include "run/session.h"

/* Runs a session to its end or until SIGINT comes, which *stopped then tells. Unless `quiet`, a line on err shows how
   far it is, if err is a terminal; the line is gone when the run has ended. SIGINT is caught meanwhile, unless it was
   ignored (a job in the background), and a second one ends the program at once. One run at a time. */
rn_status rn_watch_run(bool *stopped, rn_session *session, FILE *err, bool quiet, rn_error *error);

/* The same for work that is done piece by piece. */
typedef struct rn_watch rn_watch;

/* NULL if no memory; then the work goes on unwatched. */
rn_watch *rn_watch_open(FILE *err, bool quiet);

/* "drawing the animation, 12 of 120": `done` pieces of that work are done. False where SIGINT has come. */
bool rn_watch_tell(rn_watch *watch, const char *work, int done, int all);

/* The same in other words: a line without its end. */
bool rn_watch_say(rn_watch *watch, const char *line);

/* ", about 40 s left", ", about 3 min left". */
void rn_watch_left(char *text, int size, double left);

/* Whether it was stopped by hand. */
bool rn_watch_close(rn_watch *watch);

#endif
