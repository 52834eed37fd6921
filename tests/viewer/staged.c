#include "staged.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "run/judge.h"
#include "run/pattern.h"
#include "run/session.h"
#include "show/face.h"

#define PICTURE 480 /* [pixels] */

static void forget(rv_shown *shown)
{
    if (shown->tale)
        studio_tale_free(shown->tale);
    if (shown->picture)
        studio_picture_free(shown->picture);
    if (shown->core)
        studio_core_free(shown->core);
    if (shown->section)
        studio_section_free(shown->section);
    if (shown->pull)
        studio_pull_free(shown->pull);
    *shown = (rv_shown){0};
}

static bool take_picture(rv_shown *shown, const rn_plan *plan, const rn_past *past, const rv_view *view,
                         rv_studio_wish wish, const rn_reel *reel, int cells, rn_team *team)
{
    rn_error err = {0};
    rv_studio_picture *picture = calloc(1, sizeof *picture);
    if (!picture)
        return false;
    shown->picture = picture;
    rn_strata_options options = rn_strata_defaults();
    options.points = 192;
    options.levels = 1;
    if (wish.peel > 0)
        options.peel = wish.peel;
    if (rn_reel_still(&picture->still, reel, wish.time, &err) != RN_OK ||
        rn_strata_trace(&picture->face, past, picture->still, options, team, &err) != RN_OK)
        return false;
    const rn_face face = {.plan = plan,
                          .still = picture->still,
                          .strata = picture->face,
                          .plane = picture->face->planes - 1,
                          .peeled = wish.peel,
                          .dark = view->dark,
                          .sheen = view->sheen};
    picture->version = shown->version;
    picture->cells = cells;
    picture->wish = wish;
    picture->time = picture->still->moment.time;
    picture->sharp = true;
    return rn_face_render(&picture->image, &face, PICTURE, team, &err) == RN_OK;
}

static bool take_cuts(rv_shown *shown, const rn_past *past, const rv_view *view, rv_studio_wish wish,
                      const rn_still *still, rn_team *team)
{
    rn_error err = {0};
    rv_studio_core *core = calloc(1, sizeof *core);
    rv_studio_section *section = calloc(1, sizeof *section);
    shown->core = core;
    shown->section = section;
    if (!core || !section)
        return false;
    core->version = section->version = shown->version;
    core->wish = section->wish = wish;
    core->time = section->time = still->moment.time;
    const double x = view->on_panel ? view->spot_x : 0.02, y = view->on_panel ? view->spot_y : 0.03;
    core->wish.core = true;
    core->wish.core_x = x;
    core->wish.core_y = y;
    section->wish.section = true;
    return rn_cut_trace(&core->cut, past, still, (double[]){x - 1e-3, y}, (double[]){x + 1e-3, y}, 3, 24, team, &err) ==
               RN_OK &&
           rn_cut_trace(&section->cut, past, still, view->a, view->b, 160, 24, team, &err) == RN_OK;
}

/* ---- plans that were worked out already ---- */

/* Many a stage is set from the same file, and its film is the same. */
#define RUNS_MOST 8
typedef struct run {
    char path[DOCUMENT_PATH_SIZE];
    int cells;
    rn_plan *plan;
    rn_session *session;
} run;

static run runs[RUNS_MOST];

/* The session of that plan, the list's; path "": of a plan that no file holds, the caller's. NULL if it fails. */
static rn_session *session_of(const rn_plan *plan, const char *path, rn_session_options options)
{
    rn_error err = {0};
    rn_session *session = NULL;
    int k = 0;
    while (path[0] && k < RUNS_MOST && runs[k].session) {
        if (strcmp(runs[k].path, path) == 0 && runs[k].cells == options.cells)
            return runs[k].session;
        k++;
    }
    const bool keeps = path[0] && k < RUNS_MOST;
    rn_plan *own = keeps ? rn_plan_copy(plan) : NULL;
    if ((keeps && !own) || rn_session_new(&session, keeps ? own : plan, &options, &err) != RN_OK ||
        rn_session_run(session, NULL, NULL, &err) != RN_OK) {
        rn_session_free(session);
        rn_plan_free(own);
        return NULL;
    }
    if (keeps) {
        runs[k] = (run){.cells = options.cells, .plan = own, .session = session};
        snprintf(runs[k].path, sizeof runs[k].path, "%s", path);
    }
    return session;
}

static bool kept(const rn_session *session)
{
    for (int k = 0; k < RUNS_MOST; k++)
        if (runs[k].session == session)
            return true;
    return false;
}

static bool work_out(rv_shown *shown, int place, const rv_view *view, rv_studio_wish wish, int cells)
{
    rn_error err = {0};
    const rn_plan *plan = shown->plan;
    rn_session_options options = rn_session_defaults();
    const char *small = getenv("RUNNEL_TEST_GRID");
    options.cells = cells ? cells : small ? atoi(small) : 96;
    options.history = true;
    options.threads = 1;
    rn_team *team = NULL;
    rn_pattern *pattern = NULL;
    rn_still *still = NULL;
    rv_studio_tale *tale = shown->tale = calloc(1, sizeof *tale);
    const bool as_read = place == PLACE_BENCH && !document_changed(view->doc) && !document_undo_depth(view->doc);
    rn_session *session = session_of(plan, as_read ? document_path(view->doc) : "", options);
    bool good = tale && rn_team_new(&team, 1, &err) == RN_OK && session;
    rn_pattern_options pattern_options = rn_pattern_defaults();
    pattern_options.points = 256;
    pattern_options.levels = 0;
    if (good) {
        tale->version = shown->version;
        tale->cells = options.cells;
        tale->solved = tale->end = rn_session_end(session);
        tale->complete = true;
        wish.time = fmin(wish.time, tale->end);
        rn_past past;
        rn_past_init(&past, plan, rn_session_history(session));
        good = rn_session_record(&tale->record, session, &err) == RN_OK &&
               rn_session_forecast(&tale->forecast, session, &err) == RN_OK &&
               rn_reel_still(&still, rn_session_reel(session), wish.time, &err) == RN_OK &&
               take_picture(shown, plan, &past, view, wish, rn_session_reel(session), options.cells, team) &&
               take_cuts(shown, &past, view, wish, still, team) &&
               rn_pattern_work_out(&pattern, plan, session, still, pattern_options, team, &err) == RN_OK;
    }
    if (good && (shown->pull = calloc(1, sizeof *shown->pull))) {
        rn_judge_pattern(&tale->forecast, pattern);
        tale->twist = pattern->twist;
        shown->pull->version = shown->version;
        shown->pull->wish = wish;
        shown->pull->time = pattern->time;
        shown->pull->since = pattern->since;
        shown->pull->stretch = pattern->stretch;
        pattern->stretch = (rn_stretch){0}; /* its arrays are the pull's now */
    }
    rn_pattern_free(pattern);
    rn_still_free(still);
    if (session && !kept(session))
        rn_session_free(session);
    rn_team_free(team);
    return good && shown->pull;
}

bool staged_again(staged *stage, int place, int cells)
{
    rv_shown *shown = &stage->shown[place];
    forget(shown);
    shown->plan = view_plan(stage->view, place);
    shown->version = view_version(stage->view, place);
    const rv_studio_wish wish = view_wish(stage->view, place);
    const bool good = work_out(shown, place, stage->view, wish, cells);
    stage->view->solved = shown->tale ? shown->tale->solved : 0;
    return good;
}

bool staged_set(staged *stage, const char *path, double time, int cells)
{
    memset(stage, 0, sizeof *stage);
    stage->view = view_new();
    if (!stage->view)
        return false;
    view_open(stage->view, path);
    if (stage->view->cover != COVER_NONE)
        return false;
    stage->view->time = fmin(time, view_end(stage->view));
    return staged_again(stage, 0, cells);
}

void staged_clear(staged *stage)
{
    for (int k = 0; k < PLACE_COUNT; k++)
        forget(&stage->shown[k]);
    view_free(stage->view);
    stage->view = NULL;
}

bool staged_draw(staged *stage, int width, int height, double longer, rv_frame_check *check, const char *png)
{
    stage->view->width = width;
    stage->view->height = height;
    rv_frame_check own = {0};
    rv_frame_check *result = check ? check : &own;
    result->longer = longer;
    /* Where only what stands where is asked no pixel need be painted. */
    cairo_surface_t *surface = png ? cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)
                                   : cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    bool good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS &&
                canvas_frame(surface, stage->view, stage->shown, result);
    if (good && png)
        good = cairo_surface_write_to_png(surface, png) == CAIRO_STATUS_SUCCESS;
    cairo_surface_destroy(surface);
    return good;
}
