/* The maps that lie over the face: depth, arrival, stretch. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>

#include "dipstick.h"
#include "edit.h"
#include "film.h"
#include "show/colour.h"
#include "show/contour.h"
#include "show/sheet.h"

#define PI 3.14159265358979323846
#define GRID 26.0 /* between ellipses [units] */

static void map_words(rv_canvas *canvas, double x, double y, bool light, const uint8_t halo[3], const char *text)
{
    rn_letters letters = {.size = 12.5, .align = 0.5, .on_map = true, .light = light, .role = RN_ROLE_INK};
    for (int c = 0; c < 3; c++)
        letters.halo[c] = halo[c];
    const rn_box box = canvas->at.panel;
    x = fmin(fmax(x, box.x + 26), box.x + box.width - 26);
    y = fmin(fmax(y, box.y + 18), box.y + box.height - 8);
    canvas_words(canvas, x, y, letters, 90, text);
}

/* A line of equal value as the current path; where it lies farthest from the panel's middle along a bearing. */
static bool contour_path(double far[2], rv_canvas *canvas, const rn_sheet *sheet, double level, int smooth,
                         double bearing)
{
    rn_contour contour = {0};
    cairo_t *cr = canvas->pen.cr;
    const double turned = view_turned(canvas->view);
    double farthest = -INFINITY;
    cairo_new_path(cr);
    if (!rn_contour_trace(&contour, sheet->value, sheet->nx, sheet->ny, level))
        return false;
    rn_contour_smooth(&contour, smooth);
    for (int l = 0; l < contour.line_count; l++) {
        const rn_polyline *line = &contour.lines[l];
        if (line->count < 6)
            continue;
        for (int k = 0; k < line->count; k++) {
            double px, py;
            const double x = rn_sheet_x(sheet, contour.x[line->first + k]),
                         y = rn_sheet_y(sheet, contour.y[line->first + k]);
            layout_point(&px, &py, &canvas->at, x, y, turned);
            if (k == 0)
                cairo_move_to(cr, px, py);
            else
                cairo_line_to(cr, px, py);
            const double along = (px - canvas->at.cx) * cos(bearing) - (py - canvas->at.cy) * sin(bearing);
            if (along > farthest) {
                farthest = along;
                far[0] = px;
                far[1] = py;
            }
        }
        if (line->closed)
            cairo_close_path(cr);
    }
    rn_contour_clear(&contour);
    return isfinite(farthest);
}

/* ---- depth ---- */

static cairo_surface_t *depth_image(const rn_still *still, double top)
{
    const int nx = still->grid.nx, ny = still->grid.ny;
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, nx, ny);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return image;
    unsigned char *data = cairo_image_surface_get_data(image);
    const int stride = cairo_image_surface_get_stride(image);
    uint8_t table[256][3];
    for (int k = 0; k < 256; k++)
        rn_ramp_depth(table[k], k / 255.0);
    for (int j = 0; j < ny; j++) {
        uint32_t *row = (uint32_t *)(void *)(data + (long)(ny - 1 - j) * stride);
        for (int i = 0; i < nx; i++) {
            const double u = still->depth[(long)j * nx + i] / top;
            const uint8_t *rgb = table[(int)(255 * fmin(fmax(u, 0), 1) + 0.5)];
            row[i] = (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
        }
    }
    cairo_surface_mark_dirty(image);
    return image;
}

/* Where the film is less deep than wanted, as a mask. */
static cairo_surface_t *short_mask(const rn_still *still, double least)
{
    const int nx = still->grid.nx, ny = still->grid.ny;
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_A8, nx, ny);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return image;
    unsigned char *data = cairo_image_surface_get_data(image);
    const int stride = cairo_image_surface_get_stride(image);
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            const long at = (long)j * nx + i;
            data[(long)(ny - 1 - j) * stride + i] = still->inside[at] && still->depth[at] < least ? 255 : 0;
        }
    cairo_surface_mark_dirty(image);
    return image;
}

static void hatch_short(rv_canvas *canvas, const rn_still *still, double least)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box panel = canvas->at.panel;
    cairo_surface_t *mask = short_mask(still, least);
    cairo_push_group_with_content(cr, CAIRO_CONTENT_ALPHA);
    film_lay(canvas, mask, true);
    cairo_pattern_t *where = cairo_pop_group(cr);
    cairo_push_group(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_set_line_width(cr, 1.5);
    const double reach = hypot(panel.width, panel.height);
    for (double x = canvas->at.cx - 1.5 * reach; x < canvas->at.cx + reach; x += 6) {
        cairo_move_to(cr, x, canvas->at.cy + 0.5 * reach);
        cairo_line_to(cr, x + reach, canvas->at.cy - 0.5 * reach);
    }
    cairo_stroke(cr);
    cairo_pattern_t *lines = cairo_pop_group(cr);
    cairo_set_source(cr, lines);
    cairo_mask(cr, where);
    cairo_pattern_destroy(lines);
    cairo_pattern_destroy(where);
    cairo_surface_destroy(mask);
}

static void mark_deepest(rv_canvas *canvas, const rn_still *still, double top)
{
    const rn_grid *grid = &still->grid;
    long most = 0;
    for (long k = 0; k < (long)grid->nx * grid->ny; k++)
        if (still->inside[k] && still->depth[k] > still->depth[most])
            most = k;
    double x, y;
    uint8_t rgb[3];
    char text[48];
    layout_point(&x, &y, &canvas->at, rn_grid_x(grid, (int)(most % grid->nx)), rn_grid_y(grid, (int)(most / grid->nx)),
                 view_turned(canvas->view));
    rn_ramp_depth(rgb, still->depth[most] / top);
    cairo_new_path(canvas->pen.cr);
    cairo_arc(canvas->pen.cr, x, y, 3.2, 0, 2 * PI);
    cairo_set_source_rgb(canvas->pen.cr, 0.1, 0.1, 0.1);
    cairo_set_line_width(canvas->pen.cr, 1.6);
    cairo_stroke(canvas->pen.cr);
    snprintf(text, sizeof text, "deepest %.2f", 1e3 * still->depth[most]);
    map_words(canvas, x, y - 10, still->depth[most] < 0.45 * top, rgb, text);
}

void film_depth(rv_canvas *canvas, const rn_still *still)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const double wanted = edit_least_wanted(plan), least = isnan(wanted) ? plan->cover : wanted;
    const double top = fmax(dipstick_top(still->moment.deepest), dipstick_top(1.05 * least));
    cairo_surface_t *image = depth_image(still, top);
    film_lay(canvas, image, true);
    cairo_surface_destroy(image);
    hatch_short(canvas, still, least);

    rn_sheet sheet = {0};
    static const double levels[] = {0.25e-3, 0.5e-3, 1e-3, 1.5e-3, 2e-3, 3e-3, 4e-3, 6e-3, 8e-3, 12e-3};
    if (!rn_sheet_from_doubles(&sheet, &still->grid, still->inside, still->depth))
        return;
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    film_outline(canvas);
    cairo_clip(cr);
    for (size_t k = 0; k < sizeof levels / sizeof *levels; k++) {
        double far[2];
        uint8_t rgb[3];
        char text[16];
        if (levels[k] > 0.97 * still->moment.deepest ||
            !contour_path(far, canvas, &sheet, levels[k], 2, 0.9 + 0.7 * (double)k))
            continue;
        const bool light = levels[k] < 0.45 * top;
        cairo_set_source_rgb(cr, light ? 1 : 0.1, light ? 1 : 0.1, light ? 1 : 0.1);
        cairo_set_line_width(cr, 1.4);
        cairo_stroke(cr);
        rn_ramp_depth(rgb, levels[k] / top);
        snprintf(text, sizeof text, "%.3g", 1e3 * levels[k]);
        map_words(canvas, far[0], far[1] + 4, light, rgb, text);
    }
    cairo_restore(cr);
    rn_sheet_clear(&sheet);
    mark_deepest(canvas, still, top);
}

/* ---- arrival ---- */

static double line_step(double end)
{
    static const double steps[] = {10, 20, 30, 60, 120, 300, 600, 1200, 3600};
    for (size_t k = 0; k < sizeof steps / sizeof *steps; k++)
        if (end / steps[k] <= 16)
            return steps[k];
    return 7200;
}

void film_arrival(rv_canvas *canvas, const rn_record *record)
{
    static const uint8_t dark[3] = {0x18, 0x18, 0x18};
    cairo_t *cr = canvas->pen.cr;
    rn_sheet sheet = {0};
    if (!rn_sheet_from_floats(&sheet, &record->grid, record->inside, record->arrival))
        return;
    rn_sheet_smooth(&sheet, 1);
    const double step = line_step(record->end);
    double far[2] = {0, 0};
    cairo_save(cr);
    film_outline(canvas);
    cairo_clip(cr);
    int line = 1;
    for (double t = step; t < record->end; t += step, line++) {
        if (!contour_path(far, canvas, &sheet, t, 2, -0.6))
            continue;
        const bool named = line % 2 == 0;
        cairo_set_source_rgb(cr, 0.94, 0.94, 0.94);
        cairo_set_line_width(cr, named ? 2 : 1.2);
        cairo_stroke(cr);
        if (named) {
            char text[32];
            snprintf(text, sizeof text, "%.0f s", t);
            map_words(canvas, far[0] - 6, far[1] - 4, true, dark, text);
        }
    }
    if (contour_path(far, canvas, &sheet, canvas->view->time, 2, 0.5)) {
        rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
        cairo_set_line_width(cr, 2.2);
        cairo_set_dash(cr, (double[]){6, 4}, 2, 0);
        cairo_stroke(cr);
        cairo_set_dash(cr, NULL, 0, 0);
        canvas_grip(canvas, PART_ARRIVAL, 0, 0, far[0], far[1]);
    }
    cairo_restore(cr);
    rn_sheet_clear(&sheet);
}

/* ---- stretch ---- */

void film_stretch(rv_canvas *canvas, const rv_studio_pull *pull)
{
    const rn_stretch *stretch = &pull->stretch;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rn_box panel = canvas->at.panel;
    const double turned = view_turned(canvas->view), size = 0.3 * GRID;
    cairo_t *cr = canvas->pen.cr;
    if (stretch->nx < 2)
        return;
    const int across = (int)fmax(floor(panel.width / GRID), 1), down = (int)fmax(floor(panel.height / GRID), 1);
    for (int j = 0; j < down; j++)
        for (int i = 0; i < across; i++) {
            const double x = ((i + 0.5) / across - 0.5) * stretch->width,
                         y = ((j + 0.5) / down - 0.5) * stretch->height;
            const int p = (int)((x / stretch->width + 0.5) * stretch->nx),
                      q = (int)((y / stretch->height + 0.5) * stretch->ny);
            const long at = (long)q * stretch->nx + p;
            const double ratio = (double)stretch->ratio[at];
            if (!isfinite(ratio))
                continue;
            const double share = sqrt(fmin(ratio, 6)), bearing = (double)stretch->direction[at] + turned;
            double px, py;
            layout_point(&px, &py, &canvas->at, x, y, turned);
            cairo_save(cr);
            cairo_translate(cr, px, py);
            cairo_rotate(cr, -bearing);
            cairo_scale(cr, fmin(size * share, 0.62 * GRID), fmax(size / share, 1.6));
            cairo_new_path(cr);
            cairo_arc(cr, 0, 0, 1, 0, 2 * PI);
            cairo_restore(cr);
            const bool far = ratio > plan->limits.stretch;
            cairo_set_line_width(cr, 1.3);
            if (far) {
                cairo_set_source_rgb(cr, 0xF5 / 255.0, 0x9A / 255.0, 0xD0 / 255.0);
                cairo_fill_preserve(cr);
                cairo_set_source_rgb(cr, 0.16, 0.05, 0.12);
                cairo_stroke(cr);
                cairo_move_to(cr, px - 5 * cos(bearing), py + 5 * sin(bearing));
                cairo_line_to(cr, px + 5 * cos(bearing), py - 5 * sin(bearing));
                cairo_stroke(cr);
            } else {
                cairo_set_source_rgb(cr, 0.94, 0.94, 0.94);
                cairo_stroke(cr);
            }
        }
    char text[96];
    static const uint8_t halo[3] = {0x14, 0x14, 0x14};
    snprintf(text, sizeof text, "times pulled since %.0f s, filled past %.1f ×", pull->since, plan->limits.stretch);
    rn_letters letters = {.size = 12.5, .on_map = true, .light = true, .role = RN_ROLE_INK};
    for (int c = 0; c < 3; c++)
        letters.halo[c] = halo[c];
    canvas_words(canvas, panel.x + 10, panel.y + panel.height - 10, letters, panel.width - 20, text);
}
