/* runnel help: what the commands' own tables say of them. */
#include <string.h>

#include "cli/cmd.h"
#include "cli/manual.h"

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    if (arguments->man) {
        rn_manual_page(streams.out);
        return RN_EXIT_DONE;
    }
    if (arguments->operand_count == 0) {
        rn_manual_overview(streams.out);
        return RN_EXIT_DONE;
    }
    if (strcmp(arguments->operands[0], "cautions") == 0) {
        rn_manual_cautions(streams.out);
        return RN_EXIT_DONE;
    }
    const rn_command *command = rn_cmd_find(arguments->operands[0]);
    if (!command) {
        rn_cmd_report_unknown(arguments->operands[0], streams.err);
        return RN_EXIT_USAGE;
    }
    rn_manual_command(command, streams.out);
    return RN_EXIT_DONE;
}

static const rn_opt opts[] = {
    {.name = "man",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, man),
     .text = "Print the whole manual as a man page."},
    RN_OPT_HELP,
};

const rn_command rn_cmd_help = {
    .name = "help",
    .operands = "[COMMAND | cautions]",
    .operands_least = 0,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "say how a command is used",
    .text = "Lists the commands, or says how one of them is used. 'cautions' lists what can hurt in the studio.",
    .example = "runnel help forecast\n"
               "runnel help cautions\n"
               "runnel help --man | man -l -",
    .run = run,
};
