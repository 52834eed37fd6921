/* The axes of the window of plans that work: marks, words, and what else each can be. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "axes.h"
#include "side.h"
#include "works.h"

#define ROW 26.0 /* of a list [units] */

/* Ends of an axis, at the outer edges of its first and last tile. */
static void ends_of(double *from, double *to, const rn_dial *dial, int count)
{
    const double half = 0.5 / (count - 1);
    if (dial->logarithmic) {
        const double ratio = dial->to / dial->from;
        *from = dial->from * pow(ratio, -half);
        *to = dial->to * pow(ratio, half);
    } else {
        *from = fmax(dial->from - half * (dial->to - dial->from), 0);
        *to = dial->to + half * (dial->to - dial->from);
    }
}

static const char *words_of(char text[96], const rv_axis *list, int count, const rn_dial *dial)
{
    snprintf(text, 96, "%s", dial->path);
    for (int k = 0; k < count; k++)
        if (strcmp(list[k].path, dial->path) == 0)
            snprintf(text, 96, "%s", list[k].words);
    return text;
}

/* ---- along x ---- */

/* Where along the axis a name of that width has room, as near to the middle as can be, so far from other words; NaN:
   nowhere. */
static double find_room(rv_canvas *canvas, rn_box field, double y, rn_letters letters, const char *text, double gap)
{
    const double middle = field.x + 0.5 * field.width;
    const double half = 0.5 * rn_pen_measure(&canvas->pen, middle, y, letters, text).width;
    for (int k = 0; 8 * (k / 2) + half < 0.5 * field.width; k++) {
        const double x = middle + (k % 2 ? 8 : -8) * ((k + 1) / 2);
        if (rn_pen_vacant(&canvas->pen, rn_pen_measure(&canvas->pen, x, y, letters, text), gap))
            return x;
    }
    return NAN;
}

/* The name of the axis is what it is pressed by. */
static void name_x(rv_canvas *canvas, const rv_works_at *at, const char *words)
{
    static const struct {
        double smaller, gap;
    } tries[] = {{0, 13}, {0.5, 9}, {1, 6}, {1.5, 3}};
    char text[100];
    const bool compact = canvas->at.compact;
    const double y = at->field.y + at->field.height + (compact ? 37 : 43);
    snprintf(text, sizeof text, "%s ▾", words);
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        const rn_letters letters = {
            .size = (compact ? 12 : 12.5) - tries[k].smaller, .bold = true, .align = 0.5, .role = RN_ROLE_BRASS};
        const double x = find_room(canvas, at->field, y, letters, text, tries[k].gap);
        if (isnan(x))
            continue;
        const rn_box box = rn_pen_text(&canvas->pen, x, y, letters, text);
        const rn_box target = {box.x - 6, y - 16, box.width + 12, 24};
        canvas_handle(canvas, PART_AXIS, 0, 0, target);
        if (canvas_focused(canvas, PART_AXIS, 0, 0))
            canvas_focus(canvas, target);
        return;
    }
}

/* Words of the ladder, each under the middle of its stretch. */
static void name_stretches(rv_canvas *canvas, const rv_works_at *at, const rn_window *window, double from, double to)
{
    const double y = at->field.y + at->field.height + (canvas->at.compact ? 37 : 43);
    for (int k = 0; k < RN_CONSISTENCY_COUNT; k++) {
        const double low = fmax(rn_consistency_ladder[k].range_from, from);
        const double high = fmin(k + 1 < RN_CONSISTENCY_COUNT ? rn_consistency_ladder[k + 1].range_from : to, to);
        if (high <= low * 1.15)
            continue;
        double x0, x1, unused;
        works_middle(&x0, &unused, &canvas->at, window, rn_window_along_x(window, low), 0);
        works_middle(&x1, &unused, &canvas->at, window, rn_window_along_x(window, high), 0);
        const char *const wordings[] = {rn_consistency_ladder[k].word, NULL};
        canvas_say(canvas, 0.5 * (x0 + x1), y, (rn_letters){.size = 12, .align = 0.5, .role = RN_ROLE_INK2},
                   x1 - x0 - 8, wordings);
    }
}

static void draw_x(rv_canvas *canvas, const rv_works_at *at, const rn_window *window, const rv_axis *list, int count)
{
    const rn_dial *dial = rn_window_x(window);
    const double foot = at->field.y + at->field.height, right = at->field.x + at->field.width;
    const rn_letters figures = {.size = 11.5, .align = 0.5, .role = RN_ROLE_INK2};
    const bool ounces = canvas->view->ounces;
    const char *unit = axes_unit(dial, ounces);
    double from, to;
    char text[64];
    ends_of(&from, &to, dial, rn_window_options_of(window).columns);
    rv_axis_mark marks[AXES_MARKS];
    const int all = axes_marks(marks, dial, from, to, canvas->at.compact ? 7 : 9, ounces);
    bool told = unit[0] == '\0';
    for (int k = all - 1; k >= 0; k--) { /* the last one, with the unit, has the first right to room */
        double x, unused;
        works_middle(&x, &unused, &canvas->at, window, rn_window_along_x(window, marks[k].value), 0);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, x, foot, x, foot + 5);
        snprintf(text, sizeof text, told ? "%s" : strcmp(unit, "°") == 0 ? "%s%s" : "%s\u00a0%s", marks[k].text, unit);
        const char *const wordings[] = {text, NULL};
        const rn_box box = rn_pen_measure(&canvas->pen, x, foot + 19, figures, text);
        if (rn_pen_vacant(&canvas->pen, (rn_box){box.x - 8, box.y, box.width + 16, box.height}, 2))
            told |= canvas_say(canvas, fmin(x, canvas->at.right.x - 34), foot + 19, figures, 90, wordings);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, at->field.x, foot, right, foot);
    char words[96];
    if (axes_has_words(dial))
        name_stretches(canvas, at, window, from, to);
    name_x(canvas, at, words_of(words, list, count, dial));
}

/* ---- along y ---- */

static void draw_y(rv_canvas *canvas, const rv_works_at *at, const rn_window *window, const rv_axis *list, int count)
{
    const rn_dial *dial = rn_window_y(window);
    const rn_box box = at->field;
    const bool ounces = canvas->view->ounces;
    const char *unit = axes_unit(dial, ounces);
    double from, to;
    ends_of(&from, &to, dial, rn_window_options_of(window).rows);
    rv_axis_mark marks[AXES_MARKS];
    const int all = axes_marks(marks, dial, from, to, canvas->at.compact ? 5 : 7, ounces);
    for (int k = 0; k < all; k++) {
        double unused, y;
        works_middle(&unused, &y, &canvas->at, window, 0, rn_window_along_y(window, marks[k].value));
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, box.x - 5, y, box.x, y);
        canvas_words(canvas, box.x - 9, y + 4, (rn_letters){.size = 11.5, .align = 1, .role = RN_ROLE_INK2}, 40,
                     marks[k].text);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, box.x, box.y, box.x, box.y + box.height);
    char words[96], text[128], shorter[128];
    words_of(words, list, count, dial);
    snprintf(text, sizeof text, "%s%s%s ▾", words, unit[0] ? ", " : "", unit);
    snprintf(shorter, sizeof shorter, "%s", words);
    const rn_letters up = {.size = 12.5, .bold = true, .align = 0.5, .turn = 1, .role = RN_ROLE_BRASS};
    const char *const wordings[] = {text, shorter, unit, NULL};
    const double x = canvas->at.bench.x + (canvas->at.compact ? 14 : 18), y = box.y + 0.5 * box.height;
    if (!canvas_say(canvas, x, y, up, box.height, wordings))
        return;
    const rn_box named = rn_pen_measure(&canvas->pen, x, y, up, text);
    const rn_box target = {named.x - 5, named.y - 5, named.width + 10, named.height + 10};
    canvas_handle(canvas, PART_AXIS, 1, 0, target);
    if (canvas_focused(canvas, PART_AXIS, 1, 0))
        canvas_focus(canvas, target);
}

void works_axes(rv_canvas *canvas, const rv_works_at *at)
{
    const rv_map *map = canvas->view->map;
    if (!map || !map->window)
        return;
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, rn_window_plan(map->window));
    draw_x(canvas, at, map->window, list, count);
    draw_y(canvas, at, map->window, list, count);
}

/* ---- what an axis can be ---- */

static void draw_choice(rv_canvas *canvas, rn_box row, const rv_axis *axis, int k, bool taken)
{
    const bool first = canvas->view->map_hand.choice == k;
    if (first) {
        rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
        cairo_rectangle(canvas->pen.cr, row.x, row.y, row.width, row.height);
        cairo_fill(canvas->pen.cr);
    }
    const rn_letters letters = {.size = 13,
                                .bold = taken,
                                .role = first   ? RN_ROLE_ON_BRASS
                                        : taken ? RN_ROLE_INK
                                                : RN_ROLE_INK2};
    canvas_words(canvas, row.x + 12, row.y + 18, letters, row.width - 20, axis->words);
}

rn_box works_list_box(rv_canvas *canvas, const rv_works_at *at)
{
    const rv_view *view = canvas->view;
    const int which = view->map_hand.list - 1;
    if (which < 0 || !view->map || !view->map->window)
        return (rn_box){0};
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, rn_window_plan(view->map->window));
    double widest = 120;
    for (int k = 0; k < count; k++) {
        const rn_letters letters = {.size = 13, .bold = true};
        widest = fmax(widest, rn_pen_measure(&canvas->pen, 0, 0, letters, list[k].words).width + 32);
    }
    const rn_box field = at->field;
    const double width = fmin(widest, field.width - 20), height = fmin(ROW, (field.height - 16) / count) * count + 8;
    return (rn_box){which == 0 ? field.x + 0.5 * (field.width - width) : field.x + 6,
                    which == 0 ? field.y + field.height - height - 6 : field.y + 0.5 * (field.height - height), width,
                    height};
}

void works_list(rv_canvas *canvas, rn_box box)
{
    const rv_view *view = canvas->view;
    const rn_window *window = view->map->window;
    const rn_dial *own = view->map_hand.list == 1 ? rn_window_x(window) : rn_window_y(window);
    rv_axis list[AXES_MOST];
    const int count = axes_list(list, rn_window_plan(window));
    const double step = (box.height - 8) / count;
    works_plate(canvas, box, RN_ROLE_INK2);
    for (int k = 0; k < count; k++) {
        const rn_box row = {box.x + 3, box.y + 4 + step * k, box.width - 6, step};
        draw_choice(canvas, row, &list[k], k, strcmp(own->path, list[k].path) == 0);
        canvas_handle(canvas, PART_AXIS_CHOICE, k, 0, row);
    }
}
