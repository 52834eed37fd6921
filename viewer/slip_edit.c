#include "slip_edit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "gesture.h"
#include "limit.h"
#include "plan/plan_keys.h"
#include "slip.h"

void slip_value(char *text, int size, const rv_view *view, int row)
{
    text[0] = '\0';
    const rn_key *key = slip_key(view, row);
    if (row < 0)
        slip_jar_value(text, size, view, row);
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

static rn_status put_key(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err)
{
    char path[256];
    if (!slip_path(path, sizeof path, view, row))
        return rn_fail(err, RN_E_USAGE, "nothing to set there");
    rn_error own = {0};
    const rn_status status = rn_plan_set(draft, path, text, &own);
    slip_say_plainly(&own, path);
    return status ? rn_fail(err, status, "%s", own.message) : RN_OK;
}

/* Words that a file may still hold are not taken from the keys, where the right one can be typed at once. */
static rn_status refuse_old_words(const rn_plan *draft, int before, rn_error *err)
{
    char text[300];
    if (draft->old_word_count <= before)
        return RN_OK;
    return rn_fail(err, RN_E_PLAN, "%s", rn_consistency_old_text(text, sizeof text, draft->old_words[before].word));
}

rn_status slip_put(rn_plan *draft, const rv_view *view, int row, const char *text, rn_error *err)
{
    const int before = draft->old_word_count;
    const rn_status status = row < 0 ? slip_jar_put(draft, view, row, text, err) : put_key(draft, view, row, text, err);
    return status ? status : refuse_old_words(draft, before, err);
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

/* A key's value a step on; "" if it has no steps. */
static void step_key(char *next, int size, const rn_key *key, const char *now, int up, bool coarse)
{
    next[0] = '\0';
    if (key->words && (key->kind == RN_KEY_WORD || key->kind == RN_KEY_FLAG)) {
        snprintf(next, (size_t)size, "%s", next_word(key->words, now, up));
    } else if (key->kind == RN_KEY_CONSISTENCY) {
        const char *words[RN_CONSISTENCY_COUNT + 1] = {0};
        for (int k = 0; k < RN_CONSISTENCY_COUNT; k++)
            words[k] = rn_consistency_ladder[k].word;
        snprintf(next, (size_t)size, "%s", next_word(words, now, up));
    } else if (key->kind == RN_KEY_COUNT || key->kind == RN_KEY_SEED) {
        long value;
        if (sscanf(now, "%ld", &value) == 1)
            snprintf(next, (size_t)size, "%ld", value + up * (coarse ? 10 : 1));
    } else {
        const double factor = coarse ? 1.5 : 1.05;
        if (!step_quantity(next, size, key, now, up > 0 ? factor : 1 / factor))
            next[0] = '\0';
    }
}

void slip_step(rv_view *view, int up, bool coarse)
{
    const int row = view->slip.row;
    const rn_key *key = slip_key(view, row);
    char now[TYPING_SIZE], next[TYPING_SIZE] = "";
    slip_value(now, sizeof now, view, row);
    if (row < 0)
        slip_jar_step(next, sizeof next, view, row, up, coarse);
    else if (key)
        step_key(next, sizeof next, key, now, up, coarse);
    rn_plan *draft = next[0] ? document_draft(view->doc) : NULL;
    if (!draft)
        return;
    rn_error err = {0};
    char what[96];
    slip_what(what, sizeof what, view, (rv_part_at){PART_SLIP_ROW, row, 0});
    if (slip_put(draft, view, row, next, &err) != RN_OK) {
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
    const bool head = what.part == PART_SLIP_ROW && what.a < 0;
    const char *name = key                     ? key->name
                       : head                  ? (what.a == SLIP_ROW_VOLUME ? "volume" : "consistency")
                       : what.part == PART_END ? "end"
                                               : "colour";
    if (what.part == PART_LIMIT) {
        snprintf(text, (size_t)size, "%s", limit_words((rv_limit)what.a));
        return;
    }
    if (view->slip.kind == SLIP_JAR && view->slip.index < plan->paint_count)
        snprintf(text, (size_t)size, "%s of %s", name, plan->paints[view->slip.index].name);
    else
        snprintf(text, (size_t)size, "%s", name);
}

/* Where a path ends at the front of a message, and a painter's word for the list it leads into; NULL: it has none. */
static const char *path_of(const char **word, const char *message)
{
    static const struct {
        const char *section, *word;
    } lists[] = {
        {"paints.", ""}, {"base.", "base coat "}, {"pours.", "release "}, {"moves.", "move "}, {"panel.", NULL}};
    const char *colon = strstr(message, ": ");
    for (size_t k = 0; colon && k < sizeof lists / sizeof *lists; k++)
        if (strncmp(message, lists[k].section, strlen(lists[k].section)) == 0) {
            *word = lists[k].word;
            return colon;
        }
    return NULL;
}

void slip_say_plainly(rn_error *err, const char *own)
{
    char *message = err->message, quoted[RN_QUOTE_SIZE], plain[sizeof err->message];
    const size_t length = own ? strlen(rn_text_quote(quoted, own)) : 0;
    if (own && strncmp(message, quoted, length) == 0 && strncmp(message + length, ": ", 2) == 0) {
        memmove(message, message + length + 2, strlen(message + length + 2) + 1);
        return;
    }
    const char *word, *colon = path_of(&word, message);
    if (!colon)
        return;
    const char *name = strchr(message, '.') + 1, *end = colon;
    while (end > name && *end != '.') /* the key itself is named by what is said of it */
        end--;
    if (!word)
        snprintf(plain, sizeof plain, "panel%s", colon);
    else
        snprintf(plain, sizeof plain, "%s%.*s%s", word, (int)((end > name ? end : colon) - name), name, colon);
    snprintf(message, sizeof err->message, "%s", plain);
}
