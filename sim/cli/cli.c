#define _XOPEN_SOURCE 700 /* SIGXFSZ */

#include "cli/cli.h"

#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cli/claims.h"
#include "cli/cmd.h"
#include "cli/manual.h"

const rn_command *const rn_commands[RN_COMMAND_COUNT] = {
    &rn_cmd_forecast, &rn_cmd_check,  &rn_cmd_least, &rn_cmd_window, &rn_cmd_odds,
    &rn_cmd_compare,  &rn_cmd_gather, &rn_cmd_plan,  &rn_cmd_keys,   &rn_cmd_help,
};

const rn_command *rn_cmd_find(const char *name)
{
    for (int i = 0; i < RN_COMMAND_COUNT; i++)
        if (strcmp(rn_commands[i]->name, name) == 0)
            return rn_commands[i];
    return NULL;
}

void rn_cmd_report_unknown(const char *name, FILE *err)
{
    char quoted[RN_QUOTE_SIZE];
    const char *names[RN_COMMAND_COUNT];
    for (int i = 0; i < RN_COMMAND_COUNT; i++)
        names[i] = rn_commands[i]->name;
    const char *nearest = rn_text_nearest(name, names, RN_COMMAND_COUNT);
    rn_text_quote(quoted, name);
    if (nearest)
        fprintf(err, "runnel: no command '%s'; did you mean '%s'?\n", quoted, nearest);
    else
        fprintf(err, "runnel: no command '%s'; 'runnel help' lists them\n", quoted);
}

void rn_cmd_report(const char *command, const rn_error *error, FILE *err)
{
    char text[sizeof error->file + sizeof error->message + 32];
    rn_error_text(error, text, sizeof text);
    fprintf(err, "runnel %s: %s\n", command, text);
}

rn_exit rn_cmd_exit_of(rn_status status)
{
    switch (status) {
    case RN_OK: return RN_EXIT_DONE;
    case RN_E_USAGE: return RN_EXIT_USAGE;
    case RN_E_PLAN: return RN_EXIT_PLAN;
    case RN_E_FILE: return RN_EXIT_PLAN;
    case RN_E_MEMORY: return RN_EXIT_FAILED;
    case RN_E_NUMERIC: return RN_EXIT_FAILED;
    case RN_E_STOPPED: return RN_EXIT_STOPPED;
    }
    return RN_EXIT_FAILED;
}

rn_session_options rn_cmd_session_options(const rn_arguments *arguments)
{
    rn_session_options options = rn_session_defaults();
    options.cells = arguments->cells;
    options.threads = arguments->threads;
    options.until = arguments->until;
    options.kernel = arguments->kernel;
    return options;
}

rn_arguments rn_cmd_default_arguments(void)
{
    const rn_session_options session = rn_session_defaults();
    return (rn_arguments){.cells = session.cells,
                          .threads = session.threads,
                          .until = NAN,
                          .at = NAN,
                          .every = NAN,
                          .since = NAN,
                          .peel = NAN,
                          .cells_amount = NAN,
                          .cells_at = NAN,
                          .cells_width = NAN,
                          .close = NAN};
}

static rn_status check_operands(const rn_command *command, const rn_arguments *arguments, rn_error *err)
{
    if (arguments->operand_count < command->operands_least)
        return rn_fail(err, RN_E_USAGE, "which %s%s? write for example %.*s", command->reads,
                       strcmp(command->reads, "piece") == 0 ? "s" : "", (int)strcspn(command->example, "\n"),
                       command->example);
    if (arguments->operand_count > command->operands_most) {
        char quoted[RN_QUOTE_SIZE];
        return rn_fail(err, RN_E_USAGE, "'%s' is one too many; usage: runnel %s %s",
                       rn_text_quote(quoted, arguments->operands[command->operands_most]), command->name,
                       command->operands);
    }
    return RN_OK;
}

/* Nothing is read or written where one of its files would be lost. */
static rn_exit run_unless_lossy(const rn_command *command, const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    if (rn_claims_check(command, arguments, streams.out, &error) == RN_OK)
        return command->run(arguments, streams);
    rn_cmd_report(command->name, &error, streams.err);
    return rn_cmd_exit_of(error.status);
}

static rn_exit run_command(const rn_command *command, int argc, char *const *argv, rn_streams streams)
{
    rn_error error = {0};
    rn_exit exit_status = RN_EXIT_USAGE;
    rn_arguments arguments = rn_cmd_default_arguments();
    arguments.operands = calloc((size_t)argc + 1, sizeof *arguments.operands);
    if (!arguments.operands) {
        rn_fail(&error, RN_E_MEMORY, "no memory left");
        rn_cmd_report(command->name, &error, streams.err);
        return RN_EXIT_FAILED;
    }
    if (rn_opt_parse(&arguments, arguments.operands, &arguments.operand_count, command->opts, command->opt_count, argc,
                     argv, &error) == RN_OK) {
        if (arguments.help) {
            rn_manual_command(command, streams.out);
            exit_status = RN_EXIT_DONE;
        } else if (check_operands(command, &arguments, &error) == RN_OK) {
            exit_status = run_unless_lossy(command, &arguments, streams);
        }
    }
    if (error.status) {
        rn_cmd_report(command->name, &error, streams.err);
        fprintf(streams.err, "'runnel help %s' says more\n", command->name);
    }
    free(arguments.operands);
    return exit_status;
}

static rn_exit run_bare(const char *option, rn_streams streams)
{
    if (strcmp(option, "--help") == 0 || strcmp(option, "-h") == 0) {
        rn_manual_overview(streams.out);
        return RN_EXIT_DONE;
    }
    if (strcmp(option, "--version") == 0) {
        fprintf(streams.out, "runnel %s\n", RN_VERSION);
        return RN_EXIT_DONE;
    }
    char quoted[RN_QUOTE_SIZE];
    fprintf(streams.err,
            "runnel: unknown option '%s'; options come after a command, and 'runnel help' lists the commands\n",
            rn_text_quote(quoted, option));
    return RN_EXIT_USAGE;
}

int rn_cli(int argc, char *const *argv, FILE *out, FILE *err)
{
    const rn_streams streams = {out, err};
    rn_exit exit_status;
    /* A file that becomes larger than it may be is then an error of writing, which is told and leaves nothing behind. */
    void (*const former)(int) = signal(SIGXFSZ, SIG_IGN);
    if (argc < 2) {
        rn_manual_overview(err);
        exit_status = RN_EXIT_USAGE;
    } else if (argv[1][0] == '-') {
        exit_status = run_bare(argv[1], streams);
    } else {
        const rn_command *command = rn_cmd_find(argv[1]);
        if (command) {
            exit_status = run_command(command, argc - 2, argv + 2, streams);
        } else {
            rn_cmd_report_unknown(argv[1], err);
            exit_status = RN_EXIT_USAGE;
        }
    }
    if ((fflush(out) || ferror(out)) && exit_status == RN_EXIT_DONE) {
        fprintf(err, "runnel: standard output cannot be written\n");
        exit_status = RN_EXIT_PLAN;
    }
    signal(SIGXFSZ, former);
    return exit_status;
}
