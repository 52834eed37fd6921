/* The window of plans that work: its axes, where this plan stands in it, and what must hold. Which of the other plans work
   is not worked out yet, and the page says so: no tile is filled by a guess. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "outcome.h"
#include "parts.h"
#include "run/judge.h"
#include "side.h"

#define PI 3.14159265358979323846
#define WIDER 4.0     /* the axis of consistency goes from the plan's own over this to times this */
#define THINNEST 0.02 /* ends that are left to it [Pa s] */
#define THICKEST 40.0
#define COLUMNS_OF 24
#define ROWS_OF 12
#define PLACES 7 /* along the row */

typedef struct field {
    rn_box box;
    double thin, thick;       /* [Pa s] */
    double low, high;         /* [m3] */
    double viscosity, poured; /* this plan; NaN without paint */
} field;

static double total_poured(const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST], sum = 0;
    rn_plan_poured(volumes, plan);
    for (int k = 0; k < plan->paint_count; k++)
        sum += volumes[k];
    return sum;
}

static double tick_of(double range, int most)
{
    const double power = pow(10, floor(log10(range / most)));
    static const double steps[] = {1, 2, 5, 10};
    for (int k = 0; k < 4; k++)
        if (range / (steps[k] * power) <= most)
            return steps[k] * power;
    return 10 * power;
}

static field make_field(const rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    field f = {.viscosity = rn_plan_viscosity(plan), .poured = total_poured(plan)};
    if (!(f.poured > 0))
        f.poured = NAN;
    const double left = at->compact ? 58 : 66, below = at->compact ? 40 : 52;
    f.box = (rn_box){at->bench.x + left, at->bench.y + 22, at->bench.width - left - (at->compact ? 22 : 34),
                     at->bench.height - 22 - below};
    const double centre = isnan(f.viscosity) ? 1.5 : f.viscosity;
    f.thin = fmin(fmax(centre / WIDER, THINNEST), THICKEST / (WIDER * WIDER));
    f.thick = f.thin * WIDER * WIDER;
    const double poured = isnan(f.poured) ? 300e-6 : f.poured, step = tick_of(1.5e6 * poured, 7) * 1e-6;
    f.low = fmax(floor(0.4 * poured / step), 0) * step;
    f.high = ceil(1.7 * poured / step) * step;
    return f;
}

static double x_of(const field *f, double viscosity)
{
    return f->box.x + f->box.width * log(viscosity / f->thin) / log(f->thick / f->thin);
}

static double y_of(const field *f, double poured)
{
    return f->box.y + f->box.height * (1 - (poured - f->low) / (f->high - f->low));
}

/* ---- the field ---- */

static void draw_tiles(rv_canvas *canvas, const field *f)
{
    cairo_t *cr = canvas->pen.cr;
    const int columns = canvas->at.compact ? COLUMNS_OF * 2 / 3 : COLUMNS_OF, rows = canvas->at.compact ? 9 : ROWS_OF;
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(cr, f->box.x, f->box.y, f->box.width, f->box.height);
    cairo_fill(cr);
    const double wide = f->box.width / columns, high = f->box.height / rows;
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1.2);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
    cairo_set_dash(cr, (double[]){0.1, 3.2}, 2, 0);
    for (int i = 0; i < columns; i++)
        for (int j = 0; j < rows; j++) {
            cairo_rectangle(cr, f->box.x + wide * i + 0.2 * wide, f->box.y + high * j + 0.18 * high, 0.6 * wide,
                            0.64 * high);
            cairo_stroke(cr);
        }
    cairo_set_dash(cr, NULL, 0, 0);
    cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
}

static void draw_axes(rv_canvas *canvas, const field *f)
{
    static const double marks[] = {0.02, 0.03, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 1, 1.5, 2, 3, 5, 7, 10, 15, 20, 30, 40};
    const rn_box box = f->box;
    const double foot = box.y + box.height;
    const rn_letters figures = {.size = 11.5, .align = 0.5, .role = RN_ROLE_INK2};
    char text[64];
    bool unit = false;
    for (size_t k = sizeof marks / sizeof *marks;
         k-- > 0;) { /* the last one, with the unit, has the first right to room */
        if (marks[k] < f->thin * 0.999 || marks[k] > f->thick * 1.001)
            continue;
        const double x = x_of(f, marks[k]);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, x, foot, x, foot + 5);
        snprintf(text, sizeof text, unit ? "%.3g" : "%.3g\u00a0Pa·s", marks[k]);
        const char *const wordings[] = {text, NULL};
        if (rn_pen_vacant(&canvas->pen, (rn_box){x - 22, foot + 8, 44, 12}, 2))
            unit |= side_say(canvas, fmin(x, canvas->at.right.x - 30), foot + 19, figures, 70, wordings);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, box.x, foot, box.x + box.width, foot);
    for (int k = 0; k < RN_CONSISTENCY_COUNT; k++) { /* each word under the middle of its range */
        const double from = fmax(rn_consistency_ladder[k].range_from, f->thin);
        const double to =
            fmin(k + 1 < RN_CONSISTENCY_COUNT ? rn_consistency_ladder[k + 1].range_from : f->thick, f->thick);
        if (to <= from * 1.15)
            continue;
        const char *const wordings[] = {rn_consistency_ladder[k].word, NULL};
        side_say(canvas, x_of(f, sqrt(from * to)), foot + (canvas->at.compact ? 34 : 38),
                 (rn_letters){.size = 12, .align = 0.5, .role = RN_ROLE_INK2}, x_of(f, to) - x_of(f, from) - 6,
                 wordings);
    }
    const double step = tick_of((f->high - f->low) * 1e6, canvas->at.compact ? 5 : 7) * 1e-6;
    for (double v = fmax(ceil(f->low / step - 1e-6), 0) * step; v <= f->high * (1 + 1e-9); v += step) {
        const double y = y_of(f, v);
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, box.x - 5, y, box.x, y);
        snprintf(text, sizeof text, canvas->view->ounces ? "%.1f" : "%.0f",
                 canvas->view->ounces ? v / 29.5735295625e-6 : 1e6 * v);
        canvas_words(canvas, box.x - 9, y + 4, (rn_letters){.size = 11.5, .align = 1, .role = RN_ROLE_INK2}, 40, text);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, box.x, box.y, box.x, foot);
    const rn_letters up = {.size = 12.5, .bold = true, .align = 0.5, .turn = 1, .role = RN_ROLE_INK};
    const char *const poured[] = {canvas->view->ounces ? "paint poured, fl oz" : "paint poured, ml",
                                  canvas->view->ounces ? "poured, fl oz" : "poured, ml", "ml", NULL};
    side_say(canvas, canvas->at.bench.x + (canvas->at.compact ? 14 : 18), box.y + 0.5 * box.height, up, box.height,
             poured);
}

static void draw_pin(rv_canvas *canvas, const field *f)
{
    cairo_t *cr = canvas->pen.cr;
    if (isnan(f->viscosity) || isnan(f->poured))
        return;
    const double x = x_of(f, f->viscosity), y = y_of(f, f->poured);
    cairo_set_dash(cr, (double[]){2, 3}, 2, 0);
    rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1, x, f->box.y, x, f->box.y + f->box.height);
    rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1, f->box.x, y, f->box.x + f->box.width, y);
    cairo_set_dash(cr, NULL, 0, 0);
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_new_path(cr);
    cairo_arc(cr, x, y, 8, 0, 2 * PI);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 2);
    cairo_stroke(cr);
    cairo_arc(cr, x, y, 3, 0, 2 * PI);
    cairo_fill(cr);
}

/* Words on a plate over the tiles. */
static void draw_plate(rv_canvas *canvas, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const double r = 3, x1 = box.x + box.width, y1 = box.y + box.height;
    cairo_new_path(cr);
    cairo_arc(cr, x1 - r, box.y + r, r, -0.5 * PI, 0);
    cairo_arc(cr, x1 - r, y1 - r, r, 0, 0.5 * PI);
    cairo_arc(cr, box.x + r, y1 - r, r, 0.5 * PI, PI);
    cairo_arc(cr, box.x + r, box.y + r, r, PI, 1.5 * PI);
    cairo_close_path(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
}

static void draw_label(rv_canvas *canvas, double x, double y, double most, bool bold, const char *text)
{
    const rn_letters letters = {.size = 13, .bold = bold, .align = 0.5, .role = bold ? RN_ROLE_INK : RN_ROLE_INK2};
    const rn_box box = rn_pen_measure(&canvas->pen, x, y, letters, text);
    if (box.width > most || !rn_pen_vacant(&canvas->pen, box, 6))
        return;
    draw_plate(canvas, (rn_box){box.x - 10, y - 16, box.width + 20, 23});
    rn_pen_text(&canvas->pen, x, y, letters, text);
}

static void draw_words(rv_canvas *canvas, const field *f)
{
    const rn_box box = f->box;
    if (!isnan(f->viscosity) && !isnan(f->poured))
        draw_label(canvas, x_of(f, f->viscosity), y_of(f, f->poured) + 32, 0.5 * box.width, true, "this plan");
    else
        draw_label(canvas, box.x + 0.5 * box.width, box.y + 0.56 * box.height, box.width - 30, true,
                   "no paint on the shelf: N puts a jar there");
    draw_label(canvas, box.x + 0.5 * box.width, box.y + 0.2 * box.height, box.width - 30, false,
               "not worked out yet: each tile will be one pour");
    draw_label(canvas, box.x + 0.25 * box.width, box.y + 0.85 * box.height, 0.48 * box.width, false,
               "less paint, thinner");
    draw_label(canvas, box.x + 0.76 * box.width, box.y + 0.34 * box.height, 0.45 * box.width, false,
               "more paint, stiffer");
}

/* ---- what must hold ---- */

static rv_tile tile_of(const rn_expect *expect, rn_verdict verdict)
{
    if (verdict == RN_NOT_JUDGED)
        return TILE_UNKNOWN;
    if (verdict == RN_MET)
        return TILE_COVERED;
    return expect->kind == RN_EXPECT_RUN_OFF   ? TILE_RUN_OFF
           : expect->kind == RN_EXPECT_STRETCH ? TILE_PULLED
                                               : TILE_SHORT;
}

static rn_role role_of(rv_tile tile)
{
    return tile == TILE_SHORT     ? RN_ROLE_SHORT
           : tile == TILE_RUN_OFF ? RN_ROLE_RUN_OFF
           : tile == TILE_PULLED  ? RN_ROLE_PULLED
                                  : RN_ROLE_INK2;
}

/* Words that wrap within a width, in up to so many lines; the height from the first baseline to the last. */
static double wrapped(rv_canvas *canvas, double x, double y, rn_letters letters, double most, const char *text)
{
    letters.most = most;
    letters.lines = 3;
    const double depth = rn_pen_depth(&canvas->pen, letters, text);
    rn_pen_text(&canvas->pen, x, y, letters, text);
    return depth;
}

static void draw_wishes(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rv_shown *shown = &canvas->shown[0];
    const bool known = shown->tale && shown->tale->version == view_column_version(canvas->view, 0);
    const rn_forecast none = {.covered_at = NAN};
    const double x = at->right.x, width = at->right.width, foot = at->clock.y - 14;
    double y = at->right.y + 14;
    canvas_words(canvas, x, y, (rn_letters){.size = 12, .lettering = RN_LETTERS_HEAD, .role = RN_ROLE_INK}, width,
                 "what must hold");
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, x, y + 9, x + width, y + 9);
    y += 36;
    const rn_letters words = {.size = 13, .role = RN_ROLE_INK};
    if (plan->expect_count == 0) {
        wrapped(canvas, x, y, (rn_letters){.size = 13, .role = RN_ROLE_INK2}, width,
                "Nothing is asked of this plan yet.");
        return;
    }
    for (int k = 0; k < plan->expect_count; k++) {
        rn_judgement judged = rn_judge_expect(&plan->expects[k], known ? &shown->tale->forecast : &none);
        const rv_tile tile = tile_of(&plan->expects[k], judged.verdict);
        rn_letters asked = words,
                   outcome = {.size = 12, .role = role_of(tile), .bold = tile != TILE_COVERED && tile != TILE_UNKNOWN};
        asked.most = outcome.most = width - 22;
        asked.lines = outcome.lines = 3;
        char *about = strstr(judged.wanted, "+-"); /* as print has it; both take two bytes */
        if (about)
            memcpy(about, "±", 2);
        const char *said = judged.verdict == RN_NOT_JUDGED ? "this plan: not worked out yet" : judged.outcome;
        const double need =
            rn_pen_depth(&canvas->pen, asked, judged.wanted) + rn_pen_depth(&canvas->pen, outcome, said);
        if (y + need + 20 > foot) {
            char more[48];
            snprintf(more, sizeof more, "and %d more", plan->expect_count - k);
            canvas_words(canvas, x + 22, fmin(y, foot), (rn_letters){.size = 12, .role = RN_ROLE_INK2}, width - 22,
                         more);
            return;
        }
        canvas_tile(canvas, x + 7, y - 4, tile, 0);
        y += wrapped(canvas, x + 22, y, words, width - 22, judged.wanted);
        y += 18;
        y += wrapped(canvas, x + 22, y, outcome, width - 22, said);
        y += at->compact ? 24 : 32;
    }
}

/* ---- along the row ---- */

static void draw_place(rv_canvas *canvas, const field *f, rn_box box, int which)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_shown *shown = &canvas->shown[0];
    const bool own = which == PLACES / 2;
    const rv_studio_picture *picture =
        own && shown->picture && shown->picture->version == view_column_version(canvas->view, 0) ? shown->picture
                                                                                                 : NULL;
    const double centre = isnan(f->viscosity) ? sqrt(f->thin * f->thick) : f->viscosity;
    const double viscosity = own ? centre : f->thin * pow(f->thick / f->thin, (double)which / (PLACES - 1));
    char text[48], note[48];
    if (picture && picture->image) {
        const rn_panel *panel = &document_plan(canvas->view->doc)->panel;
        const double longer = fmax(panel->width, panel->height);
        const double w = box.width * panel->width / longer, h = box.height * panel->height / longer;
        const double x = box.x + 0.5 * (box.width - w), y = box.y + 0.5 * (box.height - h);
        cairo_save(cr);
        cairo_new_path(cr);
        if (panel->round)
            cairo_arc(cr, x + 0.5 * w, y + 0.5 * h, 0.5 * w, 0, 2 * PI);
        else
            cairo_rectangle(cr, x, y, w, h);
        cairo_clip(cr);
        cairo_translate(cr, x, y);
        cairo_scale(cr, w / cairo_image_surface_get_width(picture->image),
                    h / cairo_image_surface_get_height(picture->image));
        cairo_set_source_surface(cr, picture->image, 0, 0);
        cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
        cairo_paint(cr);
        cairo_restore(cr);
        snprintf(note, sizeof note, "this plan, %.0f\u00a0s", picture->time);
    } else {
        rn_pen_use(&canvas->pen, RN_ROLE_INK2);
        cairo_set_line_width(cr, 1.2);
        cairo_set_dash(cr, (double[]){1.6, 3}, 2, 0);
        cairo_rectangle(cr, box.x, box.y, box.width, box.height);
        cairo_stroke(cr);
        cairo_set_dash(cr, NULL, 0, 0);
        snprintf(note, sizeof note, own ? "this plan" : "not yet");
    }
    const double cx = box.x + 0.5 * box.width, foot = box.y + box.height;
    snprintf(text, sizeof text, "%.2g\u00a0Pa·s", viscosity);
    const char *const figures[] = {text, NULL}, *const words[] = {note, own ? "this plan" : NULL, NULL};
    side_say(canvas, cx, foot + 17, (rn_letters){.size = 12.5, .bold = own, .align = 0.5, .role = RN_ROLE_INK},
             box.width + 24, figures);
    if (!canvas->at.compact)
        side_say(canvas, cx, foot + 34, (rn_letters){.size = 12, .align = 0.5, .role = RN_ROLE_INK2}, box.width + 24,
                 words);
}

static void draw_row(rv_canvas *canvas, const field *f)
{
    const rv_layout *at = &canvas->at;
    char text[64], volume[40];
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(canvas->pen.cr, 0, at->clock.y, at->width, at->clock.height);
    cairo_fill(canvas->pen.cr);
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, 0, at->clock.y, at->width, at->clock.y);
    const double left = at->compact ? 190 : at->x0, right = at->width - at->margin - 14;
    canvas_words(canvas, at->margin, at->clock.y + 27, (rn_letters){.size = 13.5, .role = RN_ROLE_INK},
                 left - at->margin - 14, "along the row");
    if (!isnan(f->poured)) {
        snprintf(text, sizeof text, "%s poured", canvas_volume(canvas, volume, sizeof volume, f->poured));
        canvas_words(canvas, at->margin, at->clock.y + 46, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2},
                     left - at->margin - 14, text);
    }
    const double pitch = (right - left) / PLACES;
    const double size = fmin(pitch - 30, at->clock.height - (at->compact ? 46 : 76));
    for (int k = 0; k < PLACES; k++)
        draw_place(canvas, f, (rn_box){left + pitch * (k + 0.5) - 0.5 * size, at->clock.y + 18, size, size}, k);
}

void works_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const field f = make_field(canvas);
    rv_phrase phrases[2] = {{.has_tile = true, .tile = TILE_UNKNOWN, .role = RN_ROLE_INK},
                            {.role = RN_ROLE_INK2, .keep = 1}};
    snprintf(phrases[0].strong, PHRASE_SIZE, "Not worked out yet:");
    snprintf(phrases[0].tail, PHRASE_SIZE, " the window of plans that work.");
    int count = 1;
    if (!isnan(f.viscosity) && !isnan(f.poured)) {
        char volume[40];
        snprintf(phrases[1].lead, PHRASE_SIZE, "This plan: %s, %.2g Pa·s, %s.", rn_consistency_word(f.viscosity),
                 f.viscosity, canvas_volume(canvas, volume, sizeof volume, f.poured));
        count = 2;
    }
    if (view->message[0]) {
        phrases[0] = (rv_phrase){.role = view->message_bad ? RN_ROLE_SHORT : RN_ROLE_INK,
                                 .has_tile = view->message_bad,
                                 .tile = TILE_REFUSED};
        snprintf(phrases[0].strong, PHRASE_SIZE, "%.*s", PHRASE_SIZE - 1, view->message);
        count = 1;
    }
    outcome_set(canvas, canvas->at.outcome, phrases, count);
    draw_tiles(canvas, &f);
    draw_axes(canvas, &f);
    draw_pin(canvas, &f);
    draw_words(canvas, &f);
    draw_wishes(canvas);
    draw_row(canvas, &f);
}
