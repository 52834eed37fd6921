#include "work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "course.h"
#include "run/judge.h"
#include "run/pattern.h"
#include "show/face.h"

#define FACES 64.0     /* kept along a plan for quick pictures */
#define FACE_LEAST 1.0 /* no closer than that [s] */
#define PATTERN_POINTS 256
#define PULL_POINTS 256
#define CORE_WIDE 0.5e-3 /* to either side of the pointer [m] */
#define CORE_ROWS 32
#define SECTION_COLUMNS 180
#define SECTION_ROWS 28
#define TRACK_POINTS 256
#define MOVING 0.75    /* of the size, while time moves */
#define QUICK_WAY 12.0 /* a face that must be traced back further gets fewer points [s] */

struct rv_work {
    int cells, points, threads;
    rn_team *team;
    rn_plan *plan;
    long version;
    rv_course outline; /* without a history, which is many times quicker: the outcome comes first from it */
    rv_course traced;  /* with it; no session: nothing can be worked out */
    bool stuck;
    char trouble[320];
    rn_past past;
    rv_track *track;
    bool judged, has_pattern;
    double stretch, twist, turned; /* the last: twist with its sense */
};

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

rn_status work_new(rv_work **made, int cells, int points, int threads, rn_error *err)
{
    rv_work *work = calloc(1, sizeof *work);
    if (!work)
        return rn_fail(err, RN_E_MEMORY, "no memory to work out a plan");
    work->cells = cells;
    work->points = points;
    work->threads = threads;
    const rn_status status = rn_team_new(&work->team, threads, err);
    if (status != RN_OK) {
        work_free(work);
        return status;
    }
    *made = work;
    return RN_OK;
}

void work_free(rv_work *work)
{
    if (!work)
        return;
    course_clear(&work->outline);
    course_clear(&work->traced);
    track_free(work->track);
    rn_plan_free(work->plan);
    rn_team_free(work->team);
    free(work);
}

/* In words for the painter, with the reason beneath. */
static void stop(rv_work *work, const rn_error *err)
{
    work->stuck = true;
    if (err->status == RN_E_MEMORY)
        snprintf(work->trouble, sizeof work->trouble, "not enough memory for a grid of %d cells", work->cells);
    else
        snprintf(work->trouble, sizeof work->trouble, "%.*s", (int)sizeof work->trouble - 1, err->message);
}

/* Whether kept faces still mean the same: they tell paints and pours by their number. */
static bool faces_hold(const rn_plan *before, const rn_plan *plan, double kept)
{
    if (before->paint_count != plan->paint_count || before->pour_count != plan->pour_count)
        return false;
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_pour *a = &before->pours[p], *b = &plan->pours[p];
        if (fmin(a->start, b->start) >= kept)
            continue;
        if (a->layer_count != b->layer_count || a->repeat != b->repeat)
            return false;
        for (int k = 0; k < a->layer_count; k++)
            if (a->stack[k].paint != b->stack[k].paint || a->stack[k].volume != b->stack[k].volume)
                return false;
    }
    return true;
}

void work_take_plan(rv_work *work, rn_plan *plan, long version)
{
    rn_error err = {0};
    rn_session_options options = rn_session_defaults();
    options.cells = work->cells;
    options.threads = work->threads;
    const double agreed = work->plan && !work->stuck ? rn_plan_agree_until(work->plan, plan) : 0;
    double kept = 0, outlined;
    work->stuck = work->judged = work->has_pattern = false;
    work->trouble[0] = '\0';
    course_take(&work->outline, plan, agreed, &options, &outlined, &err); /* it is only quicker */
    options.history = true;
    rn_error why = {0};
    if (course_take(&work->traced, plan, agreed, &options, &kept, &why) != RN_OK)
        stop(work, &why);
    if (kept > 0 && work->track && faces_hold(work->plan, plan, kept)) {
        track_cut(work->track, kept);
    } else {
        track_free(work->track);
        work->track = NULL;
        const int points = work->points < TRACK_POINTS ? work->points : TRACK_POINTS;
        if (!work->stuck && track_new(&work->track, plan, points, &why) != RN_OK)
            stop(work, &why);
    }
    rn_plan_free(work->plan);
    work->plan = plan;
    work->version = version;
    if (!work->stuck)
        rn_past_init(&work->past, work->plan, rn_session_history(work->traced.session));
}

long work_version(const rv_work *work)
{
    return work->version;
}

bool work_begun(const rv_work *work)
{
    return work->traced.session && rn_session_reel(work->traced.session) &&
           rn_reel_count(rn_session_reel(work->traced.session)) > 0;
}

double work_solved(const rv_work *work)
{
    return work->traced.session ? rn_session_time(work->traced.session) : 0;
}

double work_end(const rv_work *work)
{
    return work->traced.session ? rn_session_end(work->traced.session) : work->plan ? work->plan->end : 0;
}

bool work_complete(const rv_work *work)
{
    return work->traced.session && rn_session_done(work->traced.session);
}

bool work_stuck(const rv_work *work)
{
    return work->stuck;
}

/* Whether the outline is still to be drawn; a rehearsal has none. */
static bool outlines(const rv_work *work, double horizon)
{
    return work->outline.session && !rn_session_done(work->outline.session) && isinf(horizon);
}

/* The session that knows most: the outline runs ahead. */
static const rn_session *foremost(const rv_work *work)
{
    const rn_session *outline = work->outline.session;
    const bool ahead = outline && !work->stuck && rn_session_done(outline);
    return ahead && !rn_session_done(work->traced.session) ? outline : work->traced.session;
}

bool work_outlined(const rv_work *work)
{
    return work->traced.session && foremost(work) == work->outline.session;
}

bool work_step(rv_work *work, double lasting, double horizon)
{
    if (!work->traced.session || work->stuck || rn_session_done(work->traced.session))
        return false;
    const double until = seconds() + lasting;
    rn_error err = {0};
    if (outlines(work, horizon)) {
        while (work->outline.session && !rn_session_done(work->outline.session) && seconds() < until)
            if (course_step(&work->outline, &err) != RN_OK)
                course_clear(&work->outline);
        return true;
    }
    bool stepped = false;
    while (!rn_session_done(work->traced.session) && rn_session_reach(work->traced.session) <= horizon) {
        if (course_step(&work->traced, &err) != RN_OK) {
            stop(work, &err);
            return true;
        }
        stepped = true;
        if (seconds() >= until)
            break;
    }
    return stepped;
}

rv_studio_tale *work_tell(const rv_work *work)
{
    rv_studio_tale *tale = calloc(1, sizeof *tale);
    if (!tale)
        return NULL;
    rn_error err = {0};
    tale->version = work->version;
    tale->cells = work->cells;
    tale->traced = work_solved(work);
    tale->end = work_end(work);
    tale->twist = NAN;
    snprintf(tale->trouble, sizeof tale->trouble, "%s", work->trouble);
    if (!work->traced.session)
        return tale;
    const rn_session *session = foremost(work);
    tale->solved = rn_session_time(session);
    tale->complete = rn_session_done(session);
    if (rn_session_record(&tale->record, session, &err) != RN_OK ||
        rn_session_forecast(&tale->forecast, session, &err) != RN_OK) {
        studio_tale_free(tale);
        return NULL;
    }
    if (work->has_pattern) {
        tale->forecast.has_pattern = true;
        tale->forecast.stretch = work->stretch;
        tale->forecast.twist = work->twist;
        tale->twist = work->turned;
    }
    return tale;
}

/* ---- pictures ---- */

static rn_still *still_at(const rv_work *work, double time)
{
    rn_still *still = NULL;
    rn_error err = {0};
    if (!work_begun(work))
        return NULL;
    const rn_reel *reel = rn_session_reel(work->traced.session);
    const double last = rn_reel_moment(reel, rn_reel_count(reel) - 1)->time;
    return rn_reel_still(&still, reel, fmin(fmax(time, 0), last), &err) == RN_OK ? still : NULL;
}

static rn_status find_face(rn_strata **face, rv_work *work, const rn_still *still, rv_studio_wish wish, bool sharp,
                           rn_error *err)
{
    if (!sharp && !(wish.peel > 0) && track_way(work->track, still->moment.time) <= QUICK_WAY)
        return track_face(face, work->track, &work->past, still, work->team, err);
    rn_strata_options options = rn_strata_defaults();
    options.levels = 1;
    options.points = sharp ? work->points : work->points / 3 > 64 ? work->points / 3 : 64;
    if (wish.peel > 0)
        options.peel = wish.peel;
    return rn_strata_trace(face, &work->past, still, options, work->team, err);
}

rv_studio_picture *work_picture(rv_work *work, rv_studio_wish wish, bool sharp)
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
    if (!picture->still || find_face(&picture->face, work, picture->still, wish, sharp, &err) != RN_OK) {
        studio_picture_free(picture);
        return NULL;
    }
    picture->time = picture->still->moment.time;
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

bool work_prepare(rv_work *work)
{
    if (!work->track)
        return false;
    const double spacing = fmax(work_end(work) / FACES, FACE_LEAST);
    return track_grow(work->track, &work->past, rn_session_reel(work->traced.session), spacing, work_solved(work),
                      work->team);
}
