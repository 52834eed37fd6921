#include "show/window_map.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "show/window_lines.h"

#define GRID_LEAST 9.0 /* tiles smaller than this are not ruled */
#define NAME_SIZE 15.0
#define NAME_PAD 7.0
#define TRIES 200 /* places for a name */
#define LOOK_STEP 2.0
#define OVAL_POINTS 180

typedef struct map {
    rn_box box;
    const rn_window *window;
    const rn_window_answer *answer;
    int columns, rows;
    double wide, high; /* of a tile */
    int *looks;        /* row by row */
    rn_window_lines lines[RN_WINDOW_FIELDS];
} map;

/* ---- places ---- */

static double place_x(const map *m, double column)
{
    return m->box.x + (column + 0.5) * m->wide;
}

static double place_y(const map *m, double row)
{
    return m->box.y + m->box.height - (row + 0.5) * m->high;
}

static int look_at(const map *m, int column, int row)
{
    return m->looks[row * m->columns + column];
}

static int count_of(const map *m, int look)
{
    int count = 0;
    for (int i = 0; i < m->columns * m->rows; i++)
        count += m->looks[i] == look;
    return count;
}

static void add_tile(const rn_pen *pen, const map *m, int column, int row)
{
    cairo_rectangle(pen->cr, place_x(m, column - 0.5), place_y(m, row + 0.5), m->wide, m->high);
}

/* ---- wall and opening ---- */

static void draw_look(rn_pen *pen, const map *m, int look)
{
    if (count_of(m, look) == 0)
        return;
    cairo_save(pen->cr);
    cairo_new_path(pen->cr);
    for (int row = 0; row < m->rows; row++)
        for (int column = 0; column < m->columns; column++)
            if (look_at(m, column, row) == look)
                add_tile(pen, m, column, row);
    cairo_clip(pen->cr);
    rn_pen_use(pen, rn_window_ground(look));
    cairo_paint(pen->cr);
    rn_window_texture(pen, m->box, look);
    cairo_restore(pen->cr);
}

static void rule_tiles(rn_pen *pen, const map *m)
{
    if (fmin(m->wide, m->high) < GRID_LEAST)
        return;
    for (int column = 1; column < m->columns; column++) {
        const double x = place_x(m, column - 0.5);
        rn_pen_line(pen, RN_ROLE_HAIR, 0.7, x, m->box.y, x, m->box.y + m->box.height);
    }
    for (int row = 1; row < m->rows; row++) {
        const double y = place_y(m, row - 0.5);
        rn_pen_line(pen, RN_ROLE_HAIR, 0.7, m->box.x, y, m->box.x + m->box.width, y);
    }
}

/* Whether a tile and the next differ in whether they work. */
static bool is_edge(const map *m, int column, int row, int columns, int rows)
{
    if (column + columns >= m->columns || row + rows >= m->rows)
        return false;
    return (look_at(m, column, row) == RN_TILE_WORKS) != (look_at(m, column + columns, row + rows) == RN_TILE_WORKS);
}

static void outline_opening(rn_pen *pen, const map *m)
{
    cairo_save(pen->cr);
    cairo_new_path(pen->cr);
    for (int row = 0; row < m->rows; row++)
        for (int column = 0; column < m->columns; column++) {
            if (is_edge(m, column, row, 1, 0)) {
                cairo_move_to(pen->cr, place_x(m, column + 0.5), place_y(m, row - 0.5));
                cairo_line_to(pen->cr, place_x(m, column + 0.5), place_y(m, row + 0.5));
            }
            if (is_edge(m, column, row, 0, 1)) {
                cairo_move_to(pen->cr, place_x(m, column - 0.5), place_y(m, row + 0.5));
                cairo_line_to(pen->cr, place_x(m, column + 0.5), place_y(m, row + 0.5));
            }
        }
    cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_SQUARE);
    cairo_set_line_width(pen->cr, 2.0);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

static void frame(rn_pen *pen, const map *m)
{
    cairo_rectangle(pen->cr, m->box.x, m->box.y, m->box.width, m->box.height);
    rn_pen_use(pen, RN_ROLE_LINE);
    cairo_set_line_width(pen->cr, 1.2);
    cairo_stroke(pen->cr);
}

/* ---- plates ---- */

/* A small plate that words stand on. */
static rn_box plate_of(rn_pen *pen, double x, double y, rn_letters letters, const char *text, bool edged)
{
    const rn_box ink = rn_pen_measure(pen, x, y + 0.35 * letters.size, letters, text);
    const double pad = edged ? NAME_PAD : 2.5;
    return (rn_box){ink.x - pad, ink.y - pad, ink.width + 2 * pad, ink.height + 2 * pad};
}

/* False where they find no room. */
static bool label(rn_pen *pen, const map *m, double x, double y, rn_letters letters, const char *text, bool edged)
{
    const rn_box box = plate_of(pen, x, y, letters, text, edged);
    if (box.x < m->box.x + 2 || box.y < m->box.y + 2 || box.x + box.width > m->box.x + m->box.width - 2 ||
        box.y + box.height > m->box.y + m->box.height - 2 || !rn_pen_vacant(pen, box, 3.0))
        return false;
    cairo_rectangle(pen->cr, box.x, box.y, box.width, box.height);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, letters.role);
    cairo_set_line_width(pen->cr, 1.2);
    if (edged)
        cairo_stroke(pen->cr);
    cairo_new_path(pen->cr);
    rn_pen_text(pen, x, y + 0.35 * letters.size, letters, text);
    return true;
}

static bool within(rn_box box, double x, double y)
{
    return x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height;
}

/* Whether the border of what works runs through a box. */
static bool meets_border(const map *m, rn_box box)
{
    for (int row = 0; row < m->rows; row++)
        for (int column = 0; column < m->columns; column++) {
            const double x = place_x(m, column + 0.5), y = place_y(m, row + 0.5); /* the tile's corner */
            const bool across = x - m->wide <= box.x + box.width && x >= box.x;
            const bool up = y <= box.y + box.height && y + m->high >= box.y;
            if (is_edge(m, column, row, 1, 0) && x >= box.x && x <= box.x + box.width && up)
                return true;
            if (is_edge(m, column, row, 0, 1) && y >= box.y && y <= box.y + box.height && across)
                return true;
        }
    return false;
}

/* ---- contour lines ---- */

/* Whether a line runs through a box, looked at point by point. */
static bool meets_contour(const map *m, rn_box box, const rn_contour *contour)
{
    for (int i = 0; i < contour->line_count; i++)
        for (int k = 1; k < contour->lines[i].count; k++) {
            const int at = contour->lines[i].first + k;
            const double x0 = place_x(m, contour->x[at - 1]), y0 = place_y(m, contour->y[at - 1]);
            const double x1 = place_x(m, contour->x[at]), y1 = place_y(m, contour->y[at]);
            const int steps = 1 + (int)(hypot(x1 - x0, y1 - y0) / LOOK_STEP);
            for (int step = 0; step <= steps; step++)
                if (within(box, x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps))
                    return true;
        }
    return false;
}

/* Whether a plate would hide a piece of the border or of a line that is not its own. */
static bool hides(const map *m, rn_box box, const rn_contour *own)
{
    for (int field = 0; field < RN_WINDOW_FIELDS; field++)
        for (int i = 0; i < m->lines[field].count; i++) {
            const rn_contour *other = &m->lines[field].contours[i];
            if (other != own && meets_contour(m, box, other))
                return true;
        }
    return meets_border(m, box);
}

/* Where it hides nothing else, or else where there is room. */
static void label_line(rn_pen *pen, const map *m, rn_window_field field, double level, const rn_contour *contour)
{
    static const double shares[] = {0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9};
    const int places = (int)(sizeof shares / sizeof *shares);
    const rn_letters letters = {.size = 12.5, .role = rn_window_field_role(field), .bold = true, .align = 0.5};
    const rn_polyline *longest = NULL;
    char text[RN_WINDOW_LEVEL_TEXT];
    for (int i = 0; i < contour->line_count; i++)
        if (!longest || contour->lines[i].count > longest->count)
            longest = &contour->lines[i];
    if (!longest || longest->count < 3)
        return;
    rn_window_level_text(text, field, level);
    for (int i = 0; i < 2 * places; i++) {
        const int at = longest->first + (int)(shares[i % places] * (longest->count - 1));
        const double x = place_x(m, contour->x[at]), y = place_y(m, contour->y[at]);
        if (i < places && hides(m, plate_of(pen, x, y, letters, text, false), contour))
            continue;
        if (label(pen, m, x, y, letters, text, false))
            return;
    }
}

static void label_lines(rn_pen *pen, const map *m)
{
    for (int field = 0; field < RN_WINDOW_FIELDS; field++)
        for (int i = 0; i < m->lines[field].count; i++)
            label_line(pen, m, (rn_window_field)field, m->lines[field].levels[i], &m->lines[field].contours[i]);
}

/* Lines are drawn in two coats, all of the first before any of the second: else the bed of one would rub out another, or the
   border of what works. */
typedef enum coat { BED, INK, COATS } coat;

static void draw_lines(rn_pen *pen, const map *m, coat which)
{
    for (int field = 0; field < RN_WINDOW_FIELDS; field++)
        for (int i = 0; i < m->lines[field].count; i++) {
            const rn_contour *contour = &m->lines[field].contours[i];
            for (int k = 0; k < contour->line_count; k++) {
                const rn_polyline *line = &contour->lines[k];
                for (int at = line->first; at < line->first + line->count; at++)
                    cairo_line_to(pen->cr, place_x(m, contour->x[at]), place_y(m, contour->y[at]));
                if (line->closed)
                    cairo_close_path(pen->cr);
                if (which == BED)
                    rn_window_field_bed(pen);
                else
                    rn_window_field_ink(pen, (rn_window_field)field);
            }
        }
}

/* ---- marks ---- */

static void disc(rn_pen *pen, double x, double y, double radius)
{
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y, radius, 0, 2 * RN_PI);
}

void rn_window_mark_own(rn_pen *pen, double x, double y)
{
    disc(pen, x, y, 8.5);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill(pen->cr);
    disc(pen, x, y, 6.5);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_fill(pen->cr);
}

void rn_window_mark_nearest(rn_pen *pen, double x, double y)
{
    disc(pen, x, y, 5.0);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 2.0);
    cairo_stroke(pen->cr);
}

void rn_window_mark_best(rn_pen *pen, double x, double y)
{
    static const struct {
        rn_role role;
        double width;
    } coats[] = {{RN_ROLE_PAPER, 6.0}, {RN_ROLE_INK, 2.4}};
    for (int i = 0; i < 2; i++) {
        rn_pen_line(pen, coats[i].role, coats[i].width, x - 8, y, x + 8, y);
        rn_pen_line(pen, coats[i].role, coats[i].width, x, y - 8, x, y + 8);
    }
}

/* The half axes of the oval of working plans around the safest; false where there is none. */
static bool oval_of(double *across, double *up, const map *m)
{
    const rn_window_best *best = &m->answer->best;
    *across = best->radius * (m->columns - 1) * m->wide;
    *up = best->radius * (m->rows - 1) * m->high;
    return m->answer->found && best->radius > 0;
}

static void draw_oval(rn_pen *pen, const map *m)
{
    static const double dashes[] = {2, 3};
    double across, up;
    if (!oval_of(&across, &up, m))
        return;
    cairo_save(pen->cr);
    cairo_new_path(pen->cr);
    cairo_translate(pen->cr, place_x(m, m->answer->best.column), place_y(m, m->answer->best.row));
    cairo_scale(pen->cr, across, up);
    cairo_arc(pen->cr, 0, 0, 1, 0, 2 * RN_PI);
    cairo_restore(pen->cr);
    cairo_save(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.4);
    cairo_set_dash(pen->cr, dashes, 2, 0);
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

static bool meets_oval(const map *m, rn_box box)
{
    double across, up;
    if (!oval_of(&across, &up, m))
        return false;
    const double x = place_x(m, m->answer->best.column), y = place_y(m, m->answer->best.row);
    for (int i = 0; i < OVAL_POINTS; i++) {
        const double turned = 2 * RN_PI * i / OVAL_POINTS;
        if (within(box, x + across * cos(turned), y + up * sin(turned)))
            return true;
    }
    return false;
}

/* Right or left of a mark, above or below, where its name hides nothing, or else where there is room. */
static void name_mark(rn_pen *pen, const map *m, double x, double y, const char *text)
{
    static const double places[][3] = {{18, 0, 0}, {-18, 0, 1}, {0, -24, 0.5}, {0, 26, 0.5}, {18, 22, 0}, {18, -22, 0}};
    const size_t count = sizeof places / sizeof *places;
    for (size_t i = 0; i < 2 * count; i++) {
        const double *place = places[i % count];
        const rn_letters letters = {.size = 14.0, .role = RN_ROLE_INK, .bold = true, .align = place[2]};
        if (i < count && hides(m, plate_of(pen, x + place[0], y + place[1], letters, text, false), NULL))
            continue;
        if (label(pen, m, x + place[0], y + place[1], letters, text, false))
            return;
    }
}

typedef struct point {
    bool there;
    double x, y;
} point;

static point own_point(const map *m)
{
    const double column = rn_window_along_x(m->window, rn_window_x(m->window)->now);
    const double row = rn_window_along_y(m->window, rn_window_y(m->window)->now);
    const bool inside = column >= -0.5 && row >= -0.5 && column <= m->columns - 0.5 && row <= m->rows - 0.5;
    return (point){inside, place_x(m, column), place_y(m, row)};
}

/* Marks keep the places of texts free. */
static void keep_free(rn_pen *pen, double x, double y)
{
    if (pen->box_count < RN_BOXES_MOST)
        pen->boxes[pen->box_count++] = (rn_box){x - 9, y - 9, 18, 18};
}

/* From this plan to the nearest that works. */
static void draw_way(rn_pen *pen, const map *m, coat which)
{
    static const double dashes[] = {6, 4};
    const point own = own_point(m);
    if (!own.there || !m->answer->has_nearest)
        return;
    cairo_save(pen->cr);
    rn_pen_use(pen, which == BED ? RN_ROLE_PAPER : RN_ROLE_INK);
    cairo_set_line_width(pen->cr, which == BED ? 5.0 : 2.0);
    if (which == INK)
        cairo_set_dash(pen->cr, dashes, 2, 0);
    cairo_move_to(pen->cr, own.x, own.y);
    cairo_line_to(pen->cr, place_x(m, m->answer->nearest_column), place_y(m, m->answer->nearest_row));
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

/* Marks, and no text on one. */
static void draw_marks(rn_pen *pen, const map *m)
{
    const point own = own_point(m);
    const rn_window_answer *answer = m->answer;
    const double best_x = place_x(m, answer->best.column), best_y = place_y(m, answer->best.row);
    const double nearest_x = place_x(m, answer->nearest_column), nearest_y = place_y(m, answer->nearest_row);
    if (own.there && answer->has_nearest) {
        rn_window_mark_nearest(pen, nearest_x, nearest_y);
        keep_free(pen, nearest_x, nearest_y);
    }
    if (answer->found) {
        rn_window_mark_best(pen, best_x, best_y);
        keep_free(pen, best_x, best_y);
    }
    if (own.there) {
        rn_window_mark_own(pen, own.x, own.y);
        keep_free(pen, own.x, own.y);
    }
}

static void name_marks(rn_pen *pen, const map *m)
{
    const point own = own_point(m);
    const rn_window_best *best = &m->answer->best;
    if (own.there)
        name_mark(pen, m, own.x, own.y, "this plan");
    if (m->answer->found)
        name_mark(pen, m, place_x(m, best->column), place_y(m, best->row), "safest");
}

/* ---- names of the regions ---- */

/* How much of a box around a tile is of a kind, 0..1. */
static double share_of(const map *m, int look, int column, int row, int across, int up)
{
    int count = 0;
    for (int r = row - up; r <= row + up; r++)
        for (int c = column - across; c <= column + across; c++)
            count += c >= 0 && r >= 0 && c < m->columns && r < m->rows && look_at(m, c, r) == look;
    return (double)count / ((2 * across + 1) * (2 * up + 1));
}

/* How well each tile suits as the middle of a name: most of its surroundings are of the kind, at least so much of them, and
   it is near the middle of all that are. -INFINITY where it does not. */
static void score_tiles(double *scores, const map *m, int look, int across, int up, double enough)
{
    const int all = count_of(m, look);
    double middle_x = 0, middle_y = 0;
    for (int i = 0; i < m->columns * m->rows; i++)
        if (look_at(m, i % m->columns, i / m->columns) == look) {
            middle_x += (double)(i % m->columns) / all;
            middle_y += (double)(i / m->columns) / all;
        }
    for (int i = 0; i < m->columns * m->rows; i++) {
        const int column = i % m->columns, row = i / m->columns;
        const double share = share_of(m, look, column, row, across, up);
        const double far = hypot((column - middle_x) / m->columns, (row - middle_y) / m->rows);
        scores[i] = share >= enough ? share - 0.2 * far : -INFINITY;
    }
}

/* False where there is no room. */
static bool name_look(rn_pen *pen, const map *m, int look, rn_letters letters, double enough)
{
    const char *text = rn_window_look_word(look);
    const int count = m->columns * m->rows;
    const rn_box ink = rn_pen_measure(pen, 0, 0, letters, text);
    const int across = (int)ceil((0.5 * ink.width + NAME_PAD) / m->wide - 0.5);
    const int up = (int)ceil((0.5 * letters.size + NAME_PAD) / m->high - 0.5);
    double *scores = malloc((size_t)count * sizeof *scores);
    bool done = false;
    if (!scores)
        return false;
    score_tiles(scores, m, look, across, up, enough);
    for (int i = 0; i < count; i++) /* the one name that has no edge is not to lie on the oval's dots */
        if (scores[i] > -INFINITY && look == RN_TILE_WORKS &&
            meets_oval(m, plate_of(pen, place_x(m, i % m->columns), place_y(m, (double)(i / m->columns)), letters, text,
                                   true)))
            scores[i] = -INFINITY;
    for (int tries = 0; tries < TRIES && !done; tries++) {
        int at = 0;
        for (int i = 1; i < count; i++)
            at = scores[i] > scores[at] ? i : at;
        if (!(scores[at] > -INFINITY))
            break;
        done = label(pen, m, place_x(m, at % m->columns), place_y(m, (double)(at / m->columns)), letters, text,
                     look != RN_TILE_WORKS);
        scores[at] = -INFINITY;
    }
    free(scores);
    return done;
}

static void name_looks(rn_pen *pen, const map *m)
{
    static const rn_role roles[RN_WINDOW_LOOKS] = {
        [RN_TILE_OPEN] = RN_ROLE_INK2,       [RN_TILE_WORKS] = RN_ROLE_INK,     [RN_TILE_SHORT] = RN_ROLE_SHORT,
        [RN_TILE_SPILLED] = RN_ROLE_RUN_OFF, [RN_TILE_PULLED] = RN_ROLE_PULLED, [RN_TILE_NONE] = RN_ROLE_INK2,
        [RN_WINDOW_DRY] = RN_ROLE_RUN_OFF,
    };
    rn_letters wide = {.size = 24.0, .role = RN_ROLE_INK, .lettering = RN_LETTERS_WIDE, .align = 0.5};
    while (!name_look(pen, m, RN_TILE_WORKS, wide, 1) && wide.size > 13)
        wide.size -= 3;
    for (int look = 0; look < RN_WINDOW_LOOKS; look++)
        if (look != RN_TILE_WORKS)
            name_look(pen, m, look, (rn_letters){.size = NAME_SIZE, .role = roles[look], .bold = true, .align = 0.5},
                      0.6);
}

static void draw(rn_pen *pen, const map *m)
{
    for (int look = 0; look < RN_WINDOW_LOOKS; look++)
        draw_look(pen, m, look);
    rule_tiles(pen, m);
    for (coat which = BED; which < COATS; which++) {
        if (which == INK)
            outline_opening(pen, m);
        draw_lines(pen, m, which);
        draw_way(pen, m, which);
    }
    draw_oval(pen, m);
    draw_marks(pen, m);
    label_lines(pen, m);
    name_marks(pen, m);
    name_looks(pen, m);
    frame(pen, m);
}

/* False if no memory. */
static bool prepare(map *m)
{
    bool good = true;
    m->looks = malloc((size_t)(m->columns * m->rows) * sizeof *m->looks);
    for (int i = 0; m->looks && i < m->columns * m->rows; i++)
        m->looks[i] = rn_window_look(m->window, i % m->columns, i / m->columns);
    for (int field = 0; field < RN_WINDOW_FIELDS && good; field++)
        good = rn_window_lines_trace(&m->lines[field], m->window, (rn_window_field)field);
    return good && m->looks;
}

bool rn_window_map_draw(rn_pen *pen, rn_box box, const rn_window_page *page)
{
    const rn_window_options options = rn_window_options_of(page->window);
    map m = {.box = box,
             .window = page->window,
             .answer = page->answer,
             .columns = options.columns,
             .rows = options.rows,
             .wide = box.width / options.columns,
             .high = box.height / options.rows};
    const bool good = prepare(&m);
    if (good)
        draw(pen, &m);
    for (int field = 0; field < RN_WINDOW_FIELDS; field++)
        rn_window_lines_clear(&m.lines[field]);
    free(m.looks);
    return good;
}
