#include <math.h>
#include <stdio.h>

#include "show/odds_parts.h"
#include "show/report_odds.h"

#define HEAD 52.0
#define ROW 24.0
#define NAME 300.0 /* width of the names with their doubts */
#define FIGURE 56.0

double rn_odds_matter_height(const rn_odds *odds)
{
    return HEAD + ROW * odds->reading_count;
}

static void draw_bar(rn_pen *pen, rn_box row, double rank, double noise)
{
    const double middle = row.x + 0.5 * row.width, length = 0.5 * row.width * rank;
    cairo_t *cr = pen->cr;
    cairo_new_path(cr);
    cairo_rectangle(cr, fmin(middle, middle + length), row.y - 11.0, fabs(length), 13.0);
    rn_pen_use(pen, RN_ROLE_GLASS);
    if (fabs(rank) > noise) {
        cairo_fill(cr);
    } else {
        cairo_set_line_width(cr, 1.0);
        cairo_stroke(cr);
    }
}

static void write_name(rn_pen *pen, double x, double y, const rn_odds *odds, int r)
{
    char text[2 * RN_DOUBT_PATH], doubt[60];
    const rn_doubt *of = &odds->doubts.items[odds->readings[r].doubt];
    rn_doubt_text(doubt, sizeof doubt, of);
    snprintf(text, sizeof text, "%s  \u00b1%s", odds->readings[r].name, doubt + 2);
    rn_pen_text(pen, x, y, (rn_letters){.size = 13.0, .role = RN_ROLE_INK, .most = NAME - 12.0}, text);
}

void rn_odds_draw_matter(rn_pen *pen, rn_box box, const rn_odds *odds)
{
    static const double nothing[RN_READINGS_MOST];
    char wanted[RN_JUDGE_SIZE] = "", text[RN_JUDGE_SIZE + 120];
    const rn_letters plain = {.size = 13.0, .role = RN_ROLE_INK2, .most = box.width};
    rn_pen_text(pen, box.x, box.y + 12.0, (rn_letters){.size = 15.0, .role = RN_ROLE_INK, .bold = true},
                "What matters");
    const double *ranks = odds->tightest >= 0 ? odds->demand_ranks[odds->tightest] : nothing;
    int order[RN_READINGS_MOST];
    rn_report_odds_order(order, ranks, odds);
    if (odds->tightest >= 0)
        rn_goal_wanted(wanted, &odds->goal.demands[odds->tightest]);
    if (odds->tightest < 0)
        snprintf(text, sizeof text, "Too little was worked out to tell.");
    else if (isnan(ranks[order[0]]))
        snprintf(text, sizeof text, "For %s nothing tells, as it is the same in all draws.", wanted);
    else
        snprintf(text, sizeof text,
                 "For %s: more of it makes that greater (right) or less (left). Hollow: no more than chance would do.",
                 wanted);
    rn_pen_text(pen, box.x, box.y + 31.0, plain, text);
    const rn_box bars = {box.x + NAME, 0, box.width - NAME - FIGURE, 0};
    for (int i = 0; i < odds->reading_count; i++) {
        const double rank = ranks[order[i]], y = box.y + HEAD + ROW * i + 14.0;
        write_name(pen, box.x, y, odds, order[i]);
        if (isnan(rank) || odds->tightest < 0)
            continue;
        draw_bar(pen, (rn_box){bars.x, y, bars.width, ROW}, rank, odds->noise);
        snprintf(text, sizeof text, "%s%.2f", fabs(rank) < 0.005 ? "" : rank < 0 ? "\u2212" : "+", fabs(rank));
        rn_pen_text(pen, box.x + box.width, y, (rn_letters){.size = 13.0, .role = RN_ROLE_INK2, .align = 1.0}, text);
    }
    const double foot = box.y + HEAD + ROW * odds->reading_count, middle = bars.x + 0.5 * bars.width;
    rn_pen_line(pen, RN_ROLE_LINE, 1.2, middle, box.y + HEAD - 4.0, middle, foot);
}
