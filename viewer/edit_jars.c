/* Changes to the jars on the shelf. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "edit.h"
#include "tidy.h"

#define NEW_JAR 40e-6    /* [m3] */
#define LEAST_PLACE 1e-8 /* a place in a stack keeps so much, that it can grow again [m3] */
#define MOST_PLACE 20e-3 /* as much as a plan takes [m3] */

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

/* A paint's places in a stack, or in all of them (pour -1), their number. */
static int places_of(double *places[RN_POURS_MOST * RN_LAYERS_MOST], rn_plan *plan, int pour, int paint)
{
    int count = 0;
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count && (pour < 0 || pour == p); k++)
            if (plan->pours[p].stack[k].paint == paint)
                places[count++] = &plan->pours[p].stack[k].volume;
    return count;
}

static double sum_of(double *const *places, int count)
{
    double sum = 0;
    for (int k = 0; k < count; k++)
        sum += *places[k];
    return sum;
}

/* Scales places to a sum: each as a person would write it, and what that leaves over or wants goes to the largest. */
static void share_out(double *const *places, int count, double volume)
{
    const double now = sum_of(places, count);
    int largest = 0;
    for (int k = 0; k < count; k++) {
        const double share = now > 0 ? *places[k] * (volume / now) : volume / count;
        *places[k] = tidy_within(share, LEAST_PLACE, MOST_PLACE, RN_DIM_VOLUME, 3);
        largest = *places[k] > *places[largest] ? k : largest;
    }
    if (count > 0)
        *places[largest] =
            tidy_within(*places[largest] + volume - sum_of(places, count), LEAST_PLACE, MOST_PLACE, RN_DIM_VOLUME, 3);
}

void edit_set_jar_volume(rn_plan *plan, int paint, double volume)
{
    double *places[RN_POURS_MOST * RN_LAYERS_MOST];
    const int count = places_of(places, plan, -1, paint);
    volume = tidy(fmax(volume, LEAST_PLACE), RN_DIM_VOLUME, 3);
    if (count == 0)
        give_place(plan, paint, fmin(volume, MOST_PLACE));
    else
        share_out(places, count, volume);
}

double edit_jar_viscosity(const rn_plan *plan, int paint)
{
    return rn_law_viscosity(&plan->paints[paint].law, 1);
}

/* Three digits are as many as a painter can mix; where the law has two parts each keeps one more. */
static void scale_law(rn_law *law, double factor)
{
    const int digits = law->yield > 0 ? 4 : 3;
    law->consistency = fmin(fmax(tidy_digits(law->consistency * factor, RN_DIM_VISCOSITY, digits), 1e-4), 1e4);
    law->yield = fmin(tidy_digits(law->yield * factor, RN_DIM_STRESS, digits), 1000);
}

void edit_set_jar_viscosity(rn_plan *plan, int paint, double viscosity)
{
    rn_law *law = &plan->paints[paint].law;
    const double now = rn_law_viscosity(law, 1);
    if (now > 0 && viscosity > 0)
        scale_law(law, viscosity / now);
}

bool edit_pourable(const rn_plan *plan)
{
    return plan->pour_count + plan->base_count > 0;
}

void edit_scale_poured(rn_plan *plan, double factor)
{
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            plan->pours[p].stack[k].volume *= factor;
}

void edit_scale_viscosity(rn_plan *plan, double factor)
{
    for (int k = 0; k < plan->paint_count; k++)
        scale_law(&plan->paints[k].law, factor);
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
    paint->law =
        made > 0 ? plan->paints[made - 1].law : (rn_law){rn_consistency_ladder[RN_CONSISTENCY_USUAL].viscosity, 1, 0};
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
        double left = 0;
        for (int k = 0; k < kept; k++)
            left += pour->stack[k].volume;
        if (!(left > 0))
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

/* Two paints exchange places in a stack that holds both; each keeps its volume. */
static void exchange_in_stack(rn_plan *plan, int pour, int a, int b)
{
    double *places[RN_POURS_MOST * RN_LAYERS_MOST], *others[RN_POURS_MOST * RN_LAYERS_MOST];
    const int count = places_of(places, plan, pour, a), other_count = places_of(others, plan, pour, b);
    if (count == 0 || other_count == 0)
        return;
    const double volume = sum_of(places, count), other_volume = sum_of(others, other_count);
    rn_pour *p = &plan->pours[pour];
    for (int k = 0; k < p->layer_count; k++)
        p->stack[k].paint = p->stack[k].paint == a ? b : p->stack[k].paint == b ? a : p->stack[k].paint;
    if (count != other_count) {
        share_out(others, other_count, volume);
        share_out(places, count, other_volume);
        return;
    }
    for (int k = 0; k < count; k++) {
        const double kept = *places[k];
        *places[k] = *others[k];
        *others[k] = kept;
    }
}

/* Two paints that are in no stack exchange places in the list. */
static void exchange_in_list(rn_plan *plan, int a, int b)
{
    const rn_paint kept = plan->paints[a];
    plan->paints[a] = plan->paints[b];
    plan->paints[b] = kept;
    for (int k = 0; k < plan->base_count; k++)
        plan->bases[k].paint = plan->bases[k].paint == a ? b : plan->bases[k].paint == b ? a : plan->bases[k].paint;
}

static bool in_a_stack(const rn_plan *plan, int paint)
{
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            if (plan->pours[p].stack[k].paint == paint)
                return true;
    return false;
}

static int place_on_shelf(const rn_plan *plan, int paint)
{
    int order[RN_PAINTS_MOST];
    const int count = edit_shelf_order(order, plan);
    for (int k = 0; k < count; k++)
        if (order[k] == paint)
            return k;
    return -1;
}

/* From neighbour to neighbour, so that those in between keep their order; stops where a jar cannot pass: those that are
   poured stand before those that are not, and an earlier release before a later. */
void edit_move_jar(rn_plan *plan, int paint, int to)
{
    const int goal = place_on_shelf(plan, to);
    for (int from = place_on_shelf(plan, paint), tries = 0; from != goal && from >= 0 && goal >= 0; tries++) {
        int order[RN_PAINTS_MOST];
        edit_shelf_order(order, plan);
        const int other = order[from + (goal > from ? 1 : -1)];
        if (!in_a_stack(plan, paint) && !in_a_stack(plan, other)) {
            exchange_in_list(plan, paint, other);
            paint = other;
        }
        for (int p = 0; p < plan->pour_count; p++)
            exchange_in_stack(plan, p, paint, other);
        const int now = place_on_shelf(plan, paint);
        if (now == from || tries > RN_PAINTS_MOST)
            return;
        from = now;
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
    plan->bases[found].depth = tidy_within(depth, 1e-6, 50e-3, RN_DIM_LENGTH, 3);
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
    if (isnan(depth)) {
        if (!expect)
            return;
        const long after = plan->expects + plan->expect_count - expect - 1;
        memmove(expect, expect + 1, (size_t)after * sizeof *expect);
        plan->expect_count--;
        return;
    }
    if (!expect) {
        if (plan->expect_count >= RN_EXPECTS_MOST)
            return;
        expect = &plan->expects[plan->expect_count++];
        *expect = (rn_expect){.kind = RN_EXPECT_THINNEST, .relation = RN_AT_LEAST};
    }
    expect->value = tidy_within(depth, 0, 50e-3, RN_DIM_LENGTH, 3);
}
