#include "slip_edit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "gesture.h"
#include "limit.h"
#include "plan/plan_keys.h"
#include "slip.h"

void slip_value(char *text, int size, const rv_view *view, int row)
{
    text[0] = '\0';
    const rn_key *key = slip_key(view, row);
    if (!key)
        return;
    rn_key_value_text(text, size, document_plan(view->doc),
                      slip_limit(key) ? RN_SECTION_LIMITS : slip_section(view->slip.kind), view->slip.index, key);
    const size_t length = strlen(text); /* words that YAML wants in quotes are typed without */
    if (length >= 2 && text[0] == '"' && text[length - 1] == '"' && !strchr(text, '\\')) {
        memmove(text, text + 1, length - 2);
        text[length - 2] = '\0';
    }
}

rn_status slip_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err)
{
    char path[256];
    if (!slip_path(path, sizeof path, view, row))
        return rn_fail(err, RN_E_USAGE, "nothing to set there");
    return rn_plan_set(draft, path, text, err);
}

/* The next or the one before of a key's words. */
static const char *next_word(const char *const *words, const char *now, int up)
{
    int count = 0, here = 0;
    for (; words[count]; count++)
        if (strcmp(words[count], now) == 0)
            here = count;
    return count ? words[(here + (up > 0 ? 1 : count - 1)) % count] : now;
}

/* A quantity a step on: to two digits, in the unit in which it stands. */
static bool step_quantity(char *text, int size, const rn_key *key, const char *now, double factor)
{
    const rn_unit *unit = NULL;
    double value;
    rn_error err = {0};
    if (rn_units_read(&value, &unit, now, key->dimension, 0, &err) != RN_OK)
        return false;
    const double least_step = fabs(value) > 0 ? 0 : 1;
    char rounded[64];
    rn_units_round(rounded, sizeof rounded,
                   value * factor + (factor > 1 ? least_step : -least_step) * (unit ? unit->factor : 1), key->dimension,
                   unit, 3);
    snprintf(text, (size_t)size, "%s", rounded);
    return true;
}

void slip_step(rv_view *view, int up, bool coarse)
{
    const rn_key *key = slip_key(view, view->slip.row);
    char now[TYPING_SIZE], next[TYPING_SIZE] = "";
    if (!key)
        return;
    slip_value(now, sizeof now, view, view->slip.row);
    if (key->words && (key->kind == RN_KEY_WORD || key->kind == RN_KEY_FLAG)) {
        snprintf(next, sizeof next, "%s", next_word(key->words, now, up));
    } else if (key->kind == RN_KEY_CONSISTENCY) {
        const char *words[RN_CONSISTENCY_COUNT + 1] = {0};
        for (int k = 0; k < RN_CONSISTENCY_COUNT; k++)
            words[k] = rn_consistency_ladder[k].word;
        snprintf(next, sizeof next, "%s", next_word(words, now, up));
    } else if (key->kind == RN_KEY_COUNT || key->kind == RN_KEY_SEED) {
        long value;
        if (sscanf(now, "%ld", &value) == 1)
            snprintf(next, sizeof next, "%ld", value + up * (coarse ? 10 : 1));
    } else {
        const double factor = coarse ? 1.5 : 1.05;
        if (!step_quantity(next, sizeof next, key, now, up > 0 ? factor : 1 / factor))
            next[0] = '\0';
    }
    rn_plan *draft = next[0] ? document_draft(view->doc) : NULL;
    if (!draft)
        return;
    rn_error err = {0};
    char what[96];
    slip_what(what, sizeof what, view, (rv_part_at){PART_SLIP_ROW, view->slip.row, 0});
    if (slip_put(draft, view, view->slip.row, next, &err) != RN_OK) {
        rn_plan_free(draft);
        view_say(view, true, "%s", err.message);
        return;
    }
    gesture_commit(view, draft, what, true);
}

void slip_what(char *text, int size, const rv_view *view, rv_part_at what)
{
    const rn_plan *plan = document_plan(view->doc);
    const rn_key *key = what.part == PART_SLIP_ROW ? slip_key(view, what.a) : NULL;
    const char *name = key ? key->name : what.part == PART_END ? "end" : "colour";
    if (what.part == PART_LIMIT) {
        snprintf(text, (size_t)size, "%s", limit_words((rv_limit)what.a));
        return;
    }
    if (view->slip.kind == SLIP_JAR && view->slip.index < plan->paint_count)
        snprintf(text, (size_t)size, "%s of %s", name, plan->paints[view->slip.index].name);
    else
        snprintf(text, (size_t)size, "%s", name);
}
