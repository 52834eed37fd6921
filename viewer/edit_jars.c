/* Changes to the jars on the shelf. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "edit.h"

#define NEW_JAR 40e-6    /* [m3] */
#define LEAST_PLACE 1e-9 /* a place in a stack keeps so much, that it can grow again [m3] */

/* Quiet colours apart from each other, for jars that are new. */
static const uint8_t colours[RN_PAINTS_MOST][3] = {
    {0x2b, 0x3a, 0x6f}, {0xe8, 0xe4, 0xd8}, {0xd6, 0x4d, 0x65}, {0x2f, 0xa0, 0xa8},
    {0xdf, 0xae, 0x3f}, {0x6d, 0x8b, 0x4a}, {0x7a, 0x2f, 0x4a}, {0x9b, 0xb7, 0xd4},
    {0xb5, 0x62, 0x2e}, {0x3c, 0x3c, 0x40}, {0xc9, 0xa8, 0xc2}, {0x1f, 0x5a, 0x4c},
};

static const char *const names[RN_PAINTS_MOST] = {"ink",  "bone", "coral", "lagoon", "ochre", "moss",
                                                  "plum", "haze", "rust",  "slate",  "lilac", "fir"};

double edit_jar_volume(const rn_plan *plan, int paint)
{
    double sum = 0;
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            if (plan->pours[p].stack[k].paint == paint)
                sum += plan->pours[p].stack[k].volume;
    return sum;
}

/* A place for a paint as the last out of the first pour; false if there is none. */
static bool give_place(rn_plan *plan, int paint, double volume)
{
    if (plan->pour_count == 0 || plan->pours[0].layer_count >= RN_LAYERS_MOST)
        return false;
    rn_pour *pour = &plan->pours[0];
    pour->stack[pour->layer_count++] = (rn_layer){paint, volume};
    return true;
}

void edit_set_jar_volume(rn_plan *plan, int paint, double volume)
{
    const double now = edit_jar_volume(plan, paint);
    if (now <= 0) {
        for (int p = 0; p < plan->pour_count; p++) /* a place that was there with nothing in it */
            for (int k = 0; k < plan->pours[p].layer_count; k++)
                if (plan->pours[p].stack[k].paint == paint) {
                    plan->pours[p].stack[k].volume = volume;
                    return;
                }
        give_place(plan, paint, volume);
        return;
    }
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            if (plan->pours[p].stack[k].paint == paint)
                plan->pours[p].stack[k].volume = fmax(plan->pours[p].stack[k].volume * (volume / now), LEAST_PLACE);
}

double edit_jar_viscosity(const rn_plan *plan, int paint)
{
    return rn_law_viscosity(&plan->paints[paint].law, 1);
}

void edit_set_jar_viscosity(rn_plan *plan, int paint, double viscosity)
{
    rn_law *law = &plan->paints[paint].law;
    const double now = rn_law_viscosity(law, 1);
    if (!(now > 0))
        return;
    const double to = pow(10, 3 - ceil(log10(viscosity))); /* three digits are as many as a painter can mix */
    const double rounded = round(viscosity * to) / to;
    if (law->yield == 0) {
        law->consistency = rounded;
        return;
    }
    law->consistency *= rounded / now;
    law->yield *= rounded / now;
}

void edit_scale_viscosity(rn_plan *plan, double factor)
{
    for (int k = 0; k < plan->paint_count; k++) {
        plan->paints[k].law.consistency *= factor;
        plan->paints[k].law.yield *= factor;
    }
}

static bool name_taken(const rn_plan *plan, const char *name)
{
    for (int k = 0; k < plan->paint_count; k++)
        if (strcmp(plan->paints[k].name, name) == 0)
            return true;
    return false;
}

int edit_add_jar(rn_plan *plan)
{
    if (plan->paint_count >= RN_PAINTS_MOST)
        return -1;
    const int made = plan->paint_count;
    rn_paint *paint = &plan->paints[made];
    *paint = (rn_paint){.density = 1200, .tension = 0.033, .solids = 0.35, .price = NAN};
    paint->law = made > 0 ? plan->paints[made - 1].law : (rn_law){rn_consistency_ladder[3].viscosity, 1, 0};
    if (made > 0) { /* mixed like the one before it */
        paint->density = plan->paints[made - 1].density;
        paint->tension = plan->paints[made - 1].tension;
        paint->solids = plan->paints[made - 1].solids;
    }
    for (int k = 0; k < RN_PAINTS_MOST; k++) {
        const int pick = (made + k) % RN_PAINTS_MOST;
        memcpy(paint->colour, colours[pick], sizeof paint->colour);
        snprintf(paint->name, sizeof paint->name, "%s", names[pick]);
        if (!name_taken(plan, paint->name))
            break;
    }
    for (int k = 2; name_taken(plan, paint->name); k++)
        snprintf(paint->name, sizeof paint->name, "jar %d", k);
    plan->paint_count++;
    give_place(plan, made, NEW_JAR);
    return made;
}

static void take_from_stacks(rn_plan *plan, int paint)
{
    for (int p = plan->pour_count - 1; p >= 0; p--) {
        rn_pour *pour = &plan->pours[p];
        int kept = 0;
        for (int k = 0; k < pour->layer_count; k++) {
            if (pour->stack[k].paint == paint)
                continue;
            pour->stack[kept] = pour->stack[k];
            pour->stack[kept].paint -= pour->stack[kept].paint > paint;
            kept++;
        }
        pour->layer_count = kept;
        if (kept == 0)
            edit_remove_pour(plan, p);
    }
}

void edit_remove_jar(rn_plan *plan, int paint)
{
    take_from_stacks(plan, paint);
    int kept = 0;
    for (int k = 0; k < plan->base_count; k++) {
        if (plan->bases[k].paint == paint)
            continue;
        plan->bases[kept] = plan->bases[k];
        plan->bases[kept].paint -= plan->bases[kept].paint > paint;
        kept++;
    }
    plan->base_count = kept;
    memmove(&plan->paints[paint], &plan->paints[paint + 1],
            (size_t)(plan->paint_count - paint - 1) * sizeof *plan->paints);
    plan->paint_count--;
}

int edit_shelf_order(int order[RN_PAINTS_MOST], const rn_plan *plan)
{
    bool stands[RN_PAINTS_MOST] = {false};
    int count = 0;
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++) {
            const int paint = plan->pours[p].stack[k].paint;
            if (!stands[paint])
                order[count++] = paint;
            stands[paint] = true;
        }
    for (int k = 0; k < plan->paint_count; k++)
        if (!stands[k])
            order[count++] = k;
    return count;
}

/* In every stack that holds both, the layers of one stand where those of the other stood. */
void edit_move_jar(rn_plan *plan, int paint, int to)
{
    int order[RN_PAINTS_MOST];
    const int count = edit_shelf_order(order, plan);
    int from_place = -1, to_place = -1;
    for (int k = 0; k < count; k++) {
        from_place = order[k] == paint ? k : from_place;
        to_place = order[k] == to ? k : to_place;
    }
    const int step = to_place > from_place ? 1 : -1;
    for (int place = from_place; place != to_place; place += step) {
        const int other = order[place + step];
        for (int p = 0; p < plan->pour_count; p++)
            for (int k = 0; k < plan->pours[p].layer_count; k++) {
                int *held = &plan->pours[p].stack[k].paint;
                *held = *held == paint ? other : *held == other ? paint : *held;
            }
        order[place] = other;
        order[place + step] = paint;
    }
}

double edit_base_depth(const rn_plan *plan)
{
    for (int k = 0; k < plan->base_count; k++)
        if (plan->bases[k].kind == RN_BASE_ALL)
            return isnan(plan->bases[k].depth) ? plan->bases[k].volume / rn_panel_area(&plan->panel)
                                               : plan->bases[k].depth;
    return 0;
}

void edit_set_base_depth(rn_plan *plan, double depth)
{
    int found = -1;
    for (int k = 0; k < plan->base_count && found < 0; k++)
        if (plan->bases[k].kind == RN_BASE_ALL)
            found = k;
    if (depth < 1e-6) {
        if (found < 0)
            return;
        memmove(&plan->bases[found], &plan->bases[found + 1],
                (size_t)(plan->base_count - found - 1) * sizeof *plan->bases);
        plan->base_count--;
        return;
    }
    if (found < 0) {
        if (plan->base_count >= RN_BASES_MOST || plan->paint_count == 0)
            return;
        found = plan->base_count++;
        plan->bases[found] = (rn_base){.kind = RN_BASE_ALL, .across = 0.04, .width = 0.02};
    }
    plan->bases[found].depth = depth;
    plan->bases[found].volume = NAN;
}

static rn_expect *find_thinnest(rn_plan *plan)
{
    for (int k = 0; k < plan->expect_count; k++)
        if (plan->expects[k].kind == RN_EXPECT_THINNEST && plan->expects[k].relation == RN_AT_LEAST)
            return &plan->expects[k];
    return NULL;
}

double edit_least_wanted(const rn_plan *plan)
{
    for (int k = 0; k < plan->expect_count; k++)
        if (plan->expects[k].kind == RN_EXPECT_THINNEST && plan->expects[k].relation == RN_AT_LEAST)
            return plan->expects[k].value;
    return NAN;
}

void edit_set_least_wanted(rn_plan *plan, double depth)
{
    rn_expect *expect = find_thinnest(plan);
    if (!expect) {
        if (plan->expect_count >= RN_EXPECTS_MOST)
            return;
        expect = &plan->expects[plan->expect_count++];
        *expect = (rn_expect){.kind = RN_EXPECT_THINNEST, .relation = RN_AT_LEAST};
    }
    expect->value = depth;
}
