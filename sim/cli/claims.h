/* Which files a command reads and which it writes, before it does either: so that no output replaces a plan, another input or
   another output. What its options write stands in its table; it adds only what no option names. */
#ifndef RN_CLI_CLAIMS_H
#define RN_CLI_CLAIMS_H

#include <stdio.h>

#include "cli/cmd.h"

/* Another file that the command writes; by: what makes it do so, "--out". RN_E_MEMORY if no memory. */
rn_status rn_claims_add(rn_claims *claims, const char *by, const char *path, rn_error *err);

/* RN_E_USAGE where a file is claimed twice, and once to be written. out: where data go. */
rn_status rn_claims_check(const rn_command *command, const rn_arguments *arguments, FILE *out, rn_error *err);

#endif
