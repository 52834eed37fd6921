/* The window of plans that work: where its parts stand, and its sentence. */
#include "works.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "axes.h"
#include "base/physical.h"
#include "edit.h"
#include "outcome.h"
#include "parts.h"
#include "show/window_map.h"

/* ---- where everything stands ---- */

rv_works_at works_place(const rv_layout *at)
{
    rv_works_at works = {0};
    const bool compact = at->compact;
    const double high = compact ? 122 : 176, left = compact ? 56 : 66, below = compact ? 42 : 53;
    works.strip = (rn_box){0, at->height - high, at->width, high};
    works.field = (rn_box){at->bench.x + left, at->bench.y + (compact ? 16 : 24),
                           at->bench.width - left - (compact ? 20 : 34), 0};
    works.field.height = works.strip.y - below - works.field.y;
    works.left = compact ? 178 : at->shelf.width - at->margin;
    const double from = works.left + at->margin + (compact ? 8 : 34), to = at->width - at->margin - 14;
    const double pitch = (to - from) / MAP_FACES, size = fmin(pitch - (compact ? 16 : 30), high - (compact ? 46 : 70));
    for (int k = 0; k < MAP_FACES; k++)
        works.faces[k] =
            (rn_box){from + pitch * (k + 0.5) - 0.5 * size, works.strip.y + (compact ? 11 : 15), size, size};
    const double first = at->right.y + (compact ? 34 : 45), step = compact ? 36 : 47;
    for (int k = 0; k < LIMITS; k++)
        works.track[k] = (rn_box){at->right.x + 4, first + step * k + (compact ? 13 : 20), at->right.width - 8, 0};
    works.limits_end = first + step * LIMITS;
    return works;
}

void works_middle(double *x, double *y, const rv_layout *at, const rn_window *window, double column, double row)
{
    const rn_box field = works_place(at).field;
    const rn_window_options options = rn_window_options_of(window);
    *x = field.x + field.width * (column + 0.5) / options.columns;
    *y = field.y + field.height * (1 - (row + 0.5) / options.rows);
}

bool works_tile_at(int *column, int *row, const rv_layout *at, const rn_window *window, double x, double y)
{
    const rn_box field = works_place(at).field;
    const rn_window_options options = rn_window_options_of(window);
    const double u = (x - field.x) / field.width, v = 1 - (y - field.y) / field.height;
    if (!(u >= 0 && u <= 1 && v >= 0 && v <= 1))
        return false;
    map_nearest_tile(column, row, window, u * options.columns - 0.5, v * options.rows - 0.5);
    return true;
}

bool works_looked_at(int *column, int *row, const rv_view *view)
{
    const rv_map_hand *hand = &view->map_hand;
    if (!view->map || !view->map->window)
        return false;
    if (!hand->keyed)
        return view->pointing && view->hover.part == PART_TILES &&
               works_tile_at(column, row, &view->layout, view->map->window, view->pointer_x, view->pointer_y);
    map_nearest_tile(column, row, view->map->window, hand->column, hand->row);
    return true;
}

/* ---- kinds ---- */

rv_tile works_sign(rn_tile_kind kind)
{
    switch (kind) {
    case RN_TILE_WORKS: return TILE_COVERED;
    case RN_TILE_SHORT: return TILE_SHORT;
    case RN_TILE_SPILLED: return TILE_RUN_OFF;
    case RN_TILE_PULLED: return TILE_PULLED;
    case RN_TILE_NONE: return TILE_REFUSED;
    case RN_TILE_OPEN:
    case RN_TILE_KINDS: break;
    }
    return TILE_UNKNOWN;
}

rn_role works_role(rn_tile_kind kind)
{
    switch (kind) {
    case RN_TILE_WORKS: return RN_ROLE_INK;
    case RN_TILE_SHORT:
    case RN_TILE_NONE: return RN_ROLE_SHORT;
    case RN_TILE_SPILLED: return RN_ROLE_RUN_OFF;
    case RN_TILE_PULLED: return RN_ROLE_PULLED;
    case RN_TILE_OPEN:
    case RN_TILE_KINDS: break;
    }
    return RN_ROLE_INK2;
}

const char *works_word(const rn_goal *goal, const rn_tile *tile, bool shorter)
{
    static const char *const words[RN_TILE_KINDS] = {"not yet", "works", "short", "too much", "pulled far", "no plan"};
    if (rn_tile_is_dry(tile, goal))
        return shorter ? "too little" : rn_window_look_word(RN_WINDOW_DRY);
    return shorter || tile->kind == RN_TILE_OPEN ? words[tile->kind] : rn_tile_word(tile->kind);
}

void works_say(char *text, int size, const rn_goal *goal, const rn_goal_verdict *verdict, bool ounces)
{
    if (verdict->met || verdict->worst < 0) {
        snprintf(text, (size_t)size, verdict->met ? "works" : "falls short");
        return;
    }
    const rn_expect *demand = &goal->demands[verdict->worst];
    const double by = -verdict->margins[verdict->worst].margin, value = verdict->margins[verdict->worst].value;
    const bool under = value < demand->value; /* of what is wanted about so, or at least */
    switch (demand->kind) {
    case RN_EXPECT_COVERAGE: snprintf(text, (size_t)size, "leaves %.1f\u00a0%% too much bare", 100 * by); break;
    case RN_EXPECT_COVERED_BY:
        if (isfinite(by))
            snprintf(text, (size_t)size, "is covered %.0f\u00a0s %s", by, under ? "too soon" : "late");
        else
            snprintf(text, (size_t)size, "is never covered");
        break;
    case RN_EXPECT_RUN_OFF:
        if (demand->share)
            snprintf(text, (size_t)size, "runs off %.0f\u00a0%% too %s", fmax(100 * by, 1), under ? "little" : "much");
        else if (ounces)
            snprintf(text, (size_t)size, "runs off %.2f\u00a0fl oz too %s", by / RN_FLUID_OUNCE,
                     under ? "little" : "much");
        else
            snprintf(text, (size_t)size, "runs off %.1f\u00a0ml too %s", 1e6 * by, under ? "little" : "much");
        break;
    case RN_EXPECT_CORNER: snprintf(text, (size_t)size, "falls short by %.2f\u00a0mm in a corner", 1e3 * by); break;
    case RN_EXPECT_THINNEST: snprintf(text, (size_t)size, "falls short by %.2f\u00a0mm", 1e3 * by); break;
    case RN_EXPECT_STRETCH:
        if (isfinite(by))
            snprintf(text, (size_t)size, "is pulled too far by %.1f\u00a0×", by);
        else
            snprintf(text, (size_t)size, "has no design to pull");
        break;
    case RN_EXPECT_TWIST:
        if (isfinite(by))
            snprintf(text, (size_t)size, "is twisted %.0f° too %s", by * 180 / RN_PI, under ? "little" : "far");
        else
            snprintf(text, (size_t)size, "has no design to twist");
        break;
    }
}

void works_say_place(char *text, int size, const rn_window *window, double x, double y, bool ounces)
{
    char x_text[48], y_text[48];
    axes_text(x_text, sizeof x_text, rn_window_x(window), x, ounces);
    axes_text(y_text, sizeof y_text, rn_window_y(window), y, ounces);
    snprintf(text, (size_t)size, "%s, %s", x_text, y_text);
}

/* ---- words over the tiles ---- */

void works_plate(rv_canvas *canvas, rn_box box, rn_role edge)
{
    cairo_t *cr = canvas->pen.cr;
    const double r = 3, x1 = box.x + box.width, y1 = box.y + box.height;
    cairo_new_path(cr);
    cairo_arc(cr, x1 - r, box.y + r, r, -0.5 * RN_PI, 0);
    cairo_arc(cr, x1 - r, y1 - r, r, 0, 0.5 * RN_PI);
    cairo_arc(cr, box.x + r, y1 - r, r, 0.5 * RN_PI, RN_PI);
    cairo_arc(cr, box.x + r, box.y + r, r, RN_PI, 1.5 * RN_PI);
    cairo_close_path(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, edge);
    cairo_set_line_width(cr, 1.2);
    cairo_stroke(cr);
}

/* Paper will lie there: no words, and so no plate for them. */
static bool veiled(const rv_canvas *canvas, rn_box box)
{
    const rn_box *veil = &canvas->pen.veil;
    return veil->width > 0 && box.x < veil->x + veil->width && veil->x < box.x + box.width &&
           box.y < veil->y + veil->height && veil->y < box.y + box.height;
}

bool works_has_room(const rv_canvas *canvas, rn_box plate)
{
    return !veiled(canvas, plate) && rn_pen_vacant(&canvas->pen, plate, 3);
}

bool works_label(rv_canvas *canvas, double x, double y, double most, rn_tile_kind kind, const char *text)
{
    const rn_letters letters = {.size = 13, .bold = kind != RN_TILE_OPEN, .align = 0.5, .role = works_role(kind)};
    const double sign = kind == RN_TILE_OPEN ? 0 : 20;
    const rn_box box = rn_pen_measure(&canvas->pen, x + 0.5 * sign, y, letters, text);
    const rn_box plate = {box.x - sign - 8, y - 16, box.width + sign + 16, 23};
    if (plate.width > most || !works_has_room(canvas, plate))
        return false;
    works_plate(canvas, plate, kind == RN_TILE_OPEN ? RN_ROLE_LINE : works_role(kind));
    if (sign > 0)
        canvas_tile(canvas, plate.x + 15, y - 5, works_sign(kind), 0);
    rn_pen_text(&canvas->pen, x + 0.5 * sign, y, letters, text);
    return true;
}

/* ---- the sentence ---- */

/* What is known of this plan itself: by its own forecast, or by its tile. */
static rn_tile_kind judge_plan(rn_goal_verdict *verdict, bool *own, const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    const rv_shown *shown = &canvas->shown[PLACE_BENCH];
    const rv_studio_tale *tale = shown->tale;
    const bool needs = rn_goal_needs_pattern(&map->goal);
    if (tale && tale->version == document_version(view->doc) && tale->complete &&
        (!needs || tale->forecast.has_pattern)) {
        *own = true;
        const rn_outcome outcome = rn_outcome_of(&tale->forecast);
        return map_kind(&map->goal, &outcome, verdict);
    }
    double along_x, along_y;
    int column, row;
    *own = false;
    map_place(&along_x, &along_y, map->window, document_plan(view->doc));
    map_nearest_tile(&column, &row, map->window, along_x, along_y);
    const rn_tile tile = map_tile(map, column, row);
    return map_kind(&map->goal, &tile.outcome, verdict);
}

static void say_nearest(rv_phrase *phrase, const rv_view *view, bool plan_works)
{
    int column, row;
    bool works;
    double along_x, along_y;
    char place[100], lack[100];
    const rv_map *map = view->map;
    map_place(&along_x, &along_y, map->window, document_plan(view->doc));
    if (!map_find_nearest(&column, &row, &works, map, along_x, along_y))
        return;
    const rn_tile *tile = rn_window_tile(map->window, column, row);
    works_say_place(place, sizeof place, map->window, tile->x, tile->y, view->ounces);
    *phrase = (rv_phrase){.role = RN_ROLE_INK, .keep = 2};
    if (plan_works) { /* it is nearest itself */
        if (!works && map->complete)
            snprintf(phrase->strong, PHRASE_SIZE, "no tile tried does");
        return;
    }
    if (works) {
        snprintf(phrase->lead, PHRASE_SIZE, "nearest that works:");
        snprintf(phrase->strong, PHRASE_SIZE, "%s", place);
        return;
    }
    const rn_goal_verdict verdict = rn_goal_judge(&map->goal, &tile->outcome);
    works_say(lack, sizeof lack, &map->goal, &verdict, view->ounces);
    snprintf(phrase->lead, PHRASE_SIZE,
             map->complete ? "Nothing tried works. Closest:" : "Nothing yet works. Closest:");
    snprintf(phrase->strong, PHRASE_SIZE, "%s", place);
    snprintf(phrase->tail, PHRASE_SIZE, ", %s.", lack);
}

int works_phrases(rv_phrase *phrases, const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    int count = 0, tried = 0, working = 0, open = 0;
    const rn_window_options options = rn_window_options_of(map->window);
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            const rn_tile tile = map_tile(map, column, row);
            tried += tile.worked;
            working += tile.worked && tile.kind == RN_TILE_WORKS;
            open += tile.kind == RN_TILE_OPEN;
        }
    phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_COVERED, .role = RN_ROLE_INK};
    snprintf(phrases[count].strong, PHRASE_SIZE, "%d of %d", working, tried);
    snprintf(phrases[count++].tail, PHRASE_SIZE, " tried work");
    if (map->trouble[0]) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_REFUSED, .role = RN_ROLE_SHORT, .keep = 3};
        snprintf(phrases[count++].strong, PHRASE_SIZE, "stopped: %.120s", map->trouble);
    } else if (open > 0) {
        phrases[count] = (rv_phrase){.has_tile = true, .tile = TILE_UNKNOWN, .role = RN_ROLE_INK2, .keep = 1};
        snprintf(phrases[count++].strong, PHRASE_SIZE, "%d still to work out", open);
    }
    rn_goal_verdict verdict;
    char said[100];
    bool own;
    const rn_tile_kind kind = judge_plan(&verdict, &own, canvas);
    if (kind != RN_TILE_OPEN && kind != RN_TILE_NONE) {
        works_say(said, sizeof said, &map->goal, &verdict, view->ounces);
        phrases[count] = (rv_phrase){.has_tile = true, .tile = works_sign(kind), .role = works_role(kind)};
        snprintf(phrases[count].lead, PHRASE_SIZE, own ? "this plan" : "this plan's tile");
        snprintf(phrases[count++].strong, PHRASE_SIZE, "%s", said);
    }
    phrases[count] = (rv_phrase){0};
    say_nearest(&phrases[count], view, kind == RN_TILE_WORKS);
    return count + (phrases[count].strong[0] ? 1 : 0);
}

static void draw_sentence(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_map *map = view->map;
    rv_phrase phrases[PHRASES_MOST] = {{.role = RN_ROLE_INK2}};
    int count = 1;
    if (view->typing.on && view->typing.what.part == PART_LIMIT && view->typing.trouble[0]) {
        phrases[0] = (rv_phrase){.has_tile = true, .tile = TILE_REFUSED, .role = RN_ROLE_SHORT};
        snprintf(phrases[0].strong, PHRASE_SIZE, "%.150s", view->typing.trouble);
    } else if (!edit_pourable(document_plan(view->doc))) {
        snprintf(phrases[0].strong, PHRASE_SIZE, "Nothing poured yet.");
        phrases[1] = (rv_phrase){.role = RN_ROLE_INK2, .keep = 1};
        snprintf(phrases[1].lead, PHRASE_SIZE, "Put paints on the shelf and draw a release on the clock.");
        count = 2;
    } else if (map && map->window) {
        count = works_phrases(phrases, canvas);
    } else if (map && map->trouble[0]) {
        phrases[0] = (rv_phrase){.has_tile = true, .tile = TILE_REFUSED, .role = RN_ROLE_SHORT};
        snprintf(phrases[0].strong, PHRASE_SIZE, "No window of this plan:");
        snprintf(phrases[0].tail, PHRASE_SIZE, " %.140s", map->trouble);
    } else {
        phrases[0] = (rv_phrase){.has_tile = true, .tile = TILE_UNKNOWN, .role = RN_ROLE_INK2};
        snprintf(phrases[0].strong, PHRASE_SIZE, "not worked out yet");
    }
    outcome_head(canvas, phrases, count);
}

void works_draw(rv_canvas *canvas)
{
    const rv_works_at at = works_place(&canvas->at);
    const rn_box list = works_list_box(canvas, &at);
    if (list.width > 0)
        canvas->pen.veil = list;
    draw_sentence(canvas);
    works_axes(canvas, &at);
    works_tiles(canvas, &at);
    works_limits(canvas, &at);
    works_faces(canvas, &at);
    if (list.width > 0) {
        canvas->pen.veil = (rn_box){0};
        works_list(canvas, list);
    }
}
