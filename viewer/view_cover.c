/* Choices: sheets, pages, what a cover asks, and the actions behind them. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "edit.h"
#include "filing.h"
#include "gesture.h"

#define LITTLE (10.0 / 13) /* of the usual volume */
#define MUCH (16.0 / 13)
#define COLUMN_VERSIONS 1000000000L /* the document's never come so far */

bool gesture_choose(rv_view *view, rv_part_at what, unsigned mods)
{
    if (view->page == PAGE_WINDOW && gesture_map_choose(view, what))
        return true;
    switch ((int)what.part) {
    case PART_SHEET: {
        const unsigned bit = 1u << what.a;
        if (mods & MOD_CTRL)
            view->sheets = view->sheets == bit ? bit : view->sheets ^ bit;
        else
            view->sheets = bit;
        return true;
    }
    case PART_PAGE:
        if (view->playing && view->rehearsal.on)
            gesture_hold(view);
        view->page = (rv_page)what.a;
        view->slip = (rv_slip){0};
        view->map_hand.list = 0;
        view->map_hand.keyed = false;
        view->typing.on = false;
        view->on_panel = false;
        return true;
    case PART_KEYS_WORD:
        view->cover = COVER_KEYS;
        view->cover_scroll = 0;
        return true;
    case PART_CAUTIONS_WORD:
        view->cover = COVER_CAUTIONS;
        view->cover_scroll = 0;
        return true;
    case PART_UNDO_WORD: gesture_undo(view, false); return true;
    case PART_START: /* below 0: a file of the painter's choice */
        gesture_depart(view, what.a < 0 ? (rv_errand_slip){.what = ERRAND_OPEN}
                                        : (rv_errand_slip){.what = ERRAND_START, .number = what.a});
        return true;
    case PART_COLUMN: view->column_focus = what.a; return true;
    case PART_COLUMN_TAKE: gesture_take_column(view, what.a); return true;
    case PART_TRIO: gesture_trio(view, mods & MOD_SHIFT); return true;
    case PART_SLIP_CLOSE: view->slip = (rv_slip){0}; return true;
    case PART_SLIP_ROW:
        view->slip.row = what.a;
        gesture_type(view, what);
        return true;
    case PART_SLIP_COLOUR: gesture_type(view, what); return true;
    case PART_SLIP: return true;
    default: return false;
    }
}

/* Indices that the plan no longer holds are let go after it has changed under them. */
static void mind_indices(rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    const int counts[] = {[SLIP_NONE] = 1,  [SLIP_JAR] = plan->paint_count, [SLIP_BASE] = 1,
                          [SLIP_PANEL] = 1, [SLIP_MOVE] = plan->move_count, [SLIP_POUR] = plan->pour_count,
                          [SLIP_PLAN] = 1};
    if (view->slip.index >= counts[view->slip.kind])
        view->slip = (rv_slip){0};
    const rv_part part = view->focus.part;
    if ((part == PART_JAR && view->focus.a >= plan->paint_count) ||
        (part == PART_MOVE && view->focus.a >= plan->move_count) ||
        ((part == PART_POURING || part == PART_BURST) && view->focus.a >= plan->pour_count))
        view->focus = (rv_part_at){0};
    view->typing.on = false;
}

void gesture_undo(rv_view *view, bool redo)
{
    if (view->rehearsal.on)
        gesture_hold(view);
    const char *what = redo ? document_redo_what(view->doc) : document_undo_what(view->doc);
    char words[128];
    snprintf(words, sizeof words, "%s", what ? what : "");
    if (redo ? document_redo(view->doc) : document_undo(view->doc))
        view_say(view, false, "%s: %s.", redo ? "Done again" : "Undone", words);
    else
        view_say(view, false, redo ? "Nothing to do again." : "Nothing to undo.");
    view->edited = NAN;
    mind_indices(view);
}

void gesture_depart(rv_view *view, rv_errand_slip errand)
{
    if (view->rehearsal.on)
        gesture_hold(view);
    if (!document_changed(view->doc)) {
        view->errand = errand;
        return;
    }
    view->then = errand;
    view->cover = COVER_LEAVE;
    view->cover_choice = 0;
}

void gesture_leave(rv_view *view)
{
    gesture_depart(view, (rv_errand_slip){.what = ERRAND_QUIT});
}

void gesture_save(rv_view *view, bool elsewhere)
{
    view->errand = (rv_errand_slip){.what = elsewhere || !document_path(view->doc)[0] ? ERRAND_SAVE_AS : ERRAND_SAVE};
}

/* whole: the next letter takes the place of all that stands in the field. */
static void open_field(rv_view *view, rv_errand what, bool whole)
{
    view->cover = COVER_PATH;
    view->cover_choice = (int)what;
    view->cover_scroll = 0;
    view->typing.on = true;
    view->typing.whole = whole;
    view->typing.what = (rv_part_at){PART_FIELD, (int)what, 0};
    view->typing.caret = (int)strlen(view->typing.text);
}

/* What stands in the field is said of the folder that is shown, where it lies in that. */
static void fill_field(rv_view *view, rv_errand what, const char *path)
{
    const size_t length = strlen(view->folder);
    const bool within = what != ERRAND_OPEN && length > 1 && strncmp(path, view->folder, length) == 0 &&
                        path[length] == '/' && path[length + 1];
    view->typing = (rv_typing){0};
    snprintf(view->typing.text, sizeof view->typing.text, "%s", within ? path + length + 1 : path);
}

void view_ask_path(rv_view *view, rv_errand what)
{
    char name[TYPING_SIZE];
    filing_folder(view->folder, view->doc);
    filing_propose(name, sizeof name, view->doc, what, view->folder);
    fill_field(view, what, what == ERRAND_OPEN ? document_path(view->doc) : name);
    open_field(view, what, true);
}

void view_ask_again(rv_view *view, rv_errand what, const char *path, const char *why)
{
    filing_folder(view->folder, view->doc);
    fill_field(view, what, path);
    snprintf(view->typing.trouble, sizeof view->typing.trouble, "%s", why);
    open_field(view, what, false);
}

/* asked: whatever has the name that stands in the field may be replaced. */
static void path_typed(rv_view *view, bool asked)
{
    const rv_errand what = (rv_errand)view->cover_choice;
    rv_typing *typing = &view->typing;
    char path[DOCUMENT_PATH_SIZE], why[FILING_WHY], typed[TYPING_SIZE];
    snprintf(typed, sizeof typed, "%s", typing->text);
    if (!filing_leads(path, why, view->doc, what, view->folder, typed)) {
        snprintf(typing->trouble, sizeof typing->trouble, "%s", why);
        open_field(view, what, false);
        return;
    }
    if (what != ERRAND_OPEN) /* as it will be called */
        fill_field(view, what, path);
    if (filing_replaces(view->doc, what, path) && !(asked && strcmp(typed, typing->text) == 0)) {
        typing->on = false;
        view->cover_choice = (int)what;
        view->cover = COVER_REPLACE;
        return;
    }
    view->errand = (rv_errand_slip){.what = what};
    snprintf(view->errand.path, sizeof view->errand.path, "%s", path);
    typing->on = false;
    view->cover = COVER_NONE;
}

void view_take_path(rv_view *view, rv_errand what, const char *path)
{
    filing_folder(view->folder, view->doc);
    fill_field(view, what, path);
    view->cover_choice = (int)what;
    path_typed(view, true);
}

static void open_mended(rv_view *view, bool all)
{
    rn_error err = {0};
    rn_plan *plan = NULL;
    if (mend_read(&plan, &view->mend, all, &err) != RN_OK) {
        view_say(view, true, "Not opened yet: %s", err.message);
        return;
    }
    document_put(view->doc, plan, view->mend.path, true);
    view_fresh(view);
    view_say(view, false, "Opened with what was mended. Ctrl+S keeps it.");
}

/* What cannot be mended here may have been put right elsewhere. */
static void look_again(rv_view *view)
{
    char path[DOCUMENT_PATH_SIZE];
    snprintf(path, sizeof path, "%s", view->mend.path);
    view_open(view, path);
}

void gesture_mend(rv_view *view, int line)
{
    if (line < 0 || line >= view->mend.count || !view->mend.lines[line].mendable)
        return;
    view->mend.lines[line].taken = !view->mend.lines[line].taken;
    for (int k = 0; k < view->mend.count; k++)
        if (!view->mend.lines[k].taken)
            return;
    if (!view->mend.more)
        open_mended(view, false);
}

/* A plan that was opened before, into the field. */
static void take_recent(rv_view *view, int which)
{
    if (view->cover_choice != ERRAND_OPEN || which < 0 || which >= view->recent_count)
        return;
    rv_typing *typing = &view->typing;
    if (strlen(view->recents[which]) >= sizeof typing->text)
        return;
    snprintf(typing->text, sizeof typing->text, "%.*s", TYPING_SIZE - 1, view->recents[which]);
    typing->caret = (int)strlen(typing->text);
    typing->whole = false;
    typing->trouble[0] = '\0';
    view->cover_scroll = which + 1;
}

void gesture_choice(rv_view *view, int choice)
{
    switch (view->cover) {
    case COVER_NONE: break;
    case COVER_KEYS:
    case COVER_CAUTIONS:
        view->cover = choice == 0 ? COVER_NONE : view->cover == COVER_KEYS ? COVER_CAUTIONS : COVER_KEYS;
        view->cover_scroll = 0;
        break;
    case COVER_MEND:
        if (choice == 0 && mend_whole(&view->mend))
            open_mended(view, true);
        else if (choice == 0)
            look_again(view);
        else if (choice == 1)
            view->cover = COVER_FILE;
        else
            view->cover = COVER_NONE;
        view->cover_scroll = 0;
        break;
    case COVER_FILE: view->cover = COVER_MEND; break;
    case COVER_LEAVE:
        view->cover = COVER_NONE;
        if (choice == 0) { /* what waits follows when it is saved */
            gesture_save(view, false);
            break;
        }
        if (choice == 1)
            view->errand = view->then;
        view->then = (rv_errand_slip){0};
        break;
    case COVER_PATH:
        if (choice == 0) {
            path_typed(view, false);
        } else if (choice == 1) {
            view->cover = COVER_NONE;
            view->typing.on = false;
            view->then = (rv_errand_slip){0};
        } else {
            take_recent(view, choice - 2);
        }
        break;
    case COVER_REPLACE:
        if (choice == 0)
            path_typed(view, true);
        else
            open_field(view, (rv_errand)view->cover_choice, true);
        break;
    case COVER_RECOVER:
        view->cover = COVER_NONE;
        if (choice == 1)
            view_say(view, false, "It is kept. Ctrl+R restores it, now or at another start.");
        else
            view->errand = (rv_errand_slip){.what = choice == 0 ? ERRAND_RECOVER : ERRAND_FORGET};
        break;
    }
}

void gesture_scroll(rv_view *view, int by)
{
    const int most = view->handles.scroll_most, to = view->cover_scroll + by;
    view->cover_scroll = to < 0 ? 0 : to > most ? most : to;
}

bool gesture_cover_key(rv_view *view, int key, unsigned mods)
{
    /* The choice that leaves all as it is. */
    static const int back[] = {
        [COVER_NONE] = 0, [COVER_KEYS] = 0,    [COVER_MEND] = 2,    [COVER_FILE] = 0,    [COVER_LEAVE] = 2,
        [COVER_PATH] = 1, [COVER_REPLACE] = 1, [COVER_RECOVER] = 1, [COVER_CAUTIONS] = 0};
    const bool alone = mods == 0; /* with another key held it means something else, on the page beneath */
    switch (key) {
    case KEY_ENTER: gesture_choice(view, 0); return true;
    case KEY_F1:
        if (view->cover == COVER_KEYS) { /* the next page */
            gesture_choice(view, 1);
            return true;
        }
        gesture_choice(view, back[view->cover]);
        return true;
    case KEY_ESCAPE: gesture_choice(view, back[view->cover]); return true;
    case KEY_DELETE:
        if (view->cover == COVER_RECOVER && alone)
            gesture_choice(view, 2);
        return true;
    case KEY_F1 + 3:
        if (view->cover == COVER_MEND)
            gesture_choice(view, 1);
        return true;
    case KEY_DOWN:
        if (view->cover == COVER_PATH)
            take_recent(view, view->cover_scroll);
        else
            gesture_scroll(view, 1);
        return true;
    case KEY_UP:
        if (view->cover == COVER_PATH)
            take_recent(view, view->cover_scroll - 2);
        else
            gesture_scroll(view, -1);
        return true;
    case KEY_PAGE_DOWN:
    case KEY_PAGE_UP: {
        const int page = view->handles.scroll_page > 0 ? view->handles.scroll_page : 10;
        gesture_scroll(view, key == KEY_PAGE_DOWN ? page : -page);
        return true;
    }
    case KEY_HOME: gesture_scroll(view, -view->cover_scroll); return true;
    case KEY_END: gesture_scroll(view, view->handles.scroll_most - view->cover_scroll); return true;
    default: break;
    }
    if (view->cover == COVER_MEND && key >= '1' && key <= '9')
        gesture_mend(view, key - '1');
    else if (view->cover == COVER_CAUTIONS && key == 'k')
        gesture_choice(view, 1);
    else if (view->cover == COVER_LEAVE && key == 's')
        gesture_choice(view, 0);
    else if (view->cover == COVER_LEAVE && key == 'd' && alone)
        gesture_choice(view, 1);
    return true;
}

/* ---- side by side ---- */

static bool set_column(rv_view *view, int column, double stiffer, double more, const char *label)
{
    rn_plan *plan = rn_plan_copy(document_plan(view->doc));
    if (!plan) {
        view_say(view, true, "No memory for another plan.");
        return false;
    }
    edit_scale_viscosity(plan, stiffer);
    edit_scale_poured(plan, more);
    rv_column *to = &view->columns[column];
    rn_plan_free(to->plan);
    *to = (rv_column){.plan = plan, .version = COLUMN_VERSIONS + ++view->column_versions};
    snprintf(to->label, sizeof to->label, "%s", label);
    return true;
}

void gesture_trio(rv_view *view, bool volumes)
{
    if (document_plan(view->doc)->pour_count == 0) {
        view_say(view, true, "Nothing is poured yet: there is nothing to set side by side.");
        return;
    }
    const bool made = volumes ? set_column(view, 0, 1, LITTLE, "little") && set_column(view, 1, 1, 1, "usual") &&
                                    set_column(view, 2, 1, MUCH, "much")
                              : set_column(view, 0, RN_THIN, 1, "thin") && set_column(view, 1, 1, 1, "usual") &&
                                    set_column(view, 2, RN_THICK, 1, "thick");
    if (!made)
        return;
    view->column_count = COLUMNS;
    view->column_focus = 1;
    view->page = PAGE_SIDE;
    view->slip = (rv_slip){0};
}

void gesture_copy_column(rv_view *view)
{
    if (view->column_count >= COLUMNS) {
        view_say(view, true, "Three plans are the most that stand side by side.");
        return;
    }
    if (!set_column(view, view->column_count, 1, 1, "copy"))
        return;
    view->column_focus = view->column_count++;
    view_say(view, false, "A copy stands beside the plan. F6 shows them; what you change now, only the bench's has.");
}

void gesture_drop_column(rv_view *view, int column)
{
    if (view->column_count < 2 || column < 0 || column >= view->column_count)
        return;
    rn_plan_free(view->columns[column].plan);
    memmove(&view->columns[column], &view->columns[column + 1],
            (size_t)(view->column_count - column - 1) * sizeof *view->columns);
    view->columns[--view->column_count] = (rv_column){0};
    if (view->column_count == 1) { /* the last is the bench's own */
        rn_plan_free(view->columns[0].plan);
        view->columns[0] = (rv_column){0};
    }
    view->column_focus = view->column_focus < view->column_count ? view->column_focus : view->column_count - 1;
}

void gesture_take_column(rv_view *view, int column)
{
    if (column < 0 || column >= view->column_count || !view->columns[column].plan) {
        view->page = PAGE_BENCH;
        return;
    }
    rn_plan *draft = rn_plan_copy(view->columns[column].plan);
    if (draft && gesture_commit(view, draft, "plan from side by side", false))
        view->page = PAGE_BENCH;
    view->edited = NAN;
    mind_indices(view);
}
