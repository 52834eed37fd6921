#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/physical.h"
#include "show/axis.h"
#include "show/odds_parts.h"
#include "show/report_odds.h"

#define HEAD 44.0
#define ROW 92.0
#define NAME 92.0  /* width of the names on the left */
#define NEVER 54.0 /* room for draws that are never covered, on the right */
#define CLOUD 34.0 /* height of the dots over their axis */
#define DOT 2.3
#define PLACES 400
#define VALUE_MOST 1e9 /* of any figure in its unit, far beyond what paint does: no axis reaches further */

/* Whether a demand speaks of a figure as the strip shows it. */
static bool speaks_of(const rn_expect *demand, rn_odds_figure figure)
{
    switch (demand->kind) {
    case RN_EXPECT_COVERAGE: return figure == RN_ODDS_COVERAGE;
    case RN_EXPECT_COVERED_BY: return figure == RN_ODDS_COVERED_AT;
    case RN_EXPECT_RUN_OFF: return figure == RN_ODDS_RUN_OFF && !demand->share && !demand->one_side;
    case RN_EXPECT_CORNER: return figure == RN_ODDS_LEAST_CORNER && !demand->one_side;
    case RN_EXPECT_THINNEST: return figure == RN_ODDS_THINNEST;
    case RN_EXPECT_STRETCH: return figure == RN_ODDS_STRETCH;
    case RN_EXPECT_TWIST: return figure == RN_ODDS_TWIST;
    }
    return false;
}

/* One strip: its axis in the figure's own unit. */
typedef struct strip {
    rn_odds_figure figure;
    rn_axis axis;
    double unit, y; /* y: of the axis */
    const char *unit_name;
} strip;

static void widen(double *from, double *to, double value)
{
    if (fabs(value) <= VALUE_MOST) {
        *from = fmin(*from, value);
        *to = fmax(*to, value);
    }
}

static strip lay_strip(rn_box row, const rn_odds *odds, rn_odds_figure figure)
{
    strip s = {.figure = figure, .y = row.y + 14.0 + CLOUD};
    double from = INFINITY, to = -INFINITY;
    const rn_unit *unit = rn_units_own(rn_odds_figure_dimension(figure));
    s.unit = unit ? unit->factor : 1;
    s.unit_name = unit ? unit->name : "";
    for (int k = 0; k < odds->done; k++)
        if (odds->draws[k].outcome.state == RN_OUTCOME_WHOLE)
            widen(&from, &to, rn_odds_figure_of(figure, &odds->draws[k].outcome) / s.unit);
    if (odds->own.state == RN_OUTCOME_WHOLE)
        widen(&from, &to, rn_odds_figure_of(figure, &odds->own) / s.unit);
    for (int i = 0; i < odds->goal.count; i++)
        if (speaks_of(&odds->goal.demands[i], figure))
            widen(&from, &to, odds->goal.demands[i].value / s.unit);
    if (!(to >= from)) /* nothing but never */
        from = to = 0;
    if (!(to - from > 1e-6 * fabs(to))) { /* all alike: some room to show it in */
        from = to > 0 ? 0.9 * to : 0;
        to = to > 0 ? to : 1;
    }
    const double step = rn_axis_step(to - from, 5);
    const bool never = odds->spreads[figure].never > 0;
    s.axis = (rn_axis){step * floor(from / step + 1e-9), step * ceil(to / step - 1e-9), row.x + NAME + 8.0,
                       row.x + row.width - 30.0 - (never ? NEVER : 0.0)};
    if (!(s.axis.to > s.axis.from)) /* all draws come to the same */
        s.axis.to = s.axis.from + step;
    return s;
}

/* On the paper, at an end of the axis where the value lies beyond it. */
static double place_within(const strip *s, double value)
{
    return rn_axis_place(&s->axis, fmax(s->axis.from, fmin(s->axis.to, value)));
}

static void shade(rn_pen *pen, const strip *s, double from, double to)
{
    const double x0 = place_within(s, from), x1 = place_within(s, to);
    cairo_t *cr = pen->cr;
    if (!(x1 > x0))
        return;
    cairo_save(cr);
    cairo_rectangle(cr, x0, s->y - CLOUD, x1 - x0, CLOUD);
    cairo_clip(cr);
    const int lines = (int)ceil((x1 - x0 + CLOUD) / 7.0);
    for (int i = 0; i < lines; i++) {
        const double x = x0 - CLOUD + 7.0 * i;
        rn_pen_line(pen, RN_ROLE_HAIR, 1.4, x, s->y, x + CLOUD, s->y - CLOUD);
    }
    cairo_restore(cr);
}

/* What is demanded: hatched where it is missed. */
static void draw_demands(rn_pen *pen, const strip *s, const rn_odds *odds)
{
    for (int i = 0; i < odds->goal.count; i++) {
        const rn_expect *demand = &odds->goal.demands[i];
        if (!speaks_of(demand, s->figure))
            continue;
        const double tolerance = demand->relation == RN_ABOUT ? demand->tolerance : 0;
        const double low = (demand->value - tolerance) / s->unit, high = (demand->value + tolerance) / s->unit;
        if (demand->relation != RN_AT_MOST) {
            shade(pen, s, -INFINITY, low);
            rn_pen_line(pen, RN_ROLE_SHORT, 1.6, place_within(s, low), s->y - CLOUD - 3.0, place_within(s, low), s->y);
        }
        if (demand->relation != RN_AT_LEAST) {
            shade(pen, s, high, INFINITY);
            rn_pen_line(pen, RN_ROLE_SHORT, 1.6, place_within(s, high), s->y - CLOUD - 3.0, place_within(s, high),
                        s->y);
        }
    }
}

static void draw_dot(rn_pen *pen, double x, double y, bool met)
{
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y, met ? DOT : DOT - 0.4, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, met ? RN_ROLE_GLASS : RN_ROLE_SHORT);
    if (met) {
        cairo_fill(pen->cr);
    } else {
        cairo_set_line_width(pen->cr, 1.0);
        cairo_stroke(pen->cr);
    }
}

/* Dots that would lie on one another are heaped, as low as there is room. */
static void draw_cloud(rn_pen *pen, const strip *s, const rn_odds *odds)
{
    int heights[PLACES + 1] = {0}, never = 0, most = 1;
    const double width = s->axis.x1 - s->axis.x0, place = 2.0 * DOT + 0.4;
    for (int pass = 0; pass < 2; pass++) {
        for (int i = 0; i <= PLACES; i++)
            heights[i] = 0;
        never = 0;
        for (int k = 0; k < odds->done; k++) {
            const double value = rn_odds_figure_of(s->figure, &odds->draws[k].outcome) / s->unit;
            if (odds->draws[k].outcome.state != RN_OUTCOME_WHOLE || isnan(value))
                continue;
            const double x = isinf(value) ? s->axis.x1 + 0.5 * NEVER : place_within(s, value);
            const int at = isinf(value) ? PLACES : (int)fmax(0, fmin(PLACES - 1, (x - s->axis.x0) / place));
            const int across = isinf(value) ? 5 : 1, level = heights[at]++ / across;
            most = level + 1 > most ? level + 1 : most;
            const double step = fmin(place, (CLOUD - 2.0 * DOT) / most);
            const double aside = isinf(value) ? (never++ % across - 2) * place : 0.0;
            if (pass == 1 && x <= s->axis.x0 + width + NEVER)
                draw_dot(pen, x + aside, s->y - DOT - 1.5 - level * step, odds->draws[k].verdict.met);
        }
    }
}

/* Under the axis: from 5 to 95 of 100, a knot at the half. */
static void draw_bracket(rn_pen *pen, const strip *s, const rn_spread *spread)
{
    const double y = s->y + 1.5, end = s->axis.x1 + NEVER;
    const double low = isinf(spread->low) ? end : place_within(s, spread->low / s->unit);
    const double high = isinf(spread->high) ? end : place_within(s, spread->high / s->unit);
    rn_pen_line(pen, RN_ROLE_INK, 3.0, low, y, high, y);
    if (isinf(spread->middle))
        return;
    const double middle = place_within(s, spread->middle / s->unit);
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, middle, y, 4.6, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 2.0);
    cairo_stroke(pen->cr);
}

/* A brass pin where the plan itself stands. */
static void draw_own(rn_pen *pen, const strip *s, const rn_odds *odds)
{
    const double value = odds->own.state == RN_OUTCOME_WHOLE ? rn_odds_figure_of(s->figure, &odds->own) : NAN;
    if (!isfinite(value))
        return;
    const double x = place_within(s, value / s->unit), y = s->y - CLOUD - 3.0;
    rn_pen_line(pen, RN_ROLE_BRASS, 1.4, x, y, x, s->y);
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y - 3.0, 4.0, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, RN_ROLE_BRASS);
    cairo_fill(pen->cr);
}

static void draw_strip(rn_pen *pen, rn_box row, const rn_odds *odds, rn_odds_figure figure)
{
    const strip s = lay_strip(row, odds, figure);
    const rn_spread *spread = &odds->spreads[figure];
    char text[RN_FIGURE_SIZE];
    const rn_letters name = {.size = 14.0, .role = RN_ROLE_INK, .bold = true, .most = NAME};
    rn_pen_text(pen, row.x, s.y - 14.0, name, rn_odds_figure_name(figure));
    rn_report_odds_figure(text, figure, spread->middle);
    rn_pen_text(pen, row.x, s.y + 4.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = NAME}, text);
    if (spread->never == spread->count) { /* no axis to show it on */
        rn_pen_text(pen, s.axis.x0, s.y - 4.0, (rn_letters){.size = 13.0, .role = RN_ROLE_SHORT},
                    "In no draw is it covered at the end.");
        return;
    }
    rn_axis_draw_along(pen, &s.axis, s.y, s.y - CLOUD, rn_axis_step(s.axis.to - s.axis.from, 6), s.unit_name);
    draw_demands(pen, &s, odds);
    draw_cloud(pen, &s, odds);
    draw_bracket(pen, &s, spread);
    draw_own(pen, &s, odds);
    if (spread->never > 0)
        rn_pen_text(pen, s.axis.x1 + 0.5 * NEVER + 4.0, s.y + 19.0,
                    (rn_letters){.size = 12.0, .role = RN_ROLE_SHORT, .align = 0.2}, "never");
}

static int strip_count(const rn_odds *odds)
{
    int count = 0;
    for (int f = 0; f < RN_ODDS_FIGURES; f++)
        count += odds->spreads[f].count > 0;
    return count;
}

double rn_odds_spreads_height(const rn_odds *odds)
{
    return HEAD + ROW * strip_count(odds) - (strip_count(odds) > 0 ? ROW - CLOUD - 40.0 : 0.0);
}

void rn_odds_draw_spreads(rn_pen *pen, rn_box box, const rn_odds *odds)
{
    double y = box.y + HEAD;
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true},
                "How far it spreads");
    rn_pen_text(pen, box.x, box.y + 31.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width},
                strip_count(odds) > 0 ? "Thick: 90 of 100 draws, the knot at their middle. The pin is the plan as "
                                        "written; hatched: what is demanded is missed."
                                      : "Nothing was worked out.");
    for (int f = 0; f < RN_ODDS_FIGURES; f++)
        if (odds->spreads[f].count > 0) {
            draw_strip(pen, (rn_box){box.x, y, box.width, ROW}, odds, (rn_odds_figure)f);
            y += ROW;
        }
}
