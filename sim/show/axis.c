#include "show/axis.h"

#include <math.h>
#include <stdio.h>

double rn_axis_place(const rn_axis *axis, double value)
{
    return axis->x0 + (axis->x1 - axis->x0) * (value - axis->from) / (axis->to - axis->from);
}

double rn_axis_step(double range, int most)
{
    static const double steps[] = {1, 2, 5, 10};
    const double least = range / most, decade = pow(10, floor(log10(least)));
    for (int i = 0; i < 3; i++)
        if (steps[i] * decade >= least * (1 - 1e-9))
            return steps[i] * decade;
    return steps[3] * decade;
}

static void write_value(char text[40], double value, const char *unit)
{
    /* A true minus sign; + 0.0 rids a zero of its sign. */
    snprintf(text, 40, "%s%.6g%s%s", value < 0 ? "\u2212" : "", fabs(value) + 0.0, unit[0] ? " " : "", unit);
}

/* In a dark room hairs do not show on paper. */
static rn_role hair(const rn_pen *pen)
{
    return pen->dark ? RN_ROLE_LINE : RN_ROLE_HAIR;
}

static double value_of(long k, double step)
{
    return (double)k * step;
}

#define MARKS_MOST 1000 /* more would be a step that is not of this axis */

/* The marks of an axis, as multiples of the step; false where they cannot be counted. */
static bool count_marks(long *first, long *last, const rn_axis *axis, double step)
{
    const double from = ceil(axis->from / step - 1e-9), to = floor(axis->to / step + 1e-9);
    if (!(fabs(from) < 1e15 && to - from <= MARKS_MOST))
        return false;
    *first = (long)from;
    *last = (long)to;
    return true;
}

void rn_axis_draw_along(rn_pen *pen, const rn_axis *axis, double y, double top, double step, const char *unit)
{
    long first, last;
    if (!count_marks(&first, &last, axis, step))
        return;
    for (long k = first; k <= last; k++) {
        const double x = rn_axis_place(axis, value_of(k, step));
        char text[40];
        write_value(text, value_of(k, step), k == last ? unit : "");
        rn_pen_line(pen, hair(pen), 1.0, x, top, x, y);
        rn_pen_line(pen, RN_ROLE_LINE, 1.0, x, y, x, y + 5.0);
        rn_pen_text(pen, x, y + 19.0, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 0.5}, text);
    }
}

void rn_axis_draw_up(rn_pen *pen, const rn_axis *axis, double x, double x1, double step, const char *unit)
{
    long first, last;
    if (!count_marks(&first, &last, axis, step))
        return;
    for (long k = first; k <= last; k++) {
        const double y = rn_axis_place(axis, value_of(k, step));
        char text[40];
        write_value(text, value_of(k, step), k == last ? unit : "");
        rn_pen_line(pen, hair(pen), 1.0, x, y, x1, y);
        rn_pen_text(pen, x - 8.0, y + 4.2, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 1.0}, text);
    }
}
