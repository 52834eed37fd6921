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
            if (tile->outcome.state == RN_OUTCOME_WHOLE && tile->lack < least) {
                least = tile->lack;
                answer->closest_column = column;
                answer->closest_row = row;
            }
        }
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
