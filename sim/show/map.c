#include "show/map.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/physical.h"
#include "show/colour.h"
#include "show/contour.h"
#include "show/report.h"

#define RAMP_SHADES 1024
#define HATCH_PITCH 6.0
#define HATCH_STEP 0.5
#define LABEL_REACH 26.0 /* arc on either side of a label over which its line should be straight */
#define LABEL_SIZE 12.5
#define LINE_LEAST 8.0      /* shorter lines of depth are specks */
#define FRONT_SLOPE 0.03e-3 /* steeper than this is a paint front [m per unit] */
#define COVER_PASSES 4      /* of rounding, for the border of what is covered */
#define ARRIVAL_PASSES 2    /* of smoothing: arrivals come in steps of the solver's clock */

static const uint8_t ground[3] = {0xF4, 0xF4, 0xF4}; /* the bare panel, in any light */

bool rn_map_init(rn_map *map, rn_box face, const rn_panel *panel, const rn_record *record, const rn_forecast *forecast)
{
    static const double tops[] = {1e-3, 1.5e-3, 2e-3, 2.5e-3, 3e-3, 4e-3, 5e-3, 6e-3, 8e-3, 12e-3, 20e-3};
    rn_map made = {.face = face, .panel = panel, .record = record, .forecast = forecast};
    made.top = tops[0]; /* of a bare panel as well */
    for (size_t i = 1; i < sizeof tops / sizeof tops[0] && !(made.top >= forecast->most.depth); i++)
        made.top = tops[i];
    if (!rn_sheet_from_doubles(&made.depth, &record->grid, record->inside, record->depth))
        return false;
    if (!rn_sheet_from_floats(&made.arrival, &record->grid, record->inside, record->arrival)) {
        rn_sheet_clear(&made.depth);
        return false;
    }
    if (!rn_sheet_smooth(&made.arrival, ARRIVAL_PASSES)) {
        rn_map_clear(&made);
        return false;
    }
    *map = made;
    return true;
}

void rn_map_clear(rn_map *map)
{
    rn_sheet_clear(&map->depth);
    rn_sheet_clear(&map->arrival);
}

double rn_map_scale(const rn_map *map)
{
    return map->face.width / map->panel->width;
}

double rn_map_x(const rn_map *map, double x)
{
    return map->face.x + (0.5 + x / map->panel->width) * map->face.width;
}

double rn_map_y(const rn_map *map, double y)
{
    return map->face.y + (0.5 - y / map->panel->height) * map->face.height;
}

/* Film depth [m] under a point of the page. */
static double depth_under(const rn_map *map, double px, double py)
{
    const double x = ((px - map->face.x) / map->face.width - 0.5) * map->panel->width;
    const double y = (0.5 - (py - map->face.y) / map->face.height) * map->panel->height;
    return rn_sheet_at(&map->depth, x, y);
}

int rn_map_levels(double levels[RN_MAP_LEVELS], double top)
{
    static const double all[] = {0.25e-3, 0.5e-3, 0.75e-3, 1e-3, 1.25e-3, 1.5e-3, 1.75e-3,
                                 2e-3,    2.5e-3, 3e-3,    4e-3, 6e-3,    8e-3,   12e-3};
    int count = 0;
    for (int i = 0; i < RN_MAP_LEVELS && all[i] < top - 1e-9; i++)
        levels[count++] = all[i];
    return count;
}

void rn_map_outline(rn_pen *pen, const rn_map *map)
{
    const rn_box f = map->face;
    cairo_new_path(pen->cr);
    if (map->panel->round)
        cairo_arc(pen->cr, f.x + 0.5 * f.width, f.y + 0.5 * f.height, 0.5 * f.width, 0.0, 2.0 * RN_PI);
    else
        cairo_rectangle(pen->cr, f.x, f.y, f.width, f.height);
}

/* ---- the film itself ---- */

static void fill_shades(uint32_t shades[RAMP_SHADES])
{
    for (int i = 0; i < RAMP_SHADES; i++) {
        uint8_t rgb[3];
        rn_ramp_depth(rgb, i / (RAMP_SHADES - 1.0));
        shades[i] = (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
    }
}

/* The colour of a depth on the map. */
static uint32_t shade_of(const uint32_t shades[RAMP_SHADES], double depth, double top)
{
    if (!(depth >= RN_BARE_DEPTH))
        return (uint32_t)ground[0] << 16 | (uint32_t)ground[1] << 8 | ground[2];
    return shades[(int)(fmin(depth / top, 1.0) * (RAMP_SHADES - 1) + 0.5)];
}

/* Pixels per unit: the surface's own on a screen, fine enough for print elsewhere. */
static double image_scale(rn_pen *pen)
{
    double across = 1.0, along = 0.0;
    cairo_user_to_device_distance(pen->cr, &across, &along);
    bool screen = cairo_surface_get_type(cairo_get_target(pen->cr)) == CAIRO_SURFACE_TYPE_IMAGE;
    return screen ? across : 2.0 * across;
}

static bool draw_film(rn_pen *pen, const rn_map *map)
{
    const double scale = image_scale(pen);
    const int width = (int)ceil(map->face.width * scale), height = (int)ceil(map->face.height * scale);
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return false;
    uint32_t shades[RAMP_SHADES];
    fill_shades(shades);
    unsigned char *bytes = cairo_image_surface_get_data(image);
    const size_t stride = (size_t)cairo_image_surface_get_stride(image);
    for (int j = 0; j < height; j++) {
        uint32_t *row = (uint32_t *)(void *)(bytes + (size_t)j * stride);
        for (int i = 0; i < width; i++)
            row[i] = shade_of(
                shades, depth_under(map, map->face.x + (i + 0.5) / scale, map->face.y + (j + 0.5) / scale), map->top);
    }
    cairo_surface_mark_dirty(image);
    cairo_save(pen->cr);
    cairo_translate(pen->cr, map->face.x, map->face.y);
    cairo_scale(pen->cr, 1.0 / scale, 1.0 / scale);
    cairo_set_source_surface(pen->cr, image, 0.0, 0.0);
    cairo_pattern_set_extend(cairo_get_source(pen->cr), CAIRO_EXTEND_PAD);
    cairo_paint(pen->cr);
    cairo_restore(pen->cr);
    cairo_surface_destroy(image);
    return true;
}

/* One diagonal of the hatch, from (x, y) up to the right, drawn only over its short stretches. */
static void trace_hatch(rn_pen *pen, const rn_map *map, double x, double y, double run)
{
    bool down = false;
    for (int k = 0; k * HATCH_STEP <= run; k++) {
        const double px = x + k * HATCH_STEP, py = y - k * HATCH_STEP;
        const bool is_short = depth_under(map, px, py) < map->forecast->cover;
        if (is_short && down)
            cairo_line_to(pen->cr, px, py);
        else if (is_short)
            cairo_move_to(pen->cr, px, py);
        down = is_short;
    }
}

static void draw_hatch(rn_pen *pen, const rn_map *map)
{
    const rn_box f = map->face;
    for (int n = 1; n * HATCH_PITCH < f.width + f.height; n++) {
        const double c = n * HATCH_PITCH, from = fmax(0.0, c - f.height), to = fmin(f.width, c);
        trace_hatch(pen, map, f.x + from, f.y + c - from, to - from);
    }
    cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
    rn_pen_use_rgb(pen, (const uint8_t[]){0xC2, 0x4A, 0x1C});
    cairo_set_line_width(pen->cr, 1.3);
    cairo_stroke(pen->cr);
}

/* ---- lines of equal value ---- */

static double line_x(const rn_map *map, const rn_contour *c, int point)
{
    return rn_map_x(map, rn_sheet_x(&map->depth, c->x[point]));
}

static double line_y(const rn_map *map, const rn_contour *c, int point)
{
    return rn_map_y(map, rn_sheet_y(&map->depth, c->y[point]));
}

static bool is_dark_under(const rn_map *map, double px, double py)
{
    const double depth = depth_under(map, px, py);
    return depth >= RN_BARE_DEPTH && depth < 0.5 * map->top;
}

static void use_grey(rn_pen *pen, bool light)
{
    const double grey = light ? 1.0 : 0.08;
    cairo_set_source_rgb(pen->cr, grey, grey, grey);
}

/* At a paint front the depth lines would run into one: there the front's own line says enough. */
static bool is_front(const rn_map *map, double px, double py)
{
    const double reach = 2.0, across = depth_under(map, px + reach, py) - depth_under(map, px - reach, py);
    const double along = depth_under(map, px, py + reach) - depth_under(map, px, py - reach);
    return hypot(across, along) > 2.0 * reach * FRONT_SLOPE;
}

/* Adds a polyline to the path; with `gentle` only where the film is not a steep front. */
static void trace_path(rn_pen *pen, const rn_map *map, const rn_contour *c, rn_polyline line, bool gentle)
{
    bool down = false;
    for (int k = 0; k < line.count + line.closed; k++) {
        const int point = line.first + k % line.count;
        const double x = line_x(map, c, point), y = line_y(map, c, point);
        if (gentle && is_front(map, x, y)) {
            down = false;
            continue;
        }
        if (down)
            cairo_line_to(pen->cr, x, y);
        else
            cairo_move_to(pen->cr, x, y);
        down = true;
    }
}

/* Strokes a polyline that crosses the film's shades: light over dark film and dark over light film. */
static void stroke_across(rn_pen *pen, const rn_map *map, const rn_contour *c, rn_polyline line)
{
    bool light = is_dark_under(map, line_x(map, c, line.first), line_y(map, c, line.first));
    cairo_move_to(pen->cr, line_x(map, c, line.first), line_y(map, c, line.first));
    const int points = line.count + line.closed;
    for (int k = 1; k < points; k++) {
        const int point = line.first + k % line.count;
        const double x = line_x(map, c, point), y = line_y(map, c, point);
        cairo_line_to(pen->cr, x, y);
        if (is_dark_under(map, x, y) != light) {
            use_grey(pen, light);
            cairo_stroke(pen->cr);
            cairo_move_to(pen->cr, x, y);
            light = !light;
        }
    }
    use_grey(pen, light);
    cairo_stroke(pen->cr);
}

/* Letters for a text over the film at that place. */
static rn_letters letters_over(const rn_map *map, double px, double py, double size)
{
    rn_letters letters = {.size = size, .align = 0.5, .on_map = true, .light = is_dark_under(map, px, py)};
    const double depth = depth_under(map, px, py);
    if (depth >= RN_BARE_DEPTH)
        rn_ramp_depth(letters.halo, depth / map->top);
    else
        for (int i = 0; i < 3; i++)
            letters.halo[i] = ground[i];
    return letters;
}

static bool on_face(const rn_map *map, rn_box box)
{
    const rn_box f = map->face;
    const double inset = 5.0;
    if (!map->panel->round)
        return box.x >= f.x + inset && box.y >= f.y + inset && box.x + box.width <= f.x + f.width - inset &&
               box.y + box.height <= f.y + f.height - inset;
    const double cx = f.x + 0.5 * f.width, cy = f.y + 0.5 * f.height;
    const double dx = fmax(fabs(box.x - cx), fabs(box.x + box.width - cx));
    const double dy = fmax(fabs(box.y - cy), fabs(box.y + box.height - cy));
    return hypot(dx, dy) <= 0.5 * f.width - inset;
}

/* How straight a line runs within LABEL_REACH of a point: chord over arc, 0 where it ends too soon. */
static double straightness(const rn_map *map, const rn_contour *c, rn_polyline line, int k)
{
    double reached[2][2], arc = 0.0;
    for (int side = 0; side < 2; side++) {
        double x = line_x(map, c, line.first + k), y = line_y(map, c, line.first + k), run = 0.0;
        for (int at = k; run < LABEL_REACH;) { /* ends: the line is longer than twice the reach */
            at += side ? 1 : -1;
            if (!line.closed && (at < 0 || at >= line.count))
                return 0.0;
            at = (at + line.count) % line.count;
            const double nx = line_x(map, c, line.first + at), ny = line_y(map, c, line.first + at);
            run += hypot(nx - x, ny - y);
            x = nx;
            y = ny;
        }
        reached[side][0] = x;
        reached[side][1] = y;
        arc += run;
    }
    return hypot(reached[1][0] - reached[0][0], reached[1][1] - reached[0][1]) / arc;
}

static double line_length(const rn_map *map, const rn_contour *c, rn_polyline line)
{
    double length = 0.0;
    for (int k = 1; k < line.count; k++)
        length += hypot(line_x(map, c, line.first + k) - line_x(map, c, line.first + k - 1),
                        line_y(map, c, line.first + k) - line_y(map, c, line.first + k - 1));
    return length;
}

/* Names one line at its straightest place that is still free; no name where there is none. */
static void label_line(rn_pen *pen, const rn_map *map, const rn_contour *c, rn_polyline line, const char *text,
                       double size)
{
    double best = 0.75, best_x = 0.0, best_y = 0.0;
    bool found = false;
    const int stride = line.count / 150 + 1;
    for (int k = 0; k < line.count; k += stride) {
        const double x = line_x(map, c, line.first + k), y = line_y(map, c, line.first + k);
        const double straight = straightness(map, c, line, k);
        if (straight <= best || is_front(map, x, y))
            continue;
        rn_letters letters = letters_over(map, x, y, size);
        rn_box box = rn_pen_measure(pen, x, y + 0.35 * size, letters, text);
        if (on_face(map, box) && rn_pen_vacant(pen, box, 5.0)) {
            best = straight;
            best_x = x;
            best_y = y;
            found = true;
        }
    }
    if (found)
        rn_pen_text(pen, best_x, best_y + 0.35 * size, letters_over(map, best_x, best_y, size), text);
}

/* Names the longest line of a level, and others that are long. */
static void label_contour(rn_pen *pen, const rn_map *map, const rn_contour *c, const char *text, double size)
{
    double longest = 0.0;
    for (int l = 0; l < c->line_count; l++)
        longest = fmax(longest, line_length(map, c, c->lines[l]));
    for (int l = 0; l < c->line_count; l++) {
        const double length = line_length(map, c, c->lines[l]);
        if (length > 2.0 * LABEL_REACH && (length >= longest || length > 0.4 * map->face.width))
            label_line(pen, map, c, c->lines[l], text, size);
    }
}

static bool trace(rn_contour *c, const rn_sheet *sheet, double level)
{
    return rn_contour_trace(c, sheet->value, sheet->nx, sheet->ny, level);
}

double rn_map_latest_arrival(const rn_map *map)
{
    double latest = 0.0;
    for (int k = 0; k < map->record->grid.nx * map->record->grid.ny; k++)
        if (map->record->inside[k] && map->record->arrival[k] > latest)
            latest = map->record->arrival[k];
    return latest;
}

/* From line to line [s]: a round time that gives no more than a dozen. */
static double arrival_step(double latest)
{
    static const double steps[] = {1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600};
    const size_t count = sizeof steps / sizeof steps[0];
    size_t i = 0;
    while (i + 1 < count && latest / steps[i] > 12.0)
        i++;
    return steps[i];
}

/* Arrival lines are dotted, depth lines solid. With `names` the figures are written instead of the lines. */
static bool draw_arrival(rn_pen *pen, const rn_map *map, bool names)
{
    rn_contour c = {0};
    const double latest = rn_map_latest_arrival(map), step = arrival_step(latest);
    bool whole = true;
    for (int n = 1; whole && n * step < latest; n++) {
        whole = trace(&c, &map->arrival, n * step);
        if (names) {
            char text[24];
            snprintf(text, sizeof text, "%.0f s", n * step);
            label_contour(pen, map, &c, text, LABEL_SIZE - 1.0);
        } else {
            cairo_set_line_width(pen->cr, 1.0);
            cairo_set_dash(pen->cr, (const double[]){1.0, 2.6}, 2, 0.0);
            for (int l = 0; l < c.line_count; l++)
                stroke_across(pen, map, &c, c.lines[l]);
            cairo_set_dash(pen->cr, NULL, 0, 0.0);
        }
    }
    rn_contour_clear(&c);
    return whole;
}

static bool draw_levels(rn_pen *pen, const rn_map *map, bool names)
{
    double levels[RN_MAP_LEVELS];
    const int count = rn_map_levels(levels, map->top);
    rn_contour c = {0};
    bool whole = true;
    for (int n = 0; whole && n < count; n++) {
        whole = trace(&c, &map->depth, levels[n]);
        if (names) {
            char text[24];
            const bool quarter = lround(levels[n] / 0.25e-3) % 2 != 0;
            snprintf(text, sizeof text, "%.*f", quarter ? 2 : 1, levels[n] * 1e3);
            label_contour(pen, map, &c, text, LABEL_SIZE);
        } else {
            cairo_set_line_width(pen->cr, 1.2);
            for (int l = 0; l < c.line_count; l++)
                if (line_length(map, &c, c.lines[l]) > LINE_LEAST)
                    trace_path(pen, map, &c, c.lines[l], true);
            use_grey(pen, levels[n] < 0.5 * map->top - 1e-9);
            cairo_stroke(pen->cr);
        }
    }
    rn_contour_clear(&c);
    return whole;
}

/* The border between covered and short. */
static bool draw_cover_line(rn_pen *pen, const rn_map *map)
{
    rn_contour c = {0};
    bool whole = trace(&c, &map->depth, map->forecast->cover);
    rn_contour_smooth(&c, COVER_PASSES);
    for (int l = 0; l < c.line_count; l++)
        trace_path(pen, map, &c, c.lines[l], false);
    rn_pen_use_rgb(pen, ground);
    cairo_set_line_width(pen->cr, 3.6);
    cairo_stroke_preserve(pen->cr);
    rn_pen_use_rgb(pen, (const uint8_t[]){0x9A, 0x2F, 0x06});
    cairo_set_line_width(pen->cr, 1.8);
    cairo_stroke(pen->cr);
    rn_contour_clear(&c);
    return whole;
}

/* Where a spot's ring is drawn: its place, moved inward where the ring would leave the face. */
static void spot_place(double *x, double *y, const rn_map *map, const rn_spot *spot)
{
    const rn_box f = map->face;
    const double inset = 7.0, cx = f.x + 0.5 * f.width, cy = f.y + 0.5 * f.height;
    *x = rn_map_x(map, spot->x);
    *y = rn_map_y(map, spot->y);
    if (map->panel->round) {
        const double away = hypot(*x - cx, *y - cy), most = 0.5 * f.width - inset;
        const double share = away > most ? most / away : 1.0;
        *x = cx + share * (*x - cx);
        *y = cy + share * (*y - cy);
        return;
    }
    *x = fmin(fmax(*x, f.x + inset), f.x + f.width - inset);
    *y = fmin(fmax(*y, f.y + inset), f.y + f.height - inset);
}

/* A small ring at a place and a word beside it, on the side where it fits. */
static void draw_spot(rn_pen *pen, const rn_map *map, const rn_spot *spot, const char *word)
{
    double x, y;
    spot_place(&x, &y, map, spot);
    char text[60];
    snprintf(text, sizeof text, "%s %.2f", word, spot->depth * 1e3);
    static const double sides[][3] = {{0.5, 0, -10}, {0.5, 0, 20}, {0, 10, 4},  {1, -10, 4},
                                      {0, 10, -8},   {1, -10, -8}, {0, 10, 18}, {1, -10, 18}};
    for (size_t i = 0; i < sizeof sides / sizeof sides[0]; i++) {
        const double tx = x + sides[i][1], ty = y + sides[i][2];
        rn_letters letters = letters_over(map, tx, ty - 4.0, LABEL_SIZE);
        letters.align = sides[i][0];
        rn_box box = rn_pen_measure(pen, tx, ty, letters, text);
        if (!on_face(map, box) || !rn_pen_vacant(pen, box, 4.0))
            continue;
        rn_letters under = letters_over(map, box.x + 0.5 * box.width, box.y + 0.5 * box.height, LABEL_SIZE);
        under.align = letters.align;
        rn_pen_text(pen, tx, ty, under, text);
        break;
    }
    cairo_new_path(pen->cr);
    cairo_arc(pen->cr, x, y, 3.6, 0.0, 2.0 * RN_PI);
    use_grey(pen, !is_dark_under(map, x, y));
    cairo_set_line_width(pen->cr, 3.6);
    cairo_stroke_preserve(pen->cr);
    use_grey(pen, is_dark_under(map, x, y));
    cairo_set_line_width(pen->cr, 1.6);
    cairo_stroke(pen->cr);
}

bool rn_map_draw(rn_pen *pen, const rn_map *map)
{
    cairo_save(pen->cr);
    rn_map_outline(pen, map);
    cairo_clip(pen->cr);
    bool whole = draw_film(pen, map);
    draw_hatch(pen, map);
    whole = whole && draw_arrival(pen, map, false) && draw_levels(pen, map, false) && draw_cover_line(pen, map);
    if (map->forecast->most.depth >= RN_BARE_DEPTH)
        draw_spot(pen, map, &map->forecast->most, "thickest");
    if (map->forecast->least.depth >= RN_BARE_DEPTH)
        draw_spot(pen, map, &map->forecast->least, "thinnest");
    whole = whole && draw_levels(pen, map, true) && draw_arrival(pen, map, true);
    cairo_restore(pen->cr);

    rn_map_outline(pen, map);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_set_line_width(pen->cr, 1.6);
    cairo_stroke(pen->cr);
    return whole;
}

void rn_map_rule(rn_pen *pen, const rn_map *map, double x, double y)
{
    static const double lengths[] = {0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0};
    double length = 0.1;
    const double scale = rn_map_scale(map);
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0] && (length * scale < 50.0 || length * scale > 260.0); i++)
        length = lengths[i];
    char text[24];
    snprintf(text, sizeof text, "%.0f mm", length * 1e3);
    rn_pen_text(pen, x, y - 14.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, text);
    const double end = x + length * scale;
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, x, y, end, y);
    for (int tick = 0; tick <= 10; tick++) {
        const double tx = x + (end - x) * tick / 10.0;
        rn_pen_line(pen, RN_ROLE_INK2, tick % 5 == 0 ? 1.4 : 1.0, tx, y, tx,
                    y - (tick % 10 == 0  ? 9.0
                         : tick % 5 == 0 ? 7.0
                                         : 4.0));
    }
}
