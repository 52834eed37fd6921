#include "map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAME 1e-9 /* values that differ by less are one */

/* ---- what a tile is ---- */

rn_tile_kind map_kind(const rn_goal *goal, const rn_outcome *outcome, rn_goal_verdict *verdict)
{
    *verdict = rn_goal_judge(goal, outcome);
    return rn_window_kind(goal, outcome);
}

rn_tile map_tile(const rv_map *map, int column, int row)
{
    rn_tile tile = *rn_window_tile(map->window, column, row);
    for (int k = 0; k < map->note_count && !tile.worked; k++) {
        const rv_map_note *note = &map->notes[k];
        if (note->column != column || note->row != row)
            continue;
        rn_goal_verdict verdict;
        tile.worked = true;
        tile.outcome = note->outcome;
        tile.kind = map_kind(&map->goal, &note->outcome, &verdict);
        tile.worst = verdict.worst;
        tile.lack = verdict.lack;
    }
    return tile;
}

/* ---- where a plan stands ---- */

static double number_of(const rn_plan *plan, const rn_dial *dial)
{
    rn_plan_number number;
    rn_error err = {0};
    return rn_plan_number_at(&number, plan, dial->path, &err) == RN_OK ? fabs(number.value) : NAN;
}

void map_values(double *x, double *y, const rn_window *window, const rn_plan *plan)
{
    *x = number_of(plan, rn_window_x(window));
    *y = number_of(plan, rn_window_y(window));
}

void map_place(double *column, double *row, const rn_window *window, const rn_plan *plan)
{
    double x, y;
    map_values(&x, &y, window, plan);
    *column = rn_window_along_x(window, x);
    *row = rn_window_along_y(window, y);
}

static int within(double along, int count)
{
    return (int)fmin(fmax(round(along), 0), count - 1);
}

void map_nearest_tile(int *column, int *row, const rn_window *window, double along_x, double along_y)
{
    const rn_window_options options = rn_window_options_of(window);
    *column = within(along_x, options.columns);
    *row = within(along_y, options.rows);
}

double map_value(const rn_window *window, bool upright, int tile)
{
    return upright ? rn_window_tile(window, 0, tile)->y : rn_window_tile(window, tile, 0)->x;
}

/* ---- other plans of the window ---- */

/* The same jars in the same order: paints that flow alike may have changed places. */
static bool same_stacks(const rn_plan *a, const rn_plan *b)
{
    if (a->paint_count != b->paint_count || a->pour_count != b->pour_count || a->base_count != b->base_count)
        return false;
    for (int k = 0; k < a->base_count; k++)
        if (a->bases[k].paint != b->bases[k].paint)
            return false;
    for (int k = 0; k < a->pour_count; k++) {
        const rn_pour *p = &a->pours[k], *q = &b->pours[k];
        if (p->layer_count != q->layer_count || p->repeat != q->repeat)
            return false;
        for (int l = 0; l < p->layer_count; l++)
            if (p->stack[l].paint != q->stack[l].paint || p->stack[l].volume != q->stack[l].volume)
                return false;
    }
    return true;
}

bool map_same_pour(const rn_plan *a, const rn_plan *b)
{
    return isinf(rn_plan_agree_until(a, b)) && same_stacks(a, b);
}

static rn_status turn(rn_plan **plan, const rn_dial *dial, double value, rn_error *err)
{
    if (fabs(value - dial->now) <= SAME * fabs(dial->now)) /* to the last bit what the window's plan says */
        return RN_OK;
    rn_plan *turned = NULL;
    const rn_status status = rn_dial_turn(&turned, dial, *plan, value, err);
    if (status == RN_OK) {
        rn_plan_free(*plan);
        *plan = turned;
    }
    return status;
}

static rn_status turn_both(rn_plan **turned, const rn_window *window, double x, double y, rn_error *err)
{
    rn_plan *plan = rn_plan_copy(rn_window_plan(window));
    if (!plan)
        return rn_fail(err, RN_E_MEMORY, "no memory for a plan");
    rn_status status = turn(&plan, rn_window_x(window), x, err);
    if (status == RN_OK)
        status = turn(&plan, rn_window_y(window), y, err);
    if (status == RN_OK)
        *turned = plan;
    else
        rn_plan_free(plan);
    return status;
}

/* What no paint flows by: it may have been changed since the window was begun. */
static void take_looks(rn_plan *plan, const rn_plan *present)
{
    memcpy(plan->title, present->title, sizeof plan->title);
    for (int k = 0; k < plan->paint_count && k < present->paint_count; k++) {
        memcpy(plan->paints[k].name, present->paints[k].name, sizeof plan->paints[k].name);
        memcpy(plan->paints[k].colour, present->paints[k].colour, sizeof plan->paints[k].colour);
        plan->paints[k].solids = present->paints[k].solids;
        plan->paints[k].price = present->paints[k].price;
    }
    for (int k = 0; k < plan->pour_count && k < present->pour_count; k++)
        memcpy(plan->pours[k].name, present->pours[k].name, sizeof plan->pours[k].name);
    plan->limits = present->limits;
    plan->expect_count = present->expect_count;
    memcpy(plan->expects, present->expects, sizeof plan->expects);
}

rn_status map_turn(rn_plan **turned, const rn_window *window, const rn_plan *present, double x, double y, rn_error *err)
{
    const rn_status status = turn_both(turned, window, x, y, err);
    if (status == RN_OK)
        take_looks(*turned, present);
    return status;
}

/* As a tile is turned: by the digits that values are tried with, but for the window's own. */
static double tried(const rn_dial *dial, double value)
{
    return fabs(value - dial->now) <= SAME * fabs(dial->now) ? dial->now : rn_dial_round(dial, value);
}

bool map_holds(const rn_window *window, const rn_plan *plan)
{
    double x, y;
    rn_plan *turned = NULL;
    rn_error err = {0};
    if (map_same_pour(rn_window_plan(window), plan))
        return true;
    map_values(&x, &y, window, plan);
    if (isnan(x) || isnan(y) ||
        turn_both(&turned, window, tried(rn_window_x(window), x), tried(rn_window_y(window), y), &err) != RN_OK)
        return false;
    const bool same = map_same_pour(turned, plan);
    rn_plan_free(turned);
    return same;
}

bool map_find_nearest(int *column, int *row, bool *works, const rv_map *map, double along_x, double along_y)
{
    *works = rn_window_nearest(column, row, map->window, along_x, along_y);
    if (*works)
        return true;
    const rn_window_options options = rn_window_options_of(map->window);
    double least = INFINITY;
    for (int r = 0; r < options.rows; r++)
        for (int c = 0; c < options.columns; c++) {
            const rn_tile *tile = rn_window_tile(map->window, c, r);
            if (!tile->worked || tile->outcome.state != RN_OUTCOME_WHOLE || !(tile->lack < least))
                continue;
            least = tile->lack;
            *column = c;
            *row = r;
        }
    return isfinite(least);
}
