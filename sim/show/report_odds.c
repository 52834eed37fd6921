#include "show/report_odds.h"

#include <math.h>
#include <string.h>

#define MANY 400 /* draws from which on a chance has a digit more */
#define HALF_BAR 10
#define CELL "%-9s "

/* ---- pieces ---- */

/* To a thousandth of the unit it is written in: finer, no run can tell, and the columns have no room. */
static double no_finer(double value, rn_dimension dimension)
{
    const rn_unit *unit = rn_units_own(dimension);
    const double least = 1e-3 * (unit ? unit->factor : 1);
    return round(value / least) * least;
}

void rn_report_odds_figure(char text[RN_FIGURE_SIZE], rn_odds_figure figure, double value)
{
    const rn_dimension dimension = rn_odds_figure_dimension(figure);
    if (isnan(value))
        snprintf(text, RN_FIGURE_SIZE, "-");
    else if (isinf(value))
        snprintf(text, RN_FIGURE_SIZE, "never");
    else
        rn_units_round(text, RN_FIGURE_SIZE, no_finer(value, dimension), dimension, NULL,
                       figure == RN_ODDS_COVERAGE ? 4
                       : figure == RN_ODDS_TWIST  ? 2
                                                  : 3);
}

void rn_report_odds_reading(char text[RN_FIGURE_SIZE], const rn_reading *reading, double value)
{
    char plain[RN_FIGURE_SIZE - 2];
    rn_units_round(plain, sizeof plain, value, reading->dimension, NULL, 4);
    snprintf(text, RN_FIGURE_SIZE, "%s%s", reading->change && value > 0 ? "+" : "", plain);
}

static void write_share(char text[RN_FIGURE_SIZE], double share, const rn_odds *odds)
{
    snprintf(text, RN_FIGURE_SIZE, "%.*f %%", odds->done >= MANY ? 1 : 0, 100 * share);
}

int rn_report_odds_strongest(const double ranks[RN_READINGS_MOST], const rn_odds *odds)
{
    int found = -1;
    double most = odds->noise;
    for (int r = 0; r < odds->reading_count; r++)
        if (fabs(ranks[r]) > most) { /* false for NaN */
            most = fabs(ranks[r]);
            found = r;
        }
    return found;
}

void rn_report_odds_order(int order[RN_READINGS_MOST], const double ranks[RN_READINGS_MOST], const rn_odds *odds)
{
    for (int i = 0; i < odds->reading_count; i++) {
        int at = i;
        for (; at > 0 && !isnan(ranks[i]) && !(fabs(ranks[order[at - 1]]) >= fabs(ranks[i])); at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
}

void rn_report_odds_headline(char text[RN_REPORT_ODDS_SIZE], const rn_odds *odds)
{
    char from[RN_FIGURE_SIZE], to[RN_FIGURE_SIZE];
    const char *first = odds->done < odds->asked ? "the first " : "";
    int used;
    if (odds->done == 0) {
        snprintf(text, RN_REPORT_ODDS_SIZE, "Stopped before a draw was worked out.");
        return;
    }
    write_share(from, odds->interval.from, odds);
    write_share(to, odds->interval.to, odds);
    if (odds->even)
        used = snprintf(text, RN_REPORT_ODDS_SIZE, "In %d of %s%d draws, evenly spread, the goal is met.", odds->met,
                        first, odds->done);
    else
        used = snprintf(text, RN_REPORT_ODDS_SIZE, "In %d of %s%d draws the goal is met: %s to %s (%g %% confidence).",
                        odds->met, first, odds->done, from, to, 100 * RN_ODDS_SURE);
    if (odds->done < odds->asked)
        snprintf(text + used, RN_REPORT_ODDS_SIZE - (size_t)used, " Stopped before all %d were worked out.",
                 odds->asked);
}

/* The run that tells best of the plan as it is written; NULL: there is none. */
static const rn_outcome *best_own(const rn_odds *odds)
{
    if (odds->fine.state == RN_OUTCOME_WHOLE)
        return &odds->fine;
    return odds->own.state == RN_OUTCOME_WHOLE ? &odds->own : NULL;
}

/* ---- a screen ---- */

static void say_goal(rn_screen *page, const rn_odds *odds)
{
    char wanted[RN_JUDGE_SIZE], figure[RN_JUDGE_SIZE];
    const rn_outcome *own = best_own(odds);
    const int widest = rn_search_widest(&odds->goal);
    for (int i = 0; i < odds->goal.count; i++) {
        rn_goal_wanted(wanted, &odds->goal.demands[i]);
        if (own)
            rn_goal_figure(figure, &odds->goal.demands[i], own);
        rn_screen_say(page, i == 0 ? "goal" : "", "%-*s  missed in %d%s%s", widest, wanted, odds->missed[i],
                      own ? "; as planned " : "", own ? figure : "");
    }
}

static void say_failed(rn_screen *page, const rn_odds *odds)
{
    int shown = -1;
    for (int k = 0; k < odds->done && shown < 0; k++)
        if (odds->draws[k].outcome.state != RN_OUTCOME_WHOLE)
            shown = k;
    if (shown >= 0)
        rn_screen_say(page, "failed", "%d draws could not be worked out and count as missed; draw %d: %s", odds->failed,
                      shown + 1, odds->draws[shown].outcome.why);
}

static const char *own_verdict(const rn_odds *odds, const rn_outcome *outcome)
{
    if (outcome->state == RN_OUTCOME_FAILED)
        return "could not be worked out";
    if (outcome->state == RN_OUTCOME_NONE)
        return "was not worked out yet";
    return rn_goal_judge(&odds->goal, outcome).met ? "meets the goal" : "misses the goal";
}

/* The plan's own runs say how far the draws' grid can be trusted. */
static void say_grids(rn_screen *page, const rn_odds *odds)
{
    const char *coarse = own_verdict(odds, &odds->own), *fine = own_verdict(odds, &odds->fine);
    if (odds->fine_cells == 0) {
        rn_screen_say(page, "grid", "%d cells along the longer side; there the plan as written %s", odds->cells,
                      coarse);
        return;
    }
    if (strcmp(coarse, fine) == 0)
        rn_screen_say(page, "grids", "draws on %d cells along the longer side; there and on %d the plan as written %s",
                      odds->cells, odds->fine_cells, coarse);
    else
        rn_screen_say(page, "grids",
                      "draws on %d cells along the longer side; there the plan as written %s, on %d it %s", odds->cells,
                      coarse, odds->fine_cells, fine);
    if (odds->own.state != RN_OUTCOME_WHOLE || odds->fine.state != RN_OUTCOME_WHOLE)
        return;
    char a[RN_FIGURE_SIZE], b[RN_FIGURE_SIZE], c[RN_FIGURE_SIZE], d[RN_FIGURE_SIZE];
    rn_report_odds_figure(a, RN_ODDS_COVERAGE, odds->own.coverage);
    rn_report_odds_figure(b, RN_ODDS_COVERAGE, odds->fine.coverage);
    rn_report_odds_figure(c, RN_ODDS_RUN_OFF, odds->own.run_off);
    rn_report_odds_figure(d, RN_ODDS_RUN_OFF, odds->fine.run_off);
    rn_screen_say(page, "", "(coverage %s and %s, run-off %s and %s)", a, b, c, d);
}

static void say_spreads(rn_screen *page, const rn_odds *odds)
{
    rn_screen_say(page, "spread", "%-10s " CELL CELL CELL "%s", "", "5 %", "half", "95 %", "goes most with");
    for (int f = 0; f < RN_ODDS_FIGURES; f++) {
        const rn_spread *spread = &odds->spreads[f];
        char low[RN_FIGURE_SIZE], middle[RN_FIGURE_SIZE], high[RN_FIGURE_SIZE], with[40] = "";
        if (spread->count == 0)
            continue;
        const int strongest = rn_report_odds_strongest(odds->figure_ranks[f], odds);
        rn_report_odds_figure(low, (rn_odds_figure)f, spread->low);
        rn_report_odds_figure(middle, (rn_odds_figure)f, spread->middle);
        rn_report_odds_figure(high, (rn_odds_figure)f, spread->high);
        if (strongest >= 0)
            snprintf(with, sizeof with, "%+.2f %.19s", odds->figure_ranks[f][strongest],
                     odds->readings[strongest].name);
        rn_screen_say(page, "", "%-10s " CELL CELL CELL "%s", rn_odds_figure_name((rn_odds_figure)f), low, middle, high,
                      with);
    }
}

/* "   #####|          ": to the left where more of it means less. */
static void write_bar(char bar[2 * HALF_BAR + 2], double rank, double noise)
{
    const int length = (int)lround(fabs(rank) * HALF_BAR);
    memset(bar, ' ', 2 * HALF_BAR + 1);
    bar[2 * HALF_BAR + 1] = '\0';
    bar[HALF_BAR] = '|';
    for (int i = 1; i <= length; i++)
        bar[rank < 0 ? HALF_BAR - i : HALF_BAR + i] = fabs(rank) > noise ? '#' : '.';
}

static void say_what_matters(rn_screen *page, const rn_odds *odds)
{
    char wanted[RN_JUDGE_SIZE], bar[2 * HALF_BAR + 2];
    int order[RN_READINGS_MOST];
    if (odds->tightest < 0)
        return;
    const double *ranks = odds->demand_ranks[odds->tightest];
    rn_goal_wanted(wanted, &odds->goal.demands[odds->tightest]);
    rn_report_odds_order(order, ranks, odds);
    if (isnan(ranks[order[0]])) {
        rn_screen_say(page, "matters", "for %s: nothing tells, as it is the same in all draws", wanted);
        return;
    }
    rn_screen_say(page, "matters", "for %s: more of it makes that greater (right) or less (left)", wanted);
    for (int i = 0; i < odds->reading_count; i++) {
        const int r = order[i];
        if (isnan(ranks[r]))
            continue;
        write_bar(bar, ranks[r], odds->noise);
        rn_screen_say(page, "", "%-24s %s %+.2f", odds->readings[r].name, bar, ranks[r]);
    }
    rn_screen_say(page, "", "(rank correlation; dots: no more than chance would do, %.2f)", odds->noise);
}

void rn_report_odds_text(FILE *out, const rn_odds *odds, const rn_search_facts *facts)
{
    rn_screen page = {.out = out};
    char headline[RN_REPORT_ODDS_SIZE];
    rn_report_odds_headline(headline, odds);
    rn_screen_say(&page, NULL, "%s", headline);
    if (facts->title && facts->title[0])
        rn_screen_say(&page, "plan", "%s", facts->title);
    if (odds->done > 0) {
        say_goal(&page, odds);
        say_failed(&page, odds);
        if (odds->done > odds->failed) {
            say_spreads(&page, odds);
            say_what_matters(&page, odds);
        }
    }
    rn_search_say_doubts(&page, &odds->doubts);
    if (odds->even)
        rn_screen_say(&page, "draws", "%d of a Latin hypercube, seed %llu: no interval of the chance follows from such",
                      odds->asked, (unsigned long long)odds->seed);
    else
        rn_screen_say(&page, "draws", "%d, each for itself, seed %llu", odds->asked, (unsigned long long)odds->seed);
    say_grids(&page, odds);
    rn_search_say_facts(&page, facts);
}
