/* Up to when two plans are the same pour. What is compared is what a session reads: the liquid, the panel, the base
   coats, and in time the pours and the moves with the moments at which they begin, change and end, for steps end there. */
#include <math.h>
#include <stdlib.h>

#include "plan/plan.h"

/* What a session makes of a plan's paints. */
typedef struct liquid {
    const rn_plan *plan;
    rn_paint mixture;
    int law_count;
    rn_law laws[RN_PAINTS_MOST];
    unsigned char law_of[RN_PAINTS_MOST];
} liquid;

static liquid liquid_of(const rn_plan *plan)
{
    liquid made = {.plan = plan};
    double volume;
    made.mixture = rn_plan_mixture(&volume, plan);
    made.law_count = rn_plan_laws(made.laws, made.law_of, plan);
    return made;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_law(const rn_law *a, const rn_law *b)
{
    return a->consistency == b->consistency && a->power == b->power && a->yield == b->yield;
}

/* Where the layers flow by laws of their own, these also have their numbers. */
static bool same_liquid(const liquid *a, const liquid *b)
{
    if (!same_law(&a->mixture.law, &b->mixture.law) || a->mixture.density != b->mixture.density ||
        a->mixture.tension != b->mixture.tension || (a->law_count > 1) != (b->law_count > 1))
        return false;
    if (a->law_count <= 1)
        return true;
    bool alike = a->law_count == b->law_count;
    for (int k = 0; alike && k < a->law_count; k++)
        alike = same_law(&a->laws[k], &b->laws[k]);
    return alike;
}

static bool layered(const liquid *l)
{
    return l->law_count > 1;
}

static bool same_panel(const rn_panel *a, const rn_panel *b)
{
    return a->round == b->round && a->width == b->width && a->height == b->height && a->edges == b->edges &&
           (a->edges != RN_EDGE_WRAPPED || a->side == b->side) && a->advance == b->advance && a->slope == b->slope &&
           (a->slope == 0 || a->downhill == b->downhill);
}

static bool same_place(const rn_place *a, const rn_place *b)
{
    if (a->point != b->point)
        return false;
    return a->point ? a->x == b->x && a->y == b->y : a->side_x == b->side_x && a->side_y == b->side_y;
}

static bool same_bases(const liquid *a, const liquid *b)
{
    if (a->plan->base_count != b->plan->base_count)
        return false;
    for (int k = 0; k < a->plan->base_count; k++) {
        const rn_base *p = &a->plan->bases[k], *q = &b->plan->bases[k];
        if (p->kind != q->kind || !same(p->volume, q->volume) || !same(p->depth, q->depth) ||
            (layered(a) && a->law_of[p->paint] != b->law_of[q->paint]))
            return false;
        const bool placed = p->kind == RN_BASE_DISC || p->kind == RN_BASE_STRIP;
        const bool puddles = p->kind == RN_BASE_DISC || p->kind == RN_BASE_CORNERS;
        if ((placed && !same_place(&p->at, &q->at)) || (puddles && p->across != q->across) ||
            (p->kind == RN_BASE_STRIP && p->width != q->width))
            return false;
    }
    return true;
}

/* ---- pours ---- */

/* Where a pour lets out what, its bursts left aside. */
static bool same_release(const rn_source *a, const rn_source *b)
{
    if (a->on_top != b->on_top || a->x != b->x || a->y != b->y || a->across != b->across || a->volume != b->volume ||
        a->start != b->start || a->open != b->open)
        return false;
    return a->on_top ||
           (a->width == b->width && a->uneven == b->uneven && (a->uneven == 0 || a->uneven_toward == b->uneven_toward));
}

/* Whether the laws come out of both in the same order. */
static bool same_order(const liquid *a, const liquid *b, const rn_pour *p, const rn_pour *q)
{
    if (!layered(a))
        return true;
    if (p->layer_count != q->layer_count || p->repeat != q->repeat)
        return false;
    for (int k = 0; k < p->layer_count; k++)
        if (p->stack[k].volume != q->stack[k].volume || a->law_of[p->stack[k].paint] != b->law_of[q->stack[k].paint])
            return false;
    return true;
}

static double burst_start(const rn_source *source, int burst)
{
    return burst < source->bursts ? source->start + (double)burst * source->every : INFINITY;
}

static double pour_agrees_until(const liquid *a, const liquid *b, int pour)
{
    if (pour >= a->plan->pour_count)
        return b->plan->pours[pour].start;
    if (pour >= b->plan->pour_count)
        return a->plan->pours[pour].start;
    const rn_source p = rn_pour_source(a->plan, &a->plan->pours[pour]);
    const rn_source q = rn_pour_source(b->plan, &b->plan->pours[pour]);
    if (!same_release(&p, &q) || !same_order(a, b, &a->plan->pours[pour], &b->plan->pours[pour]))
        return fmin(p.start, q.start);
    for (int k = 0; k < p.bursts || k < q.bursts; k++) {
        const double first = burst_start(&p, k), second = burst_start(&q, k);
        if (first != second || p.share[k] != q.share[k])
            return fmin(first, second);
    }
    return INFINITY;
}

/* ---- moves ---- */

/* Moves of one kind, turns and spins being one: of these no two hold at once. */
typedef struct row {
    int count;
    const rn_move *moves[RN_MOVES_MOST];
} row;

static rn_move_kind group(const rn_move *move)
{
    return move->kind == RN_MOVE_SPIN ? RN_MOVE_TURN : move->kind;
}

static int by_start(const void *a, const void *b)
{
    const rn_move *p = *(const rn_move *const *)a, *q = *(const rn_move *const *)b;
    return p->start != q->start ? (p->start > q->start) - (p->start < q->start) : (p > q) - (p < q);
}

static row row_of(const rn_plan *plan, rn_move_kind kind)
{
    row made = {0};
    for (int k = 0; k < plan->move_count; k++)
        if (group(&plan->moves[k]) == kind)
            made.moves[made.count++] = &plan->moves[k];
    qsort(made.moves, (size_t)made.count, sizeof *made.moves, by_start);
    return made;
}

static double ramp_of(const rn_move *move)
{
    return fmax(0, fmin(move->ramp, 0.5 * move->duration));
}

static double move_end(const rn_move *move)
{
    return move->start + move->duration;
}

/* Two moves with the same start. */
static double move_agrees_until(const rn_move *a, const rn_move *b)
{
    const bool rests = a->kind == RN_MOVE_REST, tilts = a->kind == RN_MOVE_TILT;
    if ((!rests && a->amount != b->amount) || ramp_of(a) != ramp_of(b) ||
        (tilts && (a->toward != b->toward || a->room_frame != b->room_frame)))
        return a->start;
    return a->duration == b->duration ? INFINITY : fmin(move_end(a), move_end(b)) - ramp_of(a);
}

static double rows_agree_until(const row *a, const row *b)
{
    for (int k = 0; k < a->count || k < b->count; k++) {
        const double first = k < a->count ? a->moves[k]->start : INFINITY;
        const double second = k < b->count ? b->moves[k]->start : INFINITY;
        if (first != second)
            return fmin(first, second);
        const double until = move_agrees_until(a->moves[k], b->moves[k]);
        if (until < INFINITY)
            return until;
    }
    return INFINITY;
}

/* The angle turned is summed in the order of the list, which shows in its last bits. Both rows are alike up to `until`. */
static double order_agrees_until(const row *a, const row *b, double until)
{
    for (int later = 0; later < a->count && later < b->count && a->moves[later]->start < until; later++)
        for (int earlier = 0; earlier < later; earlier++)
            if ((a->moves[earlier] < a->moves[later]) != (b->moves[earlier] < b->moves[later]))
                return a->moves[later]->start;
    return until;
}

static double moves_agree_until(const rn_plan *a, const rn_plan *b)
{
    static const rn_move_kind kinds[] = {RN_MOVE_REST, RN_MOVE_TILT, RN_MOVE_TURN};
    double until = INFINITY;
    for (int k = 0; k < 3; k++) {
        const row p = row_of(a, kinds[k]), q = row_of(b, kinds[k]);
        double agree = rows_agree_until(&p, &q);
        if (kinds[k] == RN_MOVE_TURN)
            agree = order_agrees_until(&p, &q, agree);
        until = fmin(until, agree);
    }
    return until;
}

double rn_plan_agree_until(const rn_plan *a, const rn_plan *b)
{
    const liquid p = liquid_of(a), q = liquid_of(b);
    if (!same_liquid(&p, &q) || !same_panel(&a->panel, &b->panel) || a->cover != b->cover || !same_bases(&p, &q))
        return 0;
    double until = a->end != b->end ? fmin(a->end, b->end) : INFINITY;
    for (int k = 0; k < a->pour_count || k < b->pour_count; k++)
        until = fmin(until, pour_agrees_until(&p, &q, k));
    return fmax(0, fmin(until, moves_agree_until(a, b)));
}
