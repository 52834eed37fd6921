/* Slips that ask: whether to leave, where a file is, whether it may be replaced, whether to take up a bench that was left
   behind. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "paper.h"
#include "parts.h"

#define WIDTH 500.0
#define PAD 26.0
#define FIELD 34.0
#define MONO 13.0
#define RECENT 26.0
#define FOLDER 24.0

typedef struct slip_text {
    char title[240], note[400];
    rv_paper_choice choices[3];
    int count;
} slip_text;

/* ---- the field where a path is typed ---- */

static bool begins_letter(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

/* The tail of a path from its last folders on, that it is told by what differs. */
static void draw_mono(rv_canvas *canvas, double x, double y, double most, rn_role role, const char *text)
{
    const rn_letters letters = {.size = MONO, .lettering = RN_LETTERS_MONO, .role = role};
    const char *from = text;
    while (*from && rn_pen_measure(&canvas->pen, x, y, letters, from).width > most) {
        do
            from++;
        while (!begins_letter(*from));
    }
    if (from != text && from[0]) { /* what is left out is the beginning */
        char cut[TYPING_SIZE + 8];
        do
            from++;
        while (!begins_letter(*from));
        snprintf(cut, sizeof cut, "…%s", from);
        if (rn_pen_measure(&canvas->pen, x, y, letters, cut).width <= most)
            rn_pen_text(&canvas->pen, x, y, letters, cut);
        return;
    }
    if (from[0])
        rn_pen_text(&canvas->pen, x, y, letters, from);
}

/* So many bytes of a text stand so wide: blanks count too. */
static double width_of(rv_canvas *canvas, const char *text, int bytes)
{
    char part[TYPING_SIZE + 4];
    const rn_letters letters = {.size = MONO, .lettering = RN_LETTERS_MONO};
    if (bytes <= 0)
        return 0;
    snprintf(part, sizeof part, "%.*s||", bytes, text);
    return rn_pen_measure(&canvas->pen, 0, 0, letters, part).width -
           rn_pen_measure(&canvas->pen, 0, 0, letters, "||").width;
}

static void draw_field(rv_canvas *canvas, rn_box box)
{
    const rv_typing *typing = &canvas->view->typing;
    cairo_t *cr = canvas->pen.cr;
    const double room = box.width - 22, longer = canvas->pen.longer;
    canvas->pen.longer = 0; /* what is typed is in no language */
    int from = 0;
    while (width_of(canvas, typing->text + from, typing->caret - from) > room && from < typing->caret) {
        do
            from++;
        while (!begins_letter(typing->text[from]));
    }
    int to = (int)strlen(typing->text);
    while (to > typing->caret && width_of(canvas, typing->text + from, to - from) > room) {
        do
            to--;
        while (!begins_letter(typing->text[to]));
    }
    cairo_rectangle(cr, box.x, box.y, box.width, box.height);
    rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, typing->trouble[0] ? RN_ROLE_SHORT : RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
    const double x = box.x + 11, y = box.y + 22;
    char part[TYPING_SIZE];
    snprintf(part, sizeof part, "%.*s", to - from, typing->text + from);
    if (typing->whole && part[0]) {
        rn_pen_use(&canvas->pen, RN_ROLE_HAIR);
        cairo_rectangle(cr, x - 2, box.y + 6, width_of(canvas, part, to - from) + 4, box.height - 12);
        cairo_fill(cr);
    }
    if (part[0])
        rn_pen_text(&canvas->pen, x, y, (rn_letters){.size = MONO, .lettering = RN_LETTERS_MONO, .role = RN_ROLE_INK},
                    part);
    const double caret = x + width_of(canvas, typing->text + from, typing->caret - from) + 1;
    rn_pen_line(&canvas->pen, RN_ROLE_INK, 1.6, caret, box.y + 7, caret, box.y + box.height - 7);
    canvas->pen.longer = longer;
    canvas_handle(canvas, PART_FIELD, 0, 0, box);
}

static bool lists_recents(const rv_view *view)
{
    return view->cover == COVER_PATH && view->cover_choice == ERRAND_OPEN && view->recent_count > 0;
}

/* Where a name goes is said where something is written. */
static bool names_folder(const rv_view *view)
{
    return view->cover == COVER_PATH && view->cover_choice != ERRAND_OPEN && view->folder[0];
}

static double body_height(const rv_view *view)
{
    if (view->cover != COVER_PATH)
        return 0;
    const double trouble = view->typing.trouble[0] ? 24 : 0;
    return (names_folder(view) ? FOLDER : 0) + FIELD + 12 + trouble +
           (lists_recents(view) ? 30 + RECENT * view->recent_count : 0);
}

static void draw_body(rv_canvas *canvas, double x, double y, double width)
{
    const rv_view *view = canvas->view;
    if (view->cover != COVER_PATH)
        return;
    if (names_folder(view)) {
        const double longer = canvas->pen.longer;
        const rn_letters quiet = {.size = 12.5, .role = RN_ROLE_INK2};
        const rn_box in = rn_pen_text(&canvas->pen, x, y + 10, quiet, "into");
        canvas->pen.longer = 0; /* folders are called so in any language */
        draw_mono(canvas, in.x + in.width + 8, y + 10, width - in.width - 8, RN_ROLE_INK, view->folder);
        canvas->pen.longer = longer;
        y += FOLDER;
    }
    draw_field(canvas, (rn_box){x, y, width, FIELD});
    y += FIELD + 20;
    if (view->typing.trouble[0]) {
        canvas_tile(canvas, x + 7, y - 4, TILE_REFUSED, 0);
        paper_words(canvas, x + 20, y, (rn_letters){.size = 12.5, .role = RN_ROLE_SHORT}, width - 20, 1,
                    view->typing.trouble, true);
        y += 24;
    }
    if (!lists_recents(view))
        return;
    y += 8;
    canvas_words(canvas, x, y, (rn_letters){.size = 12, .lettering = RN_LETTERS_HEAD, .role = RN_ROLE_INK2}, width - 60,
                 "opened last");
    canvas_words(canvas, x + width, y, (rn_letters){.size = 11.5, .align = 1, .role = RN_ROLE_INK2}, 60, "↑ ↓");
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, x, y + 7, x + width, y + 7);
    const double longer = canvas->pen.longer;
    canvas->pen.longer = 0;
    for (int k = 0; k < view->recent_count; k++) {
        const rn_box row = {x, y + 8 + RECENT * k, width, RECENT};
        const bool here = view->cover_scroll == k + 1;
        if (here || canvas_is(view->hover, PART_CHOICE, k + 2, 0)) {
            rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
            cairo_rectangle(canvas->pen.cr, row.x, row.y + 1, row.width, row.height - 2);
            cairo_fill(canvas->pen.cr);
        }
        draw_mono(canvas, x + 8, row.y + 17.5, width - 16, here ? RN_ROLE_INK : RN_ROLE_INK2, view->recents[k]);
        canvas_handle(canvas, PART_CHOICE, k + 2, 0, row);
    }
    canvas->pen.longer = longer;
}

/* ---- the slips ---- */

static void add(slip_text *slip, int which, const char *words, const char *key)
{
    slip->choices[slip->count++] = (rv_paper_choice){PART_CHOICE, which, words, key, which == 0, false};
}

static void say_path(slip_text *slip, const rv_view *view)
{
    if (view->cover_choice == ERRAND_OPEN) {
        snprintf(slip->title, sizeof slip->title, "Open a plan");
        snprintf(slip->note, sizeof slip->note, "Type where its file is. A file dropped on the window opens too.");
        add(slip, 0, "Open it", "Enter");
    } else if (view->cover_choice == ERRAND_PICTURE) {
        snprintf(slip->title, sizeof slip->title, "Draw what is shown");
        snprintf(slip->note, sizeof slip->note, "A name that ends in .png gives a picture, in .pdf or .svg a drawing.");
        add(slip, 0, "Draw it", "Enter");
    } else {
        snprintf(slip->title, sizeof slip->title, "Save the plan");
        snprintf(slip->note, sizeof slip->note, "A name without an ending gets .yaml.");
        add(slip, 0, "Save it", "Enter");
    }
    add(slip, 1, "Not now", "Esc");
}

static void say(slip_text *slip, const rv_view *view)
{
    memset(slip, 0, sizeof *slip);
    if (view->cover == COVER_REPLACE) {
        const char *slash = strrchr(view->typing.text, '/');
        snprintf(slip->title, sizeof slip->title, "%.180s is there already.", slash ? slash + 1 : view->typing.text);
        snprintf(slip->note, sizeof slip->note, "Replace it, or another name? Replaced, what it holds now is gone.");
        add(slip, 0, "Replace it", "Enter");
        add(slip, 1, "Another name", "Esc");
        return;
    }
    if (view->cover == COVER_PATH) {
        say_path(slip, view);
        return;
    }
    if (view->cover == COVER_LEAVE) {
        snprintf(slip->title, sizeof slip->title, "%.180s has changes.", document_name(view->doc));
        const char *path = document_path(view->doc);
        const char *slash = strrchr(path, '/');
        const char *name = slash ? slash + 1 : path;
        if (path[0] && document_wording(view->doc) != WORDING_OWN)
            snprintf(slip->note, sizeof slip->note,
                     "Saving puts them into %.150s and writes it anew; as it is now it stays in %.150s~.", name, name);
        else if (path[0])
            snprintf(slip->note, sizeof slip->note, "Saving puts them into %.200s.", name);
        else
            snprintf(slip->note, sizeof slip->note, "It has not been saved yet.");
        const bool quits = view->then.what == ERRAND_QUIT || view->then.what == ERRAND_NONE;
        add(slip, 0, quits ? "Save and leave" : "Save and go on", "Enter");
        add(slip, 1, quits ? "Leave without" : "Go on without", "D");
        add(slip, 2, "Stay", "Esc");
        return;
    }
    snprintf(slip->title, sizeof slip->title, "The bench was left without saving %s.", view->left_when);
    snprintf(slip->note, sizeof slip->note,
             "%s. Restored, it is as it was a few seconds before. Discarding it cannot be undone.", view->left);
    add(slip, 0, "Restore it", "Enter");
    add(slip, 1, "Not now", "Esc");
    add(slip, 2, "Discard it", "Delete");
}

void ask_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rn_letters bold = {.size = 17, .bold = true, .role = RN_ROLE_INK};
    const rn_letters quiet = {.size = 13, .role = RN_ROLE_INK2};
    slip_text slip;
    say(&slip, canvas->view);
    const double width = fmin(canvas->view->cover == COVER_PATH ? 1.3 * WIDTH : WIDTH, at->width - 60);
    const double inner = width - 2 * PAD, left = 0.5 * (at->width - width) + PAD;
    const double title = paper_words(canvas, left, 0, bold, inner, 2, slip.title, false);
    const double note = paper_words(canvas, left, 0, quiet, inner, 3, slip.note, false);
    const double body = body_height(canvas->view);
    const double choices = paper_choices(canvas, left, 0, inner, slip.choices, slip.count, false);
    const double height = 40 + title + 26 + note + 18 + body + 6 + choices + 26;
    const rn_box box = {left - PAD, fmax(at->top.height + 20, 0.44 * (at->height - height)), width, height};

    paper_dim(canvas);
    const bool dark = paper_lay(canvas, box, false);
    double y = box.y + 40;
    paper_words(canvas, left, y, bold, inner, 2, slip.title, true);
    y += title + 26;
    paper_words(canvas, left, y, quiet, inner, 3, slip.note, true);
    y += note + 18;
    draw_body(canvas, left, y, inner);
    paper_choices(canvas, left, y + body + 6, inner, slip.choices, slip.count, true);
    paper_done(canvas, dark);
}
