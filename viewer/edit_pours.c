/* Changes to the releases. */
#include <math.h>
#include <string.h>

#include "edit.h"
#include "tidy.h"

#define JAR 40e-6 /* of each jar that had no place yet [m3] */
#define SNAP 5e-3 /* closer to the centre is the centre [m] */
#define RING_LEAST 0.1e-3
#define ACROSS_LEAST 1e-3
#define ACROSS_MOST 3.0
#define MOST_PLACE 20e-3 /* as much as a plan takes in one place of a stack [m3] */
#define DAY 86400.0      /* as long as a plan may last [s] */

/* To hundredths of a second. */
static double tidy_time(double time, double least, double most)
{
    return tidy_within(time, least, most, RN_DIM_TIME, 2);
}

/* So late can the last burst begin. */
static double latest_start(const rn_pour *pour)
{
    return fmax(DAY - pour->open - (pour->lifts - 1) * pour->every, 0);
}

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
    pour.across = tidy_within(pour.across, ACROSS_LEAST, 0.5 * side, RN_DIM_LENGTH, 1);
    pour.width = tidy_within(fmin(10e-3, 0.25 * pour.across), RING_LEAST, 0.25 * pour.across, RN_DIM_LENGTH, 1);
    pour.open = tidy_time(duration, 0.5, 4);
    pour.every = fmax(6, pour.open + 1);
    pour.lifts = (int)fmin(fmax(floor((duration - pour.open) / pour.every) + 1, 1), RN_BURSTS_MOST);
    pour.start = tidy_time(start, 0, latest_start(&pour));
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
    plan->pours[pour].start = tidy_time(start, 0, latest_start(&plan->pours[pour]));
    keep_end(plan);
}

void edit_stretch_pour(rn_plan *plan, int pour, double end)
{
    rn_pour *p = &plan->pours[pour];
    end = fmin(end, DAY);
    if (p->lifts < 2)
        p->open = tidy_time(end - p->start, 0.5, fmax(DAY - p->start, 0.5));
    else
        p->every = tidy_time((end - p->start - p->open) / (p->lifts - 1), p->open,
                             fmax((DAY - p->start - p->open) / (p->lifts - 1), p->open));
    keep_end(plan);
}

void edit_set_burst_open(rn_plan *plan, int pour, double open)
{
    rn_pour *p = &plan->pours[pour];
    const double room = fmax(DAY - p->start - (p->lifts - 1) * p->every, 0);
    p->open = tidy_time(open, 0, p->lifts > 1 ? fmin(p->every, room) : room);
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

/* Bursts that are added are as large as the mean of those before. */
static void resize(rn_pour *pour, int count)
{
    const double mean = share_sum(pour) / pour->size_count;
    for (int k = pour->size_count; k < count; k++)
        pour->sizes[k] = tidy_digits(mean, RN_DIM_PLAIN, 4);
    pour->size_count = count;
    if (count < 2 || !(share_sum(pour) > 0))
        pour->size_count = 0;
}

void edit_set_burst_count(rn_plan *plan, int pour, int count)
{
    rn_pour *p = &plan->pours[pour];
    count = count < 1 ? 1 : count > RN_BURSTS_MOST ? RN_BURSTS_MOST : count;
    while (count > 1 && p->start + (count - 1) * fmax(p->every, p->open) + p->open > DAY)
        count--;
    if (p->size_count > 0)
        resize(p, count);
    p->lifts = count;
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

/* Scales a stack to a volume; the largest place takes what rounding leaves over. */
static void scale_stack(rn_pour *pour, double volume)
{
    const double before = stack_volume(pour);
    int largest = 0;
    for (int k = 0; k < pour->layer_count; k++) {
        double *place = &pour->stack[k].volume;
        *place = tidy_within(*place * (volume / before), 0, MOST_PLACE, RN_DIM_VOLUME, 3);
        largest = *place > pour->stack[largest].volume ? k : largest;
    }
    double *place = &pour->stack[largest].volume;
    *place = tidy_within(*place + volume - stack_volume(pour), 1e-9, MOST_PLACE, RN_DIM_VOLUME, 3);
}

/* The shares of the bursts are then their millilitres. */
void edit_set_burst_volume(rn_plan *plan, int pour, int burst, double volume)
{
    rn_pour *p = &plan->pours[pour];
    const double before = stack_volume(p);
    if (burst < 0 || burst >= p->lifts || !(before > 0) || !(volume > 0))
        return;
    double after = 0;
    double sizes[RN_BURSTS_MOST];
    for (int k = 0; k < p->lifts; k++) {
        const double held = k == burst ? volume : edit_burst_volume(plan, pour, k);
        sizes[k] = tidy_within(held * 1e6, 0, 1e6, RN_DIM_PLAIN, 3);
        after += sizes[k] * 1e-6;
    }
    if (!(after > 0) || after > MOST_PLACE)
        return;
    if (p->lifts > 1) {
        p->size_count = p->lifts;
        memcpy(p->sizes, sizes, (size_t)p->lifts * sizeof *sizes);
    }
    scale_stack(p, after);
}

void edit_get_ring(double *inner, double *outer, const rn_plan *plan, int pour)
{
    const rn_pour *p = &plan->pours[pour];
    *inner = p->cup ? 0 : 0.5 * (p->across - p->width);
    *outer = p->cup ? 0.5 * p->across : 0.5 * (p->across + p->width);
}

/* How far a ring could reach from where it is without hanging over the edge; one at a side moves in as it grows. */
static double room_for(const rn_plan *plan, const rn_place *at)
{
    const rn_panel *panel = &plan->panel;
    const double half = 0.5 * fmin(panel->width, panel->height);
    if (!at->point)
        return half;
    return panel->round ? half - hypot(at->x, at->y)
                        : fmin(0.5 * panel->width - fabs(at->x), 0.5 * panel->height - fabs(at->y));
}

/* A ring is at most half as wide as its rim's radius, so that its outer radius is at most three times the inner: the one
   that is moved stops there. */
void edit_set_ring(rn_plan *plan, int pour, double inner, double outer)
{
    rn_pour *p = &plan->pours[pour];
    const double room = room_for(plan, &p->at);
    if (p->cup) {
        p->across = tidy_within(2 * outer, ACROSS_LEAST, fmin(2 * room, ACROSS_MOST), RN_DIM_LENGTH, 2);
        return;
    }
    double inner_was, outer_was;
    edit_get_ring(&inner_was, &outer_was, plan, pour);
    if (fabs(outer - outer_was) > fabs(inner - inner_was)) {
        outer = fmin(fmin(outer, room), 3 * inner);
        outer = fmax(outer, inner + RING_LEAST);
    } else {
        outer = fmin(outer, room);
        inner = fmax(fmin(inner, outer - RING_LEAST), outer / 3);
    }
    p->across = tidy_within(inner + outer, ACROSS_LEAST, ACROSS_MOST, RN_DIM_LENGTH, 2);
    const double widest = fmin(0.5 * p->across, fmin(2 * room - p->across, 1));
    p->width = tidy_within(outer - inner, fmin(RING_LEAST, widest), widest, RN_DIM_LENGTH, 2);
}

void edit_place_pour(rn_plan *plan, int pour, double x, double y)
{
    rn_pour *p = &plan->pours[pour];
    const rn_panel *panel = &plan->panel;
    const double reach = rn_pour_reach(p);
    double most_x = fmax(0.5 * panel->width - reach, 0), most_y = fmax(0.5 * panel->height - reach, 0);
    if (hypot(x, y) < SNAP) {
        p->at = (rn_place){0};
        return;
    }
    if (panel->round) {
        const double far = hypot(x, y), most = most_x;
        most_x = far > most ? fabs(x) * most / far : fabs(x);
        most_y = far > most ? fabs(y) * most / far : fabs(y);
    }
    /* Rounded towards the centre where it would hang over the edge. */
    p->at = (rn_place){.point = true,
                       .x = tidy_within(x, -most_x, most_x, RN_DIM_LENGTH, 1),
                       .y = tidy_within(y, -most_y, most_y, RN_DIM_LENGTH, 1)};
    if (p->at.x == 0 && p->at.y == 0)
        p->at = (rn_place){0};
}
