/* What a person at the terminal sees and does while a forecast runs: one line of progress, and Ctrl-C. What is said of SIGINT
   here holds for SIGTERM and SIGHUP as well. */
#ifndef RN_CLI_WATCH_H
#define RN_CLI_WATCH_H

#include <stdbool.h>
#include <stdio.h>

#include "run/session.h"

/* Runs a session to its end or until SIGINT comes, which *stopped then tells. Unless `quiet`, a line on err shows how
   far it is, if err is a terminal; the line is gone when the run has ended. SIGINT is caught meanwhile, unless it was
   ignored (a job in the background), and a second one ends the program at once. */
rn_status rn_watch_run(bool *stopped, rn_session *session, FILE *err, bool quiet, rn_error *error);

/* The same for work that is done piece by piece. Watches may be opened within another's time, all by one thread: a stop that
   was asked for in one is then known in all of them, to the end of the outermost. */
typedef struct rn_watch rn_watch;

/* NULL if no memory; then the work goes on unwatched. */
rn_watch *rn_watch_open(FILE *err, bool quiet);

/* "drawing the animation, 12 of 120": `done` pieces of that work are done. False where SIGINT has come. */
bool rn_watch_tell(rn_watch *watch, const char *work, int done, int all);

/* The same in other words: a line without its end. */
bool rn_watch_say(rn_watch *watch, const char *line);

/* Of work whose pieces are not counted: "tracing the layers, 12 s so far". */
bool rn_watch_busy(rn_watch *watch, const char *work);

/* Takes the line off the terminal, before something else is written there. */
void rn_watch_wipe(rn_watch *watch);

/* ", about 40 s left", ", about 3 min left". */
void rn_watch_left(char *text, int size, double left);

/* Whether it was stopped by hand. */
bool rn_watch_close(rn_watch *watch);

#endif
