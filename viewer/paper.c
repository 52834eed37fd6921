#include "paper.h"
#include "base/physical.h"

#include <math.h>
#include <string.h>

#define SIZE 13.5
#define SIZE_LEAST 11.0
#define KEY_SIZE 11.5
#define KEY_LEAST 10.8
#define WORDS_LEAST 10.5
#define PAD 14.0
#define KEY_GAP 14.0

void paper_dim(rv_canvas *canvas)
{
    cairo_t *cr = canvas->pen.cr;
    const double grey = canvas->view->dark ? 0x2A / 255.0 : 0xDC / 255.0;
    cairo_set_source_rgba(cr, grey, grey, grey, 0.62);
    cairo_rectangle(cr, 0, 0, canvas->at.width, canvas->at.height);
    cairo_fill(cr);
}

/* The lower edge from right to left, as paper tears: long waves with small ones on them. */
static void tear(cairo_t *cr, rn_box box)
{
    const double foot = box.y + box.height;
    for (double x = box.width; x > 0; x -= 5) {
        const double wave = 1.3 * sin(0.061 * x) + 1.0 * sin(0.233 * x + 1) + 0.7 * sin(0.71 * x + 2);
        cairo_line_to(cr, box.x + x, foot + wave);
    }
    cairo_line_to(cr, box.x, foot);
}

static void sheet_path(cairo_t *cr, rn_box box)
{
    cairo_new_path(cr);
    cairo_move_to(cr, box.x, box.y);
    cairo_line_to(cr, box.x + box.width, box.y);
    cairo_line_to(cr, box.x + box.width, box.y + box.height);
    tear(cr, box);
    cairo_close_path(cr);
}

/* A spring clip holds the sheet: a bar with two legs. */
static void draw_clip(cairo_t *cr, double x, double y)
{
    cairo_set_source_rgb(cr, 0.16, 0.16, 0.16);
    cairo_set_line_width(cr, 1.6);
    for (int side = -1; side <= 1; side += 2) {
        cairo_move_to(cr, x + 25 * side, y);
        cairo_line_to(cr, x + 25 * side, y + 12);
    }
    cairo_stroke(cr);
    cairo_rectangle(cr, x - 30, y - 10, 60, 13);
    cairo_set_source_rgb(cr, 0.42, 0.42, 0.42);
    cairo_fill_preserve(cr);
    cairo_set_source_rgb(cr, 0.2, 0.2, 0.2);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    cairo_move_to(cr, x - 24, y - 6.5);
    cairo_line_to(cr, x + 24, y - 6.5);
    cairo_set_source_rgb(cr, 0.62, 0.62, 0.62);
    cairo_stroke(cr);
}

bool paper_lay(rv_canvas *canvas, rn_box box, bool clip)
{
    cairo_t *cr = canvas->pen.cr;
    const bool dark = canvas->pen.dark;
    canvas->pen.dark = false;
    sheet_path(cr, (rn_box){box.x + 4, box.y + 5, box.width, box.height});
    cairo_set_source_rgba(cr, 0, 0, 0, dark ? 0.55 : 0.3);
    cairo_fill(cr);
    sheet_path(cr, box);
    cairo_set_source_rgb(cr, 0xE2 / 255.0, 0xE2 / 255.0, 0xE2 / 255.0);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    if (clip)
        draw_clip(cr, box.x + 0.5 * box.width, box.y);
    return dark;
}

void paper_done(rv_canvas *canvas, bool dark)
{
    canvas->pen.dark = dark;
}

/* ---- choices ---- */

static rn_letters words_of(const rv_paper_choice *choice, double size)
{
    return (rn_letters){.size = size, .bold = choice->first, .role = choice->first ? RN_ROLE_ON_BRASS : RN_ROLE_BRASS};
}

static double key_size(double size)
{
    return fmax(KEY_LEAST, KEY_SIZE * size / SIZE);
}

double paper_choice_width(rv_canvas *canvas, const rv_paper_choice *choice, double size)
{
    double width = 2 * PAD + rn_pen_measure(&canvas->pen, 0, 0, words_of(choice, size), choice->words).width;
    if (choice->key)
        width += KEY_GAP + rn_pen_measure(&canvas->pen, 0, 0, (rn_letters){.size = key_size(size)}, choice->key).width;
    return ceil(width + (choice->taken ? 16 : 0));
}

static void draw_choice(rv_canvas *canvas, rn_box box, const rv_paper_choice *choice, double size, bool key)
{
    cairo_t *cr = canvas->pen.cr;
    const bool over = canvas_is(canvas->view->hover, choice->part, choice->a, 0);
    canvas_plate(cr, (rn_box){box.x + 0.75, box.y + 0.75, box.width - 1.5, box.height - 1.5}, 4);
    if (choice->first) {
        rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
        cairo_fill_preserve(cr);
    } else if (over || choice->taken) {
        rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
        cairo_fill_preserve(cr);
    }
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(cr, choice->taken || (over && choice->first) ? 2.4 : 1.5);
    cairo_stroke(cr);
    double x = box.x + PAD;
    const double y = box.y + 0.5 * box.height + 0.35 * size;
    if (choice->taken) {
        cairo_move_to(cr, x, y - 4);
        cairo_line_to(cr, x + 3.5, y);
        cairo_line_to(cr, x + 10, y - 9);
        cairo_set_line_width(cr, 2);
        cairo_stroke(cr);
        x += 16;
    }
    const rn_box words = rn_pen_text(&canvas->pen, x, y, words_of(choice, size), choice->words);
    if (key && choice->key)
        rn_pen_text(&canvas->pen, words.x + words.width + KEY_GAP, y,
                    (rn_letters){.size = key_size(size), .role = choice->first ? RN_ROLE_ON_BRASS : RN_ROLE_INK2},
                    choice->key);
    canvas_handle(canvas, choice->part, choice->a, 0, box);
    if (canvas_focused(canvas, choice->part, choice->a, 0))
        canvas_focus(canvas, box);
}

/* The letters in which a choice fits, and whether its key does too; 0: none. */
static double fit_choice(bool *key, rv_canvas *canvas, const rv_paper_choice *choice, double most)
{
    rv_paper_choice bare = *choice;
    bare.key = NULL;
    *key = true;
    for (double size = SIZE; size >= SIZE_LEAST; size -= 0.5)
        if (paper_choice_width(canvas, choice, size) <= most)
            return size;
    *key = false;
    for (double size = SIZE; size >= SIZE_LEAST; size -= 0.5)
        if (paper_choice_width(canvas, &bare, size) <= most)
            return size;
    return 0;
}

bool paper_choice(rv_canvas *canvas, double x, double y, double most, const rv_paper_choice *choice)
{
    bool key;
    const double size = fit_choice(&key, canvas, choice, most);
    if (size <= 0)
        return false;
    rv_paper_choice shown = *choice;
    shown.key = key ? choice->key : NULL;
    draw_choice(canvas, (rn_box){x, y, paper_choice_width(canvas, &shown, size), PAPER_CHOICE_HEIGHT}, &shown, size,
                key);
    return true;
}

double paper_choices(rv_canvas *canvas, double x, double y, double most, const rv_paper_choice *choices, int count,
                     bool draw)
{
    const double gap = 12, rise = PAPER_CHOICE_HEIGHT + 8;
    double right = x, row = y;
    for (int k = 0; k < count; k++) {
        bool key;
        const double size = fit_choice(&key, canvas, &choices[k], most);
        rv_paper_choice shown = choices[k];
        shown.key = key ? shown.key : NULL;
        const double width = fmin(paper_choice_width(canvas, &shown, size > 0 ? size : SIZE_LEAST), most);
        if (right > x && right + width > x + most) {
            right = x;
            row += rise;
        }
        if (draw && size > 0)
            draw_choice(canvas, (rn_box){right, row, width, PAPER_CHOICE_HEIGHT}, &shown, size, key);
        right += width + gap;
    }
    return row - y + PAPER_CHOICE_HEIGHT;
}

/* Whether one line more would be used if there were one. */
static bool is_cut(rv_canvas *canvas, rn_letters letters, const char *text)
{
    rn_letters more = letters;
    more.lines = letters.lines + 1;
    return rn_pen_depth(&canvas->pen, more, text) > rn_pen_depth(&canvas->pen, letters, text) + 0.5;
}

double paper_words(rv_canvas *canvas, double x, double y, rn_letters letters, double most, int lines, const char *text,
                   bool draw)
{
    letters.most = most;
    letters.lines = lines;
    while (letters.size > WORDS_LEAST && is_cut(canvas, letters, text))
        letters.size -= 0.5;
    if (!text[0])
        return 0;
    const double depth = lines > 1 ? rn_pen_depth(&canvas->pen, letters, text) : 0;
    if (draw)
        rn_pen_text(&canvas->pen, x, y, letters, text);
    return depth;
}
