#include "show/window_page.h"

#include <math.h>
#include <string.h>

#include "show/dial_axis.h"
#include "show/leaf.h"
#include "show/report_window.h"
#include "show/window_lines.h"
#include "show/window_map.h"

#define MARGIN 24.0
#define AXIS_ROOM 84.0
#define MAP_WIDTH 800.0
#define MAP_HEIGHT 590.0
#define UNDER 74.0 /* the map's figures and words */
#define FOOT 40.0
#define SIDE 38.0 /* from the map to the words beside it */
#define LINE 20.0

static const double text_width = RN_WINDOW_PAGE_WIDTH - 2.0 * MARGIN;
static const double side_x = MARGIN + AXIS_ROOM + MAP_WIDTH + SIDE;
static const double side_width = RN_WINDOW_PAGE_WIDTH - MARGIN - (MARGIN + AXIS_ROOM + MAP_WIDTH + SIDE);

typedef struct head {
    double title, headline, own, foot; /* baselines, and where the map begins */
} head;

static rn_letters headline_letters(void)
{
    return (rn_letters){.size = 22.0, .role = RN_ROLE_INK, .bold = true, .most = text_width, .lines = 2};
}

static rn_letters own_letters(void)
{
    return (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .most = text_width, .lines = 2};
}

static head lay_head(rn_pen *pen, const rn_window_page *page)
{
    char text[RN_REPORT_WINDOW_SIZE];
    head h = {.title = MARGIN + 12.0, .headline = MARGIN + 44.0};
    rn_report_window_headline(text, page->window, page->answer);
    h.own = h.headline + rn_pen_depth(pen, headline_letters(), text) + 28.0;
    rn_report_window_own(text, page->window, page->answer);
    h.foot = h.own + rn_pen_depth(pen, own_letters(), text) + 24.0;
    return h;
}

static void draw_head(rn_pen *pen, const rn_window_page *page, head h)
{
    char text[RN_REPORT_WINDOW_SIZE];
    const rn_letters title = {.size = 14.5, .role = RN_ROLE_INK2, .most = text_width - 220.0};
    if (page->title && page->title[0])
        rn_pen_text(pen, MARGIN, h.title, title, page->title);
    rn_pen_text(pen, RN_WINDOW_PAGE_WIDTH - MARGIN, h.title,
                (rn_letters){.size = 14.5, .role = RN_ROLE_INK2, .align = 1.0}, "plans that work");
    rn_report_window_headline(text, page->window, page->answer);
    rn_pen_text(pen, MARGIN, h.headline, headline_letters(), text);
    rn_report_window_own(text, page->window, page->answer);
    rn_pen_text(pen, MARGIN, h.own, own_letters(), text);
}

/* ---- beside the map ---- */

static double heading(rn_pen *pen, double y, const char *text)
{
    rn_pen_text(pen, side_x, y, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .lettering = RN_LETTERS_HEAD}, text);
    rn_pen_line(pen, RN_ROLE_LINE, 1.0, side_x, y + 7.0, side_x + side_width, y + 7.0);
    return y + 28.0;
}

/* A text that may take two lines; returns the baseline after it. */
static double say(rn_pen *pen, double x, double y, rn_role role, bool bold, const char *text)
{
    const rn_letters letters = {
        .size = 13.5, .role = role, .bold = bold, .most = RN_WINDOW_PAGE_WIDTH - MARGIN - x, .lines = 2};
    const double depth = rn_pen_depth(pen, letters, text);
    rn_pen_text(pen, x, y, letters, text);
    return y + depth + LINE;
}

static void swatch(rn_pen *pen, double y, int look)
{
    const rn_box box = {side_x + 1.0, y - 12.0, 26.0, 15.0};
    cairo_save(pen->cr);
    cairo_rectangle(pen->cr, box.x, box.y, box.width, box.height);
    rn_pen_use(pen, rn_window_ground(look));
    cairo_fill_preserve(pen->cr);
    cairo_clip_preserve(pen->cr);
    cairo_path_t *edge = cairo_copy_path(pen->cr);
    rn_window_texture(pen, box, look);
    cairo_append_path(pen->cr, edge);
    cairo_path_destroy(edge);
    rn_pen_use(pen, look == RN_TILE_WORKS ? RN_ROLE_INK : RN_ROLE_LINE);
    cairo_set_line_width(pen->cr, look == RN_TILE_WORKS ? 4.0 : 2.0); /* half of it is clipped */
    cairo_stroke(pen->cr);
    cairo_restore(pen->cr);
}

static double list_looks(rn_pen *pen, double y, const rn_window *window)
{
    int counts[RN_WINDOW_LOOKS];
    char text[80];
    rn_window_count_looks(counts, window);
    y = heading(pen, y, "what comes of them");
    for (int i = 0; i < RN_WINDOW_LOOKS; i++) {
        const int look = rn_window_looks[i];
        if (counts[look] == 0)
            continue;
        swatch(pen, y, look);
        snprintf(text, sizeof text, "%s: %d", rn_window_look_word(look), counts[look]);
        y = say(pen, side_x + 38.0, y, RN_ROLE_INK, look == RN_TILE_WORKS, text) + 2.0;
    }
    return y + 14.0;
}

static double list_lines(rn_pen *pen, double y, const rn_window *window)
{
    static const char *const words[RN_WINDOW_FIELDS] = {"share of the face that is covered",
                                                        "share of the paint that runs off", "stretch of the design"};
    bool any = false;
    for (int field = 0; field < RN_WINDOW_FIELDS; field++) {
        if (!rn_window_field_shown(window, (rn_window_field)field))
            continue;
        cairo_move_to(pen->cr, side_x + 2.0, y - 4.5);
        cairo_line_to(pen->cr, side_x + 28.0, y - 4.5);
        rn_window_field_ink(pen, (rn_window_field)field);
        y = say(pen, side_x + 38.0, y, RN_ROLE_INK, false, words[field]);
        any = true;
    }
    return any ? y + 14.0 : y;
}

/* Each demand and what comes of it. */
static double list_goal(rn_pen *pen, double y, const rn_window *window, const rn_outcome *outcome)
{
    const rn_goal *goal = rn_window_goal(window);
    const rn_goal_verdict verdict = rn_goal_judge(goal, outcome);
    for (int i = 0; i < goal->count; i++) {
        char wanted[RN_JUDGE_SIZE], said[RN_JUDGE_SIZE], text[2 * RN_JUDGE_SIZE + 4];
        rn_goal_wanted(wanted, &goal->demands[i]);
        rn_goal_said(said, &goal->demands[i], outcome);
        snprintf(text, sizeof text, "%s: %s", wanted, said);
        y = say(pen, side_x, y, verdict.margins[i].met ? RN_ROLE_INK2 : RN_ROLE_SHORT, false, text);
    }
    return y;
}

static double say_room(rn_pen *pen, double y, const rn_window *window, const rn_window_answer *answer)
{
    const rn_window_best *best = &answer->best;
    char inside[RN_REPORT_WINDOW_INSIDE];
    const rn_dial *dials[] = {rn_window_x(window), rn_window_y(window)};
    const double less[] = {best->x_less, best->y_less}, more[] = {best->x_more, best->y_more};
    if (!(best->radius > 0))
        return say(pen, side_x, y, RN_ROLE_INK2, false, "no room around it");
    for (int i = 0; i < 2; i++) {
        char words[RN_DIAL_PATH + 20], from[60], to[60], text[RN_DIAL_PATH + 180];
        rn_dial_words(words, sizeof words, dials[i]);
        rn_units_round(from, sizeof from, rn_dial_signed(dials[i], less[i]), dials[i]->dimension, NULL, 3);
        rn_units_round(to, sizeof to, rn_dial_signed(dials[i], more[i]), dials[i]->dimension, NULL, 3);
        snprintf(text, sizeof text, "room, %s: %s to %s", words, from, to);
        y = say(pen, side_x, y, RN_ROLE_INK, false, text);
    }
    y = say(pen, side_x, y, RN_ROLE_INK2, false,
            answer->ends_run ? "the ends were run and work" : "as far as tiles tell; the ends were not run");
    rn_report_window_inside(inside, sizeof inside, answer);
    return say(pen, side_x, y, RN_ROLE_INK2, false, inside);
}

static double tell_safest(rn_pen *pen, double y, const rn_window_page *page)
{
    const rn_window_answer *answer = page->answer;
    char place[RN_REPORT_WINDOW_PLACE];
    if (!answer->found)
        return y;
    const rn_tile *tile = rn_window_tile(page->window, answer->best.column, answer->best.row);
    y = heading(pen, y, "safest");
    rn_window_mark_best(pen, side_x + 10.0, y - 4.5);
    rn_report_window_place(place, sizeof place, page->window, tile->x, tile->y);
    y = say(pen, side_x + 28.0, y, RN_ROLE_INK, true, place) + 2.0;
    y = say_room(pen, y, page->window, answer);
    return list_goal(pen, y, page->window,
                     answer->best_own.state == RN_OUTCOME_NONE ? &tile->outcome : &answer->best_own) +
           14.0;
}

static double tell_own(rn_pen *pen, double y, const rn_window_page *page)
{
    const rn_window_answer *answer = page->answer;
    const rn_outcome *own = answer->own.state != RN_OUTCOME_NONE ? &answer->own : &answer->own_told;
    const double x = rn_window_x(page->window)->now, now = rn_window_y(page->window)->now;
    char place[RN_REPORT_WINDOW_PLACE];
    if (own->state == RN_OUTCOME_NONE)
        return y;
    y = heading(pen, y, "this plan");
    rn_window_mark_own(pen, side_x + 10.0, y - 4.5);
    if (isnan(x) || isnan(now))
        snprintf(place, sizeof place, "has no place on the axes");
    else
        rn_report_window_place(place, sizeof place, page->window, x, now);
    y = say(pen, side_x + 28.0, y, RN_ROLE_INK, true, place) + 2.0;
    if (own->state != RN_OUTCOME_WHOLE)
        return say(pen, side_x, y, RN_ROLE_SHORT, false, own->why) + 14.0;
    y = list_goal(pen, y, page->window, own);
    if (answer->has_nearest) {
        const rn_tile *nearest = rn_window_tile(page->window, answer->nearest_column, answer->nearest_row);
        rn_window_mark_nearest(pen, side_x + 10.0, y - 2.0);
        rn_report_window_place(place, sizeof place, page->window, nearest->x, nearest->y);
        y = say(pen, side_x + 28.0, y + 2.0, RN_ROLE_INK, false, place);
        y = say(pen, side_x + 28.0, y, RN_ROLE_INK2, false, "nearest that works");
    }
    return y + 14.0;
}

/* All that stands beside the map, from y down; returns where it ends. */
static double draw_side(rn_pen *pen, double y, const rn_window_page *page)
{
    y = list_looks(pen, y, page->window);
    y = list_lines(pen, y, page->window);
    y = tell_safest(pen, y, page);
    return tell_own(pen, y, page);
}

/* How high that is: drawn where nobody sees it. */
static double side_height(rn_pen *pen, const rn_window_page *page)
{
    const int texts = pen->box_count;
    cairo_push_group(pen->cr);
    const double height = draw_side(pen, 0, page);
    cairo_pattern_destroy(cairo_pop_group(pen->cr));
    pen->box_count = texts;
    return height;
}

double rn_window_page_height(rn_pen *pen, const rn_window_page *page)
{
    return lay_head(pen, page).foot + fmax(MAP_HEIGHT + UNDER, side_height(pen, page)) + FOOT;
}

static void draw_foot(rn_pen *pen, double y, const rn_window_page *page)
{
    const rn_window_options options = rn_window_options_of(page->window);
    char text[240];
    int used = snprintf(text, sizeof text, "%d of %d tiles run on %d cells along the longer side",
                        rn_window_worked(page->window), options.columns * options.rows, options.cells);
    if (rn_window_told(page->window) > 0)
        used += snprintf(text + used, sizeof text - (size_t)used, ", %d told from their neighbours",
                         rn_window_told(page->window));
    if (page->answer->own.state != RN_OUTCOME_NONE)
        snprintf(text + used, sizeof text - (size_t)used, "  \u00b7  confirmed on %d: this plan%s", page->answer->cells,
                 page->answer->best_own.state != RN_OUTCOME_NONE ? " and the safest" : "");
    rn_pen_text(pen, MARGIN, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .most = text_width}, text);
}

bool rn_window_page_draw(rn_pen *pen, double height, const rn_window_page *page)
{
    const head h = lay_head(pen, page);
    const rn_box box = {MARGIN + AXIS_ROOM, h.foot, MAP_WIDTH, MAP_HEIGHT};
    const rn_window_options options = rn_window_options_of(page->window);
    const double wide = box.width / options.columns, high = box.height / options.rows;
    const rn_dial_axis along = {rn_window_x(page->window), box.x + 0.5 * wide, box.x + box.width - 0.5 * wide};
    const rn_dial_axis up = {rn_window_y(page->window), box.y + box.height - 0.5 * high, box.y + 0.5 * high};
    draw_head(pen, page, h);
    rn_dial_axis_draw_along(pen, &along, box.y + box.height);
    rn_dial_axis_draw_up(pen, &up, box.x, AXIS_ROOM - 12.0);
    const bool good = rn_window_map_draw(pen, box, page);
    draw_side(pen, h.foot + 10.0, page);
    draw_foot(pen, height - 18.0, page);
    return good;
}

static double leaf_height(rn_pen *pen, const void *matter)
{
    return rn_window_page_height(pen, matter);
}

static bool leaf_draw(rn_pen *pen, double height, const void *matter)
{
    return rn_window_page_draw(pen, height, matter);
}

rn_status rn_window_page_write(const char *path, FILE *standard, const rn_window_page *page, rn_figure_options options,
                               rn_error *err)
{
    const rn_leaf leaf = {page->title ? page->title : "", RN_WINDOW_PAGE_WIDTH, page, leaf_height, leaf_draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
