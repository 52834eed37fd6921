#include "keys.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory_stream.h"
#include "paper.h"
#include "parts.h"

#define PAD 30.0
#define COLUMN_LEAST 300.0
#define COLUMN_GAP 34.0
#define HEAD 35.0   /* of a section */
#define ROW 20.0    /* with one line */
#define SECOND 15.0 /* more, where the mouse has a line */

static const rv_keys_row rows[] = {
    {"Time", "Pour or hold", "the disc by the clock", "Space"},
    {"Time", "Time shown", "drag the bob, or press the clock", ", .  Shift 1 s"},
    {"Time", "Beginning, end", "", "Home  End"},
    {"Time", "Type the time", "", "Enter on the bob"},
    {"Time", "Speed", "wheel over the clock", "[  ]"},

    {"By hand", "Pour and tilt by hand from here", "", "H"},
    {"By hand", "Tilt", "drag the bubble", "arrows, 0 levels"},
    {"By hand", "Turn the table", "drag the ring's knob", "arrows, Shift 15°"},

    {"Moves and releases", "New one", "drag along an empty lane", "Insert"},
    {"Moves and releases", "Sooner, later", "drag it", "← →"},
    {"Moves and releases", "Longer, shorter", "drag its ends", "Shift ← →"},
    {"Moves and releases", "Amount", "drag its top, or the cord", "↑ ↓"},
    {"Moves and releases", "All its values", "double press", "Enter"},
    {"Moves and releases", "Take away", "", "Delete"},
    {"Moves and releases", "Ring of a release", "drag it on the panel", "arrows, Shift 10 mm"},

    {"Shelf", "New jar", "double press an empty place", "N"},
    {"Shelf", "First out", "drag a jar up or down", "Ctrl ↑ ↓"},
    {"Shelf", "Volume", "drag the paint's level", "← →  Shift 10 ml"},
    {"Shelf", "Type its volume", "press it on its slip", "Enter"},
    {"Shelf", "Consistency", "drag the end of its thread", "Alt ← →"},
    {"Shelf", "Colour", "the swatch on its slip", "C"},
    {"Shelf", "Base coat", "drag its level", "K"},
    {"Shelf", "Panel", "press it", "P"},
    {"Shelf", "Take a jar away", "", "Delete"},

    {"Slips", "Row by row", "", "↑ ↓"},
    {"Slips", "A step more or less", "", "← →  Shift larger"},
    {"Slips", "Type a value", "press it", "Enter"},
    {"Slips", "Put away, leave as it was", "the cross", "Esc"},

    {"Sheets", "Face, depth … section", "press one", "1 – 6"},
    {"Sheets", "Several at once", "Ctrl and press", "Ctrl 1 – 6"},
    {"Sheets", "Peel", "drag the fold, or wheel", "−  ="},
    {"Sheets", "Ends of the section", "drag A or B", "A  B, then arrows"},
    {"Sheets", "Least wanted", "the dipstick's knob", "D, then arrows"},

    {"Side by side", "Thin, usual, thick", "press the words", "T  Shift T volumes"},
    {"Side by side", "Copy of the plan beside it", "", "Ctrl+D"},
    {"Side by side", "From one to the next", "press one", "← →"},
    {"Side by side", "Put it on the bench", "press the words", "Enter"},
    {"Side by side", "Take away", "", "Delete"},

    {"Window of plans", "From tile to tile", "point at one", "arrows, Shift five"},
    {"Window of plans", "Make it the plan", "press it, or drag the pin", "Enter"},
    {"Window of plans", "What must hold", "drag its knob", "Tab, then ← → or Enter"},
    {"Window of plans", "Ask for it no more", "drag it to its end", "Delete"},
    {"Window of plans", "What an axis is", "press its name", "X  Y"},
    {"Window of plans", "Faces along the row, the column", "press the words", "F"},
    {"Window of plans", "The least volume", "press the words", "V, Esc stops"},
    {"Window of plans", "The odds that it works", "press the words", "O, Esc stops"},

    {"Views", "Bench, side by side, window", "press the word", "F6"},
    {"Views", "The panel turns, the reader stands", "", "R"},
    {"Views", "Light or dark room", "", "L"},
    {"Views", "Sheen of wet paint", "", "G"},
    {"Views", "ml or fl oz", "", "U"},
    {"Views", "Less motion", "", "M"},
    {"Views", "Fill the screen", "", "F11"},

    {"Plans", "Open", "drop a file on the window", "Ctrl+O"},
    {"Plans", "Save; save elsewhere", "", "Ctrl+S  Ctrl+Shift+S"},
    {"Plans", "Picture of what is shown", "", "Ctrl+E"},
    {"Plans", "An empty bench", "", "Ctrl+N"},
    {"Plans", "A bench left unsaved, back again", "", "Ctrl+R"},
    {"Plans", "Undo; do again", "press the words", "Ctrl+Z  Ctrl+Shift+Z"},
    {"Plans", "Leave", "", "Ctrl+Q"},

    {"Getting about", "All keys", "press the words", "F1"},
    {"Getting about", "Warnings, the usual cautions", "press them at the top, or on F1", "F1 F1"},
    {"Getting about", "Shelf, bench, level, sheets, clock", "", "Tab  Shift+Tab"},
    {"Getting about", "One after the other", "press one", "Page Up  Page Down"},
};

#define COUNT ((int)(sizeof rows / sizeof *rows))

const rv_keys_row *keys_table(int *count)
{
    *count = COUNT;
    return rows;
}

char *keys_markdown(void)
{
    rn_memory_stream memory;
    if (!rn_memory_stream_open(&memory))
        return NULL;
    FILE *out = memory.stream;
    for (int k = 0; k < COUNT; k++) {
        if (k == 0 || strcmp(rows[k].section, rows[k - 1].section) != 0)
            fprintf(out, "%s**%s**\n\n| what | mouse | keys |\n|---|---|---|\n", k ? "\n" : "", rows[k].section);
        fprintf(out, "| %s | %s | %s |\n", rows[k].what, rows[k].mouse[0] ? rows[k].mouse : "–",
                rows[k].keys[0] ? rows[k].keys : "–");
    }
    return rn_memory_stream_close(&memory, NULL);
}

/* ---- the page ---- */

static bool begins_section(int row)
{
    return row == 0 || strcmp(rows[row].section, rows[row - 1].section) != 0;
}

static double height_of(int row)
{
    return ROW + (rows[row].mouse[0] ? SECOND : 0);
}

/* Fills columns from a row on; the first row that finds no room. Drawn only with a canvas to draw on. */
static int fill(rv_canvas *canvas, bool draw, rn_box page, int columns, int from);

static void draw_section(rv_canvas *canvas, double x, double y, double width, const char *section)
{
    canvas_words(canvas, x, y, (rn_letters){.size = 13, .lettering = RN_LETTERS_HEAD, .role = RN_ROLE_INK}, width,
                 section);
    rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1.2, x, y + 7, x + width, y + 7);
}

static void draw_row(rv_canvas *canvas, double x, double y, double width, const rv_keys_row *row)
{
    const rn_letters keys = {.size = 12.5, .bold = true, .align = 1, .role = RN_ROLE_INK};
    const rn_letters what = {.size = 12.5, .role = RN_ROLE_INK};
    const rn_letters mouse = {.size = 11.5, .role = RN_ROLE_INK2};
    const double longer = canvas->pen.longer;
    canvas->pen.longer = 0; /* keys are called so in any language */
    const double taken = rn_pen_measure(&canvas->pen, 0, 0, keys, row->keys).width;
    canvas_words(canvas, x + width, y, keys, width, row->keys);
    canvas->pen.longer = longer;
    canvas_words(canvas, x, y, what, width - taken - 10, row->what);
    if (row->mouse[0])
        canvas_words(canvas, x, y + SECOND, mouse, width, row->mouse);
}

static int fill(rv_canvas *canvas, bool draw, rn_box page, int columns, int from)
{
    const double width = (page.width - (columns - 1) * COLUMN_GAP) / columns;
    int row = from;
    for (int column = 0; column < columns && row < COUNT; column++) {
        const double x = page.x + column * (width + COLUMN_GAP);
        double y = page.y;
        for (bool top = true; row < COUNT; top = false) {
            const bool headed = begins_section(row) || top;
            const double head = headed ? HEAD - (top ? 14 : 0) : 0;
            if (y + head + height_of(row) > page.y + page.height)
                break;
            if (draw && headed)
                draw_section(canvas, x, y + head - 15, width, rows[row].section);
            y += head;
            if (draw)
                draw_row(canvas, x, y + 14, width, &rows[row]);
            y += height_of(row++);
        }
    }
    return row;
}

void keys_draw(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const double width = fmin(at->width - 2 * at->margin, 1400), high = at->height - 32;
    const int columns = (int)fmax(1, floor((width - 2 * PAD + COLUMN_GAP) / (COLUMN_LEAST + COLUMN_GAP)));
    rn_box box = {0.5 * (at->width - width), 14, width, high};
    rn_box page = {box.x + PAD, box.y + 56, width - 2 * PAD, high - 56 - PAPER_CHOICE_HEIGHT - 34};
    int most = 0;
    while (most < COUNT && fill(canvas, false, page, columns, most) < COUNT)
        most++;
    canvas->handles->scroll_most = most;
    const int from = canvas->view->cover_scroll < most ? canvas->view->cover_scroll : most;
    if (most == 0) { /* no taller than needed, columns alike */
        while (page.height > 200 &&
               fill(canvas, false, (rn_box){page.x, page.y, page.width, page.height - 8}, columns, 0) == COUNT)
            page.height -= 8;
        box.height = 56 + page.height + PAPER_CHOICE_HEIGHT + 34;
        const double down = 0.4 * (at->height - 20 - box.height - box.y);
        box.y += down;
        page.y += down;
    }

    paper_dim(canvas);
    const bool dark = paper_lay(canvas, box, true);
    canvas_words(canvas, page.x, box.y + 38, (rn_letters){.size = 17, .bold = true, .role = RN_ROLE_INK},
                 0.6 * page.width, "All keys");
    canvas_words(canvas, page.x + page.width, box.y + 38, (rn_letters){.size = 12, .align = 1, .role = RN_ROLE_INK2},
                 0.5 * page.width, most > 0 ? "wheel or ↑ ↓ for more" : "brass is yours to move");
    const int last = fill(canvas, true, page, columns, from);
    canvas->handles->scroll_page = last - from;
    static const rv_paper_choice choices[] = {{PART_CHOICE, 0, "Back", "Esc", true, false},
                                              {PART_CHOICE, 1, "The usual cautions", "F1", false, false}};
    const double foot = box.y + box.height - 20 - PAPER_CHOICE_HEIGHT;
    paper_choices(canvas, page.x, foot, page.width - 110, choices, 2, true);
    if (most > 0) {
        char text[64];
        snprintf(text, sizeof text, "%d – %d of %d", from + 1, last, COUNT);
        canvas_words(canvas, page.x + page.width, foot + 21, (rn_letters){.size = 12, .align = 1, .role = RN_ROLE_INK2},
                     200, text);
    }
    paper_done(canvas, dark);
}
