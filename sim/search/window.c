#include "search/window.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "search/least.h"
#include "search/window_tiles.h"

#define DIGITS_LEAST 3 /* of a tile's value */
#define ASTRAY 0.1     /* how far it may be rounded, in tiles */

rn_window_options rn_window_defaults(void)
{
    return (rn_window_options){.columns = RN_WINDOW_TILES, .rows = RN_WINDOW_TILES, .cells = RN_LEAST_COARSE};
}

/* ---- a window and its axes ---- */

rn_status rn_window_axis(rn_dial *dial, const rn_plan *plan, const char *path, const char *from, const char *to,
                         rn_error *err)
{
    rn_dial made;
    rn_status status = rn_dial_make(&made, plan, path, from, to, err);
    if (status == RN_OK && made.now > 0)
        status = rn_dial_narrow(&made, from ? made.from : 0.5 * made.now, to ? made.to : 2 * made.now, err);
    if (status == RN_OK)
        *dial = made;
    return status;
}

static int tile_count(const rn_window *window)
{
    return window->options.columns * window->options.rows;
}

/* Whole numbers have no tiles in between. */
static rn_status fit(int *tiles, const rn_dial *dial, rn_error *err)
{
    if (*tiles < RN_WINDOW_TILES_LEAST || *tiles > RN_WINDOW_TILES_MOST)
        return rn_fail(err, RN_E_PLAN, "%d tiles along %s; between %d and %d are possible", *tiles, dial->path,
                       RN_WINDOW_TILES_LEAST, RN_WINDOW_TILES_MOST);
    if (dial->whole && *tiles > dial->to - dial->from + 1)
        *tiles = (int)(dial->to - dial->from + 1);
    return RN_OK;
}

static double along(const rn_dial *dial, int count, double value)
{
    return (count - 1) * rn_dial_share(dial, value);
}

static double tile_value(const rn_dial *dial, int count, int at, int digits)
{
    return rn_dial_round_to(dial, rn_window_value(dial, count, at), digits);
}

/* As few digits as leave each tile about where it belongs, as painters measure no more of them. */
static int digits_of(const rn_dial *dial, int count)
{
    for (int digits = DIGITS_LEAST; digits < RN_DIAL_DIGITS; digits++) {
        bool near = true;
        for (int i = 0; i < count; i++)
            near = near && fabs(along(dial, count, tile_value(dial, count, i, digits)) - i) <= ASTRAY;
        if (near)
            return digits;
    }
    return RN_DIAL_DIGITS;
}

/* Each tile of an axis has a value of its own. */
static rn_status check_axis(const rn_dial *dial, int count, rn_error *err)
{
    char from[60], to[60];
    for (int i = 1; i < count; i++)
        if (!(tile_value(dial, count, i, RN_DIAL_DIGITS) > tile_value(dial, count, i - 1, RN_DIAL_DIGITS))) {
            rn_dial_text(from, sizeof from, dial, dial->from);
            rn_dial_text(to, sizeof to, dial, dial->to);
            return rn_fail(err, RN_E_PLAN, "%s from %s to %s is too narrow for %d tiles", dial->path, from, to, count);
        }
    return RN_OK;
}

static rn_status check(const rn_window *window, const rn_plan *plan, rn_error *err)
{
    rn_status status = RN_OK;
    if (window->goal.count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    if (strcmp(window->x.path, window->y.path) == 0)
        return rn_fail(err, RN_E_PLAN, "both axes are %s; a window needs two numbers", window->x.path);
    if (rn_dial_alike(&window->x, &window->y, plan))
        return rn_fail(err, RN_E_PLAN, "%s and %s speak of the same; a window needs two numbers", window->x.path,
                       window->y.path);
    status = check_axis(&window->x, window->options.columns, err);
    return status ? status : check_axis(&window->y, window->options.rows, err);
}

static bool reserve(rn_window *window)
{
    const size_t count = (size_t)tile_count(window);
    window->tiles = calloc(count, sizeof *window->tiles);
    window->guess = calloc(count, sizeof *window->guess);
    window->wanted = calloc(count, sizeof *window->wanted);
    window->column_rank = calloc((size_t)window->options.columns, sizeof *window->column_rank);
    window->row_rank = calloc((size_t)window->options.rows, sizeof *window->row_rank);
    return window->tiles && window->guess && window->wanted && window->column_rank && window->row_rank;
}

static void lay_out(rn_window *window)
{
    const int columns = window->options.columns, rows = window->options.rows;
    const int across = rn_window_rank(window->column_rank, columns), up = rn_window_rank(window->row_rank, rows);
    const int x_digits = digits_of(&window->x, columns), y_digits = digits_of(&window->y, rows);
    window->ranks = 1 + (across > up ? across : up);
    for (int i = 0; i < columns * rows; i++) {
        window->tiles[i].x = tile_value(&window->x, columns, i % columns, x_digits);
        window->tiles[i].y = tile_value(&window->y, rows, i / columns, y_digits);
    }
    rn_window_tell(window);
}

rn_status rn_window_new(rn_window **window, const rn_plan *plan, const rn_dial *x, const rn_dial *y,
                        const rn_goal *goal, const rn_window_options *options, rn_error *err)
{
    rn_window *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    *made = (rn_window){.x = *x, .y = *y, .goal = *goal, .options = *options};
    made->options.pattern = options->pattern || rn_goal_needs_pattern(goal);
    rn_status status = fit(&made->options.columns, x, err);
    if (status == RN_OK)
        status = fit(&made->options.rows, y, err);
    if (status == RN_OK)
        status = check(made, plan, err);
    if (status == RN_OK) {
        made->plan = rn_plan_copy(plan);
        if (!reserve(made) || !made->plan)
            status = rn_fail(err, RN_E_MEMORY, "no memory left");
    }
    if (status) {
        rn_window_free(made);
        return status;
    }
    lay_out(made);
    *window = made;
    return RN_OK;
}

void rn_window_free(rn_window *window)
{
    if (!window)
        return;
    rn_plan_free(window->plan);
    free(window->tiles);
    free(window->guess);
    free(window->wanted);
    free(window->column_rank);
    free(window->row_rank);
    free(window);
}

rn_status rn_window_copy(rn_window **copy, const rn_window *window, rn_error *err)
{
    const size_t count = (size_t)tile_count(window);
    rn_window *made = NULL;
    const rn_status status =
        rn_window_new(&made, window->plan, &window->x, &window->y, &window->goal, &window->options, err);
    if (status)
        return status;
    memcpy(made->tiles, window->tiles, count * sizeof *made->tiles);
    memcpy(made->guess, window->guess, count * sizeof *made->guess);
    memcpy(made->wanted, window->wanted, count * sizeof *made->wanted);
    *copy = made;
    return RN_OK;
}

/* ---- passes ---- */

static rn_status turn(rn_plan **turned, const rn_window *window, const rn_tile *tile, rn_error *err)
{
    rn_plan *half = NULL;
    rn_status status = rn_dial_turn(&half, &window->x, window->plan, tile->x, err);
    if (status == RN_OK)
        status = rn_dial_turn(turned, &window->y, half, tile->y, err);
    rn_plan_free(half);
    return status;
}

rn_status rn_window_turn_to(rn_plan **turned, const rn_window *window, double x, double y, rn_error *err)
{
    return turn(turned, window, &(rn_tile){.x = x, .y = y}, err);
}

rn_status rn_window_turn(rn_plan **turned, const rn_window *window, int column, int row, rn_error *err)
{
    return turn(turned, window, rn_window_tile(window, column, row), err);
}

/* The run of a tile, or why there is none. */
static rn_status add_tile(rn_batch *batch, const rn_window *window, const rn_tile *tile, rn_error *err)
{
    rn_plan *whole = NULL;
    rn_error why = {0};
    const rn_status status = turn(&whole, window, tile, &why);
    if (status == RN_OK)
        return rn_batch_add(batch, whole, window->options.cells, window->options.pattern, err);
    if (status == RN_E_MEMORY)
        return rn_fail(err, status, "%s", why.message);
    return rn_batch_add_none(batch, why.message, err);
}

static void settle(rn_tile *tile, const rn_outcome *outcome)
{
    if (outcome->state == RN_OUTCOME_NONE)
        return;
    tile->worked = true;
    tile->outcome = *outcome;
}

/* Runs from now on, about: before anything is known of the borders, two along each axis are taken to come. */
static int expected(const rn_window *window)
{
    const int to_come = rn_window_to_come(window), lines = RN_WINDOW_LINES * RN_WINDOW_LINES;
    const bool blank = to_come + rn_window_worked(window) == tile_count(window);
    const int borders = lines + 2 * (window->options.columns + window->options.rows);
    return blank && !window->options.every && borders < to_come ? borders : to_come;
}

static rn_status work_places(rn_window *window, const int *places, int count, rn_study *study, rn_error *err)
{
    rn_batch batch = {0};
    rn_status status = RN_OK;
    for (int i = 0; i < count && status == RN_OK; i++)
        status = add_tile(&batch, window, &window->tiles[places[i]], err);
    if (status == RN_OK) {
        rn_study_announce(study, expected(window) - count, window->options.cells);
        status = rn_batch_work(&batch, 0, 1, study, err);
    }
    for (int i = 0; i < count && status == RN_OK; i++)
        settle(&window->tiles[places[i]], &batch.runs[i].outcome);
    rn_batch_clear(&batch);
    return status;
}

rn_status rn_window_refine(rn_window *window, bool *more, rn_study *study, rn_error *err)
{
    int *places = calloc((size_t)tile_count(window), sizeof *places);
    if (!places)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    const int count = rn_window_next(places, window);
    rn_status status = RN_OK;
    if (count > 0) {
        status = work_places(window, places, count, study, err);
        rn_window_tell(window);
    }
    free(places);
    if (status == RN_OK)
        *more = rn_window_to_come(window) > 0;
    return status;
}

rn_status rn_window_judge(rn_window *window, const rn_goal *goal, rn_error *err)
{
    if (goal->count == 0)
        return rn_fail(err, RN_E_PLAN, "there is no goal to meet");
    if (rn_goal_needs_pattern(goal) && !window->options.pattern)
        return rn_fail(err, RN_E_PLAN, "stretch and twist were not worked out for this window");
    window->goal = *goal;
    rn_window_tell(window);
    return RN_OK;
}

/* ---- as one list ---- */

rn_status rn_window_list(rn_batch *batch, const rn_window *window, rn_error *err)
{
    rn_batch made = {0};
    rn_status status = RN_OK;
    for (int i = 0; i < tile_count(window) && status == RN_OK; i++)
        status = add_tile(&made, window, &window->tiles[i], err);
    if (status)
        rn_batch_clear(&made);
    else
        *batch = made;
    return status;
}

rn_status rn_window_take(rn_window *window, const rn_batch *batch, rn_error *err)
{
    if (batch->count != tile_count(window))
        return rn_fail(err, RN_E_PLAN, "%d runs for a window of %d tiles", batch->count, tile_count(window));
    for (int i = 0; i < batch->count; i++)
        settle(&window->tiles[i], &batch->runs[i].outcome);
    rn_window_tell(window);
    return RN_OK;
}

/* ---- what is in it ---- */

rn_window_options rn_window_options_of(const rn_window *window)
{
    return window->options;
}

const rn_plan *rn_window_plan(const rn_window *window)
{
    return window->plan;
}

const rn_goal *rn_window_goal(const rn_window *window)
{
    return &window->goal;
}

const rn_dial *rn_window_x(const rn_window *window)
{
    return &window->x;
}

const rn_dial *rn_window_y(const rn_window *window)
{
    return &window->y;
}

const rn_tile *rn_window_tile(const rn_window *window, int column, int row)
{
    return &window->tiles[row * window->options.columns + column];
}

int rn_window_count(const rn_window *window, rn_tile_kind kind)
{
    int count = 0;
    for (int i = 0; i < tile_count(window); i++)
        count += window->tiles[i].kind == kind;
    return count;
}

int rn_window_worked(const rn_window *window)
{
    int count = 0;
    for (int i = 0; i < tile_count(window); i++)
        count += window->tiles[i].worked;
    return count;
}

int rn_window_told(const rn_window *window)
{
    int count = 0;
    for (int i = 0; i < tile_count(window); i++)
        count += !window->tiles[i].worked && window->tiles[i].kind != RN_TILE_OPEN;
    return count;
}

int rn_window_to_come(const rn_window *window)
{
    int count = 0;
    for (int i = 0; i < tile_count(window); i++)
        count += window->wanted[i];
    return count;
}

double rn_window_along_x(const rn_window *window, double x)
{
    return along(&window->x, window->options.columns, x);
}

double rn_window_along_y(const rn_window *window, double y)
{
    return along(&window->y, window->options.rows, y);
}

const char *rn_tile_word(rn_tile_kind kind)
{
    static const char *const words[RN_TILE_KINDS] = {
        [RN_TILE_OPEN] = "not worked out yet",   [RN_TILE_WORKS] = "works",           [RN_TILE_SHORT] = "falls short",
        [RN_TILE_SPILLED] = "runs off too much", [RN_TILE_PULLED] = "pulled too far", [RN_TILE_NONE] = "makes no plan",
    };
    return kind >= 0 && kind < RN_TILE_KINDS ? words[kind] : "";
}
