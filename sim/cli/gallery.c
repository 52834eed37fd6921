#include "cli/gallery.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "cli/watch.h"
#include "plan/plan_words.h"
#include "run/cut.h"
#include "run/judge.h"
#include "run/telling.h"
#include "show/animation.h"
#include "show/design.h"
#include "show/face.h"
#include "show/leaf.h"
#include "show/moments.h"
#include "show/section.h"

#define FACE_PIXELS 1200
#define SHEET_PIXELS 1600
#define FILM_PIXELS 640 /* of an animation */
#define FRAMES 120      /* about as many has an animation */
#define FRAME_TIME 0.08 /* each is shown for so long [s] */
#define LAST_TIME 2.0   /* and the last [s] */
#define CUT_COLUMNS 1200
#define CUT_ROWS 160
#define FRAMES_MOST 5000
#define CHAIN_STEP 1.0 /* [s] */

bool rn_gallery_asked(const rn_arguments *a)
{
    return a->layers || a->face || a->cut || a->section[0] || a->design || a->moments || a->animation || a->frames;
}

static rn_status read_end(double at[2], const rn_plan *plan, const char *text, rn_error *err)
{
    rn_error why = {0};
    rn_place place;
    if (rn_place_read(&place, text, &why))
        return rn_fail(err, RN_E_USAGE, "'--section': %s", why.message);
    rn_place_point(&at[0], &at[1], &plan->panel, &place, 0);
    return RN_OK;
}

static rn_status cut_ends(double a[2], double b[2], const rn_arguments *arguments, const rn_plan *plan, rn_error *err)
{
    const char *from = arguments->section[0] ? arguments->section[0] : "left";
    const char *to = arguments->section[1] ? arguments->section[1] : "right";
    rn_status status = read_end(a, plan, from, err);
    if (status == RN_OK)
        status = read_end(b, plan, to, err);
    if (status == RN_OK && hypot(b[0] - a[0], b[1] - a[1]) < 1e-3)
        return rn_fail(err, RN_E_USAGE, "'--section' wants two places apart; write for example --section left right");
    return status;
}

/* What goes with nothing that is drawn is a mistake. */
static rn_status check_company(const rn_arguments *a, rn_error *err)
{
    const bool faces = a->face || a->moments || a->animation || a->frames || a->layers;
    if (!isnan(a->peel) && !faces)
        return rn_fail(err, RN_E_USAGE, "'--peel' goes with a face; write for example --face face.png --peel 30");
    if (a->pixels && !faces)
        return rn_fail(err, RN_E_USAGE, "'--size' goes with a face; write for example --face face.png --size 1600");
    if (!isnan(a->at) && !a->face && !a->cut && !a->section[0] && !a->design && !a->layers)
        return rn_fail(err, RN_E_USAGE,
                       "'--at' goes with a face, a cut or a design; write for example --face face.png "
                       "--at 57s");
    if (!isnan(a->every) && !a->animation && !a->frames)
        return rn_fail(err, RN_E_USAGE,
                       "'--every' goes with an animation; write for example --animation pour.webp --every 1s");
    return RN_OK;
}

static bool asks_for_cells(const rn_arguments *a)
{
    return !isnan(a->cells_amount) || !isnan(a->cells_width) || !isnan(a->cells_at) || a->cells_seed;
}

/* The same for what tells how the layers are traced; a plan that expects something of its pattern has it traced too. */
static rn_status check_tracing(const rn_arguments *a, bool expected, rn_error *err)
{
    const bool faces = a->face || a->moments || a->animation || a->frames || a->layers;
    if (a->sheen && !faces)
        return rn_fail(err, RN_E_USAGE, "'--sheen' goes with a face; write for example --face face.png --sheen");
    if (asks_for_cells(a) && !faces) {
        const char *name = !isnan(a->cells_amount)  ? "cells"
                           : !isnan(a->cells_width) ? "cells-wide"
                           : !isnan(a->cells_at)    ? "cells-at"
                                                    : "cells-seed";
        return rn_fail(err, RN_E_USAGE,
                       "'--%s' goes with a face or the layers; write for example --face face.png "
                       "--cells 60",
                       name);
    }
    if (a->levels && !a->layers)
        return rn_fail(err, RN_E_USAGE, "'--levels' goes with the layers; write for example --layers --levels 16");
    if (!isnan(a->since) && !a->layers && !a->design && !expected)
        return rn_fail(err, RN_E_USAGE,
                       "'--since' goes with the layers or a design; write for example --layers "
                       "--since 40s");
    if (a->points && !faces && !a->design && !expected)
        return rn_fail(err, RN_E_USAGE,
                       "'--points' goes with a face, a design or the layers; write for example --layers --points 1024");
    return RN_OK;
}

/* Faces are pixels: they have no vector form. */
static rn_status check_png(const char *path, rn_error *err)
{
    const size_t length = path ? strlen(path) : 0;
    if (!path || strcmp(path, "-") == 0 || (length > 4 && strcasecmp(path + length - 4, ".png") == 0))
        return RN_OK;
    return rn_fail(err, RN_E_USAGE, "'%s': the name of a face or a sheet of moments ends in .png", path);
}

rn_status rn_gallery_check(const rn_arguments *arguments, const rn_plan *plan, rn_error *err)
{
    double a[2], b[2];
    rn_status status = check_company(arguments, err);
    if (status == RN_OK)
        status = check_tracing(arguments, rn_expects_pattern(plan), err);
    if (status == RN_OK)
        status = check_png(arguments->face, err);
    if (status == RN_OK)
        status = check_png(arguments->moments, err);
    if (status == RN_OK && (arguments->cut || arguments->section[0]))
        status = cut_ends(a, b, arguments, plan, err);
    if (status == RN_OK && arguments->animation)
        status = rn_animation_check_path(arguments->animation, err);
    const double end = isnan(arguments->until) ? plan->end : arguments->until;
    if (status == RN_OK && !isnan(arguments->at) && arguments->at > end)
        return rn_fail(err, RN_E_USAGE, "'--at': the session ends at %g s", end);
    if (status == RN_OK && !isnan(arguments->every) && end / arguments->every > FRAMES_MOST)
        return rn_fail(err, RN_E_USAGE, "'--every': that would be %.0f frames; %d can be drawn", end / arguments->every,
                       FRAMES_MOST);
    return status;
}

rn_pattern_options rn_gallery_pattern_options(const rn_arguments *arguments)
{
    rn_pattern_options options = rn_pattern_defaults();
    if (arguments->points)
        options.points = arguments->points;
    if (arguments->levels)
        options.levels = arguments->levels == 1 ? 0 : arguments->levels;
    if (!arguments->layers)
        options.levels = 0;
    options.since = arguments->since;
    if (!isnan(arguments->cells_amount))
        options.cells.amount = arguments->cells_amount;
    if (arguments->cells_seed)
        options.cells.seed = arguments->cells_seed;
    options.cells.moment = arguments->cells_at;
    options.cells.spacing = arguments->cells_width;
    return options;
}

static bool draws_cells(const rn_gallery *gallery)
{
    return asks_for_cells(gallery->arguments) && gallery->pattern && gallery->pattern->cells.count > 0;
}

bool rn_gallery_needs_pattern(const rn_arguments *arguments)
{
    return arguments->layers || arguments->design || asks_for_cells(arguments);
}

static rn_status paint_face(cairo_surface_t **image, const rn_gallery *gallery, const rn_still *still,
                            const rn_strata *strata, int pixels, rn_error *err)
{
    const rn_arguments *a = gallery->arguments;
    const rn_face face = {
        .plan = gallery->plan,
        .still = still,
        .strata = strata,
        .plane = strata->planes - 1,
        .peeled = isnan(a->peel) ? 0 : a->peel,
        .sheen = a->sheen,
        .margin = 0.06,
    };
    return rn_face_render(image, &face, pixels, gallery->team, err);
}

/* Traces the film of a still and renders it. */
static rn_status render(cairo_surface_t **image, const rn_gallery *gallery, const rn_still *still, int pixels,
                        int points, rn_error *err)
{
    rn_past past;
    rn_strata *strata = NULL;
    rn_past_init(&past, gallery->plan, rn_session_history(gallery->session));
    rn_strata_options options = rn_strata_defaults();
    options.levels = 1;
    options.points = points;
    options.peel = gallery->arguments->peel;
    if (draws_cells(gallery)) {
        options.nuclei = &gallery->pattern->cells.nuclei;
        options.opened = gallery->pattern->cells.opened;
    }
    rn_status status = rn_strata_trace(&strata, &past, still, options, gallery->team, err);
    if (status != RN_OK)
        return status;
    status = paint_face(image, gallery, still, strata, pixels, err);
    rn_strata_free(strata);
    return status;
}

/* Brings a chain up to the last interval that ends by `time`. */
static rn_status follow(rn_chain *chain, const rn_past *past, double time, rn_team *team, rn_error *err)
{
    const rn_history *history = past->layers.history;
    rn_status status = RN_OK;
    for (int k = 1; k <= rn_history_count(history) && status == RN_OK; k++) {
        const double end = rn_history_time(history, k),
                     next = k < rn_history_count(history) ? rn_history_time(history, k + 1) : INFINITY;
        if (end > time + 1e-6)
            break;
        if (end > rn_chain_time(chain) && (end >= rn_chain_time(chain) + CHAIN_STEP || next > time + 1e-6))
            status = rn_chain_advance(chain, &past->layers, end, team, err);
    }
    return status;
}

/* The same from a chain that follows the film, for one picture after another. */
static rn_status render_next(cairo_surface_t **image, const rn_gallery *gallery, rn_chain *chain, const rn_still *still,
                             int pixels, int points, rn_error *err)
{
    rn_past past;
    rn_strata *strata = NULL;
    rn_past_init(&past, gallery->plan, rn_session_history(gallery->session));
    rn_status status = follow(chain, &past, still->moment.time, gallery->team, err);
    if (status == RN_OK)
        status = rn_strata_find(&strata, &past, still, chain, points, gallery->team, err);
    if (status != RN_OK)
        return status;
    status = paint_face(image, gallery, still, strata, pixels, err);
    rn_strata_free(strata);
    return status;
}

static int face_points(const rn_arguments *arguments, int pixels)
{
    if (arguments->points)
        return arguments->points;
    return pixels <= 400 ? 384 : pixels <= 800 ? RN_STRATA_POINTS : pixels <= 1600 ? 768 : 1024;
}

rn_status rn_gallery_face(rn_gallery *gallery, const char *path, rn_error *err)
{
    const int pixels = gallery->arguments->pixels ? gallery->arguments->pixels : FACE_PIXELS;
    cairo_surface_t *image = NULL;
    rn_status status = render(&image, gallery, gallery->still, pixels, face_points(gallery->arguments, pixels), err);
    if (status != RN_OK)
        return status;
    status = rn_leaf_save(path, gallery->standard, image, err);
    cairo_surface_destroy(image);
    return status;
}

rn_status rn_gallery_cut(rn_gallery *gallery, const char *path, rn_error *err)
{
    double a[2], b[2];
    rn_past past;
    rn_cut cut;
    rn_status status = cut_ends(a, b, gallery->arguments, gallery->plan, err);
    if (status != RN_OK)
        return status;
    rn_past_init(&past, gallery->plan, rn_session_history(gallery->session));
    status = rn_cut_trace(&cut, &past, gallery->still, a, b, CUT_COLUMNS, CUT_ROWS, gallery->team, err);
    if (status != RN_OK)
        return status;
    const rn_section_view section = {
        .plan = gallery->plan,
        .time = gallery->still->moment.time,
        .ax = a[0],
        .ay = a[1],
        .bx = b[0],
        .by = b[1],
        .columns = cut.columns,
        .rows = cut.rows,
        .depth = cut.depth,
        .paint = cut.paint,
        .pour = cut.pour,
        .released = cut.released,
    };
    status = rn_section_write(path, gallery->standard, &section, rn_figure_defaults(), err);
    rn_cut_clear(&cut);
    return status;
}

/* The pour whose design is told: the one with most bands. */
static int main_pour(const rn_plan *plan)
{
    int found = 0, most = -1;
    for (int p = 0; p < plan->pour_count; p++) {
        const int bands = plan->pours[p].layer_count * plan->pours[p].repeat;
        if (bands > most) {
            most = bands;
            found = p;
        }
    }
    return found;
}

rn_status rn_gallery_design(rn_gallery *gallery, const char *path, rn_error *err)
{
    const rn_pattern *pattern = gallery->pattern;
    rn_design design = {
        .plan = gallery->plan,
        .time = pattern->time,
        .mud = pattern->mud,
        .stretch = &pattern->stretch,
        .stretched_since = pattern->since,
    };
    if (pattern->pour_count > 0) {
        const rn_pour_pattern *pour = &pattern->pours[main_pour(gallery->plan)];
        if (pour->rings.bearings[0].reach > 0) {
            design.rings = &pour->rings;
            design.spiral = &pour->spiral;
            design.circle_count = RN_PATTERN_CIRCLES;
            design.circles = pour->circles;
            design.drawn_at = pour->drawn;
        }
    }
    return rn_design_write(path, gallery->standard, &design, rn_figure_defaults(), err);
}

rn_status rn_gallery_moments(rn_gallery *gallery, const char *path, rn_error *err)
{
    const rn_arguments *a = gallery->arguments;
    rn_telling telling[RN_TELLING_MOST];
    rn_moments_sheet sheet = {.plan = gallery->plan};
    const int width = a->pixels ? a->pixels : SHEET_PIXELS,
              count = rn_telling_find(telling, gallery->plan, gallery->record);
    const int pixels = rn_moments_face_pixels(count, width);
    sheet.paint = rn_plan_poured_all(gallery->plan) + rn_plan_based_all(gallery->plan);
    rn_status status = RN_OK;
    rn_watch *watch = rn_watch_open(gallery->words, a->quiet);
    for (int k = 0; k < count && status == RN_OK; k++) {
        rn_still *still = NULL;
        if (!rn_watch_tell(watch, "drawing the moments", k, count))
            status = rn_fail(err, RN_E_STOPPED, "stopped by hand");
        if (status == RN_OK)
            status = rn_reel_still(&still, rn_session_reel(gallery->session), telling[k].time, err);
        if (status == RN_OK)
            status = render(&sheet.entries[k].face, gallery, still, pixels, face_points(a, pixels), err);
        if (status == RN_OK) {
            sheet.entries[k].telling = telling[k];
            sheet.entries[k].moment = still->moment;
            sheet.count++;
        }
        rn_still_free(still);
    }
    rn_watch_close(watch);
    if (status == RN_OK && sheet.count > 0)
        status = rn_moments_write(path, gallery->standard, &sheet, width, err);
    for (int k = 0; k < sheet.count; k++)
        cairo_surface_destroy(sheet.entries[k].face);
    return status;
}

/* chain: NULL where each frame is traced all the way back. */
static rn_status add_frame(rn_animation *animation, const rn_gallery *gallery, rn_chain *chain, double time,
                           double shown, int pixels, rn_error *err)
{
    rn_still *still = NULL;
    cairo_surface_t *image = NULL;
    const int points = face_points(gallery->arguments, 3 * pixels / 4);
    rn_status status = rn_reel_still(&still, rn_session_reel(gallery->session), time, err);
    if (status == RN_OK && chain)
        status = render_next(&image, gallery, chain, still, pixels, points, err);
    else if (status == RN_OK)
        status = render(&image, gallery, still, pixels, points, err);
    if (status == RN_OK)
        status = rn_animation_add(animation, image, shown, err);
    if (image)
        cairo_surface_destroy(image);
    rn_still_free(still);
    return status;
}

static rn_status new_chain(rn_chain **chain, const rn_gallery *gallery, int points, rn_error *err)
{
    const rn_grid *grid = rn_session_grid(gallery->session);
    const double longer = fmax(grid->nx * grid->dx, grid->ny * grid->dy);
    const float face = 1;
    return rn_chain_new(chain, grid, (int)fmax(2, round(points * grid->nx * grid->dx / longer)),
                        (int)fmax(2, round(points * grid->ny * grid->dy / longer)), &face, 1, err);
}

rn_status rn_gallery_animation(rn_gallery *gallery, const char *path, rn_error *err)
{
    const rn_arguments *a = gallery->arguments;
    const double end = gallery->record->end;
    const double every = isnan(a->every) ? fmax(end / FRAMES, 0.1) : a->every;
    const int pixels = a->pixels ? a->pixels : FILM_PIXELS, count = (int)floor(end / every + 1e-9) + 1;
    rn_animation *animation = NULL;
    rn_status status = a->animation && strcmp(path, a->animation) == 0
                           ? rn_animation_open(&animation, path, gallery->standard, rn_animation_defaults(), err)
                           : rn_animation_open_folder(&animation, path, err);
    if (status != RN_OK)
        return status;
    rn_chain *chain = NULL;
    if (isnan(a->peel) && !draws_cells(gallery)) /* these need the film at other depths */
        status = new_chain(&chain, gallery, face_points(a, 3 * pixels / 4), err);
    rn_watch *watch = rn_watch_open(gallery->words, a->quiet);
    int drawn = 0;
    for (; drawn < count && status == RN_OK; drawn++) {
        if (!rn_watch_tell(watch, "drawing the animation", drawn, count))
            status = rn_fail(err, RN_E_STOPPED, "stopped by hand");
        const bool last = drawn == count - 1;
        if (status == RN_OK)
            status = add_frame(animation, gallery, chain, last ? end : drawn * every, last ? LAST_TIME : FRAME_TIME,
                               pixels, err);
    }
    rn_chain_free(chain);
    rn_watch_close(watch);
    if (status == RN_OK)
        return rn_animation_close(animation, err);
    rn_animation_abandon(animation);
    return status;
}
