#include "search/doubt.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "search/doubt_target.h"

#define TEXT_SIZE 60

void rn_doubt_text(char *text, int size, const rn_doubt *doubt)
{
    char value[TEXT_SIZE];
    rn_units_round(value, sizeof value, doubt->half, doubt->share ? RN_DIM_SHARE : doubt->dimension, NULL,
                   RN_DOUBT_DIGITS);
    snprintf(text, (size_t)size, "+-%s", value);
}

/* How far hands, cups and scales are off; common practice, no source. */
static const char *example_of(rn_dimension dimension)
{
    static const char *const examples[RN_DIMENSIONS] = {
        [RN_DIM_SHARE] = "5 %",        [RN_DIM_LENGTH] = "2 mm",    [RN_DIM_VOLUME] = "2 ml",
        [RN_DIM_TIME] = "1 s",         [RN_DIM_ANGLE] = "1 deg",    [RN_DIM_RATE] = "2 rpm",
        [RN_DIM_STRESS] = "0.1 Pa",    [RN_DIM_TENSION] = "2 mN/m", [RN_DIM_VISCOSITY] = "0.1 Pa s",
        [RN_DIM_DENSITY] = "0.05 g/ml"};
    return examples[dimension] ? examples[dimension] : rn_dimension_example(dimension);
}

/* "+-5%" -> 0.05 of the value, "+-0.2 deg" -> [rad]. */
static rn_status read_half(rn_doubt *doubt, const char *text, rn_error *err)
{
    char plain[TEXT_SIZE], quoted[RN_QUOTE_SIZE];
    rn_error own = {0};
    double half;
    rn_text_quote(quoted, text);
    if (!rn_units_plain(plain, sizeof plain, text) || strncmp(plain, "+-", 2) != 0)
        return rn_fail(err, RN_E_PLAN, "'%s' says not how far; write for example '+-5%%' or '+-%s'", quoted,
                       example_of(doubt->dimension));
    const char *figure = plain + 2 + strspn(plain + 2, " ");
    const size_t length = strlen(figure);
    doubt->share = doubt->dimension != RN_DIM_SHARE && length > 0 && figure[length - 1] == '%';
    if (strcmp(figure, "0") == 0)
        half = 0;
    else if (doubt->dimension > RN_DIM_COUNT && rn_units_read(&half, NULL, figure, RN_DIM_PLAIN, 0, NULL) == RN_OK)
        return rn_fail(err, RN_E_PLAN, "'%s' has no unit; write for example '+-5%%' or '+-%s'", quoted,
                       example_of(doubt->dimension));
    else if (rn_units_read(&half, NULL, figure, doubt->share ? RN_DIM_SHARE : doubt->dimension, 0, &own))
        return rn_fail(err, RN_E_PLAN, "%s", own.message);
    if (!(half >= 0) || (doubt->share && half > 1))
        return rn_fail(err, RN_E_PLAN, "'%s' is no doubt: it goes from +-0 to %s", quoted,
                       doubt->share ? "+-100 %" : "as much as the key allows");
    doubt->half = half;
    return RN_OK;
}

static rn_status make(rn_doubt *doubt, const rn_plan *plan, const char *path, const char *text, rn_error *err)
{
    rn_target targets[RN_TARGETS_MOST];
    rn_doubt made = {.half = 0};
    rn_plan_number number;
    char quoted[RN_QUOTE_SIZE];
    bool any = false;
    rn_text_quote(quoted, path);
    const int count = strlen(path) < sizeof made.path ? rn_targets_of(targets, plan, path) : 0;
    if (count == 0) {
        const char *key = strchr(path, '.');
        if (key && !strchr(key + 1, '.') && rn_target_list(plan, path, (size_t)(key - path)).count >= 0)
            return rn_fail(err, RN_E_PLAN, "%s: nothing in that list has such a number", quoted);
        const rn_status status = rn_plan_number_at(&number, plan, path, err);
        return status ? status
                      : rn_fail(err, RN_E_PLAN, "%s: %s cannot be off by some", quoted,
                                number.whole ? "a whole number" : "what is not given");
    }
    memcpy(made.path, path, strlen(path) + 1);
    made.dimension = targets[0].number.dimension;
    rn_error own = {0};
    const rn_status status = read_half(&made, text, &own);
    if (status)
        return rn_fail(err, status, "%s: %s", quoted, own.message);
    for (int i = 0; i < count; i++)
        any = any || targets[i].number.value != 0;
    if (made.share && (!any || rn_doubt_is_level(path)))
        return rn_fail(err, RN_E_PLAN, "%s: a share of it says nothing here; write for example '+-%s'", quoted,
                       rn_doubt_is_level(path) ? "0.2 deg" : example_of(made.dimension));
    if (rn_doubt_is_level(path) && made.half > RN_SLOPE_DOUBT_MOST * RN_DEGREE)
        return rn_fail(err, RN_E_PLAN, "%s: a bench is level to +-%g deg at least", quoted, RN_SLOPE_DOUBT_MOST);
    *doubt = made;
    return RN_OK;
}

/* ---- doubts that speak of the same ---- */

/* Whether a draw of one changes what is behind the other. */
static bool moves(const rn_doubt *one, const rn_doubt *other, const rn_plan *plan)
{
    static const double tries[] = {0.9, 0.1}; /* one of the two may make no plan */
    const rn_doubts alone = {.count = 1, .items = {*one}};
    rn_target behind[RN_TARGETS_MOST];
    const int count = rn_targets_behind(behind, plan, other->path);
    for (int t = 0; t < 2; t++) {
        rn_plan *drawn = NULL;
        double readings[3];
        if (rn_doubts_draw(&drawn, readings, &alone, plan, (const double[]){tries[t], tries[t]}, NULL))
            continue;
        const bool changed = rn_targets_changed(behind, count, drawn);
        rn_plan_free(drawn);
        return changed;
    }
    return false;
}

static bool alike(const rn_doubt *one, const rn_doubt *other, const rn_plan *plan)
{
    return strcmp(one->path, other->path) == 0 || moves(one, other, plan) || moves(other, one, plan);
}

static void drop(rn_doubts *doubts, int at)
{
    doubts->count--;
    memmove(&doubts->items[at], &doubts->items[at + 1], (size_t)(doubts->count - at) * sizeof doubts->items[0]);
}

static rn_status put(rn_doubts *doubts, const rn_plan *plan, const rn_doubt *doubt, rn_error *err)
{
    rn_doubt probe = *doubt;
    if (!(probe.half > 0)) { /* "+-0": only what it speaks of counts */
        probe.share = false;
        probe.half = rn_doubt_is_level(probe.path) ? RN_DEGREE : 0;
    }
    for (int i = doubts->count - 1; i >= 0; i--) {
        if (!alike(&probe, &doubts->items[i], plan))
            continue;
        if (!doubts->items[i].usual)
            return rn_fail(err, RN_E_PLAN, "%s: '%s' is given as well and speaks of the same", doubt->path,
                           doubts->items[i].path);
        drop(doubts, i);
    }
    if (!(doubt->half > 0))
        return RN_OK;
    if (doubts->count == RN_DOUBTS_MOST)
        return rn_fail(err, RN_E_PLAN, "there are too many doubts: at most %d", RN_DOUBTS_MOST);
    doubts->items[doubts->count++] = *doubt;
    return RN_OK;
}

/* "paints.*.viscosity" -> "paints.kelp.viscosity": by name where entries have one. */
static void name_entry(char path[RN_DOUBT_PATH], const rn_plan *plan, const rn_target_entries *all, int at,
                       const char *rest)
{
    const char *name = "";
    if (strcmp(all->word, "paints") == 0)
        name = plan->paints[at].name;
    else if (strcmp(all->word, "pours") == 0)
        name = plan->pours[at].name;
    if (*name)
        snprintf(path, RN_DOUBT_PATH, "%s.%s%.40s", all->word, name, rest);
    else
        snprintf(path, RN_DOUBT_PATH, "%s.%d%.40s", all->word, at + 1, rest);
}

static rn_status add_each(rn_doubts *doubts, const rn_plan *plan, const char *path, const char *star, const char *text,
                          rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], one[RN_DOUBT_PATH];
    const rn_target_entries all =
        star > path ? rn_target_list(plan, path, (size_t)(star - path) - 1) : (rn_target_entries){NULL, -1};
    int found = 0;
    rn_text_quote(quoted, path);
    if (all.count < 0 || star[1] != '.' || strchr(star + 1, '*'))
        return rn_fail(err, RN_E_PLAN, "%s: a star stands for a name or number: write for example paints.*.viscosity",
                       quoted);
    for (int i = 0; i < all.count; i++) {
        rn_target known;
        rn_doubt made;
        name_entry(one, plan, &all, i, star + 1);
        if (!rn_target_at(&known, plan, one))
            continue;
        rn_status status = make(&made, plan, one, text, err);
        if (status == RN_OK)
            status = put(doubts, plan, &made, err);
        if (status)
            return status;
        found++;
    }
    return found > 0 ? RN_OK : rn_fail(err, RN_E_PLAN, "%s: nothing in that list has such a number", quoted);
}

rn_status rn_doubts_add(rn_doubts *doubts, const rn_plan *plan, const char *path, const char *text, rn_error *err)
{
    rn_doubts added = *doubts;
    rn_doubt made;
    const char *star = strchr(path, '*');
    rn_status status;
    if (star) {
        status = add_each(&added, plan, path, star, text, err);
    } else {
        status = make(&made, plan, path, text, err);
        if (status == RN_OK)
            status = put(&added, plan, &made, err);
    }
    if (status == RN_OK)
        *doubts = added;
    return status;
}

rn_doubts rn_doubts_usual(const rn_plan *plan)
{
    static const struct {
        const char *path, *text;
    } usual[] = {
        {"consistency", "+-10 %"}, /* common practice, no source; so with the others */
        {"poured", "+-3 %"},       /* what stays in cups, and their marks */
        {"moves.spin", "+-5 %"},      {RN_DOUBT_LEVEL, "+-0.2 deg"}, /* each way, by a small bubble level */
        {"panel.advance", "+-5 deg"},
    };
    rn_doubts doubts = {.count = 0};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        if (strcmp(usual[i].path, "panel.advance") == 0 && !(plan->panel.advance > 0))
            continue; /* the front runs freely, by choice */
        if (make(&doubts.items[doubts.count], plan, usual[i].path, usual[i].text, NULL) == RN_OK)
            doubts.items[doubts.count++].usual = true;
    }
    return doubts;
}
