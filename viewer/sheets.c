/* The sheets that lie over the panel: a list in the right column, in a small window two in a row. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "heading.h"
#include "parts.h"
#include "show/colour.h"

#define ICON 22.0
#define ROW 27.0
#define TILES_DOWN 32.0 /* from the list's top to its first icon */
#define TILE_ROW 57.0
#define SECTION_ROOM 90.0 /* what a section needs */

static const struct {
    const char *name, *what;
} sheets[SHEETS] = {{"face", "wet colours"}, {"depth", "film, mm"},       {"arrival", "seconds"},
                    {"peel", "lift layers"}, {"stretch", "times pulled"}, {"section", "along a line"}};

/* Colours of the plan for the icons that show paint. */
static void use_paint(rv_canvas *canvas, int which)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    int order[RN_PAINTS_MOST];
    const int count = edit_shelf_order(order, plan);
    if (count == 0)
        rn_pen_use(&canvas->pen, which % 2 ? RN_ROLE_LINE : RN_ROLE_GLASS);
    else
        rn_pen_use_rgb(&canvas->pen, plan->paints[order[which % count]].colour);
}

static void face_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    use_paint(canvas, 3);
    cairo_rectangle(cr, x, y, ICON, ICON);
    cairo_fill(cr);
    for (int k = 0; k < 3; k++) {
        use_paint(canvas, k);
        cairo_arc(cr, x + 0.5 * ICON, y + 0.5 * ICON, 9.5 - 3 * k, 0, 2 * RN_PI);
        cairo_fill(cr);
    }
}

static void depth_icon(rv_canvas *canvas, double x, double y)
{
    for (int k = 0; k < 4; k++) {
        uint8_t rgb[3];
        rn_ramp_depth(rgb, (k + 0.5) / 4);
        rn_pen_use_rgb(&canvas->pen, rgb);
        cairo_rectangle(canvas->pen.cr, x, y + 0.25 * ICON * k, ICON, 0.25 * ICON + 0.3);
        cairo_fill(canvas->pen.cr);
    }
}

static void arrival_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.2);
    for (int k = 0; k < 3; k++) {
        cairo_new_path(cr);
        cairo_arc(cr, x + 0.5 * ICON, y + 0.5 * ICON, 2.4 + 3 * k, 0, 2 * RN_PI);
        cairo_stroke(cr);
    }
}

static void peel_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    use_paint(canvas, 1);
    cairo_rectangle(cr, x, y, ICON, ICON);
    cairo_fill(cr);
    use_paint(canvas, 0);
    cairo_move_to(cr, x + ICON, y);
    cairo_line_to(cr, x + ICON, y + ICON);
    cairo_line_to(cr, x + 4, y + ICON);
    cairo_close_path(cr);
    cairo_fill(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
    cairo_move_to(cr, x + ICON, y);
    cairo_line_to(cr, x + 4, y + ICON);
    cairo_line_to(cr, x + 8, y + 6);
    cairo_close_path(cr);
    cairo_fill(cr);
}

static void stretch_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.2);
    for (int k = 0; k < 4; k++) {
        cairo_save(cr);
        cairo_translate(cr, x + (k % 2 ? 15.5 : 6.5), y + (k / 2 ? 15.5 : 6.5));
        cairo_rotate(cr, 0.6 - 0.5 * k);
        cairo_scale(cr, 4.4, 2.1);
        cairo_new_path(cr);
        cairo_arc(cr, 0, 0, 1, 0, 2 * RN_PI);
        cairo_restore(cr);
        cairo_stroke(cr);
    }
}

static void section_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.3);
    cairo_move_to(cr, x + 2, y + 16);
    cairo_line_to(cr, x + ICON - 2, y + 16);
    cairo_stroke(cr);
    cairo_move_to(cr, x + 3, y + 16);
    cairo_curve_to(cr, x + 6, y + 3, x + ICON - 6, y + 3, x + ICON - 3, y + 16);
    cairo_stroke(cr);
}

static void draw_icon(rv_canvas *canvas, rv_sheet sheet, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
    cairo_rectangle(cr, x, y, ICON, ICON);
    cairo_fill(cr);
    switch (sheet) {
    case SHEET_FACE: face_icon(canvas, x, y); break;
    case SHEET_DEPTH: depth_icon(canvas, x, y); break;
    case SHEET_ARRIVAL: arrival_icon(canvas, x, y); break;
    case SHEET_PEEL: peel_icon(canvas, x, y); break;
    case SHEET_STRETCH: stretch_icon(canvas, x, y); break;
    case SHEET_SECTION: section_icon(canvas, x, y); break;
    case SHEETS: break;
    }
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, x, y, ICON, ICON);
    cairo_stroke(cr);
}

static void frame_icon(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 2);
    cairo_rectangle(cr, x - 2.5, y - 2.5, ICON + 5, ICON + 5);
    cairo_stroke(cr);
}

void sheets_heading(rv_canvas *canvas, double x, double y, double width, const char *text, const char *right)
{
    const rn_letters letters = {.size = 11.5, .role = RN_ROLE_INK, .lettering = RN_LETTERS_HEAD};
    rn_letters at_right = letters;
    at_right.align = 1;
    double room = width;
    if (right[0]) {
        const rn_box box = rn_pen_measure(&canvas->pen, x + width, y, at_right, right);
        rn_pen_text(&canvas->pen, x + width, y, at_right, right);
        room = box.x - x - 8;
    }
    canvas_words(canvas, x, y, letters, room, text);
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 1.6, x, y + 9, x + width, y + 9);
}

static void list_rows(rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    char number[16];
    for (int k = 0; k < SHEETS; k++) {
        const double y = box.y + 45 + ROW * k;
        const bool on = canvas->view->sheets >> k & 1u;
        draw_icon(canvas, (rv_sheet)k, box.x + 3, y - 15);
        if (on)
            frame_icon(canvas, box.x + 3, y - 15);
        snprintf(number, sizeof number, "%d", k + 1);
        const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
        rn_letters right = small;
        right.align = 1;
        const rn_box keyed = rn_pen_text(&canvas->pen, box.x + box.width, y, right, number);
        const rn_letters letters = {.size = 13.5, .bold = on, .role = on ? RN_ROLE_INK : RN_ROLE_INK2};
        const rn_box name = rn_pen_measure(&canvas->pen, box.x + 36, y, letters, sheets[k].name);
        canvas_words(canvas, box.x + 36, y, letters, keyed.x - box.x - 44, sheets[k].name);
        const double from = fmax(box.x + 92, name.x + name.width + 10);
        canvas_words(canvas, from, y, small, keyed.x - 8 - from, sheets[k].what);
        const rn_box target = {box.x - 2, y - 18, box.width + 4, ROW};
        canvas_handle(canvas, PART_SHEET, k, 0, target);
        if (canvas_focused(canvas, PART_SHEET, k, 0))
            canvas_focus(canvas, (rn_box){box.x + 3, y - 15, box.width - 4, ICON});
    }
}

/* In a small window: two in a row, or three where the section is drawn below and would find no room. */
static int tiles_across(const rv_canvas *canvas)
{
    const rn_box right = canvas->at.right, box = canvas->at.sheets;
    const double left = right.y + right.height - box.y - TILES_DOWN - 3 * TILE_ROW;
    return (canvas->view->sheets >> SHEET_SECTION & 1u) && left < SECTION_ROOM ? 3 : 2;
}

static void list_tiles(rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    const int across = tiles_across(canvas);
    const double wide = box.width / across, high = across == 2 ? TILE_ROW : 52;
    char number[16];
    for (int k = 0; k < SHEETS; k++) {
        const double x = box.x + wide * (k % across) + (across == 2 ? 8 : 4);
        const double y = box.y + TILES_DOWN + high * (k / across);
        const bool on = canvas->view->sheets >> k & 1u;
        draw_icon(canvas, (rv_sheet)k, x, y);
        if (on)
            frame_icon(canvas, x, y);
        snprintf(number, sizeof number, "%d", k + 1);
        const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
        canvas_words(canvas, x + ICON + 7, y + 16, small, wide - ICON - 8, number);
        rn_letters name = {.size = 12.5, .bold = on, .role = on ? RN_ROLE_INK : RN_ROLE_INK2};
        /* Under its icon, from the icon's left where it is long. */
        const double half = 0.5 * rn_pen_measure(&canvas->pen, 0, 0, name, sheets[k].name).width;
        const double left = fmax(fmin(x + 0.5 * ICON - half, box.x + wide * (k % across + 1) - 2 * half), x - 4);
        canvas_words(canvas, left, y + ICON + 16, name, box.x + wide * (k % across + 1) - left, sheets[k].name);
        canvas_handle(canvas, PART_SHEET, k, 0, (rn_box){x - 4, y - 4, wide - 2, high - 4});
        if (canvas_focused(canvas, PART_SHEET, k, 0))
            canvas_focus(canvas, (rn_box){x, y, ICON, ICON});
    }
}

double sheets_foot(const rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    if (!canvas->at.compact)
        return box.y + box.height;
    return box.y + TILES_DOWN + (tiles_across(canvas) == 2 ? 3 * TILE_ROW : 2 * 52);
}

void sheets_draw(rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    sheets_heading(canvas, box.x, box.y + 12, box.width, canvas->at.compact ? "sheets" : "sheets over the panel", "");
    if (canvas->at.compact)
        list_tiles(canvas);
    else
        list_rows(canvas);
}
