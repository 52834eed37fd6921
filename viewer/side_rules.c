/* Five rules on scales that all columns share: what comes of each plan by its end, and what was asked for. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "edit.h"
#include "show/report.h"
#include "side.h"

#define VALUE 106.0 /* room for a value, its tile too */

static const char *const names[RULES] = {"covered at", "run-off", "thinnest", "twist", "stretch"};
static const rn_expect_kind kinds[RULES] = {RN_EXPECT_COVERED_BY, RN_EXPECT_RUN_OFF, RN_EXPECT_THINNEST,
                                            RN_EXPECT_TWIST, RN_EXPECT_STRETCH};

bool side_wish(double *from, double *to, const rn_plan *plan, rn_expect_kind kind, double all_paint)
{
    bool asked = false;
    *from = *to = NAN;
    for (int k = 0; k < plan->expect_count; k++) {
        const rn_expect *expect = &plan->expects[k];
        if (expect->kind != kind || expect->one_side)
            continue;
        const double unit = expect->share ? all_paint : 1;
        const double low = (expect->value - (expect->relation == RN_ABOUT ? expect->tolerance : 0)) * unit;
        const double high = (expect->value + (expect->relation == RN_ABOUT ? expect->tolerance : 0)) * unit;
        if (expect->relation != RN_AT_MOST)
            *from = isnan(*from) ? low : fmax(*from, low);
        if (expect->relation != RN_AT_LEAST)
            *to = isnan(*to) ? high : fmin(*to, high);
        asked = true;
    }
    if (!asked && kind == RN_EXPECT_STRETCH) {
        *to = plan->limits.stretch;
        return true;
    }
    if (!asked && kind == RN_EXPECT_THINNEST) {
        *from = plan->cover;
        return true;
    }
    return asked;
}

bool side_figure(double *value, const rv_side_column *column, rv_side_rule rule)
{
    const rv_studio_tale *tale = column->tale;
    *value = NAN;
    if (!tale || !tale->complete)
        return false;
    const rn_forecast *forecast = &tale->forecast;
    /* The pattern comes after the film, and there is one where paint is poured. */
    const bool patterned = forecast->has_pattern || column->plan->pour_count == 0;
    switch (rule) {
    case RULE_COVERED: *value = forecast->covered ? forecast->covered_at : NAN; return true;
    case RULE_RUN_OFF: *value = forecast->run_off; return true;
    case RULE_THINNEST: *value = forecast->least.depth; return true;
    case RULE_TWIST: *value = forecast->has_pattern ? fabs(forecast->twist) : NAN; return patterned;
    case RULE_STRETCH: *value = forecast->has_pattern ? forecast->stretch : NAN; return patterned;
    case RULES: break;
    }
    return false;
}

static double all_paint(const rv_side_column *column)
{
    return column->tale ? column->tale->forecast.base + column->tale->forecast.poured : NAN;
}

/* A round end for a scale. */
static double round_up(double value, double unit)
{
    static const double steps[] = {1, 2, 3, 4, 5, 6, 8, 10};
    if (!(value > 0))
        return unit;
    const double power = unit * pow(10, floor(log10(value / unit)));
    for (size_t k = 0; k < sizeof steps / sizeof *steps; k++)
        if (value <= steps[k] * power * 1.0001)
            return steps[k] * power;
    return 10 * power;
}

/* Both ends of a rule's scale, the same for all columns. */
static void find_scale(double *low, double *high, const rv_canvas *canvas, const rv_side *side, rv_side_rule rule)
{
    double most = 0;
    for (int k = 0; k < side->all; k++) {
        double from, to, value;
        if (side_figure(&value, &side->every[k], rule))
            most = fmax(most, isnan(value) ? 0 : value);
        if (side_wish(&from, &to, side->every[k].plan, kinds[rule], all_paint(&side->every[k]))) {
            most = fmax(most, isnan(from) ? 0 : 1.3 * from);
            most = fmax(most, isnan(to) ? 0 : 1.3 * to);
        }
    }
    *low = rule == RULE_STRETCH ? 1 : 0;
    switch (rule) {
    case RULE_COVERED: *high = view_end(canvas->view); break;
    case RULE_RUN_OFF: *high = fmax(round_up(1.05 * most, 1e-6), 10e-6); break;
    case RULE_THINNEST: *high = fmax(round_up(1.05 * most, 1e-3), 0.2e-3); break;
    case RULE_TWIST: *high = most > RN_PI ? round_up(most, RN_PI) : most > 0.5 * RN_PI ? RN_PI : 0.5 * RN_PI; break;
    case RULE_STRETCH: *high = 1 + fmax(round_up(1.05 * (most - 1), 1), 1); break;
    case RULES: break;
    }
}

static bool outside(double value, double from, double to)
{
    return value < from || value > to; /* false for open sides */
}

rv_side_reading side_read(const rv_canvas *canvas, const rv_side_column *column, rv_side_rule rule)
{
    rv_side_reading r = {.role = RN_ROLE_INK};
    double from, to;
    if (!side_figure(&r.value, column, rule)) {
        r.tile = TILE_UNKNOWN;
        r.has_tile = true;
        r.role = RN_ROLE_INK2;
        snprintf(r.words, sizeof r.words, "not yet");
        return r;
    }
    const bool asked = side_wish(&from, &to, column->plan, kinds[rule], all_paint(column));
    const bool missed = asked && outside(r.value, from, to);
    switch (rule) {
    case RULE_COVERED:
        r.has_tile = r.bold = isnan(r.value) || missed;
        r.tile = TILE_SHORT;
        r.role = r.has_tile ? RN_ROLE_SHORT : RN_ROLE_INK;
        if (isnan(r.value)) {
            snprintf(r.words, sizeof r.words, "not by %.0f s", column->tale->end);
            snprintf(r.less, sizeof r.less, "never");
            break;
        }
        if (!r.has_tile) {
            r.has_tile = true;
            r.tile = TILE_COVERED;
        }
        snprintf(r.words, sizeof r.words, r.value < RN_AT_START ? "at the start" : "%.0f s", r.value);
        break;
    case RULE_RUN_OFF:
        r.has_tile = r.bold = missed;
        r.tile = TILE_RUN_OFF;
        r.role = missed ? RN_ROLE_RUN_OFF : RN_ROLE_INK;
        if (r.value < 0.05e-6)
            snprintf(r.words, sizeof r.words, "none");
        else
            canvas_volume(canvas, r.words, sizeof r.words, r.value);
        break;
    case RULE_THINNEST:
        r.has_tile = r.bold = missed;
        r.tile = TILE_SHORT;
        r.role = missed ? RN_ROLE_SHORT : RN_ROLE_INK;
        snprintf(r.words, sizeof r.words, r.value < RN_BARE_DEPTH ? "bare" : "%.2f mm", 1e3 * r.value);
        break;
    case RULE_TWIST:
        r.has_tile = r.bold = missed;
        r.tile = TILE_TWIST;
        snprintf(r.words, sizeof r.words, isnan(r.value) ? "none" : "%.0f°", r.value * 180 / RN_PI);
        break;
    case RULE_STRETCH:
        r.has_tile = r.bold = missed;
        r.tile = TILE_PULLED;
        r.role = missed ? RN_ROLE_PULLED : RN_ROLE_INK;
        snprintf(r.words, sizeof r.words, isnan(r.value) ? "none" : "%.1f ×", r.value);
        break;
    case RULES: break;
    }
    if (isnan(r.value) && rule > RULE_COVERED)
        r.role = RN_ROLE_INK2;
    return r;
}

static void draw_rule(rv_canvas *canvas, const rv_side_column *column, rv_side_rule rule, double y, double low,
                      double high)
{
    cairo_t *cr = canvas->pen.cr;
    const double x0 = column->box.x + 8, x1 = column->box.x + column->box.width - VALUE - 12;
    for (int k = 0; k <= 10; k++) {
        const double x = x0 + (x1 - x0) * k / 10;
        rn_pen_line(&canvas->pen, k % 5 ? RN_ROLE_LINE : RN_ROLE_INK2, 1, x, y + 2, x, y - (k % 5 ? 1.5 : 5));
    }
    double from, to;
    if (side_wish(&from, &to, column->plan, kinds[rule], all_paint(column))) {
        const double a = isnan(from) ? low : from, b = isnan(to) ? high : to;
        const double left = x0 + (x1 - x0) * fmin(fmax((a - low) / (high - low), 0), 1);
        const double right = x0 + (x1 - x0) * fmin(fmax((b - low) / (high - low), 0), 1);
        rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
        cairo_rectangle(cr, left, y, fmax(right - left, 2), 4.4);
        cairo_fill(cr);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.2, x0, y + 2, x1, y + 2);
    const rv_side_reading r = side_read(canvas, column, rule);
    if (!isnan(r.value)) {
        const double x = x0 + (x1 - x0) * fmin(fmax((r.value - low) / (high - low), 0), 1);
        cairo_move_to(cr, x, y);
        cairo_line_to(cr, x - 5, y - 9);
        cairo_line_to(cr, x + 5, y - 9);
        cairo_close_path(cr);
        rn_pen_use(&canvas->pen, r.role == RN_ROLE_INK2 ? RN_ROLE_INK : r.role);
        cairo_fill(cr);
    }
    const double left = column->box.x + column->box.width - VALUE;
    if (r.has_tile)
        canvas_tile(canvas, left + 6.5, y - 2, r.tile, 0);
    const char *const wordings[] = {r.words, r.less[0] ? r.less : NULL, NULL};
    canvas_say(canvas, left + 20, y + 3, (rn_letters){.size = 13.5, .bold = r.bold, .role = r.role}, VALUE - 20,
               wordings);
}

void side_rules(rv_canvas *canvas, const rv_side *side)
{
    const rv_layout *at = &canvas->at;
    const double room = side->gutter - at->margin - 6;
    canvas_words(canvas, at->margin, side->rules - (at->compact ? 18 : 26),
                 (rn_letters){.size = 12, .role = RN_ROLE_INK2}, room, "by the end");
    if (!at->compact) {
        const char *const words[] = {"thick part of a rule: what you asked for", "thick: what you asked for", NULL};
        canvas_say(canvas, side->columns[0].box.x + 8, side->rules - 26, (rn_letters){.size = 12, .role = RN_ROLE_INK2},
                   side->columns[0].box.width - 16, words);
    }
    for (int rule = 0; rule < RULES; rule++) {
        const double y = side->rules + side->step * rule;
        double low, high;
        canvas_words(canvas, at->margin, y + 3, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, room, names[rule]);
        find_scale(&low, &high, canvas, side, (rv_side_rule)rule);
        for (int k = 0; k < side->count; k++)
            draw_rule(canvas, &side->columns[k], (rv_side_rule)rule, y, low, high);
    }
}
