#include "plan/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "plan/plan_value.h"

#define AFTER_LAST_EVENT 60.0 /* the default end follows the last pour and move by this [s] */

rn_plan *rn_plan_new(void)
{
    rn_plan *plan = calloc(1, sizeof *plan);
    if (!plan)
        return NULL;
    plan->pours = calloc(RN_POURS_MOST, sizeof *plan->pours);
    if (!plan->pours) {
        free(plan);
        return NULL;
    }
    plan->panel.width = plan->panel.height = 0.3048; /* the trade's usual square foot; a plan file must say */
    rn_value_defaults(plan, RN_SECTION_PLAN, 0);
    rn_value_defaults(plan, RN_SECTION_PANEL, 0);
    rn_value_defaults(plan, RN_SECTION_LIMITS, 0);
    plan->panel.advance = rn_value_advance(plan->panel.ground);
    rn_plan_settle(plan);
    return plan;
}

void rn_plan_free(rn_plan *plan)
{
    if (!plan)
        return;
    free(plan->pours);
    free(plan);
}

rn_plan *rn_plan_copy(const rn_plan *plan)
{
    rn_plan *copy = malloc(sizeof *copy);
    rn_pour *pours = malloc(RN_POURS_MOST * sizeof *pours);
    if (!copy || !pours) {
        free(copy);
        free(pours);
        return NULL;
    }
    memcpy(pours, plan->pours, RN_POURS_MOST * sizeof *pours);
    *copy = *plan;
    copy->pours = pours;
    return copy;
}

void rn_plan_settle(rn_plan *plan)
{
    if (plan->end_given)
        return;
    double last = rn_motion_end(plan->moves, plan->move_count);
    for (int i = 0; i < plan->pour_count; i++)
        last = fmax(last, rn_pour_end(&plan->pours[i]));
    plan->end = last + AFTER_LAST_EVENT;
}

double rn_place_bearing(const rn_panel *panel, int side_x, int side_y)
{
    double bearing = panel->round ? atan2(side_y, side_x) : atan2(side_y * panel->height, side_x * panel->width);
    return bearing < 0 ? bearing + 2 * RN_PI : bearing;
}

void rn_place_point(double *x, double *y, const rn_panel *panel, const rn_place *place, double radius)
{
    if (place->point) {
        *x = place->x;
        *y = place->y;
        return;
    }
    rn_panel_place(x, y, panel, place->side_x, place->side_y, radius);
}

double rn_pour_reach(const rn_pour *pour)
{
    return 0.5 * pour->across + (pour->cup ? 0 : 0.5 * pour->width);
}

double rn_pour_end(const rn_pour *pour)
{
    return pour->start + (pour->lifts - 1) * pour->every + pour->open;
}

static double stack_volume(const rn_pour *pour)
{
    double volume = 0;
    for (int i = 0; i < pour->layer_count; i++)
        volume += pour->stack[i].volume;
    return volume;
}

rn_source rn_pour_source(const rn_plan *plan, const rn_pour *pour)
{
    rn_random random = rn_random_seeded((uint64_t)pour->seed);
    rn_source source = {
        .on_top = pour->cup,
        .across = pour->across,
        .width = pour->width,
        .volume = stack_volume(pour),
        .start = pour->start,
        .every = pour->every,
        .open = pour->open,
        .bursts = pour->lifts,
        .uneven = pour->uneven,
        .uneven_toward = 2 * RN_PI * rn_random_unit(&random),
    };
    rn_place_point(&source.x, &source.y, &plan->panel, &pour->at, rn_pour_reach(pour));
    double sum = 0;
    for (int i = 0; i < pour->size_count; i++)
        sum += pour->sizes[i];
    for (int i = 0; i < pour->lifts; i++)
        source.share[i] = pour->size_count > 0 ? pour->sizes[i] / sum : 1.0 / pour->lifts;
    return source;
}

void rn_plan_poured(double *volumes, const rn_plan *plan)
{
    for (int i = 0; i < plan->paint_count; i++)
        volumes[i] = 0;
    for (int i = 0; i < plan->pour_count; i++) {
        const rn_pour *pour = &plan->pours[i];
        for (int k = 0; k < pour->layer_count; k++)
            volumes[pour->stack[k].paint] += pour->stack[k].volume;
    }
}

static double base_area(const rn_plan *plan, const rn_base *base)
{
    double puddle = 0.25 * RN_PI * base->across * base->across;
    switch (base->kind) {
    case RN_BASE_CORNERS: return 4 * puddle;
    case RN_BASE_DISC: return puddle;
    case RN_BASE_STRIP: return base->width * (base->at.side_x ? plan->panel.height : plan->panel.width);
    case RN_BASE_ALL: break;
    }
    return rn_panel_area(&plan->panel);
}

double rn_plan_base_depth(const rn_plan *plan, const rn_base *base)
{
    return isnan(base->volume) ? base->depth : base->volume / base_area(plan, base);
}

void rn_plan_based(double *volumes, const rn_plan *plan)
{
    for (int i = 0; i < plan->paint_count; i++)
        volumes[i] = 0;
    for (int i = 0; i < plan->base_count; i++) {
        const rn_base *base = &plan->bases[i];
        volumes[base->paint] += isnan(base->volume) ? base->depth * base_area(plan, base) : base->volume;
    }
}

static double sum_of(const double *volumes, int count)
{
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += volumes[i];
    return sum;
}

double rn_plan_poured_all(const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST];
    rn_plan_poured(volumes, plan);
    return sum_of(volumes, plan->paint_count);
}

double rn_plan_based_all(const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST];
    rn_plan_based(volumes, plan);
    return sum_of(volumes, plan->paint_count);
}

/* Of stacks and base coats. */
static void used_volumes(double *volumes, const rn_plan *plan)
{
    double based[RN_PAINTS_MOST];
    rn_plan_poured(volumes, plan);
    rn_plan_based(based, plan);
    for (int p = 0; p < plan->paint_count; p++)
        volumes[p] += based[p];
}

/* Means are taken of what each paint differs from the first, so that equal paints mix to the very same, whatever their
   volumes. */
rn_paint rn_plan_mixture(double *volume, const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST], density = 0, tension = 0, solids = 0, price = 0;
    rn_law laws[RN_PAINTS_MOST];
    const rn_paint *first = NULL;
    *volume = 0;
    used_volumes(volumes, plan);
    for (int p = 0; p < plan->paint_count; p++) {
        const rn_paint *paint = &plan->paints[p];
        const double v = volumes[p];
        laws[p] = paint->law;
        if (!(v > 0))
            continue;
        first = first ? first : paint;
        *volume += v;
        density += v * (paint->density - first->density);
        tension += v * (paint->tension - first->tension);
        solids += v * (paint->solids - first->solids);
        price += v * (paint->price - first->price);
    }
    if (!first)
        return plan->paints[0];
    return (rn_paint){
        .law = rn_law_mixed(laws, volumes, plan->paint_count),
        .density = first->density + density / *volume,
        .tension = first->tension + tension / *volume,
        .solids = first->solids + solids / *volume,
        .price = first->price + price / *volume,
    };
}

#define SAME_LAW 1e-9 /* laws nearer than this are one */

static bool laws_differ(const rn_law *a, const rn_law *b)
{
    return fabs(a->consistency - b->consistency) > SAME_LAW * a->consistency || fabs(a->power - b->power) > SAME_LAW ||
           fabs(a->yield - b->yield) > SAME_LAW;
}

int rn_plan_laws(rn_law *laws, unsigned char *law_of, const rn_plan *plan)
{
    double volumes[RN_PAINTS_MOST];
    int count = 0;
    used_volumes(volumes, plan);
    for (int p = 0; p < plan->paint_count; p++) {
        int k = 0;
        law_of[p] = RN_LAW_NONE;
        if (!(volumes[p] > 0))
            continue;
        while (k < count && laws_differ(&laws[k], &plan->paints[p].law))
            k++;
        if (k == count)
            laws[count++] = plan->paints[p].law;
        law_of[p] = (unsigned char)k;
    }
    return count;
}
