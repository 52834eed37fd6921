#include "film.h"

#include <math.h>
#include <stdio.h>

#include "edit.h"
#include "parts.h"

#define PI 3.14159265358979323846

static bool shows(const rv_canvas *canvas, rv_sheet sheet)
{
    return canvas->view->sheets >> sheet & 1u;
}

void film_outline(const rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_panel *panel = &document_plan(canvas->view->doc)->panel;
    cairo_t *cr = canvas->pen.cr;
    cairo_new_path(cr);
    if (panel->round) {
        cairo_arc(cr, at->cx, at->cy, 0.5 * at->panel.width, 0, 2 * PI);
        return;
    }
    const double turned = view_turned(canvas->view);
    static const int corners[4][2] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
    for (int k = 0; k < 4; k++) {
        double x, y;
        layout_point(&x, &y, at, 0.5 * corners[k][0] * panel->width, 0.5 * corners[k][1] * panel->height, turned);
        cairo_line_to(cr, x, y);
    }
    cairo_close_path(cr);
}

void film_lay(const rv_canvas *canvas, cairo_surface_t *image, bool smooth)
{
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    film_outline(canvas);
    cairo_clip(cr);
    cairo_translate(cr, at->cx, at->cy);
    cairo_rotate(cr, -view_turned(canvas->view));
    cairo_scale(cr, at->panel.width / cairo_image_surface_get_width(image),
                at->panel.height / cairo_image_surface_get_height(image));
    cairo_set_source_surface(cr, image, -0.5 * cairo_image_surface_get_width(image),
                             -0.5 * cairo_image_surface_get_height(image));
    cairo_pattern_set_filter(cairo_get_source(cr), smooth ? CAIRO_FILTER_BILINEAR : CAIRO_FILTER_NEAREST);
    cairo_pattern_set_extend(cairo_get_source(cr), CAIRO_EXTEND_PAD);
    cairo_paint(cr);
    cairo_restore(cr);
}

/* The bare board, and where the releases will land. */
static void draw_bare(rv_canvas *canvas)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    const rn_plan *plan = document_plan(canvas->view->doc);
    film_outline(canvas);
    rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
    cairo_fill(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.3);
    cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
    for (int p = 0; p < plan->pour_count; p++) {
        double x, y, px, py, inner, outer;
        rn_place_point(&x, &y, &plan->panel, &plan->pours[p].at, rn_pour_reach(&plan->pours[p]));
        layout_point(&px, &py, at, x, y, view_turned(canvas->view));
        edit_get_ring(&inner, &outer, plan, p);
        cairo_new_path(cr);
        cairo_arc(cr, px, py, outer * at->per_metre, 0, 2 * PI);
        cairo_stroke(cr);
        if (inner > 0) {
            cairo_arc(cr, px, py, inner * at->per_metre, 0, 2 * PI);
            cairo_stroke(cr);
        }
    }
    cairo_set_dash(cr, NULL, 0, 0);
}

/* Lets a map stand out: the face keeps a third of its light. */
static void dim(rv_canvas *canvas, double kept)
{
    film_outline(canvas);
    const double grey = canvas->view->dark ? 0.16 : 0.16;
    cairo_set_source_rgba(canvas->pen.cr, grey, grey, grey, 1 - kept);
    cairo_fill(canvas->pen.cr);
}

static void map_words(rv_canvas *canvas, double x, double y, double align, const char *text)
{
    const rn_letters letters = {
        .size = 12.5, .align = align, .on_map = true, .light = true, .halo = {0x14, 0x14, 0x14}, .role = RN_ROLE_INK};
    canvas_words(canvas, x, y, letters, 0.7 * canvas->at.panel.width, text);
}

/* ---- peel ---- */

/* A curl of the face on the diagonal: how far along it lies, so much of the depth is lifted. */
static void draw_fold(rv_canvas *canvas)
{
    const rn_box panel = canvas->at.panel;
    cairo_t *cr = canvas->pen.cr;
    const double u = canvas->view->peel, x = panel.x + u * panel.width, y = panel.y + u * panel.height;
    const double reach = fmin(fmin(u, 1 - u) * 1.0 + 0.04, 0.25) * panel.width;
    char text[64];
    cairo_new_path(cr);
    cairo_move_to(cr, x - reach, y + reach);
    cairo_curve_to(cr, x - 0.3 * reach, y - 0.1 * reach, x + 0.1 * reach, y - 0.5 * reach, x + reach, y - reach);
    cairo_curve_to(cr, x + 0.4 * reach, y - 0.2 * reach, x, y + 0.4 * reach, x - reach, y + reach);
    cairo_set_source_rgb(cr, 0.83, 0.83, 0.83);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.35, 0.35, 0.35);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    canvas_knob(canvas, x, y, 7, 0.8, canvas_focused(canvas, PART_FOLD, 0, 0));
    canvas_grip(canvas, PART_FOLD, 0, 0, x, y);
    snprintf(text, sizeof text, "%.0f %% of the depth lifted", 100 * u);
    const bool low = u > 0.6;
    map_words(canvas, low ? panel.x + 10 : panel.x + panel.width - 10, low ? panel.y + 20 : panel.y + panel.height - 10,
              low ? 0 : 1, text);
}

/* ---- section ---- */

static void draw_line(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const double turned = view_turned(view);
    cairo_t *cr = canvas->pen.cr;
    double ax, ay, bx, by;
    layout_point(&ax, &ay, &canvas->at, view->a[0], view->a[1], turned);
    layout_point(&bx, &by, &canvas->at, view->b[0], view->b[1], turned);
    cairo_new_path(cr);
    cairo_move_to(cr, ax, ay);
    cairo_line_to(cr, bx, by);
    cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
    cairo_set_line_width(cr, 3.4);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgb(cr, 0.96, 0.96, 0.96);
    cairo_set_line_width(cr, 1.6);
    cairo_stroke(cr);
    canvas_knob(canvas, ax, ay, 7, 0.4, canvas_focused(canvas, PART_A, 0, 0));
    canvas_knob(canvas, bx, by, 7, 0.4, canvas_focused(canvas, PART_B, 0, 0));
    canvas_grip(canvas, PART_A, 0, 0, ax, ay);
    canvas_grip(canvas, PART_B, 0, 0, bx, by);
    map_words(canvas, ax, ay - 12, 0.5, "A");
    map_words(canvas, bx, by - 12, 0.5, "B");
}

/* ---- rings of the release whose slip lies open ---- */

static int open_pour(const rv_view *view)
{
    if (view->slip.kind == SLIP_POUR)
        return view->slip.index;
    const rv_part part = view->focus.part;
    return part == PART_RING_INNER || part == PART_RING_OUTER || part == PART_RING_CENTRE ? view->focus.a : -1;
}

static void draw_rings(rv_canvas *canvas)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const int pour = open_pour(canvas->view);
    if (pour < 0 || pour >= plan->pour_count)
        return;
    const rv_layout *at = &canvas->at;
    cairo_t *cr = canvas->pen.cr;
    double x, y, px, py, radii[2];
    rn_place_point(&x, &y, &plan->panel, &plan->pours[pour].at, rn_pour_reach(&plan->pours[pour]));
    layout_point(&px, &py, at, x, y, view_turned(canvas->view));
    edit_get_ring(&radii[0], &radii[1], plan, pour);
    static const rv_part parts[2] = {PART_RING_INNER, PART_RING_OUTER};
    for (int k = 0; k < 2; k++) {
        const double r = radii[k] * at->per_metre, bearing = k ? -0.35 : -2.6;
        if (k == 0 && plan->pours[pour].cup)
            continue;
        cairo_new_path(cr);
        cairo_arc(cr, px, py, r, 0, 2 * PI);
        cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
        cairo_set_line_width(cr, 3.2);
        cairo_stroke_preserve(cr);
        cairo_set_source_rgb(cr, 0.96, 0.96, 0.96);
        cairo_set_line_width(cr, 1.5);
        cairo_stroke(cr);
        const double kx = px + r * cos(bearing), ky = py + r * sin(bearing);
        canvas_knob(canvas, kx, ky, 6, bearing, canvas_focused(canvas, parts[k], pour, 0));
        canvas_grip(canvas, parts[k], pour, 0, kx, ky);
        if (canvas_dragged(canvas, parts[k], pour, 0)) {
            char text[48];
            snprintf(text, sizeof text, "%.0f mm across", 2e3 * radii[k]);
            map_words(canvas, kx + 10, ky - 8, 0, text);
        }
    }
    canvas_knob(canvas, px, py, 6, 0, canvas_focused(canvas, PART_RING_CENTRE, pour, 0));
    canvas_grip(canvas, PART_RING_CENTRE, pour, 0, px, py);
}

/* ---- the whole ---- */

void film_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_shown *shown = &canvas->shown[0];
    const long version = view_column_version(view, 0);
    const rv_studio_picture *picture = shown->picture;
    const bool pourable = document_pourable(view->doc);
    if (!picture || !picture->image || !pourable) {
        draw_bare(canvas);
        draw_rings(canvas);
        return;
    }
    const bool current = picture->version == version;
    film_lay(canvas, picture->image, true);
    if (!current) /* a memory of the plan before */
        dim(canvas, 0.55);
    const bool covers = current && (shows(canvas, SHEET_ARRIVAL) || shows(canvas, SHEET_STRETCH));
    if (shows(canvas, SHEET_DEPTH) && current)
        film_depth(canvas, picture->still);
    else if (covers)
        dim(canvas, 0.34);
    const rv_studio_tale *tale = shown->tale && shown->tale->version == version ? shown->tale : NULL;
    if (shows(canvas, SHEET_ARRIVAL) && tale && tale->record)
        film_arrival(canvas, tale->record);
    if (shows(canvas, SHEET_STRETCH) && shown->pull && shown->pull->version == version)
        film_stretch(canvas, shown->pull);
    if (shows(canvas, SHEET_PEEL) && view_turned(view) == 0)
        draw_fold(canvas);
    if (shows(canvas, SHEET_SECTION))
        draw_line(canvas);
    draw_rings(canvas);
}
