#include "show/figure.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <string.h>

#include "base/file.h"
#include "show/page.h"
#include "show/pen.h"

typedef enum kind { PICTURE_PNG, PICTURE_PDF, PICTURE_SVG, PICTURE_UNKNOWN } kind;

rn_figure_options rn_figure_defaults(void)
{
    return (rn_figure_options){.width = 1600.0};
}

static bool ends_in(const char *path, const char *suffix)
{
    const size_t length = strlen(path), tail = strlen(suffix);
    if (length < tail)
        return false;
    for (size_t i = 0; i < tail; i++) {
        char letter = path[length - tail + i];
        if (letter >= 'A' && letter <= 'Z')
            letter = (char)(letter - 'A' + 'a');
        if (letter != suffix[i])
            return false;
    }
    return true;
}

static kind kind_of(const char *path)
{
    if (strcmp(path, "-") == 0 || ends_in(path, ".png"))
        return PICTURE_PNG;
    return ends_in(path, ".pdf") ? PICTURE_PDF : ends_in(path, ".svg") ? PICTURE_SVG : PICTURE_UNKNOWN;
}

rn_status rn_figure_check_path(const char *path, rn_error *err)
{
    if (kind_of(path) == PICTURE_UNKNOWN)
        return rn_fail(err, RN_E_USAGE, "'%s': a picture's name ends in .png, .pdf or .svg", path);
    return RN_OK;
}

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned int length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

/* Height of the page in units, from a pen that only measures. */
static bool measure(double *height, const rn_figure *figure)
{
    cairo_surface_t *scratch = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 1, 1);
    cairo_t *cr = cairo_create(scratch);
    rn_pen pen;
    const bool good = rn_pen_init(&pen, cr, false);
    if (good)
        *height = rn_page_height(&pen, figure);
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(scratch);
    return good;
}

static cairo_surface_t *make_surface(kind picture, FILE *stream, double width, double height)
{
    if (picture == PICTURE_PDF)
        return cairo_pdf_surface_create_for_stream(write_bytes, stream, width, height);
    if (picture == PICTURE_SVG)
        return cairo_svg_surface_create_for_stream(write_bytes, stream, width, height);
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lround(width), (int)lround(height));
}

/* Draws on a fresh surface that goes to the stream; cairo's own status tells how it went. */
static cairo_status_t draw(kind picture, FILE *stream, const rn_figure *figure, rn_figure_options options,
                           double height)
{
    const double scale = options.width / RN_PAGE_WIDTH;
    cairo_surface_t *surface = make_surface(picture, stream, options.width, ceil(height * scale));
    if (picture == PICTURE_PDF)
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, figure->forecast->title);
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, scale, scale);
    rn_pen pen;
    bool whole = rn_pen_init(&pen, cr, options.dark);
    whole = whole && rn_page_draw(&pen, figure, ceil(height * scale) / scale);
    rn_pen_clear(&pen);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    if (status == CAIRO_STATUS_SUCCESS && !whole)
        status = CAIRO_STATUS_NO_MEMORY;
    if (status == CAIRO_STATUS_SUCCESS && picture == PICTURE_PNG)
        status = cairo_surface_write_to_png_stream(surface, write_bytes, stream);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return status;
}

rn_status rn_figure_forecast(const char *path, FILE *standard, const rn_figure *figure, rn_figure_options options,
                             rn_error *err)
{
    const kind picture = kind_of(path);
    if (picture == PICTURE_UNKNOWN)
        return rn_figure_check_path(path, err);
    double height = 0.0;
    if (!measure(&height, figure))
        return rn_fail(err, RN_E_MEMORY, "no memory left for the picture");
    rn_file file;
    rn_status status = rn_file_open(&file, path, standard, err);
    if (status != RN_OK)
        return status;
    const cairo_status_t drawn = draw(picture, file.stream, figure, options, height);
    if (drawn == CAIRO_STATUS_SUCCESS || drawn == CAIRO_STATUS_WRITE_ERROR)
        return rn_file_close(&file, err); /* it knows the system's reason */
    rn_file_abandon(&file);
    return rn_fail(err, drawn == CAIRO_STATUS_NO_MEMORY ? RN_E_MEMORY : RN_E_FILE, "the picture was not drawn: %s",
                   cairo_status_to_string(drawn));
}
