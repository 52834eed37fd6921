/* runnel forecast: one plan in, what will become of it out. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/text.h"
#include "cli/cmd.h"
#include "cli/gallery.h"
#include "cli/input.h"
#include "cli/outputs.h"
#include "cli/watch.h"
#include "run/judge.h"
#include "run/session.h"
#include "show/figure.h"
#include "show/report.h"
#include "show/report_pattern.h"
#include "show/table.h"

typedef struct results {
    const rn_plan *plan;
    rn_session *session; /* owned, as is all below */
    rn_forecast forecast;
    rn_record *record;
    rn_team *team;
    rn_still *still; /* the rest only where the layers are asked for */
    rn_pattern *pattern;
    bool shows_pattern; /* in the report */
    rn_watch *watch;    /* over all of the work */
    const char *doing;  /* told while nothing else is; NULL: something is */
    bool stopped;       /* by hand, so that something is left out */
    rn_gallery gallery;
} results;

/* False for what is one stream of text or numbers. */
static bool is_picture(rn_output_kind kind)
{
    return kind >= RN_OUTPUT_PICTURE;
}

/* What is drawn from the layers: only from all of them, so not once a stop is asked for. */
static bool needs_layers(rn_output_kind kind)
{
    return kind > RN_OUTPUT_PICTURE;
}

/* An rn_team_go_on. */
static bool go_on(void *context)
{
    results *found = context;
    return rn_watch_busy(found->watch, found->doing);
}

static rn_status draw_output(const rn_output *what, results *found, FILE *out, rn_error *err)
{
    const rn_figure figure = {.plan = found->plan, .forecast = &found->forecast, .record = found->record};
    switch (what->kind) {
    case RN_OUTPUT_PICTURE: return rn_figure_forecast(what->path, out, &figure, rn_figure_defaults(), err);
    case RN_OUTPUT_FACE: return rn_gallery_face(&found->gallery, what->path, err);
    case RN_OUTPUT_CUT: return rn_gallery_cut(&found->gallery, what->path, err);
    case RN_OUTPUT_DESIGN: return rn_gallery_design(&found->gallery, what->path, err);
    case RN_OUTPUT_MOMENTS: return rn_gallery_moments(&found->gallery, what->path, err);
    case RN_OUTPUT_ANIMATION:
    case RN_OUTPUT_FRAMES: return rn_gallery_animation(&found->gallery, what->path, err);
    case RN_OUTPUT_REPORT:
    case RN_OUTPUT_OBJECT:
    case RN_OUTPUT_SERIES:
    case RN_OUTPUT_FIELD:
    case RN_OUTPUT_KINDS: break;
    }
    return RN_OK;
}

static rn_status write_output(const rn_output *what, results *found, FILE *out, rn_error *err)
{
    rn_file file;
    if (is_picture(what->kind))
        return draw_output(what, found, out, err);
    rn_status status = rn_file_open(&file, what->path, out, err);
    if (status)
        return status;
    if (what->kind == RN_OUTPUT_REPORT) {
        rn_report_text(file.stream, &found->forecast);
        if (found->shows_pattern)
            rn_report_pattern(file.stream, found->plan, found->pattern);
    } else if (what->kind == RN_OUTPUT_OBJECT) {
        rn_report_json(file.stream, &found->forecast, found->plan, found->shows_pattern ? found->pattern : NULL);
    } else if (what->kind == RN_OUTPUT_SERIES) {
        rn_series_csv(file.stream, found->record);
    } else {
        rn_field_npy(file.stream, found->record);
    }
    return rn_file_close(&file, err);
}

/* Traces the layers, for the moment that is asked for; RN_E_STOPPED where it is stopped by hand. */
static rn_status work_out_layers(results *found, const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    const double at = isnan(arguments->at) ? rn_session_time(found->session) : arguments->at;
    rn_status status = rn_team_new(&found->team, arguments->threads, err);
    found->doing = "tracing the layers";
    if (status == RN_OK)
        rn_team_heed(found->team, go_on, found);
    if (status == RN_OK)
        status = rn_reel_still(&found->still, rn_session_reel(found->session), at, err);
    if (status == RN_OK && (rn_gallery_needs_pattern(arguments) || rn_expects_pattern(found->plan)))
        status = rn_pattern_work_out(&found->pattern, found->plan, found->session, found->still,
                                     rn_gallery_pattern_options(arguments), found->team, err);
    found->shows_pattern = found->pattern && arguments->layers;
    found->gallery = (rn_gallery){
        .plan = found->plan,
        .session = found->session,
        .record = found->record,
        .pattern = found->pattern,
        .still = found->still,
        .arguments = arguments,
        .team = found->team,
        .standard = streams.out,
        .words = streams.err,
    };
    if (status == RN_OK && found->pattern && isnan(arguments->at))
        rn_judge_pattern(&found->forecast, found->pattern);
    return status;
}

/* Runs the plan and gathers the results. */
static rn_status work_out(results *found, const rn_arguments *arguments, rn_streams streams, rn_error *err)
{
    rn_error own = {0};
    rn_session_options options = rn_cmd_session_options(arguments);
    options.history = rn_gallery_asked(arguments) || rn_expects_pattern(found->plan);
    rn_status status = rn_session_new(&found->session, found->plan, &options, err);
    if (status == RN_OK)
        status = rn_watch_run(&found->stopped, found->session, streams.err, arguments->quiet, err);
    if (status == RN_OK)
        status = rn_session_record(&found->record, found->session, err);
    if (status == RN_OK)
        status = rn_session_forecast(&found->forecast, found->session, err);
    if (status == RN_OK && found->stopped)
        fprintf(streams.err,
                "runnel forecast: stopped at %.1f s by hand, of %.0f s; this is the forecast of what there is\n",
                rn_session_time(found->session), rn_session_end(found->session));
    if (status || !options.history || found->stopped)
        return status;
    status = work_out_layers(found, arguments, streams, &own);
    rn_watch_wipe(found->watch);
    if (status == RN_E_STOPPED) { /* what is known without the layers is told all the same */
        fputs("runnel forecast: stopped by hand while the layers were traced; this is the forecast without them\n",
              streams.err);
        found->stopped = true;
        return RN_OK;
    }
    if (status && err->status == RN_OK)
        *err = own;
    return status;
}

static void results_clear(results *found)
{
    rn_pattern_free(found->pattern);
    rn_still_free(found->still);
    rn_team_free(found->team);
    rn_record_free(found->record);
    rn_session_free(found->session);
}

static void say_left_out(const rn_output *what, FILE *err)
{
    char shown[RN_PATH_SIZE];
    fprintf(err, "runnel forecast: stopped by hand; %s is not drawn\n", rn_text_show(shown, sizeof shown, what->path));
}

/* Writes all that can be written; the first thing that cannot is the error. */
static rn_status write_outputs(const rn_outputs *all, results *found, rn_streams streams, rn_error *err)
{
    rn_status first = RN_OK;
    for (int i = 0; i < all->count; i++) {
        const rn_output *what = &all->list[i];
        rn_error own = {0};
        found->doing = what->kind == RN_OUTPUT_FACE  ? "drawing the face"
                       : what->kind == RN_OUTPUT_CUT ? "tracing the cut"
                                                     : "drawing";
        rn_status status =
            found->stopped && needs_layers(what->kind) ? RN_E_STOPPED : write_output(what, found, streams.out, &own);
        rn_watch_wipe(found->watch);
        if (status == RN_E_STOPPED) {
            say_left_out(what, streams.err);
            found->stopped = true;
            continue;
        }
        if (first == RN_OK && status) {
            first = status;
            *err = own;
        }
    }
    return first;
}

static rn_exit run(const rn_arguments *arguments, rn_streams streams)
{
    rn_error error = {0};
    rn_input input = {0};
    results found = {0};
    rn_status status;
    rn_outputs *all = calloc(1, sizeof *all);
    if (all)
        status = rn_outputs_list(all, arguments, &error);
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
    rn_input_remark(&input, arguments->operands[0], streams.err);
    status = rn_gallery_check(arguments, input.plan, &error);
    if (status == RN_OK)
        status = rn_outputs_try(all, arguments->folder, &error);
    if (status)
        goto done;
    found.plan = input.plan;
    found.watch = rn_watch_open(streams.err, arguments->quiet);
    status = work_out(&found, arguments, streams, &error);
    if (status == RN_OK)
        status = write_outputs(all, &found, streams, &error);

done:
    rn_watch_close(found.watch);
    if (error.status)
        rn_cmd_report("forecast", &error, streams.err);
    const bool stopped = found.stopped;
    results_clear(&found);
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
     .kind = RN_OPT_FOLDER,
     .offset = offsetof(rn_arguments, folder),
     .value = "DIR",
     .example = "forecast",
     .text = "Write forecast.txt, forecast.json, series.csv, field.npy and picture.png into this folder, which is made "
             "if it is missing; with --layers also face.png, section.png, design.png and moments.png."},
    {.name = "picture",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, picture),
     .value = "FILE",
     .example = "film.png",
     .text = "Draw the film with its corners, edges and the clock of the plan: .png, .pdf or .svg."},
    {.name = "series",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, series),
     .value = "FILE",
     .example = "history.csv",
     .text = "Write the history as CSV: coverage, run-off, wet area, depths, tilt and spin against time."},
    {.name = "field",
     .kind = RN_OPT_FILE,
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
    RN_OPT_LAYERS,
    {.name = "face",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, face),
     .value = "FILE",
     .example = "face.png",
     .text = "Draw the wet paint as it looks from above, as PNG."},
    {.name = "at",
     .kind = RN_OPT_TIME,
     .offset = offsetof(rn_arguments, at),
     .value = "TIME",
     .example = "57s",
     .text = "The moment that the face, the cut, the design and the layers in the report are of; the end if left out."},
    {.name = "size",
     .kind = RN_OPT_COUNT,
     .offset = offsetof(rn_arguments, pixels),
     .least = 64,
     .most = 8192,
     .value = "PIXELS",
     .example = "1600",
     .text = "Pixels along the longer side of a face (1200) or frame (640), or across a sheet of moments (1600)."},
    {.name = "peel",
     .kind = RN_OPT_SHARE,
     .offset = offsetof(rn_arguments, peel),
     .value = "PERCENT",
     .example = "30",
     .text = "Show faces as if so much of the depth had been scraped off the top."},
    {.name = "sheen",
     .kind = RN_OPT_FLAG,
     .offset = offsetof(rn_arguments, sheen),
     .text = "Mirror windows in the wet paint; without, colours are easier to judge."},
    {.name = "section",
     .kind = RN_OPT_PAIR,
     .offset = offsetof(rn_arguments, section),
     .value = "FROM TO",
     .example = "left 'back right'",
     .text = "Draw a cut through the film with its layers, from one place to another, into section.png or the file of "
             "--cut. Places are worded as in a plan: a side, a corner, centre, '60 mm left 20 mm back'."},
    {.name = "cut",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, cut),
     .value = "FILE",
     .example = "cut.pdf",
     .text = "Where the cut goes: .png, .pdf or .svg; from left to right without --section."},
    {.name = "design",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, design),
     .value = "FILE",
     .example = "design.png",
     .text = "Draw what became of the design: bands along eight bearings, twist, distortion, stretch; .png, .pdf or "
             ".svg."},
    {.name = "moments",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, moments),
     .value = "FILE",
     .example = "moments.png",
     .text = "Draw a sheet of six to twelve telling moments, as PNG."},
    {.name = "animation",
     .kind = RN_OPT_FILE,
     .offset = offsetof(rn_arguments, animation),
     .value = "FILE",
     .example = "pour.webp",
     .text = "Draw the whole session as an animated WebP."},
    {.name = "frames",
     .kind = RN_OPT_WHOLE_FOLDER,
     .offset = offsetof(rn_arguments, frames),
     .value = "DIR",
     .example = "frames",
     .text = "Draw the whole session as numbered PNG files in this folder."},
    {.name = "every",
     .kind = RN_OPT_TIME,
     .offset = offsetof(rn_arguments, every),
     .value = "TIME",
     .example = "1s",
     .text = "Simulated time between two frames; about 120 frames if left out."},
    {.name = "points",
     .kind = RN_OPT_COUNT,
     .offset = offsetof(rn_arguments, points),
     .least = 256,
     .most = 2048,
     .value = "N",
     .example = "1024",
     .text = "Points of the colour grid along the longer side, 256 to 2048; 512 for figures, by its size for a face."},
    {.name = "levels",
     .kind = RN_OPT_COUNT,
     .offset = offsetof(rn_arguments, levels),
     .least = 1,
     .most = 64,
     .value = "N",
     .example = "16",
     .text = "Levels of depth that are traced, 8 if left out; with 1 the face alone, and no volumes by colour."},
    {.name = "since",
     .kind = RN_OPT_TIME,
     .offset = offsetof(rn_arguments, since),
     .value = "TIME",
     .example = "40s",
     .text = "Count stretch from this moment; the end of the last release if left out."},
    {.name = "cells",
     .kind = RN_OPT_SHARE,
     .offset = offsetof(rn_arguments, cells_amount),
     .value = "PERCENT",
     .example = "60",
     .text = "Draw cells, so many and so wide, scattered by lot: an illustration of size and stretch, not a promise of "
             "place."},
    {.name = "cells-at",
     .kind = RN_OPT_TIME,
     .offset = offsetof(rn_arguments, cells_at),
     .value = "TIME",
     .example = "60s",
     .text = "When cells open; the end of the last release if left out."},
    {.name = "cells-wide",
     .kind = RN_OPT_LENGTH,
     .offset = offsetof(rn_arguments, cells_width),
     .value = "LENGTH",
     .example = "6mm",
     .text = "How far apart cells open; as the layers say if left out."},
    {.name = "cells-seed",
     .kind = RN_OPT_COUNT,
     .offset = offsetof(rn_arguments, cells_seed),
     .least = 1,
     .most = 1000000,
     .value = "N",
     .example = "7",
     .text = "Another lot for the cells."},
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
    .reads = "plan",
    .operands_least = 1,
    .operands_most = 1,
    .opts = opts,
    .opt_count = (int)(sizeof opts / sizeof opts[0]),
    .brief = "tell what will become of a plan",
    .text = "Works out how the paint of a plan spreads and prints one screen: whether the panel is covered and from "
            "when on, how deep each corner becomes, how thick the film, how much runs off, and what to mind.\n"
            "PLAN is a plan file, or - for standard input. A FILE named - goes to standard output in place of the "
            "report. Files are written whole or not at all.\n"
            "Asked for --layers, or anything drawn from them, it also traces where each paint came from: what of each "
            "colour "
            "lies where, rings, spiral, stretch, cells.\n"
            "Ctrl-C stops the work and tells of what there is until then: the film as far as it was worked out, but "
            "nothing of its layers, and no picture that needs them and is not done. The exit status is then 130. A "
            "second Ctrl-C ends the program at once.",
    .example = "runnel forecast plan.yaml\n"
               "runnel forecast plan.yaml --set poured=180ml --picture film.png\n"
               "runnel forecast plan.yaml --grid 128 -o forecast\n"
               "runnel forecast plan.yaml --face face.png --at 57s --moments moments.png\n"
               "runnel forecast plan.yaml --layers --section left right",
    .also_writes = rn_outputs_claim,
    .run = run,
};
