#include "plan/plan_unlike.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "plan/plan_keys.h"

#define TEXT 400

double rn_plan_viscosity(const rn_plan *plan)
{
    double volume;
    const rn_paint mixture = rn_plan_mixture(&volume, plan);
    return volume > 0 ? rn_law_viscosity(&mixture.law, 1) : NAN;
}

static int elements(const rn_plan *plan, rn_section section)
{
    switch (section) {
    case RN_SECTION_PAINT: return plan->paint_count;
    case RN_SECTION_BASE: return plan->base_count;
    case RN_SECTION_POUR: return plan->pour_count;
    case RN_SECTION_MOVE: return plan->move_count;
    case RN_SECTION_PLAN:
    case RN_SECTION_PANEL:
    case RN_SECTION_LIMITS:
    case RN_SECTIONS: break;
    }
    return 1;
}

static bool is_flow(rn_section section, const rn_key *key)
{
    return section == RN_SECTION_PAINT &&
           (key->kind == RN_KEY_CONSISTENCY || !strcmp(key->name, "viscosity") || !strcmp(key->name, "yield"));
}

/* Whether a key says the same in all plans. */
static bool alike(const rn_plan *const plans[], int count, rn_section section, int index, const rn_key *key)
{
    char first[TEXT], other[TEXT];
    const bool given = rn_key_value_text(first, sizeof first, plans[0], section, index, key);
    for (int k = 1; k < count; k++)
        if (rn_key_value_text(other, sizeof other, plans[k], section, index, key) != given || strcmp(first, other) != 0)
            return false;
    return true;
}

static const char *noun_of(rn_section section)
{
    switch (section) {
    case RN_SECTION_BASE: return "base coat";
    case RN_SECTION_POUR: return "release";
    case RN_SECTION_MOVE: return "move";
    case RN_SECTION_PAINT:
    case RN_SECTION_PLAN:
    case RN_SECTION_PANEL:
    case RN_SECTION_LIMITS:
    case RN_SECTIONS: break;
    }
    return "";
}

static void name_key(char words[80], const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    if (section == RN_SECTION_PAINT)
        snprintf(words, 80, "%s of %s", key->name, plan->paints[index].name);
    else if (section == RN_SECTION_PANEL)
        snprintf(words, 80, "%s of the panel", key->name);
    else if (elements(plan, section) > 1)
        snprintf(words, 80, "%s of %s %d", key->name, noun_of(section), index + 1);
    else
        snprintf(words, 80, "%s", key->name);
}

/* The next place in the list of keys, counted in any case; NULL once that is full. */
static rn_unlike_key *next_key(rn_unlike *unlike, int keys)
{
    unlike->count += keys;
    return unlike->listed < RN_UNLIKE_KEYS ? &unlike->keys[unlike->listed++] : NULL;
}

static const char *elements_word(rn_section section)
{
    return section == RN_SECTION_PAINT  ? "paints"
           : section == RN_SECTION_MOVE ? "moves"
           : section == RN_SECTION_POUR ? "releases"
                                        : "base coats";
}

/* Elements that not all of the plans have. Returns how many they all have. */
static int compare_elements(rn_unlike *unlike, const rn_plan *const plans[], int count, rn_section section)
{
    int least = elements(plans[0], section), most = least;
    for (int k = 1; k < count; k++) {
        const int own = elements(plans[k], section);
        least = own < least ? own : least;
        most = own > most ? own : most;
    }
    rn_unlike_key *listed = most > least ? next_key(unlike, most - least) : NULL;
    if (listed) {
        snprintf(listed->words, sizeof listed->words, "the number of %s", elements_word(section));
        for (int p = 0; p < count; p++)
            snprintf(listed->values[p], sizeof listed->values[p], "%d", elements(plans[p], section));
    }
    return least;
}

static void note_key(rn_unlike *unlike, const rn_plan *const plans[], int count, rn_section section, int index,
                     const rn_key *key)
{
    rn_unlike_key *listed = next_key(unlike, 1);
    if (!listed)
        return;
    name_key(listed->words, plans[0], section, index, key);
    for (int p = 0; p < count; p++)
        if (!rn_key_value_text(listed->values[p], sizeof listed->values[p], plans[p], section, index, key))
            snprintf(listed->values[p], sizeof listed->values[p], "none");
}

/* Whether all keys that differ are of how paint flows, or of how much is poured. */
static void compare(rn_unlike *unlike, bool *flow, bool *stacks, const rn_plan *const plans[], int count)
{
    *flow = *stacks = true;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int key_count;
        const rn_key *keys = rn_plan_keys(&key_count, section);
        const int before = unlike->count, shared = compare_elements(unlike, plans, count, section);
        if (unlike->count > before)
            *flow = *stacks = false;
        for (int index = 0; index < shared; index++)
            for (int k = 0; k < key_count; k++) {
                if (keys[k].kind == RN_KEY_TITLE || keys[k].kind == RN_KEY_SECTION || keys[k].kind == RN_KEY_VERSION ||
                    alike(plans, count, section, index, &keys[k]))
                    continue;
                note_key(unlike, plans, count, section, index, &keys[k]);
                *flow = *flow && is_flow(section, &keys[k]);
                *stacks = *stacks && keys[k].kind == RN_KEY_STACK;
            }
    }
}

/* All of it in short. */
static void sum_up(rn_unlike *unlike, const rn_plan *const plans[], int count)
{
    rn_unlike_key *whole = &unlike->whole;
    switch (unlike->kind) {
    case RN_ALIKE: break;
    case RN_UNLIKE_CONSISTENCY: snprintf(whole->words, sizeof whole->words, "consistency"); break;
    case RN_UNLIKE_POURED: snprintf(whole->words, sizeof whole->words, "paint poured"); break;
    case RN_UNLIKE_ONE: *whole = unlike->keys[0]; break;
    case RN_UNLIKE_SEVERAL: snprintf(whole->words, sizeof whole->words, "%d things", unlike->count); break;
    }
    for (int k = 0; k < count; k++) {
        const double viscosity = rn_plan_viscosity(plans[k]);
        if (unlike->kind == RN_UNLIKE_CONSISTENCY && isnan(viscosity))
            snprintf(whole->values[k], sizeof whole->values[k], "no paint");
        else if (unlike->kind == RN_UNLIKE_CONSISTENCY)
            snprintf(whole->values[k], sizeof whole->values[k], "like %s", rn_consistency_word(viscosity));
        else if (unlike->kind == RN_UNLIKE_POURED)
            snprintf(whole->values[k], sizeof whole->values[k], "%.0f ml poured", 1e6 * rn_plan_poured_all(plans[k]));
        if (!isnan(viscosity))
            snprintf(unlike->note[k], sizeof unlike->note[k], "%.3g Pa·s", viscosity);
    }
}

rn_unlike rn_plan_unlike(const rn_plan *const plans[], int count)
{
    rn_unlike unlike = {.kind = RN_ALIKE};
    bool flow = false, stacks = false;
    compare(&unlike, &flow, &stacks, plans, count);
    if (unlike.count > 0)
        unlike.kind = flow                ? RN_UNLIKE_CONSISTENCY
                      : stacks            ? RN_UNLIKE_POURED
                      : unlike.count == 1 ? RN_UNLIKE_ONE
                                          : RN_UNLIKE_SEVERAL;
    sum_up(&unlike, plans, count);
    return unlike;
}
