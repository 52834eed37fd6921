/* runnel forecast: one plan in, what will become of it out. */
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/file.h"
#include "cli/cmd.h"
#include "cli/input.h"
#include "cli/watch.h"
#include "run/session.h"
#include "show/figure.h"
#include "show/report.h"
#include "show/table.h"

typedef enum output_kind { REPORT, OBJECT, SERIES, FIELD, PICTURE } output_kind;

typedef struct output {
    output_kind kind;
    char path[RN_PATH_SIZE]; /* "-": stdout */
} output;

#define OUTPUTS_MOST 10

typedef struct outputs {
    int count;
    output list[OUTPUTS_MOST];
} outputs;

typedef struct results {
    const rn_plan *plan;
    rn_forecast forecast;
    rn_record *record;
} results;

static rn_status add_output(outputs *all, output_kind kind, const char *folder, const char *name, rn_error *err)
{
    output *added = &all->list[all->count];
    const int length =
        snprintf(added->path, sizeof added->path, "%s%s%s", folder ? folder : "", folder ? "/" : "", name);
    if (length < 0 || (size_t)length >= sizeof added->path)
        return rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", folder ? folder : name);
    added->kind = kind;
    all->count++;
    return RN_OK;
}

/* Everything that is to be written, as the arguments ask. Standard output takes one thing: what was sent there with
   "-", else the JSON object, else the report. */
static rn_status list_outputs(outputs *all, const rn_arguments *arguments, rn_error *err)
{
    static const char *const names[] = {"forecast.txt", "forecast.json", "series.csv", "field.npy", "picture.png"};
    const char *const files[] = {NULL, NULL, arguments->series, arguments->field, arguments->picture};
    int standard = arguments->json ? 1 : 0;
    rn_status status = RN_OK;

    if (arguments->folder && strcmp(arguments->folder, "-") == 0)
        return rn_fail(err, RN_E_USAGE, "'--out' wants a folder; to standard output goes one file, as in --series -");
    for (output_kind kind = REPORT; kind <= PICTURE && status == RN_OK; kind++) {
        if (files[kind] && strcmp(files[kind], "-") == 0)
            standard++;
        if (files[kind])
            status = add_output(all, kind, NULL, files[kind], err);
        if (arguments->folder && status == RN_OK)
            status = add_output(all, kind, arguments->folder, names[kind], err);
    }
    if (status == RN_OK && standard > 1)
        return rn_fail(err, RN_E_USAGE,
                       "only one of --json, --series -, --field - and --picture - can have standard "
                       "output");
    if (status == RN_OK && arguments->json)
        status = add_output(all, OBJECT, NULL, "-", err);
    else if (status == RN_OK && standard == 0 && !arguments->quiet)
        status = add_output(all, REPORT, NULL, "-", err);
    return status;
}

/* Makes a folder and those it lies in. */
static rn_status make_folder(const char *path, rn_error *err)
{
    char part[RN_PATH_SIZE];
    struct stat what;
    const size_t length = strlen(path);
    if (length >= sizeof part)
        return rn_fail(err, RN_E_FILE, "the path '%.60s...' is too long", path);
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0')
            continue;
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, 0777) != 0 && errno != EEXIST)
            return rn_fail(err, RN_E_FILE, "the folder '%.200s' cannot be made: %s", part, strerror(errno));
    }
    if (stat(path, &what) != 0 || !S_ISDIR(what.st_mode))
        return rn_fail(err, RN_E_FILE, "'%.200s' is there already and is no folder", path);
    return RN_OK;
}

/* Finds out before the work begins that a file cannot be written. */
static rn_status try_outputs(const outputs *all, rn_error *err)
{
    for (int i = 0; i < all->count; i++) {
        rn_file file;
        rn_status status = RN_OK;
        if (all->list[i].kind == PICTURE)
            status = rn_figure_check_path(all->list[i].path, err);
        if (status == RN_OK)
            status = rn_file_open(&file, all->list[i].path, NULL, err);
        if (status)
            return status;
        rn_file_abandon(&file);
    }
    return RN_OK;
}

static rn_status write_output(const output *what, const results *found, FILE *out, rn_error *err)
{
    rn_file file;
    if (what->kind == PICTURE) {
        const rn_figure figure = {.plan = found->plan, .forecast = &found->forecast, .record = found->record};
        return rn_figure_forecast(what->path, out, &figure, rn_figure_defaults(), err);
    }
    rn_status status = rn_file_open(&file, what->path, out, err);
    if (status)
        return status;
    switch (what->kind) {
    case REPORT: rn_report_text(file.stream, &found->forecast); break;
    case OBJECT: rn_report_json(file.stream, &found->forecast, NULL, NULL); break;
    case SERIES: rn_series_csv(file.stream, found->record); break;
    case FIELD: rn_field_npy(file.stream, found->record); break;
    case PICTURE: break;
    }
    return rn_file_close(&file, err);
}

/* Runs the plan and gathers the results; *stopped tells whether by hand. */
static rn_status work_out(results *found, bool *stopped, const rn_arguments *arguments, FILE *err_stream, rn_error *err)
{
    rn_session *session = NULL;
    const rn_session_options options = rn_cmd_session_options(arguments);
    rn_status status = rn_session_new(&session, found->plan, &options, err);
    if (status == RN_OK)
        status = rn_watch_run(stopped, session, err_stream, arguments->quiet, err);
    if (status == RN_OK)
        status = rn_session_record(&found->record, session, err);
    if (status == RN_OK)
        status = rn_session_forecast(&found->forecast, session, err);
    if (status == RN_OK && *stopped)
        fprintf(err_stream,
                "runnel forecast: stopped at %.1f s by hand, of %.0f s; this is the forecast of what there is\n",
                rn_session_time(session), rn_session_end(session));
    rn_session_free(session);
    return status;
}

/* Writes all that can be written; the first thing that cannot is the error. */
static rn_status write_outputs(const outputs *all, const results *found, FILE *out, rn_error *err)
{
    rn_status first = RN_OK;
    for (int i = 0; i < all->count; i++) {
        const rn_status status = write_output(&all->list[i], found, out, err);
        if (first == RN_OK)
            first = status;
    }
    return first;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    results found = {0};
    bool stopped = false;
    rn_status status;
    outputs *all = calloc(1, sizeof *all);
    if (all)
        status = list_outputs(all, arguments, &error);
    else
        status = rn_fail(&error, RN_E_MEMORY, "no memory left");
    if (status)
        goto done;

    status = rn_input_load(&input, arguments->operands[0], &arguments->sets, &error);
    if (status == RN_E_PLAN || status == RN_E_FILE) {
        rn_input_report(&input, &error, streams.err);
        error = (rn_error){0};
    }
    if (status)
        goto done;
    if (arguments->folder)
        status = make_folder(arguments->folder, &error);
    if (status == RN_OK)
        status = try_outputs(all, &error);
    if (status)
        goto done;
    found.plan = input.plan;
    status = work_out(&found, &stopped, arguments, streams.err, &error);
    if (status == RN_OK)
        status = write_outputs(all, &found, streams.out, &error);

done:
    if (error.status)
        rn_cmd_report("forecast", &error, streams.err);
    rn_record_free(found.record);
    rn_input_clear(&input);
    free(all);
    if (status == RN_OK && stopped)
        return RN_EXIT_STOPPED;
    return rn_cmd_exit_of(status);
}

static const rn_opt opts[] = {
    {.name = "json",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, json),
     .text = "Print the forecast as one JSON object instead of the report."},
    {.name = "out",
     .letter = 'o',
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, folder),
     .value = "DIR",
     .example = "forecast",
     .text = "Write forecast.txt, forecast.json, series.csv, field.npy and picture.png into this folder, which is made "
             "if it is missing."},
    {.name = "picture",
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, picture),
     .value = "FILE",
     .example = "film.png",
     .text = "Draw the film with its corners, edges and the clock of the plan: .png, .pdf or .svg."},
    {.name = "series",
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, series),
     .value = "FILE",
     .example = "history.csv",
     .text = "Write the history as CSV: coverage, run-off, wet area, depths, tilt and spin against time."},
    {.name = "field",
     .kind = RN_OPT_TEXT,
     .offset = offsetof(rn_arguments, field),
     .value = "FILE",
     .example = "film.npy",
     .text = "Write the final film depth in metres as a NumPy array of shape (ny, nx), row 0 at the back edge."},
    {.name = "until",
     .kind = RN_OPT_TIME,
     .offset = offsetof(rn_arguments, until),
     .value = "TIME",
     .example = "90s",
     .text = "Stop at this time instead of the plan's end."},
    RN_OPT_SET,
    RN_OPT_GRID,
    RN_OPT_THREADS,
    RN_OPT_KERNEL,
    {.name = "quiet",
     .letter = 'q',
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, quiet),
     .text = "Print no report and no progress."},
    RN_OPT_HELP,
};

const rn_command rn_cmd_forecast = {
    .name = "forecast",
    .operands = "PLAN",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "tell what will become of a plan",
    .text = "Works out how the paint of a plan spreads and prints one screen: whether the panel is covered and from "
            "when on, how deep each corner becomes, how thick the film, how much runs off, and what to mind.\n"
            "PLAN is a plan file, or - for standard input. A FILE named - goes to standard output in place of the "
            "report. Files are written whole or not at all.\n"
            "Ctrl-C stops the work and tells of what there is until then; the exit status is then 130. A second "
            "Ctrl-C ends the program at once.",
    .example = "runnel forecast plan.yaml\n"
               "runnel forecast plan.yaml --set poured=180ml --picture film.png\n"
               "runnel forecast plan.yaml --grid 128 -o forecast",
    .run = run,
};
