/* A plan that was not opened: what is wrong with it, line by line, each with its mend; and the whole of its text. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "mend_span.h"
#include "outcome.h"
#include "paper.h"
#include "parts.h"

#define WIDTH 720.0
#define PAD 28.0
#define MONO 13.0
#define ROW 22.0
#define GAP 26.0 /* between one error and the next */
#define LINE_SIZE 400

/* Whether no line has two errors, so that errors can be told as lines. */
static bool one_a_line(const rv_mend *mend)
{
    for (int k = 1; k < mend->count; k++) /* they stand in order */
        if (mend->lines[k].line == mend->lines[k - 1].line)
            return false;
    return true;
}

/* The sentence where the outcome stood. */
static void draw_head(rv_canvas *canvas)
{
    const rv_mend *mend = &canvas->view->mend;
    rv_phrase phrases[3] = {{.has_tile = true, .tile = TILE_REFUSED, .role = RN_ROLE_SHORT},
                            {.role = RN_ROLE_INK, .keep = 2},
                            {.role = RN_ROLE_INK2, .keep = 1}};
    snprintf(phrases[0].strong, PHRASE_SIZE, "%.80s was not opened.", mend->name);
    snprintf(phrases[1].lead, PHRASE_SIZE, "The bench is as you left it.");
    snprintf(phrases[2].lead, PHRASE_SIZE, "%d %s%s to mend", mend->count, one_a_line(mend) ? "line" : "place",
             mend->count == 1 ? "" : "s");
    rn_box box = canvas->at.outcome;
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_rectangle(canvas->pen.cr, box.x - 4, 0, box.width + 8, box.height);
    cairo_fill(canvas->pen.cr);
    outcome_set(canvas, box, phrases, mend->count > 0 ? 3 : 2);
}

/* ---- lines of the file ---- */

/* The text of a file is the painter's own: no longer in any language. */
static double quiet_pen(rv_canvas *canvas)
{
    const double longer = canvas->pen.longer;
    canvas->pen.longer = 0;
    return longer;
}

static double mono_advance(rv_canvas *canvas)
{
    const rn_letters letters = {.size = MONO, .lettering = RN_LETTERS_MONO};
    return (rn_pen_measure(&canvas->pen, 0, 0, letters, "00000000000").width -
            rn_pen_measure(&canvas->pen, 0, 0, letters, "0").width) /
           10;
}

static bool begins_letter(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

/* Letters up to so many bytes. */
static int letters_of(const char *text, long bytes)
{
    int count = 0;
    for (long k = 0; k < bytes && text[k]; k++)
        count += begins_letter(text[k]);
    return count;
}

/* The letters first..first + most of a line, tabs shown as arrows. */
static void part_of_line(char part[LINE_SIZE], const char *text, long length, int first, int most)
{
    int letter = -1;
    size_t used = 0;
    for (long k = 0; k < length && used + 8 < LINE_SIZE; k++) {
        letter += begins_letter(text[k]);
        if (letter < first || letter >= first + most)
            continue;
        if (text[k] == '\t')
            used += (size_t)snprintf(part + used, LINE_SIZE - used, "→");
        else
            part[used++] = text[k];
    }
    part[used] = '\0';
}

/* What is wrong in a line of the file, as letters of the line. */
typedef struct fault {
    int from, to;
} fault;

static fault fault_of(const rv_mend *mend, const rv_mend_line *wrong, rv_span line)
{
    const char *text = mend->text + line.at;
    const long from = wrong->column - 1 < line.length ? wrong->column - 1 : line.length;
    const long to = from + wrong->length < line.length ? from + wrong->length : line.length;
    const fault found = {letters_of(text, from), letters_of(text, to)};
    return (fault){found.from, found.to > found.from ? found.to : found.from + 1};
}

/* A line with its number and what is wrong in it, `which` more than the others; y: its baseline. shift: so many letters are
   left out at its beginning. */
static void draw_line(rv_canvas *canvas, rn_box box, double y, int number, rv_span line, int which, int shift)
{
    const rv_mend *mend = &canvas->view->mend;
    char digits[16], part[LINE_SIZE];
    const double advance = mono_advance(canvas), left = box.x + 58;
    const int most = (int)((box.x + box.width - 10 - left) / advance);
    bool bad = false;
    for (int k = 0; k < mend->count; k++) {
        if (mend->lines[k].line != number)
            continue;
        bad = true;
        const fault wrong = fault_of(mend, &mend->lines[k], line);
        const double from = left + fmax(wrong.from - shift, 0) * advance;
        const double to = left + fmin(wrong.to - shift, most) * advance;
        if (to > from)
            rn_pen_line(&canvas->pen, RN_ROLE_SHORT, which < 0 || which == k ? 2 : 1, from + 1, y + 5, to - 1, y + 5);
    }
    rn_letters letters = {.size = 11.5, .lettering = RN_LETTERS_MONO, .align = 1, .role = RN_ROLE_INK2};
    letters.role = bad ? RN_ROLE_INK : RN_ROLE_INK2;
    snprintf(digits, sizeof digits, "%d", number);
    rn_pen_text(&canvas->pen, box.x + 38, y, letters, digits);
    letters.size = MONO;
    letters.align = 0;
    letters.most = box.x + box.width - left;
    part_of_line(part, mend->text + line.at, line.length, shift, most);
    if (part[0])
        rn_pen_text(&canvas->pen, left, y, letters, part);
    if (!bad || (which >= 0 && mend->lines[which].line != number))
        return;
    rn_pen_use(&canvas->pen, RN_ROLE_SHORT);
    cairo_rectangle(canvas->pen.cr, box.x, y - 15, 4, ROW - 1);
    cairo_fill(canvas->pen.cr);
}

/* ---- one error ---- */

static rv_span line_at(const rv_mend *mend, int number)
{
    const long at = span_place(mend->text, number, 1);
    return at < 0 ? (rv_span){(long)strlen(mend->text), 0} : span_line(mend->text, at);
}

static void plain_ground(rv_canvas *canvas, rn_box box)
{
    cairo_set_source_rgb(canvas->pen.cr, 0xF1 / 255.0, 0xF1 / 255.0, 0xF1 / 255.0);
    cairo_rectangle(canvas->pen.cr, box.x, box.y, box.width, box.height);
    cairo_fill(canvas->pen.cr);
}

static void draw_lines(rv_canvas *canvas, rn_box box, int first, int last, int which)
{
    const rv_mend *mend = &canvas->view->mend;
    const double longer = quiet_pen(canvas);
    plain_ground(canvas, box);
    const int most = (int)((box.width - 68) / mono_advance(canvas)), about = mend->lines[which].line;
    const fault wrong = fault_of(mend, &mend->lines[which], line_at(mend, about));
    int shift = wrong.to > most ? wrong.to - most + 2 : 0; /* a long line moves so far that the fault is seen */
    if (shift > wrong.from)
        shift = wrong.from;
    for (int number = first; number <= last; number++)
        draw_line(canvas, box, box.y + 18 + ROW * (number - first), number, line_at(mend, number), which, shift);
    canvas->pen.longer = longer;
}

static void sentence_of(char text[MEND_TEXT + 40], const rv_mend_line *line)
{
    snprintf(text, MEND_TEXT + 40, "Line %d: %s.", line->line, line->what);
}

/* Draws one error, or only measures it; the height it takes. */
static double one_error(rv_canvas *canvas, double x, double y, double width, int which, bool draw)
{
    const rv_mend *mend = &canvas->view->mend;
    const rv_mend_line *line = &mend->lines[which];
    const bool whole = mend_whole(mend);
    const int first = line->line > 1 ? line->line - 1 : 1;
    const int last = line->line < mend->line_count ? line->line + 1 : mend->line_count;
    const rn_box box = {x, y, width, 12 + ROW * (last - first + 1)};
    if (draw)
        draw_lines(canvas, box, first, last, which);
    char text[MEND_TEXT + 40], key[16], offer[MEND_TEXT + 20];
    snprintf(key, sizeof key, "%d", which + 1);
    const rv_paper_choice choice = {PART_MEND, which, line->offer, which < 9 ? key : NULL, false, line->taken};
    double choice_width = whole ? fmin(paper_choice_width(canvas, &choice, 13.5), 0.45 * width) : 0;
    double foot = box.y + box.height;
    const double room = width - 4 - (choice_width > 0 ? choice_width + 16 : 0);
    if (whole && draw)
        paper_choice(canvas, x + width - choice_width, foot + 10, choice_width, &choice);
    sentence_of(text, line);
    const rn_letters bold = {.size = 13.5, .bold = true, .role = RN_ROLE_INK};
    const rn_letters quiet = {.size = 12.5, .role = RN_ROLE_INK2};
    double down = foot + 22;
    down += paper_words(canvas, x + 4, down, bold, room, 3, text, draw);
    if (line->wanted[0]) {
        snprintf(text, sizeof text, "Wanted: %s.", line->wanted);
        down += 19;
        down += paper_words(canvas, x + 4, down, quiet, room, 3, text, draw);
    }
    if (!whole && line->mendable) {
        snprintf(offer, sizeof offer, "A mend: %s.", line->offer);
        down += 19;
        down += paper_words(canvas, x + 4, down, quiet, room, 2, offer, draw);
    }
    return fmax(down + 8, whole ? foot + 10 + PAPER_CHOICE_HEIGHT : 0) - y;
}

/* ---- the sheet ---- */

static int choices_of(rv_paper_choice choices[3], char first[64], const rv_mend *mend)
{
    int count = 0;
    if (!mend_whole(mend))
        snprintf(first, 64, "Look again");
    else if (mend->count == 0)
        snprintf(first, 64, "Open it");
    else if (mend->count == 1)
        snprintf(first, 64, "Mend it and open");
    else if (mend->count == 2)
        snprintf(first, 64, "Mend both and open");
    else
        snprintf(first, 64, "Mend all %d and open", mend->count);
    choices[count++] = (rv_paper_choice){PART_CHOICE, 0, first, "Enter", true, false};
    if (mend->text)
        choices[count++] = (rv_paper_choice){PART_CHOICE, 1, "Show the file", "F4", false, false};
    choices[count++] = (rv_paper_choice){PART_CHOICE, 2, "Keep the bench", "Esc", false, false};
    return count;
}

static void title_of(char title[160], char note[720], const rv_mend *mend)
{
    static const char *const words[] = {"No",    "One",   "Two",  "Three", "Four",   "Five",  "Six",
                                        "Seven", "Eight", "Nine", "Ten",   "Eleven", "Twelve"};
    char count[16];
    snprintf(count, sizeof count, "%d", mend->count);
    if (!mend->text) {
        snprintf(title, 160, "This file cannot be opened");
        snprintf(note, 720, "%s. %s Nothing on the bench has changed.", mend->name, mend->trouble);
        return;
    }
    if (mend->count == 0)
        snprintf(title, 160, "This plan can be read now");
    else if (mend->count == 1)
        snprintf(title, 160, "One line of this plan cannot be poured");
    else
        snprintf(title, 160, "%s%s of this plan cannot be poured", mend->count <= 12 ? words[mend->count] : count,
                 one_a_line(mend) ? " lines" : " places");
    snprintf(note, 720, "%s, %d line%s. Nothing on the bench has changed.%s", mend->name, mend->line_count,
             mend->line_count == 1 ? "" : "s",
             mend_whole(mend) ? "" : " Put the file right and look again; more may show then.");
}

/* Whether there is more above or below: in words, and as a pair of points. */
static void draw_more(rv_canvas *canvas, double right, double y, int above, int below)
{
    char text[80];
    if (above > 0 && below > 0)
        snprintf(text, sizeof text, "↑ %d more · %d more ↓", above, below);
    else if (above + below > 0)
        snprintf(text, sizeof text, above > 0 ? "↑ %d more" : "%d more ↓", above + below);
    else
        return;
    canvas_words(canvas, right, y, (rn_letters){.size = 12, .align = 1, .role = RN_ROLE_INK2}, 200, text);
}

/* How many errors, from one on, find room; the height they take. */
static int fit_errors(double *height, rv_canvas *canvas, double x, double width, int from, double most)
{
    const int count = canvas->view->mend.count;
    int shown = 0;
    *height = 0;
    for (int k = from; k < count; k++) {
        const double own = one_error(canvas, x, 0, width, k, false) + (shown ? GAP : 0);
        if (shown && *height + own > most)
            break;
        *height += own;
        shown++;
    }
    return shown;
}

static void draw_mends(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_mend *mend = &canvas->view->mend;
    rv_paper_choice choices[3];
    char first_words[64], title[160], note[720];
    const double width = fmin(WIDTH, at->width - 2 * at->margin - 40), inner = width - 2 * PAD;
    const double x = 0.5 * (at->width - width), left = x + PAD;
    const int choice_count = choices_of(choices, first_words, mend);
    title_of(title, note, mend);
    const rn_letters quiet = {.size = 12.5, .role = RN_ROLE_INK2};
    const double note_depth = paper_words(canvas, left + 28, 0, quiet, inner - 28, 2, note, false);
    const double buttons = paper_choices(canvas, left, 0, inner, choices, choice_count, false);
    const double head = 70 + note_depth + 20, feet = 26 + buttons + 22, top = at->top.height + 22;
    const double most = at->height - top - 24 - head - feet;
    double height;
    int from = canvas->view->cover_scroll, scroll = 0;
    while (scroll < mend->count && scroll + fit_errors(&height, canvas, left, inner, scroll, most) < mend->count)
        scroll++;
    canvas->handles->scroll_most = scroll;
    from = from < scroll ? from : scroll;
    const int shown = fit_errors(&height, canvas, left, inner, from, most);
    const rn_box box = {x, fmax(top, 0.5 * (at->height - head - height - feet) - 60), width, head + height + feet};

    const bool dark = paper_lay(canvas, box, true);
    canvas_tile(canvas, left + 8, box.y + 42, mend->text && mend->count == 0 ? TILE_COVERED : TILE_REFUSED, 0);
    paper_words(canvas, left + 28, box.y + 48, (rn_letters){.size = 17, .bold = true, .role = RN_ROLE_INK}, inner - 28,
                1, title, true);
    paper_words(canvas, left + 28, box.y + 70, quiet, inner - 28, 2, note, true);
    double y = box.y + head;
    for (int k = from; k < from + shown; k++)
        y += one_error(canvas, left, y, inner, k, true) + GAP;
    const double rule = box.y + head + height + 13;
    rn_pen_line(&canvas->pen, RN_ROLE_HAIR, 1.4, left, rule, left + inner, rule);
    paper_choices(canvas, left, rule + 13, inner, choices, choice_count, true);
    draw_more(canvas, left + inner, box.y + 48, from, mend->count - from - shown);
    paper_done(canvas, dark);
}

static void draw_file(rv_canvas *canvas)
{
    const rv_layout *at = &canvas->at;
    const rv_mend *mend = &canvas->view->mend;
    const double width = fmin(900, at->width - 2 * at->margin), top = at->top.height + 18;
    const rn_box box = {0.5 * (at->width - width), top, width, at->height - top - 22};
    const double left = box.x + PAD, inner = width - 2 * PAD;
    const bool dark = paper_lay(canvas, box, true);
    char note[400];
    canvas_words(canvas, left, box.y + 40, (rn_letters){.size = 15.5, .bold = true, .role = RN_ROLE_INK}, 0.6 * inner,
                 mend->name);
    const rv_paper_choice back = {PART_CHOICE, 0, "Back to the mends", "Esc", true, false};
    const double foot = box.y + box.height - 22 - PAPER_CHOICE_HEIGHT;
    const rn_box page = {left, box.y + 58, inner, foot - 16 - box.y - 58};
    const int rows = (int)((page.height - 10) / ROW), most = mend->line_count > rows ? mend->line_count - rows : 0;
    const int from = canvas->view->cover_scroll < most ? canvas->view->cover_scroll : most;
    canvas->handles->scroll_most = most;
    plain_ground(canvas, page);
    const double longer = quiet_pen(canvas);
    long place = span_place(mend->text, from + 1, 1);
    for (int k = 0; k < rows && from + k < mend->line_count && place >= 0; k++) {
        const rv_span line = span_line(mend->text, place);
        draw_line(canvas, page, page.y + 20 + ROW * k, from + k + 1, line, -1, 0);
        place = line.at + line.length;
        place += mend->text[place] == '\r' && mend->text[place + 1] == '\n' ? 2 : mend->text[place] != '\0';
    }
    canvas->pen.longer = longer;
    const int last = from + rows < mend->line_count ? from + rows : mend->line_count;
    snprintf(note, sizeof note, "lines %d to %d of %d", from + 1, last, mend->line_count);
    canvas_words(canvas, left + inner, box.y + 40, (rn_letters){.size = 12.5, .align = 1, .role = RN_ROLE_INK2},
                 0.38 * inner, note);
    paper_choices(canvas, left, foot, inner, &back, 1, true);
    paper_done(canvas, dark);
}

void mend_draw(rv_canvas *canvas)
{
    paper_dim(canvas);
    draw_head(canvas);
    if (canvas->view->cover == COVER_FILE && canvas->view->mend.text)
        draw_file(canvas);
    else
        draw_mends(canvas);
}
