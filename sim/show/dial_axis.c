#include "show/dial_axis.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "matter/paint.h"
#include "show/axis.h"

#define WORD_GAP 12.0

double rn_dial_axis_place(const rn_dial_axis *axis, double value)
{
    const rn_dial *dial = axis->dial;
    const double share = dial->logarithmic ? log(value / dial->from) / log(dial->to / dial->from)
                                           : (value - dial->from) / (dial->to - dial->from);
    return axis->x0 + (axis->x1 - axis->x0) * share;
}

/* ---- round values ---- */

static double unit_of(const rn_dial *dial)
{
    const rn_unit *unit = rn_units_own(dial->dimension);
    return unit ? unit->factor : 1;
}

static int by_steps(double values[RN_DIAL_TICKS_MOST], const rn_dial_axis *axis, double gap)
{
    const rn_dial *dial = axis->dial;
    const double unit = unit_of(dial), from = dial->from / unit, to = dial->to / unit;
    const int most = (int)fmin(fmax(floor(fabs(axis->x1 - axis->x0) / gap), 1), RN_DIAL_TICKS_MOST - 1);
    double step = rn_axis_step(to - from, most);
    if (dial->whole)
        step = fmax(1, step);
    int count = 0;
    for (double k = ceil(from / step - 1e-9); k * step <= to * (1 + 1e-9) && count < RN_DIAL_TICKS_MOST; k++)
        values[count++] = k * step * unit;
    return count;
}

static int in_decades(double values[RN_DIAL_TICKS_MOST], const rn_dial *dial, const double *set, int size)
{
    const double unit = unit_of(dial), from = dial->from / unit, to = dial->to / unit;
    int count = 0;
    for (double decade = floor(log10(from)); decade <= log10(to) + 1e-9; decade++)
        for (int i = 0; i < size; i++) {
            const double value = set[i] * pow(10, decade);
            if (value >= from * (1 - 1e-9) && value <= to * (1 + 1e-9) && count < RN_DIAL_TICKS_MOST)
                values[count++] = value * unit;
        }
    return count;
}

static double closest(const double *values, int count, const rn_dial_axis *axis)
{
    double least = INFINITY;
    for (int i = 1; i < count; i++)
        least = fmin(least, fabs(rn_dial_axis_place(axis, values[i]) - rn_dial_axis_place(axis, values[i - 1])));
    return least;
}

int rn_dial_axis_ticks(double values[RN_DIAL_TICKS_MOST], const rn_dial_axis *axis, double gap)
{
    static const double finest[] = {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8}, finer[] = {1, 1.5, 2, 3, 4, 5, 7},
                        fine[] = {1, 2, 3, 5}, coarse[] = {1, 2, 5}, decades[] = {1};
    static const struct {
        const double *set;
        int size;
    } sets[] = {{finest, 10}, {finer, 7}, {fine, 4}, {coarse, 3}, {decades, 1}};
    int count = 0;
    if (!axis->dial->logarithmic)
        return by_steps(values, axis, gap);
    for (size_t i = 0; i < sizeof sets / sizeof *sets; i++) {
        count = in_decades(values, axis->dial, sets[i].set, sets[i].size);
        if (closest(values, count, axis) >= gap)
            return count;
    }
    return count;
}

/* ---- in words ---- */

/* What one element of a list is called, before its number; paints have names. NULL: there is no such list. */
static const char *noun_of(const char *list)
{
    static const char *const nouns[][2] = {
        {"base", "base coat "}, {"pours", "pour "}, {"moves", "move "}, {"paints", ""}};
    for (size_t i = 0; i < sizeof nouns / sizeof *nouns; i++)
        if (strcmp(list, nouns[i][0]) == 0)
            return nouns[i][1];
    return NULL;
}

/* Keys that only make sense beside their value: what they are as nouns. */
static const char *word_of(const char *key)
{
    static const char *const words[][2] = {
        {"for", "length"},        {"across", "diameter"},   {"every", "interval"},
        {"open", "opening time"}, {"uneven", "unevenness"}, {"repeat", "repeats"},
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(key, words[i][0]) == 0)
            return words[i][1];
    return key;
}

void rn_dial_words(char *text, int size, const rn_dial *dial)
{
    char list[40], key[60], element[60], item[60];
    const int steps = sscanf(dial->path, "%39[a-z].%59[^.].%59[^.].%59[^.]", list, element, key, item);
    const char *noun = steps >= 3 ? noun_of(list) : NULL;
    if (rn_dial_is_poured(dial))
        snprintf(text, (size_t)size, "paint poured");
    else if (noun && steps == 4) /* of a stack, by its paint or by its number */
        snprintf(text, (size_t)size, "%s%s of %s%s", strspn(item, "0123456789") == strlen(item) ? "layer " : "", item,
                 noun, element);
    else if (noun)
        snprintf(text, (size_t)size, "%s of %s%s", word_of(key), noun, element);
    else if (sscanf(dial->path, "panel.%59[^.]", key) == 1)
        snprintf(text, (size_t)size, "%s of the panel", word_of(key));
    else
        snprintf(text, (size_t)size, "%s", dial->path);
}

static void write_figure(char text[60], const rn_dial *dial, double value)
{
    char plain[40];
    const double figure = rn_dial_signed(dial, value) / unit_of(dial);
    rn_units_round(plain, sizeof plain, fabs(figure), RN_DIM_PLAIN, NULL, 4);
    snprintf(text, 60, "%s%s", figure < 0 ? "\u2212" : "", plain);
}

/* With the unit for a heading: "paint poured, ml". */
static void write_heading(char text[RN_DIAL_PATH + 40], const rn_dial *dial)
{
    const rn_unit *unit = rn_units_own(dial->dimension);
    char words[RN_DIAL_PATH + 20];
    rn_dial_words(words, sizeof words, dial);
    snprintf(text, RN_DIAL_PATH + 40, "%s%s%s", words, unit ? ", " : "", unit ? unit->name : "");
}

/* ---- drawn ---- */

/* The ladder's words under the middle of their ranges, where there is room; turned: beside a vertical axis. */
static void draw_ladder(rn_pen *pen, const rn_dial_axis *axis, double across, int turn)
{
    const double end = axis->dial->to, begin = axis->dial->from;
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) {
        const double from = fmax(rn_consistency_ladder[i].range_from, begin);
        const double to = i + 1 < RN_CONSISTENCY_COUNT ? fmin(rn_consistency_ladder[i + 1].range_from, end) : end;
        if (!(from < to))
            continue;
        const double a = rn_dial_axis_place(axis, from), b = rn_dial_axis_place(axis, to), middle = 0.5 * (a + b);
        const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .align = 0.5, .turn = turn};
        const rn_box box =
            rn_pen_measure(pen, turn ? across : middle, turn ? middle : across, letters, rn_consistency_ladder[i].word);
        if ((turn ? box.height : box.width) + WORD_GAP <= fabs(b - a))
            rn_pen_text(pen, turn ? across : middle, turn ? middle : across, letters, rn_consistency_ladder[i].word);
        if (to < end && !turn)
            rn_pen_line(pen, RN_ROLE_LINE, 1.0, b, across - 10.0, b, across + 2.0);
        if (to < end && turn)
            rn_pen_line(pen, RN_ROLE_LINE, 1.0, across - 10.0, b, across + 2.0, b);
    }
}

void rn_dial_axis_draw_along(rn_pen *pen, const rn_dial_axis *axis, double y)
{
    double values[RN_DIAL_TICKS_MOST];
    char text[RN_DIAL_PATH + 40];
    const int count = rn_dial_axis_ticks(values, axis, 46.0);
    const bool ladder = axis->dial->dimension == RN_DIM_VISCOSITY;
    for (int i = 0; i < count; i++) {
        const double x = rn_dial_axis_place(axis, values[i]);
        write_figure(text, axis->dial, values[i]);
        rn_pen_line(pen, RN_ROLE_LINE, 1.2, x, y, x, y + 6.0);
        rn_pen_text(pen, x, y + 21.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK, .align = 0.5}, text);
    }
    if (ladder)
        draw_ladder(pen, axis, y + 42.0, 0);
    write_heading(text, axis->dial);
    rn_pen_text(pen, 0.5 * (axis->x0 + axis->x1), y + (ladder ? 64.0 : 44.0),
                (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .bold = true, .align = 0.5}, text);
}

void rn_dial_axis_draw_up(rn_pen *pen, const rn_dial_axis *axis, double x, double room)
{
    double values[RN_DIAL_TICKS_MOST];
    char text[RN_DIAL_PATH + 40];
    const int count = rn_dial_axis_ticks(values, axis, 30.0);
    for (int i = 0; i < count; i++) {
        const double y = rn_dial_axis_place(axis, values[i]);
        write_figure(text, axis->dial, values[i]);
        rn_pen_line(pen, RN_ROLE_LINE, 1.2, x - 6.0, y, x, y);
        rn_pen_text(pen, x - 10.0, y + 4.6, (rn_letters){.size = 13.0, .role = RN_ROLE_INK, .align = 1.0}, text);
    }
    if (axis->dial->dimension == RN_DIM_VISCOSITY)
        draw_ladder(pen, axis, x - room + 24.0, 1);
    write_heading(text, axis->dial);
    rn_pen_text(pen, axis->dial->dimension == RN_DIM_VISCOSITY ? x - room : x - 0.75 * room,
                0.5 * (axis->x0 + axis->x1),
                (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .bold = true, .align = 0.5, .turn = 1}, text);
}
