#include "show/report_compare.h"

#include <math.h>
#include <string.h>

#include "show/json.h"
#include "show/screen.h"

#define LABEL 13
#define CELL_MOST 20
#define CELL_SIZE 96

static int cell_width(const rn_compare *compare)
{
    const int room = (RN_SCREEN_COLUMNS - LABEL - 7) / compare->count; /* 7: for " alike" */
    return room < CELL_MOST ? room : CELL_MOST;
}

/* A text in a column, cut where it is longer. */
static void put_cell(FILE *out, const char *text, int width)
{
    const int most = width - 1;
    size_t bytes = strlen(text);
    while (rn_screen_columns(text, bytes) > most)
        bytes--;
    while (bytes > 0 && ((unsigned char)text[bytes] & 0xC0) == 0x80) /* not amid a character */
        bytes--;
    fprintf(out, "%.*s%*s", (int)bytes, text, width - rn_screen_columns(text, bytes), "");
}

typedef void cell_text(char text[CELL_SIZE], const rn_compare *compare, int plan, int row);

static void put_line(FILE *out, const rn_compare *compare, const char *label, int row, cell_text *write,
                     const char *after)
{
    char line[1024] = "", text[CELL_SIZE];
    FILE *made = fmemopen(line, sizeof line, "w");
    if (!made)
        return;
    fprintf(made, "%-*s", LABEL, label);
    for (int k = 0; k < compare->count; k++) {
        write(text, compare, k, row);
        put_cell(made, text, cell_width(compare));
    }
    fputs(after, made);
    fclose(made);
    size_t length = strlen(line);
    while (length > 0 && line[length - 1] == ' ')
        length--;
    fprintf(out, "%.*s\n", (int)length, line);
}

static void letter_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    (void)row;
    (void)compare;
    snprintf(text, CELL_SIZE, "%s", rn_compare_letter(plan));
}

static void name_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    (void)row;
    snprintf(text, CELL_SIZE, "%s", compare->plans[plan].name);
}

static void whole_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    (void)row;
    snprintf(text, CELL_SIZE, "%s", compare->unlike.whole.values[plan]);
}

static void note_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    (void)row;
    snprintf(text, CELL_SIZE, "%s", compare->unlike.note[plan]);
}

static void key_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    snprintf(text, CELL_SIZE, "%s", compare->unlike.keys[row].values[plan]);
}

static void measure_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    char figure[RN_COMPARE_SIZE];
    rn_compare_text(figure, &compare->plans[plan], (rn_compare_line)row);
    snprintf(text, CELL_SIZE, "%s%s", figure, rn_compare_best(compare, (rn_compare_line)row) == plan ? " *" : "");
}

static void goal_cell(char text[CELL_SIZE], const rn_compare *compare, int plan, int row)
{
    (void)row;
    const rn_compare_plan *of = &compare->plans[plan];
    const rn_goal_verdict verdict = rn_goal_judge(&of->goal, &of->outcome);
    int met = 0;
    for (int i = 0; i < verdict.count; i++)
        met += verdict.margins[i].met;
    if (of->outcome.state != RN_OUTCOME_WHOLE)
        snprintf(text, CELL_SIZE, "not known");
    else if (verdict.met)
        snprintf(text, CELL_SIZE, "met");
    else
        snprintf(text, CELL_SIZE, "%d of %d met", met, verdict.count);
}

/* What stands in no table: the keys, one under the other; plans that differ in more are other plans altogether. */
static void put_keys(FILE *out, const rn_compare *compare)
{
    const rn_unlike *unlike = &compare->unlike;
    if (unlike->count < 2 || unlike->count > unlike->listed)
        return;
    fputs("\nunlike in\n", out);
    for (int i = 0; i < unlike->listed; i++) {
        fprintf(out, "  %s\n", unlike->keys[i].words);
        put_line(out, compare, "", i, key_cell, "");
    }
}

static bool has_pattern(const rn_compare *compare)
{
    for (int k = 0; k < compare->count; k++)
        if (compare->plans[k].outcome.has_pattern)
            return true;
    return false;
}

void rn_report_compare_text(FILE *out, const rn_compare *compare, const rn_search_facts *facts)
{
    char headline[RN_COMPARE_HEADLINE];
    rn_screen page = {.out = out};
    rn_compare_headline(headline, compare);
    rn_screen_say(&page, NULL, "%s", headline);
    fputc('\n', out);
    put_line(out, compare, "", 0, letter_cell, "");
    put_line(out, compare, "", 0, name_cell, "");
    if (compare->unlike.kind != RN_ALIKE && compare->unlike.kind != RN_UNLIKE_SEVERAL)
        put_line(out, compare, compare->unlike.kind == RN_UNLIKE_ONE ? "" : compare->unlike.whole.words, 0, whole_cell,
                 "");
    put_line(out, compare, "viscosity", 0, note_cell, "");
    for (int m = 0; m < RN_COMPARE_LINES; m++)
        if (m < RN_COMPARE_TWIST || has_pattern(compare))
            put_line(out, compare, rn_compare_name((rn_compare_line)m), m, measure_cell,
                     rn_compare_alike(compare, (rn_compare_line)m) ? "alike" : "");
    put_line(out, compare, "goal", 0, goal_cell, "");
    put_keys(out, compare);
    for (int k = 0; k < compare->count; k++)
        if (compare->plans[k].outcome.state == RN_OUTCOME_FAILED)
            rn_screen_say(&page, NULL, "%s is not known: %s", rn_compare_letter(k), compare->plans[k].outcome.why);
    fputc('\n', out);
    rn_search_say_facts(&page, facts);
}

static void put_plan(FILE *out, const rn_compare *compare, int plan)
{
    static const char *const names[RN_COMPARE_LINES] = {
        "covered_at_s", "coverage", "least_corner_m", "thinnest_m", "mean_m", "run_off_m3", "twist_rad", "stretch",
    };
    const rn_compare_plan *of = &compare->plans[plan];
    fputs("{", out);
    rn_search_put_string(out, "letter", rn_compare_letter(plan));
    fputs(", ", out);
    rn_search_put_string(out, "name", of->name);
    fputs(", ", out);
    rn_search_put_string(out, "title", of->plan->title);
    fputs(", ", out);
    rn_search_put_number(out, "viscosity_pa_s", rn_plan_viscosity(of->plan));
    for (int m = 0; m < RN_COMPARE_LINES; m++) {
        fputs(", ", out);
        rn_search_put_number(out, names[m], rn_compare_value(of, (rn_compare_line)m));
    }
    fprintf(out, ", \"cells\": %d, \"goal_met\": %s", of->outcome.nx > of->outcome.ny ? of->outcome.nx : of->outcome.ny,
            of->outcome.state == RN_OUTCOME_NONE         ? "null"
            : rn_goal_judge(&of->goal, &of->outcome).met ? "true"
                                                         : "false");
    if (of->outcome.state == RN_OUTCOME_FAILED) {
        fputs(", ", out);
        rn_search_put_string(out, "failed", of->outcome.why);
    }
    fputs("}", out);
}

static void put_measure(FILE *out, const rn_compare *compare, rn_compare_line line)
{
    const int best = rn_compare_best(compare, line);
    fputs("{", out);
    rn_search_put_string(out, "measure", rn_compare_name(line));
    fprintf(out, ", \"alike\": %s, \"best\": ", rn_compare_alike(compare, line) ? "true" : "false");
    if (best < 0)
        fputs("null", out);
    else
        rn_json_string(out, rn_compare_letter(best));
    fputs("}", out);
}

static void put_key(FILE *out, const rn_compare *compare, const rn_unlike_key *key)
{
    fputs("{", out);
    rn_search_put_string(out, "key", key->words);
    fputs(", \"values\": [", out);
    for (int k = 0; k < compare->count; k++) {
        fputs(k ? ", " : "", out);
        rn_json_string(out, key->values[k]);
    }
    fputs("]}", out);
}

void rn_report_compare_json(FILE *out, const rn_compare *compare, const rn_search_facts *facts)
{
    char headline[RN_COMPARE_HEADLINE];
    rn_compare_headline(headline, compare);
    fputs("{\n  ", out);
    rn_search_put_string(out, "says", headline);
    fputs(",\n  \"plans\": [", out);
    for (int k = 0; k < compare->count; k++) {
        fputs(k ? ",\n    " : "\n    ", out);
        put_plan(out, compare, k);
    }
    fputs("\n  ],\n  \"measures\": [", out);
    for (int m = 0; m < RN_COMPARE_LINES; m++) {
        fputs(m ? ",\n    " : "\n    ", out);
        put_measure(out, compare, (rn_compare_line)m);
    }
    fprintf(out, "\n  ],\n  \"unlike_in\": %d,\n  \"unlike\": [", compare->unlike.count);
    for (int i = 0; i < compare->unlike.listed; i++) {
        fputs(i ? ",\n    " : "\n    ", out);
        put_key(out, compare, &compare->unlike.keys[i]);
    }
    fputs(compare->unlike.listed ? "\n  ],\n  " : "],\n  ", out);
    rn_search_put_facts(out, facts);
    fputs("\n}\n", out);
}
