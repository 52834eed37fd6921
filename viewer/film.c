#include "film.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"

#define DIMMED (2.0 / 3) /* of a face under other sheets */
#define MEMORY 0.45      /* of a face of the plan before */
#define INSET 4.0        /* words stay off the panel's edges [units] */
#define NAME_GAP 4.0     /* and off each other */
#define CAPTION_ROW 18.0
#define CAPTION_TILE 22.0 /* room of the sign before a caption */

void film_lay(const rv_canvas *canvas, const rv_bench *bench, cairo_surface_t *image)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box p = canvas->at.panel;
    const double across = cairo_image_surface_get_width(image), down = cairo_image_surface_get_height(image);
    if (!(across > 0) || !(down > 0))
        return;
    cairo_save(cr);
    cairo_translate(cr, canvas->at.cx, canvas->at.cy);
    cairo_rotate(cr, -bench->turned);
    cairo_new_path(cr);
    if (bench->plan->panel.round)
        cairo_arc(cr, 0, 0, 0.5 * p.width, 0, 2 * RN_PI);
    else
        cairo_rectangle(cr, -0.5 * p.width, -0.5 * p.height, p.width, p.height);
    cairo_scale(cr, p.width / across, p.height / down);
    cairo_set_source_surface(cr, image, -0.5 * across, -0.5 * down);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_BILINEAR);
    cairo_pattern_set_extend(cairo_get_source(cr), CAIRO_EXTEND_PAD);
    cairo_fill(cr);
    cairo_restore(cr);
}

/* Whether a box of the page lies on the panel, clear of its edges. */
static bool on_panel(const rv_canvas *canvas, const rv_bench *bench, rn_box box)
{
    const rn_panel *panel = &bench->plan->panel;
    const double inset = INSET / canvas->at.per_metre;
    for (int k = 0; k < 4; k++) {
        double x, y;
        layout_spot(&x, &y, &canvas->at, box.x + (k % 2) * box.width, box.y + (k / 2) * box.height, bench->turned);
        if (panel->round ? hypot(x, y) + inset > 0.5 * panel->width
                         : fabs(x) + inset > 0.5 * panel->width || fabs(y) + inset > 0.5 * panel->height)
            return false;
    }
    return true;
}

bool film_words(rv_canvas *canvas, const rv_bench *bench, double x, double y, double align, bool light,
                const uint8_t halo[3], const char *text)
{
    const rn_letters letters = {.size = 12.5,
                                .align = align,
                                .on_map = true,
                                .light = light,
                                .role = RN_ROLE_INK,
                                .halo = {halo[0], halo[1], halo[2]}};
    const rn_box box = rn_pen_measure(&canvas->pen, x, y, letters, text);
    if (!on_panel(canvas, bench, box) || !rn_pen_vacant(&canvas->pen, box, NAME_GAP))
        return false;
    rn_pen_text(&canvas->pen, x, y, letters, text);
    return true;
}

bool film_note(rv_canvas *canvas, const rv_bench *bench, double x, double y, double align, const char *text)
{
    const uint8_t grey = canvas->view->dark ? 0x20 : 0xE4, halo[3] = {grey, grey, grey};
    return film_words(canvas, bench, x, y, align, canvas->view->dark, halo, text);
}

void film_caption(rv_canvas *canvas, int line, const rv_tile *tile, double share, rn_role role,
                  const char *const wordings[])
{
    const rv_layout *at = &canvas->at;
    const double right = at->bench.x + at->bench.width - 8,
                 y = at->bench.y + at->bench.height - 18 - CAPTION_ROW * line;
    /* Clear of the ring at that height. */
    const double dy = fmin(fmax(y - 14 - at->cy, 0), at->ring);
    const double ring = at->cx + sqrt(at->ring * at->ring - dy * dy) + 10,
                 room = right - ring - (tile ? CAPTION_TILE : 0);
    const rn_letters letters = {.size = 12.5, .role = role, .align = 1};
    if (room < 20)
        return;
    if (!tile) {
        canvas_say(canvas, right, y, letters, room, wordings);
        return;
    }
    for (; *wordings; wordings++) {
        rn_box box = rn_pen_measure(&canvas->pen, right, y, letters, *wordings);
        const double left = box.x;
        box.x -= CAPTION_TILE; /* the sign must not stand on another text either */
        box.width += CAPTION_TILE;
        if (rn_pen_vacant(&canvas->pen, box, RN_BOX_GAP) &&
            canvas_say(canvas, right, y, letters, room, (const char *const[]){*wordings, NULL})) {
            canvas_tile(canvas, left - 13, y - 4.5, *tile, share);
            return;
        }
    }
}

/* ---- nothing to be seen yet ---- */

static void ring_place(double *px, double *py, const rv_canvas *canvas, const rv_bench *bench, int pour)
{
    double x, y;
    const rn_pour *p = &bench->plan->pours[pour];
    rn_place_point(&x, &y, &bench->plan->panel, &p->at, rn_pour_reach(p));
    layout_point(px, py, &canvas->at, x, y, bench->turned);
}

/* Where the releases will land. */
static void draw_landings(rv_canvas *canvas, const rv_bench *bench)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.3);
    cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
    for (int pour = 0; pour < bench->plan->pour_count; pour++) {
        double x, y, inner, outer;
        ring_place(&x, &y, canvas, bench, pour);
        edit_get_ring(&inner, &outer, bench->plan, pour);
        cairo_new_path(cr);
        cairo_arc(cr, x, y, outer * canvas->at.per_metre, 0, 2 * RN_PI);
        if (inner > 0) {
            cairo_new_sub_path(cr);
            cairo_arc(cr, x, y, inner * canvas->at.per_metre, 0, 2 * RN_PI);
        }
        cairo_stroke(cr);
    }
    cairo_set_dash(cr, NULL, 0, 0);
}

static void dim(rv_canvas *canvas, const rv_bench *bench, double share)
{
    cairo_t *cr = canvas->pen.cr;
    const double grey = canvas->view->dark ? 0x20 / 255.0 : 0xDC / 255.0;
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    cairo_set_source_rgba(cr, grey, grey, grey, share);
    cairo_fill(cr);
    bench_turn_back(canvas);
}

/* ---- peel ---- */

/* A place of the panel, u from left to right and v from back to front, on the page. */
static void across_panel(double *x, double *y, const rv_canvas *canvas, const rv_bench *bench, double u, double v)
{
    layout_point(x, y, &canvas->at, (u - 0.5) * bench->plan->panel.width, (0.5 - v) * bench->plan->panel.height,
                 bench->turned);
}

/* The fold lies across the panel from its front left to its back right. A little lifted is a large part laid open: it has
   come as far as the square root of what is lifted. */
static double fold_at(double peel)
{
    return sqrt(fmin(fmax(peel, 0), 1));
}

static void fold_ends(double from[2], double to[2], double at)
{
    from[0] = fmax(2 * at - 1, 0);
    from[1] = fmin(2 * at, 1);
    to[0] = from[1];
    to[1] = from[0];
}

/* The part beyond the fold, back and left of it, as the path. */
static void trace_lifted(rv_canvas *canvas, const rv_bench *bench, double at)
{
    double from[2], to[2];
    fold_ends(from, to, at);
    const double corners[5][2] = {{0, 0}, {to[0], 0}, {to[0], to[1]}, {from[0], from[1]}, {0, from[1]}};
    cairo_new_path(canvas->pen.cr);
    for (int k = 0; k < 5; k++) {
        double x, y;
        across_panel(&x, &y, canvas, bench, corners[k][0], corners[k][1]);
        cairo_line_to(canvas->pen.cr, x, y);
    }
    cairo_close_path(canvas->pen.cr);
}

/* The face that belongs to a peeled picture; NULL: it is not kept. */
static const rv_studio_picture *face_of(const rv_canvas *canvas, const rv_bench *bench)
{
    const rv_studio_picture *face = canvas->shown->face, *peeled = bench->picture;
    const bool fits = face && face->image && peeled && peeled->wish.peel > 0 && face->version == peeled->version &&
                      fabs(face->time - peeled->time) < 1e-6;
    return fits ? face : NULL;
}

/* The face, and beyond the fold what lies beneath. */
static void lay_peeled(rv_canvas *canvas, const rv_bench *bench, const rv_studio_picture *face)
{
    cairo_t *cr = canvas->pen.cr;
    film_lay(canvas, bench, face->image);
    cairo_save(cr);
    trace_lifted(canvas, bench, fold_at(canvas->view->peel));
    cairo_clip(cr);
    film_lay(canvas, bench, bench->picture->image);
    cairo_restore(cr);
}

static void draw_fold(rv_canvas *canvas, const rv_bench *bench)
{
    const rv_view *view = canvas->view;
    cairo_t *cr = canvas->pen.cr;
    double from[2], to[2], ax, ay, bx, by, cx, cy;
    const double at = fold_at(view->peel);
    fold_ends(from, to, at);
    across_panel(&ax, &ay, canvas, bench, from[0], from[1]);
    across_panel(&bx, &by, canvas, bench, to[0], to[1]);
    across_panel(&cx, &cy, canvas, bench, at, at);
    /* The lifted skin curls back over what is still down: a sliver, thickest in the middle. */
    const double length = hypot(bx - ax, by - ay), thick = fmin(15, 0.09 * length + 3);
    const double nx = length > 1 ? (by - ay) / length : 0, ny = length > 1 ? -(bx - ax) / length : 0;
    cairo_save(cr);
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    bench_turn_back(canvas);
    cairo_clip(cr);
    for (int shade = 1; shade >= 0; shade--) {
        const double o = 3.0 * shade;
        cairo_new_path(cr);
        cairo_move_to(cr, ax, ay);
        cairo_line_to(cr, bx, by);
        cairo_curve_to(cr, cx + 0.25 * (bx - ax) - (thick + o) * nx, cy + 0.25 * (by - ay) - (thick + o) * ny,
                       cx - 0.25 * (bx - ax) - (thick + o) * nx, cy - 0.25 * (by - ay) - (thick + o) * ny, ax, ay);
        cairo_close_path(cr);
        if (shade)
            cairo_set_source_rgba(cr, 0, 0, 0, 0.4);
        else
            cairo_set_source_rgb(cr, 0.83, 0.83, 0.83);
        cairo_fill(cr);
    }
    cairo_restore(cr);
    canvas_knob(canvas, cx, cy, 7, 0.25 * RN_PI - bench->turned, canvas_focused(canvas, PART_FOLD, 0, 0));
    canvas_grip(canvas, PART_FOLD, 0, 0, cx, cy);
    if (bench->picture && fabs(bench->picture->wish.peel - view->peel) > 0.005) {
        film_caption(canvas, 0, &(rv_tile){TILE_UNKNOWN}, 0, RN_ROLE_INK2,
                     (const char *const[]){"not worked out yet", NULL});
        return;
    }
    if (face_of(canvas, bench) && at < 0.9) { /* the part that is still as it was */
        double x, y;
        across_panel(&x, &y, canvas, bench, 0.93, 0.95);
        film_note(canvas, bench, x, y + 4.5, 0.5, "face");
    }
    char text[64];
    snprintf(text, sizeof text, "%.0f %% of the depth lifted", 100 * view->peel);
    film_caption(canvas, 1, NULL, 0, RN_ROLE_INK, (const char *const[]){text, NULL});
    film_caption(canvas, 0, NULL, 0, RN_ROLE_INK2,
                 (const char *const[]){"drag the fold, or the − and = keys", "drag the fold", NULL});
}

/* ---- section ---- */

static void pale_line(cairo_t *cr)
{
    cairo_set_source_rgb(cr, 0.1, 0.1, 0.1);
    cairo_set_line_width(cr, 3.6);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgb(cr, 0.97, 0.97, 0.97);
    cairo_set_line_width(cr, 1.7);
    cairo_stroke(cr);
}

static void name_end(rv_canvas *canvas, const rv_bench *bench, double x, double y, const char *name)
{
    static const double places[][2] = {{0, -12}, {0, 22}, {15, 4.5}, {-15, 4.5}};
    for (int k = 0; k < 4; k++)
        if (film_note(canvas, bench, x + places[k][0], y + places[k][1], 0.5, name))
            return;
}

static void draw_section(rv_canvas *canvas, const rv_bench *bench)
{
    const rv_view *view = canvas->view;
    cairo_t *cr = canvas->pen.cr;
    double ax, ay, bx, by;
    layout_point(&ax, &ay, &canvas->at, view->a[0], view->a[1], bench->turned);
    layout_point(&bx, &by, &canvas->at, view->b[0], view->b[1], bench->turned);
    cairo_new_path(cr);
    cairo_move_to(cr, ax, ay);
    cairo_line_to(cr, bx, by);
    pale_line(cr);
    const double turn = atan2(by - ay, bx - ax); /* the cuts stand across the line */
    canvas_knob(canvas, ax, ay, 7, turn, canvas_focused(canvas, PART_A, 0, 0));
    canvas_knob(canvas, bx, by, 7, turn, canvas_focused(canvas, PART_B, 0, 0));
    canvas_grip(canvas, PART_A, 0, 0, ax, ay);
    canvas_grip(canvas, PART_B, 0, 0, bx, by);
    name_end(canvas, bench, ax, ay, "A");
    name_end(canvas, bench, bx, by, "B");
}

/* ---- rings of the release whose slip lies open ---- */

static int open_pour(const rv_view *view)
{
    if (view->slip.kind == SLIP_POUR)
        return view->slip.index;
    const rv_part part = view->focus.part;
    return part == PART_RING_INNER || part == PART_RING_OUTER || part == PART_RING_CENTRE ? view->focus.a : -1;
}

static void draw_ring(rv_canvas *canvas, const rv_bench *bench, int pour, rv_part part, double x, double y,
                      double radius, double bearing)
{
    cairo_t *cr = canvas->pen.cr;
    const double r = radius * canvas->at.per_metre;
    cairo_new_path(cr);
    cairo_arc(cr, x, y, r, 0, 2 * RN_PI);
    pale_line(cr);
    const double kx = x + r * cos(bearing), ky = y - r * sin(bearing);
    canvas_knob(canvas, kx, ky, 6.5, -bearing, canvas_focused(canvas, part, pour, 0));
    canvas_grip(canvas, part, pour, 0, kx, ky);
    if (!canvas_dragged(canvas, part, pour, 0))
        return;
    char text[48];
    snprintf(text, sizeof text, "%.0f mm across", 2e3 * radius);
    if (!film_note(canvas, bench, kx + 12, ky + 4, 0, text) && !film_note(canvas, bench, kx - 12, ky + 4, 1, text))
        film_note(canvas, bench, kx, ky - 14, 0.5, text);
}

static void draw_rings(rv_canvas *canvas, const rv_bench *bench)
{
    const int pour = open_pour(canvas->view);
    if (pour < 0 || pour >= bench->plan->pour_count)
        return;
    double x, y, inner, outer;
    ring_place(&x, &y, canvas, bench, pour);
    edit_get_ring(&inner, &outer, bench->plan, pour);
    canvas_knob(canvas, x, y, 6.5, 0, canvas_focused(canvas, PART_RING_CENTRE, pour, 0));
    canvas_grip(canvas, PART_RING_CENTRE, pour, 0, x, y);
    if (!bench->plan->pours[pour].cup)
        draw_ring(canvas, bench, pour, PART_RING_INNER, x, y, inner, 0.75 * RN_PI);
    draw_ring(canvas, bench, pour, PART_RING_OUTER, x, y, outer, -0.25 * RN_PI);
}

/* ---- the whole ---- */

/* What is seen may be of the plan before, of another moment than the words round it, or of another grid. */
static void tell_age(rv_canvas *canvas, const rv_bench *bench)
{
    const rv_tile tile = TILE_UNKNOWN;
    char text[64], less[32];
    if (bench->plan->pour_count == 0 && bench->plan->base_count == 0)
        return;
    if (!bench->seen) {
        film_caption(canvas, 0, &tile, 0, RN_ROLE_INK2, (const char *const[]){"not worked out yet", NULL});
        return;
    }
    switch (bench_age(canvas, bench)) {
    case AGE_NONE: break;
    case AGE_CHANGED:
        film_caption(canvas, 2, &tile, 0, RN_ROLE_INK2,
                     (const char *const[]){"as it was before the change", "before the change", NULL});
        break;
    case AGE_MOMENT: {
        const rv_apart_words words = canvas_apart_words(bench->picture);
        const char *const wordings[] = {words.text, words.less, NULL};
        if (!canvas_notice(canvas, canvas->at.cx, canvas->at.cy, fmin(canvas->at.panel.width, canvas->at.panel.height),
                           wordings))
            film_caption(canvas, 2, &tile, 0, RN_ROLE_INK2, wordings);
        break;
    }
    case AGE_GRID:
        snprintf(text, sizeof text, "%s on %d cells, figures on %d", bench->picture->sharp ? "face" : "rough face",
                 bench->picture->cells, bench->tale->cells);
        snprintf(less, sizeof less, "%s on %d cells", bench->picture->sharp ? "seen" : "rough face",
                 bench->picture->cells);
        film_caption(canvas, 2, &tile, 0, RN_ROLE_INK2, (const char *const[]){text, less, NULL});
        break;
    case AGE_ROUGH: film_caption(canvas, 2, &tile, 0, RN_ROLE_INK2, (const char *const[]){"rough face", NULL}); break;
    }
}

static void draw_sheets(rv_canvas *canvas, const rv_bench *bench)
{
    const bool depth = bench_shows(canvas, SHEET_DEPTH), arrival = bench_shows(canvas, SHEET_ARRIVAL);
    const bool stretch = bench_shows(canvas, SHEET_STRETCH), face = bench_shows(canvas, SHEET_FACE);
    const bool map = depth && !face; /* else lines over the face */
    const rv_studio_picture *whole = bench_shows(canvas, SHEET_PEEL) ? face_of(canvas, bench) : NULL;
    if (whole)
        lay_peeled(canvas, bench, whole);
    else
        film_lay(canvas, bench, bench->seen->image);
    if (!bench->picture) { /* lines of the plan as it is do not belong on a memory */
        dim(canvas, bench, MEMORY);
        return;
    }
    if (arrival || stretch || (depth && face))
        dim(canvas, bench, DIMMED);
    if (depth)
        film_depth(canvas, bench, !map);
    if (arrival && bench->tale && bench->tale->record)
        film_arrival(canvas, bench);
    if (stretch && bench->pull)
        film_stretch(canvas, bench);
}

void film_draw(rv_canvas *canvas)
{
    const rv_bench bench = bench_look(canvas);
    const bool seen = bench.seen && bench.seen->image && edit_pourable(document_plan(canvas->view->doc));
    if (seen)
        draw_sheets(canvas, &bench);
    else
        draw_landings(canvas, &bench);
    if (seen && bench_shows(canvas, SHEET_PEEL))
        draw_fold(canvas, &bench);
    if (bench_shows(canvas, SHEET_SECTION))
        draw_section(canvas, &bench);
    draw_rings(canvas, &bench);
    tell_age(canvas, &bench);
}
