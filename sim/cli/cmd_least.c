/* runnel least: the least volume, or the least of other numbers of a plan, that meets a goal. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/units.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/saving.h"
#include "cli/searching.h"
#include "run/session.h"
#include "search/least.h"
#include "search/sure.h"
#include "search/together.h"
#include "show/report_least.h"
#include "show/report_sure.h"

typedef struct question {
    const rn_plan *plan;
    rn_goal goal;
    int count;
    rn_dial dials[RN_TOGETHER_MOST];
    double weight;
    double sure; /* the share of draws that must meet the goal; 0: nothing is in doubt */
    rn_doubts doubts;
} question;

typedef struct answer {
    bool together; /* several numbers, or a weight; else the least of one */
    bool in_doubt; /* of one, sure enough */
    rn_least least;
    rn_together several;
    rn_sure sure;
    rn_search_facts facts;
} answer;

static rn_status read_weight(double *weight, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    *weight = 0;
    if (!text)
        return RN_OK;
    if (rn_units_read(weight, NULL, text, RN_DIM_PLAIN, 0, NULL) != RN_OK || !(*weight >= 0 && *weight <= 1e6))
        return rn_fail(err, RN_E_USAGE, "'--weight %s' is no weight; write for example --weight 2",
                       rn_text_quote(quoted, text));
    return RN_OK;
}

/* "0.9" and "90 %" alike. */
static rn_status read_sure(double *sure, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    const bool read = rn_units_read(sure, NULL, text, RN_DIM_SHARE, 0, NULL) == RN_OK ||
                      rn_units_read(sure, NULL, text, RN_DIM_PLAIN, 0, NULL) == RN_OK;
    if (!read || !(*sure > 0 && *sure < 1))
        return rn_fail(err, RN_E_USAGE, "'--sure %s' is no share between none and all; write for example --sure 0.9",
                       rn_text_quote(quoted, text));
    return RN_OK;
}

static rn_status ask_doubts(question *asked, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    if (!arguments->sure) {
        if (arguments->doubts.count > 0 || arguments->only || arguments->draws > 0 || arguments->seed > 0)
            return rn_fail(err, RN_E_USAGE, "--vary, --only, --draws and --seed go with --sure");
        return RN_OK;
    }
    if (asked->count > 1 || asked->weight > 0)
        return rn_fail(err, RN_E_USAGE, "--sure is of one number, and goes with no --weight");
    const rn_status status = read_sure(&asked->sure, arguments->sure, err);
    return status ? status : rn_searching_doubts(&asked->doubts, plan, arguments, err);
}

static rn_status ask(question *asked, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    const rn_opt_list *keys = &arguments->keys;
    rn_status status = rn_searching_check_files(arguments, "--save", err);
    if (status == RN_OK)
        status = rn_searching_goal(&asked->goal, plan, arguments, err);
    if (status == RN_OK)
        status = read_weight(&asked->weight, arguments->weight, err);
    if (status)
        return status;
    asked->plan = plan;
    asked->count = keys->count > 0 ? keys->count : 1;
    if (asked->count > RN_TOGETHER_MOST)
        return rn_fail(err, RN_E_USAGE, "'--of' can be given %d times at most", RN_TOGETHER_MOST);
    if (arguments->froms.count > asked->count || arguments->tos.count > asked->count)
        return rn_fail(err, RN_E_USAGE, "there are more of --from and --to than numbers to look for");
    for (int i = 0; i < asked->count; i++) {
        rn_error own = {0};
        const char *from = i < arguments->froms.count ? arguments->froms.items[i] : NULL;
        const char *to = i < arguments->tos.count ? arguments->tos.items[i] : NULL;
        const char *path = keys->count > 0 ? keys->items[i] : "poured";
        if (rn_dial_make(&asked->dials[i], plan, path, from, to, &own))
            return rn_fail(err, rn_searching_fault(plan, path), "%s", own.message);
        if (rn_dial_is_poured(&asked->dials[i]))
            asked->dials[i].with_base = arguments->scale_base;
        for (int k = 0; k < i; k++)
            if (strcmp(asked->dials[i].path, asked->dials[k].path) == 0)
                return rn_fail(err, RN_E_USAGE, "'--of %s' is given twice", asked->dials[i].path);
            else if (rn_dial_alike(&asked->dials[i], &asked->dials[k], plan))
                return rn_fail(err, RN_E_USAGE, "'--of %s' and '--of %s' speak of the same", asked->dials[k].path,
                               asked->dials[i].path);
    }
    return ask_doubts(asked, plan, arguments, err);
}

static rn_status find(answer *found, const question *asked, const rn_arguments *arguments, rn_study *study,
                      rn_error *err)
{
    const int coarse = arguments->coarse > 0 ? arguments->coarse : RN_LEAST_COARSE;
    found->together = asked->count > 1 || asked->weight > 0;
    if (found->together) {
        rn_together_options options = rn_together_defaults();
        options.goal = asked->goal;
        options.cells = arguments->cells;
        options.coarse_cells = coarse;
        options.weight = asked->weight;
        return rn_together_find(&found->several, asked->plan, asked->dials, asked->count, &options, study, err);
    }
    rn_least_options options = rn_least_defaults();
    options.goal = asked->goal;
    options.cells = arguments->cells;
    options.coarse_cells = coarse;
    if (!isnan(arguments->close)) {
        options.share = arguments->close;
        options.absolute = 0;
    }
    found->in_doubt = asked->sure > 0;
    if (found->in_doubt) {
        rn_sure_options sure = rn_sure_defaults();
        sure.least = options;
        sure.doubts = asked->doubts;
        sure.sure = asked->sure;
        if (arguments->draws > 0)
            sure.draws = arguments->draws;
        if (arguments->seed > 0)
            sure.seed = (uint64_t)arguments->seed;
        return rn_sure_find(&found->sure, asked->plan, asked->dials, &sure, study, err);
    }
    return rn_least_find(&found->least, asked->plan, asked->dials, &options, study, err);
}

/* Whether there is an answer, and at which values. */
static bool values_of(double values[RN_TOGETHER_MOST], const answer *found)
{
    if (found->together) {
        const rn_together_look *look = found->several.has_fine ? &found->several.fine : &found->several.coarse;
        memcpy(values, look->values, sizeof look->values);
        return (found->several.has_fine || found->several.has_coarse) && look->met;
    }
    if (found->in_doubt) {
        values[0] = found->sure.at.value;
        return found->sure.state == RN_LEAST_FOUND || found->sure.state == RN_LEAST_LOWEST;
    }
    const rn_least_look *look = found->least.has_fine ? &found->least.fine : &found->least.coarse;
    values[0] = look->value;
    return (found->least.has_fine || found->least.has_coarse) &&
           (look->state == RN_LEAST_FOUND || look->state == RN_LEAST_LOWEST);
}

static void print(const answer *found, bool json, FILE *out)
{
    if (found->together && json)
        rn_report_together_json(out, &found->several, &found->facts);
    else if (found->together)
        rn_report_together_text(out, &found->several, &found->facts);
    else if (found->in_doubt && json)
        rn_report_sure_json(out, &found->sure, &found->facts);
    else if (found->in_doubt)
        rn_report_sure_text(out, &found->sure, &found->facts);
    else if (json)
        rn_report_least_json(out, &found->least, &found->facts);
    else
        rn_report_least_text(out, &found->least, &found->facts);
}

static rn_status save(const question *asked, const double *values, const rn_arguments *arguments, rn_streams streams,
                      rn_error *err)
{
    rn_plan *turned = rn_plan_copy(asked->plan);
    rn_status status = turned ? RN_OK : rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0; i < asked->count && status == RN_OK; i++) {
        rn_plan *next = NULL;
        status = rn_dial_turn(&next, &asked->dials[i], turned, values[i], err);
        if (status == RN_OK) {
            rn_plan_free(turned);
            turned = next;
        }
    }
    if (status == RN_OK)
        status = rn_saving_write(turned, "least", arguments, streams, err);
    rn_plan_free(turned);
    return status;
}

/* Searches and tells. *stopped by hand; *met: something meets the goal. */
static rn_status work_out(bool *stopped, bool *met, const question *asked, const rn_arguments *arguments,
                          rn_streams streams, rn_error *err)
{
    rn_searching searching = {0};
    double values[RN_TOGETHER_MOST];
    answer *found = calloc(1, sizeof *found);
    if (!found)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    found->facts.title = asked->plan->title;
    rn_status status = rn_searching_open(&searching, "looking for the least", arguments, streams, err);
    if (status == RN_OK) {
        status = find(found, asked, arguments, searching.study, err);
        rn_study_counts(&found->facts.worked, &found->facts.known, searching.study);
    }
    *stopped = rn_searching_close(&searching, &found->facts.seconds);
    if (status == RN_OK) {
        *met = values_of(values, found);
        if (!rn_searching_takes_standard(arguments->save))
            print(found, arguments->json, streams.out);
        else if (!*met)
            print(found, false, streams.err); /* there is no plan to write, but why should be known */
        rn_searching_say_kept(&searching, *stopped, "least", &found->facts, arguments, streams.err);
        if (arguments->save && *met)
            status = save(asked, values, arguments, streams, err);
        else if (arguments->save && !rn_searching_takes_standard(arguments->save))
            rn_searching_say_unsaved(arguments->save, "least", streams.err);
    }
    free(found);
    return status;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    question asked = {0};
    bool stopped = false, met = false;
    rn_status status = rn_input_open(&input, arguments->operands[0], &arguments->sets, streams.err, &error);
    if (status == RN_OK)
        status = ask(&asked, input.plan, arguments, &error);
    for (int i = 0; i < asked.count && status == RN_OK; i++)
        rn_searching_say_cut(&asked.dials[i], "least", streams.err);
    rn_watch *guard = rn_watch_open(streams.err, true); /* no signal ends it while it writes */
    if (status == RN_OK)
        status = work_out(&stopped, &met, &asked, arguments, streams, &error);
    rn_watch_close(guard);
    if (error.status)
        rn_cmd_report("least", &error, streams.err);
    rn_input_clear(&input);
    if (status)
        return rn_cmd_exit_of(status);
    return stopped ? RN_EXIT_STOPPED : met ? RN_EXIT_DONE : RN_EXIT_SHORT;
}

static const rn_opt opts[] = {
    RN_OPT_GOAL,
    {.name = "of",
     .kind = RN_OPT_LIST,
     .offset = offsetof(rn_arguments, keys),
     .value = "PATH",
     .example = "moves.4.spin",
     .text = "Look for the least of this number instead of the volume poured; up to three times, and then for all of "
             "them together, each measured by what the plan has. The paths are those of --set."},
    {.name = "from",
     .kind = RN_OPT_LIST,
     .offset = offsetof(rn_arguments, froms),
     .value = "VALUE",
     .example = "80ml",
     .text = "The least that is tried; one for each --of, in their order. Left out: an eighth of the volume, a "
             "sixteenth of another number, within what its key allows."},
    {.name = "to",
     .kind = RN_OPT_LIST,
     .offset = offsetof(rn_arguments, tos),
     .value = "VALUE",
     .example = "300ml",
     .text = "The most that is tried. Left out: eight times the volume, or 8 mm of film all over if that is more; "
             "sixteen times another number, within what its key and the plan's limit of spin allow."},
    {.name = "weight",
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, weight),
     .value = "NUMBER",
     .example = "2",
     .text =
         "Make this many times the share of paint that runs off least as well, next to the numbers as shares of the "
         "plan's."},
    {.name = "scale-base",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, scale_base),
     .text = "Scale base coats and puddles with the volume; left out, they stay as they are."},
    {.name = "close",
     .kind = RN_OPT_SHARE,
     .offset = offsetof(rn_arguments, close),
     .value = "PERCENT",
     .example = "2",
     .text = "How close to come, as a share of the answer; left out, to 1 % or 1 ml, whichever is more."},
    {.name = "sure",
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, sure),
     .value = "SHARE",
     .example = "0.9",
     .text =
         "Look for the least with which this share of draws meets the goal, where the plan's numbers are in doubt, as "
         "'runnel odds' draws them; 0.9 and 90% are the same. The draws are run on the coarse grid."},
    RN_OPT_VARY,
    RN_OPT_ONLY,
    RN_OPT_DRAWS("With --sure: how many draws are made at each value, the same at all; 60 if left out."),
    RN_OPT_SEED,
    RN_OPT_COARSE(
        "Cells along the longer side of the first, coarse look; 96 if left out. As many as --grid or more: there is "
        "none."),
    RN_OPT_SAVE("least.yaml", "Write the plan with the answer"),
    RN_OPT_REPLACE,
    RN_OPT_JSON,
    RN_OPT_STUDY,
    RN_OPT_HELP,
};

const rn_command rn_cmd_least = {
    .name = "least",
    .operands = "PLAN",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "find the least volume that meets a goal",
    .text =
        "Finds the least total volume, the shares of the stacks kept, that meets what the plan expects or the "
        "options ask. It is looked for on a coarse grid and confirmed on the one of --grid; what wants more paint "
        "and what wants less are looked for apart, and where no volume meets both it is said what stands in the "
        "way. The exit status is 1 where nothing meets the goal.\n\n"
        "With --sure the plan's numbers are taken to be in doubt, and the least is that with which the wanted share "
        "of draws meets the goal.\n\n"
        "Runs are kept between searches, so that nothing is worked out twice; Ctrl-C keeps those that are done.",
    .example = "runnel least plan.yaml\n"
               "runnel least plan.yaml --goal 'coverage=at least 99 %' --goal 'run-off=at most 30 ml'\n"
               "runnel least plan.yaml --sure 0.9\n"
               "runnel least plan.yaml --of moves.4.spin --from 20rpm --to 90rpm",
    .run = run,
};
