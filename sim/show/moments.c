#include "show/moments.h"

#include <math.h>
#include <string.h>

#include "show/leaf.h"

/* Units of the page, see pen.h. */
#define PAGE RN_MOMENTS_PAGE
#define MARGIN 30.0
#define GUTTER 22.0
#define HEAD 62.0    /* from the top to the first row of faces */
#define CAPTION 62.0 /* under each face */
#define FOOT 30.0    /* with the line of cautions */

static int columns_for(int count)
{
    return count <= 2 ? count : count <= 4 ? 2 : count <= 6 ? 3 : count == 9 ? 3 : 4;
}

static double cell_width(int count)
{
    const int columns = columns_for(count);
    return (PAGE - 2 * MARGIN - (columns - 1) * GUTTER) / columns;
}

int rn_moments_face_pixels(int count, int width)
{
    return (int)ceil(cell_width(count) * width / PAGE);
}

typedef struct layout {
    int columns, rows;
    double cell, face_width, face_height, row;
} layout;

static layout lay_out(const rn_moments_sheet *sheet)
{
    layout made = {.columns = columns_for(sheet->count), .cell = cell_width(sheet->count)};
    const double wide = cairo_image_surface_get_width(sheet->entries[0].face);
    const double high = cairo_image_surface_get_height(sheet->entries[0].face);
    made.rows = (sheet->count + made.columns - 1) / made.columns;
    made.face_width = wide >= high ? made.cell : made.cell * wide / high;
    made.face_height = made.face_width * high / wide;
    made.row = made.face_height + CAPTION;
    return made;
}

double rn_moments_height(const rn_moments_sheet *sheet)
{
    const layout made = lay_out(sheet);
    return HEAD + made.rows * made.row + FOOT;
}

static void draw_face(rn_pen *pen, cairo_surface_t *face, double x, double y, double width)
{
    const double scale = width / cairo_image_surface_get_width(face);
    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, y);
    cairo_scale(pen->cr, scale, scale);
    cairo_set_source_surface(pen->cr, face, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(pen->cr), CAIRO_FILTER_GOOD);
    cairo_paint(pen->cr);
    cairo_restore(pen->cr);
}

static void draw_caption(rn_pen *pen, const rn_moments_entry *entry, double x, double y, double width)
{
    char time[32], words[RN_TELLING_SIZE], state[96];
    const double run_off = rn_moment_run_off(&entry->moment) * 1e6,
                 coverage = floor(entry->moment.coverage * 1000 + 1e-6) / 10;
    snprintf(time, sizeof time, "%.0f s", entry->telling.time);
    snprintf(words, sizeof words, "%s", entry->telling.words);
    if (run_off >= 0.05)
        snprintf(state, sizeof state, "%.1f %% covered, %.1f ml run off", coverage, run_off);
    else
        snprintf(state, sizeof state, "%.1f %% covered, none run off", coverage);
    const rn_letters big = {.size = 19, .role = RN_ROLE_INK, .bold = true};
    const rn_box box = rn_pen_text(pen, x, y + 22, big, time);
    const double beside = x + box.width + 9;
    const rn_letters what = {.size = 13.5, .role = RN_ROLE_INK, .most = x + width - beside};
    rn_pen_text(pen, beside, y + 22, what, words);
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2, .most = width};
    rn_pen_text(pen, x, y + 42, small, state);
}

static void draw_head(rn_pen *pen, const rn_moments_sheet *sheet)
{
    char text[160];
    const rn_letters title = {.size = 20, .role = RN_ROLE_INK, .bold = true, .most = PAGE - 2 * MARGIN - 330};
    const rn_letters note = {.size = 13.5, .role = RN_ROLE_INK2, .align = 1};
    rn_pen_text(pen, MARGIN, 40, title, sheet->plan->title[0] ? sheet->plan->title : "A pour and its moments");
    snprintf(text, sizeof text, "%.0f ml of paint on %.0f x %.0f mm", sheet->paint * 1e6,
             sheet->plan->panel.width * 1e3, sheet->plan->panel.height * 1e3);
    if (sheet->plan->panel.round)
        snprintf(text, sizeof text, "%.0f ml of paint on a disc of %.0f mm", sheet->paint * 1e6,
                 sheet->plan->panel.width * 1e3);
    rn_pen_text(pen, PAGE - MARGIN, 40, note, text);
}

void rn_moments_draw(rn_pen *pen, const rn_moments_sheet *sheet)
{
    const layout made = lay_out(sheet);
    rn_pen_use(pen, RN_ROLE_BENCH);
    cairo_paint(pen->cr);
    draw_head(pen, sheet);
    for (int k = 0; k < sheet->count; k++) {
        const double x = MARGIN + (k % made.columns) * (made.cell + GUTTER);
        const double y = HEAD + (k / made.columns) * made.row;
        draw_face(pen, sheet->entries[k].face, x, y, made.face_width);
        draw_caption(pen, &sheet->entries[k], x, y + made.face_height,
                     made.cell); /* a narrow face has no room for it */
    }
    rn_leaf_foot(pen, PAGE, rn_moments_height(sheet));
}

rn_status rn_moments_write(const char *path, FILE *standard, const rn_moments_sheet *sheet, int width, rn_error *err)
{
    const double scale = width / PAGE;
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, (int)ceil(rn_moments_height(sheet) * scale));
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, scale, scale);
    rn_pen pen;
    const bool whole = rn_pen_init(&pen, cr, sheet->dark);
    if (whole)
        rn_moments_draw(&pen, sheet);
    rn_pen_clear(&pen);
    const bool good = whole && cairo_status(cr) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cr);
    const rn_status status = good ? rn_leaf_save(path, standard, surface, err)
                                  : rn_fail(err, RN_E_MEMORY, "no memory left for the sheet of moments");
    cairo_surface_destroy(surface);
    return status;
}
