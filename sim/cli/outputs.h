/* What a forecast writes, and where: its report, tables and pictures. */
#ifndef RN_CLI_OUTPUTS_H
#define RN_CLI_OUTPUTS_H

#include "base/file.h"
#include "cli/cmd.h"

typedef enum rn_output_kind {
    RN_OUTPUT_REPORT,
    RN_OUTPUT_OBJECT,
    RN_OUTPUT_SERIES,
    RN_OUTPUT_FIELD,
    RN_OUTPUT_PICTURE,
    RN_OUTPUT_FACE,
    RN_OUTPUT_CUT,
    RN_OUTPUT_DESIGN,
    RN_OUTPUT_MOMENTS,
    RN_OUTPUT_ANIMATION,
    RN_OUTPUT_FRAMES,
    RN_OUTPUT_KINDS,
} rn_output_kind;

typedef struct rn_output {
    rn_output_kind kind;
    const char *by;          /* the option that makes it be written without naming it; NULL: it is named */
    char path[RN_PATH_SIZE]; /* "-": stdout */
} rn_output;

#define RN_OUTPUTS_MOST (2 * RN_OUTPUT_KINDS)

typedef struct rn_outputs {
    int count;
    rn_output list[RN_OUTPUTS_MOST];
} rn_outputs;

/* Everything that is to be written, as the arguments ask. Standard output takes one thing: what was sent there with
   "-", else the JSON object, else the report. *all: zeros to begin with. */
rn_status rn_outputs_list(rn_outputs *all, const rn_arguments *arguments, rn_error *err);

/* Claims what no option names; for rn_command. */
rn_status rn_outputs_claim(rn_claims *claims, const rn_command *command, const rn_arguments *arguments, rn_error *err);

/* Makes the folder of --out, if any, and finds out before the work begins that a file cannot be written. */
rn_status rn_outputs_try(const rn_outputs *all, const char *folder, rn_error *err);

#endif
