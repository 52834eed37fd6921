#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/odds_parts.h"

#define HEAD 44.0
#define SCALE 92.0      /* of the chance, below the drops */
#define WIDE 0.78       /* of a drop's place, as a share of its height */
#define BULB 0.26       /* radius */
#define DROPS_MOST 2500 /* more are shown by their share */

typedef enum fate { MET, MISSED, FAILED } fate;

/* A drop that hangs, its tip up. */
static void trace_drop(cairo_t *cr, double x, double y, double size)
{
    const double r = BULB * size, middle = y + 0.62 * size, tip = y + 0.1 * size;
    cairo_new_path(cr);
    cairo_move_to(cr, x, tip);
    cairo_curve_to(cr, x + 0.25 * r, middle - 1.1 * r, x + r, middle - 0.75 * r, x + r, middle);
    cairo_arc(cr, x, middle, r, 0.0, RN_PI);
    cairo_curve_to(cr, x - r, middle - 0.75 * r, x - 0.25 * r, middle - 1.1 * r, x, tip);
    cairo_close_path(cr);
}

static void draw_drop(rn_pen *pen, double x, double y, double size, fate which)
{
    cairo_t *cr = pen->cr;
    trace_drop(cr, x, y, size);
    rn_pen_use(pen, which == MET ? RN_ROLE_GLASS : RN_ROLE_SHORT);
    cairo_set_line_width(cr, fmax(0.8, 0.055 * size));
    if (which == MET)
        cairo_fill_preserve(cr);
    cairo_stroke(cr);
    if (which == FAILED) {
        const double r = 0.5 * BULB * size, middle = y + 0.62 * size;
        rn_pen_line(pen, RN_ROLE_SHORT, fmax(0.8, 0.05 * size), x - r, middle - r, x + r, middle + r);
        rn_pen_line(pen, RN_ROLE_SHORT, fmax(0.8, 0.05 * size), x - r, middle + r, x + r, middle - r);
    }
}

/* How many stand in a row, so that all have room. */
static int columns_of(double *size, rn_box box, int count)
{
    int columns = 10;
    while (ceil((double)count / columns) * box.width / columns / WIDE > box.height)
        columns += 5;
    *size = box.width / columns / WIDE;
    return columns;
}

/* Returns where they end. */
static double draw_all(rn_pen *pen, rn_box box, const rn_odds *odds)
{
    const int shown = odds->done < DROPS_MOST ? odds->done : DROPS_MOST;
    const double part = (double)shown / odds->done;
    const int met = (int)lround(part * odds->met), sound = (int)lround(part * (odds->done - odds->failed));
    double size;
    const int columns = columns_of(&size, box, shown);
    for (int k = 0; k < shown; k++) {
        const double x = box.x + (k % columns + 0.5) * size * WIDE, y = box.y + (double)(k / columns) * size;
        draw_drop(pen, x, y, size, k < met ? MET : k < sound ? MISSED : FAILED);
    }
    return box.y + ceil((double)shown / columns) * size;
}

/* 0 to 100 %, the share that was counted, and the interval round it. */
static void draw_chance(rn_pen *pen, rn_box box, const rn_odds *odds)
{
    const double y = box.y + 30.0, share = (double)odds->met / odds->done;
    char text[40];
    rn_pen_line(pen, RN_ROLE_LINE, 1.2, box.x, y, box.x + box.width, y);
    for (int k = 0; k <= 4; k++) {
        const double x = box.x + 0.25 * k * box.width;
        rn_pen_line(pen, RN_ROLE_LINE, 1.0, x, y, x, y + 6.0);
        snprintf(text, sizeof text, k == 4 ? "%d %%" : "%d", 25 * k);
        rn_pen_text(pen, x, y + 21.0, (rn_letters){.size = 12.0, .role = RN_ROLE_INK2, .align = 0.25 * k}, text);
    }
    if (!odds->even) {
        cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
        rn_pen_line(pen, RN_ROLE_GLASS, 7.0, box.x + odds->interval.from * box.width, y,
                    box.x + odds->interval.to * box.width, y);
        cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_BUTT);
    }
    rn_pen_line(pen, RN_ROLE_INK, 2.0, box.x + share * box.width, y - 9.0, box.x + share * box.width, y + 9.0);
    rn_pen_text(pen, box.x, box.y + 8.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width},
                odds->even ? "Share of the draws" : "Chance, and where it may lie");
}

void rn_odds_draw_drops(rn_pen *pen, rn_box box, const rn_odds *odds)
{
    char text[160], failed[60] = "";
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true}, "Draws");
    if (odds->done == 0) {
        rn_pen_text(pen, box.x, box.y + 31.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width},
                    "None was worked out.");
        return;
    }
    if (odds->failed > 0)
        snprintf(failed, sizeof failed, ", crossed: failed (%d)", odds->failed);
    snprintf(text, sizeof text, "Full: goal met (%d), hollow: missed (%d)%s.", odds->met,
             odds->done - odds->met - odds->failed, failed);
    rn_pen_text(pen, box.x, box.y + 31.0, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .most = box.width}, text);
    const double foot = draw_all(pen, (rn_box){box.x, box.y + HEAD, box.width, box.height - HEAD - SCALE}, odds);
    draw_chance(pen, (rn_box){box.x, foot + 28.0, box.width, SCALE}, odds);
}
