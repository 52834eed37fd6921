/* runnel window: what comes of a plan over two of its numbers, and which of the plans that work stands safest. */
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/saving.h"
#include "cli/searching.h"
#include "cli/sharing.h"
#include "run/session.h"
#include "search/least.h"
#include "search/window_answer.h"
#include "show/report_window.h"
#include "show/window_page.h"

#define AXIS_SIZE 200

/* ---- what is asked ---- */

/* "0.4..2 Pa s": a figure without a unit has that of the other end. */
static void lend_unit(char *from, size_t size, const char *to)
{
    const char *unit = to + strcspn(to, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ%");
    if (*from && strspn(from, "0123456789.,+-/ ") == strlen(from) && *unit && strlen(from) + strlen(unit) + 2 < size) {
        strcat(from, " ");
        strcat(from, unit);
    }
}

static rn_status axis_error(const char *option, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    return rn_fail(err, RN_E_USAGE, "'--%s %s' is no axis; write for example --%s 'poured=80ml..300ml'", option,
                   rn_text_quote(quoted, text), option);
}

/* "consistency", or "consistency=0.4..2 Pa s", where either end may be left out. */
static rn_status read_axis(rn_dial *dial, const rn_plan *plan, const char *option, const char *text, rn_error *err)
{
    char copy[AXIS_SIZE], from[AXIS_SIZE] = "", *to = NULL;
    rn_error why = {0};
    if (strlen(text) >= sizeof copy)
        return axis_error(option, text, err);
    strcpy(copy, text);
    char *range = strchr(copy, '=');
    if (range) {
        *range++ = '\0';
        to = strstr(range, "..");
        if (!to || to[2] == '.')
            return axis_error(option, text, err);
        *to = '\0';
        to += 2;
        strcpy(from, range);
        lend_unit(from, sizeof from, to);
    }
    if (rn_window_axis(dial, plan, copy, from[0] ? from : NULL, to && *to ? to : NULL, &why) == RN_OK)
        return RN_OK;
    if (rn_searching_fault(plan, copy) == RN_E_PLAN)
        return rn_fail(err, RN_E_PLAN, "%s", why.message);
    return rn_fail(err, RN_E_USAGE, "'--%s': %s", option, why.message);
}

/* "32", "40x24". */
static rn_status read_tiles(rn_window_options *options, const char *text, rn_error *err)
{
    char *end, quoted[RN_QUOTE_SIZE];
    if (!text)
        return RN_OK;
    const long columns = strtol(text, &end, 10);
    const long rows = end > text && (*end == 'x' || *end == 'X') ? strtol(end + 1, &end, 10) : columns;
    if (end == text || *end || columns < RN_WINDOW_TILES_LEAST || columns > RN_WINDOW_TILES_MOST ||
        rows < RN_WINDOW_TILES_LEAST || rows > RN_WINDOW_TILES_MOST)
        return rn_fail(err, RN_E_USAGE, "'--cells %s' is neither a number of tiles from %d to %d, nor two as in 40x24",
                       rn_text_quote(quoted, text), RN_WINDOW_TILES_LEAST, RN_WINDOW_TILES_MOST);
    options->columns = (int)columns;
    options->rows = (int)rows;
    return RN_OK;
}

static rn_status ask(rn_window **window, const rn_plan *plan, const rn_arguments *arguments, rn_error *err)
{
    rn_goal goal;
    rn_dial x, y;
    rn_error own = {0};
    rn_window_options options = rn_window_defaults();
    options.every = arguments->every_tile || rn_sharing_asked(arguments) || arguments->gathered;
    options.pattern = arguments->stretch;
    if (arguments->coarse > 0)
        options.cells = arguments->coarse;
    rn_status status = rn_searching_check_files(arguments, "--picture, --csv and --save", err);
    if (status == RN_OK)
        status = read_tiles(&options, arguments->tiles, err);
    if (status == RN_OK)
        status = rn_searching_goal(&goal, plan, arguments, err);
    if (status == RN_OK)
        status = read_axis(&x, plan, "x", arguments->x ? arguments->x : "consistency", err);
    if (status == RN_OK)
        status = read_axis(&y, plan, "y", arguments->y ? arguments->y : "poured", err);
    if (status == RN_OK && rn_window_new(window, plan, &x, &y, &goal, &options, &own))
        status = rn_fail(err, own.status == RN_E_PLAN ? RN_E_USAGE : own.status, "%s", own.message);
    return status;
}

/* ---- what comes of it ---- */

/* Pass by pass; or, where it is gathered, from all its tiles at once. */
static rn_status fill(rn_window *window, const rn_arguments *arguments, rn_study *study, rn_error *err)
{
    rn_status status = RN_OK;
    if (arguments->gathered) {
        rn_batch batch = {0};
        status = rn_window_list(&batch, window, err);
        if (status == RN_OK)
            status = rn_sharing_work(&batch, arguments, study, err);
        if (status == RN_OK)
            status = rn_window_take(window, &batch, err);
        rn_batch_clear(&batch);
        return status;
    }
    for (bool more = true; more && status == RN_OK && !rn_study_stopped(study);)
        status = rn_window_refine(window, &more, study, err);
    return status;
}

static rn_status work(rn_window_answer *answer, rn_window *window, const rn_arguments *arguments, rn_study *study,
                      rn_error *err)
{
    const rn_status status = fill(window, arguments, study, err);
    return status ? status : rn_window_answer_find(answer, window, arguments->cells, study, err);
}

static rn_status write_csv(const char *path, const rn_window *window, FILE *out, rn_error *err)
{
    rn_file file;
    const rn_status status = rn_file_open(&file, path, out, err);
    if (status)
        return status;
    rn_report_window_csv(file.stream, window);
    return rn_file_close(&file, err);
}

static rn_status save(const rn_window *window, const rn_window_best *best, const rn_arguments *arguments,
                      rn_streams streams, rn_error *err)
{
    rn_plan *plan = NULL;
    rn_status status = rn_window_turn(&plan, window, best->column, best->row, err);
    if (status == RN_OK)
        status = rn_saving_write(plan, "window", arguments, streams, err);
    rn_plan_free(plan);
    return status;
}

static void print(const rn_window *window, const rn_window_answer *answer, const rn_search_facts *facts, bool json,
                  FILE *out)
{
    if (json)
        rn_report_window_json(out, window, answer, facts);
    else
        rn_report_window_text(out, window, answer, facts);
}

/* The report, unless something else takes the standard output, and all files that were asked for. */
static rn_status tell(const rn_window *window, const rn_window_answer *answer, const rn_search_facts *facts,
                      const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    const bool holds = rn_window_answer_holds(answer, window);
    rn_status status = RN_OK;
    if (rn_searching_takes_standard(arguments->save) && !holds)
        print(window, answer, facts, false, streams.err); /* there is no plan to write, but why should be known */
    else if (!rn_searching_takes_standard(arguments->picture) && !rn_searching_takes_standard(arguments->csv) &&
             !rn_searching_takes_standard(arguments->save))
        print(window, answer, facts, arguments->json, streams.out);
    if (arguments->csv)
        status = write_csv(arguments->csv, window, streams.out, err);
    if (status == RN_OK && arguments->picture) {
        const rn_window_page page = {.title = facts->title, .window = window, .answer = answer};
        status = rn_window_page_write(arguments->picture, streams.out, &page, rn_figure_defaults(), err);
    }
    if (status == RN_OK && arguments->save && holds)
        status = save(window, &answer->best, arguments, streams, err);
    return status;
}

/* *stopped by hand; *met: some plan works, and holds on the fine grid if it was run there. */
static rn_status work_out(bool *stopped, bool *met, rn_window *window, const rn_arguments *arguments,
                          rn_streams streams, rn_error *err)
{
    rn_searching searching = {0};
    rn_window_answer answer = {.closest_column = -1};
    rn_search_facts facts = {.title = rn_window_plan(window)->title};
    rn_status status = rn_searching_open(&searching, "working out the window", arguments, streams, err);
    if (status == RN_OK) {
        status = work(&answer, window, arguments, searching.study, err);
        rn_study_counts(&facts.worked, &facts.known, searching.study);
        if (arguments->gathered)
            facts.known += rn_window_worked(window);
    }
    *stopped = rn_searching_close(&searching, &facts.seconds);
    if (status)
        return status;
    *met = rn_window_answer_holds(&answer, window);
    status = tell(window, &answer, &facts, arguments, streams, err);
    rn_searching_say_kept(&searching, *stopped, "window", &facts, arguments, streams.err);
    if (status == RN_OK && arguments->save && !*met && !rn_searching_takes_standard(arguments->save))
        rn_searching_say_unsaved(arguments->save, "window", streams.err);
    return status;
}

/* One share of the tiles, which is written as a piece. */
static rn_status work_share(bool *stopped, const rn_window *window, const rn_input *input,
                            const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    rn_searching searching = {0};
    rn_batch batch = {0};
    rn_search_facts facts = {0};
    rn_status status = rn_searching_open(&searching, "working out a share of the window", arguments, streams, err);
    if (status == RN_OK) {
        status = rn_window_list(&batch, window, err);
        if (status == RN_OK)
            status = rn_sharing_work(&batch, arguments, searching.study, err);
        rn_study_counts(&facts.worked, &facts.known, searching.study);
    }
    *stopped = rn_searching_close(&searching, &facts.seconds);
    if (status == RN_OK)
        status = rn_sharing_write(&batch, &rn_cmd_window, input, arguments, streams, err);
    if (status == RN_OK)
        rn_searching_say_kept(&searching, *stopped, "window", &facts, arguments, streams.err);
    rn_batch_clear(&batch);
    return status;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    rn_window *window = NULL;
    bool stopped = false, met = false;
    rn_status status = rn_sharing_open(&input, &rn_cmd_window, arguments, streams.err, &error);
    if (status == RN_OK)
        status = ask(&window, input.plan, arguments, &error);
    if (status == RN_OK) {
        rn_searching_say_cut(rn_window_x(window), "window", streams.err);
        rn_searching_say_cut(rn_window_y(window), "window", streams.err);
    }
    rn_watch *guard = rn_watch_open(streams.err, true); /* no signal ends it while it writes */
    if (status == RN_OK && rn_sharing_asked(arguments))
        status = work_share(&stopped, window, &input, arguments, streams, &error);
    else if (status == RN_OK)
        status = work_out(&stopped, &met, window, arguments, streams, &error);
    rn_watch_close(guard);
    if (error.status)
        rn_cmd_report("window", &error, streams.err);
    rn_window_free(window);
    rn_input_clear(&input);
    if (status)
        return rn_cmd_exit_of(status);
    return stopped ? RN_EXIT_STOPPED : met || rn_sharing_asked(arguments) ? RN_EXIT_DONE : RN_EXIT_SHORT;
}

static const rn_opt opts[] = {
    {.name = "x",
     .study = true,
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, x),
     .value = "PATH=FROM..TO",
     .example = "'consistency=0.4..2.5 Pa s'",
     .text = "The number that changes from left to right; consistency if left out. The paths are those of --set. "
             "Without a range: from half of what the plan says to twice as much."},
    {.name = "y",
     .study = true,
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, y),
     .value = "PATH=FROM..TO",
     .example = "poured=80ml..300ml",
     .text = "The number that changes from bottom to top, likewise; poured if left out."},
    {.name = "cells",
     .study = true,
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, tiles),
     .value = "N|COLUMNSxROWS",
     .example = "40x24",
     .text = "Tiles of the map along its axes, 4 to 256; 32 if left out."},
    {.name = "every",
     .study = true,
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, every_tile),
     .text = "Run every tile. Left out, tiles are run along the borders of what works and told from their neighbours "
             "elsewhere, which takes about a fifth of the runs."},
    {.name = "stretch",
     .study = true,
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, stretch),
     .text = "Work out stretch and twist as well, also where no goal asks for them; takes many times as long."},
    RN_OPT_GOAL,
    RN_OPT_COARSE("Cells along the longer side of the panel in the runs of the map; 96 if left out. This plan and the "
                  "safest are confirmed on those of --grid."),
    RN_OPT_PICTURE("window.png", "Draw the map"),
    RN_OPT_CSV("window.csv", "Write a line for each tile, where it lies and what comes of it"),
    RN_OPT_SAVE("safest.yaml", "Write the plan that stands safest"),
    RN_OPT_REPLACE,
    RN_OPT_JSON,
    RN_OPT_STUDY,
    RN_OPT_SHARE_OF,
    RN_OPT_PIECE,
    RN_OPT_HELP,
};

const rn_command rn_cmd_window = {
    .name = "window",
    .operands = "PLAN",
    .reads = "plan",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "map which plans work over two of a plan's numbers",
    .text = "Works out what comes of the plan over two of its numbers, and shows where everything it expects is met, "
            "where it falls short, where too much runs off, and where the design is pulled too far; which of the plans "
            "that work stands safest, with the largest oval around it in which no tile fails and whose ends were run; "
            "and which is the nearest to "
            "this one. The exit status is 1 where nothing works.\n\n"
            "Runs are kept between searches, so that nothing is worked out twice; Ctrl-C keeps those that are done "
            "and shows the map as far as it is known.",
    .example = "runnel window plan.yaml\n"
               "runnel window plan.yaml --x 'consistency=0.5..2 Pa s' --y poured=80ml..250ml --picture window.png\n"
               "runnel window plan.yaml --x moves.5.spin=20rpm..90rpm --y moves.1.tilt=4deg..12deg --cells 24",
    .also_writes = rn_sharing_claim,
    .run = run,
};
