#include "show/report_least.h"

#include <math.h>
#include <string.h>

#include "show/json.h"

static const double millilitre = 1e-6;

/* A difference, rounded. */
static void write_rounded(char text[RN_SEARCH_VALUE], const rn_dial *dial, double value)
{
    rn_units_round(text, RN_SEARCH_VALUE, value, dial->dimension, NULL, 2);
}

static const rn_least_look *answer_of(const rn_least *least)
{
    return least->has_fine ? &least->fine : least->has_coarse ? &least->coarse : NULL;
}

/* ---- headlines ---- */

static void say_found(char text[RN_REPORT_LEAST_SIZE], const rn_least *least, const rn_least_look *look)
{
    char value[RN_SEARCH_VALUE], now[RN_SEARCH_VALUE], by[RN_SEARCH_VALUE];
    const rn_dial *dial = &least->dial;
    const char *poured = rn_dial_is_poured(dial) ? " poured" : "";
    rn_search_value(value, dial, look->value);
    if (!(dial->now > 0)) {
        snprintf(text, RN_REPORT_LEAST_SIZE, "Least %s: %s%s.", rn_search_name(dial), value, poured);
        return;
    }
    rn_search_value(now, dial, dial->now);
    write_rounded(by, dial, fabs(look->value - dial->now));
    if (strcmp(value, now) == 0)
        snprintf(text, RN_REPORT_LEAST_SIZE, "Least %s: %s%s, as much as the plan has.", rn_search_name(dial), value,
                 poured);
    else
        snprintf(text, RN_REPORT_LEAST_SIZE, "Least %s: %s%s, %s %s than the plan's %s.", rn_search_name(dial), value,
                 poured, by, look->value > dial->now ? "more" : "less", now);
}

static void say_apart(char text[RN_REPORT_LEAST_SIZE], const rn_least *least, const rn_least_look *look)
{
    const rn_search_apart apart =
        rn_search_say_apart(&least->dial, &least->goal, look->needs, look->allows, look->unmet, look->too_much);
    if (isnan(look->most))
        snprintf(text, RN_REPORT_LEAST_SIZE, "No %s that was tried meets the goal: %s is missed even at %s.",
                 rn_search_name(&least->dial), apart.allows, apart.from);
    else
        snprintf(text, RN_REPORT_LEAST_SIZE,
                 "No %s%s that was tried meets the goal: %s needs more than %s, %s allows less than %s.",
                 rn_search_name(&least->dial), apart.digits, apart.needs, apart.unmet, apart.allows, apart.too_much);
}

void rn_report_least_headline(char text[RN_REPORT_LEAST_SIZE], const rn_least *least)
{
    const rn_least_look *look = answer_of(least);
    char value[RN_SEARCH_VALUE], from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE], missed[RN_JUDGE_SIZE];
    if (!look) {
        snprintf(text, RN_REPORT_LEAST_SIZE, "Stopped before there was an answer.");
        return;
    }
    rn_search_value(value, &least->dial, look->value);
    rn_search_value(from, &least->dial, least->dial.from);
    rn_search_value(to, &least->dial, least->dial.to);
    rn_search_demand(missed, &least->goal, look->needs);
    switch (look->state) {
    case RN_LEAST_FOUND: say_found(text, least, look); break;
    case RN_LEAST_LOWEST:
        snprintf(text, RN_REPORT_LEAST_SIZE, "Least %s: %s or less, for even the least that was tried meets the goal.",
                 rn_search_name(&least->dial), value);
        break;
    case RN_LEAST_NEVER:
        snprintf(text, RN_REPORT_LEAST_SIZE, "No %s that was tried up to %s meets the goal: %s is missed even there.",
                 rn_search_name(&least->dial), to, missed);
        break;
    case RN_LEAST_APART: say_apart(text, least, look); break;
    case RN_LEAST_NOWHERE:
        snprintf(text, RN_REPORT_LEAST_SIZE,
                 "No %s that was tried from %s to %s meets the whole goal; %s comes nearest, where %s is missed.",
                 rn_search_name(&least->dial), from, to, value, missed);
        break;
    case RN_LEAST_STOPPED: snprintf(text, RN_REPORT_LEAST_SIZE, "Stopped before there was an answer."); break;
    }
    if (!least->has_fine) {
        const size_t used = strlen(text);
        snprintf(text + used, RN_REPORT_LEAST_SIZE - used, " Stopped before that was confirmed on the fine grid.");
    }
}

/* "poured 118.4 ml, moves.4.spin 34.2 rpm". */
static void list_values(char *text, size_t size, const rn_together *together, const double *values)
{
    size_t used = 0;
    text[0] = '\0';
    for (int i = 0; i < together->count && used < size; i++) {
        char value[RN_SEARCH_VALUE];
        rn_search_value(value, &together->dials[i], values[i]);
        used += (size_t)snprintf(text + used, size - used, "%s%s %s", i ? ", " : "", together->dials[i].path, value);
    }
}

void rn_report_together_headline(char text[RN_REPORT_LEAST_SIZE], const rn_together *together)
{
    char values[300];
    const rn_together_look *look = together->has_fine ? &together->fine : &together->coarse;
    if (!together->has_fine && !together->has_coarse) {
        snprintf(text, RN_REPORT_LEAST_SIZE, "Stopped before there was an answer.");
        return;
    }
    list_values(values, sizeof values, together, look->values);
    snprintf(text, RN_REPORT_LEAST_SIZE, "%s: %s.%s",
             look->met ? "Least found together" : "Nothing that was tried meets the goal; nearest", values,
             !together->has_fine ? " Stopped before that was confirmed on the fine grid."
             : together->stopped ? " Stopped before all was tried."
                                 : "");
}

/* ---- a screen ---- */

static void say_below(rn_screen *page, const rn_least *least, const rn_least_look *look)
{
    char unmet[RN_SEARCH_VALUE], missed[RN_JUDGE_SIZE], figure[RN_JUDGE_SIZE];
    if (isnan(look->unmet) || look->below.state == RN_OUTCOME_NONE)
        return;
    rn_search_value(unmet, &least->dial, look->unmet);
    if (look->below.state != RN_OUTCOME_WHOLE || look->needs < 0) {
        rn_screen_say(page, "too little", "%s: %s", unmet, look->below.why[0] ? look->below.why : "the goal is missed");
        return;
    }
    rn_search_demand(missed, &least->goal, look->needs);
    rn_goal_figure(figure, &least->goal.demands[look->needs], &look->below);
    rn_screen_say(page, "too little", "%s, for %s: %s", unmet, missed, figure);
}

static void say_base(rn_screen *page, const rn_least *least, const rn_outcome *outcome)
{
    const char *how = least->dial.with_base ? "scaled with what is poured" : "as the plan has it";
    if (!(outcome->base > 0))
        return;
    if (strncmp(least->dial.path, "base.", 5) == 0)
        rn_screen_say(page, "base coat", "%.1f ml, with %s as above", outcome->base / millilitre, least->dial.path);
    else
        rn_screen_say(page, "base coat", "%.1f ml, %s", outcome->base / millilitre, how);
}

static void say_grids(rn_screen *page, const rn_least *least)
{
    char coarse[RN_SEARCH_VALUE], fine[RN_SEARCH_VALUE];
    rn_search_value(coarse, &least->dial, least->coarse.value);
    rn_search_value(fine, &least->dial, least->fine.value);
    if (least->has_coarse && least->has_fine && least->coarse.state == least->fine.state)
        rn_screen_say(page, "grids", "%s on %d cells along the longer side, %s on %d", coarse, least->coarse.cells,
                      fine, least->fine.cells);
    else if (least->has_coarse && least->has_fine)
        rn_screen_say(page, "grids", "%d cells along the longer side say otherwise than %d", least->coarse.cells,
                      least->fine.cells);
    else if (least->has_coarse || least->has_fine)
        rn_screen_say(page, "grid", "%d cells along the longer side", answer_of(least)->cells);
}

void rn_report_least_text(FILE *out, const rn_least *least, const rn_search_facts *facts)
{
    rn_screen page = {.out = out};
    char headline[RN_REPORT_LEAST_SIZE], from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE], by[RN_SEARCH_VALUE],
        at[RN_SEARCH_VALUE];
    const rn_least_look *look = answer_of(least);
    rn_report_least_headline(headline, least);
    rn_screen_say(&page, NULL, "%s", headline);
    if (facts->title && facts->title[0])
        rn_screen_say(&page, "plan", "%s", facts->title);
    if (look) {
        if (look->state != RN_LEAST_FOUND && look->state != RN_LEAST_LOWEST) {
            rn_search_value(at, &least->dial, look->value);
            rn_screen_say(&page, "at", "%s", at);
        }
        rn_search_say_goal(&page, &least->goal, &look->outcome);
        say_below(&page, least, look);
        rn_search_say_run_off(&page, &look->outcome);
        say_base(&page, least, &look->outcome);
        if (look->jumps) {
            rn_search_value(at, &least->dial, look->jump);
            rn_screen_say(&page, "mind",
                          "The border is not sharp: %s meets what wants more as well, though some larger "
                          "value does not.",
                          at);
        }
    }
    rn_search_value(from, &least->dial, least->dial.from);
    rn_search_value(to, &least->dial, least->dial.to);
    write_rounded(by, &least->dial, least->close);
    rn_screen_say(&page, "looked for", "from %s to %s, to %s%s", from, to, by,
                  rn_dial_is_poured(&least->dial)
                      ? ""
                      : "; in steps first: a narrower range that works, between two steps, would be missed");
    say_grids(&page, least);
    rn_search_say_facts(&page, facts);
}

void rn_report_together_text(FILE *out, const rn_together *together, const rn_search_facts *facts)
{
    rn_screen page = {.out = out};
    char text[RN_REPORT_LEAST_SIZE];
    const rn_together_look *look = together->has_fine     ? &together->fine
                                   : together->has_coarse ? &together->coarse
                                                          : NULL;
    rn_report_together_headline(text, together);
    rn_screen_say(&page, NULL, "%s", text);
    if (facts->title && facts->title[0])
        rn_screen_say(&page, "plan", "%s", facts->title);
    if (look) {
        rn_search_say_goal(&page, &together->goal, &look->outcome);
        rn_search_say_run_off(&page, &look->outcome);
    }
    for (int i = 0; i < together->count; i++) {
        char from[RN_SEARCH_VALUE], to[RN_SEARCH_VALUE], now[RN_SEARCH_VALUE];
        rn_search_value(from, &together->dials[i], together->dials[i].from);
        rn_search_value(to, &together->dials[i], together->dials[i].to);
        rn_search_value(now, &together->dials[i], together->dials[i].now);
        rn_screen_say(&page, i == 0 ? "looked for" : "", "%s from %s to %s; the plan has %s", together->dials[i].path,
                      from, to, now);
    }
    if (together->weight > 0)
        rn_screen_say(&page, "weight", "%.3g on the share that runs off, next to each number as a share of the plan's",
                      together->weight);
    if (together->has_coarse && together->has_fine) {
        list_values(text, sizeof text, together, together->coarse.values);
        rn_screen_say(&page, "grids", "%s on %d cells along the longer side, by %d runs; confirmed on %d by %d", text,
                      together->coarse.cells, together->coarse.runs, together->fine.cells, together->fine.runs);
    } else if (look) {
        rn_screen_say(&page, "grid", "%d cells along the longer side", look->cells);
    }
    rn_search_say_facts(&page, facts);
}

/* ---- JSON ---- */

const char *rn_report_least_state(rn_least_state state)
{
    static const char *const words[] = {
        [RN_LEAST_STOPPED] = "stopped", [RN_LEAST_FOUND] = "found", [RN_LEAST_LOWEST] = "lowest",
        [RN_LEAST_NEVER] = "never",     [RN_LEAST_APART] = "apart", [RN_LEAST_NOWHERE] = "nowhere",
    };
    return words[state];
}

static void put_demand(FILE *out, const char *name, const rn_goal *goal, int demand)
{
    char text[RN_JUDGE_SIZE];
    fprintf(out, "\"%s\": ", name);
    if (demand < 0) {
        fputs("null", out);
        return;
    }
    rn_goal_wanted(text, &goal->demands[demand]);
    rn_json_string(out, text);
}

static void put_look(FILE *out, const rn_least *least, const rn_least_look *look)
{
    fprintf(out, "{\"cells\": %d, \"runs\": %d, \"state\": \"%s\", ", look->cells, look->runs,
            rn_report_least_state(look->state));
    rn_search_put_number(out, "value_si", rn_dial_signed(&least->dial, look->value));
    fputs(", ", out);
    rn_search_put_number(out, "unmet_si", rn_dial_signed(&least->dial, look->unmet));
    fputs(", ", out);
    put_demand(out, "needs", &least->goal, look->needs);
    fputs(", ", out);
    rn_search_put_number(out, "most_si", rn_dial_signed(&least->dial, look->most));
    fputs(", ", out);
    rn_search_put_number(out, "too_much_si", rn_dial_signed(&least->dial, look->too_much));
    fputs(", ", out);
    put_demand(out, "allows", &least->goal, look->allows);
    fputs(", ", out);
    rn_search_put_number(out, "jump_si", look->jumps ? rn_dial_signed(&least->dial, look->jump) : NAN);
    fputs(",\n     ", out);
    rn_search_put_goal(out, &least->goal, &look->outcome);
    fputs(",\n     \"outcome\": ", out);
    rn_search_put_outcome(out, &look->outcome);
    fputs("}", out);
}

void rn_report_least_json(FILE *out, const rn_least *least, const rn_search_facts *facts)
{
    char headline[RN_REPORT_LEAST_SIZE], value[RN_SEARCH_VALUE];
    const rn_least_look *look = answer_of(least);
    const bool found = look && (look->state == RN_LEAST_FOUND || look->state == RN_LEAST_LOWEST);
    rn_report_least_headline(headline, least);
    fputs("{\n  ", out);
    rn_search_put_string(out, "title", facts->title ? facts->title : "");
    fputs(",\n  ", out);
    rn_search_put_dial(out, &least->dial);
    fprintf(out, ",\n  \"found\": %s, \"confirmed\": %s, ", found ? "true" : "false",
            least->has_fine ? "true" : "false");
    rn_search_put_string(out, "state", look ? rn_report_least_state(look->state) : "stopped");
    fputs(", ", out);
    rn_search_put_number(out, "value_si", found ? rn_dial_signed(&least->dial, look->value) : NAN);
    fputs(", \"value\": ", out);
    if (found) {
        rn_search_value(value, &least->dial, look->value);
        rn_json_string(out, value);
    } else {
        fputs("null", out);
    }
    fputs(", ", out);
    rn_search_put_number(out, "close_si", least->close);
    fputs(",\n  ", out);
    rn_search_put_string(out, "says", headline);
    fputs(",\n  \"looks\": [", out);
    if (least->has_coarse) {
        fputs("\n    ", out);
        put_look(out, least, &least->coarse);
    }
    if (least->has_fine) {
        fputs(least->has_coarse ? ",\n    " : "\n    ", out);
        put_look(out, least, &least->fine);
    }
    fputs(look ? "\n  ],\n  " : "],\n  ", out);
    rn_search_put_facts(out, facts);
    fputs("\n}\n", out);
}

static void put_together_look(FILE *out, const rn_together *together, const rn_together_look *look)
{
    fprintf(out, "{\"cells\": %d, \"runs\": %d, \"met\": %s, \"values_si\": [", look->cells, look->runs,
            look->met ? "true" : "false");
    for (int i = 0; i < together->count; i++) {
        fputs(i ? ", " : "", out);
        rn_json_number(out, rn_dial_signed(&together->dials[i], look->values[i]));
    }
    fputs("], ", out);
    rn_search_put_number(out, "cost", look->cost);
    fputs(",\n     ", out);
    rn_search_put_goal(out, &together->goal, &look->outcome);
    fputs(",\n     \"outcome\": ", out);
    rn_search_put_outcome(out, &look->outcome);
    fputs("}", out);
}

void rn_report_together_json(FILE *out, const rn_together *together, const rn_search_facts *facts)
{
    char headline[RN_REPORT_LEAST_SIZE];
    const bool any = together->has_fine || together->has_coarse;
    const rn_together_look *look = together->has_fine ? &together->fine : &together->coarse;
    rn_report_together_headline(headline, together);
    fputs("{\n  ", out);
    rn_search_put_string(out, "title", facts->title ? facts->title : "");
    fprintf(out, ",\n  \"found\": %s, \"confirmed\": %s, ", any && look->met ? "true" : "false",
            together->has_fine ? "true" : "false");
    rn_search_put_number(out, "weight", together->weight);
    fputs(",\n  ", out);
    rn_search_put_string(out, "says", headline);
    fputs(",\n  \"numbers\": [", out);
    for (int i = 0; i < together->count; i++) {
        fputs(i ? ",\n    {" : "\n    {", out);
        rn_search_put_dial(out, &together->dials[i]);
        fputs(", ", out);
        rn_search_put_number(out, "value_si",
                             any && look->met ? rn_dial_signed(&together->dials[i], look->values[i]) : NAN);
        fputs("}", out);
    }
    fputs("\n  ],\n  \"looks\": [", out);
    if (together->has_coarse) {
        fputs("\n    ", out);
        put_together_look(out, together, &together->coarse);
    }
    if (together->has_fine) {
        fputs(together->has_coarse ? ",\n    " : "\n    ", out);
        put_together_look(out, together, &together->fine);
    }
    fputs(any ? "\n  ],\n  " : "],\n  ", out);
    rn_search_put_facts(out, facts);
    fputs("\n}\n", out);
}
