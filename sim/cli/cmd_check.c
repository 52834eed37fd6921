/* runnel check: plans held against what they expect of themselves. */
#include <limits.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/watch.h"
#include "run/judge.h"
#include "show/json.h"

/* What became of one plan. */
typedef struct outcome {
    const char *path;
    char shown[RN_PATH_SIZE]; /* the path as words have it */
    rn_exit exit;
    bool stopped;
    rn_error error; /* unless it could be judged */
    const rn_plan *plan;
    rn_judgement judgements[RN_EXPECTS_MOST];
    int count, met;
} outcome;

/* An rn_team_go_on. */
static bool go_on(void *watch)
{
    return rn_watch_busy(watch, "tracing the layers");
}

static rn_status forecast_plan(rn_forecast *forecast, outcome *found, const rn_arguments *arguments, FILE *err)
{
    rn_session *session = NULL;
    rn_watch *watch = rn_watch_open(err, arguments->quiet);
    rn_session_options options = rn_cmd_session_options(arguments);
    options.history = rn_expects_pattern(found->plan);
    rn_status status = rn_session_new(&session, found->plan, &options, &found->error);
    if (status == RN_OK)
        status = rn_watch_run(&found->stopped, session, err, arguments->quiet, &found->error);
    if (status == RN_OK)
        status = rn_session_forecast(forecast, session, &found->error);
    if (status == RN_OK && options.history && !found->stopped) {
        rn_error own = {0};
        status = rn_judge_session(forecast, session, found->plan, arguments->threads, go_on, watch, &own);
        if (status == RN_E_STOPPED) { /* stretch and twist are not judged then */
            found->stopped = true;
            status = RN_OK;
        } else if (status) {
            found->error = own;
        }
    }
    rn_watch_close(watch);
    rn_session_free(session);
    return status;
}

static void judge_all(outcome *found, const rn_forecast *forecast)
{
    found->count = found->plan->expect_count;
    for (int i = 0; i < found->count; i++) {
        found->judgements[i] = rn_judge_expect(&found->plan->expects[i], forecast);
        found->met += found->judgements[i].verdict == RN_MET;
    }
    found->exit = found->count == 0 ? RN_EXIT_UNJUDGED : found->met == found->count ? RN_EXIT_DONE : RN_EXIT_SHORT;
}

/* The graver of two: nothing judged is worse than all met, and better than anything missed or wrong. */
static rn_exit graver(rn_exit a, rn_exit b)
{
    static const rn_exit ladder[] = {RN_EXIT_DONE, RN_EXIT_UNJUDGED, RN_EXIT_SHORT,  RN_EXIT_USAGE,
                                     RN_EXIT_PLAN, RN_EXIT_FAILED,   RN_EXIT_STOPPED};
    for (size_t i = sizeof ladder / sizeof ladder[0]; i-- > 0;)
        if (ladder[i] == a || ladder[i] == b)
            return ladder[i];
    return RN_EXIT_FAILED;
}

static void print_outcome(const outcome *found, FILE *out)
{
    int widest = 0;
    if (found->count == 0) {
        fprintf(out, "%s: expects nothing, so nothing was judged; say under 'expect' what must hold\n", found->shown);
        return;
    }
    fprintf(out, "%s: %d of %d met\n", found->shown, found->met, found->count);
    for (int i = 0; i < found->count; i++) {
        const int length = (int)strlen(found->judgements[i].wanted);
        widest = length > widest ? length : widest;
    }
    for (int i = 0; i < found->count; i++)
        fprintf(out, "  %-*s  %s\n", widest, found->judgements[i].wanted, found->judgements[i].outcome);
}

static void put_field(FILE *out, const char *indent, const char *name, const char *value)
{
    fprintf(out, "%s\"%s\": ", indent, name);
    rn_json_string(out, value);
}

static void put_judgement(const rn_judgement *judgement, FILE *out)
{
    static const char *const verdicts[] = {[RN_MET] = "met", [RN_MISSED] = "missed", [RN_NOT_JUDGED] = "not judged"};
    put_field(out, "      {", "wanted", judgement->wanted);
    put_field(out, ", ", "verdict", verdicts[judgement->verdict]);
    put_field(out, ", ", "outcome", judgement->outcome);
    fputs(", \"value_si\": ", out);
    rn_json_number(out, judgement->value);
    fputs(", \"missed_by_si\": ", out);
    rn_json_number(out, judgement->by);
    fputc('}', out);
}

/* One element of the array; `first` of them has no comma before it. */
static void put_outcome(const outcome *found, bool first, FILE *out)
{
    fputs(first ? "\n" : ",\n", out);
    put_field(out, "  {\n    ", "plan", found->path);
    if (found->error.status) {
        char text[sizeof found->error.file + sizeof found->error.message + 32];
        rn_error_text(&found->error, text, sizeof text);
        put_field(out, ",\n    ", "error", text);
    } else {
        const char *met = found->count == 0 ? "null" : found->met == found->count ? "true" : "false";
        fprintf(out, ",\n    \"met\": %s,\n    \"expectations\": [", met);
        for (int i = 0; i < found->count; i++) {
            fputs(i ? ",\n" : "\n", out);
            put_judgement(&found->judgements[i], out);
        }
        fputs(found->count ? "\n    ]" : "]", out);
    }
    fputs("\n  }", out);
}

static outcome check_plan(const char *path, bool first, const rn_arguments *arguments, rn_streams streams)
{
    outcome found = {.path = path};
    rn_input input = {0};
    rn_forecast forecast = {0};
    rn_status status = rn_input_load(&input, path, &arguments->sets, &found.error);
    rn_text_show(found.shown, sizeof found.shown, path);
    const bool in_plan = status == RN_E_PLAN || status == RN_E_FILE;
    found.plan = input.plan;
    if (status == RN_OK) {
        rn_input_remark(&input, path, streams.err);
        rn_input_caution(input.plan, streams.err);
        status = forecast_plan(&forecast, &found, arguments, streams.err);
    }
    if (in_plan)
        rn_input_report(&input, &found.error, streams.err);
    else if (status)
        rn_cmd_report("check", &found.error, streams.err);
    found.exit = rn_cmd_exit_of(status);
    if (status == RN_OK)
        judge_all(&found, &forecast);
    if (arguments->json)
        put_outcome(&found, first, streams.out);
    else if (status == RN_OK)
        print_outcome(&found, streams.out);
    if (found.stopped)
        fprintf(streams.err, "runnel check: stopped by hand in %s\n", found.shown);
    fflush(streams.out);
    rn_input_clear(&input);
    return found;
}

/* Plans are checked one after the other whatever becomes of each; the gravest outcome is the exit status. */
static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_exit gravest = RN_EXIT_DONE;
    if (arguments->json)
        fputc('[', streams.out);
    for (int i = 0; i < arguments->operand_count && gravest != RN_EXIT_STOPPED; i++) {
        const outcome found = check_plan(arguments->operands[i], i == 0, arguments, streams);
        gravest = graver(gravest, found.stopped ? RN_EXIT_STOPPED : found.exit);
    }
    if (arguments->json)
        fputs("\n]\n", streams.out);
    return gravest;
}

static const rn_opt opts[] = {
    {.name = "json",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, json),
     .text = "Print a JSON array with one object for each plan."},
    RN_OPT_SET,
    RN_OPT_GRID,
    RN_OPT_THREADS,
    RN_OPT_KERNEL,
    RN_OPT_QUIET,
    RN_OPT_HELP,
};

const rn_command rn_cmd_check = {
    .name = "check",
    .operands = "PLAN...",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = INT_MAX,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "judge plans by what they expect",
    .text =
        "Works out each plan and judges every line of its 'expect': met, or missed and by how much. The exit status "
        "is 1 if anything is missed, and 5 if nothing is but a plan expects nothing, so that nothing of it was judged. "
        "Stretch is judged by what 95 % of the face stay under, counted from the "
        "end of the last release; twist by the circles drawn then that did not run over an edge.",
    .example = "runnel check plan.yaml\n"
               "runnel check --grid 128 presets/*.yaml",
    .run = run,
};
