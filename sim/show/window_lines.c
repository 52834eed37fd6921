#include "show/window_lines.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "show/axis.h"

/* ---- where they run ---- */

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
static int levels_of(double levels[RN_WINDOW_LEVELS_MOST], const rn_window *window, rn_window_field field)
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
    const double step = rn_axis_step(most - least, RN_WINDOW_LEVELS_MOST - 1);
    for (double k = floor(least / step) + 1; k * step < most && count < RN_WINDOW_LEVELS_MOST; k++)
        levels[count++] = k * step;
    return count;
}

void rn_window_lines_clear(rn_window_lines *lines)
{
    for (int i = 0; i < lines->count; i++)
        rn_contour_clear(&lines->contours[i]);
    lines->count = 0;
}

bool rn_window_lines_trace(rn_window_lines *lines, const rn_window *window, rn_window_field field)
{
    const rn_window_options options = rn_window_options_of(window);
    const int columns = options.columns, tiles = columns * options.rows;
    double *values = malloc((size_t)tiles * sizeof *values);
    bool good = values != NULL;
    *lines = (rn_window_lines){0};
    lines->count = levels_of(lines->levels, window, field);
    for (int i = 0; good && i < tiles; i++)
        values[i] = value_of(rn_window_tile(window, i % columns, i / columns), field);
    for (int i = 0; good && i < lines->count; i++) {
        good = rn_contour_trace(&lines->contours[i], values, columns, options.rows, lines->levels[i]);
        rn_contour_smooth(&lines->contours[i], 2);
    }
    free(values);
    if (!good)
        rn_window_lines_clear(lines);
    return good;
}

/* Where few tiles are known, a level may lie between two of them that are no neighbours: then there is no line. */
bool rn_window_field_shown(const rn_window *window, rn_window_field field)
{
    rn_window_lines lines;
    bool any = false;
    if (!rn_window_lines_trace(&lines, window, field))
        return false;
    for (int i = 0; i < lines.count; i++)
        any = any || lines.contours[i].line_count > 0;
    rn_window_lines_clear(&lines);
    return any;
}

/* ---- how they look ---- */

rn_role rn_window_field_role(rn_window_field field)
{
    return field == RN_WINDOW_COVERAGE ? RN_ROLE_INK : field == RN_WINDOW_RUN_OFF ? RN_ROLE_RUN_OFF : RN_ROLE_PULLED;
}

void rn_window_level_text(char text[RN_WINDOW_LEVEL_TEXT], rn_window_field field, double level)
{
    snprintf(text, RN_WINDOW_LEVEL_TEXT, field == RN_WINDOW_STRETCH ? "%.3g to 1" : "%.3g %%", level);
}

void rn_window_field_bed(rn_pen *pen)
{
    cairo_save(pen->cr);
    cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_set_line_width(pen->cr, 4.4);
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

void rn_window_field_ink(rn_pen *pen, rn_window_field field)
{
    static const double dashes[] = {7, 4}, dots[] = {0.1, 4.2};
    cairo_save(pen->cr);
    cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
    rn_pen_use(pen, rn_window_field_role(field));
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
