/* What is seen of a plan being worked out: faces, cuts, how far the face has been pulled. */
#include <math.h>
#include <stdlib.h>

#include "run/judge.h"
#include "run/pattern.h"
#include "show/face.h"
#include "trace.h"
#include "work.h"

#define FACES 64.0     /* kept along a plan for quick pictures */
#define FACE_LEAST 1.0 /* no closer than that [s] */
#define PATTERN_POINTS 256
#define PULL_POINTS 256
#define CORE_WIDE 0.5e-3 /* to either side of the pointer [m] */
#define CORE_ROWS 32
#define SECTION_COLUMNS 180
#define SECTION_ROWS 28
#define MOVING 0.75    /* of the size, while time moves */
#define QUICK_WAY 12.0 /* a face that must be traced back further gets fewer points [s] */
#define PIECE 4.0      /* of a sharp face's way back, before it looks up [s] */

/* ---- pictures ---- */

/* The film at a time, as near as it is known. */
static rn_still *still_at(const rv_work *work, double time)
{
    if (!work_begun(work))
        return NULL;
    rn_still *still = NULL;
    const rn_session *session = work->traced.session;
    const rn_reel *reel = rn_session_reel(session);
    const double last = rn_reel_moment(reel, rn_reel_count(reel) - 1)->time, now = rn_session_time(session);
    const rn_status status = now > last && time > 0.5 * (now + last)
                                 ? rn_session_still(&still, session, NULL)
                                 : rn_reel_still(&still, reel, fmin(fmax(time, 0), last), NULL);
    return status == RN_OK ? still : NULL;
}

/* Traced right back; NULL if it was asked to pause. */
static rn_status trace_sharply(rn_strata **face, const rv_work *work, const rn_still *still, double sigma,
                               rv_pause pause, rn_error *err)
{
    rv_trace trace;
    rn_status status = trace_begin(&trace, work->plan, still, work->points, sigma, err);
    if (status != RN_OK)
        return status;
    bool paused = false;
    while (status == RN_OK && trace.time > 0 && !paused) {
        status = trace_back(&trace, &work->past, trace.time - PIECE, work->team, err);
        paused = pause.asked(pause.context);
    }
    if (status != RN_OK || paused) {
        trace_end(&trace);
        return status;
    }
    for (long k = 0; k < trace.wet.count; k++)
        trace_take(&trace, &work->past, k);
    *face = trace_finish(&trace);
    return RN_OK;
}

/* From a kept face, or, of a plane within the film or where none is near, with fewer points. */
static rn_status find_quickly(rn_strata **face, const rv_work *work, const rn_still *still, double peel, rn_error *err)
{
    if (!(peel > 0) && work->track && track_way(work->track, still->moment.time) <= QUICK_WAY)
        return track_face(face, work->track, &work->past, still, work->team, err);
    rn_strata_options options = rn_strata_defaults();
    options.levels = 1;
    options.points = work->points / 4 > 96 ? work->points / 4 : 96;
    if (peel > 0)
        options.peel = peel;
    return rn_strata_trace(face, &work->past, still, options, work->team, err);
}

rv_studio_picture *work_picture(rv_work *work, rv_studio_wish wish, bool sharp, rv_pause pause)
{
    rv_studio_picture *picture = calloc(1, sizeof *picture);
    rn_error err = {0};
    if (!picture)
        return NULL;
    picture->version = work->version;
    picture->cells = work->cells;
    picture->wish = wish;
    picture->sharp = sharp;
    picture->still = still_at(work, wish.time);
    rn_status status = picture->still ? RN_OK : RN_E_MEMORY;
    if (status == RN_OK)
        picture->face = sharp_find(&work->sharp, work->plan, picture->still->moment.time, wish.peel);
    if (picture->face)
        sharp = picture->sharp = true;
    else if (status == RN_OK)
        status = sharp ? trace_sharply(&picture->face, work, picture->still, 1 - wish.peel, pause, &err)
                       : find_quickly(&picture->face, work, picture->still, wish.peel, &err);
    if (status != RN_OK || !picture->face) {
        studio_picture_free(picture);
        return NULL;
    }
    picture->time = picture->still->moment.time;
    if (sharp)
        sharp_keep(&work->sharp, work->plan, picture->face, wish.peel);
    if (wish.pixels <= 0)
        return picture;
    const int pixels = wish.moving && !sharp ? (int)ceil(MOVING * wish.pixels) : wish.pixels;
    const rn_face face = {.plan = work->plan,
                          .still = picture->still,
                          .strata = picture->face,
                          .plane = picture->face->planes - 1,
                          .peeled = wish.peel,
                          .dark = wish.dark,
                          .sheen = wish.sheen};
    if (rn_face_render(&picture->image, &face, pixels, work->team, &err) != RN_OK) {
        studio_picture_free(picture);
        return NULL;
    }
    return picture;
}

/* ---- cuts ---- */

rv_studio_core *work_core(rv_work *work, rv_studio_wish wish)
{
    rn_still *still = still_at(work, wish.time);
    rv_studio_core *core = still ? calloc(1, sizeof *core) : NULL;
    rn_error err = {0};
    if (core) {
        core->version = work->version;
        core->wish = wish;
        core->time = still->moment.time;
        const double a[2] = {wish.core_x - CORE_WIDE, wish.core_y}, b[2] = {wish.core_x + CORE_WIDE, wish.core_y};
        if (rn_cut_trace(&core->cut, &work->past, still, a, b, 3, CORE_ROWS, work->team, &err) != RN_OK) {
            free(core);
            core = NULL;
        }
    }
    rn_still_free(still);
    return core;
}

rv_studio_section *work_section(rv_work *work, rv_studio_wish wish)
{
    if (!(hypot(wish.b[0] - wish.a[0], wish.b[1] - wish.a[1]) > 1e-3))
        return NULL;
    rn_still *still = still_at(work, wish.time);
    rv_studio_section *section = still ? calloc(1, sizeof *section) : NULL;
    rn_error err = {0};
    if (section) {
        section->version = work->version;
        section->wish = wish;
        section->time = still->moment.time;
        const int columns = wish.moving ? SECTION_COLUMNS / 3 : SECTION_COLUMNS;
        const int rows = wish.moving ? SECTION_ROWS / 2 : SECTION_ROWS;
        if (rn_cut_trace(&section->cut, &work->past, still, wish.a, wish.b, columns, rows, work->team, &err) != RN_OK) {
            free(section);
            section = NULL;
        }
    }
    rn_still_free(still);
    return section;
}

/* ---- how far the face has been pulled ---- */

/* When the last release that has ended by then was over. */
static double pulled_since(const rn_plan *plan, double time)
{
    double since = 0;
    for (int p = 0; p < plan->pour_count; p++) {
        const double end = rn_pour_end(&plan->pours[p]);
        if (end <= time)
            since = fmax(since, end);
    }
    return fmin(since, time);
}

static bool measure_pull(rv_studio_pull *pull, rv_work *work, const rn_still *still, rn_error *err)
{
    const rn_panel *panel = &work->plan->panel;
    const double longer = fmax(panel->width, panel->height);
    const int nx = (int)fmax(2, round(PULL_POINTS * panel->width / longer));
    const int ny = (int)fmax(2, round(PULL_POINTS * panel->height / longer));
    const long count = (long)nx * ny;
    rn_tracers points = {0};
    bool *known = malloc((size_t)count * sizeof *known), *wet = malloc((size_t)count * sizeof *wet);
    bool good = known && wet && rn_tracers_init(&points, count, err) == RN_OK;
    for (long p = 0; good && p < count; p++) {
        const double u = ((double)(p % nx) + 0.5) / nx, v = ((double)(p / nx) + 0.5) / ny;
        const long cell = (long)(int)(v * still->grid.ny) * still->grid.nx + (int)(u * still->grid.nx);
        points.x[p] = (float)((u - 0.5) * panel->width);
        points.y[p] = (float)((v - 0.5) * panel->height);
        points.sigma[p] = 1;
        wet[p] = still->inside[cell] && still->depth[cell] > RN_STRATA_BARE;
        points.source[p] = wet[p] ? RN_FROM_NOWHERE : 0; /* bare ground need not be traced */
    }
    good = good && rn_layers_trace(&points, &work->past.layers, pull->time, pull->since, work->team, err) == RN_OK;
    for (long p = 0; good && p < count; p++)
        known[p] = wet[p] && points.source[p] == RN_FROM_NOWHERE;
    const rn_past_face past = {nx, ny, panel->width, panel->height, points.x, points.y, known};
    good = good && rn_stretch_measure(&pull->stretch, &past, wet, work->plan->limits.stretch, err) == RN_OK;
    free(known);
    free(wet);
    rn_tracers_clear(&points);
    return good;
}

rv_studio_pull *work_pull(rv_work *work, rv_studio_wish wish)
{
    rn_still *still = still_at(work, wish.time);
    rv_studio_pull *pull = still ? calloc(1, sizeof *pull) : NULL;
    rn_error err = {0};
    if (pull) {
        pull->version = work->version;
        pull->wish = wish;
        pull->time = still->moment.time;
        pull->since = pulled_since(work->plan, pull->time);
        if (!measure_pull(pull, work, still, &err)) {
            free(pull);
            pull = NULL;
        }
    }
    rn_still_free(still);
    return pull;
}

/* ---- when nothing is asked ---- */

bool work_judge(rv_work *work)
{
    if (work->judged || !work_complete(work) || work->plan->pour_count == 0)
        return false;
    work->judged = true;
    rn_still *still = still_at(work, work_end(work));
    rn_pattern *pattern = NULL;
    rn_pattern_options options = rn_pattern_defaults();
    options.points = PATTERN_POINTS;
    options.levels = 0;
    rn_error err = {0};
    rn_forecast forecast = {0};
    if (still &&
        rn_pattern_work_out(&pattern, work->plan, work->traced.session, still, options, work->team, &err) == RN_OK) {
        rn_judge_pattern(&forecast, pattern);
        work->has_pattern = forecast.has_pattern;
        work->stretch = forecast.stretch;
        work->twist = forecast.twist;
        work->turned = pattern->twist;
    }
    rn_pattern_free(pattern);
    rn_still_free(still);
    return work->has_pattern;
}

bool work_prepare(rv_work *work, double time)
{
    if (!work->track || !work_begun(work))
        return false;
    const double spacing = fmax(work_end(work) / FACES, FACE_LEAST), reaches = track_reaches(work->track);
    if (reaches + spacing > time)
        return false;
    return track_grow(work->track, &work->past, rn_session_reel(work->traced.session), spacing, work_solved(work),
                      work->team);
}
