/* Two or three plans side by side under one clock. */
#include "side.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"

#define THREE_FROM 1100.0 /* a narrower window shows two */
#define EDGES 46.0        /* beside a panel: its fringe, and the edge's word */

/* ---- where everything stands ---- */

void side_look(rv_side *side, const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rn_plan *plans[COLUMNS];
    memset(side, 0, sizeof *side);
    side->all = view->column_count < 1 ? 1 : view->column_count;
    for (int k = 0; k < side->all; k++) {
        rv_side_column *column = &side->every[k];
        const int place = view_column_place(view, k);
        const rv_shown *shown = &canvas->shown[place];
        const long version = view_version(view, place);
        plans[k] = column->plan = view_plan(view, place);
        column->index = k;
        column->letter[0] = (char)('A' + k);
        column->tale = shown->tale && shown->tale->version == version ? shown->tale : NULL;
        column->seen = shown->picture;
        column->picture = column->seen && column->seen->version == version ? column->seen : NULL;
        /* A plan that has ended stays as it was then. */
        const double time = fmin(view->time, column->plan->end);
        column->known = column->tale && canvas_moment(&column->moment, column->tale, time);
    }
    side->unlike = rn_plan_unlike(plans, side->all);
}

void side_place(rv_side *side, const rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const bool compact = at->compact;
    const int most = at->width < THREE_FROM ? 2 : 3, focus = canvas->view->column_focus;
    side->count = side->all < most ? side->all : most;
    int first = focus - side->count + 1 > 0 ? focus - side->count + 1 : 0;
    first = first > side->all - side->count ? side->all - side->count : first;
    side->gutter = compact ? 88 : 108;
    side->clock = at->height - (compact ? 118 : 146);
    side->step = compact ? 19 : 25;
    side->action = side->clock - (compact ? 9 : 13);
    side->rules = side->action - (compact ? 20 : 24) - 4 * side->step - 2;
    side->head = at->top.height;
    const double gap = compact ? 18 : 22, right = at->width - (compact ? 14 : 32);
    const int shared = side->count < 2 ? 2 : side->count; /* one alone does not spread over the whole page */
    const double width = fmin((right - side->gutter - gap * (shared - 1)) / shared, 520);
    const double top = side->head + (compact ? 70 : 80), foot = side->rules - (compact ? 54 : 78);
    for (int k = 0; k < side->count; k++) {
        rv_side_column *column = &side->columns[k];
        *column = side->every[first + k];
        column->box = (rn_box){side->gutter + k * (width + gap), side->head, width, side->action - side->head};
        const rn_panel *panel = &column->plan->panel;
        const double scale = fmin((width - 2 * EDGES) / panel->width, (foot - top) / panel->height);
        const double w = scale * panel->width, h = scale * panel->height;
        column->panel = (rn_box){column->box.x + 0.5 * (width - w), top + 0.5 * (foot - top - h), w, h};
    }
}

/* ---- the sentence ---- */

static void draw_sentence(rv_canvas *canvas, const rv_side *side)
{
    rv_phrase phrases[PHRASES_MOST];
    outcome_head(canvas, phrases, side_phrases(phrases, canvas, side));
}

/* ---- heads ---- */

static void draw_head(rv_canvas *canvas, const rv_side *side, const rv_side_column *column)
{
    const rv_view *view = canvas->view;
    const int k = column->index;
    const bool compact = canvas->at.compact, focus = view->column_focus == k && side->all > 1;
    const double y = side->head + (compact ? 20 : 25), rule = side->head + (compact ? 29 : 38);
    const double x = column->box.x, right = x + column->box.width;
    const rn_letters wide = {.size = compact ? 19 : 22, .lettering = RN_LETTERS_WIDE, .role = RN_ROLE_INK};
    const rn_box letter = rn_pen_text(&canvas->pen, x + 1, y, wide, column->letter);
    double from = letter.x + letter.width + 11;
    const char *label = view->columns[k].plan ? view->columns[k].label : "on the bench";
    const rn_unlike *unlike = &side->unlike;
    const char *strong = side->all > 1 && unlike->whole.values[k][0] ? unlike->whole.values[k] : label;
    const double room = right - 32 - from;
    const rn_letters bold = {.size = 14, .bold = true, .role = RN_ROLE_INK};
    if (canvas_words(canvas, from, y, bold, room, strong))
        from += fmin(rn_pen_measure(&canvas->pen, from, y, bold, strong).width, room) + 12;
    char note[128];
    snprintf(note, sizeof note, "%s%s%s", unlike->note[k], unlike->note[k][0] && strong != label ? ", " : "",
             strong != label ? label : "");
    const char *const notes[] = {note, unlike->note[k][0] ? unlike->note[k] : NULL, NULL};
    canvas_say(canvas, from, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, right - 30 - from, notes);
    const double viscosity = rn_plan_viscosity(column->plan);
    int order[RN_PAINTS_MOST];
    if (!isnan(viscosity) && edit_shelf_order(order, column->plan) > 0)
        canvas_thread(canvas, right - 14, side->head + (compact ? 2 : 6), 27, viscosity,
                      column->plan->paints[order[0]].colour);
    rn_pen_line(&canvas->pen, focus ? RN_ROLE_INK : RN_ROLE_LINE, focus ? 2.2 : 1.4, x, rule, right, rule);
}

/* What can be done here, in brass if it is for the hand to press. */
static void draw_actions(rv_canvas *canvas, const rv_side *side)
{
    const rv_layout *at = &canvas->at;
    const rv_view *view = canvas->view;
    const double y = side->action;
    const rn_letters brass = {.size = 12.5, .role = RN_ROLE_BRASS, .bold = true};
    const rn_letters quiet = {.size = 12.5, .role = RN_ROLE_INK2, .align = 1};
    const int focus = view->column_focus < side->all ? view->column_focus : 0;
    double left = side->columns[0].box.x + 8;
    char take[64], less[32];
    if (side->all > 1 && view->columns[focus].plan) {
        snprintf(take, sizeof take, "Enter puts %c on the bench", 'A' + focus);
        snprintf(less, sizeof less, "Enter takes %c", 'A' + focus);
        const char *const words[] = {take, less, NULL};
        if (canvas_say(canvas, left, y, brass, 0.4 * at->width, words)) {
            const double width = rn_pen_measure(&canvas->pen, 0, 0, brass, take).width;
            canvas_handle(canvas, PART_COLUMN_TAKE, focus, 0, (rn_box){left - 6, y - 18, width + 12, 25});
            left += width + 30;
        }
    }
    if (document_plan(view->doc)->paint_count > 0) {
        const char *const words[] = {"T: thin, usual, thick", "T: thin to thick", NULL};
        if (canvas_say(canvas, left, y, (rn_letters){.size = 12.5, .role = RN_ROLE_BRASS, .bold = side->all == 1},
                       0.35 * at->width, words)) {
            const double width = rn_pen_measure(&canvas->pen, 0, 0, brass, words[0]).width;
            canvas_handle(canvas, PART_TRIO, 0, 0, (rn_box){left - 6, y - 18, width + 12, 25});
            left += width + 24;
        }
    }
    const char *const three[] = {"← → from one to the next, Delete takes one away, Ctrl+D copies",
                                 "← → from one to the next, Delete takes one away", "← → from one to the next", NULL};
    const char *const one[] = {"Ctrl+D sets a copy beside it", "Ctrl+D copies it", NULL};
    canvas_say(canvas, at->width - at->margin, y, quiet, at->width - at->margin - left, side->all > 1 ? three : one);
}

/* A plan that stands alone: what would stand beside it. */
static void draw_place(rv_canvas *canvas, const rv_side *side)
{
    const rv_side_column *only = &side->columns[0];
    cairo_t *cr = canvas->pen.cr;
    const double gap = only->box.x + only->box.width + 22, right = canvas->at.width - 32;
    const double x = gap + 0.5 * (right - gap - only->panel.width);
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.2);
    cairo_set_dash(cr, (double[]){1.6, 4}, 2, 0);
    cairo_rectangle(cr, x, only->panel.y, only->panel.width, only->panel.height);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
    const double cx = x + 0.5 * only->panel.width, cy = only->panel.y + 0.5 * only->panel.height;
    const rn_letters bold = {.size = 14, .bold = true, .align = 0.5, .role = RN_ROLE_INK};
    const rn_letters plain = {.size = 13, .align = 0.5, .role = RN_ROLE_INK2};
    const double room = only->panel.width - 24;
    canvas_words(canvas, cx, cy - 26, bold, room, "a plan beside this one");
    canvas_words(canvas, cx, cy, plain, room, "T: a thinner and a thicker one");
    canvas_words(canvas, cx, cy + 20, plain, room, "Ctrl+D: a copy to change");
}

void side_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    rv_side side;
    side_look(&side, canvas);
    side_place(&side, canvas);
    draw_sentence(canvas, &side);
    for (int k = 0; k < side.count; k++)
        canvas_handle(canvas, PART_COLUMN, side.columns[k].index, 0, side.columns[k].box);
    const double y = side.columns[0].panel.y - 23, room = side.gutter - at->margin - 6;
    canvas_words(canvas, at->margin, y, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, room, "corners");
    canvas_words(canvas, at->margin, y + 17, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, room, "and edges");
    for (int k = 0; k < side.count; k++) {
        draw_head(canvas, &side, &side.columns[k]);
        side_face(canvas, &side, &side.columns[k]);
    }
    if (side.all == 1)
        draw_place(canvas, &side);
    side_rules(canvas, &side);
    side_clock(canvas, &side);
    draw_actions(canvas, &side);
}
