#include "show/rim.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/report.h"

#define DRIP_GAP 4.0 /* from the edge to the drip */
#define DRIP_LENGTH 15.0
#define BEAD 1.9
#define DRIPS_MOST 64.0 /* on one edge */
#define NAME_GAP 33.0   /* from the edge to the middle of its name */

double rn_rim_drip(const rn_forecast *forecast)
{
    static const double steps[] = {1.0, 2.0, 5.0};
    double most = 0.0;
    for (int s = 0; s < RN_SIDES; s++)
        most = fmax(most, forecast->run_off_by_side[s]);
    if (most < 0.05e-6)
        return 0.0;
    for (double decade = 0.01e-6;; decade *= 10.0)
        for (int i = 0; i < 3; i++)
            if (most / (steps[i] * decade) <= DRIPS_MOST)
                return steps[i] * decade;
}

/* The outward direction of an edge on the page. */
static void outward(double *ox, double *oy, int side)
{
    static const double directions[RN_SIDES][2] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};
    *ox = directions[side][0];
    *oy = directions[side][1];
}

/* The place at share u (0..1) along an edge, and the outward direction there. */
static void along_edge(double place[2], double out[2], const rn_map *map, int side, double u)
{
    const rn_box f = map->face;
    const double cx = f.x + 0.5 * f.width, cy = f.y + 0.5 * f.height;
    outward(&out[0], &out[1], side);
    if (map->panel->round) {
        const double angle = atan2(out[1], out[0]) + (u - 0.5) * 0.5 * RN_PI;
        out[0] = cos(angle);
        out[1] = sin(angle);
        place[0] = cx + 0.5 * f.width * out[0];
        place[1] = cy + 0.5 * f.height * out[1];
        return;
    }
    const double along = u - 0.5;
    place[0] = cx + out[0] * 0.5 * f.width + fabs(out[1]) * along * f.width;
    place[1] = cy + out[1] * 0.5 * f.height + fabs(out[0]) * along * f.height;
}

static void draw_drip(rn_pen *pen, const double place[2], const double out[2], double part)
{
    const double x = place[0] + DRIP_GAP * out[0], y = place[1] + DRIP_GAP * out[1];
    const double length = fmax(DRIP_LENGTH * part - BEAD, 0.5);
    rn_pen_line(pen, RN_ROLE_RUN_OFF, 1.5, x, y, x + length * out[0], y + length * out[1]);
    cairo_arc(pen->cr, x + length * out[0], y + length * out[1], BEAD * (0.5 + 0.5 * part), 0.0, 2.0 * RN_PI);
    cairo_fill(pen->cr);
}

static void draw_drips(rn_pen *pen, const rn_map *map, int side, double drip)
{
    const double drips = map->forecast->run_off_by_side[side] / drip;
    const int whole = (int)floor(drips + 1e-9);
    const double rest = drips - whole;
    const int count = whole + (rest > 0.05);
    for (int k = 0; k < count; k++) {
        double place[2], out[2];
        along_edge(place, out, map, side, (k + 0.5) / count);
        draw_drip(pen, place, out, k < whole ? 1.0 : rest);
    }
}

void rn_rim_draw_run_off(rn_pen *pen, const rn_map *map)
{
    const double drip = rn_rim_drip(map->forecast);
    for (int side = 0; side < RN_SIDES; side++) {
        const double volume = map->forecast->run_off_by_side[side];
        const bool any = volume >= 0.05e-6;
        if (any && drip > 0.0)
            draw_drips(pen, map, side, drip);
        char text[60];
        if (any)
            snprintf(text, sizeof text, "%s  %.1f ml", rn_side_names[side], volume * 1e6);
        else
            snprintf(text, sizeof text, "%s", rn_side_names[side]);
        rn_letters letters = {.size = 13.5, .role = any ? RN_ROLE_RUN_OFF : RN_ROLE_INK2, .align = 0.5};
        letters.turn = side == RN_LEFT ? 1 : side == RN_RIGHT ? -1 : 0;
        double place[2], out[2];
        along_edge(place, out, map, side, 0.5);
        /* The baseline lies a third of a letter below the middle, as the text is turned. */
        const double x = place[0] + NAME_GAP * out[0] + 4.5 * (letters.turn > 0) - 4.5 * (letters.turn < 0);
        const double y = place[1] + NAME_GAP * out[1] + (letters.turn == 0 ? 4.5 : 0.0);
        rn_pen_text(pen, x, y, letters, text);
    }
}

void rn_rim_tile(rn_pen *pen, double x, double y, bool covered)
{
    const double half = 5.5;
    cairo_new_path(pen->cr);
    if (covered) {
        cairo_rectangle(pen->cr, x - half, y - half, 2.0 * half, 2.0 * half);
        rn_pen_use(pen, RN_ROLE_INK);
        cairo_fill(pen->cr);
        return;
    }
    cairo_move_to(pen->cr, x - half, y - half);
    cairo_line_to(pen->cr, x + 0.5, y - half);
    cairo_line_to(pen->cr, x + half, y - 0.5);
    cairo_line_to(pen->cr, x + half, y + half);
    cairo_line_to(pen->cr, x - half, y + half);
    cairo_close_path(pen->cr);
    rn_pen_use(pen, RN_ROLE_SHORT);
    cairo_set_line_width(pen->cr, 1.5);
    cairo_stroke(pen->cr);
    rn_pen_line(pen, RN_ROLE_SHORT, 1.5, x - 2.6, y + 1.4, x + 2.6, y + 1.4);
}

/* The corner on the page: on a disc, the rim at its bearing. */
static void corner_place(double *x, double *y, const rn_map *map, double side_x, double side_y)
{
    const rn_box f = map->face;
    const double reach = map->panel->round ? sqrt(0.5) : 1.0;
    *x = f.x + 0.5 * f.width * (1.0 + side_x * reach);
    *y = f.y + 0.5 * f.height * (1.0 + side_y * reach);
}

/* The bold line of a corner's note. */
static void write_corner(char *text, size_t size, const rn_corner_outcome *corner)
{
    if (corner->covered_at >= RN_AT_START)
        snprintf(text, size, "at %.0f s", corner->covered_at);
    else if (corner->covered_at >= 0.0)
        snprintf(text, size, "at start");
    else
        snprintf(text, size, corner->depth >= RN_BARE_DEPTH ? "short" : "bare");
}

void rn_rim_draw_corners(rn_pen *pen, const rn_map *map)
{
    static const double bearing[RN_CORNERS][2] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}; /* page: y grows downward */
    for (int c = 0; c < RN_CORNERS; c++) {
        const rn_corner_outcome *corner = &map->forecast->corners[c];
        const double sx = bearing[c][0], sy = bearing[c][1];
        const bool covered = corner->covered_at >= 0.0;
        double x, y;
        corner_place(&x, &y, map, sx, sy);
        const double turn_x = x + 22.0 * sx, end_x = x + 36.0 * sx, line_y = y + 9.0 * sy;
        rn_pen_use(pen, RN_ROLE_GLASS);
        cairo_set_line_width(pen->cr, 1.4);
        cairo_move_to(pen->cr, x + 2.0 * sx, y + 2.0 * sy);
        cairo_line_to(pen->cr, turn_x, line_y);
        cairo_line_to(pen->cr, end_x, line_y);
        cairo_stroke(pen->cr);
        rn_rim_tile(pen, end_x + 10.0 * sx, line_y, covered);

        const double text_x = end_x + 22.0 * sx, align = sx < 0.0 ? 1.0 : 0.0;
        char text[40];
        write_corner(text, sizeof text, corner);
        rn_letters bold = {.size = 14.5, .role = covered ? RN_ROLE_INK : RN_ROLE_SHORT, .bold = true, .align = align};
        rn_pen_text(pen, text_x, line_y + 5.0, bold, text);
        if (!(corner->depth >= RN_BARE_DEPTH))
            continue;
        snprintf(text, sizeof text, "%.2f mm deep", corner->depth * 1e3);
        rn_letters plain = {.size = 13.0, .role = RN_ROLE_INK2, .align = align};
        rn_pen_text(pen, text_x, line_y + 23.0, plain, text);
    }
}
