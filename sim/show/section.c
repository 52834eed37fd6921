#include "show/section.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "show/leaf.h"

#define GUTTER 76.0  /* left of the cut: the scale of depth */
#define RIGHT 16.0   /* right of it */
#define ENDS 26.0    /* above it: the letters of its ends */
#define SLAB 26.0    /* the panel under it */
#define RULE 36.0    /* under the panel: the scale of length */
#define KEY_ROW 24.0 /* of the key */
#define KEY_LONGEST 260.0
#define FINENESS 3.0    /* pixels of the layers' picture to one of the page; on paper to one unit at least */
#define LEAST_BARE 44.0 /* a bare stretch as wide as this is called so [units] */
#define MARGIN 24.0
#define HEAD 96.0 /* of the page, with the small plan */
#define FILM_HEIGHT 290.0

static const uint8_t board[2][3] = {{0x8A, 0x8A, 0x8A}, {0x6A, 0x6A, 0x6A}};

/* Where the cut stands in the box. */
typedef struct cut {
    const rn_section_view *section;
    double x, width;     /* of A, and from A to B */
    double ground, roof; /* the panel's face, and how high film may reach */
    double across, up;   /* units per metre */
    double exaggeration;
} cut;

static double length_of(const rn_section_view *section)
{
    return hypot(section->bx - section->ax, section->by - section->ay);
}

static double deepest(const rn_section_view *section)
{
    double most = 0.0;
    for (int i = 0; i < section->columns; i++)
        most = fmax(most, section->depth[i]);
    return most;
}

double rn_section_exaggeration(const rn_section_view *section, double width, double height)
{
    static const double steps[] = {1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0};
    const double most = deepest(section) * width / length_of(section);
    double best = 1.0;
    if (!(most > 0.0))
        return best;
    for (double decade = 1e-3; decade < 1e5; decade *= 10.0)
        for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++)
            if (steps[i] * decade * most <= height)
                best = steps[i] * decade;
    return best;
}

/* The depth at a place along the cut, 0..columns, straight between the columns. */
static double depth_at(const rn_section_view *section, double place)
{
    const double p = fmin(fmax(place - 0.5, 0.0), section->columns - 1.0);
    const int i = (int)fmin(p, section->columns - 2.0);
    return section->depth[i] + (p - i) * (section->depth[i + 1] - section->depth[i]);
}

/* The four points of the section around a place along the cut, 0..columns, and a level, 0..rows. */
typedef struct corners {
    size_t point[4];
    bool wet[4];
    double weight[4]; /* linear in both directions */
} corners;

static int clamp(double value, int count)
{
    return (int)fmin(fmax(value, 0.0), count - 1.0);
}

static corners corners_at(const rn_section_view *section, double place, double level)
{
    const double column = floor(place - 0.5), row = floor(level - 0.5);
    const double u = place - 0.5 - column, v = level - 0.5 - row;
    corners c = {.weight = {(1.0 - u) * (1.0 - v), u * (1.0 - v), (1.0 - u) * v, u * v}};
    for (int n = 0; n < 4; n++) {
        const int i = clamp(column + n % 2, section->columns), j = clamp(row + n / 2, section->rows);
        c.point[n] = (size_t)i * (size_t)section->rows + (size_t)j;
        c.wet[n] = section->depth[i] > RN_STRATA_BARE && section->paint[c.point[n]] != RN_PAINT_NONE;
    }
    return c;
}

/* The paint that weighs most around: borders run straight from point to point instead of in stairs. */
static unsigned char weightiest(const rn_section_view *section, const corners *c)
{
    unsigned char best = RN_PAINT_NONE;
    double most = 0.0;
    for (int n = 0; n < 4; n++) {
        double weight = 0.0;
        for (int m = 0; m < 4; m++)
            if (c->wet[m] && section->paint[c->point[m]] == section->paint[c->point[n]])
                weight += c->weight[m];
        if (c->wet[n] && weight > most) {
            most = weight;
            best = section->paint[c->point[n]];
        }
    }
    return best;
}

/* Where all around left one pour within two bands of each other, the band follows from the volume released between
   them. False where that cannot be told: a fold, another pour, a base coat, bare ground. */
static bool between(unsigned char *paint, const rn_section_view *section, const double *bands, const corners *c)
{
    if (!section->released || !section->pour)
        return false;
    const short pour = section->pour[c->point[0]];
    if (pour < 0 || pour >= section->plan->pour_count)
        return false;
    double least = INFINITY, most = -INFINITY, released = 0.0;
    for (int n = 0; n < 4; n++) {
        const double here = (double)section->released[c->point[n]];
        if (!c->wet[n] || section->pour[c->point[n]] != pour)
            return false;
        least = fmin(least, here);
        most = fmax(most, here);
        released += c->weight[n] * here;
    }
    if (most - least > 2.0 * bands[pour])
        return false;
    const rn_pour *from = &section->plan->pours[pour];
    *paint = (unsigned char)from->stack[rn_strata_band(from, released) % from->layer_count].paint;
    return true;
}

/* Mean volume of each pour's bands [m3]. */
static void find_bands(double bands[RN_POURS_MOST], const rn_plan *plan)
{
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_pour *pour = &plan->pours[p];
        bands[p] = 0.0;
        for (int layer = 0; layer < pour->layer_count; layer++)
            bands[p] += pour->stack[layer].volume / (pour->layer_count * pour->repeat);
    }
}

/* The layers as pixels, opaque where a paint is known: finer than the page, which smooths them as it takes them in. */
static cairo_surface_t *make_layers(const cut *c, int width, int height)
{
    const rn_section_view *section = c->section;
    cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width, height);
    if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS)
        return image;
    unsigned char *data = cairo_image_surface_get_data(image);
    const int stride = cairo_image_surface_get_stride(image);
    const double tall = (c->ground - c->roof) / c->up; /* [m] */
    double bands[RN_POURS_MOST];
    find_bands(bands, section->plan);
    for (int i = 0; i < width; i++) {
        const double place = (i + 0.5) / width * section->columns, depth = depth_at(section, place);
        for (int j = 0; depth > 0.0 && j < height; j++) {
            const double z = (height - j - 0.5) / height * tall;
            /* The face's colour goes on above it, for the outline to cut. */
            const corners around = corners_at(section, place, fmin(z / depth, 1.0) * section->rows);
            unsigned char paint;
            if (!between(&paint, section, bands, &around))
                paint = weightiest(section, &around);
            if (paint >= section->plan->paint_count)
                continue;
            const uint8_t *rgb = section->plan->paints[paint].colour;
            const uint32_t pixel =
                UINT32_C(0xFF000000) | (uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | (uint32_t)rgb[2];
            memcpy(data + (ptrdiff_t)j * stride + 4 * (ptrdiff_t)i, &pixel, sizeof pixel);
        }
    }
    cairo_surface_mark_dirty(image);
    return image;
}

static void trace_face(cairo_t *cr, const cut *c)
{
    const rn_section_view *section = c->section;
    cairo_line_to(cr, c->x, c->ground - section->depth[0] * c->up);
    for (int i = 0; i < section->columns; i++)
        cairo_line_to(cr, c->x + (i + 0.5) / section->columns * c->width, c->ground - section->depth[i] * c->up);
    cairo_line_to(cr, c->x + c->width, c->ground - section->depth[section->columns - 1] * c->up);
}

static bool draw_film(rn_pen *pen, const cut *c)
{
    cairo_t *cr = pen->cr;
    double dx = 1.0, dy = 0.0;
    cairo_user_to_device_distance(cr, &dx, &dy);
    const bool pixels = cairo_surface_get_type(cairo_get_target(cr)) == CAIRO_SURFACE_TYPE_IMAGE;
    const double fine = FINENESS * (pixels ? hypot(dx, dy) : fmax(1.0, hypot(dx, dy)));
    const int width = (int)ceil(c->width * fine), height = (int)ceil((c->ground - c->roof) * fine);
    cairo_surface_t *layers = make_layers(c, width, height);
    if (cairo_surface_status(layers) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(layers);
        return false;
    }
    cairo_save(cr);
    cairo_move_to(cr, c->x, c->ground);
    trace_face(cr, c);
    cairo_line_to(cr, c->x + c->width, c->ground);
    cairo_close_path(cr);
    cairo_clip(cr);
    cairo_translate(cr, c->x, c->roof);
    cairo_scale(cr, c->width / width, (c->ground - c->roof) / height);
    cairo_set_source_surface(cr, layers, 0.0, 0.0);
    cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
    cairo_paint(cr);
    cairo_restore(cr);
    cairo_surface_destroy(layers);

    cairo_new_path(cr);
    trace_face(cr, c);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1.0);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cr);
    return true;
}

static void draw_panel(rn_pen *pen, const cut *c)
{
    rn_pen_use_rgb(pen, board[pen->dark]);
    cairo_rectangle(pen->cr, c->x, c->ground, c->width, SLAB);
    cairo_fill(pen->cr);
    rn_pen_line(pen, RN_ROLE_GLASS, 1.0, c->x, c->ground, c->x + c->width, c->ground);
}

static void name_bare(rn_pen *pen, const cut *c)
{
    const rn_section_view *section = c->section;
    for (int i = 0; i < section->columns;) {
        int end = i;
        while (end < section->columns && section->depth[end] <= RN_STRATA_BARE)
            end++;
        const double unit = c->width / section->columns;
        if ((end - i) * unit >= LEAST_BARE)
            rn_pen_text(pen, c->x + 0.5 * (i + end) * unit, c->ground - 7.0,
                        (rn_letters){.size = 12.5, .role = RN_ROLE_SHORT, .align = 0.5}, "bare");
        i = end > i ? end : i + 1;
    }
}

static void draw_ends(rn_pen *pen, const cut *c)
{
    static const char *const names[] = {"A", "B"};
    const rn_letters letters = {.size = 16.5, .role = RN_ROLE_INK, .bold = true, .align = 0.5};
    for (int end = 0; end < 2; end++) {
        const double x = c->x + end * c->width;
        rn_pen_line(pen, RN_ROLE_INK2, 1.0, x, c->roof - 3.0, x, c->ground + SLAB);
        rn_pen_text(pen, x, c->roof - 9.0, letters, names[end]);
    }
}

/* The greatest of 1, 2, 5, 10, ... mm, or their tenths, up to a length [m]. */
static double round_length(double most)
{
    const double decade = pow(10.0, floor(log10(most)));
    const double digit = most / decade;
    return (digit >= 5.0 ? 5.0 : digit >= 2.0 ? 2.0 : 1.0) * decade;
}

static void write_mm(char *text, size_t size, double length)
{
    snprintf(text, size, "%.6g mm", round(length * 1e9) * 1e-6);
}

static void draw_scales(rn_pen *pen, const cut *c)
{
    char text[40];
    const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2};
    const double y = c->ground + SLAB + 16.0;
    const double length = round_length(0.2 * c->width / c->across), bar = length * c->across;
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, c->x, y, c->x + bar, y);
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, c->x, y - 4.0, c->x, y + 4.0);
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, c->x + bar, y - 4.0, c->x + bar, y + 4.0);
    write_mm(text, sizeof text, length);
    rn_pen_text(pen, c->x + bar + 10.0, y + 4.5, letters, text);

    rn_letters at_right = letters;
    at_right.align = 1.0;
    if (!(deepest(c->section) > RN_STRATA_BARE))
        return;
    snprintf(text, sizeof text, "depth \u00d7 %.6g", c->exaggeration);
    rn_pen_text(pen, c->x + c->width, y + 4.5, at_right, text);

    const double depth = round_length(0.75 * (c->ground - c->roof) / c->up), x = c->x - 10.0;
    const double head = c->ground - depth * c->up;
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, x, c->ground, x, head);
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, x - 4.0, c->ground, x + 4.0, c->ground);
    rn_pen_line(pen, RN_ROLE_INK2, 1.4, x - 4.0, head, x + 4.0, head);
    write_mm(text, sizeof text, depth);
    rn_pen_text(pen, x - 8.0, 0.5 * (c->ground + head) + 4.5, at_right, text);
}

/* Shares of the cut's area by paint; false where there is no paint at all. */
static bool find_shares(double shares[RN_PAINTS_MOST], const rn_section_view *section)
{
    double all = 0.0;
    for (int p = 0; p < RN_PAINTS_MOST; p++)
        shares[p] = 0.0;
    for (int i = 0; i < section->columns; i++)
        for (int row = 0; row < section->rows; row++) {
            const unsigned char paint = section->paint[(size_t)i * (size_t)section->rows + (size_t)row];
            if (section->depth[i] > RN_STRATA_BARE && paint < section->plan->paint_count) {
                shares[paint] += section->depth[i];
                all += section->depth[i];
            }
        }
    for (int p = 0; p < RN_PAINTS_MOST; p++)
        shares[p] = all > 0.0 ? shares[p] / all : 0.0;
    return all > 0.0;
}

static void draw_swatch(rn_pen *pen, double x, double y, const uint8_t rgb[3])
{
    cairo_rectangle(pen->cr, x, y, 22.0, 14.0);
    rn_pen_use_rgb(pen, rgb);
    cairo_fill_preserve(pen->cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(pen->cr, 1.0);
    cairo_stroke(pen->cr);
}

/* Paints in the plan's order, as many to a row as fit; returns the rows. Without `drawn` it only counts. */
static int lay_key(rn_pen *pen, rn_box box, const rn_section_view *section, bool drawn)
{
    double shares[RN_PAINTS_MOST];
    if (!find_shares(shares, section))
        return 0;
    int rows = 1;
    double x = box.x;
    for (int p = 0; p < section->plan->paint_count; p++) {
        if (!(shares[p] > 0.0))
            continue;
        char text[RN_NAME_SIZE + 20];
        const double percent = shares[p] * 100.0;
        snprintf(text, sizeof text, percent < 1.0 ? "%s under 1 %%" : "%s %.0f %%", section->plan->paints[p].name,
                 percent);
        const rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK, .most = KEY_LONGEST};
        const double width = 30.0 + rn_pen_measure(pen, 0.0, 0.0, letters, text).width;
        if (x > box.x && x + width > box.x + box.width) {
            x = box.x;
            rows++;
        }
        const double y = box.y + KEY_ROW * (rows - 1) + 15.0;
        if (drawn) {
            draw_swatch(pen, x, y - 11.0, section->plan->paints[p].colour);
            rn_pen_text(pen, x + 30.0, y, letters, text);
        }
        x += width + 26.0;
    }
    return rows;
}

double rn_section_key_height(rn_pen *pen, const rn_section_view *section, double width)
{
    return KEY_ROW * lay_key(pen, (rn_box){GUTTER, 0.0, width - GUTTER - RIGHT, 0.0}, section, false);
}

bool rn_section_draw(rn_pen *pen, rn_box box, const rn_section_view *section)
{
    const double key = rn_section_key_height(pen, section, box.width);
    cut c = {.section = section, .x = box.x + GUTTER, .width = box.width - GUTTER - RIGHT};
    c.roof = box.y + ENDS;
    c.ground = box.y + box.height - key - RULE - SLAB;
    c.exaggeration = rn_section_exaggeration(section, c.width, c.ground - c.roof);
    c.across = c.width / length_of(section);
    c.up = c.across * c.exaggeration;
    draw_panel(pen, &c);
    if (!draw_film(pen, &c))
        return false;
    draw_ends(pen, &c);
    name_bare(pen, &c);
    draw_scales(pen, &c);
    lay_key(pen, (rn_box){c.x, c.ground + SLAB + RULE, c.width, key}, section, true);
    return true;
}

/* The panel from above with the line of the cut. */
static void draw_place(rn_pen *pen, rn_box box, const rn_section_view *section)
{
    const rn_panel *panel = &section->plan->panel;
    const double scale = fmin(box.width / panel->width, box.height / panel->height);
    const double x = box.x + box.width - 0.5 * panel->width * scale, y = box.y + 0.5 * box.height;
    cairo_t *cr = pen->cr;
    if (panel->round)
        cairo_arc(cr, x, y, 0.5 * panel->width * scale, 0.0, 2.0 * RN_PI);
    else
        cairo_rectangle(cr, x - 0.5 * panel->width * scale, y - 0.5 * panel->height * scale, panel->width * scale,
                        panel->height * scale);
    rn_pen_use(pen, RN_ROLE_BENCH);
    cairo_fill_preserve(cr);
    rn_pen_use(pen, RN_ROLE_GLASS);
    cairo_set_line_width(cr, 1.0);
    cairo_stroke(cr);
    const double ax = x + section->ax * scale, ay = y - section->ay * scale;
    const double bx = x + section->bx * scale, by = y - section->by * scale;
    rn_pen_line(pen, RN_ROLE_INK, 1.8, ax, ay, bx, by);
    /* The letters stand beyond the ends, or inside the panel where it ends there. */
    const double length = length_of(section), out = length * scale > 70.0 ? -9.0 : 9.0;
    const double ux = (section->bx - section->ax) / length, uy = -(section->by - section->ay) / length;
    const rn_letters letters = {.size = 11.0, .role = RN_ROLE_INK, .bold = true, .align = 0.5};
    const double side = out < 0.0 ? 9.0 : 0.0; /* beside the line, not on it */
    rn_pen_text(pen, ax - out * ux + side * uy, ay - out * uy - side * ux + 4.0, letters, "A");
    rn_pen_text(pen, bx + out * ux + side * uy, by + out * uy - side * ux + 4.0, letters, "B");
}

double rn_section_page_height(rn_pen *pen, const rn_section_view *section)
{
    return MARGIN + HEAD + ENDS + FILM_HEIGHT + SLAB + RULE +
           rn_section_key_height(pen, section, RN_SECTION_PAGE_WIDTH - 2.0 * MARGIN) + MARGIN;
}

static void write_facts(char *text, size_t size, const rn_section_view *section)
{
    double sum = 0.0;
    int bare = 0;
    for (int i = 0; i < section->columns; i++) {
        sum += section->depth[i];
        bare += section->depth[i] <= RN_STRATA_BARE;
    }
    char dry[40] = "";
    const double length_mm = length_of(section) * 1e3;
    if (bare == section->columns) {
        snprintf(text, size, "A to B %.0f mm, all of it bare.", length_mm);
        return;
    }
    if (bare > 0)
        snprintf(dry, sizeof dry, " Bare for %.0f mm.", length_mm * bare / section->columns);
    snprintf(text, size, "A to B %.0f mm. Wet film %.2f mm in the mean, %.2f mm where it is deepest.%s", length_mm,
             sum / section->columns * 1e3, deepest(section) * 1e3, dry);
}

bool rn_section_page_draw(rn_pen *pen, const rn_section_view *section, double height)
{
    char text[200];
    const double width = RN_SECTION_PAGE_WIDTH - 2.0 * MARGIN, words = width - HEAD - 60.0;
    rn_pen_text(pen, MARGIN, MARGIN + 14.0, (rn_letters){.size = 14.5, .role = RN_ROLE_INK2, .most = words},
                section->plan->title);
    snprintf(text, sizeof text, "Cut through the film at %.*f s", section->time < 10.0 ? 1 : 0, section->time);
    rn_pen_text(pen, MARGIN, MARGIN + 44.0,
                (rn_letters){.size = 22.0, .role = RN_ROLE_INK, .bold = true, .most = words}, text);
    write_facts(text, sizeof text, section);
    rn_pen_text(pen, MARGIN, MARGIN + 70.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .most = words}, text);
    draw_place(pen, (rn_box){MARGIN + width - HEAD - 40.0, MARGIN, HEAD + 24.0, HEAD - 6.0}, section);
    return rn_section_draw(pen, (rn_box){MARGIN, MARGIN + HEAD, width, height - 2.0 * MARGIN - HEAD}, section);
}

static double height_of(rn_pen *pen, const void *section)
{
    return rn_section_page_height(pen, section);
}

static bool draw(rn_pen *pen, double height, const void *section)
{
    return rn_section_page_draw(pen, section, height);
}

rn_status rn_section_write(const char *path, FILE *standard, const rn_section_view *section, rn_figure_options options,
                           rn_error *err)
{
    const rn_leaf leaf = {.title = section->plan->title,
                          .page_width = RN_SECTION_PAGE_WIDTH,
                          .matter = section,
                          .height = height_of,
                          .draw = draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
