/* A slip of paper with the keys of one thing: always light, as paper is. */
#include "slip.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"
#include "slip_edit.h"

#define PAD 13.0

#define THINNEST 0.05 /* ends of the rule of consistency [Pa s] */
#define THICKEST 20.0
#define ROUND 50e-6 /* the rule of volume ends at such steps [m3] */

void slip_rule(double *x, double *width, const rv_layout *at)
{
    *x = at->slip.x + PAD;
    *width = at->slip.width - 2 * PAD;
}

static double share_at(const rv_layout *at, double x)
{
    double left, width;
    slip_rule(&left, &width, at);
    return fmin(fmax((x - left) / width, 0), 1);
}

double slip_volume_top(double volume)
{
    return fmax(2 * ROUND, ceil(1.2 * volume / ROUND) * ROUND);
}

double slip_volume_at(const rv_layout *at, double x, double top)
{
    return share_at(at, x) * top;
}

double slip_viscosity_share(double viscosity)
{
    return log(viscosity / THINNEST) / log(THICKEST / THINNEST);
}

double slip_viscosity_at(const rv_layout *at, double x)
{
    return THINNEST * exp(share_at(at, x) * log(THICKEST / THINNEST));
}

static void draw_paper(rv_canvas *canvas, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_new_path(cr);
    cairo_set_source_rgba(cr, 0, 0, 0, 0.35);
    cairo_rectangle(cr, box.x + 3, box.y + 3, box.width, box.height);
    cairo_fill(cr);
    cairo_move_to(cr, box.x, box.y);
    cairo_line_to(cr, box.x + box.width, box.y);
    cairo_line_to(cr, box.x + box.width, box.y + box.height);
    for (double x = box.x + box.width; x > box.x; x -= 7) { /* torn */
        const double wave = 1.6 * sin(0.37 * x) + 1.1 * sin(0.91 * x + 1);
        cairo_line_to(cr, fmax(x - 3.5, box.x), box.y + box.height + 2 + wave);
    }
    cairo_line_to(cr, box.x, box.y + box.height);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0xE2 / 255.0, 0xE2 / 255.0, 0xE2 / 255.0);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
}

static void title_of(char *title, char *note, int size, const rv_view *view)
{
    const rn_plan *plan = document_plan(view->doc);
    static const char *const kinds[] = {"Rest", "Turn", "Tilt", "Spin"};
    const int index = view->slip.index;
    note[0] = '\0';
    switch (view->slip.kind) {
    case SLIP_JAR: {
        int order[RN_PAINTS_MOST], place = 0;
        const int count = edit_shelf_order(order, plan);
        for (int k = 0; k < count; k++)
            place = order[k] == index ? k + 1 : place;
        snprintf(title, (size_t)size, "%s", index < plan->paint_count ? plan->paints[index].name : "");
        snprintf(note, (size_t)size, "jar %d", place);
        break;
    }
    case SLIP_BASE: snprintf(title, (size_t)size, "Base coat"); break;
    case SLIP_PANEL: snprintf(title, (size_t)size, "Panel"); break;
    case SLIP_MOVE:
        snprintf(title, (size_t)size, "%s", index < plan->move_count ? kinds[plan->moves[index].kind] : "Move");
        snprintf(note, (size_t)size, "move %d", index + 1);
        break;
    case SLIP_POUR:
        snprintf(title, (size_t)size, "Release");
        snprintf(note, (size_t)size, "%d of %d", index + 1, plan->pour_count);
        break;
    case SLIP_PLAN: snprintf(title, (size_t)size, "Plan"); break;
    case SLIP_NONE: title[0] = '\0'; break;
    }
}

/* A ruled line with its knob at a share of the way. */
static void draw_rule(rv_canvas *canvas, double x, double y, double width, double share, rv_part part, int index)
{
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 1.4, x, y, x + width, y);
    for (int k = 0; k <= 10; k++) {
        const double at = x + width * k / 10;
        rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 1, at, y, at, y - (k % 5 ? 4 : 7));
    }
    const double knob = x + width * fmin(fmax(share, 0), 1);
    canvas_knob(canvas, knob, y, 7, 0, canvas_focused(canvas, part, index, 0));
    canvas_handle(canvas, part, index, 0, (rn_box){x - 8, y - 13, width + 16, 26});
}

/* A row's value at the right edge, or the field it is typed into; where it stands. */
static rn_box draw_value(rv_canvas *canvas, double right, double y, double width, int row, rn_letters letters,
                         const char *value)
{
    const rv_typing *typing = &canvas->view->typing;
    char field[TYPING_SIZE + 8];
    const bool here = typing->on && typing->what.part == PART_SLIP_ROW && typing->what.a == row;
    if (here) {
        snprintf(field, sizeof field, "%.*s|%s", typing->caret, typing->text, typing->text + typing->caret);
        letters.role = RN_ROLE_BRASS;
        letters.bold = true;
    }
    letters.align = 1;
    letters.most = 0.62 * width;
    return rn_pen_text(&canvas->pen, right, y, letters, here ? field : value);
}

/* A figure at the head of a jar's slip, above its rule: pressed, it is typed. */
static void draw_figure(rv_canvas *canvas, rn_box box, double y, int row, const char *name, const char *value)
{
    const double x = box.x + PAD, width = box.width - 2 * PAD;
    const rn_box shown = draw_value(canvas, x + width, y, width, row,
                                    (rn_letters){.size = 13, .bold = true, .role = RN_ROLE_INK}, value);
    const bool focused = canvas->view->slip.row == row;
    canvas_words(canvas, x, y, (rn_letters){.size = 13, .role = RN_ROLE_INK, .bold = focused}, shown.x - x - 6, name);
    canvas_handle(canvas, PART_SLIP_ROW, row, 0, (rn_box){box.x + 2, y - 15, box.width - 4, 22});
    if (focused)
        canvas_focus(canvas, (rn_box){x - 2, y - 10, width + 4, 13});
}

static double jar_handles(rv_canvas *canvas, rn_box box, double y)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const int index = canvas->view->slip.index;
    const rn_paint *paint = &plan->paints[index];
    const double x = box.x + PAD, width = box.width - 2 * PAD, volume = edit_jar_volume(plan, index);
    const double viscosity = edit_jar_viscosity(plan, index);
    cairo_t *cr = canvas->pen.cr;
    char text[64];
    cairo_rectangle(cr, x, y, 56, 30);
    rn_pen_use_rgb(&canvas->pen, paint->colour);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    canvas_handle(canvas, PART_SLIP_COLOUR, index, 0, (rn_box){x, y, width, 30});
    const bool typing = canvas->view->typing.on && canvas->view->typing.what.part == PART_SLIP_COLOUR;
    canvas_words(canvas, x + 66, y + 12, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, width - 66, "colour  C");
    if (typing)
        snprintf(text, sizeof text, "%.*s|", 40, canvas->view->typing.text);
    else
        snprintf(text, sizeof text, "%02X%02X%02X", paint->colour[0], paint->colour[1], paint->colour[2]);
    canvas_words(canvas, x + 66, y + 29, (rn_letters){.size = 12.5, .role = typing ? RN_ROLE_BRASS : RN_ROLE_INK},
                 width - 66, text);
    y += 54;
    const rv_view *view = canvas->view; /* the scale holds still under the hand */
    const double top = slip_volume_top(canvas_dragged(canvas, PART_SLIP_VOLUME, index, 0) ? view->drag_value : volume);
    canvas_volume(canvas, text, sizeof text, volume);
    draw_figure(canvas, box, y, SLIP_ROW_VOLUME, "volume", text);
    draw_rule(canvas, x, y + 20, width, volume / top, PART_SLIP_VOLUME, index);
    y += 56;
    snprintf(text, sizeof text, "%.3g Pa·s", viscosity);
    draw_figure(canvas, box, y, SLIP_ROW_CONSISTENCY, "consistency", text);
    draw_rule(canvas, x, y + 20, width, slip_viscosity_share(viscosity), PART_SLIP_THREAD, index);
    const rn_letters small = {.size = 11.5, .role = RN_ROLE_INK2};
    rn_letters right = small;
    right.align = 1;
    canvas_words(canvas, x, y + 42, small, 0.48 * width, rn_consistency_word(THINNEST));
    canvas_words(canvas, x + width, y + 42, right, 0.48 * width, rn_consistency_word(THICKEST));
    return y + 56;
}

static void draw_row(rv_canvas *canvas, rn_box box, double y, int row, bool focused)
{
    const rv_view *view = canvas->view;
    const rn_key *key = slip_key(view, row);
    const double x = box.x + PAD, width = box.width - 2 * PAD;
    char value[200];
    slip_value(value, sizeof value, view, row);
    const rn_letters name = {.size = 12.5, .role = RN_ROLE_INK2, .bold = focused};
    const rn_box shown = draw_value(canvas, x + width, y, width, row, (rn_letters){.size = 12.5, .role = RN_ROLE_INK},
                                    value[0] ? value : "–");
    canvas_words(canvas, x, y, name, shown.x - x - 6, key->name);
    canvas_handle(canvas, PART_SLIP_ROW, row, 0, (rn_box){box.x + 2, y - 15, box.width - 4, 22});
    if (focused)
        canvas_focus(canvas, (rn_box){box.x + PAD - 2, y - 10, width + 4, 13});
}

/* The key's help as a person reads it: what stands in a file is quoted, where the manual sets it in its own letters. */
static void write_help(char *text, size_t size, const rn_key *key)
{
    char range[200];
    size_t used = 0;
    bool open = false;
    for (const char *at = key->doc; *at && used + 4 < size; at++) {
        if (*at != '`') {
            text[used++] = *at;
            continue;
        }
        open = !open;
        memcpy(text + used, open ? "\u2018" : "\u2019", 3);
        used += 3;
    }
    text[used] = '\0';
    rn_key_range_text(range, sizeof range, key);
    if (range[0])
        snprintf(text + used, size - used, " (%s)", range);
}

/* The help of the row that has the focus, or why what was typed was refused. */
static double draw_help(rv_canvas *canvas, rn_box box, double foot, int row)
{
    const rv_view *view = canvas->view;
    const rn_key *key = slip_key(view, row);
    if (!key && row >= 0)
        return foot;
    char text[640];
    const double width = box.width - 2 * PAD;
    const bool refused = view->typing.on && view->typing.trouble[0];
    if (refused)
        snprintf(text, sizeof text, "%s", view->typing.trouble);
    else if (key)
        write_help(text, sizeof text, key);
    else
        snprintf(text, sizeof text, "%s", slip_jar_help(row));
    const rn_letters letters = {
        .size = 11.5, .role = refused ? RN_ROLE_SHORT : RN_ROLE_INK2, .most = width, .lines = 5};
    const double deep = rn_pen_depth(&canvas->pen, letters, text);
    rn_pen_line(&canvas->pen, RN_ROLE_HAIR, 1, box.x + PAD, foot - deep - 22, box.x + PAD + width, foot - deep - 22);
    rn_pen_text(&canvas->pen, box.x + PAD, foot - deep - 8, letters, text);
    return foot - deep - 24;
}

/* What puts the slip away. */
static void draw_cross(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(cr, 1.6);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(cr, x - 3.5, y - 3.5 * side);
        cairo_line_to(cr, x + 3.5, y + 3.5 * side);
    }
    cairo_stroke(cr);
    canvas_handle(canvas, PART_SLIP_CLOSE, 0, 0, (rn_box){x - 11, y - 10, 22, 20});
}

rn_box slip_box(const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const int rows = slip_rows(view);
    rn_box box = canvas->at.slip;
    const double wanted = 60 + (view->slip.kind == SLIP_JAR && rows > 0 ? 170 : 0) + rows * 22 + 96;
    box.height = fmin(box.height, fmax(wanted, 130));
    return box;
}

void slip_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const int rows = slip_rows(view);
    const bool dark = canvas->pen.dark, jar = view->slip.kind == SLIP_JAR && rows > 0;
    const rn_box box = slip_box(canvas);
    char title[128], note[128];
    canvas->pen.dark = false; /* paper is light in any room */
    draw_paper(canvas, box);
    canvas_handle(canvas, PART_SLIP, 0, 0, box);
    draw_cross(canvas, box.x + box.width - 11, box.y + 10);
    title_of(title, note, sizeof title, view);
    const double x = box.x + PAD, width = box.width - 2 * PAD;
    double y = box.y + 33;
    rn_letters right = {.size = 12, .role = RN_ROLE_INK2, .align = 1};
    const rn_box shown = note[0] ? rn_pen_text(&canvas->pen, x + width, y, right, note) : (rn_box){x + width, y, 0, 0};
    rn_pen_text(&canvas->pen, x, y,
                (rn_letters){.size = 16.5, .bold = true, .role = RN_ROLE_INK, .most = shown.x - x - 8}, title);
    y += 18;
    if (rows == 0) {
        const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .most = width, .lines = 4};
        rn_pen_text(&canvas->pen, x, y + 12, letters,
                    view->slip.kind == SLIP_BASE
                        ? "No base coat. Drag the level of its jar, or write one into the plan."
                        : "Nothing to set here.");
        canvas->pen.dark = dark;
        return;
    }
    if (jar)
        y = jar_handles(canvas, box, y);
    const double foot = draw_help(canvas, box, box.y + box.height, view->slip.row);
    const int fitting = (int)fmax(floor((foot - y - 8) / 22), 1);
    const int first = view->slip.row >= fitting ? view->slip.row - fitting + 1 : 0;
    for (int row = first; row < rows && row < first + fitting; row++)
        draw_row(canvas, box, y + 16 + 22 * (row - first), row, row == view->slip.row);
    canvas->pen.dark = dark;
}
