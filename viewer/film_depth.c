/* The sheet of depth: the film in the ramp of the dipstick, lines of equal depth, what stays short hatched. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>

#include "base/physical.h"
#include "dipstick.h"
#include "edit.h"
#include "film.h"
#include "show/colour.h"
#include "show/report.h"

#define SHADES 512
#define PITCH 6.0       /* of the hatch [units] */
#define STEP 1.2        /* along it [units] */
#define STEEP 25e-3     /* steeper than this is the film's front, where lines of depth run into one [m per m] */
#define FRONT_PASSES 4  /* of rounding the border of what is short */
#define LIGHT_UNDER 0.5 /* of the ramp: darker shades take light lines */

static const uint8_t bare[3] = {0x74, 0x74, 0x74}; /* the panel itself, beside the ramp's colours */

double film_least(const rn_plan *plan)
{
    const double wanted = edit_least_wanted(plan);
    return isnan(wanted) ? plan->cover : wanted;
}

double film_top(const rn_plan *plan, const rn_still *still)
{
    return fmax(dipstick_top(still->moment.deepest), dipstick_top(1.05 * film_least(plan)));
}

static uint32_t pixel(const uint8_t rgb[3])
{
    return (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2];
}

/* One pixel for each node of the sheet, which reaches half a cell beyond the panel's edges on every side. */
static cairo_surface_t *make_image(const rn_sheet *sheet, double top)
{
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, sheet->nx, sheet->ny);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return image;
    uint32_t shades[SHADES];
    for (int k = 0; k < SHADES; k++) {
        uint8_t rgb[3];
        rn_ramp_depth(rgb, k / (SHADES - 1.0));
        shades[k] = pixel(rgb);
    }
    unsigned char *data = cairo_image_surface_get_data(image);
    const long stride = cairo_image_surface_get_stride(image);
    for (int j = 0; j < sheet->ny; j++) {
        uint32_t *row = (uint32_t *)(void *)(data + (sheet->ny - 1 - j) * stride);
        for (int i = 0; i < sheet->nx; i++) {
            const double depth = sheet->value[(long)j * sheet->nx + i];
            row[i] = depth >= RN_BARE_DEPTH ? shades[(int)(fmin(depth / top, 1) * (SHADES - 1) + 0.5)] : pixel(bare);
        }
    }
    cairo_surface_mark_dirty(image);
    return image;
}

static void lay_shades(rv_canvas *canvas, const rv_bench *bench, const rn_sheet *sheet, double top)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_surface_t *image = make_image(sheet, top);
    const double dx = sheet->grid.dx * canvas->at.per_metre, dy = sheet->grid.dy * canvas->at.per_metre;
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    cairo_clip(cr);
    cairo_translate(cr, canvas->at.cx, canvas->at.cy);
    cairo_scale(cr, dx, dy);
    cairo_set_source_surface(cr, image, -0.5 * sheet->nx, -0.5 * sheet->ny);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_BILINEAR);
    cairo_pattern_set_extend(cairo_get_source(cr), CAIRO_EXTEND_PAD);
    cairo_paint(cr);
    bench_turn_back(canvas);
    cairo_surface_destroy(image);
}

/* Diagonals over the panel, drawn only where the film is short. */
static void hatch(rv_canvas *canvas, const rn_sheet *sheet, double least)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box p = canvas->at.panel;
    const double metre = 1 / canvas->at.per_metre;
    cairo_new_path(cr);
    for (int n = 1; n * PITCH < p.width + p.height; n++) {
        const double c = n * PITCH, from = fmax(0, c - p.height), to = fmin(p.width, c);
        bool down = false;
        for (double u = from; u <= to; u += STEP) { /* up to the right */
            const double v = c - u;
            const double depth = rn_sheet_at(sheet, (u - 0.5 * p.width) * metre, (0.5 * p.height - v) * metre);
            const bool is_short = depth < least;
            if (is_short)
                (down ? cairo_line_to : cairo_move_to)(cr, p.x + u, p.y + v);
            down = is_short;
        }
    }
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
}

static void draw_short(rv_canvas *canvas, const rv_bench *bench, const rn_sheet *sheet, double least)
{
    cairo_t *cr = canvas->pen.cr;
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    cairo_clip(cr);
    cairo_set_source_rgb(cr, 0.97, 0.97, 0.97);
    hatch(canvas, sheet, least);
    bench_turn_back(canvas);
    rv_lines border = {0};
    if (film_trace(&border, sheet, least, FRONT_PASSES)) {
        film_path(canvas, bench, &border, INFINITY);
        cairo_set_source_rgb(cr, 0.97, 0.97, 0.97);
        cairo_set_line_width(cr, 2.2);
        cairo_stroke(cr);
    }
    rn_contour_clear(&border.contour);
}

static void halo_of(uint8_t halo[3], const rv_canvas *canvas, double depth, double top, bool lines_only)
{
    if (!lines_only) {
        rn_ramp_depth(halo, fmin(depth / top, 1));
        return;
    }
    for (int c = 0; c < 3; c++)
        halo[c] = canvas->view->dark ? 0x20 : 0xDC;
}

static void draw_levels(rv_canvas *canvas, const rv_bench *bench, const rn_sheet *sheet, double top, bool lines_only)
{
    static const double levels[] = {0.25e-3, 0.5e-3, 1e-3, 1.5e-3, 2e-3, 3e-3, 4e-3, 6e-3, 8e-3, 12e-3};
    cairo_t *cr = canvas->pen.cr;
    const double deepest = bench->picture->still->moment.deepest, least = film_least(bench->plan);
    for (size_t k = 0; k < sizeof levels / sizeof *levels && levels[k] < 0.98 * deepest; k++) {
        if (top > 3.5e-3 && levels[k] < 1e-3 && k % 2 == 0)
            continue; /* a deep heap: fewer lines at its foot */
        rv_lines lines = {0};
        if (film_trace(&lines, sheet, levels[k], 2)) {
            const bool light = lines_only ? canvas->view->dark : levels[k] < LIGHT_UNDER * top;
            uint8_t halo[3];
            char text[16];
            if (fabs(levels[k] - least) > 1e-6 || lines_only) { /* else its border is there already */
                film_path(canvas, bench, &lines, STEEP);
                cairo_set_source_rgb(cr, light ? 1 : 0.1, light ? 1 : 0.1, light ? 1 : 0.1);
                cairo_set_line_width(cr, 1.3);
                cairo_stroke(cr);
            }
            halo_of(halo, canvas, levels[k], top, lines_only);
            snprintf(text, sizeof text, "%.3g", 1e3 * levels[k]); /* a point in it would lie on the line it names */
            film_name(canvas, bench, &lines, STEEP, 0.5 * RN_PI, light, halo, text);
        }
        rn_contour_clear(&lines.contour);
    }
}

/* A mark at a place and words beside it, above or below. */
static void mark(rv_canvas *canvas, const rv_bench *bench, double x, double y, bool cross, double depth, double top,
                 bool lines_only, const char *word)
{
    cairo_t *cr = canvas->pen.cr;
    const bool light = lines_only ? canvas->view->dark : depth < LIGHT_UNDER * top;
    const double grey = light ? 1 : 0.08;
    uint8_t halo[3];
    char text[48];
    halo_of(halo, canvas, depth, top, lines_only);
    cairo_new_path(cr);
    if (cross) {
        for (int k = 0; k < 4; k++) {
            const double c = k % 2 ? 0 : k - 1, s = k % 2 ? k - 2 : 0;
            cairo_move_to(cr, x + 3.5 * c, y + 3.5 * s);
            cairo_line_to(cr, x + 9 * c, y + 9 * s);
        }
    } else {
        cairo_arc(cr, x, y, 3.2, 0, 2 * RN_PI);
    }
    cairo_set_source_rgb(cr, grey, grey, grey);
    cairo_set_line_width(cr, 1.5);
    cairo_stroke(cr);
    snprintf(text, sizeof text, "%s%.2f", word, 1e3 * depth);
    static const double places[][3] = {{0.5, 0, -10}, {0.5, 0, 20}, {0, 13, 4}, {1, -13, 4}};
    for (int k = 0; k < 4; k++) {
        const double *p = places[cross ? (k + 2) % 4 : k];
        if (film_words(canvas, bench, x + p[1], y + p[2], p[0], light, halo, text))
            return;
    }
}

static void mark_deepest(rv_canvas *canvas, const rv_bench *bench, double top, bool lines_only)
{
    const rn_still *still = bench->picture->still;
    const rn_grid *grid = &still->grid;
    long most = -1;
    for (long k = 0; k < (long)grid->nx * grid->ny; k++)
        if (still->inside[k] && (most < 0 || still->depth[k] > still->depth[most]))
            most = k;
    if (most < 0 || still->depth[most] < RN_BARE_DEPTH)
        return;
    double x, y;
    layout_point(&x, &y, &canvas->at, rn_grid_x(grid, (int)(most % grid->nx)), rn_grid_y(grid, (int)(most / grid->nx)),
                 bench->turned);
    mark(canvas, bench, x, y, false, still->depth[most], top, lines_only, "deepest ");
}

void film_depth(rv_canvas *canvas, const rv_bench *bench, bool lines_only)
{
    const rn_still *still = bench->picture->still;
    const double least = film_least(bench->plan), top = film_top(bench->plan, still);
    rn_sheet sheet = {0};
    if (!lines_only) {
        if (!rn_sheet_from_doubles(&sheet, &still->grid, still->inside, still->depth))
            return;
        lay_shades(canvas, bench, &sheet, top);
        rn_sheet_clear(&sheet);
    }
    if (!film_sheet(&sheet, &still->grid, still->inside, still->depth, NULL))
        return;
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    bench_turn_back(canvas);
    cairo_clip(cr);
    if (!lines_only)
        draw_short(canvas, bench, &sheet, least);
    const rv_view *view = canvas->view;
    if (view->on_panel) {
        double x, y;
        layout_point(&x, &y, &canvas->at, view->spot_x, view->spot_y, bench->turned);
        mark(canvas, bench, x, y, true, rn_still_depth(still, view->spot_x, view->spot_y), top, lines_only, "");
    }
    mark_deepest(canvas, bench, top, lines_only);
    draw_levels(canvas, bench, &sheet, top, lines_only);
    cairo_restore(cr);
    rn_sheet_clear(&sheet);
}
