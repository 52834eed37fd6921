/* Plans that commands find and write. */
#ifndef RN_CLI_SAVING_H
#define RN_CLI_SAVING_H

#include "cli/cmd.h"
#include "plan/plan.h"

/* Writes the plan to the file of --save. Where that is the plan that was read, which takes --replace, what it holds now is
   kept first, a ~ after its name, and that is said on streams.err. */
rn_status rn_saving_write(const rn_plan *plan, const char *command, const rn_arguments *arguments, rn_streams streams,
                          rn_error *err);

#endif
