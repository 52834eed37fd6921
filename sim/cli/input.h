/* A plan as the command line names it: read from a file or stdin, changed by --set, and shown with a caret under
   the place where it is wrong. */
#ifndef RN_CLI_INPUT_H
#define RN_CLI_INPUT_H

#include <stdio.h>

#include "cli/opt.h"
#include "plan/plan.h"

typedef struct rn_input {
    char *text; /* what was read, with a closing 0, owned; kept so that a wrong line can be shown */
    size_t size;
    rn_plan *plan; /* owned */
} rn_input;

/* Reads the plan at path ("-" is stdin) and sets each "path=value". RN_E_USAGE where a setting is wrong, RN_E_PLAN and
   RN_E_FILE otherwise. Fill *input with zeros first, clear it after success and failure alike. */
rn_status rn_input_load(rn_input *input, const char *path, const rn_opt_list *sets, rn_error *err);

/* As rn_input_load, and with rn_input_remark and rn_input_caution; what is wrong with the plan or its file is shown on `err`
   at once and not told again: *error is untouched then. */
rn_status rn_input_open(rn_input *input, const char *path, const rn_opt_list *sets, FILE *err, rn_error *error);

/* The same as rn_input_load of a text that is already there; name is used in messages. */
rn_status rn_input_take(rn_input *input, const char *text, size_t size, const char *name, const rn_opt_list *sets,
                        rn_error *err);

/* RN_E_USAGE where two of the files to read are "-": standard input can be read once. */
rn_status rn_input_check_once(const char *const *paths, int count, rn_error *err);

/* Where a file's name begins in its path, and how long it is without its suffix [bytes]; `standard` for "-". */
const char *rn_input_name(int *length, const char *path, const char *standard);

/* Says on err what is dangerous about the plan to those who stand beside the turntable, where something is. */
void rn_input_caution(const rn_plan *plan, FILE *err);

/* Says what the plan should say otherwise, though it holds: "file:line:column: warning: message". */
void rn_input_remark(const rn_input *input, const char *path, FILE *err);

void rn_input_clear(rn_input *input);

/* Says what is wrong: "file:line:column: message", then that line with a caret below where it is known. */
void rn_input_report(const rn_input *input, const rn_error *error, FILE *err);

/* The line with its caret alone; both lines end with a new line. Tabs stay tabs, characters that a terminal shows on
   two columns get two, and of a very long line only the part around the column is shown. text[size] is 0. */
void rn_input_caret(FILE *err, const char *text, size_t size, int line, int column);

#endif
