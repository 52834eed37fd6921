#include "search/window_answer.h"

#include <math.h>

static void find_nearest(rn_window_answer *answer, const rn_window *window)
{
    const double x = rn_window_along_x(window, rn_window_x(window)->now);
    const double y = rn_window_along_y(window, rn_window_y(window)->now);
    if (isfinite(x) && isfinite(y))
        answer->has_nearest = rn_window_nearest(&answer->nearest_column, &answer->nearest_row, window, x, y);
}

static void find_closest(rn_window_answer *answer, const rn_window *window)
{
    const rn_window_options options = rn_window_options_of(window);
    double least = INFINITY;
    answer->closest_column = answer->closest_row = -1;
    for (int row = 0; row < options.rows; row++)
        for (int column = 0; column < options.columns; column++) {
            const rn_tile *tile = rn_window_tile(window, column, row);
            if (tile->worked && tile->outcome.state == RN_OUTCOME_WHOLE && tile->lack < least) {
                least = tile->lack;
                answer->closest_column = column;
                answer->closest_row = row;
            }
        }
}

#define ENDS 4

/* The plans at the four ends of the circle around the safest; NULL where the values make none. */
static rn_status make_ends(rn_plan *ends[ENDS], const rn_window *window, const rn_window_best *best, rn_error *err)
{
    const rn_tile *tile = rn_window_tile(window, best->column, best->row);
    const double x[ENDS] = {best->x_less, best->x_more, tile->x, tile->x};
    const double y[ENDS] = {tile->y, tile->y, best->y_less, best->y_more};
    for (int i = 0; i < ENDS; i++) {
        rn_error why = {0};
        if (rn_window_turn_to(&ends[i], window, x[i], y[i], &why) == RN_E_MEMORY)
            return rn_fail(err, RN_E_MEMORY, "%s", why.message);
    }
    return RN_OK;
}

/* Whether all four ends work; *stopped: not all were run. */
static rn_status try_ends(bool *work, bool *stopped, const rn_window *window, const rn_window_best *best,
                          rn_study *study, rn_error *err)
{
    const rn_window_options options = rn_window_options_of(window);
    rn_plan *ends[ENDS] = {0};
    rn_run runs[ENDS];
    int count = 0;
    rn_status status = make_ends(ends, window, best, err);
    for (int i = 0; i < ENDS; i++)
        if (ends[i])
            runs[count++] = (rn_run){.plan = ends[i], .cells = options.cells, .pattern = options.pattern};
    if (status == RN_OK)
        status = rn_study_work(study, runs, count, err);
    *work = count == ENDS;
    *stopped = false;
    for (int i = 0; i < count && status == RN_OK; i++) {
        *stopped = *stopped || runs[i].outcome.state == RN_OUTCOME_NONE;
        *work = *work && rn_goal_judge(rn_window_goal(window), &runs[i].outcome).met;
    }
    for (int i = 0; i < ENDS; i++)
        rn_plan_free(ends[i]);
    return status;
}

/* Tiles tell of a circle no more than that none of another kind lies in it, and that border is half-way between two of them.
   So its ends are run, and it shrinks to half until they work; what is no wider than an eighth of it is none. */
static rn_status run_ends(rn_window_answer *answer, const rn_window *window, rn_study *study, rn_error *err)
{
    rn_status status = RN_OK;
    bool work = false, stopped = false;
    for (int k = 0; k < 4 && answer->best.radius > 0 && !work && !stopped && status == RN_OK; k++) {
        if (k > 0)
            rn_window_narrow_best(&answer->best, window, 0.5 * answer->best.radius);
        status = try_ends(&work, &stopped, window, &answer->best, study, err);
    }
    if (!work && !stopped)
        rn_window_narrow_best(&answer->best, window, 0);
    answer->ends_run = work && !stopped;
    rn_window_inside(&answer->inside_run, &answer->inside_told, window, &answer->best);
    return status;
}

rn_status rn_window_answer_find(rn_window_answer *answer, const rn_window *window, int cells, rn_study *study,
                                rn_error *err)
{
    const rn_window_options options = rn_window_options_of(window);
    rn_window_answer made = {.cells = cells};
    rn_plan *best = NULL;
    rn_status status = RN_OK;
    made.found = rn_window_find_best(&made.best, window);
    find_closest(&made, window);
    if (made.found)
        status = rn_window_turn(&best, window, made.best.column, made.best.row, err);
    const rn_tile *tile = rn_window_tile(window, made.best.column, made.best.row);
    rn_run runs[4] = {
        {.plan = rn_window_plan(window), .cells = cells, .pattern = options.pattern},
        {.plan = rn_window_plan(window), .cells = options.cells, .pattern = options.pattern},
        {.plan = best, .cells = cells, .pattern = options.pattern},
        {.plan = best, .cells = options.cells, .pattern = options.pattern},
    };
    rn_study_announce(study, 0, cells);
    if (status == RN_OK)
        status = rn_study_work(study, runs, !made.found ? 2 : tile->worked ? 3 : 4, err);
    made.own = runs[0].outcome;
    made.own_told = runs[1].outcome;
    made.best_own = runs[2].outcome;
    made.best_told = made.found && tile->worked ? tile->outcome : runs[3].outcome;
    const rn_outcome *own = made.own.state == RN_OUTCOME_WHOLE ? &made.own : &made.own_told;
    if (made.found && !rn_goal_judge(rn_window_goal(window), own).met)
        find_nearest(&made, window);
    if (made.found && status == RN_OK)
        status = run_ends(&made, window, study, err);
    rn_plan_free(best);
    if (status == RN_OK)
        *answer = made;
    return status;
}

bool rn_window_answer_holds(const rn_window_answer *answer, const rn_window *window)
{
    if (!answer->found || answer->best_own.state == RN_OUTCOME_NONE)
        return answer->found;
    return rn_goal_judge(rn_window_goal(window), &answer->best_own).met;
}
