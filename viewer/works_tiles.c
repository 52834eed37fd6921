/* The tiles of the window of plans that work, and this plan among them. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "show/window_map.h"
#include "works.h"

#define PIN_ROOM 15.0 /* that words keep from the pin [units] */
#define GAP 0.5       /* left bare around a tile [units] */
#define HATCH 6.0     /* from line to line, where it falls short [units] */
#define DRIPS 3       /* in a tile that runs off too much */
#define OUTSIDE RN_WINDOW_LOOKS

/* What is known of all tiles, so that it is asked once a frame. */
typedef struct field {
    const rn_window *window;
    rn_box box;
    int columns, rows;
    double wide, high;                 /* of a tile */
    int kinds[MAP_COLUMNS * MAP_ROWS]; /* looks, see show/window_map.h */
} field;

static int kind_at(const field *f, int column, int row)
{
    if (column < 0 || row < 0 || column >= f->columns || row >= f->rows)
        return OUTSIDE;
    return f->kinds[row * f->columns + column];
}

static rn_box box_of(const field *f, int column, int row)
{
    return (rn_box){f->box.x + f->wide * column, f->box.y + f->box.height - f->high * (row + 1), f->wide, f->high};
}

static void look(field *f, const rv_map *map, rn_box box)
{
    const rn_window_options options = rn_window_options_of(map->window);
    f->window = map->window;
    f->box = box;
    f->columns = options.columns < MAP_COLUMNS ? options.columns : MAP_COLUMNS;
    f->rows = options.rows < MAP_ROWS ? options.rows : MAP_ROWS;
    f->wide = box.width / f->columns;
    f->high = box.height / f->rows;
    for (int row = 0; row < f->rows; row++)
        for (int column = 0; column < f->columns; column++) {
            const rn_tile tile = map_tile(map, column, row);
            f->kinds[row * f->columns + column] = rn_tile_is_dry(&tile, &map->goal) ? RN_WINDOW_DRY : (int)tile.kind;
        }
}

/* ---- what tiles wear ---- */

static void hatch(cairo_t *cr, rn_box box)
{
    /* Lines run on from tile to tile. */
    const double from = floor((box.x + box.y) / HATCH) * HATCH;
    cairo_set_line_width(cr, 1.1);
    for (double sum = from; sum <= box.x + box.y + box.width + box.height + HATCH; sum += HATCH) {
        cairo_move_to(cr, sum - box.y, box.y);
        cairo_line_to(cr, sum - box.y - box.height, box.y + box.height);
    }
    cairo_stroke(cr);
}

static void drips(cairo_t *cr, rn_box box, int seed)
{
    static const double lengths[DRIPS] = {0.55, 0.76, 0.42};
    cairo_set_line_width(cr, 1.2);
    for (int k = 0; k < DRIPS; k++) {
        const double x = box.x + box.width * (k + 0.5) / DRIPS, y = box.y + 2;
        const double length = box.height * lengths[(k + seed) % DRIPS];
        cairo_move_to(cr, x, y);
        cairo_line_to(cr, x, y + length);
        cairo_stroke(cr);
        cairo_arc(cr, x, y + length, fmin(1.6, 0.1 * box.width), 0, 2 * RN_PI);
        cairo_fill(cr);
    }
}

/* Drops that do not hang. */
static void rings(cairo_t *cr, rn_box box)
{
    static const double places[2][2] = {{0.3, 0.32}, {0.66, 0.7}};
    cairo_set_line_width(cr, 1.2);
    for (int k = 0; k < 2; k++) {
        cairo_new_path(cr);
        cairo_arc(cr, box.x + box.width * places[k][0], box.y + box.height * places[k][1],
                  fmin(2.6, 0.12 * fmin(box.width, box.height)), 0, 2 * RN_PI);
        cairo_stroke(cr);
    }
}

static void ellipses(cairo_t *cr, rn_box box)
{
    static const double places[2][2] = {{0.3, 0.32}, {0.66, 0.7}};
    const double size = fmin(box.width, box.height);
    cairo_set_line_width(cr, 1.2);
    for (int k = 0; k < 2; k++) {
        cairo_save(cr);
        cairo_translate(cr, box.x + box.width * places[k][0], box.y + box.height * places[k][1]);
        cairo_rotate(cr, -0.6);
        cairo_scale(cr, 0.24 * size, 0.12 * size);
        cairo_new_path(cr);
        cairo_arc(cr, 0, 0, 1, 0, 2 * RN_PI);
        cairo_restore(cr);
        cairo_stroke(cr);
    }
}

static void cross(cairo_t *cr, rn_box box)
{
    const double x = box.x + 0.5 * box.width, y = box.y + 0.5 * box.height, half = 0.16 * fmin(box.width, box.height);
    cairo_set_line_width(cr, 1.2);
    cairo_move_to(cr, x - half, y - half);
    cairo_line_to(cr, x + half, y + half);
    cairo_move_to(cr, x + half, y - half);
    cairo_line_to(cr, x - half, y + half);
    cairo_stroke(cr);
}

static void dotted(rv_canvas *canvas, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.1);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(cr, (double[]){0.1, 3.2}, 2, 0);
    cairo_rectangle(cr, box.x + 0.2 * box.width, box.y + 0.18 * box.height, 0.6 * box.width, 0.64 * box.height);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

static void draw_tile(rv_canvas *canvas, const field *f, int column, int row)
{
    cairo_t *cr = canvas->pen.cr;
    const int kind = kind_at(f, column, row);
    const rn_box whole = box_of(f, column, row);
    const rn_box box = {whole.x + GAP, whole.y + GAP, whole.width - 2 * GAP, whole.height - 2 * GAP};
    if (kind == RN_TILE_WORKS)
        return; /* together, in one */
    if (kind == RN_TILE_OPEN) {
        dotted(canvas, box);
        return;
    }
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_fill(cr);
    cairo_save(cr);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_clip(cr);
    rn_pen_use(&canvas->pen, works_role(kind == RN_WINDOW_DRY ? RN_TILE_SPILLED : (rn_tile_kind)kind));
    if (kind == RN_TILE_SHORT)
        hatch(cr, box);
    else if (kind == RN_TILE_SPILLED)
        drips(cr, box, column + row);
    else if (kind == RN_WINDOW_DRY)
        rings(cr, box);
    else if (kind == RN_TILE_PULLED)
        ellipses(cr, box);
    else
        cross(cr, box);
    cairo_restore(cr);
}

/* The opening's ground, by day and in the dark. */
static const uint8_t bright[2][3] = {{0xFF, 0xFF, 0xFF}, {0xE4, 0xE4, 0xE4}};

/* The working tiles as one opening: filled without seams, its border drawn where it ends. */
static void draw_opening(rv_canvas *canvas, const field *f)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use_rgb(&canvas->pen, bright[canvas->view->dark]);
    const cairo_antialias_t before = cairo_get_antialias(cr);
    cairo_set_antialias(cr, CAIRO_ANTIALIAS_NONE);
    for (int row = 0; row < f->rows; row++)
        for (int column = 0; column < f->columns; column++)
            if (kind_at(f, column, row) == RN_TILE_WORKS) {
                const rn_box box = box_of(f, column, row);
                cairo_rectangle(cr, box.x, box.y, box.width, box.height);
            }
    cairo_fill(cr);
    cairo_set_antialias(cr, before);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.6);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_SQUARE);
    for (int row = 0; row < f->rows; row++)
        for (int column = 0; column < f->columns; column++) {
            if (kind_at(f, column, row) != RN_TILE_WORKS)
                continue;
            const rn_box b = box_of(f, column, row);
            const double x1 = b.x + b.width, y1 = b.y + b.height;
            const struct {
                int column, row;
                double x0, y0, x1, y1;
            } sides[4] = {{-1, 0, b.x, b.y, b.x, y1},
                          {1, 0, x1, b.y, x1, y1},
                          {0, 1, b.x, b.y, x1, b.y},
                          {0, -1, b.x, y1, x1, y1}};
            for (int k = 0; k < 4; k++)
                if (kind_at(f, column + sides[k].column, row + sides[k].row) != RN_TILE_WORKS) {
                    cairo_move_to(cr, sides[k].x0, sides[k].y0);
                    cairo_line_to(cr, sides[k].x1, sides[k].y1);
                }
        }
    cairo_stroke(cr);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

/* ---- words in the tiles ---- */

/* The largest rectangle of tiles of one kind, by how much of the page it takes; width 0: none. */
static rn_box largest(const field *f, int kind)
{
    rn_box best = {0};
    int heights[MAP_COLUMNS] = {0}; /* tiles of the kind in a row down from here */
    for (int row = f->rows - 1; row >= 0; row--) {
        for (int column = 0; column < f->columns; column++)
            heights[column] = kind_at(f, column, row) == kind ? heights[column] + 1 : 0;
        for (int from = 0; from < f->columns; from++) {
            int least = heights[from];
            for (int to = from; to < f->columns && heights[to] > 0; to++) {
                least = heights[to] < least ? heights[to] : least;
                const double width = f->wide * (to - from + 1), height = f->high * least;
                /* Words are wide and low: more height than some lines of them is no gain. */
                if (width * fmin(height, 90) > best.width * fmin(best.height, 90)) {
                    const rn_box corner = box_of(f, from, row + least - 1);
                    best = (rn_box){corner.x, corner.y, width, height};
                }
            }
        }
    }
    return best;
}

static void name_kind(rv_canvas *canvas, const field *f, int kind)
{
    static const double places[] = {0.5, 0.3, 0.7, 0.15, 0.85};
    const rn_box box = largest(f, kind);
    if (box.height < 21)
        return;
    for (size_t k = 0; k < sizeof places / sizeof *places; k++) {
        const double y = box.y + fmin(fmax(places[k] * box.height, 13), box.height - 12) + 4;
        if (works_label(canvas, box.x + 0.5 * box.width, y, box.width - 4,
                        kind == RN_WINDOW_DRY ? RN_TILE_SPILLED : (rn_tile_kind)kind, rn_window_look_word(kind)))
            return;
    }
}

/* Where this plan stands. */
typedef struct pin {
    bool stands;             /* it has both numbers; then: */
    double along_x, along_y; /* in tiles */
    double x, y;             /* on the page [units] */
    bool on_map;
} pin;

static pin place_pin(const rv_canvas *canvas, const field *f)
{
    pin p = {0};
    map_place(&p.along_x, &p.along_y, f->window, document_plan(canvas->view->doc));
    p.stands = !isnan(p.along_x) && !isnan(p.along_y);
    if (!p.stands)
        return p;
    works_middle(&p.x, &p.y, &canvas->at, f->window, p.along_x, p.along_y);
    p.on_map = p.x >= f->box.x && p.x <= f->box.x + f->box.width && p.y >= f->box.y && p.y <= f->box.y + f->box.height;
    return p;
}

/* Whether words stand clear of the pin, and of the lines through it. */
static bool clear_of_pin(rn_box words, double x, double y, bool lines)
{
    const bool beside = words.x > x + (lines ? 4 : PIN_ROOM) || words.x + words.width < x - (lines ? 4 : PIN_ROOM);
    const bool above = words.y > y + (lines ? 4 : PIN_ROOM) || words.y + words.height < y - (lines ? 4 : PIN_ROOM);
    return lines ? beside && above : beside || above;
}

/* In its middle if that is free, else as near to it as the pin lets it; rather in smaller letters than across the lines
   through the pin, and rather across those than not at all. */
static void name_opening(rv_canvas *canvas, const field *f)
{
    static const double places[] = {0.5, 0.3, 0.7, 0.2, 0.8};
    const rn_box box = largest(f, RN_TILE_WORKS);
    const pin p = place_pin(canvas, f);
    for (int lines = p.on_map; lines >= 0; lines--)
        for (double size = 18; size >= 12; size -= 1) {
            rn_letters letters = {.size = size, .lettering = RN_LETTERS_WIDE, .align = 0.5, .on_map = true};
            memcpy(letters.halo, bright[canvas->view->dark], sizeof letters.halo);
            for (int k = 0; k < 25; k++) {
                const double x = box.x + places[k % 5] * box.width, y = box.y + places[k / 5] * box.height + 6;
                const rn_box words = rn_pen_measure(&canvas->pen, x, y, letters, "works");
                if (words.x < box.x + 4 || words.x + words.width > box.x + box.width - 4 || words.y < box.y + 3 ||
                    words.y + words.height > box.y + box.height - 3 || !rn_pen_vacant(&canvas->pen, words, 4) ||
                    (p.on_map && !clear_of_pin(words, p.x, p.y, lines)))
                    continue;
                rn_pen_text(&canvas->pen, x, y, letters, "works");
                return;
            }
        }
}

/* ---- this plan ---- */

static void draw_way(rv_canvas *canvas, double x0, double y0, double x1, double y1)
{
    cairo_t *cr = canvas->pen.cr;
    static const uint8_t lights[2][3] = {{0xFF, 0xFF, 0xFF}, {0x1B, 0x1B, 0x1B}};
    for (int k = 0; k < 2; k++) { /* seen on bright and on dark ground */
        rn_pen_use_rgb(&canvas->pen, lights[1 - k]);
        cairo_set_line_width(cr, k ? 1.8 : 3.6);
        if (k)
            cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
        cairo_move_to(cr, x0, y0);
        cairo_line_to(cr, x1, y1);
        cairo_stroke(cr);
    }
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_new_path(cr);
    cairo_arc(cr, x1, y1, 5, 0, 2 * RN_PI);
    rn_pen_use_rgb(&canvas->pen, lights[0]);
    cairo_fill_preserve(cr);
    rn_pen_use_rgb(&canvas->pen, lights[1]);
    cairo_set_line_width(cr, 2.6);
    cairo_stroke(cr);
}

static void name_pin(rv_canvas *canvas, const field *f, double x, double y)
{
    const rn_letters letters = {.size = 13, .bold = true, .role = RN_ROLE_BRASS};
    const double wide = rn_pen_measure(&canvas->pen, 0, 0, letters, "this plan").width;
    const bool left = x + 24 + wide > f->box.x + f->box.width, up = y + 28 > f->box.y + f->box.height;
    const double tx = left ? x - 20 - wide : x + 20, ty = up ? y - 14 : y + 22;
    if (tx < f->box.x)
        return;
    const rn_box box = rn_pen_measure(&canvas->pen, tx, ty, letters, "this plan");
    const rn_box plate = {box.x - 6, ty - 15, box.width + 12, 21};
    if (!works_has_room(canvas, plate))
        return;
    works_plate(canvas, plate, RN_ROLE_BENCH);
    rn_pen_text(&canvas->pen, tx, ty, letters, "this plan");
}

static void draw_cross_lines(rv_canvas *canvas, const field *f, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box box = f->box;
    for (int k = 0; k < 2; k++) { /* seen on the bright opening as well */
        cairo_set_dash(cr, (double[]){2, 3}, 2, 0);
        const rn_role role = k ? RN_ROLE_BRASS : RN_ROLE_BENCH;
        const double width = k ? 1.2 : 2.4;
        if (x >= box.x && x <= box.x + box.width)
            rn_pen_line(&canvas->pen, role, width, x, box.y - 5, x, box.y + box.height);
        if (y >= box.y && y <= box.y + box.height)
            rn_pen_line(&canvas->pen, role, width, box.x, y, box.x + box.width, y);
    }
    cairo_set_dash(cr, NULL, 0, 0);
}

static void draw_pin(rv_canvas *canvas, const field *f)
{
    const rv_view *view = canvas->view;
    const rn_box box = f->box;
    const pin p = place_pin(canvas, f);
    double x = p.x, y = p.y;
    int column, row, own_column, own_row;
    bool works;
    if (p.stands)
        draw_cross_lines(canvas, f, x, y);
    if (!p.on_map)
        return;
    map_nearest_tile(&own_column, &own_row, f->window, p.along_x, p.along_y);
    const bool dragged = canvas_dragged(canvas, PART_PIN, 0, 0);
    if (!dragged && kind_at(f, own_column, own_row) != RN_TILE_WORKS &&
        map_find_nearest(&column, &row, &works, view->map, p.along_x, p.along_y) && works) {
        double nx, ny;
        works_middle(&nx, &ny, &canvas->at, f->window, column, row);
        draw_way(canvas, x, y, nx, ny);
    }
    if (dragged) {
        x = fmin(fmax(view->pointer_x, box.x), box.x + box.width);
        y = fmin(fmax(view->pointer_y, box.y), box.y + box.height);
    }
    canvas_knob(canvas, x, y, 8, 0, canvas_focused(canvas, PART_PIN, 0, 0));
    canvas_grip(canvas, PART_PIN, 0, 0, x, y);
    name_pin(canvas, f, x, y);
}

static void draw_looked_at(rv_canvas *canvas, const field *f)
{
    int column, row;
    if (!works_looked_at(&column, &row, canvas->view))
        return;
    const rn_box box = box_of(f, column, row);
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_set_line_width(cr, 4);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_stroke(cr);
    rn_pen_use(&canvas->pen, canvas->view->map_hand.keyed ? RN_ROLE_BRASS : RN_ROLE_INK);
    cairo_set_line_width(cr, 2);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_stroke(cr);
}

/* ---- no window ---- */

static void draw_nothing(rv_canvas *canvas, rn_box box)
{
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(canvas->pen.cr, box.x, box.y, box.width, box.height);
    cairo_fill(canvas->pen.cr);
    const rv_view *view = canvas->view;
    const char *text = document_plan(view->doc)->paint_count == 0 ? "No paint on the shelf. N puts a jar there."
                       : !edit_pourable(document_plan(view->doc)) ? "Nothing poured yet."
                                                                  : "not worked out yet";
    const double x = box.x + 0.5 * box.width, y = box.y + 0.5 * box.height;
    works_label(canvas, x, y, box.width - 20, RN_TILE_OPEN, text);
}

void works_tiles(rv_canvas *canvas, const rv_works_at *at)
{
    field f;
    const rv_map *map = canvas->view->map;
    if (!map || !map->window) {
        draw_nothing(canvas, at->field);
        return;
    }
    look(&f, map, at->field);
    canvas_handle(canvas, PART_TILES, 0, 0, at->field);
    draw_opening(canvas, &f);
    for (int row = 0; row < f.rows; row++)
        for (int column = 0; column < f.columns; column++)
            draw_tile(canvas, &f, column, row);
    draw_looked_at(canvas, &f);
    draw_pin(canvas, &f);
    name_opening(canvas, &f);
    for (int k = 1; k < RN_WINDOW_LOOKS; k++) /* after what works */
        name_kind(canvas, &f, rn_window_looks[k]);
    if (canvas_focused(canvas, PART_TILES, 0, 0) && !canvas->view->map_hand.keyed)
        canvas_focus(canvas, at->field);
}
