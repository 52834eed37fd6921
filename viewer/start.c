/* An empty bench: three tags on threads say how to begin, and a list of plans to begin from stands where the sheets will. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "parts.h"

#define TAG_HEIGHT 56.0
#define TAG_LOW 34.0 /* with one line */
#define NOSE 13.0    /* how far its cut corners reach */
#define TEXT_LEFT 52.0

/* ---- tags ---- */

typedef struct tag {
    int number;
    const char *title, *note;
    double from_x, from_y; /* where its thread is tied */
    double x, y;           /* the middle of its left edge */
    double most;           /* width there is */
} tag;

static void tag_path(cairo_t *cr, rn_box box)
{
    const double x1 = box.x + box.width, y1 = box.y + box.height, cut = fmin(NOSE, 0.4 * box.height);
    cairo_new_path(cr);
    cairo_move_to(cr, box.x, box.y + cut);
    cairo_line_to(cr, box.x + NOSE, box.y);
    cairo_line_to(cr, x1, box.y);
    cairo_line_to(cr, x1, y1);
    cairo_line_to(cr, box.x + NOSE, y1);
    cairo_line_to(cr, box.x, y1 - cut);
    cairo_close_path(cr);
}

static void draw_paper(rv_canvas *canvas, rn_box box, double from_x, double from_y)
{
    cairo_t *cr = canvas->pen.cr;
    const double grey = canvas->view->dark ? 0xE2 / 255.0 : 0xF4 / 255.0, hole = box.x + 12.5,
                 y = box.y + 0.5 * box.height;
    tag_path(cr, (rn_box){box.x + 2, box.y + 2.5, box.width, box.height});
    cairo_set_source_rgba(cr, 0, 0, 0, canvas->view->dark ? 0.35 : 0.12);
    cairo_fill(cr);
    tag_path(cr, box);
    cairo_set_source_rgb(cr, grey, grey, grey);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.6, 0.6, 0.6);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_arc(cr, hole, y, 3.4, 0, 2 * RN_PI);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.6, 0.6, 0.6);
    cairo_set_line_width(cr, 1.2);
    cairo_stroke(cr);
    /* The thread, from where it is tied to the hole; over paper it is dark whatever the room. */
    const double bend = 0.55 * (hole - from_x);
    cairo_move_to(cr, from_x, from_y);
    cairo_curve_to(cr, from_x + bend, from_y - 4, from_x + 0.4 * bend, y + 9, hole, y);
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.3);
    cairo_stroke(cr);
}

/* The nearest the box comes to the middle of the ring. */
static double ring_gap(const rv_layout *at, rn_box box)
{
    const double x = fmin(fmax(at->cx, box.x), box.x + box.width), y = fmin(fmax(at->cy, box.y), box.y + box.height);
    return hypot(x - at->cx, y - at->cy) - at->ring;
}

/* Draws a tag with as much of its words as there is room for; nothing if not even its title has room. */
static void draw_tag(rv_canvas *canvas, const tag *t, bool clear_of_ring)
{
    rn_pen *pen = &canvas->pen;
    const bool dark = pen->dark;
    const double least = canvas_least_size(canvas, 11);
    for (int lines = 2; lines >= 1; lines--)
        for (double size = 13.5; size >= 11; size -= 0.5) {
            const rn_letters title = {.size = size, .bold = true, .role = RN_ROLE_INK};
            const rn_letters note = {.size = fmax(size - 1, least), .role = RN_ROLE_INK2};
            double width = rn_pen_measure(pen, 0, 0, title, t->title).width;
            if (lines == 2)
                width = fmax(width, rn_pen_measure(pen, 0, 0, note, t->note).width);
            const double height = lines == 2 ? TAG_HEIGHT : TAG_LOW;
            const rn_box box = {t->x, t->y - 0.5 * height, TEXT_LEFT + width + 14, height};
            if (box.width > t->most || !rn_pen_vacant(pen, box, 3) || (clear_of_ring && ring_gap(&canvas->at, box) < 6))
                continue;
            char number[12];
            draw_paper(canvas, box, t->from_x, t->from_y);
            pen->dark = false;
            snprintf(number, sizeof number, "%d", t->number);
            rn_pen_text(pen, t->x + 28, t->y + 7, (rn_letters){.size = 19, .bold = true, .role = RN_ROLE_INK}, number);
            rn_pen_text(pen, t->x + TEXT_LEFT, t->y + (lines == 2 ? -5 : 5), title, t->title);
            if (lines == 2)
                rn_pen_text(pen, t->x + TEXT_LEFT, t->y + 15, note, t->note);
            pen->dark = dark;
            return;
        }
}

/* The box of a handle that stands on the page already; false if there is none. */
static bool find_box(rn_box *box, const rv_canvas *canvas, rv_part part, int a)
{
    for (int k = 0; k < canvas->handles->count; k++)
        if (canvas_is(canvas->handles->list[k].what, part, a, 0)) {
            *box = canvas->handles->list[k].box;
            return true;
        }
    return false;
}

static void draw_shelf_tags(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const double x = at->shelf.width + (at->compact ? 8 : 12), most = at->cx - x;
    rn_box box;
    tag t = {.from_x = at->shelf.width - (at->compact ? 12 : 18), .x = x, .most = most};
    if (find_box(&box, canvas, PART_JAR_PLACE, 0)) {
        t.number = 1;
        t.title = "Fill a jar";
        t.note = at->compact ? "N, or double press" : "N, or double press a place";
        t.from_y = box.y + 0.5 * box.height - 4;
        t.y = fmax(t.from_y + 8, at->bench.y + 6 + 0.5 * TAG_HEIGHT);
        draw_tag(canvas, &t, true);
    }
    if (find_box(&box, canvas, PART_BOARD, 0)) {
        t.number = 2;
        t.title = "Set the panel";
        t.note = "size and sealer: P";
        t.from_y = box.y + 0.5 * box.height;
        t.y = fmin(t.from_y + 12, at->clock.y - 34 - 0.5 * TAG_HEIGHT);
        draw_tag(canvas, &t, true);
    }
}

/* Three bursts in broken lines on the release's lane, and the third tag. */
static void draw_clock_tag(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    const double top = at->lane_top[LANE_RELEASE] + 5, high = at->lane_height[LANE_RELEASE] - 6;
    double x = at->x0 + 14;
    while (x < at->x1 && !rn_pen_vacant(&canvas->pen, (rn_box){x, top, 100, high}, 6))
        x += 10; /* behind whatever words stand at the beginning */
    if (x + 100 > at->x1)
        return;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.3);
    cairo_set_dash(cr, (double[]){3, 2.4}, 2, 0);
    for (int k = 0; k < 3; k++) {
        cairo_rectangle(cr, x + 36 * k, top, 18, high);
        cairo_stroke(cr);
    }
    cairo_set_dash(cr, NULL, 0, 0);
    const tag t = {.number = 3,
                   .title = "Draw a release",
                   .note = "drag along the lane; Space pours",
                   .from_x = x + 94,
                   .from_y = top + 0.4 * high,
                   .x = x + 134,
                   .y = fmin(top + 0.5 * high + 6, at->axis_y - 4 - 0.5 * TAG_HEIGHT),
                   .most = at->x1 - x - 134};
    draw_tag(canvas, &t, false);
}

/* ---- the panel's words ---- */

static void draw_panel_words(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_panel *panel = &document_plan(canvas->view->doc)->panel;
    cairo_t *cr = canvas->pen.cr;
    const double inner = fmin(30, 0.12 * at->panel.height), outer = 1.45 * inner;
    char text[80];
    cairo_new_path(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.3);
    cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
    for (int k = 0; k < 2; k++) {
        cairo_arc(cr, at->cx, at->cy, k ? outer : inner, 0, 2 * RN_PI);
        cairo_stroke(cr);
    }
    cairo_set_dash(cr, NULL, 0, 0);
    const rn_letters letters = {.size = 13, .align = 0.5, .role = RN_ROLE_INK};
    const double room = (panel->round ? 0.7 : 0.9) * at->panel.width;
    if (panel->round)
        snprintf(text, sizeof text, "bare panel, %.0f mm across", 1e3 * panel->width);
    else
        snprintf(text, sizeof text, "bare panel, %.0f × %.0f mm", 1e3 * panel->width, 1e3 * panel->height);
    canvas_words(canvas, at->cx, at->panel.y + (panel->round ? 0.2 : 0.08) * at->panel.height + 6, letters, room, text);
    canvas_words(canvas, at->cx, at->cy + outer + 24, letters, room, "a release lands here");
}

/* ---- what to begin from ---- */

static void draw_row(rv_canvas *canvas, double y, double row, int which, const char *title, const char *note,
                     const char *key)
{
    const rv_layout *at = &canvas->at;
    const double x = at->sheets.x, width = at->sheets.width;
    const rn_box box = {x, y, width, row};
    const bool lively = canvas_is(canvas->view->hover, PART_START, which, 0);
    if (lively) {
        rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
        cairo_rectangle(canvas->pen.cr, x - 6, y + 2, width + 12, row - 4);
        cairo_fill(canvas->pen.cr);
    }
    const double first = y + (row > 40 ? 20 : 17);
    double taken = 0;
    if (!at->compact) {
        const rn_letters letters = {.size = 12, .align = 1, .role = RN_ROLE_INK2};
        const double longer = canvas->pen.longer;
        canvas->pen.longer = 0; /* keys are called so in any language */
        taken = rn_pen_measure(&canvas->pen, 0, 0, letters, key).width + 10;
        canvas_words(canvas, x + width, first, letters, width, key);
        canvas->pen.longer = longer;
    }
    canvas_words(canvas, x, first, (rn_letters){.size = 13.5, .bold = true, .role = RN_ROLE_INK}, width - taken, title);
    if (row > 30)
        canvas_words(canvas, x, first + 18, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, width, note);
    rn_pen_line(&canvas->pen, RN_ROLE_HAIR, 1.2, x, y + row, x + width, y + row);
    canvas_handle(canvas, PART_START, which, 0, box);
    if (canvas_focused(canvas, PART_START, which, 0))
        canvas_focus(canvas, (rn_box){x, y + 5, width, row - 10});
}

static void draw_list(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_view *view = canvas->view;
    const double head = at->sheets.y + 4, foot = at->clock.y - 8;
    const int rows = 1 + view->start_count;
    double row = fmin(50, (foot - head - 14) / rows);
    canvas_words(canvas, at->sheets.x, head,
                 (rn_letters){.size = 12, .lettering = RN_LETTERS_HEAD, .role = RN_ROLE_INK}, at->sheets.width,
                 "begin from");
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, at->sheets.x, head + 9, at->sheets.x + at->sheets.width, head + 9);
    if (row < 24)
        row = 24;
    double y = head + 12;
    int example = 0;
    draw_row(canvas, y, row, -1, "Open a plan", "from a file", "Ctrl+O");
    for (int k = 0; k < view->start_count && y + 2 * row <= foot + 2; k++) {
        static const char *const examples[] = {"E", "Shift+E"};
        const rv_start *start = &view->starts[k];
        const char *key = start->kind == START_LEFT ? "Ctrl+R" : start->kind == START_LAST ? "Ctrl+L" : "";
        if (start->kind == START_EXAMPLE && example < 2)
            key = examples[example++];
        y += row;
        draw_row(canvas, y, row, k, start->title, start->note, key);
    }
}

void start_draw(rv_canvas *canvas)
{
    draw_panel_words(canvas);
    draw_list(canvas);
    draw_shelf_tags(canvas);
    draw_clock_tag(canvas);
}
