#include "mapping.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "axes.h"
#include "edit.h"
#include "keep.h"

#define FACE_SIZE 120.0 /* of a face along the row [units] */

/* Faces along the row, made one after the other by one studio. */
typedef struct row {
    rv_studio *studio;
    bool set;      /* the faces belong to: */
    rn_plan *plan; /* owned */
    bool upright, dark, sheen;
    int pixels;
    char axis[RN_DIAL_PATH];
    long token; /* of the plan that the studio works on now */
    int making; /* which face that is; -1: none */
    rv_studio_wish wish;
} row;

struct rv_mapping {
    rv_mapping_options options;
    rv_survey *survey;
    rv_map map;
    long version; /* of the window that is surveyed */
    long looked;  /* the plan's version when it was last looked at */
    char axes[2][RN_DIAL_PATH];
    row row;
};

rn_status mapping_new(rv_mapping **made, rv_mapping_options options, rn_error *err)
{
    rv_mapping *mapping = calloc(1, sizeof *mapping);
    if (!mapping)
        return rn_fail(err, RN_E_MEMORY, "no memory for a window of plans");
    mapping->options = options;
    if (options.columns <= 0 || options.columns > MAP_COLUMNS)
        mapping->options.columns = MAP_COLUMNS;
    if (options.rows <= 0 || options.rows > MAP_ROWS)
        mapping->options.rows = MAP_ROWS;
    if (options.cells <= 0)
        mapping->options.cells = MAP_CELLS;
    mapping->looked = -1;
    mapping->row.making = -1;
    *made = mapping;
    return RN_OK;
}

static void forget_faces(rv_mapping *mapping)
{
    for (int k = 0; k < MAP_FACES; k++) {
        if (mapping->map.faces[k].image)
            cairo_surface_destroy(mapping->map.faces[k].image);
        mapping->map.faces[k] = (rv_map_face){.value = NAN};
    }
    rn_plan_free(mapping->row.plan);
    mapping->row.plan = NULL;
    mapping->row.set = false;
    mapping->row.making = -1;
}

void mapping_free(rv_mapping *mapping)
{
    if (!mapping)
        return;
    survey_free(mapping->survey);
    studio_free(mapping->row.studio);
    forget_faces(mapping);
    rn_window_free(mapping->map.window);
    free(mapping);
}

/* ---- the window ---- */

static void drop_window(rv_mapping *mapping)
{
    rn_window_free(mapping->map.window);
    mapping->map.window = NULL;
    mapping->map.note_count = 0;
    mapping->map.complete = false;
    mapping->map.trouble[0] = '\0';
    if (mapping->survey)
        survey_set_window(mapping->survey, NULL, ++mapping->version, NULL);
}

/* The dials of the axes that the hand chose, or, where the plan has no such number any more, of the usual ones. */
static rn_status make_dials(rn_dial dials[2], const rv_map_hand *hand, const rn_plan *plan, rn_error *err)
{
    static const char *const usual[2] = {"consistency", "poured"};
    rn_error unused = {0};
    rn_status status = RN_OK;
    for (int k = 0; k < 2 && status == RN_OK; k++)
        if (!hand->axes[k][0] || axes_dial(&dials[k], plan, hand->axes[k], &unused) != RN_OK)
            status = axes_dial(&dials[k], plan, usual[k], err);
    if (status != RN_OK || strcmp(dials[0].path, dials[1].path) != 0)
        return status;
    for (int k = 0; k < 2; k++) { /* one fell back on the other */
        status = axes_dial(&dials[k], plan, usual[k], err);
        if (status != RN_OK)
            return status;
    }
    return RN_OK;
}

static void begin_window(rv_mapping *mapping, const rv_view *view, const rn_goal *goal)
{
    const rn_plan *plan = document_plan(view->doc);
    rv_map *map = &mapping->map;
    rn_dial dials[2];
    rn_error err = {0};
    drop_window(mapping);
    memcpy(mapping->axes, view->map_hand.axes, sizeof mapping->axes);
    map->goal = *goal;
    map->version = document_version(view->doc);
    if (!edit_pourable(plan))
        return;
    rn_window_options options = rn_window_defaults();
    options.columns = mapping->options.columns;
    options.rows = mapping->options.rows;
    options.cells = mapping->options.cells;
    options.pattern = rn_goal_needs_pattern(goal);
    rn_status status = make_dials(dials, &view->map_hand, plan, &err);
    if (status == RN_OK)
        status = rn_window_new(&map->window, plan, &dials[0], &dials[1], goal, &options, &err);
    if (status == RN_OK && !mapping->survey)
        status = survey_new(&mapping->survey, mapping->options.survey, &err);
    if (status == RN_OK)
        status = survey_set_window(mapping->survey, map->window, ++mapping->version, &err);
    if (status != RN_OK)
        snprintf(map->trouble, sizeof map->trouble, "%.*s", (int)sizeof map->trouble - 1, err.message);
}

static bool same_goal(const rn_goal *a, const rn_goal *b)
{
    if (a->count != b->count)
        return false;
    for (int k = 0; k < a->count; k++) {
        const rn_expect *p = &a->demands[k], *q = &b->demands[k];
        if (p->kind != q->kind || p->relation != q->relation || p->value != q->value || p->share != q->share ||
            p->one_side != q->one_side || p->side_x != q->side_x || p->side_y != q->side_y ||
            (p->relation == RN_ABOUT && p->tolerance != q->tolerance))
            return false;
    }
    return true;
}

/* Other demands of the same window: judged here at once, and over there for what is still to come. */
static void judge(rv_mapping *mapping, const rn_goal *goal)
{
    rn_error err = {0};
    mapping->map.goal = *goal;
    if (rn_window_judge(mapping->map.window, goal, &err) != RN_OK)
        return;
    mapping->map.complete = rn_window_to_come(mapping->map.window) == 0;
    survey_set_goal(mapping->survey, goal);
}

static void drop_answers(rv_mapping *mapping)
{
    if (mapping->survey)
        survey_cancel(mapping->survey);
    for (int k = 0; k < RV_QUESTIONS; k++)
        mapping->map.answers[k] = (rv_map_answer){.value = NAN, .left = NAN};
}

/* Holds the window against the plan as it is now; true if that changed anything. */
static bool look_at_plan(rv_mapping *mapping, const rv_view *view)
{
    rv_map *map = &mapping->map;
    const rn_plan *plan = document_plan(view->doc);
    const long version = document_version(view->doc);
    const bool other_axes = memcmp(mapping->axes, view->map_hand.axes, sizeof mapping->axes) != 0;
    if (version == mapping->looked && !other_axes)
        return false;
    const rn_goal goal = rn_goal_of_plan(plan);
    const bool other_goal = !same_goal(&goal, &map->goal);
    const bool holds = map->window && !other_axes && map_holds(map->window, plan);
    const bool pattern = map->window && rn_window_options_of(map->window).pattern;
    if (version != mapping->looked && mapping->looked >= 0)
        drop_answers(mapping);
    if (holds && (pattern || !rn_goal_needs_pattern(&goal))) {
        if (other_goal)
            judge(mapping, &goal);
    } else if (!view_settled(view) || view->drag.part != PART_NONE) {
        return false; /* while the hand holds it */
    } else {
        begin_window(mapping, view, &goal);
    }
    mapping->looked = map->version = version;
    return true;
}

/* ---- what was told ---- */

static void take_runs(rv_mapping *mapping, bool *news)
{
    rv_map *map = &mapping->map;
    rv_survey_run runs[16];
    for (int count; (count = survey_take_runs(runs, 16, mapping->survey)) > 0;)
        for (int k = 0; k < count; k++) {
            if (runs[k].version != mapping->version || !map->window || map->note_count >= MAP_NOTES_MOST)
                continue;
            rv_map_note *note = &map->notes[map->note_count++];
            map_nearest_tile(&note->column, &note->row, map->window, rn_window_along_x(map->window, runs[k].x),
                             rn_window_along_y(map->window, runs[k].y));
            note->outcome = runs[k].outcome;
            *news = true;
        }
}

static void take_tale(rv_mapping *mapping, bool *news)
{
    rv_map *map = &mapping->map;
    rv_survey_tale *tale = survey_take_tale(mapping->survey);
    rn_error err = {0};
    if (tale && tale->version == mapping->version && map->window) {
        rn_window_free(map->window);
        map->window = tale->window;
        tale->window = NULL;
        map->note_count = 0;
        map->complete = tale->complete;
        memcpy(map->trouble, tale->trouble, sizeof map->trouble);
        if (!same_goal(rn_window_goal(map->window), &map->goal)) { /* the hand was quicker */
            rn_window_judge(map->window, &map->goal, &err);
            map->complete = false;
        }
        *news = true;
    }
    survey_tale_free(tale);
}

static void take_answer(rv_mapping *mapping, bool *news)
{
    rv_survey_answer told;
    if (!survey_take_answer(&told, mapping->survey))
        return;
    rv_map_answer *answer = &mapping->map.answers[told.question];
    if (!answer->working) /* nobody wants to know any more */
        return;
    *news = true;
    if (told.working) {
        answer->runs = told.runs;
        answer->of = told.of;
        answer->left = told.left;
        return;
    }
    *answer = (rv_map_answer){.done = !told.stopped, .value = told.value, .left = NAN};
    memcpy(answer->text, told.text, sizeof answer->text);
}

void mapping_ask(rv_mapping *mapping, rv_view *view, rv_question question)
{
    rn_error err = {0};
    const rn_plan *plan = document_plan(view->doc);
    const rn_goal goal = rn_goal_of_plan(plan);
    if (!mapping->survey)
        return;
    drop_answers(mapping);
    if (survey_ask(mapping->survey, question, plan, &goal, &err) != RN_OK)
        view_say(view, true, "%s", err.message);
    else
        mapping->map.answers[question] = (rv_map_answer){.working = true, .value = NAN, .left = NAN};
}

void mapping_ask_not(rv_mapping *mapping)
{
    drop_answers(mapping);
}

/* ---- faces along the row ---- */

static bool row_fits(const row *r, const rv_view *view, const rv_map *map, int pixels)
{
    const rn_plan *plan = document_plan(view->doc);
    const rn_dial *dial = map->upright ? rn_window_y(map->window) : rn_window_x(map->window);
    return r->set && r->upright == view->map_hand.upright && r->dark == view->dark && r->sheen == view->sheen &&
           r->pixels == pixels && strcmp(r->axis, dial->path) == 0 && map_same_pour(r->plan, plan) &&
           !keep_recoloured(r->plan, plan);
}

/* Values evenly along the axis, this plan's own in place of the nearest. */
static void lay_row(rv_mapping *mapping, const rv_view *view, int pixels)
{
    rv_map *map = &mapping->map;
    row *r = &mapping->row;
    double along[2], here[2];
    const rn_plan *plan = document_plan(view->doc);
    forget_faces(mapping);
    map->upright = view->map_hand.upright;
    map_place(&along[0], &along[1], map->window, plan);
    map_values(&here[0], &here[1], map->window, plan);
    const int which = map->upright;
    const rn_window_options options = rn_window_options_of(map->window);
    const int last = (which ? options.rows : options.columns) - 1;
    const int own = (int)fmin(fmax(round(along[which] / last * (MAP_FACES - 1)), 0), MAP_FACES - 1);
    for (int k = 0; k < MAP_FACES; k++)
        map->faces[k] = (rv_map_face){.value = map_value(map->window, which, last * k / (MAP_FACES - 1))};
    map->faces[own] = (rv_map_face){.value = here[which], .own = true};
    const rn_dial *dial = which ? rn_window_y(map->window) : rn_window_x(map->window);
    *r = (row){.studio = r->studio,
               .token = r->token,
               .making = -1,
               .plan = rn_plan_copy(plan),
               .upright = map->upright,
               .dark = view->dark,
               .sheen = view->sheen,
               .pixels = pixels};
    snprintf(r->axis, sizeof r->axis, "%s", dial->path);
    r->set = r->plan != NULL;
}

/* The next one to make: this plan's own, then its neighbours; -1: none. */
static int next_face(const rv_map *map)
{
    int own = 0, best = -1;
    for (int k = 0; k < MAP_FACES; k++)
        if (map->faces[k].own)
            own = k;
    for (int k = 0; k < MAP_FACES; k++)
        if (!map->faces[k].done && !isnan(map->faces[k].value) && (best < 0 || abs(k - own) < abs(best - own)))
            best = k;
    return best;
}

static rn_status plan_of_face(rn_plan **plan, const rv_mapping *mapping, int which, rn_error *err)
{
    const rv_map *map = &mapping->map;
    double here[2];
    map_values(&here[0], &here[1], map->window, mapping->row.plan);
    if (!map->faces[which].own)
        here[map->upright] = map->faces[which].value;
    return map_turn(plan, map->window, mapping->row.plan, here[0], here[1], err);
}

static void begin_face(rv_mapping *mapping, const rv_view *view, int which)
{
    row *r = &mapping->row;
    rn_plan *plan = NULL;
    rn_error err = {0};
    rn_status status = plan_of_face(&plan, mapping, which, &err);
    if (status == RN_OK) {
        /* Drawn once it is worked out, not on the way. */
        r->wish = (rv_studio_wish){.time = plan->end, .horizon = INFINITY, .dark = view->dark, .sheen = view->sheen};
        status = studio_set_plan(r->studio, plan, ++r->token, &err);
    }
    rn_plan_free(plan);
    mapping->map.faces[which].done = status != RN_OK;
    r->making = status == RN_OK ? which : -1;
    if (status == RN_OK)
        studio_set_wish(r->studio, r->wish);
}

static void end_face(rv_mapping *mapping, cairo_surface_t *image, bool *news)
{
    rv_map_face *face = &mapping->map.faces[mapping->row.making];
    face->image = image ? cairo_surface_reference(image) : NULL;
    face->done = true;
    mapping->row.making = -1;
    *news = true;
}

static void take_face(rv_mapping *mapping, bool *news)
{
    row *r = &mapping->row;
    rv_studio_tale *tale = studio_take_tale(r->studio);
    rv_studio_picture *picture = studio_take_picture(r->studio);
    const bool told = r->making >= 0 && tale && tale->version == r->token;
    if (r->making >= 0 && picture && picture->version == r->token && picture->sharp && picture->image) {
        end_face(mapping, picture->image, news);
    } else if (told && tale->trouble[0]) {
        end_face(mapping, NULL, news);
    } else if (told && tale->traced >= r->wish.time - 1e-6) {
        r->wish.pixels = r->pixels;
        studio_set_wish(r->studio, r->wish);
    }
    studio_tale_free(tale);
    studio_picture_free(picture);
}

static void mind_row(rv_mapping *mapping, const rv_view *view, bool busy, bool *news)
{
    row *r = &mapping->row;
    rv_map *map = &mapping->map;
    rn_error err = {0};
    const int pixels = (int)fmin(ceil(FACE_SIZE * view->layout.scale), 480);
    if (r->studio)
        take_face(mapping, news);
    if (!map->window || map->version != document_version(view->doc))
        return;
    if (!row_fits(r, view, map, pixels)) {
        lay_row(mapping, view, pixels);
        *news = true;
    }
    if (busy || !r->set || r->making >= 0)
        return;
    const rv_studio_options options = {.cells = mapping->options.face_cells,
                                       .points = mapping->options.face_points,
                                       .threads = 1,
                                       .wake = mapping->options.survey.wake,
                                       .context = mapping->options.survey.context};
    const int next = next_face(map);
    if (next >= 0 && !r->studio && studio_new(&r->studio, options, &err) != RN_OK) {
        map->faces[next].done = true;
        return;
    }
    if (next >= 0)
        begin_face(mapping, view, next);
}

/* ---- once a frame ---- */

bool mapping_update(rv_mapping *mapping, rv_view *view, bool busy)
{
    const bool on_page = view->page == PAGE_WINDOW;
    const bool here = mapping->looked == document_version(view->doc);
    bool news = false;
    view->map = &mapping->map;
    if (on_page)
        news = look_at_plan(mapping, view);
    if (mapping->survey) {
        /* Goes on behind another page as long as nothing else is to be done. */
        survey_rest(mapping->survey, busy || (!on_page && !here));
        take_tale(mapping, &news);
        take_runs(mapping, &news);
        take_answer(mapping, &news);
    }
    if (on_page)
        mind_row(mapping, view, busy, &news);
    return news && on_page;
}

bool mapping_still(const rv_mapping *mapping, const rv_view *view)
{
    const rv_map *map = &mapping->map;
    if (mapping->looked != document_version(view->doc))
        return false;
    if (!map->window)
        return true;
    for (int k = 0; k < RV_QUESTIONS; k++)
        if (map->answers[k].working)
            return false;
    return (map->complete || map->trouble[0]) && mapping->row.set && next_face(map) < 0;
}
