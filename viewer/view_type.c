/* Values that are typed. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/units.h"
#include "edit.h"
#include "gesture.h"
#include "limit.h"
#include "slip.h"
#include "slip_edit.h"

static void begin(rv_view *view, rv_part_at what, const char *text)
{
    view->typing = (rv_typing){.on = true, .what = what, .whole = true};
    snprintf(view->typing.text, sizeof view->typing.text, "%s", text);
    view->typing.caret = (int)strlen(view->typing.text);
}

void gesture_type(rv_view *view, rv_part_at what)
{
    const rn_plan *plan = document_plan(view->doc);
    char text[TYPING_SIZE] = "";
    switch ((int)what.part) {
    case PART_SLIP_ROW: slip_value(text, sizeof text, view, what.a); break;
    case PART_SLIP_COLOUR:
        if (what.a >= plan->paint_count)
            return;
        snprintf(text, sizeof text, "%02x%02x%02x", plan->paints[what.a].colour[0], plan->paints[what.a].colour[1],
                 plan->paints[what.a].colour[2]);
        break;
    case PART_LIMIT: limit_typed(text, sizeof text, plan, (rv_limit)what.a); break;
    case PART_TIME: rn_units_round(text, sizeof text, view->time, RN_DIM_TIME, NULL, 5); break;
    case PART_END: rn_units_round(text, sizeof text, plan->end, RN_DIM_TIME, NULL, 6); break;
    default: return;
    }
    begin(view, what, text);
}

/* ---- the field ---- */

static int back(const char *text, int at)
{
    do
        at--;
    while (at > 0 && ((unsigned char)text[at] & 0xC0) == 0x80);
    return at < 0 ? 0 : at;
}

static int forth(const char *text, int at)
{
    if (!text[at])
        return at;
    do
        at++;
    while (((unsigned char)text[at] & 0xC0) == 0x80);
    return at;
}

void gesture_typed_text(rv_view *view, const char *text)
{
    rv_typing *typing = &view->typing;
    if (typing->whole) {
        typing->text[0] = '\0';
        typing->caret = 0;
        typing->whole = false;
    }
    const size_t have = strlen(typing->text), more = strlen(text);
    if (have + more + 1 > sizeof typing->text)
        return;
    memmove(typing->text + typing->caret + more, typing->text + typing->caret, have - (size_t)typing->caret + 1);
    memcpy(typing->text + typing->caret, text, more);
    typing->caret += (int)more;
    typing->trouble[0] = '\0';
}

static void cut(rv_typing *typing, int from, int to)
{
    if (typing->whole) {
        from = 0;
        to = (int)strlen(typing->text);
    }
    memmove(typing->text + from, typing->text + to, strlen(typing->text + to) + 1);
    typing->caret = from;
    typing->whole = false;
    typing->trouble[0] = '\0';
}

/* ---- what was typed, put into the plan ---- */

static rn_status put(rv_view *view, rn_plan *draft, rn_error *err)
{
    const rv_typing *typing = &view->typing;
    char path[256] = "end";
    switch ((int)typing->what.part) {
    case PART_SLIP_ROW: return slip_put(draft, view, typing->what.a, typing->text, err);
    case PART_SLIP_COLOUR: snprintf(path, sizeof path, "paints.%s.colour", draft->paints[typing->what.a].name); break;
    case PART_END: break;
    case PART_LIMIT: return limit_put(draft, (rv_limit)typing->what.a, typing->text, err);
    default: return RN_OK;
    }
    const rn_status status = rn_plan_set(draft, path, typing->text, err);
    slip_say_plainly(err, path);
    return status;
}

static void accept(rv_view *view)
{
    rv_typing *typing = &view->typing;
    rn_error err = {0};
    if (typing->what.part == PART_TIME) {
        double time;
        if (rn_units_read(&time, NULL, typing->text, RN_DIM_TIME, 0, &err) == RN_OK) {
            view->time = fmin(fmax(time, 0), view_end(view));
            typing->on = false;
            return;
        }
    } else {
        rn_plan *draft = document_draft(view->doc);
        if (!draft) {
            snprintf(typing->trouble, sizeof typing->trouble, "No memory.");
            return;
        }
        char what[96];
        slip_what(what, sizeof what, view, typing->what);
        if (put(view, draft, &err) != RN_OK)
            rn_plan_free(draft);
        else if (document_commit(view->doc, draft, what, false, &err) == RN_OK) {
            typing->on = false;
            view->edited = NAN;
            return;
        }
    }
    slip_say_plainly(&err, NULL);
    snprintf(typing->trouble, sizeof typing->trouble, "%.*s", (int)sizeof typing->trouble - 1, err.message);
    typing->whole = true;
}

bool gesture_typed_key(rv_view *view, int key, unsigned mods)
{
    rv_typing *typing = &view->typing;
    const int length = (int)strlen(typing->text);
    switch (key) {
    case KEY_ENTER:
        if (typing->what.part == PART_FIELD)
            return false; /* the cover's first choice */
        accept(view);
        return true;
    case KEY_ESCAPE:
        if (typing->what.part == PART_FIELD)
            return false;
        typing->on = false;
        return true;
    case KEY_LEFT:
        typing->caret = typing->whole ? 0 : back(typing->text, typing->caret);
        typing->whole = false;
        return true;
    case KEY_RIGHT:
        typing->caret = typing->whole ? length : forth(typing->text, typing->caret);
        typing->whole = false;
        return true;
    case KEY_HOME:
        typing->caret = 0;
        typing->whole = false;
        return true;
    case KEY_END:
        typing->caret = length;
        typing->whole = false;
        return true;
    case KEY_BACKSPACE:
        if (typing->caret > 0 || typing->whole)
            cut(typing, back(typing->text, typing->caret), typing->caret);
        return true;
    case KEY_DELETE:
        if (typing->caret < length || typing->whole)
            cut(typing, typing->caret, forth(typing->text, typing->caret));
        return true;
    case KEY_UP:
    case KEY_DOWN:
    case KEY_TAB: {
        if (typing->what.part != PART_SLIP_ROW)
            return false;
        accept(view);
        if (typing->on)
            return true;
        slip_walk(view, key == KEY_UP || mods & MOD_SHIFT ? -1 : 1);
        return true;
    }
    case KEY_F1: return false;
    default:
        if (mods & MOD_CTRL && key == 'a') {
            typing->whole = true;
            return true;
        }
        if (mods & MOD_CTRL && key == 'z') /* back to what the plan says */
            typing->on = false;
        return !(mods & MOD_CTRL); /* letters come as text */
    }
}
