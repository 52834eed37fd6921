/* runnel odds: the chance that a plan meets its goal where its numbers are not known exactly. */
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/searching.h"
#include "cli/sharing.h"
#include "search/least.h"
#include "show/figure.h"
#include "show/odds_page.h"
#include "show/report_odds.h"

#define EVEN_DRAWS 40 /* of --spread, if left out */

static rn_status ask(rn_odds_options *options, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    *options = rn_odds_defaults();
    options->even = arguments->spread;
    options->pattern = arguments->stretch;
    options->own_cells = arguments->cells;
    if (arguments->spread)
        options->draws = EVEN_DRAWS;
    if (arguments->draws > 0)
        options->draws = arguments->draws;
    if (arguments->coarse > 0)
        options->cells = arguments->coarse;
    else if (options->cells > arguments->cells)
        options->cells = arguments->cells;
    if (arguments->seed > 0)
        options->seed = (uint64_t)arguments->seed;
    rn_status status = rn_searching_goal(&options->goal, plan, arguments, err);
    if (status == RN_OK)
        status = rn_searching_doubts(&options->doubts, plan, arguments, err);
    if (status == RN_OK)
        status = rn_searching_check_files(arguments, "--picture and --csv", err);
    return status;
}

static rn_status write_csv(const char *path, const rn_odds *odds, FILE *out, rn_error *err)
{
    rn_file file;
    const rn_status status = rn_file_open(&file, path, out, err);
    if (status)
        return status;
    rn_report_odds_csv(file.stream, odds);
    return rn_file_close(&file, err);
}

static rn_status tell(const rn_odds *odds, const rn_search_facts *facts, const rn_arguments *arguments, FILE *out,
                      rn_error *err)
{
    rn_status status = RN_OK;
    if (!rn_searching_takes_standard(arguments->csv) && !rn_searching_takes_standard(arguments->picture)) {
        if (arguments->json)
            rn_report_odds_json(out, odds, facts);
        else
            rn_report_odds_text(out, odds, facts);
    }
    if (arguments->csv)
        status = write_csv(arguments->csv, odds, out, err);
    if (arguments->picture && status == RN_OK)
        status = rn_odds_page_write(arguments->picture, out, odds, facts->title, rn_figure_defaults(), err);
    return status;
}

static rn_status work_out(bool *stopped, const rn_input *input, const rn_odds_options *options,
                          const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    rn_searching searching = {0};
    rn_batch batch = {0};
    rn_odds *odds = NULL;
    const rn_plan *plan = input->plan;
    rn_search_facts facts = {.title = plan->title};
    rn_status status = rn_searching_open(&searching, "working out the odds", arguments, streams, err);
    if (status == RN_OK) {
        status = rn_odds_list(&batch, plan, options, err);
        if (status == RN_OK)
            status = rn_sharing_work(&batch, arguments, searching.study, err);
        rn_study_counts(&facts.worked, &facts.known, searching.study);
    }
    *stopped = rn_searching_close(&searching, &facts.seconds);
    if (arguments->gathered)
        facts.known = batch.count;
    if (status == RN_OK && rn_sharing_asked(arguments))
        status = rn_sharing_write(&batch, &rn_cmd_odds, input, arguments, streams, err);
    else if (status == RN_OK)
        status = rn_odds_take(&odds, &batch, plan, options, err);
    if (status == RN_OK)
        rn_searching_say_kept(&searching, *stopped, "odds", &facts, arguments, streams.err);
    if (status == RN_OK && odds)
        status = tell(odds, &facts, arguments, streams.out, err);
    rn_odds_free(odds);
    rn_batch_clear(&batch);
    return status;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    rn_odds_options options;
    bool stopped = false;
    rn_status status = rn_sharing_open(&input, &rn_cmd_odds, arguments, streams.err, &error);
    if (status == RN_OK)
        status = ask(&options, input.plan, arguments, &error);
    rn_watch *guard = rn_watch_open(streams.err, true); /* no signal ends it while it writes */
    if (status == RN_OK)
        status = work_out(&stopped, &input, &options, arguments, streams, &error);
    rn_watch_close(guard);
    if (error.status)
        rn_cmd_report("odds", &error, streams.err);
    rn_input_clear(&input);
    if (status)
        return rn_cmd_exit_of(status);
    return stopped ? RN_EXIT_STOPPED : RN_EXIT_DONE;
}

static const rn_opt opts[] = {
    RN_OPT_VARY,
    RN_OPT_ONLY,
    RN_OPT_DRAWS("How many draws; 100 if left out, which tell a chance to about 10 % either way; four times as many "
                 "halve that. Those that were worked out before are not worked out again."),
    RN_OPT_GOAL,
    {.name = "spread",
     .study = true,
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, spread),
     .text =
         "Spread the draws evenly, as a Latin hypercube: 40 if --draws is left out; another number is another set of "
         "draws. That tells from fewer draws how far outcomes spread, and not how sure the chance is."},
    {.name = "stretch",
     .study = true,
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, stretch),
     .text = "Work out stretch and twist as well, also where no goal asks for them; takes many times as long."},
    RN_OPT_SEED,
    RN_OPT_COARSE(
        "Cells along the longer side of the draws' grid; 96 if left out. On --grid only the plan as it is written is "
        "run, to compare."),
    RN_OPT_PICTURE("odds.png", "Draw the odds"),
    RN_OPT_CSV("draws.csv", "Write a line for each draw, what was drawn, as --set takes it, and what came of it"),
    RN_OPT_JSON,
    RN_OPT_STUDY,
    RN_OPT_SHARE_OF,
    RN_OPT_PIECE,
    RN_OPT_HELP,
};

const rn_command rn_cmd_odds = {
    .name = "odds",
    .operands = "PLAN",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "tell the chance that a goal is met where numbers are in doubt",
    .text = "Nobody mixes paint to the last digit, and no bench is level. Draws such doubts at random, forecasts each "
            "draw, "
            "and tells in what share of them the goal is met, how far every outcome spreads, and which of the doubts "
            "matters most. The draws are run on a coarse grid; the plan as it is written is run on both.\n\n"
            "The exit status is 0 also where the chance is small. Ctrl-C keeps the runs that are done and tells what "
            "the draws so far say; the exit status is then 130.",
    .example = "runnel odds plan.yaml\n"
               "runnel odds plan.yaml --vary 'consistency=+-20%' --vary 'moves.tilt=+-1deg' --picture odds.png\n"
               "runnel odds plan.yaml --only --vary 'poured=+-5ml' --goal 'run-off=at most 30 ml' --draws 400",
    .also_writes = rn_sharing_claim,
    .run = run,
};
