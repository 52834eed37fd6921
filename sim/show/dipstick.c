#include "show/dipstick.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "show/colour.h"

#define STICK 20.0 /* width */
#define STOPS 32   /* of the gradient; between them sRGB and Lab agree to the eye */

static void draw_stick(rn_pen *pen, double x, double foot, double head)
{
    cairo_t *cr = pen->cr;
    /* The holder above the scale, with its hole. */
    cairo_rectangle(cr, x - 1.5, head - 20.0, STICK + 3.0, foot - head + 24.0);
    rn_pen_use(pen, RN_ROLE_PAPER);
    cairo_fill_preserve(cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1.2);
    cairo_stroke(cr);
    cairo_arc(cr, x + 0.5 * STICK, head - 10.0, 3.0, 0.0, 2.0 * RN_PI);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_fill(cr);

    cairo_pattern_t *ramp = cairo_pattern_create_linear(0.0, foot, 0.0, head);
    for (int i = 0; i <= STOPS; i++) {
        uint8_t rgb[3];
        rn_ramp_depth(rgb, (double)i / STOPS);
        cairo_pattern_add_color_stop_rgb(ramp, (double)i / STOPS, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
    }
    cairo_set_source(cr, ramp);
    cairo_rectangle(cr, x, head, STICK, foot - head);
    cairo_fill(cr);
    cairo_pattern_destroy(ramp);
}

static void draw_short(rn_pen *pen, double x, double foot, double line)
{
    cairo_t *cr = pen->cr;
    cairo_save(cr);
    cairo_rectangle(cr, x, line, STICK, foot - line);
    cairo_clip(cr);
    for (int n = 0; n * 6.0 < STICK + foot - line; n++) {
        const double c = n * 6.0;
        cairo_move_to(cr, x, line + c);
        cairo_line_to(cr, x + c, line);
    }
    rn_pen_use_rgb(pen, (const uint8_t[]){0xF0, 0x8A, 0x62});
    cairo_set_line_width(cr, 1.3);
    cairo_stroke(cr);
    cairo_restore(cr);
}

void rn_dipstick_draw(rn_pen *pen, rn_box box, double top, double cover, double mean)
{
    const double x = box.x + 34.0, foot = box.y + box.height - 6.0, head = box.y + 46.0;
    const double scale = (foot - head) / top;
    rn_pen_text(pen, box.x, box.y + 10.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, "wet film, mm");
    draw_stick(pen, x, foot, head);
    draw_short(pen, x, foot, foot - fmin(cover, top) * scale);

    const double step = top > 8e-3 ? 4e-3 : top > 4e-3 ? 2e-3 : top > 3e-3 ? 1e-3 : 0.5e-3;
    for (int tick = 0; tick * step / 5.0 <= top * 1.0001; tick++) {
        const double y = foot - tick * step / 5.0 * scale;
        rn_pen_line(pen, RN_ROLE_GLASS, 1.0, x - (tick % 5 == 0 ? 8.0 : 4.0), y, x - 2.0, y);
        if (tick % 5 != 0)
            continue;
        char text[20];
        snprintf(text, sizeof text, "%.1f", tick * step / 5.0 * 1e3);
        rn_pen_text(pen, x - 11.0, y + 4.5, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = 1.0}, text);
    }
    /* What counts as covered, and the mean, with room between their words. */
    char text[40];
    const double cover_y = foot - fmin(cover, top) * scale, mean_y = foot - fmin(mean, top) * scale;
    rn_pen_line(pen, RN_ROLE_SHORT, 1.8, x - 1.0, cover_y, x + STICK + 7.0, cover_y);
    double words = fmin(cover_y, foot - 14.0);
    rn_pen_text(pen, x + STICK + 11.0, words, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, "covered");
    snprintf(text, sizeof text, "from %.3g", cover * 1e3);
    rn_pen_text(pen, x + STICK + 11.0, words + 16.0, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, text);
    snprintf(text, sizeof text, "%.2f mean", mean * 1e3);
    const double mean_words = fmin(mean_y + 4.5, words - 20.0);
    cairo_move_to(pen->cr, x + STICK + 2.0, mean_y);
    cairo_rel_line_to(pen->cr, 8.0, -4.5);
    cairo_rel_line_to(pen->cr, 0.0, 9.0);
    cairo_close_path(pen->cr);
    rn_pen_use(pen, RN_ROLE_INK);
    cairo_fill(pen->cr);
    rn_pen_text(pen, x + STICK + 13.0, mean_words, (rn_letters){.size = 12.5, .role = RN_ROLE_INK, .bold = true}, text);
}
