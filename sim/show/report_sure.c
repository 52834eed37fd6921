#include "show/report_sure.h"

#include <math.h>
#include <string.h>

#include "search/odds.h"
#include "show/json.h"
#include "show/report_least.h"

static bool is_found(const rn_sure *sure)
{
    return sure->state == RN_LEAST_FOUND || sure->state == RN_LEAST_LOWEST;
}

/* ---- the headline ---- */

static int say_found(char text[RN_REPORT_SURE_SIZE], const rn_sure *sure)
{
    char value[RN_SEARCH_VALUE], own[RN_SEARCH_VALUE], by[RN_SEARCH_VALUE];
    const rn_dial *dial = &sure->dial;
    const double more = sure->at.value - sure->at_own.value;
    int used;
    rn_search_value(value, dial, sure->at.value);
    used = snprintf(text, RN_REPORT_SURE_SIZE, "For %g %% of draws to meet the goal: %s %s", 100 * sure->sure,
                    rn_search_name(dial), value);
    if (sure->state == RN_LEAST_LOWEST)
        return used + snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used,
                               " or less, for with even the least that was tried %d of %d do.", sure->at.met,
                               sure->at.of);
    used += snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used, ", where %d of %d do", sure->at.met, sure->at.of);
    if (isnan(more))
        return used + snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used, ".");
    rn_search_value(own, dial, sure->at_own.value);
    rn_units_round(by, sizeof by, fabs(more), dial->dimension, NULL, 2);
    if (fabs(more) < 0.5 * sure->close)
        return used + snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used,
                               "; as much as would do if nothing were in doubt.");
    return used + snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used,
                           "; %s %s than the %s that would do if nothing were in doubt.", by,
                           more > 0 ? "more" : "less", own);
}

static int say_apart(char text[RN_REPORT_SURE_SIZE], const rn_sure *sure)
{
    const rn_search_apart apart =
        rn_search_say_apart(&sure->dial, &sure->goal, sure->needs, sure->allows, sure->unmet, sure->too_much);
    if (isnan(sure->most))
        return snprintf(text, RN_REPORT_SURE_SIZE,
                        "No %s that was tried meets the goal in %g %% of draws: %s is missed too often even at %s.",
                        rn_search_name(&sure->dial), 100 * sure->sure, apart.allows, apart.from);
    return snprintf(text, RN_REPORT_SURE_SIZE,
                    "No %s%s that was tried meets the goal in %g %% of draws: for that %s needs more than %s, and %s "
                    "allows less than %s.",
                    rn_search_name(&sure->dial), apart.digits, 100 * sure->sure, apart.needs, apart.unmet, apart.allows,
                    apart.too_much);
}

static int say_none(char text[RN_REPORT_SURE_SIZE], const rn_sure *sure)
{
    char value[RN_SEARCH_VALUE], worst[RN_JUDGE_SIZE];
    rn_search_value(value, &sure->dial, sure->at.value);
    rn_search_demand(worst, &sure->goal, sure->at.worst);
    if (sure->state == RN_LEAST_NEVER)
        return snprintf(
            text, RN_REPORT_SURE_SIZE,
            "No %s that was tried up to %s meets the goal in %g %% of draws: even there %d of %d do, and %s is missed "
            "most often.",
            rn_search_name(&sure->dial), value, 100 * sure->sure, sure->at.met, sure->at.of, worst);
    return snprintf(text, RN_REPORT_SURE_SIZE,
                    "No %s that was tried meets the goal in %g %% of draws. Best is %s, where %d of %d do; %s is "
                    "missed most often.",
                    rn_search_name(&sure->dial), 100 * sure->sure, value, sure->at.met, sure->at.of, worst);
}

void rn_report_sure_headline(char text[RN_REPORT_SURE_SIZE], const rn_sure *sure)
{
    int used = 0;
    switch (sure->state) {
    case RN_LEAST_STOPPED: snprintf(text, RN_REPORT_SURE_SIZE, "Stopped before there was an answer."); return;
    case RN_LEAST_FOUND:
    case RN_LEAST_LOWEST: used = say_found(text, sure); break;
    case RN_LEAST_APART: used = say_apart(text, sure); break;
    case RN_LEAST_NEVER:
    case RN_LEAST_NOWHERE: used = say_none(text, sure); break;
    }
    if (is_found(sure) && sure->fine.state == RN_OUTCOME_WHOLE && !rn_goal_judge(&sure->goal, &sure->fine).met)
        snprintf(text + used, RN_REPORT_SURE_SIZE - (size_t)used,
                 " Mind the grid: on %d cells even the plan as written misses the goal there.", sure->fine_cells);
}

/* ---- a screen ---- */

static void say_count(rn_screen *page, const char *label, const rn_sure *sure, const rn_sure_count *count)
{
    char value[RN_SEARCH_VALUE];
    if (isnan(count->value))
        return;
    rn_search_value(value, &sure->dial, count->value);
    rn_screen_say(page, label, "%s: the goal is met in %d of %d draws, %.0f %% to %.0f %% (%g %% confidence)%s", value,
                  count->met, count->of, 100 * count->interval.from, 100 * count->interval.to, 100 * RN_ODDS_SURE,
                  count->failed > 0 ? "; some could not be worked out and count as missed" : "");
}

static void say_goal(rn_screen *page, const rn_sure *sure)
{
    char wanted[RN_JUDGE_SIZE];
    const int widest = rn_search_widest(&sure->goal);
    for (int i = 0; i < sure->goal.count; i++) {
        rn_goal_wanted(wanted, &sure->goal.demands[i]);
        if (isnan(sure->at.value))
            rn_screen_say(page, i == 0 ? "goal" : "", "%s", wanted);
        else
            rn_screen_say(page, i == 0 ? "goal" : "", "%-*s  missed in %d there", widest, wanted, sure->at.missed[i]);
    }
}

static void say_grids(rn_screen *page, const rn_sure *sure)
{
    if (sure->fine.state == RN_OUTCOME_WHOLE)
        rn_screen_say(page, "grids",
                      "draws on %d cells along the longer side; on %d the plan as written %s the goal there",
                      sure->cells, sure->fine_cells, rn_goal_judge(&sure->goal, &sure->fine).met ? "meets" : "misses");
    else
        rn_screen_say(page, "grid", "%d cells along the longer side", sure->cells);
}

void rn_report_sure_text(FILE *out, const rn_sure *sure, const rn_search_facts *facts)
{
    rn_screen page = {.out = out};
    char text[RN_REPORT_SURE_SIZE], unmet[RN_SEARCH_VALUE], from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE],
        by[RN_SEARCH_VALUE];
    rn_report_sure_headline(text, sure);
    rn_screen_say(&page, NULL, "%s", text);
    if (facts->title && facts->title[0])
        rn_screen_say(&page, "plan", "%s", facts->title);
    say_count(&page, "at", sure, &sure->at);
    say_goal(&page, sure);
    if (is_found(sure) && !isnan(sure->unmet)) {
        rn_search_value(unmet, &sure->dial, sure->unmet);
        rn_screen_say(&page, "too little", "%s", unmet);
    }
    say_count(&page, "at most", sure, &sure->at_most);
    say_count(&page, "own least", sure, &sure->at_own);
    rn_search_value(from, &sure->dial, sure->dial.from);
    rn_search_value(to, &sure->dial, sure->dial.to);
    rn_units_round(by, sizeof by, sure->close, sure->dial.dimension, NULL, 2);
    rn_screen_say(&page, "looked for", "from %s to %s, to %s", from, to, by);
    rn_search_say_doubts(&page, &sure->doubts);
    rn_screen_say(&page, "draws", "%d, the same at every value, seed %llu", sure->draws,
                  (unsigned long long)sure->seed);
    say_grids(&page, sure);
    rn_search_say_facts(&page, facts);
}

/* ---- JSON ---- */

static void put_count(FILE *out, const char *name, const rn_sure *sure, const rn_sure_count *count)
{
    fprintf(out, "\"%s\": ", name);
    if (isnan(count->value)) {
        fputs("null", out);
        return;
    }
    fputs("{", out);
    rn_search_put_number(out, "value_si", rn_dial_signed(&sure->dial, count->value));
    fprintf(out, ", \"met\": %d, \"draws\": %d, \"failed\": %d, ", count->met, count->of, count->failed);
    rn_search_put_number(out, "chance_from", count->interval.from);
    fputs(", ", out);
    rn_search_put_number(out, "chance_to", count->interval.to);
    fputs(", \"missed\": [", out);
    for (int i = 0; i < sure->goal.count; i++)
        fprintf(out, "%s%d", i ? ", " : "", count->missed[i]);
    fputs("]}", out);
}

void rn_report_sure_json(FILE *out, const rn_sure *sure, const rn_search_facts *facts)
{
    char text[RN_REPORT_SURE_SIZE];
    rn_report_sure_headline(text, sure);
    fputs("{\n  ", out);
    rn_search_put_string(out, "title", facts->title ? facts->title : "");
    fputs(",\n  ", out);
    rn_search_put_dial(out, &sure->dial);
    fprintf(out, ",\n  \"found\": %s, \"state\": \"%s\", ", is_found(sure) ? "true" : "false",
            rn_report_least_state(sure->state));
    rn_search_put_number(out, "value_si", is_found(sure) ? rn_dial_signed(&sure->dial, sure->at.value) : NAN);
    fputs(", ", out);
    rn_search_put_number(out, "unmet_si", rn_dial_signed(&sure->dial, sure->unmet));
    fputs(", ", out);
    rn_search_put_number(out, "most_si", rn_dial_signed(&sure->dial, sure->most));
    fputs(", ", out);
    rn_search_put_number(out, "too_much_si", rn_dial_signed(&sure->dial, sure->too_much));
    fputs(", ", out);
    rn_search_put_number(out, "close_si", sure->close);
    fputs(",\n  ", out);
    rn_search_put_number(out, "sure", sure->sure);
    fprintf(out, ", \"draws\": %d, \"seed\": %llu, \"cells\": %d, ", sure->draws, (unsigned long long)sure->seed,
            sure->cells);
    rn_search_put_number(out, "confidence", RN_ODDS_SURE);
    fputs(",\n  ", out);
    rn_search_put_string(out, "says", text);
    fputs(",\n  \"goal\": [", out);
    for (int i = 0; i < sure->goal.count; i++) {
        char wanted[RN_JUDGE_SIZE];
        rn_goal_wanted(wanted, &sure->goal.demands[i]);
        fputs(i ? ", " : "", out);
        rn_json_string(out, wanted);
    }
    fputs("],\n  ", out);
    put_count(out, "at", sure, &sure->at);
    fputs(",\n  ", out);
    put_count(out, "at_most", sure, &sure->at_most);
    fputs(",\n  ", out);
    put_count(out, "at_own_least", sure, &sure->at_own);
    fprintf(out, ",\n  \"fine_cells\": %d, \"fine_met\": %s,\n  ", sure->fine_cells,
            sure->fine.state != RN_OUTCOME_WHOLE          ? "null"
            : rn_goal_judge(&sure->goal, &sure->fine).met ? "true"
                                                          : "false");
    rn_search_put_doubts(out, &sure->doubts);
    fputs(",\n  ", out);
    rn_search_put_facts(out, facts);
    fputs("\n}\n", out);
}
