/* Under the sheets: the core under the pointer, or the section from A to B. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "bench.h"
#include "dipstick.h"
#include "edit.h"
#include "heading.h"
#include "parts.h"

#define CORE_TALLEST 96.0
#define SECTION_TALLEST 96.0
#define CORE_WIDE 34.0
#define FINENESS 2      /* pixels of the layers to one of the screen, which smooths them */
#define LEAST_ROOM 74.0 /* less has no room for either */

/* Millimetres of depth from the panel up, at the left of x. */
static void draw_scale(rv_canvas *canvas, double x, double foot, double height, double top)
{
    char text[16];
    const int halves = height < 40 ? 1 : 2;
    for (int k = 0; k <= halves; k++) {
        const double y = foot - height * k / halves;
        rn_pen_line(&canvas->pen, RN_ROLE_INK2, 1.2, x - 7, y, x, y);
        snprintf(text, sizeof text, "%.3g", 1e3 * top * k / halves);
        canvas_say(canvas, x - 10, y + 4, (rn_letters){.size = 11.5, .role = RN_ROLE_INK2, .align = 1}, 30,
                   (const char *const[]){text, NULL});
    }
    for (int k = 1; k < 20; k++)
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, x - 3, foot - height * k / 20, x, foot - height * k / 20);
}

/* ---- the core ---- */

/* Which paints lie there: the top one, how many bands lie between, and the lowest. */
typedef struct bands {
    int count, top, lowest;
    bool base; /* the lowest is a base coat */
} bands;

static bands find_bands(const rn_cut *cut, int column, int paint_count)
{
    bands b = {.top = RN_PAINT_NONE, .lowest = RN_PAINT_NONE};
    for (int r = cut->rows - 1; r >= 0; r--) {
        const long at = (long)column * cut->rows + r;
        if (cut->paint[at] == b.lowest || cut->paint[at] >= paint_count)
            continue;
        b.lowest = cut->paint[at];
        b.base = cut->pour[at] < 0;
        b.count++;
        if (b.top == RN_PAINT_NONE)
            b.top = b.lowest;
    }
    return b;
}

static void core_words(rv_canvas *canvas, double x, double y, double room, const rn_plan *plan, const bands *b)
{
    if (b->count == 0)
        return;
    char first[96], second[128], less[96];
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
    rn_letters cut = small;
    cut.most = room; /* a name is the painter's own */
    const char *name = plan->paints[b->top].name;
    snprintf(first, sizeof first, "%s on top%s", name, b->count > 1 ? "," : "");
    if (!canvas_say(canvas, x, y, small, room, (const char *const[]){first, NULL})) {
        const rn_box box = rn_pen_measure(&canvas->pen, x, y, cut, name);
        if (rn_pen_vacant(&canvas->pen, box, RN_BOX_GAP))
            rn_pen_text(&canvas->pen, x, y, cut, name);
    }
    const char *last = b->base ? "base" : plan->paints[b->lowest].name;
    if (b->count == 2)
        snprintf(second, sizeof second, "then %s", last);
    else if (b->count > 2)
        snprintf(second, sizeof second, "%d more, then %s", b->count - 2, last);
    else
        return;
    snprintf(less, sizeof less, "%d more", b->count - 1);
    canvas_say(canvas, x, y + 17, small, room, (const char *const[]){second, less, NULL});
}

static void draw_core(rv_canvas *canvas, const rv_studio_core *core, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rn_cut *cut = &core->cut;
    const int rows = cut->rows, column = cut->columns / 2;
    const double depth = cut->depth[column], top = dipstick_top(depth), height = fmin(box.height - 38, CORE_TALLEST);
    const double foot = box.y + 32 + height, x = box.x + 32, tall = height * depth / top;
    draw_scale(canvas, x - 2, foot, height, top);
    const unsigned char *paint = cut->paint + (long)column * rows;
    for (int r = 0; r < rows && depth > RN_STRATA_BARE;) {
        int to = r;
        while (to < rows && paint[to] == paint[r])
            to++;
        if (paint[r] < plan->paint_count) {
            rn_pen_use_rgb(&canvas->pen, plan->paints[paint[r]].colour);
            cairo_rectangle(cr, x, foot - tall * to / rows, CORE_WIDE, tall * (to - r) / rows);
            cairo_fill(cr);
        }
        r = to;
    }
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, x, foot - tall, CORE_WIDE, tall);
    cairo_stroke(cr);
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, x - 4, foot + 1, x + CORE_WIDE + 4, foot + 1);

    char text[64];
    const double left = x + CORE_WIDE + 14, room = box.x + box.width - left;
    snprintf(text, sizeof text, "%.0f, %.0f mm", 1e3 * (core->wish.core_x + 0.5 * plan->panel.width),
             1e3 * (core->wish.core_y + 0.5 * plan->panel.height));
    canvas_say(canvas, left, box.y + 38, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, room,
               (const char *const[]){text, NULL});
    const bool bare = depth <= RN_STRATA_BARE;
    snprintf(text, sizeof text, "%.2f mm", 1e3 * depth);
    canvas_say(canvas, left, box.y + 58,
               (rn_letters){.size = 14.5, .bold = true, .role = bare ? RN_ROLE_SHORT : RN_ROLE_INK}, room,
               (const char *const[]){bare ? "bare" : text, NULL});
    const bands b = find_bands(cut, column, plan->paint_count);
    core_words(canvas, left, box.y + 77, room, plan, &b);
}

/* ---- the section ---- */

/* Mean volume of each pour's bands [m3]. */
static void find_volumes(double volumes[RN_POURS_MOST], const rn_plan *plan)
{
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_pour *pour = &plan->pours[p];
        double all = 0;
        for (int layer = 0; layer < pour->layer_count; layer++)
            all += pour->stack[layer].volume;
        volumes[p] = all / fmax(pour->layer_count * pour->repeat, 1);
    }
}

/* The paint at a share of a column's depth. Where the rows below and above it left one pour within two bands of each
   other, the band follows from the volume released between them: sharper than the rows. */
static unsigned char paint_at(const rn_cut *cut, const rn_plan *plan, const double volumes[RN_POURS_MOST], int column,
                              double share)
{
    const double row = fmin(fmax(share * cut->rows - 0.5, 0), cut->rows - 1.0);
    const int low = (int)row, high = low + 1 < cut->rows ? low + 1 : low;
    const long at = (long)column * cut->rows;
    const double u = row - low;
    const int pour = cut->pour[at + low];
    if (pour >= 0 && pour < plan->pour_count && cut->pour[at + high] == pour) {
        const double a = (double)cut->released[at + low], b = (double)cut->released[at + high];
        const rn_pour *from = &plan->pours[pour];
        if (fabs(a - b) <= 2 * volumes[pour])
            return (unsigned char)from->stack[rn_strata_band(from, a + u * (b - a)) % from->layer_count].paint;
    }
    return cut->paint[at + (u < 0.5 ? low : high)];
}

/* The layers as pixels, opaque where a paint is known, up to `top` [m]. */
static cairo_surface_t *make_layers(const rn_cut *cut, const rn_plan *plan, double top, int width, int height)
{
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return image;
    double volumes[RN_POURS_MOST];
    find_volumes(volumes, plan);
    unsigned char *data = cairo_image_surface_get_data(image);
    const long stride = cairo_image_surface_get_stride(image);
    for (int i = 0; i < width; i++) {
        const int column = (int)((i + 0.5) / width * cut->columns);
        const double depth = cut->depth[column];
        /* A little beyond the face, for its outline to cut. */
        const int rise = (int)fmin(ceil(depth / top * height) + 3, height);
        for (int j = 0; depth > RN_STRATA_BARE && j < rise; j++) {
            const double z = (j + 0.5) / height * top;
            const unsigned char paint = paint_at(cut, plan, volumes, column, fmin(z / depth, 1));
            if (paint >= plan->paint_count)
                continue;
            const uint8_t *rgb = plan->paints[paint].colour;
            const uint32_t pixel =
                UINT32_C(0xFF000000) | (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | (uint32_t)rgb[2];
            memcpy(data + (height - 1 - j) * stride + 4 * (long)i, &pixel, sizeof pixel);
        }
    }
    cairo_surface_mark_dirty(image);
    return image;
}

/* The film's face from A to B as the path goes on. */
static void trace_face(cairo_t *cr, const rn_cut *cut, double x, double wide, double foot, double per_depth)
{
    cairo_line_to(cr, x, foot - cut->depth[0] * per_depth);
    for (int c = 0; c < cut->columns; c++)
        cairo_line_to(cr, x + (c + 0.5) / cut->columns * wide, foot - cut->depth[c] * per_depth);
    cairo_line_to(cr, x + wide, foot - cut->depth[cut->columns - 1] * per_depth);
}

static void draw_layers(rv_canvas *canvas, const rn_cut *cut, rn_box plot, double top)
{
    cairo_t *cr = canvas->pen.cr;
    const double foot = plot.y + plot.height, per_depth = plot.height / top;
    const double fine = canvas->at.scale * FINENESS;
    const int width = (int)ceil(plot.width * fine), height = (int)ceil(plot.height * fine);
    cairo_surface_t *layers = make_layers(cut, document_plan(canvas->view->doc), top, width, height);
    cairo_save(cr);
    cairo_new_path(cr);
    cairo_move_to(cr, plot.x, foot);
    trace_face(cr, cut, plot.x, plot.width, foot, per_depth);
    cairo_line_to(cr, plot.x + plot.width, foot);
    cairo_close_path(cr);
    cairo_clip(cr);
    cairo_translate(cr, plot.x, plot.y);
    cairo_scale(cr, plot.width / width, plot.height / height);
    cairo_set_source_surface(cr, layers, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_BILINEAR);
    cairo_paint(cr);
    cairo_restore(cr);
    cairo_surface_destroy(layers);
    cairo_new_path(cr);
    trace_face(cr, cut, plot.x, plot.width, foot, per_depth);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
}

/* "at 64 s" where the layers are of another moment than the sentence tells, as the face is; else "". */
static void find_age(char text[24], const rv_canvas *canvas, double time)
{
    const rv_studio_picture *picture = canvas->shown->picture;
    text[0] = '\0';
    if (picture && bench_current(canvas, picture->version) &&
        canvas_apart(canvas, picture, document_plan(canvas->view->doc)))
        snprintf(text, 24, "at %.0f s", time);
}

static void draw_section(rv_canvas *canvas, const rv_studio_section *section, rn_box box)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rn_cut *cut = &section->cut;
    double deepest = 1e-5;
    for (int c = 0; c < cut->columns; c++)
        deepest = fmax(deepest, cut->depth[c]);
    const double length = hypot(cut->bx - cut->ax, cut->by - cut->ay), top = dipstick_top(deepest);
    const double height = fmin(box.height - 48, SECTION_TALLEST);
    const rn_box plot = {box.x + 24, box.y + 28, box.width - 28, height};
    const double foot = plot.y + height;
    char text[64];
    find_age(text, canvas, section->time);
    if (!text[0])
        snprintf(text, sizeof text, "%.0f × taller", height / top / (plot.width / fmax(length, 1e-4)));
    sheets_heading(canvas, box.x, box.y + 10, box.width, canvas->at.compact ? "A to B" : "section, A to B", text);
    draw_scale(canvas, plot.x, foot, height, top);
    draw_layers(canvas, cut, plot, top);
    const double wanted = edit_least_wanted(plan), least = isnan(wanted) ? plan->cover : wanted;
    if (least < top) {
        const double y = foot - height * least / top;
        cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
        rn_pen_line(&canvas->pen, RN_ROLE_SHORT, 1.3, plot.x, y, plot.x + plot.width, y);
        cairo_set_dash(cr, NULL, 0, 0);
    }
    rn_pen_line(&canvas->pen, RN_ROLE_BOARD, 2.2, plot.x - 2, foot + 1, plot.x + plot.width, foot + 1);
    const rn_letters letter = {.size = 12.5, .bold = true, .role = RN_ROLE_INK};
    rn_letters right = letter, middle = {.size = 12.5, .role = RN_ROLE_INK2, .align = 0.5};
    right.align = 1;
    canvas_say(canvas, plot.x, foot + 17, letter, 30, (const char *const[]){"A", NULL});
    canvas_say(canvas, plot.x + plot.width, foot + 17, right, 30, (const char *const[]){"B", NULL});
    snprintf(text, sizeof text, "%.0f mm", 1e3 * length);
    canvas_say(canvas, plot.x + 0.5 * plot.width, foot + 17, middle, 0.6 * plot.width,
               (const char *const[]){text, NULL});
}

static void say_why_empty(rv_canvas *canvas, rn_box box, const char *const wordings[])
{
    canvas_say(canvas, box.x, box.y + 40, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, box.width, wordings);
}

/* In a small window the section takes what the list of sheets leaves. */
static rn_box find_box(const rv_canvas *canvas)
{
    rn_box box = canvas->at.core;
    if (!canvas->at.compact)
        return box;
    box.y = sheets_foot(canvas);
    box.height = canvas->at.right.y + canvas->at.right.height - 6 - box.y;
    return box;
}

void core_draw(rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_shown *shown = canvas->shown;
    const rn_box box = find_box(canvas);
    const bool section = bench_shows(canvas, SHEET_SECTION);
    char age[24] = "";
    if (box.height < LEAST_ROOM || (canvas->at.compact && !section))
        return;
    if (section) {
        if (shown->section && bench_current(canvas, shown->section->version) && shown->section->cut.columns > 1) {
            draw_section(canvas, shown->section, box);
        } else {
            sheets_heading(canvas, box.x, box.y + 10, box.width, canvas->at.compact ? "A to B" : "section, A to B", "");
            say_why_empty(canvas, box, (const char *const[]){"not worked out yet", NULL});
        }
        return;
    }
    const bool known = shown->core && bench_current(canvas, shown->core->version) && shown->core->cut.columns > 0 &&
                       (view->on_panel || !view->pointing);
    if (known)
        find_age(age, canvas, shown->core->time);
    sheets_heading(canvas, box.x, box.y + 10, box.width, "core under the pointer", age);
    if (known)
        draw_core(canvas, shown->core, box);
    else
        say_why_empty(canvas, box, (const char *const[]){"point at the paint", NULL});
}
