#include "show/shelf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"

#define ROW 42.0
#define ROW_CLOSE 22.0 /* where the paints are many: a swatch and one line */
#define PANEL_ROOM 66.0
#define NOTE_GAP 24.0 /* from the last baseline of a note to the next one */

/* The paints that a plan uses, and how much of each [m3]. */
typedef struct stock {
    int count;
    int paint[RN_PAINTS_MOST]; /* first those poured, then those only laid as base coats */
    double poured[RN_PAINTS_MOST], based[RN_PAINTS_MOST];
} stock;

static stock take_stock(const rn_plan *plan)
{
    stock s = {0};
    rn_plan_poured(s.poured, plan);
    rn_plan_based(s.based, plan);
    for (int p = 0; p < plan->paint_count; p++)
        if (s.poured[p] > 0.0)
            s.paint[s.count++] = p;
    for (int p = 0; p < plan->paint_count; p++)
        if (!(s.poured[p] > 0.0) && s.based[p] > 0.0)
            s.paint[s.count++] = p;
    return s;
}

double rn_shelf_height(const rn_plan *plan)
{
    const int count = take_stock(plan).count;
    return 26.0 + (count > 6 ? ROW_CLOSE : ROW) * count + PANEL_ROOM + 2.0 * NOTE_GAP;
}

static void draw_jar(rn_pen *pen, double x, double y, const uint8_t colour[3])
{
    cairo_t *cr = pen->cr;
    const double width = 22.0, height = 27.0, r = 4.0;
    cairo_rectangle(cr, x + 2.0, y - 4.0, width - 4.0, 4.0); /* lid */
    cairo_move_to(cr, x, y + r);
    cairo_arc(cr, x + r, y + r, r, RN_PI, 1.5 * RN_PI);
    cairo_arc(cr, x + width - r, y + r, r, 1.5 * RN_PI, 2.0 * RN_PI);
    cairo_arc(cr, x + width - r, y + height - r, r, 0.0, 0.5 * RN_PI);
    cairo_arc(cr, x + r, y + height - r, r, 0.5 * RN_PI, RN_PI);
    cairo_close_path(cr);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill_preserve(cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1.2);
    cairo_stroke(cr);
    rn_pen_use_rgb(pen, colour);
    cairo_rectangle(cr, x + 2.5, y + 7.0, width - 5.0, height - 9.5);
    cairo_fill_preserve(cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 0.8);
    cairo_stroke(cr);
}

static const char *consistency_of(const rn_paint *paint)
{
    return rn_consistency_word(rn_law_viscosity(&paint->law, 1.0));
}

/* As a person reads a measuring cup: whole ml from 100 on, tenths below. */
static void write_volume(char *text, size_t size, double volume)
{
    const double ml = volume * 1e6;
    snprintf(text, size, "%.6g ml", ml >= 100.0 ? round(ml) : 0.1 * round(10.0 * ml));
}

/* "40 ml, like castor oil"; where a paint is poured and laid as base, both amounts. */
static void write_amounts(char *text, size_t size, const rn_paint *paint, double poured, double based)
{
    char amount[30], base[30];
    write_volume(amount, sizeof amount, poured);
    write_volume(base, sizeof base, based);
    if (poured > 0.0 && based > 0.0)
        snprintf(text, size, "%s, base %s", amount, base);
    else if (based > 0.0)
        snprintf(text, size, "base %s, like %s", base, consistency_of(paint));
    else
        snprintf(text, size, "%s, like %s", amount, consistency_of(paint));
}

static void draw_paint(rn_pen *pen, rn_box box, double y, const rn_paint *paint, double poured, double based)
{
    char text[80];
    draw_jar(pen, box.x, y, paint->colour);
    rn_letters name = {.size = 13.5, .role = RN_ROLE_INK, .most = box.width - 34.0};
    rn_pen_text(pen, box.x + 34.0, y + 8.0, name, paint->name);
    write_amounts(text, sizeof text, paint, poured, based);
    rn_letters note = {.size = 12.5, .role = RN_ROLE_INK2, .most = box.width - 34.0};
    rn_pen_text(pen, box.x + 34.0, y + 25.0, note, text);
}

static void draw_panel(rn_pen *pen, rn_box box, double y, const rn_plan *plan)
{
    static const char *const edges[] = {"clean edges", "wrapped edges", "walls around", "open edges"};
    char text[80];
    const double width_mm = plan->panel.width * 1e3, height_mm = plan->panel.height * 1e3;
    if (plan->panel.round)
        snprintf(text, sizeof text, "round panel, %.0f mm across", width_mm);
    else
        snprintf(text, sizeof text, "panel %.0f \u00d7 %.0f mm", width_mm, height_mm);
    rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .most = box.width};
    rn_pen_line(pen, RN_ROLE_LINE, 1.0, box.x, y, box.x + box.width, y);
    rn_pen_text(pen, box.x, y + 20.0, letters, text);
    snprintf(text, sizeof text, "%s, %s", edges[plan->panel.edges],
             plan->panel.ground == RN_GROUND_SEALED ? "sealed" : "dry primed");
    rn_pen_text(pen, box.x, y + 38.0, letters, text);
}

/* One wrapped note; returns the next baseline, or the same one if the note would pass the foot. */
static double draw_note(rn_pen *pen, rn_box box, double y, rn_letters letters, const char *text)
{
    const double depth = rn_pen_depth(pen, letters, text);
    if (y + depth > box.y + box.height)
        return y;
    rn_pen_text(pen, box.x, y, letters, text);
    return y + depth + NOTE_GAP;
}

static void draw_notes(rn_pen *pen, rn_box box, double y, const rn_forecast *forecast)
{
    rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2, .most = box.width, .lines = 8};
    static const char mind[] = "Mind:";
    char text[RN_WARNING_SIZE + 20];
    if (forecast->wet_least > 0.0 && isfinite(forecast->wet_most)) {
        snprintf(text, sizeof text, "wet for %.*f to %.*f h and more", forecast->wet_least < 3 * 3600.0 ? 1 : 0,
                 forecast->wet_least / 3600.0, forecast->wet_most < 3 * 3600.0 ? 1 : 0, forecast->wet_most / 3600.0);
        y = draw_note(pen, box, y, letters, text);
    }
    letters.accent = (int)strlen(mind);
    letters.accent_role = RN_ROLE_SHORT;
    box.height -= NOTE_GAP; /* room for the count of those left out */
    for (int i = 0; i < forecast->warning_count; i++) {
        snprintf(text, sizeof text, "%s %s", mind, forecast->warnings[i]);
        const double next = draw_note(pen, box, y, letters, text);
        if (!(next > y)) {
            snprintf(text, sizeof text, "%s and %d more", mind, forecast->warning_count - i);
            box.height += NOTE_GAP;
            draw_note(pen, box, y, letters, text);
            return;
        }
        y = next;
    }
}

static void draw_paint_close(rn_pen *pen, rn_box box, double y, const rn_paint *paint, double volume)
{
    char text[80];
    rn_pen_use_rgb(pen, paint->colour);
    cairo_rectangle(pen->cr, box.x, y - 4.0, 22.0, 14.0);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(pen->cr, 1.0);
    cairo_stroke(pen->cr);
    rn_letters name = {.size = 12.5, .role = RN_ROLE_INK, .most = box.width - 96.0};
    rn_pen_text(pen, box.x + 34.0, y + 8.0, name, paint->name);
    write_volume(text, sizeof text, volume);
    rn_letters amount = {.size = 12.5, .role = RN_ROLE_INK2, .align = 1.0};
    rn_pen_text(pen, box.x + box.width, y + 8.0, amount, text);
}

void rn_shelf_draw(rn_pen *pen, rn_box box, const rn_plan *plan, const rn_forecast *forecast)
{
    const stock s = take_stock(plan);
    const bool close = s.count * ROW > box.height - 26.0 - PANEL_ROOM;
    double y = box.y + 24.0;
    rn_pen_text(pen, box.x, box.y + 10.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, "paints");
    for (int i = 0; i < s.count; i++, y += close ? ROW_CLOSE : ROW) {
        const int p = s.paint[i];
        if (close)
            draw_paint_close(pen, box, y + 4.0, &plan->paints[p], s.poured[p] + s.based[p]);
        else
            draw_paint(pen, box, y, &plan->paints[p], s.poured[p], s.based[p]);
    }
    draw_panel(pen, box, y + 4.0, plan);
    draw_notes(pen, box, y + PANEL_ROOM, forecast);
}
