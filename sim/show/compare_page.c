/* The page of plans side by side: their faces, measures on rules that all share, and one clock for all. */
#include <math.h>
#include <string.h>

#include "base/physical.h"
#include "run/measure.h"
#include "show/axis.h"
#include "show/compare.h"
#include "show/curves.h"
#include "show/leaf.h"

#define PAGE RN_COMPARE_PAGE
#define MARGIN 30.0
#define NAMES 108.0 /* room for the rules' names at the left */
#define GUTTER 26.0
#define HEAD 62.0 /* of a column: letter, name, note */
#define RULE 31.0 /* from rule to rule */
#define VALUE 88.0
#define CHART 190.0
#define FACE_MOST 330.0

typedef struct layout {
    double headline, columns, faces, face_height, rules, charts, foot; /* y */
    double column, face_width;                                         /* widths */
    int rules_count;
    rn_compare_line shown[RN_COMPARE_LINES];
} layout;

static rn_letters headline_letters(void)
{
    return (rn_letters){.size = 20, .role = RN_ROLE_INK, .bold = true, .most = PAGE - 2 * MARGIN, .lines = 3};
}

static bool known_of_any(const rn_compare *compare, rn_compare_line line)
{
    for (int k = 0; k < compare->count; k++)
        if (!isnan(rn_compare_value(&compare->plans[k], line)))
            return true;
    return line == RN_COMPARE_COVERED_AT;
}

static double column_x(const layout *at, int plan)
{
    return MARGIN + NAMES + plan * (at->column + GUTTER);
}

static layout lay_out(rn_pen *pen, const rn_compare *compare)
{
    char text[RN_COMPARE_HEADLINE];
    layout at = {.headline = 46};
    rn_compare_headline(text, compare);
    at.columns = at.headline + rn_pen_depth(pen, headline_letters(), text) + 30;
    at.column = (PAGE - 2 * MARGIN - NAMES - (compare->count - 1) * GUTTER) / compare->count;
    at.faces = at.columns + HEAD;
    at.face_width = fmin(at.column, FACE_MOST);
    for (int k = 0; k < compare->count; k++) {
        const cairo_surface_t *face = compare->plans[k].face;
        if (!face)
            continue;
        const double wide = cairo_image_surface_get_width((cairo_surface_t *)face);
        const double high = cairo_image_surface_get_height((cairo_surface_t *)face);
        at.face_height = fmax(at.face_height, at.face_width * fmin(high / wide, 1));
    }
    at.rules = at.faces + at.face_height + 44;
    for (int m = 0; m < RN_COMPARE_LINES; m++)
        if (known_of_any(compare, (rn_compare_line)m))
            at.shown[at.rules_count++] = (rn_compare_line)m;
    at.charts = at.rules + at.rules_count * RULE + 34;
    at.foot = at.charts + CHART + 44;
    return at;
}

/* ---- heads and faces ---- */

static void draw_head(rn_pen *pen, const rn_compare *compare, const layout *at, int plan)
{
    const double x = column_x(at, plan), y = at->columns;
    const rn_unlike *unlike = &compare->unlike;
    const rn_letters letter = {.size = 26, .lettering = RN_LETTERS_WIDE, .role = RN_ROLE_INK};
    const rn_box box = rn_pen_text(pen, x, y + 26, letter, rn_compare_letter(plan));
    const double beside = x + box.width + 12, room = x + at->column - beside;
    const bool told = unlike->whole.values[plan][0] != '\0';
    rn_pen_text(pen, beside, y + 14, (rn_letters){.size = 14.5, .bold = true, .role = RN_ROLE_INK, .most = room},
                told ? unlike->whole.values[plan] : compare->plans[plan].name);
    char note[160];
    snprintf(note, sizeof note, "%s%s%s", told ? compare->plans[plan].name : "",
             told && unlike->note[plan][0] ? ", " : "", unlike->note[plan]);
    rn_pen_text(pen, beside, y + 32, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .most = room}, note);
    rn_pen_line(pen, RN_ROLE_INK, 1.4, x, y + 43, x + at->column, y + 43);
}

static void draw_face(rn_pen *pen, cairo_surface_t *face, const layout *at, double x)
{
    if (!face)
        return;
    const double wide = cairo_image_surface_get_width(face), high = cairo_image_surface_get_height(face);
    const double scale = fmin(at->face_width / wide, at->face_height / high);
    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, at->faces + 0.5 * (at->face_height - scale * high));
    cairo_scale(pen->cr, scale, scale);
    cairo_set_source_surface(pen->cr, face, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(pen->cr), CAIRO_FILTER_GOOD);
    cairo_paint(pen->cr);
    cairo_restore(pen->cr);
}

/* ---- rules ---- */

/* Ends of a rule's scale, the same for all columns [SI]. No scale is finer than what is worth telling. */
static void find_scale(double *low, double *high, const rn_compare *compare, rn_compare_line line)
{
    static const double finest[RN_COMPARE_LINES] = {
        [RN_COMPARE_COVERED_AT] = 1,    [RN_COMPARE_COVERAGE] = 1,  [RN_COMPARE_CORNER] = 0.2e-3,
        [RN_COMPARE_THINNEST] = 0.2e-3, [RN_COMPARE_MEAN] = 0.2e-3, [RN_COMPARE_RUN_OFF] = 10e-6,
        [RN_COMPARE_TWIST] = RN_PI / 2, [RN_COMPARE_STRETCH] = 1,
    };
    double most = 0;
    for (int k = 0; k < compare->count; k++) {
        const double value = rn_compare_value(&compare->plans[k], line);
        most = fmax(most, isnan(value) ? 0 : value);
        if (line == RN_COMPARE_COVERED_AT)
            most = fmax(most, compare->plans[k].outcome.duration);
    }
    *low = line == RN_COMPARE_STRETCH ? 1 : 0;
    *high = line == RN_COMPARE_COVERAGE ? 1 : *low + fmax(1.08 * (most - *low), finest[line]);
}

static rn_role role_of(const rn_compare_plan *of, rn_compare_line line)
{
    const double value = rn_compare_value(of, line);
    if (line == RN_COMPARE_COVERED_AT && isnan(value))
        return RN_ROLE_SHORT;
    if (line == RN_COMPARE_COVERAGE && value < RN_COVERED_SHARE)
        return RN_ROLE_SHORT;
    if ((line == RN_COMPARE_CORNER || line == RN_COMPARE_THINNEST) && value < of->plan->cover)
        return RN_ROLE_SHORT;
    return RN_ROLE_INK;
}

static void draw_rule(rn_pen *pen, const rn_compare *compare, const layout *at, int plan, int row)
{
    const rn_compare_line line = at->shown[row];
    const rn_compare_plan *of = &compare->plans[plan];
    const double x0 = column_x(at, plan) + 6, x1 = column_x(at, plan) + at->column - VALUE;
    const double y = at->rules + row * RULE, value = rn_compare_value(of, line);
    const bool best = rn_compare_best(compare, line) == plan;
    char text[RN_COMPARE_SIZE], marked[RN_COMPARE_SIZE + 8];
    double low, high;
    find_scale(&low, &high, compare, line);
    rn_compare_text(text, of, line);
    const rn_role role = role_of(of, line);
    for (int k = 0; k <= 4; k++)
        rn_pen_line(pen, RN_ROLE_LINE, 1, x0 + (x1 - x0) * k / 4, y, x0 + (x1 - x0) * k / 4, y - (k % 4 ? 3 : 6));
    rn_pen_line(pen, RN_ROLE_LINE, 1.2, x0, y, x1, y);
    if (!isnan(value)) {
        const double x = x0 + (x1 - x0) * fmin(fmax((value - low) / (high - low), 0), 1);
        cairo_move_to(pen->cr, x, y - 1);
        cairo_line_to(pen->cr, x - 5.5, y - 11);
        cairo_line_to(pen->cr, x + 5.5, y - 11);
        cairo_close_path(pen->cr);
        rn_pen_use(pen, role);
        cairo_fill(pen->cr);
    }
    snprintf(marked, sizeof marked, "%s%s", text, best ? " ★" : "");
    rn_pen_text(pen, x1 + 14, y + 1,
                (rn_letters){.size = 13.5, .bold = best || role == RN_ROLE_SHORT, .role = role, .most = VALUE - 12},
                marked);
}

static void draw_rules(rn_pen *pen, const rn_compare *compare, const layout *at)
{
    for (int row = 0; row < at->rules_count; row++) {
        const double y = at->rules + row * RULE;
        const bool alike = rn_compare_alike(compare, at->shown[row]);
        rn_pen_text(pen, MARGIN, y + 1, (rn_letters){.size = 13.5, .role = RN_ROLE_INK, .most = NAMES - 10},
                    rn_compare_name(at->shown[row]));
        if (alike)
            rn_pen_text(pen, MARGIN, y + 15, (rn_letters){.size = 11, .role = RN_ROLE_INK2, .most = NAMES - 10},
                        "alike");
        for (int k = 0; k < compare->count; k++)
            draw_rule(pen, compare, at, k, row);
    }
}

/* ---- the clock ---- */

typedef struct chart {
    rn_axis time, value;
    const rn_compare *compare;
    double (*of)(const rn_moment *moment);
} chart;

static double coverage_of(const rn_moment *moment)
{
    return 100 * moment->coverage;
}

static double run_off_of(const rn_moment *moment)
{
    return 1e6 * rn_moment_run_off(moment);
}

static void set_dash(cairo_t *cr, int plan)
{
    static const double dashes[RN_COMPARE_MOST][4] = {{0}, {9, 4}, {2, 3.2}, {9, 3, 2, 3}, {16, 4, 0, 0}, {5, 2, 5, 7}};
    static const int counts[RN_COMPARE_MOST] = {0, 2, 2, 4, 2, 4};
    cairo_set_dash(cr, dashes[plan], counts[plan], 0);
}

/* Between two moments; NaN before the first and after the last. */
static double value_at(const chart *c, int plan, double time)
{
    const rn_record *record = c->compare->plans[plan].record;
    for (int k = 1; record && k < record->moment_count; k++) {
        const rn_moment *a = &record->moments[k - 1], *b = &record->moments[k];
        if (time >= a->time && time <= b->time && b->time > a->time)
            return c->of(a) + (c->of(b) - c->of(a)) * (time - a->time) / (b->time - a->time);
    }
    return NAN;
}

static void draw_curve(rn_pen *pen, const chart *c, int plan)
{
    const rn_record *record = c->compare->plans[plan].record;
    if (!record || record->moment_count < 2)
        return;
    cairo_new_path(pen->cr);
    for (int k = 0; k < record->moment_count; k++)
        cairo_line_to(pen->cr, rn_axis_place(&c->time, record->moments[k].time),
                      rn_axis_place(&c->value, c->of(&record->moments[k])));
    cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_width(pen->cr, 1.8);
    set_dash(pen->cr, plan);
    rn_pen_use(pen, c->of == run_off_of ? RN_ROLE_RUN_OFF : RN_ROLE_INK);
    cairo_stroke(pen->cr);
    cairo_set_dash(pen->cr, NULL, 0, 0);
}

static double curve_y(const void *matter, int plan, double time)
{
    const chart *c = matter;
    return rn_axis_place(&c->value, value_at(c, plan, time));
}

static void draw_letters(rn_pen *pen, const chart *c)
{
    const rn_curves curves = {.matter = c,
                              .count = c->compare->count,
                              .y = curve_y,
                              .time = c->time,
                              .top = c->value.x1,
                              .bottom = c->value.x0 - 2,
                              .shun = NAN,
                              .size = 14,
                              .ground = RN_ROLE_PAPER};
    for (int k = 0; k < c->compare->count; k++)
        rn_curves_letter(pen, &curves, k, rn_compare_letter(k));
}

static void draw_chart(rn_pen *pen, chart *c, rn_box box, const char *heading, const char *unit, double most)
{
    double end = 0;
    for (int k = 0; k < c->compare->count; k++)
        end = fmax(end, c->compare->plans[k].outcome.duration);
    c->time = (rn_axis){0, fmax(end, 1), box.x + 44, box.x + box.width};
    c->value = (rn_axis){0, most, box.y + box.height, box.y + 8};
    rn_pen_text(pen, box.x, box.y - 10, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, heading);
    rn_axis_draw_along(pen, &c->time, box.y + box.height, box.y + 8, rn_axis_step(c->time.to, 7), "s");
    rn_axis_draw_up(pen, &c->value, box.x + 44, box.x + box.width, rn_axis_step(most, 4), unit);
    for (int k = 0; k < c->compare->count; k++)
        draw_curve(pen, c, k);
    draw_letters(pen, c);
}

static void draw_clock(rn_pen *pen, const rn_compare *compare, const layout *at)
{
    const double width = (PAGE - 2 * MARGIN - 50) / 2;
    chart coverage = {.compare = compare, .of = coverage_of}, run_off = {.compare = compare, .of = run_off_of};
    double most = 1;
    for (int k = 0; k < compare->count; k++)
        most = fmax(most, 1.06e6 * compare->plans[k].outcome.run_off);
    draw_chart(pen, &coverage, (rn_box){MARGIN, at->charts, width, CHART}, "coverage", "%", 100);
    draw_chart(pen, &run_off, (rn_box){MARGIN + width + 50, at->charts, width, CHART}, "run-off", "ml", most);
}

/* ---- the page ---- */

double rn_compare_height(rn_pen *pen, const rn_compare *compare)
{
    return lay_out(pen, compare).foot;
}

void rn_compare_draw(rn_pen *pen, const rn_compare *compare)
{
    const layout at = lay_out(pen, compare);
    char text[RN_COMPARE_HEADLINE];
    rn_compare_headline(text, compare);
    rn_pen_text(pen, MARGIN, at.headline, headline_letters(), text);
    for (int k = 0; k < compare->count; k++) {
        draw_head(pen, compare, &at, k);
        draw_face(pen, compare->plans[k].face, &at, column_x(&at, k));
    }
    draw_rules(pen, compare, &at);
    draw_clock(pen, compare, &at);
}

static double leaf_height(rn_pen *pen, const void *matter)
{
    return rn_compare_height(pen, matter);
}

static bool leaf_draw(rn_pen *pen, double height, const void *matter)
{
    (void)height;
    rn_compare_draw(pen, matter);
    return true;
}

rn_status rn_compare_write(const char *path, FILE *standard, const rn_compare *compare, rn_figure_options options,
                           rn_error *err)
{
    const rn_leaf leaf = {
        .title = "Plans side by side", .page_width = PAGE, .matter = compare, .height = leaf_height, .draw = leaf_draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
