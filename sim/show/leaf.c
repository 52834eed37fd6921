#include "show/leaf.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/file.h"
#include "show/cautions.h"

/* Units of the page: the strip under a drawing in which the cautions stand. */
#define FOOT 26.0
#define FOOT_MARGIN 24.0
#define FOOT_LEAST 9.0 /* letters, on a narrow page */

typedef enum kind { LEAF_PNG, LEAF_PDF, LEAF_SVG } kind;

/* Of a path that rn_figure_check_path has let pass. */
static kind kind_of(const char *path)
{
    const size_t length = strlen(path);
    const char *suffix = length > 4 ? path + length - 4 : "";
    return strcasecmp(suffix, ".pdf") == 0 ? LEAF_PDF : strcasecmp(suffix, ".svg") == 0 ? LEAF_SVG : LEAF_PNG;
}

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned int length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static cairo_surface_t *make_surface(kind picture, FILE *stream, double width, double height)
{
    if (picture == LEAF_PDF)
        return cairo_pdf_surface_create_for_stream(write_bytes, stream, width, height);
    if (picture == LEAF_SVG)
        return cairo_svg_surface_create_for_stream(write_bytes, stream, width, height);
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lround(width), (int)lround(height));
}

/* False if no memory. */
static bool measure(double *height, const rn_leaf *leaf)
{
    cairo_surface_t *scratch = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1, 1);
    cairo_t *cr = cairo_create(scratch);
    rn_pen pen;
    const bool good = rn_pen_init(&pen, cr, false);
    if (good)
        *height = leaf->height(&pen, leaf->matter) + FOOT;
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(scratch);
    return good;
}

void rn_leaf_foot(rn_pen *pen, double width, double height)
{
    rn_letters letters = {.size = 12.5, .role = RN_ROLE_INK2};
    const double most = width - 2.0 * FOOT_MARGIN;
    while (letters.size > FOOT_LEAST && rn_pen_measure(pen, 0, 0, letters, rn_caution_line()).width > most)
        letters.size -= 0.25;
    letters.most = most;
    rn_pen_text(pen, FOOT_MARGIN, height - 9.0, letters, rn_caution_line());
}

static cairo_status_t draw(kind picture, FILE *stream, const rn_leaf *leaf, rn_figure_options options, double height)
{
    const double scale = options.width / leaf->page_width;
    cairo_surface_t *surface = make_surface(picture, stream, options.width, ceil(height * scale));
    if (picture == LEAF_PDF)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, leaf->title);
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, scale, scale);
    rn_pen pen;
    bool whole = rn_pen_init(&pen, cr, options.dark);
    if (whole) {
        rn_pen_use(&pen, RN_ROLE_PAPER);
        cairo_paint(cr);
        whole = leaf->draw(&pen, ceil(height * scale) / scale - FOOT, leaf->matter);
        rn_leaf_foot(&pen, leaf->page_width, ceil(height * scale) / scale);
    }
    rn_pen_clear(&pen);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    if (status == CAIRO_STATUS_SUCCESS && !whole)
        status = CAIRO_STATUS_NO_MEMORY;
    if (status == CAIRO_STATUS_SUCCESS && picture == LEAF_PNG)
        status = cairo_surface_write_to_png_stream(surface, write_bytes, stream);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return status;
}

rn_status rn_leaf_write(const char *path, FILE *standard, const rn_leaf *leaf, rn_figure_options options, rn_error *err)
{
    rn_status status = rn_figure_check_path(path, err);
    if (status != RN_OK)
        return status;
    double height = 0.0;
    if (!measure(&height, leaf))
        return rn_fail(err, RN_E_MEMORY, "no memory left for the picture");
    rn_file file;
    status = rn_file_open(&file, path, standard, err);
    if (status != RN_OK)
        return status;
    const cairo_status_t drawn = draw(kind_of(path), file.stream, leaf, options, height);
    if (drawn == CAIRO_STATUS_SUCCESS || drawn == CAIRO_STATUS_WRITE_ERROR)
        return rn_file_close(&file, err); /* it knows the system's reason */
    rn_file_abandon(&file);
    return rn_fail(err, drawn == CAIRO_STATUS_NO_MEMORY ? RN_E_MEMORY : RN_E_FILE, "the picture was not drawn: %s",
                   cairo_status_to_string(drawn));
}

rn_status rn_leaf_save(const char *path, FILE *standard, cairo_surface_t *image, rn_error *err)
{
    rn_file file;
    const rn_status status = rn_file_open(&file, path, standard, err);
    if (status != RN_OK)
        return status;
    const cairo_status_t drawn = cairo_surface_write_to_png_stream(image, write_bytes, file.stream);
    if (drawn == CAIRO_STATUS_SUCCESS || drawn == CAIRO_STATUS_WRITE_ERROR)
        return rn_file_close(&file, err); /* it knows the system's reason */
    rn_file_abandon(&file);
    return rn_fail(err, drawn == CAIRO_STATUS_NO_MEMORY ? RN_E_MEMORY : RN_E_FILE, "the picture was not drawn: %s",
                   cairo_status_to_string(drawn));
}
