/* Below the window of plans that work: faces along the row or the column of this plan, and what else can be asked. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "axes.h"
#include "base/physical.h"
#include "side.h"
#include "works.h"

static void draw_image(rv_canvas *canvas, rn_box box, cairo_surface_t *image)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_panel *panel = &document_plan(canvas->view->doc)->panel;
    const double longer = fmax(panel->width, panel->height);
    const double w = box.width * panel->width / longer, h = box.height * panel->height / longer;
    const double x = box.x + 0.5 * (box.width - w), y = box.y + 0.5 * (box.height - h);
    cairo_save(cr);
    cairo_new_path(cr);
    if (panel->round) {
        cairo_save(cr);
        cairo_translate(cr, x + 0.5 * w, y + 0.5 * h);
        cairo_scale(cr, 0.5 * w, 0.5 * h);
        cairo_arc(cr, 0, 0, 1, 0, 2 * RN_PI);
        cairo_restore(cr);
    } else {
        cairo_rectangle(cr, x, y, w, h);
    }
    cairo_clip(cr);
    cairo_translate(cr, x, y);
    cairo_scale(cr, w / cairo_image_surface_get_width(image), h / cairo_image_surface_get_height(image));
    cairo_set_source_surface(cr, image, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
    cairo_paint(cr);
    cairo_restore(cr);
    if (panel->round)
        return;
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, x, y, w, h);
    cairo_stroke(cr);
}

static void draw_empty(rv_canvas *canvas, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.2);
    cairo_set_dash(cr, (double[]){1.6, 3}, 2, 0);
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

static void draw_frame(rv_canvas *canvas, rn_box box)
{
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(canvas->pen.cr, 2);
    cairo_rectangle(canvas->pen.cr, box.x - 4, box.y - 4, box.width + 8, box.height + 8);
    cairo_stroke(canvas->pen.cr);
}

/* Of the tile at which a face stands. */
static rn_tile tile_of(const rv_view *view, const rv_map_face *face)
{
    const rv_map *map = view->map;
    double along_x, along_y;
    int column, row;
    map_place(&along_x, &along_y, map->window, document_plan(view->doc));
    if (map->upright)
        along_y = rn_window_along_y(map->window, face->value);
    else
        along_x = rn_window_along_x(map->window, face->value);
    map_nearest_tile(&column, &row, map->window, along_x, along_y);
    return map_tile(map, column, row);
}

/* A sign and a word, together in the middle. */
static void draw_verdict(rv_canvas *canvas, double x, double y, double most, const rn_tile *tile)
{
    for (int shorter = 0; shorter < 2; shorter++) {
        const char *word = works_word(&canvas->view->map->goal, tile, shorter);
        const rn_letters letters = {.size = 12, .align = 0.5, .role = works_role(tile->kind)};
        const rn_box box = rn_pen_measure(&canvas->pen, x + 9, y, letters, word);
        if (box.width + 18 > most || !rn_pen_vacant(&canvas->pen, box, RN_BOX_GAP))
            continue;
        canvas_tile(canvas, box.x - 12, y - 4, works_sign(tile->kind), 0);
        rn_pen_text(&canvas->pen, x + 9, y, letters, word);
        return;
    }
}

static void draw_face(rv_canvas *canvas, const rv_works_at *at, int which)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    const rv_map_face *face = &map->faces[which];
    const rn_box box = at->faces[which];
    if (isnan(face->value))
        return;
    if (face->image)
        draw_image(canvas, box, face->image);
    else
        draw_empty(canvas, box);
    if (face->own)
        draw_frame(canvas, box);
    char text[64];
    axes_text(text, sizeof text, map->upright ? rn_window_y(map->window) : rn_window_x(map->window), face->value,
              view->ounces);
    const double cx = box.x + 0.5 * box.width, foot = box.y + box.height;
    const double room = at->faces[1].x - at->faces[0].x - 8;
    const char *const figures[] = {text, NULL};
    const bool compact = canvas->at.compact;
    canvas_say(canvas, cx, foot + (compact ? 15 : 19),
               (rn_letters){.size = 12.5, .bold = face->own, .align = 0.5, .role = RN_ROLE_INK}, room, figures);
    const rn_tile tile = tile_of(view, face);
    draw_verdict(canvas, cx, foot + (compact ? 30 : 37), room, &tile);
    const rn_box target = {box.x - 4, box.y - 4, box.width + 8, box.height + 8};
    canvas_handle(canvas, PART_FACE, which, 0, target);
    if (canvas_focused(canvas, PART_FACE, which, 0))
        canvas_focus(canvas, target);
}

/* ---- at its left: which row, and what else can be asked ---- */

/* Brass words with their key, to be pressed; where they end, or x where they have no room. */
static double draw_action(rv_canvas *canvas, double x, double y, double most, rv_part part, int a,
                          const char *const wordings[])
{
    const rn_letters letters = {.size = canvas->at.compact ? 12 : 13, .role = RN_ROLE_BRASS};
    const int before = canvas->pen.box_count;
    if (!canvas_say(canvas, x, y, letters, most, wordings))
        return x;
    /* The box of what was said, unless it stands under paper. */
    const double width = canvas->pen.box_count > before ? canvas->pen.boxes[before].width : most;
    const rn_box target = {x - 5, y - 15, width + 10, 21};
    canvas_handle(canvas, part, a, 0, target);
    if (canvas_focused(canvas, part, a, 0))
        canvas_focus(canvas, target);
    return x + width;
}

static void say_progress(char *text, int size, const rv_map_answer *answer)
{
    if (answer->of <= 0)
        snprintf(text, (size_t)size, "looking for it");
    else if (isnan(answer->left))
        snprintf(text, (size_t)size, "%d of %d runs", answer->runs, answer->of);
    else
        snprintf(text, (size_t)size, "%d of %d runs, %.0f\u00a0s left", answer->runs, answer->of, ceil(answer->left));
}

static const struct {
    const char *words, *shorter, *stop;
} questions[RV_QUESTIONS] = {[RV_LEAST_VOLUME] = {"V  least volume", "V  least volume", "Esc  stop looking"},
                             [RV_ODDS] = {"O  odds that it works", "O  odds", "Esc  stop trying"}};

/* For a narrow column: no line ends between a figure and its unit. */
static void bind_units(char *bound, size_t size, const char *text)
{
    static const char *const units[] = {"%", "ml", "mm"};
    static const char blank[] = "\u00a0";
    size_t used = 0;
    for (const char *at = text; *at && used + sizeof blank < size; at++) {
        bool binds = false;
        for (size_t k = 0; *at == ' ' && at > text && isdigit((unsigned char)at[-1]) && k < 3; k++)
            binds = binds || strncmp(at + 1, units[k], strlen(units[k])) == 0;
        if (binds) {
            memcpy(bound + used, blank, sizeof blank - 1);
            used += sizeof blank - 1;
        } else {
            bound[used++] = *at;
        }
    }
    bound[used] = '\0';
}

/* What came of a question, or how far it has come; the next line's y. */
static double draw_answer(rv_canvas *canvas, double x, double y, double most, double foot, const rv_map_answer *answer)
{
    const bool compact = canvas->at.compact;
    const double step = compact ? 15 : 18, size = compact ? 11.5 : 12.5;
    if (answer->working) {
        char text[96];
        say_progress(text, sizeof text, answer);
        canvas_words(canvas, x, y, (rn_letters){.size = size, .role = RN_ROLE_INK}, most, text);
        return y + step;
    }
    char text[RV_ANSWER_SIZE + 50]; /* bound blanks take two bytes */
    bind_units(text, sizeof text, answer->text);
    rn_letters words = {.size = size, .role = RN_ROLE_INK, .most = most, .lines = 3};
    while (words.lines > 1 && y + rn_pen_depth(&canvas->pen, words, text) + step > foot)
        words.lines--;
    const double depth = rn_pen_depth(&canvas->pen, words, text);
    rn_pen_text(&canvas->pen, x, y, words, text);
    return y + depth + step;
}

/* What can be asked, or what one has answered and then what is left to do, in one line. */
static void draw_questions(rv_canvas *canvas, double x, double y, double most, double foot)
{
    const rv_map *map = canvas->view->map;
    const double step = canvas->at.compact ? 16 : 21;
    int told = -1;
    for (int k = 0; k < RV_QUESTIONS; k++)
        if (map->answers[k].working || map->answers[k].done)
            told = k;
    for (int k = 0; told < 0 && k < RV_QUESTIONS; k++, y += step) {
        const char *const ask[] = {questions[k].words, questions[k].shorter, NULL};
        draw_action(canvas, x, y, most, PART_QUESTION, k, ask);
    }
    if (told < 0)
        return;
    const rv_map_answer *answer = &map->answers[told];
    y = draw_answer(canvas, x, y, most, foot, answer);
    const char *const stop[] = {questions[told].stop, "Esc  stop", NULL}, *const take[] = {"make it the plan", NULL};
    double end = x;
    if (answer->working)
        end = draw_action(canvas, x, y, most, PART_QUESTION, told, stop);
    else if (!isnan(answer->value))
        end = draw_action(canvas, x, y, most, PART_ANSWER, told, take);
    for (int k = 0; k < RV_QUESTIONS && !answer->working; k++) {
        const char *const ask[] = {questions[k].shorter, NULL};
        const double from = end > x ? end + 14 : x;
        if (k != told)
            end = draw_action(canvas, from, y, x + most - from, PART_QUESTION, k, ask);
    }
}

static void draw_left(rv_canvas *canvas, const rv_works_at *at)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    const bool compact = canvas->at.compact, upright = map->upright;
    const double x = canvas->at.margin, most = at->left - 10, foot = at->strip.y + at->strip.height - 10;
    double y = at->strip.y + (compact ? 20 : 27);
    double here[2];
    char value[48], text[80];
    map_values(&here[0], &here[1], map->window, document_plan(view->doc));
    axes_text(value, sizeof value, upright ? rn_window_x(map->window) : rn_window_y(map->window), here[upright ? 0 : 1],
              view->ounces);
    canvas_words(canvas, x, y, (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, most,
                 upright ? "along the column" : "along the row");
    y += compact ? 16 : 19;
    snprintf(text, sizeof text, "%s, at rest", value);
    canvas_words(canvas, x, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, most, text);
    y += compact ? 17 : 21;
    const char *const column[] = {"F  along the column", "along the column", NULL};
    const char *const row[] = {"F  along the row", "along the row", NULL};
    bool told = false;
    for (int k = 0; k < RV_QUESTIONS; k++)
        told = told || map->answers[k].working || map->answers[k].done;
    if (!compact || !told) { /* a small window has no room for both */
        draw_action(canvas, x, y, most, PART_FACES, 0, upright ? row : column);
        y += compact ? 19 : 27;
    }
    draw_questions(canvas, x, y, most, foot);
}

void works_faces(rv_canvas *canvas, const rv_works_at *at)
{
    const rv_map *map = canvas->view->map;
    rn_pen_use(&canvas->pen, RN_ROLE_STRIP);
    cairo_rectangle(canvas->pen.cr, at->strip.x, at->strip.y, at->strip.width, at->strip.height);
    cairo_fill(canvas->pen.cr);
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.4, 0, at->strip.y, at->strip.width, at->strip.y);
    if (!map || !map->window) {
        canvas_words(canvas, canvas->at.margin, at->strip.y + (canvas->at.compact ? 20 : 27),
                     (rn_letters){.size = 13.5, .role = RN_ROLE_INK}, at->left - 10, "along the row");
        for (int k = 0; k < MAP_FACES; k++)
            draw_empty(canvas, at->faces[k]);
        return;
    }
    draw_left(canvas, at);
    for (int k = 0; k < MAP_FACES; k++)
        draw_face(canvas, at, k);
}
