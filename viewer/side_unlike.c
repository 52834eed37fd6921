/* In what plans that stand side by side differ, key by key. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "edit.h"
#include "plan/plan_keys.h"
#include "side.h"

#define TEXT 400

double side_viscosity(const rn_plan *plan)
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

static void name_key(rv_unlike *unlike, const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    if (section == RN_SECTION_PAINT)
        snprintf(unlike->words, sizeof unlike->words, "%s of %s", key->name, plan->paints[index].name);
    else if (section == RN_SECTION_PANEL)
        snprintf(unlike->words, sizeof unlike->words, "%s of the panel", key->name);
    else if (elements(plan, section) > 1)
        snprintf(unlike->words, sizeof unlike->words, "%s of %s %d", key->name, noun_of(section), index + 1);
    else
        snprintf(unlike->words, sizeof unlike->words, "%s", key->name);
}

static double poured(const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST], sum = 0;
    rn_plan_poured(volumes, plan);
    for (int k = 0; k < plan->paint_count; k++)
        sum += volumes[k];
    return sum;
}

/* Keys that differ: counted, the first named, and whether all are of how paint flows, or of how much is poured. */
static void compare(rv_unlike *unlike, bool *flow, bool *stacks, const rn_plan *const plans[], int count)
{
    *flow = *stacks = true;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int keys_count, least = elements(plans[0], section), most = least;
        const rn_key *keys = rn_plan_keys(&keys_count, section);
        for (int k = 1; k < count; k++) {
            const int own = elements(plans[k], section);
            least = own < least ? own : least;
            most = own > most ? own : most;
        }
        if (most > least) {
            *flow = *stacks = false;
            if (unlike->count == 0)
                snprintf(unlike->words, sizeof unlike->words, "the number of %s",
                         section == RN_SECTION_PAINT  ? "paints"
                         : section == RN_SECTION_MOVE ? "moves"
                         : section == RN_SECTION_POUR ? "releases"
                                                      : "base coats");
            unlike->count += most - least;
        }
        for (int index = 0; index < least; index++)
            for (int k = 0; k < keys_count; k++) {
                if (keys[k].kind == RN_KEY_TITLE || keys[k].kind == RN_KEY_SECTION || keys[k].kind == RN_KEY_VERSION ||
                    alike(plans, count, section, index, &keys[k]))
                    continue;
                if (unlike->count++ == 0) {
                    name_key(unlike, plans[0], section, index, &keys[k]);
                    for (int p = 0; p < count; p++)
                        if (!rn_key_value_text(unlike->values[p], sizeof *unlike->values, plans[p], section, index,
                                               &keys[k]))
                            snprintf(unlike->values[p], sizeof *unlike->values, "none");
                }
                *flow = *flow && is_flow(section, &keys[k]);
                *stacks = *stacks && keys[k].kind == RN_KEY_STACK;
            }
    }
}

rv_unlike side_unlike(const rn_plan *const plans[], int count)
{
    rv_unlike unlike = {.kind = UNLIKE_NOTHING};
    bool flow = false, stacks = false;
    compare(&unlike, &flow, &stacks, plans, count);
    for (int k = 0; k < count; k++) {
        const double viscosity = side_viscosity(plans[k]);
        if (!isnan(viscosity))
            snprintf(unlike.note[k], sizeof unlike.note[k], "%.3g Pa·s", viscosity);
    }
    if (unlike.count == 0)
        return unlike;
    unlike.kind = flow ? UNLIKE_CONSISTENCY : stacks ? UNLIKE_POURED : unlike.count == 1 ? UNLIKE_ONE : UNLIKE_SEVERAL;
    for (int k = 0; k < count; k++) {
        if (flow)
            snprintf(unlike.values[k], sizeof unlike.values[k], "%s",
                     isnan(side_viscosity(plans[k])) ? "no paint" : rn_consistency_word(side_viscosity(plans[k])));
        else if (stacks)
            snprintf(unlike.values[k], sizeof unlike.values[k], "%.0f ml poured", 1e6 * poured(plans[k]));
        else if (unlike.kind == UNLIKE_SEVERAL)
            unlike.values[k][0] = '\0';
    }
    if (flow)
        snprintf(unlike.words, sizeof unlike.words, "consistency");
    else if (stacks)
        snprintf(unlike.words, sizeof unlike.words, "paint poured");
    else if (unlike.kind == UNLIKE_SEVERAL)
        snprintf(unlike.words, sizeof unlike.words, "%d things", unlike.count);
    return unlike;
}
