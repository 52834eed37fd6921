#include "show/odds_page.h"

#include <math.h>
#include <stdio.h>

#include "show/leaf.h"
#include "show/odds_parts.h"
#include "show/report_odds.h"

#define MARGIN 24.0
#define GUTTER 52.0
#define LEFT 380.0 /* width of the drops */
#define DROPS 640.0
#define MATTER_GAP 40.0
#define FOOT 34.0

static const double text_width = RN_ODDS_PAGE_WIDTH - 2.0 * MARGIN;

static rn_letters headline_letters(void)
{
    return (rn_letters){.size = 22.0, .role = RN_ROLE_INK, .bold = true, .most = text_width, .lines = 2};
}

/* Where the figures begin. */
static double head_foot(rn_pen *pen, const rn_odds_page *page)
{
    char text[RN_REPORT_ODDS_SIZE];
    rn_report_odds_headline(text, page->odds);
    return MARGIN + 44.0 + rn_pen_depth(pen, headline_letters(), text) + 34.0;
}

/* The parts stand on the right one above the other, where the drops leave them room. */
static double body_height(const rn_odds *odds)
{
    return fmax(DROPS, rn_odds_spreads_height(odds) + MATTER_GAP + rn_odds_matter_height(odds));
}

double rn_odds_page_height(rn_pen *pen, const rn_odds_page *page)
{
    return head_foot(pen, page) + body_height(page->odds) + FOOT + MARGIN;
}

static void write_foot(rn_pen *pen, double height, const rn_odds *odds)
{
    char text[300], there[RN_FIGURE_SIZE], on_fine[RN_FIGURE_SIZE], fine[160] = "";
    if (odds->fine.state == RN_OUTCOME_WHOLE && odds->own.state == RN_OUTCOME_WHOLE) {
        rn_report_odds_figure(there, RN_ODDS_COVERAGE, odds->own.coverage);
        rn_report_odds_figure(on_fine, RN_ODDS_COVERAGE, odds->fine.coverage);
        snprintf(fine, sizeof fine, " The plan as written is covered to %s there, to %s on %d cells.", there, on_fine,
                 odds->fine_cells);
    }
    snprintf(text, sizeof text,
             "%s draws, seed %llu, on %d cells along the longer side.%s \u00b1 is two standard deviations.",
             odds->even ? "Evenly spread" : "Independent", (unsigned long long)odds->seed, odds->cells, fine);
    rn_pen_text(pen, MARGIN, height - MARGIN, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .most = text_width},
                text);
}

void rn_odds_page_draw(rn_pen *pen, double height, const rn_odds_page *page)
{
    const rn_odds *odds = page->odds;
    const double top = head_foot(pen, page), right = MARGIN + LEFT + GUTTER;
    const double width = RN_ODDS_PAGE_WIDTH - MARGIN - right, spreads = rn_odds_spreads_height(odds);
    char text[RN_REPORT_ODDS_SIZE];
    if (page->title && page->title[0])
        rn_pen_text(pen, MARGIN, MARGIN + 12.0, (rn_letters){.size = 14.5, .role = RN_ROLE_INK2, .most = text_width},
                    page->title);
    rn_report_odds_headline(text, odds);
    rn_pen_text(pen, MARGIN, MARGIN + 44.0, headline_letters(), text);
    rn_odds_draw_drops(pen, (rn_box){MARGIN, top, LEFT, DROPS}, odds);
    rn_odds_draw_spreads(pen, (rn_box){right, top, width, spreads}, odds);
    rn_odds_draw_matter(pen, (rn_box){right, top + spreads + MATTER_GAP, width, rn_odds_matter_height(odds)}, odds);
    write_foot(pen, height, odds);
}

static double leaf_height(rn_pen *pen, const void *matter)
{
    return rn_odds_page_height(pen, matter);
}

static bool leaf_draw(rn_pen *pen, double height, const void *matter)
{
    rn_odds_page_draw(pen, height, matter);
    return true;
}

rn_status rn_odds_page_write(const char *path, FILE *standard, const rn_odds *odds, const char *title,
                             rn_figure_options options, rn_error *err)
{
    const rn_odds_page page = {odds, title};
    const rn_leaf leaf = {title ? title : "", RN_ODDS_PAGE_WIDTH, &page, leaf_height, leaf_draw};
    return rn_leaf_write(path, standard, &leaf, options, err);
}
