#include "show/window_map.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "show/axis.h"
#include "show/contour.h"

#define LEVELS_MOST 5
#define GRID_LEAST 9.0 /* tiles smaller than this are not ruled */
#define NAME_SIZE 15.0
#define NAME_PAD 7.0
#define TRIES 200 /* places for a name */

typedef struct map {
    rn_box box;
    const rn_window *window;
    const rn_window_answer *answer;
    int columns, rows;
    double wide, high; /* of a tile */
    int *looks;        /* row by row */
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

/* ---- contour lines ---- */

/* The lines of one field, owned. */
typedef struct line_set {
    int count;
    double levels[LEVELS_MOST];
    rn_contour contours[LEVELS_MOST];
} line_set;

static double value_of(const rn_tile *tile, rn_window_field field)
{
    const rn_outcome *outcome = &tile->outcome;
    if (outcome->state != RN_OUTCOME_WHOLE)
        return NAN;
    switch (field) {
    case RN_WINDOW_COVERAGE: return 100 * outcome->coverage;
    case RN_WINDOW_RUN_OFF: return 100 * rn_outcome_lost(outcome);
    case RN_WINDOW_STRETCH: return outcome->has_pattern ? outcome->stretch : NAN;
    case RN_WINDOW_FIELDS: break;
    }
    return NAN;
}

static void range_of(double *least, double *most, const rn_window *window, rn_window_field field)
{
    const rn_window_options options = rn_window_options_of(window);
    *least = INFINITY;
    *most = -INFINITY;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            const double value = value_of(rn_window_tile(window, column, row), field);
            *least = fmin(*least, value); /* a NaN is passed over */
            *most = fmax(*most, value);
        }
}

/* Levels of its lines: for coverage those a painter speaks of, else round ones. */
static int levels_of(double levels[LEVELS_MOST], const rn_window *window, rn_window_field field)
{
    static const double shares[] = {50, 80, 95, 99};
    double least, most;
    int count = 0;
    range_of(&least, &most, window, field);
    if (!(most > least))
        return 0;
    if (field == RN_WINDOW_COVERAGE) {
        for (size_t i = 0; i < sizeof shares / sizeof *shares; i++)
            if (shares[i] > least && shares[i] < most)
                levels[count++] = shares[i];
        return count;
    }
    if (field == RN_WINDOW_RUN_OFF && most < 1)
        return 0;
    const double step = rn_axis_step(most - least, LEVELS_MOST - 1);
    for (double k = floor(least / step) + 1; k * step < most && count < LEVELS_MOST; k++)
        levels[count++] = k * step;
    return count;
}

static rn_role role_of(rn_window_field field)
{
    return field == RN_WINDOW_COVERAGE ? RN_ROLE_INK : field == RN_WINDOW_RUN_OFF ? RN_ROLE_RUN_OFF : RN_ROLE_PULLED;
}

/* Strokes the path as a line of the field, on a pale bed so that it stands out from any texture. */
static void stroke(rn_pen *pen, rn_window_field field)
{
    static const double dashes[] = {7, 4}, dots[] = {0.1, 4.2};
    cairo_save(pen->cr);
    cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_set_line_width(pen->cr, 4.4);
    cairo_stroke_preserve(pen->cr);
    rn_pen_use(pen, role_of(field));
    cairo_set_line_width(pen->cr, field == RN_WINDOW_STRETCH ? 2.4 : 1.7);
    if (field == RN_WINDOW_RUN_OFF)
        cairo_set_dash(pen->cr, dashes, 2, 0);
    if (field == RN_WINDOW_STRETCH) {
        cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
        cairo_set_dash(pen->cr, dots, 2, 0);
    }
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

void rn_window_field_stroke(rn_pen *pen, rn_window_field field, double x0, double y0, double x1, double y1)
{
    cairo_move_to(pen->cr, x0, y0);
    cairo_line_to(pen->cr, x1, y1);
    stroke(pen, field);
}

static void write_level(char text[40], rn_window_field field, double level)
{
    snprintf(text, 40, field == RN_WINDOW_STRETCH ? "%.3g to 1" : "%.3g %%", level);
}

/* A small plate that the words stand on; false where they find no room. */
static bool label(rn_pen *pen, const map *m, double x, double y, rn_letters letters, const char *text, bool edged)
{
    const rn_box ink = rn_pen_measure(pen, x, y + 0.35 * letters.size, letters, text);
    const double pad = edged ? NAME_PAD : 2.5;
    const rn_box box = {ink.x - pad, ink.y - pad, ink.width + 2 * pad, ink.height + 2 * pad};
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

static void label_line(rn_pen *pen, const map *m, rn_window_field field, double level, const rn_contour *contour)
{
    static const double shares[] = {0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9};
    const rn_letters letters = {.size = 12.5, .role = role_of(field), .bold = true, .align = 0.5};
    const rn_polyline *longest = NULL;
    char text[40];
    for (int i = 0; i < contour->line_count; i++)
        if (!longest || contour->lines[i].count > longest->count)
            longest = &contour->lines[i];
    if (!longest || longest->count < 3)
        return;
    write_level(text, field, level);
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        const int at = longest->first + (int)(shares[i] * (longest->count - 1));
        if (label(pen, m, place_x(m, contour->x[at]), place_y(m, contour->y[at]), letters, text, false))
            return;
    }
}

static void draw_line(rn_pen *pen, const map *m, rn_window_field field, const rn_contour *contour)
{
    for (int i = 0; i < contour->line_count; i++) {
        const rn_polyline *line = &contour->lines[i];
        for (int k = line->first; k < line->first + line->count; k++)
            cairo_line_to(pen->cr, place_x(m, contour->x[k]), place_y(m, contour->y[k]));
        if (line->closed)
            cairo_close_path(pen->cr);
        stroke(pen, field);
    }
}

static void clear_lines(line_set *lines)
{
    for (int i = 0; i < lines->count; i++)
        rn_contour_clear(&lines->contours[i]);
    lines->count = 0;
}

/* False if no memory. */
static bool trace_lines(line_set *lines, const rn_window *window, rn_window_field field)
{
    const rn_window_options options = rn_window_options_of(window);
    const int columns = options.columns, tiles = columns * options.rows;
    double *values = malloc((size_t)tiles * sizeof *values);
    bool good = values != NULL;
    *lines = (line_set){0};
    lines->count = levels_of(lines->levels, window, field);
    for (int i = 0; good && i < tiles; i++)
        values[i] = value_of(rn_window_tile(window, i % columns, i / columns), field);
    for (int i = 0; good && i < lines->count; i++) {
        good = rn_contour_trace(&lines->contours[i], values, columns, options.rows, lines->levels[i]);
        rn_contour_smooth(&lines->contours[i], 2);
    }
    free(values);
    if (!good)
        clear_lines(lines);
    return good;
}

/* Where few tiles are known, a level may lie between two of them that are no neighbours: then there is no line. */
bool rn_window_field_shown(const rn_window *window, rn_window_field field)
{
    line_set lines;
    bool any = false;
    if (!trace_lines(&lines, window, field))
        return false;
    for (int i = 0; i < lines.count; i++)
        any = any || lines.contours[i].line_count > 0;
    clear_lines(&lines);
    return any;
}

static bool draw_field(rn_pen *pen, const map *m, rn_window_field field)
{
    line_set lines;
    if (!trace_lines(&lines, m->window, field))
        return false;
    for (int i = 0; i < lines.count; i++) {
        draw_line(pen, m, field, &lines.contours[i]);
        label_line(pen, m, field, lines.levels[i], &lines.contours[i]);
    }
    clear_lines(&lines);
    return true;
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

static void draw_oval(rn_pen *pen, const map *m)
{
    const rn_window_best *best = &m->answer->best;
    static const double dashes[] = {2, 3};
    if (!(best->radius > 0))
        return;
    cairo_save(pen->cr);
    cairo_new_path(pen->cr);
    cairo_translate(pen->cr, place_x(m, best->column), place_y(m, best->row));
    cairo_scale(pen->cr, best->radius * (m->columns - 1) * m->wide, best->radius * (m->rows - 1) * m->high);
    cairo_arc(pen->cr, 0, 0, 1, 0, 2 * RN_PI);
    cairo_restore(pen->cr);
    cairo_save(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.4);
    cairo_set_dash(pen->cr, dashes, 2, 0);
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

/* Above, below, right or left of a mark, where there is room. */
static void name_mark(rn_pen *pen, const map *m, double x, double y, const char *text)
{
    static const double places[][3] = {{18, 0, 0}, {-18, 0, 1}, {0, -24, 0.5}, {0, 26, 0.5}, {18, 22, 0}, {18, -22, 0}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        const rn_letters letters = {.size = 14.0, .role = RN_ROLE_INK, .bold = true, .align = places[i][2]};
        if (label(pen, m, x + places[i][0], y + places[i][1], letters, text, false))
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

static void draw_way(rn_pen *pen, point own, double x, double y)
{
    static const double dashes[] = {6, 4};
    for (int coat = 0; coat < 2; coat++) {
        cairo_save(pen->cr);
        rn_pen_use(pen, coat ? RN_ROLE_INK : RN_ROLE_PAPER);
        cairo_set_line_width(pen->cr, coat ? 2.0 : 5.0);
        if (coat)
            cairo_set_dash(pen->cr, dashes, 2, 0);
        cairo_move_to(pen->cr, own.x, own.y);
        cairo_line_to(pen->cr, x, y);
        cairo_stroke(pen->cr);
        cairo_restore(pen->cr);
    }
    rn_window_mark_nearest(pen, x, y);
}

static void draw_marks(rn_pen *pen, const map *m)
{
    const point own = own_point(m);
    const rn_window_answer *answer = m->answer;
    const double best_x = place_x(m, answer->best.column), best_y = place_y(m, answer->best.row);
    if (answer->found)
        draw_oval(pen, m);
    if (own.there && answer->has_nearest)
        draw_way(pen, own, place_x(m, answer->nearest_column), place_y(m, answer->nearest_row));
    if (answer->found) {
        rn_window_mark_best(pen, best_x, best_y);
        keep_free(pen, best_x, best_y);
    }
    if (own.there) {
        rn_window_mark_own(pen, own.x, own.y);
        keep_free(pen, own.x, own.y);
        name_mark(pen, m, own.x, own.y, "this plan");
    }
    if (answer->found)
        name_mark(pen, m, best_x, best_y, "safest");
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

static bool draw(rn_pen *pen, const map *m)
{
    bool good = true;
    for (int look = 0; look < RN_WINDOW_LOOKS; look++)
        draw_look(pen, m, look);
    rule_tiles(pen, m);
    outline_opening(pen, m);
    const point own = own_point(m);
    if (own.there)
        keep_free(pen, own.x, own.y);
    for (int field = 0; field < RN_WINDOW_FIELDS; field++)
        good = draw_field(pen, m, (rn_window_field)field) && good;
    draw_marks(pen, m);
    name_looks(pen, m);
    frame(pen, m);
    return good;
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
    m.looks = malloc((size_t)(m.columns * m.rows) * sizeof *m.looks);
    if (!m.looks)
        return false;
    for (int i = 0; i < m.columns * m.rows; i++)
        m.looks[i] = rn_window_look(page->window, i % m.columns, i / m.columns);
    const bool good = draw(pen, &m);
    free(m.looks);
    return good;
}
