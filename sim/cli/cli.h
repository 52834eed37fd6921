/* The command line, callable in process: stdout is data, stderr is words, "-" is stdin or stdout. */
#ifndef RN_CLI_CLI_H
#define RN_CLI_CLI_H

#include <stdio.h>

/* What the program returns to the shell. */
typedef enum rn_exit {
    RN_EXIT_DONE = 0,
    RN_EXIT_SHORT = 1,     /* the plan falls short of what it expects */
    RN_EXIT_USAGE = 2,     /* the command line is wrong */
    RN_EXIT_PLAN = 3,      /* the plan is wrong, or a file cannot be read or written */
    RN_EXIT_FAILED = 4,    /* the forecast could not be worked out */
    RN_EXIT_UNJUDGED = 5,  /* the plan expects nothing, so nothing was judged */
    RN_EXIT_STOPPED = 130, /* stopped by hand: 128 + SIGINT, as shells expect; by SIGTERM and SIGHUP as well */
} rn_exit;

/* Runs one command, argv[0] being the program's name; writes data to `out` and words to `err`, and returns the
   exit status. While a forecast runs, SIGINT, SIGTERM and SIGHUP are caught, and SIGXFSZ is ignored throughout; their
   former actions are put back afterwards. */
int rn_cli(int argc, char *const *argv, FILE *out, FILE *err);

#endif
