#include "show/report_search.h"

#include <math.h>
#include <string.h>

#include "show/json.h"

static const double millilitre = 1e-6;

const char *rn_search_name(const rn_dial *dial)
{
    return rn_dial_is_poured(dial) ? "volume" : dial->path;
}

void rn_search_value(char text[RN_SEARCH_VALUE], const rn_dial *dial, double value)
{
    if (isnan(value))
        snprintf(text, RN_SEARCH_VALUE, "nothing");
    else
        rn_dial_text(text, RN_SEARCH_VALUE, dial, value);
}

void rn_search_demand(char text[RN_JUDGE_SIZE], const rn_goal *goal, int demand)
{
    if (demand >= 0)
        rn_goal_wanted(text, &goal->demands[demand]);
    else
        snprintf(text, RN_JUDGE_SIZE, "the goal");
}

rn_search_apart rn_search_say_apart(const rn_dial *dial, const rn_goal *goal, int needs, int allows, double unmet,
                                    double too_much)
{
    rn_search_apart apart = {.digits = ""};
    rn_search_demand(apart.needs, goal, needs);
    rn_search_demand(apart.allows, goal, allows);
    rn_search_value(apart.unmet, dial, unmet);
    rn_search_value(apart.too_much, dial, too_much);
    rn_search_value(apart.from, dial, dial->from);
    if (unmet < too_much)
        snprintf(apart.digits, sizeof apart.digits, " of %d digits", RN_DIAL_DIGITS);
    return apart;
}

int rn_search_widest(const rn_goal *goal)
{
    int widest = 0;
    char text[RN_JUDGE_SIZE];
    for (int i = 0; i < goal->count; i++) {
        rn_goal_wanted(text, &goal->demands[i]);
        widest = (int)strlen(text) > widest ? (int)strlen(text) : widest;
    }
    return widest;
}

void rn_search_say_goal(rn_screen *page, const rn_goal *goal, const rn_outcome *outcome)
{
    const int widest = rn_search_widest(goal);
    char text[RN_JUDGE_SIZE], said[RN_JUDGE_SIZE];
    for (int i = 0; i < goal->count; i++) {
        rn_goal_wanted(text, &goal->demands[i]);
        rn_goal_said(said, &goal->demands[i], outcome);
        rn_screen_say(page, i == 0 ? "goal" : "", "%-*s  %s", widest, text, said);
    }
}

void rn_search_say_run_off(rn_screen *page, const rn_outcome *outcome)
{
    rn_screen_say(page, "run-off", "%.1f ml, %.1f %% of the paint", outcome->run_off / millilitre,
                  100 * rn_outcome_lost(outcome));
}

void rn_search_say_doubts(rn_screen *page, const rn_doubts *doubts)
{
    for (int i = 0; i < doubts->count; i++) {
        char text[60];
        rn_doubt_text(text, sizeof text, &doubts->items[i]);
        rn_screen_say(page, i == 0 ? "in doubt" : "", "%-24s %s%s", doubts->items[i].path, text,
                      doubts->items[i].usual ? ", as usual" : "");
    }
    rn_screen_say(page, "", "(+- is two standard deviations of a normal distribution)");
}

void rn_search_say_facts(rn_screen *page, const rn_search_facts *facts)
{
    if (facts->known > 0)
        rn_screen_say(page, "worked out", "%d runs in %.1f s, and %d more were known", facts->worked, facts->seconds,
                      facts->known);
    else
        rn_screen_say(page, "worked out", "%d runs in %.1f s", facts->worked, facts->seconds);
}

/* ---- JSON ---- */

void rn_search_put_number(FILE *out, const char *name, double value)
{
    fprintf(out, "\"%s\": ", name);
    rn_json_number(out, value);
}

void rn_search_put_string(FILE *out, const char *name, const char *value)
{
    fprintf(out, "\"%s\": ", name);
    rn_json_string(out, value);
}

void rn_search_put_dial(FILE *out, const rn_dial *dial)
{
    rn_search_put_string(out, "of", dial->path);
    fputs(", ", out);
    rn_search_put_number(out, "plan_si", rn_dial_signed(dial, dial->now));
    fputs(", ", out);
    rn_search_put_number(out, "from_si", rn_dial_signed(dial, dial->from));
    fputs(", ", out);
    rn_search_put_number(out, "to_si", rn_dial_signed(dial, dial->to));
    fprintf(out, ", \"base_scaled\": %s", dial->with_base ? "true" : "false");
}

void rn_search_put_goal(FILE *out, const rn_goal *goal, const rn_outcome *outcome)
{
    const rn_goal_verdict verdict = rn_goal_judge(goal, outcome);
    fputs("\"goal\": [", out);
    for (int i = 0; i < goal->count; i++) {
        char text[RN_JUDGE_SIZE], said[RN_JUDGE_SIZE];
        rn_goal_wanted(text, &goal->demands[i]);
        rn_goal_said(said, &goal->demands[i], outcome);
        fputs(i ? ", {" : "{", out);
        rn_search_put_string(out, "wanted", text);
        fprintf(out, ", \"met\": %s, ", verdict.margins[i].met ? "true" : "false");
        rn_search_put_string(out, "outcome", said);
        fputs(", ", out);
        rn_search_put_number(out, "value_si", verdict.margins[i].value);
        fputs("}", out);
    }
    fputs("]", out);
}

void rn_search_put_doubts(FILE *out, const rn_doubts *doubts)
{
    fputs("\"doubts\": [", out);
    for (int i = 0; i < doubts->count; i++) {
        char text[60];
        rn_doubt_text(text, sizeof text, &doubts->items[i]);
        fputs(i ? ",\n    {" : "\n    {", out);
        rn_search_put_string(out, "path", doubts->items[i].path);
        fputs(", ", out);
        rn_search_put_string(out, "doubt", text);
        fprintf(out, ", \"usual\": %s}", doubts->items[i].usual ? "true" : "false");
    }
    fputs("\n  ]", out);
}

void rn_search_put_outcome(FILE *out, const rn_outcome *outcome)
{
    fputs("{", out);
    rn_search_put_number(out, "coverage", outcome->coverage);
    fputs(", ", out);
    rn_search_put_number(out, "covered_at_s", outcome->covered_at);
    fputs(", ", out);
    rn_search_put_number(out, "run_off_ml", outcome->run_off / millilitre);
    fputs(", ", out);
    rn_search_put_number(out, "run_off_share", rn_outcome_lost(outcome));
    fputs(", ", out);
    rn_search_put_number(out, "thinnest_mm", outcome->thinnest * 1e3);
    fputs(", ", out);
    rn_search_put_number(out, "least_corner_mm", rn_outcome_least_corner(outcome) * 1e3);
    fputs(", ", out);
    rn_search_put_number(out, "mean_mm", outcome->mean * 1e3);
    fputs(", ", out);
    rn_search_put_number(out, "base_ml", outcome->base / millilitre);
    fputs(", ", out);
    rn_search_put_number(out, "poured_ml", outcome->poured / millilitre);
    fputs("}", out);
}

void rn_search_put_facts(FILE *out, const rn_search_facts *facts)
{
    fprintf(out, "\"runs_worked_out\": %d, \"runs_known\": %d, ", facts->worked, facts->known);
    rn_search_put_number(out, "seconds", facts->seconds);
}
