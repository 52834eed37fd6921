#include "show/report_odds.h"

#include <math.h>
#include <string.h>

#include "search/doubt_target.h"
#include "show/json.h"

/* ---- JSON ---- */

static void put_ranks(FILE *out, const double ranks[RN_READINGS_MOST], const rn_odds *odds)
{
    fputs("\"ranks\": [", out);
    for (int r = 0; r < odds->reading_count; r++) {
        fputs(r ? ", " : "", out);
        rn_json_number(out, ranks[r]);
    }
    fputs("]", out);
}

static void put_goal(FILE *out, const rn_odds *odds)
{
    fputs("\"goal\": [", out);
    for (int i = 0; i < odds->goal.count; i++) {
        char wanted[RN_JUDGE_SIZE];
        rn_goal_wanted(wanted, &odds->goal.demands[i]);
        fputs(i ? ",\n    {" : "\n    {", out);
        rn_search_put_string(out, "wanted", wanted);
        fprintf(out, ", \"missed\": %d, ", odds->missed[i]);
        put_ranks(out, odds->demand_ranks[i], odds);
        fputs("}", out);
    }
    fputs("\n  ]", out);
}

static void put_spreads(FILE *out, const rn_odds *odds)
{
    fputs("\"spreads\": [", out);
    for (int f = 0; f < RN_ODDS_FIGURES; f++) {
        const rn_spread *spread = &odds->spreads[f];
        fputs(f ? ",\n    {" : "\n    {", out);
        rn_search_put_string(out, "of", rn_odds_figure_name((rn_odds_figure)f));
        fprintf(out, ", \"draws\": %d, \"never\": %d, ", spread->count, spread->never);
        rn_search_put_number(out, "low_si", spread->low);
        fputs(", ", out);
        rn_search_put_number(out, "middle_si", spread->middle);
        fputs(", ", out);
        rn_search_put_number(out, "high_si", spread->high);
        fputs(", ", out);
        put_ranks(out, odds->figure_ranks[f], odds);
        fputs("}", out);
    }
    fputs("\n  ]", out);
}

static void put_readings(FILE *out, const rn_odds *odds)
{
    fputs("\"readings\": [", out);
    for (int r = 0; r < odds->reading_count; r++) {
        fputs(r ? ", " : "", out);
        rn_json_string(out, odds->readings[r].name);
    }
    fputs("]", out);
}

static void put_own(FILE *out, const rn_odds *odds, const rn_outcome *outcome, int cells)
{
    if (cells == 0 || outcome->state != RN_OUTCOME_WHOLE) {
        fputs("null", out);
        return;
    }
    fprintf(out, "{\"cells\": %d, \"met\": %s, ", cells, rn_goal_judge(&odds->goal, outcome).met ? "true" : "false");
    rn_search_put_goal(out, &odds->goal, outcome);
    fputs(",\n    \"outcome\": ", out);
    rn_search_put_outcome(out, outcome);
    fputs("}", out);
}

void rn_report_odds_json(FILE *out, const rn_odds *odds, const rn_search_facts *facts)
{
    char headline[RN_REPORT_ODDS_SIZE];
    rn_report_odds_headline(headline, odds);
    fputs("{\n  ", out);
    rn_search_put_string(out, "title", facts->title ? facts->title : "");
    fputs(",\n  ", out);
    rn_search_put_string(out, "says", headline);
    fprintf(out, ",\n  \"draws\": %d, \"asked\": %d, \"met\": %d, \"failed\": %d, \"even\": %s, \"seed\": %llu, ",
            odds->done, odds->asked, odds->met, odds->failed, odds->even ? "true" : "false",
            (unsigned long long)odds->seed);
    fprintf(out, "\"cells\": %d,\n  ", odds->cells);
    rn_search_put_number(out, "chance", odds->done > 0 ? (double)odds->met / odds->done : NAN);
    fputs(", ", out);
    rn_search_put_number(out, "chance_from", odds->done > 0 ? odds->interval.from : NAN);
    fputs(", ", out);
    rn_search_put_number(out, "chance_to", odds->done > 0 ? odds->interval.to : NAN);
    fputs(", ", out);
    rn_search_put_number(out, "confidence", odds->even ? NAN : RN_ODDS_SURE);
    fputs(", ", out);
    rn_search_put_number(out, "noise", odds->noise);
    fputs(",\n  ", out);
    rn_search_put_doubts(out, &odds->doubts);
    fputs(",\n  ", out);
    put_readings(out, odds);
    fputs(",\n  ", out);
    put_goal(out, odds);
    fprintf(out, ",\n  \"tightest\": %d,\n  ", odds->tightest);
    put_spreads(out, odds);
    fputs(",\n  \"own\": ", out);
    put_own(out, odds, &odds->own, odds->cells);
    fputs(",\n  \"own_fine\": ", out);
    put_own(out, odds, &odds->fine, odds->fine_cells);
    fputs(",\n  ", out);
    rn_search_put_facts(out, facts);
    fputs("\n}\n", out);
}

/* ---- CSV ---- */

/* "poured_ml", "panel.slope_right_deg": blanks and what is no letter become low lines. */
static void put_column(FILE *out, const char *name, const char *more, rn_dimension dimension)
{
    const rn_unit *unit = rn_units_own(dimension);
    fputc(',', out);
    for (const char *c = name; *c; c++)
        fputc(*c == ' ' || *c == '-' || *c == ',' || *c == '"' ? '_' : *c, out);
    fputs(more, out);
    if (unit && strcmp(unit->name, "%") == 0)
        fputs("_percent", out);
    else if (unit)
        fputc('_', out);
    for (const char *c = unit && strcmp(unit->name, "%") != 0 ? unit->name : ""; *c; c++)
        fputc(*c == ' ' || *c == '/' ? '_' : *c, out);
}

static void put_value(FILE *out, double value, rn_dimension dimension)
{
    const rn_unit *unit = rn_units_own(dimension);
    fputc(',', out);
    if (isfinite(value))
        fprintf(out, "%.9g", unit ? value / unit->factor : value);
}

/* Behind the parts of a slope stands which way it leads, so that the row can be set again. */
static bool ends_level(const rn_odds *odds, int reading)
{
    const int doubt = odds->readings[reading].doubt;
    return rn_doubt_is_level(odds->doubts.items[doubt].path) &&
           (reading + 1 == odds->reading_count || odds->readings[reading + 1].doubt != doubt);
}

static void put_bearing(FILE *out, double right, double back)
{
    const double bearing = rn_doubt_bearing(right, back), degree = rn_units_own(RN_DIM_ANGLE)->factor;
    fprintf(out, ",%.*g", RN_DOUBT_DIGITS, bearing / degree);
}

static void put_head(FILE *out, const rn_odds *odds)
{
    fputs("draw,met", out);
    for (int r = 0; r < odds->reading_count; r++) {
        put_column(out, odds->readings[r].name, odds->readings[r].change ? "_change" : "", odds->readings[r].dimension);
        if (ends_level(odds, r))
            put_column(out, RN_DOUBT_DOWNHILL, "", RN_DIM_ANGLE);
    }
    for (int f = 0; f < RN_ODDS_FIGURES; f++)
        put_column(out, rn_odds_figure_name((rn_odds_figure)f), "", rn_odds_figure_dimension((rn_odds_figure)f));
    fputs("\n", out);
}

void rn_report_odds_csv(FILE *out, const rn_odds *odds)
{
    put_head(out, odds);
    for (int k = 0; k < odds->done; k++) {
        const rn_odds_draw *draw = &odds->draws[k];
        fprintf(out, "%d,%d", k + 1, draw->verdict.met);
        for (int r = 0; r < odds->reading_count; r++) {
            put_value(out, draw->readings[r], odds->readings[r].dimension);
            if (ends_level(odds, r))
                put_bearing(out, draw->readings[r - 1], draw->readings[r]);
        }
        for (int f = 0; f < RN_ODDS_FIGURES; f++)
            put_value(out,
                      draw->outcome.state == RN_OUTCOME_WHOLE ? rn_odds_figure_of((rn_odds_figure)f, &draw->outcome)
                                                              : NAN,
                      rn_odds_figure_dimension((rn_odds_figure)f));
        fputs("\n", out);
    }
}
