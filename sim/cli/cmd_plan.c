/* runnel plan: a plan as it is understood, every default spelt out. */
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/saving.h"

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    rn_status status = rn_input_load(&input, arguments->operands[0], &arguments->sets, &error);
    if (status == RN_E_PLAN || status == RN_E_FILE) {
        rn_input_report(&input, &error, streams.err);
    } else {
        if (status == RN_OK) {
            rn_input_remark(&input, arguments->operands[0], streams.err);
            status = arguments->save ? rn_saving_write(input.plan, "plan", arguments, streams, &error)
                                     : rn_plan_write_file("-", streams.out, input.plan, &error);
        }
        if (status)
            rn_cmd_report("plan", &error, streams.err);
    }
    rn_input_clear(&input);
    return rn_cmd_exit_of(status);
}

static const rn_opt opts[] = {
    RN_OPT_SET,
    RN_OPT_SAVE("changed.yaml", "Write the plan"),
    RN_OPT_REPLACE,
    RN_OPT_HELP,
};

const rn_command rn_cmd_plan = {
    .name = "plan",
    .operands = "PLAN",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "print a plan as it is understood, with every default",
    .text = "Reads a plan, changes it as --set says, and prints it with every default spelt out; what is printed is "
            "again a plan. Comments are not kept, so --save writes over the plan itself only with --replace.",
    .example = "runnel plan plan.yaml\n"
               "runnel plan plan.yaml --set moves.4.spin=45rpm --save faster.yaml\n"
               "runnel plan plan.yaml --set poured=180ml --save plan.yaml --replace",
    .run = run,
};
