/* The shelf: the jars in the order in which they come out, base coat and panel under them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"

#define ROW_REGULAR 60.0
#define ROW_COMPACT 52.0
#define ROW_LEAST 25.0
#define ROW_LOW 44.0  /* rows lower than this hold one line and no thread, */
#define LOW_SHIFT 9.0 /* and numbers of two digits */
#define PLACES 5      /* so many places a shelf shows at least */

static void jar_path(cairo_t *cr, rn_box jar)
{
    const double neck = 0.16 * jar.width, lip = 0.14 * jar.height, r = 3;
    const double x0 = jar.x, x1 = jar.x + jar.width, y0 = jar.y, y1 = jar.y + jar.height;
    cairo_new_path(cr);
    cairo_move_to(cr, x0 + neck, y0);
    cairo_line_to(cr, x0 + neck, y0 + 0.5 * lip);
    cairo_curve_to(cr, x0 + neck, y0 + lip, x0, y0 + lip, x0, y0 + 1.7 * lip);
    cairo_line_to(cr, x0, y1 - r);
    cairo_arc_negative(cr, x0 + r, y1 - r, r, RN_PI, 0.5 * RN_PI);
    cairo_arc_negative(cr, x1 - r, y1 - r, r, 0.5 * RN_PI, 0);
    cairo_line_to(cr, x1, y0 + 1.7 * lip);
    cairo_curve_to(cr, x1, y0 + lip, x1 - neck, y0 + lip, x1 - neck, y0 + 0.5 * lip);
    cairo_line_to(cr, x1 - neck, y0);
    cairo_close_path(cr);
}

/* A jar with paint up to a share of its height; rgb NULL: an empty place. */
static void draw_jar(rv_canvas *canvas, rn_box jar, const uint8_t *rgb, double share, bool dashed)
{
    cairo_t *cr = canvas->pen.cr;
    if (rgb) {
        const double inside = 0.86 * jar.height, high = inside * fmin(fmax(share, 0), 1);
        cairo_save(cr);
        jar_path(cr, jar);
        cairo_clip(cr);
        rn_pen_use_rgb(&canvas->pen, rgb);
        cairo_rectangle(cr, jar.x, jar.y + jar.height - high, jar.width, high);
        cairo_fill(cr);
        cairo_restore(cr);
    }
    jar_path(cr, jar);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, dashed ? 1.2 : 1.5);
    if (dashed)
        cairo_set_dash(cr, (double[]){3, 2.4}, 2, 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

static void draw_board(rv_canvas *canvas, double y)
{
    const rv_layout *at = &canvas->at;
    const double x0 = at->margin - 1, x1 = at->shelf.width - (at->compact ? 8 : 16);
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, x0, y, x1, y);
    rn_pen_line(&canvas->pen, RN_ROLE_HAIR, 1.4, x0, y + 2, x1, y + 2);
}

static bool hot(const rv_canvas *canvas, const rv_part *parts, int count, int index)
{
    const rv_view *view = canvas->view;
    const rv_part_at at[2] = {view->drag.part ? view->drag : view->hover, view->focus_seen ? view->focus : view->drag};
    for (int k = 0; k < 2; k++)
        for (int p = 0; p < count; p++)
            if (at[k].part == parts[p] && at[k].a == index)
                return true;
    return false;
}

static void jar_words(rv_canvas *canvas, const rn_paint *paint, double volume, double viscosity, double x, double y,
                      bool bold)
{
    char text[64];
    const double right = canvas->at.shelf.width - 40;
    rn_pen_text(&canvas->pen, x, y - 13,
                (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .bold = bold, .most = right - x}, paint->name);
    canvas_volume(canvas, text, sizeof text, volume);
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
    const rn_box box = rn_pen_text(&canvas->pen, x, y + 5, small, text);
    char like[64], figure[32];
    snprintf(like, sizeof like, "like %s", rn_consistency_word(viscosity)); /* not the thing itself in a jar of paint */
    snprintf(figure, sizeof figure, "%.2g Pa·s", viscosity);
    const char *const wordings[] = {like, figure, NULL};
    canvas_say(canvas, box.x + box.width + 10, y + 5, small, canvas->at.shelf.width - 18 - box.x - box.width - 10,
               wordings);
}

/* Under a heading that names the unit. */
static void volume_figure(const rv_canvas *canvas, char *text, int size, double volume)
{
    snprintf(text, (size_t)size, "%.*f", canvas->view->ounces ? 1 : 0, volume / canvas_volume_unit(canvas));
}

/* While a jar is being changed its value stands by the handle. */
static void drag_words(rv_canvas *canvas, double x, double y, int paint)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    char text[64];
    if (canvas_dragged(canvas, PART_JAR_LEVEL, paint, 0))
        canvas_volume(canvas, text, sizeof text, edit_jar_volume(plan, paint));
    else if (canvas_dragged(canvas, PART_JAR_THREAD, paint, 0))
        snprintf(text, sizeof text, "%.3g Pa·s", edit_jar_viscosity(plan, paint));
    else
        return;
    canvas_words(canvas, x, y, (rn_letters){.size = 12.5, .bold = true, .role = RN_ROLE_BRASS}, 90, text);
}

static double jar_height(double row)
{
    return row < ROW_LOW ? row - 7 : fmin(row - 18, 42);
}

/* Name and volume in one line, where rows are low. */
static void short_words(rv_canvas *canvas, const rn_paint *paint, double volume, double x, double y, bool bold)
{
    const rv_layout *at = &canvas->at;
    const double right = at->shelf.width - (at->compact ? 8 : 18);
    char text[64];
    if (at->compact)
        volume_figure(canvas, text, sizeof text, volume);
    else
        canvas_volume(canvas, text, sizeof text, volume);
    const rn_letters small = {.size = at->compact ? 12 : 12.5, .role = RN_ROLE_INK2, .align = 1};
    const rn_box box = rn_pen_text(&canvas->pen, right, y, small, text);
    if (!at->compact)
        rn_pen_text(&canvas->pen, x, y,
                    (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .bold = bold, .most = box.x - 8 - x}, paint->name);
}

static void draw_paint(rv_canvas *canvas, int paint, int number, double foot, double row, double fullest)
{
    static const rv_part own[] = {PART_JAR, PART_JAR_LEVEL, PART_JAR_THREAD};
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rn_paint *of = &plan->paints[paint];
    const double volume = edit_jar_volume(plan, paint), viscosity = edit_jar_viscosity(plan, paint);
    const double high = jar_height(row), wide = 0.76 * high;
    const bool low = row < ROW_LOW;
    const rn_box jar = {at->margin + (at->compact ? 10 : 20) + (low ? LOW_SHIFT : 0), foot - 1 - high, wide, high};
    const double share = fullest > 0 ? volume / fullest : 0, level = jar.y + jar.height - 0.86 * high * share;
    const bool bold = canvas->view->slip.kind == SLIP_JAR && canvas->view->slip.index == paint;
    const bool lively = hot(canvas, own, 3, paint);
    char text[48];
    draw_jar(canvas, jar, of->colour, share, false);
    snprintf(text, sizeof text, "%d", number);
    rn_pen_text(&canvas->pen, at->margin, foot - (low ? 6 : 8),
                (rn_letters){.size = 12.5, .bold = true, .role = RN_ROLE_INK}, text);
    const double thread_x = at->compact ? jar.x + wide + 13 : at->shelf.width - 28;
    const double thread_y = jar.y + (at->compact ? -1 : 0), thread = at->compact ? 0.5 * high : fmin(24, 0.62 * high);
    const double inset = low ? 3 : 6; /* from the board above */
    canvas_handle(canvas, PART_JAR, paint, 0,
                  (rn_box){at->margin - 4, foot - row + inset, at->shelf.width - at->margin - 8, row - inset});
    if (!low) {
        canvas_thread(canvas, thread_x, thread_y, thread, viscosity, of->colour);
        canvas_handle(canvas, PART_JAR_THREAD, paint, 0, (rn_box){thread_x - 12, thread_y - 6, 24, thread + 12});
    }
    const double reach = fmin(12, 0.5 * row);
    canvas_handle(canvas, PART_JAR_LEVEL, paint, 0, (rn_box){jar.x - 8, level - reach, 16, 2 * reach});
    if (low) {
        short_words(canvas, of, volume, jar.x + wide + 10, foot - 7, bold);
    } else if (at->compact) {
        volume_figure(canvas, text, sizeof text, volume);
        const bool four = strlen(text) > 3; /* digits: what is left of the column holds them if a little smaller */
        canvas_words(canvas, thread_x + (four ? 2.5 : 0), foot - 7,
                     (rn_letters){.size = four ? 11 : 12, .role = RN_ROLE_INK2, .align = 0.5}, 34, text);
    } else {
        jar_words(canvas, of, volume, viscosity, jar.x + wide + 9, foot - 8 + (row < 48 ? 0 : -3), bold);
    }
    if (lively) {
        canvas_knob(canvas, jar.x, level, 5, 0.5 * RN_PI, canvas_focused(canvas, PART_JAR, paint, 0));
        if (!low)
            canvas_knob(canvas, thread_x, thread_y + thread, 4.5, 0.5 * RN_PI, false);
        drag_words(canvas, at->shelf.width + 6, foot - 12, paint);
    }
    draw_board(canvas, foot);
}

static void draw_base(rv_canvas *canvas, double foot, double row)
{
    static const rv_part own[] = {PART_BASE, PART_BASE_LEVEL};
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const double high = fmin(row - 26, 28), wide = at->compact ? 32 : 46;
    const rn_box jar = {at->margin + (at->compact ? 0 : 9), foot - 1 - high, wide, high};
    char text[96], amount[48];
    const double based = rn_plan_based_all(plan);
    const double depth = edit_base_depth(plan);
    if (plan->base_count) {
        const rn_base *base = &plan->bases[0];
        draw_jar(canvas, jar, plan->paints[base->paint].colour, depth > 0 ? fmin(0.25 + depth / 1e-3 * 0.7, 0.95) : 0.4,
                 false);
        canvas_volume(canvas, amount, sizeof amount, based);
        static const char *const where[] = {[RN_BASE_ALL] = "all over",
                                            [RN_BASE_CORNERS] = "in the corners",
                                            [RN_BASE_DISC] = "a puddle",
                                            [RN_BASE_STRIP] = "a strip"};
        if (depth > 0)
            snprintf(text, sizeof text, "%.2f mm wet, %s", 1e3 * depth, plan->paints[base->paint].name);
        else
            snprintf(text, sizeof text, "%s %s", amount, plan->base_count > 1 ? "in places" : where[base->kind]);
    } else {
        draw_jar(canvas, jar, NULL, 0, true);
        snprintf(text, sizeof text, "none: dry panel");
    }
    if (!at->compact) {
        const double x = at->margin + 62;
        rn_pen_text(&canvas->pen, x, foot - 22,
                    (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .most = at->shelf.width - x - 16}, "Base coat");
        canvas_words(canvas, x, foot - 5, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, at->shelf.width - x - 14,
                     text);
    }
    const rn_box target = at->compact
                              ? (rn_box){at->margin - 4, foot - high - 5, wide + 6, high + 5}
                              : (rn_box){at->margin - 4, foot - row + 8, at->shelf.width - at->margin - 8, row - 8};
    canvas_handle(canvas, PART_BASE, 0, 0, target);
    if (canvas_focused(canvas, PART_BASE, 0, 0))
        canvas_focus(canvas, jar);
    if (hot(canvas, own, 2, 0) && (depth > 0 || !plan->base_count)) {
        const double level = jar.y + 0.4 * jar.height;
        canvas_knob(canvas, jar.x, level, 5, 0.5 * RN_PI, false);
        canvas_grip(canvas, PART_BASE_LEVEL, 0, 0, jar.x, level);
    }
    draw_board(canvas, foot);
}

static void draw_panel(rv_canvas *canvas, double foot, double row)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const rn_panel *panel = &document_plan(canvas->view->doc)->panel;
    const double most = fmin(row - 20, at->compact ? 16 : 38), longer = fmax(panel->width, panel->height);
    const double wide = most * panel->width / longer, high = most * panel->height / longer;
    const double x = at->compact ? at->margin + 44 : at->margin + 14 + 0.5 * (38 - wide);
    const rn_box board = {x, foot - 1 - high, wide, high};
    cairo_new_path(cr);
    if (panel->round)
        cairo_arc(cr, x + 0.5 * wide, foot - 1 - 0.5 * high, 0.5 * wide, 0, 2 * RN_PI);
    else
        cairo_rectangle(cr, board.x, board.y, board.width, board.height);
    rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
    if (!at->compact) {
        char text[96];
        const double left = at->margin + 62;
        snprintf(text, sizeof text, "Panel, %s%s", panel->ground == RN_GROUND_SEALED ? "sealed" : "primed",
                 panel->edges == RN_EDGE_WRAPPED ? ", wrapped" : "");
        canvas_words(canvas, left, foot - 22, (rn_letters){.size = 13.5, .role = RN_ROLE_INK},
                     at->shelf.width - left - 12, text);
        if (panel->round)
            snprintf(text, sizeof text, "round, %.0f mm across", 1e3 * panel->width);
        else
            snprintf(text, sizeof text, "%.0f × %.0f mm", 1e3 * panel->width, 1e3 * panel->height);
        canvas_words(canvas, left, foot - 5, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2},
                     at->shelf.width - left - 12, text);
        draw_board(canvas, foot);
    }
    canvas_handle(canvas, PART_BOARD, 0, 0,
                  at->compact ? (rn_box){x - 5, foot - 25, 28, 25}
                              : (rn_box){at->margin - 4, foot - row + 8, at->shelf.width - at->margin - 8, row - 8});
    if (canvas_focused(canvas, PART_BOARD, 0, 0))
        canvas_focus(canvas, board);
}

static void draw_footer(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const double volume = rn_plan_poured_all(plan) + rn_plan_based_all(plan);
    char amount[48], text[128];
    if (at->compact || volume <= 0)
        return;
    const double y = at->clock.y - 30, room = at->shelf.width - at->margin - 12;
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2};
    canvas_volume(canvas, amount, sizeof amount, volume);
    snprintf(text, sizeof text, "%s of paint on the shelf,", amount);
    canvas_words(canvas, at->margin, y, letters, room, text);
    snprintf(text, sizeof text, "%.1f mm deep if none ran off", 1e3 * volume / rn_panel_area(&plan->panel));
    canvas_words(canvas, at->margin, y + 17, letters, room, text);
}

void shelf_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    int order[RN_PAINTS_MOST];
    const int count = edit_shelf_order(order, plan);
    const double head = at->compact ? 72 - 56 : 14, top = at->shelf.y + head;
    const rn_letters small = {.size = 11.5, .role = RN_ROLE_INK, .lettering = RN_LETTERS_HEAD};
    rn_letters right = small;
    right.align = 1;
    const double edge = at->shelf.width - (at->compact ? 10 : 16);
    const rn_box box = rn_pen_measure(&canvas->pen, at->margin, top, small, "shelf");
    rn_pen_text(&canvas->pen, at->margin, top, small, "shelf");
    canvas_words(canvas, edge, top, right, edge - box.x - box.width - 10,
                 at->compact ? (canvas->view->ounces ? "oz" : "ml") : "first out on top");

    const double foot_room = at->compact ? 64 : 2 * ROW_REGULAR + 44; /* base coat, panel, footer */
    const int places = count < PLACES ? PLACES : count;
    const double room = at->clock.y - foot_room - top - 8;
    const double row = fmin(at->compact ? ROW_COMPACT : ROW_REGULAR, fmax(room / places, ROW_LEAST));
    const int fitting = (int)fmax(floor(room / row), 1);
    double fullest = 100e-6;
    for (int k = 0; k < count; k++)
        fullest = fmax(fullest, edit_jar_volume(plan, order[k]));
    /* Where not all fit, those round the one with the focus do. */
    int first = 0;
    for (int k = 0; k < count; k++)
        if (canvas->view->focus.part == PART_JAR && canvas->view->focus.a == order[k] && k >= fitting)
            first = k - fitting + 1;
    double foot = top + 6;
    for (int k = first; k < places && k < first + fitting; k++) {
        foot += row;
        if (k < count) {
            draw_paint(canvas, order[k], k + 1, foot, row, fullest);
            continue;
        }
        const double high = jar_height(row), shift = row < ROW_LOW ? LOW_SHIFT : 0;
        const rn_box jar = {at->margin + (at->compact ? 10 : 20) + shift, foot - 1 - high, 0.76 * high, high};
        draw_jar(canvas, jar, NULL, 0, true);
        canvas_handle(canvas, PART_JAR_PLACE, k, 0,
                      (rn_box){at->margin - 4, foot - row + 6, at->shelf.width - at->margin - 8, row - 6});
        draw_board(canvas, foot);
    }
    if (at->compact) {
        const double y = at->clock.y - 40;
        draw_base(canvas, y, 46);
        draw_panel(canvas, y, 46);
        canvas_words(canvas, at->margin - 2, y + 17,
                     (rn_letters){.size = 11.5, .role = RN_ROLE_INK2, .lettering = RN_LETTERS_HEAD},
                     at->shelf.width - at->margin, "base, panel");
        return;
    }
    draw_base(canvas, foot + ROW_REGULAR, ROW_REGULAR);
    draw_panel(canvas, foot + 2 * ROW_REGULAR - 2, ROW_REGULAR);
    draw_footer(canvas);
}
