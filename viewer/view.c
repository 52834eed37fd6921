#include "view.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"

#define PAUSE 0.15 /* a hand that rests so long has settled [s] */

rv_view *view_new(void)
{
    rv_view *view = calloc(1, sizeof *view);
    if (!view || !(view->doc = document_new())) {
        free(view);
        return NULL;
    }
    view->width = 1280;
    view->height = 800;
    view->ratio = 1;
    view->dark = true;
    view->speed = 4;
    view->sheets = 1u << SHEET_FACE;
    view->peel = 0.25;
    view->edited = NAN;
    view->column_count = 1;
    view->rehearsal.tilt_move = view->rehearsal.turn_move = -1;
    view->layout = layout_make(view->width, view->height, view->ratio, &document_plan(view->doc)->panel, NULL);
    return view;
}

void view_free(rv_view *view)
{
    if (!view)
        return;
    for (int k = 0; k < COLUMNS; k++)
        rn_plan_free(view->columns[k].plan);
    mend_clear(&view->mend);
    document_free(view->doc);
    free(view);
}

void view_say(rv_view *view, bool bad, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    vsnprintf(view->message, sizeof view->message, format, list);
    va_end(list);
    view->message_bad = bad;
}

rv_errand_slip view_take_errand(rv_view *view)
{
    const rv_errand_slip errand = view->errand;
    view->errand = (rv_errand_slip){0};
    return errand;
}

/* A section right across the middle of the panel. */
static void lay_section(rv_view *view)
{
    const rn_panel *panel = &document_plan(view->doc)->panel;
    view->a[0] = -0.42 * panel->width;
    view->b[0] = 0.42 * panel->width;
    view->a[1] = view->b[1] = 0;
}

/* Words of the file that hold, but which the painter should know to mislead. */
static void say_old_words(rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    char text[300];
    if (plan->old_word_count > 0)
        view_say(view, true, "line %d: %s", plan->old_words[0].mark.line,
                 rn_consistency_old_text(text, sizeof text, plan->old_words[0].word));
}

void view_fresh(rv_view *view)
{
    view->time = 0;
    view->playing = false;
    view->solved = 0;
    view->edited = NAN;
    view->slip = (rv_slip){0};
    view->typing.on = false;
    view->drag = view->hover = view->focus = (rv_part_at){0};
    view->rehearsal = (rv_rehearsal){.tilt_move = -1, .turn_move = -1};
    view->page = PAGE_BENCH;
    view->cover = COVER_NONE;
    view->map_hand.list = 0;
    view->map_hand.keyed = false;
    for (int k = 0; k < COLUMNS; k++) {
        rn_plan_free(view->columns[k].plan);
        view->columns[k] = (rv_column){0};
    }
    view->column_count = 1;
    view->column_focus = 0;
    lay_section(view);
    say_old_words(view);
}

void view_open(rv_view *view, const char *path)
{
    rn_error err = {0};
    if (document_open(view->doc, path, &err) == RN_OK) {
        view_fresh(view);
        return;
    }
    mend_clear(&view->mend);
    if (!mend_look(&view->mend, path)) {
        view_say(view, true, "Not opened: no memory.");
        return;
    }
    view->cover = COVER_MEND;
    view->cover_choice = view->cover_scroll = 0;
}

const char *view_volume(char *text, int size, const rv_view *view, double volume)
{
    const double shown = volume / (view->ounces ? RN_FLUID_OUNCE : 1e-6);
    const int places = view->ounces ? (fabs(shown) < 10 ? 2 : 1) : (fabs(shown) < 0.95 && shown != 0 ? 1 : 0);
    snprintf(text, (size_t)size, "%.*f %s", places, shown, view->ounces ? "fl oz" : "ml");
    return text;
}

int view_column_place(const rv_view *view, int column)
{
    return view->columns[column].plan ? 1 + column : PLACE_BENCH;
}

const rn_plan *view_plan(const rv_view *view, int place)
{
    return place == PLACE_BENCH ? document_plan(view->doc) : view->columns[place - 1].plan;
}

long view_version(const rv_view *view, int place)
{
    return place == PLACE_BENCH ? document_version(view->doc) : view->columns[place - 1].version;
}

bool view_on_page(const rv_view *view, int place)
{
    if (view->page != PAGE_SIDE)
        return place == PLACE_BENCH;
    for (int k = 0; k < view->column_count; k++)
        if (view_column_place(view, k) == place)
            return true;
    return false;
}

static bool shows(const rv_view *view, rv_sheet sheet)
{
    return view->sheets >> sheet & 1u;
}

/* Size of the picture of the panel that is drawn now, along its longer side [pixels]. */
static int picture_size(const rv_view *view)
{
    const rv_layout *at = &view->layout;
    double size = fmax(at->panel.width, at->panel.height);
    if (view->page == PAGE_SIDE)
        size = fmin(size, at->width / (view->column_count > 2 ? 3.4 : 2.4));
    return (int)fmin(fmax(ceil(size * at->scale), 64), 1600);
}

rv_studio_wish view_wish(const rv_view *view, int place)
{
    const bool bench = view->page == PAGE_BENCH;
    rv_studio_wish wish = {
        .time = view->time,
        .horizon = INFINITY,
        .moving = view->playing || view->drag.part != PART_NONE,
        .pixels = view->page == PAGE_WINDOW ? 0 : picture_size(view),
        .dark = view->dark,
        .sheen = view->sheen,
        .peel = bench && shows(view, SHEET_PEEL) ? view->peel : 0,
        .stretch = bench && shows(view, SHEET_STRETCH),
        .core = bench && view->on_panel && !view->layout.compact,
        .core_x = view->spot_x,
        .core_y = view->spot_y,
        .section = bench && shows(view, SHEET_SECTION),
        .a = {view->a[0], view->a[1]},
        .b = {view->b[0], view->b[1]},
    };
    if (view->rehearsal.on && place == PLACE_BENCH)
        wish.horizon = view->rehearsal.beat;
    return wish;
}

bool view_settled(const rv_view *view)
{
    return isnan(view->edited) || view->now - view->edited >= PAUSE || view->rehearsal.on;
}

bool view_moves(const rv_view *view)
{
    return view->playing || !view_settled(view);
}

double view_turned(const rv_view *view)
{
    if (!view->room || view->page != PAGE_BENCH)
        return 0;
    const rn_plan *plan = document_plan(view->doc);
    return rn_motion_pose(plan->moves, plan->move_count, &plan->panel, view->time).turned;
}

void view_slope(double *tilt, double *downhill, const rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    const rn_pose pose = rn_motion_pose(plan->moves, plan->move_count, &plan->panel, view->time);
    *tilt = pose.tilt;
    *downhill = pose.downhill + view_turned(view);
    if (!view->rehearsal.on)
        return;
    const rv_hands *hands = &view->rehearsal.hands;
    *tilt = hands->tilt;
    *downhill = hands->toward - (hands->room ? pose.turned : 0) + view_turned(view);
}

double view_end(const rv_view *view)
{
    double end = 0;
    for (int place = 0; place < PLACE_COUNT; place++)
        if (view_on_page(view, place))
            end = fmax(end, view_plan(view, place)->end);
    return fmax(end, 1);
}
