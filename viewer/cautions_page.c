/* The usual cautions, on paper: first what this plan itself is warned of, then the whole list. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "paper.h"
#include "parts.h"
#include "run/warn.h"
#include "show/cautions.h"

#define PAD 30.0
#define COLUMN_LEAST 330.0
#define COLUMN_MOST 430.0
#define COLUMN_GAP 36.0
#define HEAD 18.0 /* from a title to its text */
#define GAP 27.0  /* from the last line of one to the title of the next */
#define LINES 40  /* of one caution, at most */
#define ITEMS_MOST (RN_WARNINGS_MOST + 40)

typedef struct item {
    const char *title;
    char text[640];
    rn_role role; /* of the title */
    double high;  /* from its first baseline to its last, in a column */
} item;

typedef struct list {
    item items[ITEMS_MOST];
    int count;
} list;

static void add(list *to, rn_role role, const char *title, const char *text)
{
    if (to->count >= ITEMS_MOST)
        return;
    item *made = &to->items[to->count++];
    made->title = title;
    made->role = role;
    int used = 0;
    for (const char *c = text; *c && used < (int)sizeof made->text - 4; c++) {
        made->text[used++] = *c;
        if (*c == '/') { /* no line ends within m/s */
            memcpy(made->text + used, "\u2060", 3);
            used += 3;
        }
    }
    made->text[used] = '\0';
}

/* What is known before the plan is worked out is said at once; the rest when it is. */
static void add_plan(list *to, const rv_canvas *canvas)
{
    const rn_plan *plan = document_plan(canvas->view->doc);
    const rv_studio_tale *tale = canvas->shown[PLACE_BENCH].tale;
    char danger[RN_WARN_DANGER_SIZE], text[RN_WARN_DANGER_SIZE + 64];
    const bool dangerous = rn_warn_danger(danger, plan, plan->end);
    const bool known = tale && tale->version == document_version(canvas->view->doc) && tale->complete;
    if (dangerous && !known) {
        snprintf(text, sizeof text, "Danger: %s. Fasten, balance and guard it.", danger);
        add(to, RN_ROLE_SHORT, "This plan", text);
    }
    for (int k = 0; known && k < tale->forecast.warning_count; k++)
        add(to, dangerous && k == 0 ? RN_ROLE_SHORT : RN_ROLE_INK, k == 0 ? "This plan" : "",
            tale->forecast.warnings[k]);
}

static const rn_letters words_letters = {.size = 12.5, .role = RN_ROLE_INK2};

static double column_width(rn_box page, int columns)
{
    return (page.width - (columns - 1) * COLUMN_GAP) / columns;
}

/* Once for all: to set words in lines takes longest. */
static void measure(list *all, rv_canvas *canvas, double width)
{
    for (int k = 0; k < all->count; k++) {
        item *it = &all->items[k];
        it->high = (it->title[0] ? HEAD : 0) + paper_words(canvas, 0, 0, words_letters, width, LINES, it->text, false);
    }
}

/* Fills columns from an item on; the first that finds no room. Drawn only with a canvas to draw on. */
static int fill(rv_canvas *canvas, rn_box page, int columns, const list *all, int from)
{
    const double width = column_width(page, columns);
    int which = from;
    for (int column = 0; column < columns && which < all->count; column++) {
        const double x = page.x + column * (width + COLUMN_GAP);
        double y = page.y + 12; /* a baseline */
        for (bool top = true; which < all->count; top = false) {
            const item *it = &all->items[which];
            if (!top && y + it->high > page.y + page.height)
                break;
            if (canvas && it->title[0])
                canvas_words(canvas, x, y, (rn_letters){.size = 13, .bold = true, .role = it->role}, width, it->title);
            if (canvas)
                paper_words(canvas, x, y + (it->title[0] ? HEAD : 0), words_letters, width, LINES, it->text, true);
            y += it->high + GAP;
            which++;
        }
    }
    return which;
}

void cautions_draw(rv_canvas *canvas)
{
    static const rv_paper_choice choices[] = {{PART_CHOICE, 0, "Back", "Esc", true, false},
                                              {PART_CHOICE, 1, "All keys", "K", false, false}};
    const rv_layout *at = &canvas->at;
    list all = {.count = 0};
    add_plan(&all, canvas);
    for (int k = 0; k < rn_caution_count(); k++)
        add(&all, RN_ROLE_INK, rn_caution_at(k)->title, rn_caution_at(k)->text);

    const double width = fmin(at->width - 32, 3 * COLUMN_MOST + 2 * COLUMN_GAP + 2 * PAD), inner = width - 2 * PAD;
    const int columns = (int)fmax(1, floor((inner + COLUMN_GAP) / (COLUMN_LEAST + COLUMN_GAP)));
    const rn_letters quiet = {.size = 12.5, .role = RN_ROLE_INK};
    const double lead = paper_words(canvas, 0, 0, quiet, inner, 3, rn_caution_lead(), false);
    const double head = 66 + lead + 18, foot = PAPER_CHOICE_HEIGHT + 46;
    rn_box box = {0.5 * (at->width - width), 14, width, at->height - 32};
    rn_box page = {box.x + PAD, box.y + head, inner, box.height - head - foot};
    measure(&all, canvas, column_width(page, columns));
    int most = 0;
    while (most < all.count - 1 && fill(NULL, page, columns, &all, most) < all.count)
        most++;
    canvas->handles->scroll_most = most;
    const int from = canvas->view->cover_scroll < most ? canvas->view->cover_scroll : most;
    if (most == 0) { /* no taller than needed, columns alike */
        while (page.height > 100 &&
               fill(NULL, (rn_box){page.x, page.y, inner, page.height - 6}, columns, &all, 0) == all.count)
            page.height -= 6;
        box.height = head + page.height + foot;
        const double down = 0.4 * fmax(at->height - 20 - box.height - box.y, 0);
        box.y += down;
        page.y += down;
    }

    paper_dim(canvas);
    const bool dark = paper_lay(canvas, box, true);
    canvas_words(canvas, page.x, box.y + 38, (rn_letters){.size = 17, .bold = true, .role = RN_ROLE_INK}, 0.6 * inner,
                 "The usual cautions");
    paper_words(canvas, page.x, box.y + 62, quiet, inner, 3, rn_caution_lead(), true);
    const int last = fill(canvas, page, columns, &all, from);
    canvas->handles->scroll_page = last - from;
    const double choice = box.y + box.height - 20 - PAPER_CHOICE_HEIGHT;
    paper_choices(canvas, page.x, choice, 0.7 * inner, choices, 2, true);
    if (most > 0) {
        const rn_letters small = {.size = 12, .align = 1, .role = RN_ROLE_INK2};
        char text[64];
        canvas_words(canvas, page.x + inner, box.y + 38, small, 0.35 * inner, "wheel or ↑ ↓ for more");
        snprintf(text, sizeof text, "%d – %d of %d", from + 1, last, all.count);
        canvas_words(canvas, page.x + inner, choice + 21, small, 0.28 * inner, text);
    }
    paper_done(canvas, dark);
}
