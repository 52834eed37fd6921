#include "show/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "show/clock.h"
#include "show/dipstick.h"
#include "show/map.h"
#include "show/report.h"
#include "show/rim.h"
#include "show/shelf.h"

#define MARGIN 24.0
#define SHELF_WIDTH 190.0
#define FACE_WIDEST 600.0
#define FACE_TALLEST 560.0
#define KEY_ROOM 30.0 /* under the front edge's name */
#define HEAD_GAP 20.0

static const double text_width = RN_PAGE_WIDTH - 2.0 * MARGIN;

static rn_letters title_letters(void)
{
    return (rn_letters){.size = 14.5, .role = RN_ROLE_INK2, .most = text_width - 220.0};
}

/* The verdict, up to its colon, stands in the colour of trouble where there is any. */
static rn_letters headline_letters(const rn_forecast *forecast, const char *text)
{
    const char *colon = strchr(text, ':');
    return (rn_letters){.size = 22.0,
                        .role = RN_ROLE_INK,
                        .bold = true,
                        .most = text_width,
                        .lines = 2,
                        .accent = forecast->covered || !colon ? 0 : (int)(colon - text) + 1,
                        .accent_role = RN_ROLE_SHORT};
}

static rn_letters facts_letters(void)
{
    return (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .most = text_width, .lines = 2};
}

/* The second sentence: how thick, what ran off, whether it still moves. */
static void write_facts(char *text, size_t size, const rn_forecast *f)
{
    const double all = f->base + f->poured;
    char sides[60] = "", run_off[80] = "Nothing runs off.", rest[80] = "At rest";
    if (f->run_off >= 0.05e-6 && all > 0.0)
        snprintf(run_off, sizeof run_off, "%.1f ml runs off, %.1f %% of the paint.", f->run_off * 1e6,
                 100.0 * f->run_off / all);
    if (f->still_moving >= RN_REST_SPEED)
        snprintf(rest, sizeof rest, "Still moving at %.*f mm/min", f->still_moving * 6e4 < 10.0 ? 1 : 0,
                 f->still_moving * 6e4);
    if (f->wrapped)
        snprintf(sides, sizeof sides, " Sides %.0f %% wetted.", floor(f->side_coverage * 100.0 + 1e-6));
    snprintf(text, size, "Film %.2f mm in the mean, %.2f to %.2f mm.%s %s %s after %.0f s.", f->mean * 1e3,
             f->least.depth * 1e3, f->most.depth * 1e3, sides, run_off, rest, f->duration);
}

static rn_box face_size(const rn_panel *panel)
{
    const double scale = fmin(FACE_WIDEST / panel->width, FACE_TALLEST / panel->height);
    return (rn_box){0.0, 0.0, panel->width * scale, panel->height * scale};
}

/* Baselines of the words at the top, and where they end. */
typedef struct head {
    double title, headline, facts, foot;
} head;

static head lay_head(rn_pen *pen, const rn_figure *figure)
{
    char text[RN_HEADLINE_SIZE];
    head h;
    h.title = MARGIN + 12.0;
    h.headline = h.title + 32.0;
    rn_report_headline(text, figure->forecast);
    h.facts = h.headline + rn_pen_depth(pen, headline_letters(figure->forecast, text), text) + 28.0;
    write_facts(text, sizeof text, figure->forecast);
    h.foot = h.facts + rn_pen_depth(pen, facts_letters(), text) + HEAD_GAP;
    return h;
}

static double bench_height(const rn_figure *figure)
{
    const double map = RN_RIM_ROOM_BACK + face_size(&figure->plan->panel).height + RN_RIM_ROOM_FRONT + KEY_ROOM;
    const double least = rn_shelf_height(figure->plan) + 62.0;
    return fmax(map, least) + 6.0;
}

double rn_page_height(rn_pen *pen, const rn_figure *figure)
{
    return lay_head(pen, figure).foot + bench_height(figure) + rn_clock_height(figure->plan);
}

static void draw_head(rn_pen *pen, const rn_figure *figure, head h)
{
    char text[RN_HEADLINE_SIZE];
    const rn_forecast *f = figure->forecast;
    if (f->title[0])
        rn_pen_text(pen, MARGIN, h.title, title_letters(), f->title);
    snprintf(text, sizeof text, "runnel, %d \u00d7 %d cells", f->grid.nx, f->grid.ny);
    rn_pen_text(pen, RN_PAGE_WIDTH - MARGIN, h.title, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = 1.0},
                text);
    rn_report_headline(text, f);
    rn_pen_text(pen, MARGIN, h.headline, headline_letters(f, text), text);
    write_facts(text, sizeof text, f);
    rn_pen_text(pen, MARGIN, h.facts, facts_letters(), text);
}

/* What the signs on the map mean, along its foot. */
static void draw_key(rn_pen *pen, const rn_map *map, double middle, double y)
{
    char text[120];
    const double drip = rn_rim_drip(map->forecast) * 1e6;
    int used = snprintf(text, sizeof text, "lines: depth in mm");
    if (rn_map_latest_arrival(map) > 0.0)
        used += snprintf(text + used, sizeof text - (size_t)used, "   \u00b7   dotted: when first covered");
    if (drip > 0.0)
        snprintf(text + used, sizeof text - (size_t)used, "   \u00b7   one drip: %.3g ml", drip);
    rn_pen_text(pen, middle, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = 0.5}, text);
}

static bool draw_bench(rn_pen *pen, const rn_figure *figure, double top, double height)
{
    const rn_box shelf = {MARGIN, top, SHELF_WIDTH, height - 62.0};
    const rn_box stick = {RN_PAGE_WIDTH - MARGIN - RN_DIPSTICK_WIDTH, top, RN_DIPSTICK_WIDTH,
                          fmin(height - 20.0, 420.0)};
    const double middle = 0.5 * (shelf.x + shelf.width + stick.x);
    rn_box face = face_size(&figure->plan->panel);
    face.x = middle - 0.5 * face.width;
    face.y = top + RN_RIM_ROOM_BACK + 0.5 * (height - RN_RIM_ROOM_BACK - RN_RIM_ROOM_FRONT - KEY_ROOM - face.height);

    rn_map map;
    if (!rn_map_init(&map, face, &figure->plan->panel, figure->record, figure->forecast))
        return false;
    rn_shelf_draw(pen, shelf, figure->plan, figure->forecast);
    rn_rim_draw_run_off(pen, &map);
    rn_rim_draw_corners(pen, &map);
    const bool whole = rn_map_draw(pen, &map);
    rn_map_rule(pen, &map, MARGIN, top + height - 14.0);
    rn_dipstick_draw(pen, stick, map.top, figure->forecast->cover, figure->forecast->mean);
    draw_key(pen, &map, middle, top + height - 14.0);
    rn_map_clear(&map);
    return whole;
}

bool rn_page_draw(rn_pen *pen, const rn_figure *figure, double height)
{
    const head h = lay_head(pen, figure);
    rn_pen_use(pen, RN_ROLE_BENCH);
    cairo_rectangle(pen->cr, 0.0, 0.0, RN_PAGE_WIDTH, height);
    cairo_fill(pen->cr);
    draw_head(pen, figure, h);
    const bool whole = draw_bench(pen, figure, h.foot, bench_height(figure));

    const double clock_height = rn_clock_height(figure->plan);
    rn_clock clock = {.box = {0.0, height - clock_height, RN_PAGE_WIDTH, clock_height},
                      .x0 = MARGIN + SHELF_WIDTH + 46.0,
                      .x1 = RN_PAGE_WIDTH - 92.0,
                      .end = fmax(figure->plan->end, figure->record->end),
                      .plan = figure->plan,
                      .forecast = figure->forecast,
                      .record = figure->record};
    if (!(clock.end > 0.0))
        clock.end = 1.0;
    rn_clock_draw(pen, &clock);
    return whole;
}
