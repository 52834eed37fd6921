/* view_apply: what came in, sorted to the gesture it is. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "gesture.h"
#include "slip_edit.h"

#define KEYS_JOIN 1.5  /* keys that follow each other so quickly are undone as one [s] */
#define TICK_MOST 0.25 /* a window that slept does not jump [s] */

bool gesture_commit(rv_view *view, rn_plan *draft, const char *what, bool join)
{
    rn_error err = {0};
    const long before = document_version(view->doc);
    if (document_commit(view->doc, draft, what, join && view->joined, &err) != RN_OK) {
        slip_say_plainly(&err, NULL);
        view_say(view, true, "%s", err.message);
        return false;
    }
    if (document_version(view->doc) != before) {
        view->edited = view->now;
        view->joined = join;
    }
    return true;
}

static void point_at(rv_view *view, double x, double y)
{
    const rv_layout *at = &view->layout;
    view->pointing = true;
    view->pointer_x = x / at->scale;
    view->pointer_y = y / at->scale;
    view->hover = gesture_under(view, view->pointer_x, view->pointer_y);

    const rn_panel *panel = &document_plan(view->doc)->panel;
    layout_spot(&view->spot_x, &view->spot_y, at, view->pointer_x, view->pointer_y, view_turned(view));
    const double u = view->spot_x / (0.5 * panel->width), v = view->spot_y / (0.5 * panel->height);
    view->on_panel = view->page == PAGE_BENCH && view->cover == COVER_NONE && fabs(u) <= 1 && fabs(v) <= 1 &&
                     (!panel->round || hypot(u, v) <= 1);
}

static void leave(rv_view *view)
{
    view->pointing = view->on_panel = false;
    view->hover = (rv_part_at){0};
}

/* Whether a key chooses one of the answers that a cover offers. */
static bool answers(const rv_view *view, int code)
{
    if (view->cover == COVER_NONE)
        return false;
    if (code == KEY_ENTER || code == KEY_ESCAPE || code == KEY_F1)
        return true;
    return !view->typing.on && (code < KEY_ENTER || code == KEY_DELETE);
}

static void key(rv_view *view, int code, unsigned mods)
{
    if (view->now - view->keyed > KEYS_JOIN)
        view->joined = false;
    view->keyed = view->now;
    if (view->typing.on && gesture_typed_key(view, code, mods))
        return;
    if (view->cover != COVER_NONE) {
        gesture_cover_key(view, code, mods);
        return;
    }
    const bool open = view->typing.on;
    gesture_key(view, code, mods);
    if (!open && view->typing.on && code < KEY_ENTER)
        view->typing.opener = code;
}

/* Text for the field; a letter that opened it comes again as text, and is not meant for it. */
static void text(rv_view *view, const char *typed)
{
    rv_typing *typing = &view->typing;
    const bool again = typing->opener && typed[0] && !typed[1] && tolower((unsigned char)typed[0]) == typing->opener;
    typing->opener = 0;
    if (typing->on && !again)
        gesture_typed_text(view, typed);
}

static void wheel(rv_view *view, double notches, unsigned mods)
{
    if (view->cover != COVER_NONE) {
        gesture_scroll(view, -(int)lround(view->cover == COVER_MEND ? notches : 3 * notches));
        return;
    }
    gesture_wheel(view, notches, mods);
}

static void size(rv_view *view, const rv_input *input)
{
    view->width = input->width;
    view->height = input->height;
    view->ratio = input->ratio > 0 ? input->ratio : 1;
}

/* A plan that leaves nothing unsaved behind is opened at once. */
static void drop(rv_view *view, const char *path)
{
    if (!document_changed(view->doc)) {
        view_open(view, path);
        return;
    }
    rv_errand_slip open = {.what = ERRAND_OPEN};
    snprintf(open.path, sizeof open.path, "%s", path);
    gesture_depart(view, open);
}

/* Whatever a hand does wipes away what was said before. */
static bool speaks(rv_input_kind kind)
{
    return kind == INPUT_PRESS || kind == INPUT_MENU || kind == INPUT_WHEEL || kind == INPUT_KEY || kind == INPUT_DROP;
}

void view_apply(rv_view *view, const rv_input *input)
{
    const double since = fmin(fmax(input->now - view->now, 0), TICK_MOST);
    view->now = fmax(view->now, input->now);
    gesture_tick(view, since);
    if (speaks(input->kind))
        view->message[0] = '\0';
    switch (input->kind) {
    case INPUT_NONE:
    case INPUT_TICK: break;
    case INPUT_MOVE:
        point_at(view, input->x, input->y);
        gesture_drag(view, input->mods);
        break;
    case INPUT_PRESS:
        point_at(view, input->x, input->y);
        gesture_press(view, input->clicks, input->mods);
        break;
    case INPUT_LIFT:
        gesture_lift(view);
        if (input->touch)
            leave(view);
        break;
    case INPUT_MENU:
        point_at(view, input->x, input->y);
        gesture_press(view, 2, input->mods);
        gesture_lift(view);
        break;
    case INPUT_WHEEL: wheel(view, input->wheel, input->mods); break;
    case INPUT_KEY:
        if (!input->held || !answers(view, input->key)) /* what is asked is answered by a key pressed for it */
            key(view, input->key, input->mods);
        break;
    case INPUT_TEXT: text(view, input->text); break;
    case INPUT_DROP: drop(view, input->text); break;
    case INPUT_SIZE: size(view, input); break;
    case INPUT_LEAVE: leave(view); break;
    case INPUT_CLOSE: gesture_leave(view); break;
    }
    view->time = fmin(view->time, view_end(view)); /* what a hand did may have made the plan shorter */
}
