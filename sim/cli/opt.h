/* Command-line options: one table per command yields its parser, its help and its part of the man page. */
#ifndef RN_CLI_OPT_H
#define RN_CLI_OPT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

#define RN_OPT_LIST_MOST 64 /* times one option can be repeated */

typedef enum rn_opt_kind {
    RN_OPT_FLAG,         /* bool, takes no value */
    RN_OPT_TEXT,         /* const char * */
    RN_OPT_FILE,         /* const char *, a file that is written */
    RN_OPT_FOLDER,       /* const char *, a folder in which files are written */
    RN_OPT_WHOLE_FOLDER, /* const char *, a folder that is written anew with all that is in it */
    RN_OPT_LIST,         /* rn_opt_list, the option may be repeated */
    RN_OPT_COUNT,        /* int within least..most */
    RN_OPT_TIME,         /* double [s], written with its unit */
    RN_OPT_LENGTH,       /* double [m], written with its unit */
    RN_OPT_SHARE,        /* double 0..1, written as a percentage, its sign left out or not */
    RN_OPT_PAIR,         /* const char *[2], takes two values */
} rn_opt_kind;

typedef struct rn_opt_list {
    int count;
    const char *items[RN_OPT_LIST_MOST];
} rn_opt_list;

typedef struct rn_opt {
    const char *name; /* without the dashes */
    char letter;      /* short form, 0: none */
    bool study;       /* part of what is studied: a piece of a study holds it, and nothing else is read from one */
    bool replaces;    /* RN_OPT_FILE: it may be the file that is read, where --replace is given */
    rn_opt_kind kind;
    size_t offset;       /* of the field it fills */
    int least, most;     /* RN_OPT_COUNT */
    const char *value;   /* what stands for the value in the help; NULL for flags */
    const char *example; /* of a value that is right; NULL for flags */
    const char *text;    /* one sentence for the help */
} rn_opt;

/* Fills the fields of `target` from argv[argc] by the table and gathers what is not an option, in order, in
   operands[argc]. "--" ends the options, "-" is an operand. RN_E_USAGE names the argument and what would be
   right; target and operands may then be half filled. Texts stay owned by argv. */
rn_status rn_opt_parse(void *target, const char **operands, int *operand_count, const rn_opt *table, int count,
                       int argc, char *const *argv, rn_error *err);

#endif
