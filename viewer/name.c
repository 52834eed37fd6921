/* The window's head: the program's mark, the plan's name, the three views. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "parts.h"

/* Two ripples and the drop that made them. */
static void draw_mark(rv_canvas *canvas, double x, double y)
{
    cairo_t *cr = canvas->pen.cr;
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_set_line_width(cr, 1.8);
    for (int k = 0; k < 2; k++) {
        const double down = y + 5 * k - 2.5;
        cairo_move_to(cr, x, down);
        cairo_curve_to(cr, x + 4, down - 4, x + 6, down - 4, x + 9, down);
        cairo_curve_to(cr, x + 12, down + 4, x + 14, down + 4, x + 18 - 3 * k, down);
        cairo_stroke(cr);
    }
    cairo_arc(cr, x + 23, y, 2.6, 0, 2 * RN_PI);
    cairo_fill(cr);
}

static void draw_plan_name(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_document *doc = canvas->view->doc;
    const double y = at->compact ? 46 : 52;
    const bool unsaved = document_changed(doc);
    const rn_letters letters = {
        .size = at->compact ? 11 : 12.5, .role = RN_ROLE_INK, .most = at->name.width - (unsaved ? 12 : 0)};
    const rn_box box = rn_pen_text(&canvas->pen, at->name.x, y, letters, document_name(doc));
    if (unsaved) { /* a drop that has not been caught yet */
        cairo_arc(canvas->pen.cr, box.x + box.width + 8, y - 4, 2.4, 0, 2 * RN_PI);
        rn_pen_use(&canvas->pen, RN_ROLE_SHORT);
        cairo_fill(canvas->pen.cr);
    }
    const rn_box target = {at->name.x, y - 15, fmax(box.width, 40), 22};
    canvas_handle(canvas, PART_NAME, 0, 0, target);
    if (canvas_focused(canvas, PART_NAME, 0, 0))
        canvas_focus(canvas, target);
    if (unsaved && !at->compact)
        canvas_words(canvas, box.x + box.width + 16, y, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2},
                     at->name.x + at->name.width - box.x - box.width - 16, "unsaved");
}

/* The three views in one row, or in two where the words are long; how many rows they took. */
static int draw_words(rv_canvas *canvas, double left, double width)
{
    static const char *const names[PAGES] = {"bench", "side by side", "window"};
    const rv_layout *at = &canvas->at;
    const double size = at->compact ? 12.5 : 13.5;
    double widths[PAGES], all = 0;
    for (int k = 0; k < PAGES; k++)
        all += widths[k] = rn_pen_measure(&canvas->pen, 0, 0, (rn_letters){.size = size, .bold = true}, names[k]).width;
    const bool one = all + 20 <= width;
    const double apart = one ? fmin((width - all) / 2, 22) : 14;
    double x = left, y = at->compact ? (one ? 28 : 22) : 31;
    int rows = 1;
    for (int k = 0; k < PAGES; k++) {
        const bool here = (int)canvas->view->page == k;
        if (x > left && x + widths[k] > left + width) {
            x = left;
            y += at->compact ? 22 : 24;
            rows++;
        }
        const rn_letters letters = {.size = size, .bold = here, .role = here ? RN_ROLE_INK : RN_ROLE_INK2};
        rn_pen_text(&canvas->pen, x, y, letters, names[k]);
        if (here)
            rn_pen_line(&canvas->pen, RN_ROLE_INK, 2, x, y + 7, x + widths[k], y + 7);
        const rn_box target = {x - 4, y - 18, widths[k] + 8, 26};
        canvas_handle(canvas, PART_PAGE, k, 0, target);
        if (canvas_focused(canvas, PART_PAGE, k, 0))
            canvas_focus(canvas, target);
        x += widths[k] + apart;
    }
    return rows;
}

static void draw_views(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const double width = at->views.width + (at->compact ? 42 : 0), right = at->views.x + at->views.width;
    const int rows = draw_words(canvas, right - width, width);
    if (rows > 1)
        return;
    static const char *const words[] = {"F1 keys, cautions", "F1 keys", NULL};
    const rn_letters quiet = {.size = 12, .role = RN_ROLE_INK2};
    rn_letters undo = quiet;
    undo.align = 1;
    if (at->compact) {
        undo.size = 11;
        if (canvas_say(canvas, right, 50, undo, width, words))
            canvas_handle(canvas, PART_KEYS_WORD, 0, 0, (rn_box){right - 110, 38, 110, 18});
        return;
    }
    if (canvas_say(canvas, at->views.x, 53, quiet, 0.56 * at->views.width, words))
        canvas_handle(canvas, PART_KEYS_WORD, 0, 0, (rn_box){at->views.x, 40, 0.56 * at->views.width, 20});
    if (document_undo_what(canvas->view->doc) &&
        canvas_words(canvas, right, 53, undo, 0.45 * at->views.width, "Ctrl+Z undo"))
        canvas_handle(canvas, PART_UNDO_WORD, 0, 0, (rn_box){right - 84, 40, 84, 20});
}

void name_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    draw_mark(canvas, at->name.x, at->compact ? 23 : 27);
    if (!at->compact)
        rn_pen_text(&canvas->pen, at->name.x + 34, 32,
                    (rn_letters){.size = 17, .lettering = RN_LETTERS_WIDE, .role = RN_ROLE_INK}, "runnel");
    draw_plan_name(canvas);
    draw_views(canvas);
}
