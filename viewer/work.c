#include "work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/monotonic.h"

#define TRACK_POINTS 256
#define PREVIEW_CELLS 128 /* grids up to here are for a first look */

/* Steps of a first look at where paint goes. At 96 cells it moves 3 to 5 of 100 points of a face to a neighbouring band
   against steps eight times as fine, where 16 cells more or less move 7 to 12. */
#define PREVIEW_RIPPLES 4e-3

/* Points at which an outline follows layers that flow by laws of their own, along the longer side: at 96 cells a third of the
   time; run-off comes out some 4 % off where viscosities differ by 2.5 times, 12 % where by 4. */
#define OUTLINE_LAYERS 48

/* An outline is not worth its time where the session with the history has less than this share as much left to do. */
#define OUTLINE_WORTH 0.2

rn_session_options studio_session_options(int cells, int threads)
{
    rn_session_options options = rn_session_defaults();
    options.cells = cells;
    options.threads = threads;
    options.history = true;
    if (cells <= PREVIEW_CELLS)
        options.ripple_tolerance = PREVIEW_RIPPLES;
    return options;
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
    sharp_cut(&work->sharp, -1);
    rn_plan_free(work->plan);
    rn_team_free(work->team);
    free(work);
}

/* ---- a plan and the next ---- */

/* In words for the painter. */
static void stop(rv_work *work, rn_status status, const rn_error *err)
{
    work->stuck = true;
    if (status == RN_E_MEMORY)
        snprintf(work->trouble, sizeof work->trouble, "not enough memory for a grid of %d cells", work->cells);
    else if (status == RN_E_NUMERIC)
        snprintf(work->trouble, sizeof work->trouble, "film thinner than the grid can hold");
    else
        snprintf(work->trouble, sizeof work->trouble, "%.*s", (int)sizeof work->trouble - 1, err->message);
}

static bool same_stack(const rn_pour *a, const rn_pour *b)
{
    if (a->layer_count != b->layer_count || a->repeat != b->repeat)
        return false;
    for (int k = 0; k < a->layer_count; k++)
        if (a->stack[k].paint != b->stack[k].paint || a->stack[k].volume != b->stack[k].volume)
            return false;
    return true;
}

/* Whether the paint of a point is told alike by both until `kept` [s]: they may be the same pour, and of other paints. */
static bool same_paints(const rn_plan *a, const rn_plan *b, double kept)
{
    if (a->base_count != b->base_count)
        return false;
    for (int k = 0; k < a->base_count; k++)
        if (a->bases[k].paint != b->bases[k].paint)
            return false;
    for (int p = 0; p < a->pour_count && p < b->pour_count; p++)
        if (fmin(a->pours[p].start, b->pours[p].start) < kept && !same_stack(&a->pours[p], &b->pours[p]))
            return false;
    return true;
}

void work_take_plan(rv_work *work, rn_plan *plan, long version)
{
    rn_plan *before = work->plan;
    rn_error err = {0};
    rn_session_options options = studio_session_options(work->cells, work->threads);
    const double agreed = before && !work->stuck ? rn_plan_agree_until(before, plan) : 0;
    double kept = 0, unused;
    work->plan = plan;
    work->version = version;
    work->stuck = false;
    work->trouble[0] = '\0';
    const rn_status status = course_take(&work->traced, plan, agreed, &options, &kept, &err);
    options.history = false;
    options.ripple_tolerance = NAN;
    options.layer_points = OUTLINE_LAYERS;
    if (status != RN_OK || course_take(&work->outline, plan, agreed, &options, &unused, NULL) != RN_OK)
        course_clear(&work->outline); /* it is only quicker */
    const bool same = before && same_paints(before, plan, kept);
    sharp_cut(&work->sharp, same ? fmin(kept, agreed) : -1);
    if (work->track)
        track_cut(work->track, same ? fmin(kept, agreed) : -1);
    else
        work->track = track_new(work->points < TRACK_POINTS ? work->points : TRACK_POINTS);
    rn_plan_free(before);
    if (status != RN_OK)
        stop(work, status, &err);
    else
        rn_past_init(&work->past, plan, rn_session_history(work->traced.session));
    if (!same || !work_complete(work))
        work->judged = work->has_pattern = false;
}

/* ---- how far it has come ---- */

bool work_begun(const rv_work *work)
{
    return work->traced.session && rn_reel_count(rn_session_reel(work->traced.session)) > 0;
}

double work_solved(const rv_work *work)
{
    return work->traced.session ? rn_session_time(work->traced.session) : 0;
}

double work_end(const rv_work *work)
{
    return work->plan ? work->plan->end : 0;
}

bool work_complete(const rv_work *work)
{
    return work->traced.session && rn_session_done(work->traced.session);
}

/* The session that knows most: the outline runs ahead. */
static const rn_session *foremost(const rv_work *work)
{
    const rn_session *session = work->traced.session;
    if (!work->outline.session || rn_session_done(session))
        return session;
    const rn_session *outline = work->outline.session;
    return rn_session_time(outline) > rn_session_time(session) ? outline : session;
}

double work_told(const rv_work *work)
{
    return work->traced.session ? rn_session_time(foremost(work)) : 0;
}

bool work_outlined(const rv_work *work)
{
    return work->traced.session && rn_session_done(foremost(work));
}

long work_bytes(const rv_work *work)
{
    return (long)sizeof *work + course_bytes(&work->outline) + course_bytes(&work->traced) +
           (work->track ? track_bytes(work->track) : 0);
}

/* ---- stepping ---- */

/* Whether the outline comes first; a rehearsal has none. */
bool work_outlines(const rv_work *work, double horizon)
{
    if (!work->outline.session || horizon < work_end(work))
        return false;
    const rn_session *outline = work->outline.session;
    const double left = work_end(work) - rn_session_time(outline);
    return !rn_session_done(outline) && work_end(work) - work_solved(work) > OUTLINE_WORTH * left;
}

bool work_step(rv_work *work, double lasting, double horizon)
{
    if (!work->traced.session || work->stuck)
        return false;
    const double until = rn_monotonic_now() + lasting;
    rn_error err = {0};
    rn_status status = RN_OK;
    bool stepped = false;
    if (work_outlines(work, horizon)) {
        while (status == RN_OK && !rn_session_done(work->outline.session) && rn_monotonic_now() < until)
            status = course_step(&work->outline, &err);
        if (status != RN_OK) /* the finer steps of the other may get through */
            course_clear(&work->outline);
        return true;
    }
    const rn_session *session = work->traced.session;
    while (status == RN_OK && (!stepped || rn_monotonic_now() < until) && !rn_session_done(session) &&
           rn_session_reach(session) <= horizon) {
        status = course_step(&work->traced, &err);
        stepped = true;
    }
    if (status != RN_OK)
        stop(work, status, &err);
    return stepped;
}

/* ---- the tale ---- */

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
    tale->outline = session != work->traced.session;
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
