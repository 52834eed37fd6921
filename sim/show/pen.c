#include "show/pen.h"

#include <math.h>
#include <pango/pangocairo.h>

#include "base/physical.h"

static const uint32_t colours[2][RN_ROLES] = {
    {0xDCDCDC, 0xE8E8E8, 0xF4F4F4, 0x1B1B1B, 0x4C4C4C, 0x9A2F06, 0x0A5791, 0x9A9A9A, 0xC2C2C2, 0x5A5A5A, 0x8E2270,
     0xCFCFCF, 0xF1F1F1, 0x8A8A8A, 0x7A4F00, 0xFFFFFF},
    {0x2A2A2A, 0x373737, 0x454545, 0xF0F0F0, 0xBDBDBD, 0xFF9A78, 0x7CC0F7, 0x5C5C5C, 0x474747, 0xD8D8D8, 0xF59AD0,
     0x343434, 0x434343, 0x6A6A6A, 0xE0B25C, 0x201800},
};

static const char *const families[] = {
    [RN_LETTERS_READ] = "Andika, DejaVu Sans, sans-serif",
    [RN_LETTERS_HEAD] = "Routed Gothic, Andika, DejaVu Sans, sans-serif",
    [RN_LETTERS_WIDE] = "Routed Gothic Wide, Andika, DejaVu Sans, sans-serif",
    [RN_LETTERS_MONO] = "B612 Mono, DejaVu Sans Mono, monospace",
};

#define HEAD_SPACING 0.3 /* between letters of headings [units] */

bool rn_pen_init(rn_pen *pen, cairo_t *cr, bool dark)
{
    pen->cr = cr;
    pen->dark = dark;
    pen->longer = 0;
    pen->veil = (rn_box){0};
    pen->box_count = pen->box_lost = 0;
    pen->layout = pango_cairo_create_layout(cr);
    if (!pen->layout)
        return false;
    /* The same widths on a screen and on paper. */
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(pango_layout_get_context(pen->layout), options);
    cairo_font_options_destroy(options);

    return true;
}

void rn_pen_clear(rn_pen *pen)
{
    if (pen->layout)
        g_object_unref(pen->layout);
    pen->layout = NULL;
}

void rn_pen_use(rn_pen *pen, rn_role role)
{
    const uint32_t colour = colours[pen->dark][role];
    cairo_set_source_rgb(pen->cr, (colour >> 16) / 255.0, (colour >> 8 & 0xFF) / 255.0, (colour & 0xFF) / 255.0);
}

void rn_pen_use_rgb(rn_pen *pen, const uint8_t rgb[3])
{
    cairo_set_source_rgb(pen->cr, rgb[0] / 255.0, rgb[1] / 255.0, rgb[2] / 255.0);
}

static void set_attributes(rn_pen *pen, rn_letters letters)
{
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum=1,lnum=1"));
    if (letters.lettering == RN_LETTERS_HEAD || letters.lettering == RN_LETTERS_WIDE)
        pango_attr_list_insert(attributes, pango_attr_letter_spacing_new((int)(HEAD_SPACING * PANGO_SCALE)));
    if (letters.accent > 0) {
        const uint32_t c = colours[pen->dark][letters.accent_role];
        PangoAttribute *accent = pango_attr_foreground_new(
            (guint16)((c >> 16 & 0xFF) * 257), (guint16)((c >> 8 & 0xFF) * 257), (guint16)((c & 0xFF) * 257));
        accent->start_index = 0;
        accent->end_index = (guint)letters.accent;
        pango_attr_list_insert(attributes, accent);
    }
    pango_layout_set_attributes(pen->layout, attributes);
    pango_attr_list_unref(attributes);
}

/* Narrows the text to the least width that keeps its number of lines, so that no word is left alone on the last. */
static void balance(rn_pen *pen, double most)
{
    const int lines = pango_layout_get_line_count(pen->layout);
    if (lines < 2 || pango_layout_is_ellipsized(pen->layout))
        return;
    double narrow = most / lines, wide = most;
    while (wide - narrow > 4.0) {
        const double middle = 0.5 * (narrow + wide);
        pango_layout_set_width(pen->layout, (int)(middle * PANGO_SCALE));
        if (pango_layout_get_line_count(pen->layout) > lines || pango_layout_is_ellipsized(pen->layout))
            narrow = middle;
        else
            wide = middle;
    }
    pango_layout_set_width(pen->layout, (int)(wide * PANGO_SCALE));
}

/* A text with letters, so much longer, as it may be in another language; NULL if it stays as it is. Figures do not grow. */
static char *lengthened(const char *text, double share)
{
    long letters = 0;
    for (const char *at = text; *at; at = g_utf8_next_char(at))
        letters += g_unichar_isalpha(g_utf8_get_char(at)) != 0;
    const int more = (int)ceil(share * (double)letters);
    if (more < 1 || letters < 3) /* units stay as they are */
        return NULL;
    GString *made = g_string_new(text);
    static const char filling[] = "en ost avil ";
    for (int k = 0; k < more; k++)
        g_string_append_c(made, filling[k % (int)(sizeof filling - 1)]);
    while (made->len && made->str[made->len - 1] == ' ')
        made->str[made->len - 1] = 'e';
    return g_string_free(made, FALSE);
}

/* Makes the pen's layout hold this text. */
static void set(rn_pen *pen, rn_letters letters, const char *text)
{
    PangoFontDescription *font = pango_font_description_from_string(families[letters.lettering]);
    pango_font_description_set_absolute_size(font, letters.size * PANGO_SCALE);
    pango_font_description_set_weight(font, letters.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(pen->layout, font);
    pango_font_description_free(font);

    const bool bounded = letters.most > 0.0;
    pango_layout_set_width(pen->layout, bounded ? (int)(letters.most * PANGO_SCALE) : -1);
    pango_layout_set_height(pen->layout, letters.lines > 1 ? -letters.lines : -1);
    pango_layout_set_wrap(pen->layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_ellipsize(pen->layout, bounded ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
    pango_layout_set_single_paragraph_mode(pen->layout, TRUE);
    pango_layout_set_line_spacing(pen->layout, 0.92f);
    set_attributes(pen, letters);

    char *valid = g_utf8_make_valid(text, -1);
    char *longer = lengthened(valid, pen->longer);
    pango_layout_set_text(pen->layout, longer ? longer : valid, -1);
    g_free(longer);
    g_free(valid);
    if (letters.lines > 1)
        balance(pen, letters.most);
}

/* Top left of the layout relative to its point, before turning. */
static void offset(double *x, double *y, const rn_pen *pen, rn_letters letters)
{
    PangoRectangle logical;
    pango_layout_get_extents(pen->layout, NULL, &logical);
    *x = -letters.align * logical.width / PANGO_SCALE - (double)logical.x / PANGO_SCALE;
    *y = -(double)pango_layout_get_baseline(pen->layout) / PANGO_SCALE;
}

static rn_box ink_box(const rn_pen *pen, double x, double y, rn_letters letters)
{
    PangoRectangle ink;
    double left, top;
    offset(&left, &top, pen, letters);
    pango_layout_get_extents(pen->layout, &ink, NULL);
    const double x0 = left + (double)ink.x / PANGO_SCALE, y0 = top + (double)ink.y / PANGO_SCALE;
    const double width = (double)ink.width / PANGO_SCALE, height = (double)ink.height / PANGO_SCALE;
    if (letters.turn > 0)
        return (rn_box){x + y0, y - x0 - width, height, width};
    if (letters.turn < 0)
        return (rn_box){x - y0 - height, y + x0, height, width};
    return (rn_box){x + x0, y + y0, width, height};
}

rn_box rn_pen_measure(rn_pen *pen, double x, double y, rn_letters letters, const char *text)
{
    set(pen, letters, text);
    return ink_box(pen, x, y, letters);
}

double rn_pen_depth(rn_pen *pen, rn_letters letters, const char *text)
{
    set(pen, letters, text);
    PangoLayoutIter *iter = pango_layout_get_iter(pen->layout);
    int first = pango_layout_iter_get_baseline(iter), last = first;
    while (pango_layout_iter_next_line(iter))
        last = pango_layout_iter_get_baseline(iter);
    pango_layout_iter_free(iter);
    return (double)(last - first) / PANGO_SCALE;
}

static bool apart(rn_box a, rn_box b, double gap)
{
    return a.x + a.width + gap <= b.x || b.x + b.width + gap <= a.x || a.y + a.height + gap <= b.y ||
           b.y + b.height + gap <= a.y;
}

rn_box rn_pen_text(rn_pen *pen, double x, double y, rn_letters letters, const char *text)
{
    set(pen, letters, text);
    double left, top;
    offset(&left, &top, pen, letters);
    rn_box box = ink_box(pen, x, y, letters);
    if (pen->veil.width > 0 && !apart(pen->veil, box, RN_BOX_GAP))
        return (rn_box){box.x, box.y, 0, 0};

    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, y);
    cairo_rotate(pen->cr, -letters.turn * 0.5 * RN_PI);
    cairo_move_to(pen->cr, left, top);
    if (letters.on_map) {
        pango_cairo_layout_path(pen->cr, pen->layout);
        rn_pen_use_rgb(pen, letters.halo);
        cairo_set_line_width(pen->cr, 3.5);
        cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
        cairo_stroke(pen->cr);
        const double grey = letters.light ? 1.0 : 0.08;
        cairo_set_source_rgb(pen->cr, grey, grey, grey);
        cairo_move_to(pen->cr, left, top);
    } else {
        rn_pen_use(pen, letters.role);
    }
    pango_cairo_show_layout(pen->cr, pen->layout);
    cairo_restore(pen->cr);
    cairo_new_path(pen->cr);

    if (box.width > 0.0 && pen->box_count < RN_BOXES_MOST)
        pen->boxes[pen->box_count++] = box;
    else if (box.width > 0.0)
        pen->box_lost++;
    return box;
}

bool rn_pen_vacant(const rn_pen *pen, rn_box box, double gap)
{
    for (int i = 0; i < pen->box_count; i++)
        if (!apart(pen->boxes[i], box, gap))
            return false;
    return true;
}

int rn_pen_overlaps(const rn_pen *pen)
{
    int pairs = 0;
    for (int i = 0; i < pen->box_count; i++)
        for (int k = i + 1; k < pen->box_count; k++)
            pairs += !apart(pen->boxes[i], pen->boxes[k], RN_BOX_GAP);
    return pairs;
}

void rn_pen_line(rn_pen *pen, rn_role role, double width, double x0, double y0, double x1, double y1)
{
    rn_pen_use(pen, role);
    cairo_set_line_width(pen->cr, width);
    cairo_move_to(pen->cr, x0, y0);
    cairo_line_to(pen->cr, x1, y1);
    cairo_stroke(pen->cr);
}
