/* Changes to the releases. */
#include <math.h>
#include <string.h>

#include "edit.h"

#define JAR 40e-6 /* of each jar that had no place yet [m3] */
#define SNAP 5e-3 /* closer to the centre is the centre [m] */
#define RING_LEAST 0.1e-3

static void keep_end(rn_plan *plan)
{
    for (int k = 0; k < plan->pour_count && plan->end_given; k++)
        plan->end = fmax(plan->end, rn_pour_end(&plan->pours[k]));
}

/* Jars without a place, or what the last pour held. */
static void fill_stack(rn_pour *pour, const rn_plan *plan)
{
    bool placed[RN_PAINTS_MOST] = {false};
    for (int p = 0; p < plan->pour_count; p++)
        for (int k = 0; k < plan->pours[p].layer_count; k++)
            placed[plan->pours[p].stack[k].paint] = true;
    for (int k = 0; k < plan->paint_count && pour->layer_count < RN_LAYERS_MOST; k++)
        if (!placed[k])
            pour->stack[pour->layer_count++] = (rn_layer){k, JAR};
    if (pour->layer_count > 0 || plan->pour_count == 0)
        return;
    const rn_pour *last = &plan->pours[plan->pour_count - 1];
    memcpy(pour->stack, last->stack, sizeof pour->stack);
    pour->layer_count = last->layer_count;
}

int edit_add_pour(rn_plan *plan, double start, double duration)
{
    if (plan->pour_count >= RN_POURS_MOST || plan->paint_count == 0)
        return -1;
    const double side = fmin(plan->panel.width, plan->panel.height);
    rn_pour pour = {.across = fmin(70e-3, 0.4 * side), .lifts = 1, .every = 5, .open = 3, .seed = 1, .repeat = 1};
    pour.width = fmin(10e-3, 0.25 * pour.across);
    pour.start = fmax(start, 0);
    pour.open = fmin(fmax(duration, 0.5), 4);
    pour.every = fmax(6, pour.open + 1);
    pour.lifts = (int)fmin(fmax(floor((duration - pour.open) / pour.every) + 1, 1), RN_BURSTS_MOST);
    fill_stack(&pour, plan);
    if (pour.layer_count == 0)
        return -1;
    const int made = plan->pour_count++;
    plan->pours[made] = pour;
    keep_end(plan);
    return made;
}

void edit_remove_pour(rn_plan *plan, int pour)
{
    memmove(&plan->pours[pour], &plan->pours[pour + 1], (size_t)(plan->pour_count - pour - 1) * sizeof *plan->pours);
    plan->pour_count--;
}

void edit_shift_pour(rn_plan *plan, int pour, double start)
{
    plan->pours[pour].start = fmax(start, 0);
    keep_end(plan);
}

void edit_stretch_pour(rn_plan *plan, int pour, double end)
{
    rn_pour *p = &plan->pours[pour];
    if (p->lifts < 2) {
        p->open = fmax(end - p->start, 0.5);
    } else {
        const double every = (end - p->start - p->open) / (p->lifts - 1);
        p->every = fmax(round(every * 100) / 100, p->open);
    }
    keep_end(plan);
}

void edit_set_burst_open(rn_plan *plan, int pour, double open)
{
    rn_pour *p = &plan->pours[pour];
    p->open = p->lifts > 1 ? fmin(open, p->every) : open;
    keep_end(plan);
}

static double stack_volume(const rn_pour *pour)
{
    double sum = 0;
    for (int k = 0; k < pour->layer_count; k++)
        sum += pour->stack[k].volume;
    return sum;
}

static double share_sum(const rn_pour *pour)
{
    double sum = 0;
    for (int k = 0; k < pour->size_count; k++)
        sum += pour->sizes[k];
    return sum;
}

void edit_set_burst_count(rn_plan *plan, int pour, int count)
{
    rn_pour *p = &plan->pours[pour];
    p->lifts = count < 1 ? 1 : count > RN_BURSTS_MOST ? RN_BURSTS_MOST : count;
    p->size_count = 0;
    if (p->lifts > 1)
        p->every = fmax(p->every, p->open);
    keep_end(plan);
}

double edit_burst_volume(const rn_plan *plan, int pour, int burst)
{
    const rn_pour *p = &plan->pours[pour];
    const double volume = stack_volume(p);
    if (p->size_count == 0)
        return volume / p->lifts;
    return burst < p->size_count ? volume * p->sizes[burst] / share_sum(p) : 0;
}

void edit_set_burst_volume(rn_plan *plan, int pour, int burst, double volume)
{
    rn_pour *p = &plan->pours[pour];
    const double before = stack_volume(p);
    if (burst < 0 || burst >= p->lifts || !(before > 0) || !(volume > 0))
        return;
    double volumes[RN_BURSTS_MOST], after = 0;
    for (int k = 0; k < p->lifts; k++) {
        volumes[k] = k == burst ? volume : edit_burst_volume(plan, pour, k);
        after += volumes[k];
    }
    if (p->lifts > 1) {
        p->size_count = p->lifts;
        for (int k = 0; k < p->lifts; k++)
            p->sizes[k] = round(volumes[k] / after * 1e4) / 1e4; /* hundredths of a per cent */
    }
    for (int k = 0; k < p->layer_count; k++)
        p->stack[k].volume *= after / before;
}

void edit_get_ring(double *inner, double *outer, const rn_plan *plan, int pour)
{
    const rn_pour *p = &plan->pours[pour];
    *inner = p->cup ? 0 : 0.5 * (p->across - p->width);
    *outer = p->cup ? 0.5 * p->across : 0.5 * (p->across + p->width);
}

void edit_set_ring(rn_plan *plan, int pour, double inner, double outer)
{
    rn_pour *p = &plan->pours[pour];
    double x, y;
    rn_place_point(&x, &y, &plan->panel, &p->at, outer);
    double room = fmin(0.5 * plan->panel.width - fabs(x), 0.5 * plan->panel.height - fabs(y));
    if (plan->panel.round)
        room = 0.5 * plan->panel.width - hypot(x, y);
    if (p->at.point || (!p->at.side_x && !p->at.side_y))
        outer = fmin(outer, room);
    inner = fmin(fmax(inner, 0), outer - RING_LEAST);
    if (p->cup) {
        p->across = fmax(2 * outer, 1e-3);
        return;
    }
    p->across = fmax(inner + outer, 1e-3);
    p->width = fmin(fmax(outer - inner, RING_LEAST), 0.5 * p->across);
}

void edit_place_pour(rn_plan *plan, int pour, double x, double y)
{
    rn_pour *p = &plan->pours[pour];
    const rn_panel *panel = &plan->panel;
    const double reach = rn_pour_reach(p);
    if (hypot(x, y) < SNAP) {
        p->at = (rn_place){0};
        return;
    }
    if (panel->round) {
        const double most = fmax(0.5 * panel->width - reach, 0), r = hypot(x, y);
        if (r > most) {
            x *= most / r;
            y *= most / r;
        }
    } else {
        x = fmin(fmax(x, -0.5 * panel->width + reach), 0.5 * panel->width - reach);
        y = fmin(fmax(y, -0.5 * panel->height + reach), 0.5 * panel->height - reach);
    }
    p->at = (rn_place){.point = true, .x = x, .y = y};
}
