/* Hands on the window of plans that work: a tile becomes the plan, a limit is moved, an axis becomes another. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "axes.h"
#include "gesture.h"
#include "works.h"

#define FAR 10 /* steps of an arrow with Shift */

static const rn_window *window_of(const rv_view *view)
{
    return view->map ? view->map->window : NULL;
}

/* The window is of the plan as it stands; an edit may have come since. */
static bool current(const rv_view *view)
{
    return window_of(view) && view->map->version == document_version(view->doc);
}

/* ---- another plan of the window ---- */

static void take_values(rv_view *view, double x, double y)
{
    rn_plan *turned = NULL;
    rn_error err = {0};
    char what[128], place[100];
    const rn_window *window = window_of(view);
    if (!current(view)) {
        view_say(view, false, "The window is not of this plan yet.");
        return;
    }
    if (map_turn(&turned, window, document_plan(view->doc), x, y, &err) != RN_OK) {
        view_say(view, true, "That makes no plan: %s", err.message);
        return;
    }
    works_say_place(place, sizeof place, window, x, y, view->ounces);
    snprintf(what, sizeof what, "a plan that was tried: %s", place);
    if (gesture_commit(view, turned, what, false))
        view->edited = NAN;
}

void gesture_take_tile(rv_view *view, int column, int row)
{
    const rn_window *window = window_of(view);
    if (!window)
        return;
    const rn_tile *tile = rn_window_tile(window, column, row);
    take_values(view, tile->x, tile->y);
}

void gesture_take_pointed(rv_view *view)
{
    int column, row;
    if (window_of(view) &&
        works_tile_at(&column, &row, &view->layout, window_of(view), view->pointer_x, view->pointer_y))
        gesture_take_tile(view, column, row);
}

static void take_face(rv_view *view, int which)
{
    double x, y;
    const rv_map *map = view->map;
    if (!window_of(view) || which < 0 || which >= MAP_FACES || map->faces[which].own || isnan(map->faces[which].value))
        return;
    map_values(&x, &y, map->window, document_plan(view->doc));
    if (map->upright)
        take_values(view, x, map->faces[which].value);
    else
        take_values(view, map->faces[which].value, y);
}

/* The volume that was found; on the window where it is one of its axes, so that the window stays. */
static void take_answer(rv_view *view, int question)
{
    if (!current(view) || isnan(view->map->answers[question].value))
        return;
    double x, y;
    rn_error err = {0};
    const rn_window *window = view->map->window;
    const double volume = view->map->answers[question].value;
    map_values(&x, &y, window, document_plan(view->doc));
    if (rn_dial_is_poured(rn_window_x(window))) {
        take_values(view, volume, y);
        return;
    }
    if (rn_dial_is_poured(rn_window_y(window))) {
        take_values(view, x, volume);
        return;
    }
    rn_dial dial;
    rn_plan *turned = NULL;
    if (rn_dial_make(&dial, document_plan(view->doc), "poured", NULL, NULL, &err) != RN_OK ||
        rn_dial_turn(&turned, &dial, document_plan(view->doc), volume, &err) != RN_OK)
        view_say(view, true, "That makes no plan: %s", err.message);
    else if (gesture_commit(view, turned, "paint poured", false))
        view->edited = NAN;
}

/* ---- axes ---- */

static int choices(rv_axis list[AXES_MOST], const rv_view *view)
{
    return window_of(view) ? axes_list(list, rn_window_plan(window_of(view))) : 0;
}

static void open_list(rv_view *view, int axis)
{
    rv_map_hand *hand = &view->map_hand;
    rv_axis list[AXES_MOST];
    const int count = choices(list, view);
    hand->list = hand->list == 1 + axis || count == 0 ? 0 : 1 + axis;
    view->slip = (rv_slip){0};
    if (hand->list == 0)
        return;
    const rn_dial *own = axis == 0 ? rn_window_x(view->map->window) : rn_window_y(view->map->window);
    hand->choice = 0;
    for (int k = 0; k < count; k++)
        if (strcmp(list[k].path, own->path) == 0)
            hand->choice = k;
}

static void set_axis(rv_view *view, int choice)
{
    rv_map_hand *hand = &view->map_hand;
    rv_axis list[AXES_MOST];
    const int count = choices(list, view), axis = hand->list - 1;
    hand->list = 0;
    if (axis < 0 || choice < 0 || choice >= count)
        return;
    const rn_dial *other = axis == 0 ? rn_window_y(view->map->window) : rn_window_x(view->map->window);
    const rn_dial *own = axis == 0 ? rn_window_x(view->map->window) : rn_window_y(view->map->window);
    if (strcmp(list[choice].path, other->path) == 0) /* they change places */
        snprintf(hand->axes[1 - axis], sizeof hand->axes[1 - axis], "%s", own->path);
    else
        snprintf(hand->axes[1 - axis], sizeof hand->axes[1 - axis], "%s", other->path);
    snprintf(hand->axes[axis], sizeof hand->axes[axis], "%s", list[choice].path);
    hand->keyed = false;
}

static bool list_key(rv_view *view, int key)
{
    rv_map_hand *hand = &view->map_hand;
    rv_axis list[AXES_MOST];
    const int count = choices(list, view);
    if (hand->list == 0 || count == 0)
        return false;
    switch (key) {
    case KEY_UP: hand->choice = (hand->choice + count - 1) % count; return true;
    case KEY_DOWN: hand->choice = (hand->choice + 1) % count; return true;
    case KEY_ENTER: set_axis(view, hand->choice); return true;
    case KEY_ESCAPE: hand->list = 0; return true;
    default: return false;
    }
}

/* ---- limits ---- */

static void commit_limit(rv_view *view, rv_limit limit, double value, bool join)
{
    rn_plan *draft = document_draft(view->doc);
    if (!draft)
        return;
    limit_set(draft, limit, value);
    gesture_commit(view, draft, limit_words(limit), join);
}

void gesture_drag_limit(rv_view *view)
{
    const rv_limit limit = (rv_limit)view->drag.a;
    const rn_box track = works_place(&view->layout).track[limit];
    const rv_limit_at at = limit_get(document_plan(view->doc), limit);
    commit_limit(view, limit, limit_value(&at, (view->pointer_x - track.x) / track.width), true);
}

bool gesture_nudge_limit(rv_view *view, double right, double up, unsigned mods)
{
    const rv_limit limit = (rv_limit)view->focus.a;
    const rv_limit_at at = limit_get(document_plan(view->doc), limit);
    if (right == 0) {
        gesture_walk(view, up > 0 ? -1 : 1, false);
        return true;
    }
    commit_limit(view, limit, at.value + right * at.step * (mods & MOD_SHIFT ? FAR : 1), true);
    return true;
}

/* ---- tiles by keys ---- */

/* Begins where this plan stands. */
static void hold_tile(rv_view *view)
{
    double along_x, along_y;
    rv_map_hand *hand = &view->map_hand;
    map_place(&along_x, &along_y, view->map->window, document_plan(view->doc));
    map_nearest_tile(&hand->column, &hand->row, view->map->window, along_x, along_y);
    hand->keyed = true;
}

static bool step_tile(rv_view *view, int right, int up)
{
    if (!window_of(view))
        return false;
    rv_map_hand *hand = &view->map_hand;
    if (!hand->keyed)
        hold_tile(view);
    map_nearest_tile(&hand->column, &hand->row, view->map->window, hand->column + right, hand->row + up);
    view->focus = (rv_part_at){PART_TILES, 0, 0};
    view->focus_seen = true;
    return true;
}

/* What the arrows and Enter go by: a limit, a face, or else the tiles. */
static bool on_tiles(const rv_view *view)
{
    const rv_part part = view->focus.part;
    return !view->focus_seen || part == PART_NONE || part == PART_TILES || part == PART_PIN || part == PART_PAGE ||
           part == PART_AXIS || part == PART_AXIS_CHOICE;
}

static bool enter(rv_view *view)
{
    const rv_part_at what = view->focus;
    if (view->map_hand.keyed && on_tiles(view) && what.part != PART_AXIS) {
        const rv_map_hand hand = view->map_hand;
        gesture_take_tile(view, hand.column, hand.row);
        return true;
    }
    if (what.part == PART_LIMIT)
        gesture_type(view, what);
    if (what.part == PART_LIMIT || what.part == PART_TILES || what.part == PART_PIN)
        return true;
    return gesture_choose(view, what, 0);
}

static bool asks(const rv_view *view)
{
    for (int k = 0; k < RV_QUESTIONS; k++)
        if (view->map && view->map->answers[k].working)
            return true;
    return false;
}

static void ask(rv_view *view, int question)
{
    if (view->map && view->map->answers[question].working)
        view->errand = (rv_errand_slip){.what = ERRAND_ASK_NOT};
    else if (current(view))
        view->errand = (rv_errand_slip){.what = ERRAND_ASK, .number = question};
}

static bool escape(rv_view *view)
{
    if (asks(view)) {
        view->errand = (rv_errand_slip){.what = ERRAND_ASK_NOT};
        return true;
    }
    const bool keyed = view->map_hand.keyed;
    view->map_hand.keyed = false;
    return keyed;
}

bool gesture_map_key(rv_view *view, int key, unsigned mods)
{
    if (mods & (MOD_CTRL | MOD_ALT) || view->slip.kind != SLIP_NONE)
        return false;
    if (list_key(view, key))
        return true;
    switch (key) {
    case KEY_LEFT: return on_tiles(view) && step_tile(view, mods & MOD_SHIFT ? -5 : -1, 0);
    case KEY_RIGHT: return on_tiles(view) && step_tile(view, mods & MOD_SHIFT ? 5 : 1, 0);
    case KEY_UP: return on_tiles(view) && step_tile(view, 0, mods & MOD_SHIFT ? 5 : 1);
    case KEY_DOWN: return on_tiles(view) && step_tile(view, 0, mods & MOD_SHIFT ? -5 : -1);
    case KEY_ENTER: return enter(view);
    case KEY_ESCAPE: return escape(view);
    case KEY_DELETE:
    case KEY_BACKSPACE:
        if (view->focus.part != PART_LIMIT)
            return false;
        commit_limit(view, (rv_limit)view->focus.a, NAN, false);
        return true;
    case 'x': open_list(view, 0); return true;
    case 'y': open_list(view, 1); return true;
    case 'f': view->map_hand.upright = !view->map_hand.upright; return true;
    case 'v': ask(view, RV_LEAST_VOLUME); return true;
    case 'o': ask(view, RV_ODDS); return true;
    default: return false;
    }
}

bool gesture_map_choose(rv_view *view, rv_part_at what)
{
    const bool open = view->map_hand.list != 0;
    switch ((int)what.part) {
    case PART_AXIS: open_list(view, what.a); return true;
    case PART_AXIS_CHOICE: set_axis(view, what.a); return true;
    case PART_FACE: take_face(view, what.a); return true;
    case PART_FACES: view->map_hand.upright = !view->map_hand.upright; return true;
    case PART_QUESTION: ask(view, what.a); return true;
    case PART_ANSWER: take_answer(view, what.a); return true;
    default: break;
    }
    view->map_hand.list = 0; /* a press elsewhere puts it away, and is no more than that on the tiles */
    return open && (what.part == PART_TILES || what.part == PART_PIN);
}
