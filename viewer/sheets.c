/* The right column under the level: the sheets that lie over the panel, and the core under the pointer or the section. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "edit.h"
#include "parts.h"
#include "show/colour.h"

#define PI 3.14159265358979323846
#define ICON 22.0
#define ROW 27.0

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
        cairo_arc(cr, x + 0.5 * ICON, y + 0.5 * ICON, 9.5 - 3 * k, 0, 2 * PI);
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
        cairo_arc(cr, x + 0.5 * ICON, y + 0.5 * ICON, 2.4 + 3 * k, 0, 2 * PI);
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
        cairo_arc(cr, 0, 0, 1, 0, 2 * PI);
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

static void heading(rv_canvas *canvas, double x, double y, double width, const char *text, const char *right)
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
    char number[8];
    for (int k = 0; k < SHEETS; k++) {
        const double y = box.y + 34 + ROW * k;
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

static void list_tiles(rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    const double wide = 0.5 * box.width, high = 58;
    char number[8];
    for (int k = 0; k < SHEETS; k++) {
        const double x = box.x + wide * (k % 2) + 8, y = box.y + 24 + high * (k / 2);
        const bool on = canvas->view->sheets >> k & 1u;
        draw_icon(canvas, (rv_sheet)k, x, y);
        if (on)
            frame_icon(canvas, x, y);
        snprintf(number, sizeof number, "%d", k + 1);
        rn_pen_text(&canvas->pen, x + ICON + 8, y + 16, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, number);
        canvas_words(canvas, x + 0.5 * ICON, y + ICON + 17,
                     (rn_letters){.size = 12.5, .bold = on, .align = 0.5, .role = on ? RN_ROLE_INK : RN_ROLE_INK2},
                     wide - 6, sheets[k].name);
        canvas_handle(canvas, PART_SHEET, k, 0, (rn_box){x - 8, y - 4, wide - 2, high - 4});
        if (canvas_focused(canvas, PART_SHEET, k, 0))
            canvas_focus(canvas, (rn_box){x, y, ICON, ICON});
    }
}

void sheets_draw(rv_canvas *canvas)
{
    const rn_box box = canvas->at.sheets;
    heading(canvas, box.x, box.y, box.width, canvas->at.compact ? "sheets" : "sheets over the panel", "");
    if (canvas->at.compact)
        list_tiles(canvas);
    else
        list_rows(canvas);
}

/* ---- the core ---- */

static double round_top(double depth)
{
    static const double tops[] = {0.5e-3, 1e-3, 2e-3, 3e-3, 5e-3, 8e-3, 12e-3, 20e-3, 50e-3};
    for (size_t k = 0; k < sizeof tops / sizeof *tops; k++)
        if (depth <= tops[k])
            return tops[k];
    return depth;
}

static void draw_scale(rv_canvas *canvas, double x, double foot, double height, double top)
{
    char text[16];
    for (int k = 0; k <= 2; k++) {
        const double y = foot - height * k / 2;
        rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1.2, x - 7, y, x, y);
        snprintf(text, sizeof text, "%.3g", 1e3 * top * k / 2);
        rn_pen_text(&canvas->pen, x - 10, y + 4, (rn_letters){.size = 11.5, .role = RN_ROLE_INK2, .align = 1}, text);
    }
    for (int k = 1; k < 20; k++)
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, x - 3, foot - height * k / 20, x, foot - height * k / 20);
}

/* Which paints lie there, the top one by name. */
static void core_words(char first[96], char second[96], const rn_plan *plan, const unsigned char *paint, int rows)
{
    int bands = 0, top = RN_PAINT_NONE, last = RN_PAINT_NONE;
    for (int r = rows - 1; r >= 0; r--) {
        if (paint[r] == last || paint[r] == RN_PAINT_NONE)
            continue;
        last = paint[r];
        bands++;
        if (top == RN_PAINT_NONE)
            top = last;
    }
    first[0] = second[0] = '\0';
    if (top == RN_PAINT_NONE || top >= plan->paint_count)
        return;
    snprintf(first, 96, "%s on top%s", plan->paints[top].name, bands > 1 ? "," : "");
    if (bands == 2)
        snprintf(second, 96, "then %s", plan->paints[last].name);
    else if (bands > 2)
        snprintf(second, 96, "%d more, then %s", bands - 2, plan->paints[last].name);
}

static void draw_core(rv_canvas *canvas, const rv_studio_core *core, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const int rows = core->cut.rows, column = core->cut.columns / 2;
    const double depth = core->cut.depth[column], top = round_top(depth), height = fmin(box.height - 46, 64);
    const double foot = box.y + 30 + height, x = box.x + 32, wide = 34;
    char text[64], first[96], second[96];
    draw_scale(canvas, x - 2, foot, height, top);
    const unsigned char *paint = core->cut.paint + (long)column * rows;
    for (int r = 0; r < rows && depth > RN_STRATA_BARE; r++) {
        if (paint[r] == RN_PAINT_NONE || paint[r] >= plan->paint_count)
            continue;
        const double y0 = foot - height * depth / top * r / rows, y1 = foot - height * depth / top * (r + 1) / rows;
        rn_pen_use_rgb(&canvas->pen, plan->paints[paint[r]].colour);
        cairo_rectangle(cr, x, y1 - 0.3, wide, y0 - y1 + 0.3);
        cairo_fill(cr);
    }
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, x, foot - height * depth / top, wide, height * depth / top);
    cairo_stroke(cr);
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, x - 4, foot + 1, x + wide + 4, foot + 1);

    const double left = x + wide + 14, room = box.x + box.width - left;
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
    core_words(first, second, plan, paint, rows);
    snprintf(text, sizeof text, "%.0f, %.0f mm", 1e3 * (core->wish.core_x + 0.5 * plan->panel.width),
             1e3 * (core->wish.core_y + 0.5 * plan->panel.height));
    canvas_words(canvas, left, box.y + 29, small, room, text);
    snprintf(text, sizeof text, depth > RN_STRATA_BARE ? "%.2f mm" : "bare", 1e3 * depth);
    canvas_words(canvas, left, box.y + 48, (rn_letters){.size = 14.5, .bold = true, .role = RN_ROLE_INK}, room, text);
    canvas_words(canvas, left, box.y + 67, small, room, first);
    canvas_words(canvas, left, box.y + 84, small, room, second);
}

/* ---- the section ---- */

static void draw_section(rv_canvas *canvas, const rv_studio_section *section, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rn_cut *cut = &section->cut;
    double deepest = 1e-5;
    for (int c = 0; c < cut->columns; c++)
        deepest = fmax(deepest, cut->depth[c]);
    const double length = hypot(cut->bx - cut->ax, cut->by - cut->ay), top = round_top(deepest);
    const double x = box.x + 24, wide = box.width - 28, height = fmin(box.height - 52, 70), foot = box.y + 26 + height;
    char text[64];
    snprintf(text, sizeof text, "%.0f × taller", height / top / (wide / length));
    heading(canvas, box.x, box.y, box.width, "section, A to B", text);
    draw_scale(canvas, x, foot, height, top);
    for (int c = 0; c < cut->columns; c++) {
        const double depth = cut->depth[c], step = wide / cut->columns;
        if (!(depth > RN_STRATA_BARE))
            continue;
        for (int r = 0; r < cut->rows;) {
            const unsigned char *paint = cut->paint + (long)c * cut->rows;
            int to = r;
            while (to < cut->rows && paint[to] == paint[r])
                to++;
            if (paint[r] < plan->paint_count) {
                const double y0 = foot - height * depth / top * r / cut->rows;
                const double y1 = foot - height * depth / top * to / cut->rows;
                rn_pen_use_rgb(&canvas->pen, plan->paints[paint[r]].colour);
                cairo_rectangle(cr, x + step * c, y1, step + 0.4, y0 - y1);
                cairo_fill(cr);
            }
            r = to;
        }
    }
    const double wanted = edit_least_wanted(plan);
    const double least = isnan(wanted) ? plan->cover : wanted;
    if (least < top) {
        rn_pen_use(&canvas->pen, RN_ROLE_SHORT);
        cairo_set_line_width(cr, 1.3);
        cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
        cairo_move_to(cr, x, foot - height * least / top);
        cairo_line_to(cr, x + wide, foot - height * least / top);
        cairo_stroke(cr);
        cairo_set_dash(cr, NULL, 0, 0);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, x - 2, foot + 1, x + wide, foot + 1);
    const rn_letters letter = {.size = 12.5, .bold = true, .role = RN_ROLE_INK};
    rn_letters right = letter, middle = {.size = 12.5, .role = RN_ROLE_INK2, .align = 0.5};
    right.align = 1;
    rn_pen_text(&canvas->pen, x, foot + 17, letter, "A");
    rn_pen_text(&canvas->pen, x + wide, foot + 17, right, "B");
    snprintf(text, sizeof text, "%.0f mm", 1e3 * length);
    canvas_words(canvas, x + 0.5 * wide, foot + 17, middle, 0.5 * wide, text);
}

void core_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_shown *shown = &canvas->shown[0];
    const rn_box box = canvas->at.core;
    if (box.height < 90)
        return;
    const long version = view_column_version(view, 0);
    if (view->sheets >> SHEET_SECTION & 1u) {
        if (shown->section && shown->section->version == version && shown->section->cut.columns > 0) {
            draw_section(canvas, shown->section, box);
        } else {
            heading(canvas, box.x, box.y, box.width, "section, A to B", "");
            canvas_words(canvas, box.x, box.y + 30, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, box.width,
                         "not worked out yet");
        }
        return;
    }
    heading(canvas, box.x, box.y, box.width, "core under the pointer", "");
    const bool known = shown->core && shown->core->version == version && shown->core->cut.columns > 0;
    if (known && (view->on_panel || !view->pointing))
        draw_core(canvas, shown->core, box);
    else
        canvas_words(canvas, box.x, box.y + 30, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, box.width,
                     "point at the paint");
}
