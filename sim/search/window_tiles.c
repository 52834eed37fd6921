/* What is known of tiles, and what follows for those in between. The first pass runs the crossings of a few lines. Where two
   neighbours are told to be of different kinds, both are run: first along those lines, then along lines half as far apart,
   in the end everywhere. So every border that is shown has a run on either side, and no tile works by an invented number. */
#include "search/window_tiles.h"

#include <math.h>

int rn_window_rank(int *rank, int count)
{
    const int lines = count < RN_WINDOW_LINES ? count : RN_WINDOW_LINES;
    int highest = 0;
    for (int i = 0; i < count; i++)
        rank[i] = -1;
    for (int i = 0; i < lines; i++)
        rank[lines > 1 ? (int)round((double)i * (count - 1) / (lines - 1)) : 0] = 0;
    for (bool halved = true; halved; highest += halved) {
        halved = false;
        for (int from = 0, to; from < count - 1; from = to) {
            for (to = from + 1; rank[to] < 0 || rank[to] > highest; to++)
                ;
            if (to - from < 2)
                continue;
            rank[(from + to) / 2] = highest + 1;
            halved = true;
        }
    }
    return highest;
}

double rn_window_value(const rn_dial *dial, int count, double along)
{
    return rn_dial_at(dial, along / (count - 1));
}

/* ---- judging ---- */

static rn_tile_kind kind_of(const rn_expect *missed)
{
    switch (missed->kind) {
    case RN_EXPECT_RUN_OFF: return RN_TILE_SPILLED;
    case RN_EXPECT_STRETCH:
    case RN_EXPECT_TWIST: return RN_TILE_PULLED;
    case RN_EXPECT_COVERAGE:
    case RN_EXPECT_CORNER:
    case RN_EXPECT_THINNEST:
    case RN_EXPECT_COVERED_BY: break;
    }
    return RN_TILE_SHORT;
}

static rn_tile_kind kind_by(const rn_goal *goal, const rn_outcome *outcome, const rn_goal_verdict *verdict)
{
    if (outcome->state == RN_OUTCOME_NONE)
        return RN_TILE_OPEN;
    if (outcome->state != RN_OUTCOME_WHOLE)
        return RN_TILE_NONE;
    return verdict->met ? RN_TILE_WORKS : kind_of(&goal->demands[verdict->worst]);
}

rn_tile_kind rn_window_kind(const rn_goal *goal, const rn_outcome *outcome)
{
    const rn_goal_verdict verdict = rn_goal_judge(goal, outcome);
    return kind_by(goal, outcome, &verdict);
}

bool rn_tile_is_dry(const rn_tile *tile, const rn_goal *goal)
{
    if (tile->kind != RN_TILE_SPILLED || tile->worst < 0)
        return false;
    return rn_goal_judge(goal, &tile->outcome).margins[tile->worst].value < goal->demands[tile->worst].value;
}

static rn_tile_kind judge(rn_tile *tile, const rn_goal *goal)
{
    const rn_goal_verdict verdict = rn_goal_judge(goal, &tile->outcome);
    tile->worst = verdict.worst;
    tile->lack = verdict.lack;
    return kind_by(goal, &tile->outcome, &verdict);
}

/* ---- telling ---- */

/* Neighbours of a tile and how much each says of it. */
typedef struct neighbours {
    int count, places[4];
    double weights[4];
} neighbours;

/* How many tiles away the nearest is that is known: one that was run, or one on a line across. `stride` is from place to
   place, `along` the tile's own place on the axis and `way` forth or back. */
static int distance(const rn_window *window, int place, int stride, int along, const int *rank, int way)
{
    int tiles = 1;
    while (rank[along + way * tiles] != 0 && !window->tiles[place + way * tiles * stride].worked)
        tiles++;
    return tiles;
}

/* Both ways along an axis, each by its distance; both together by how close they are. */
static void look(neighbours *near, const rn_window *window, int place, int stride, int along, const int *rank)
{
    const int less = distance(window, place, stride, along, rank, -1);
    const int more = distance(window, place, stride, along, rank, 1);
    const double weight = 1.0 / less / more / (less + more);
    near->places[near->count] = place - less * stride;
    near->weights[near->count++] = weight * more;
    near->places[near->count] = place + more * stride;
    near->weights[near->count++] = weight * less;
}

static neighbours neighbours_of(const rn_window *window, int column, int row)
{
    neighbours near = {0};
    const int columns = window->options.columns, place = row * columns + column;
    double all = 0;
    if (window->column_rank[column] != 0)
        look(&near, window, place, 1, column, window->column_rank);
    if (window->row_rank[row] != 0)
        look(&near, window, place, columns, row, window->row_rank);
    for (int i = 0; i < near.count; i++)
        all += near.weights[i];
    for (int i = 0; i < near.count; i++)
        near.weights[i] /= all;
    return near;
}

/* Between outcomes, or as the one that says most where some are none. */
static rn_tile_kind tell(rn_tile *tile, const rn_window *window, const neighbours *near)
{
    const rn_outcome *outcomes[4];
    int most = 0;
    bool whole = true;
    for (int i = 0; i < near->count; i++) {
        outcomes[i] = &window->tiles[near->places[i]].outcome;
        whole = whole && outcomes[i]->state == RN_OUTCOME_WHOLE;
        most = near->weights[i] > near->weights[most] ? i : most;
    }
    tile->outcome = whole ? rn_outcome_between(outcomes, near->weights, near->count) : *outcomes[most];
    return judge(tile, &window->goal);
}

static void tell_at(rn_window *window, int column, int row)
{
    const int place = row * window->options.columns + column;
    rn_tile *tile = &window->tiles[place];
    if (tile->worked)
        return;
    const neighbours near = neighbours_of(window, column, row);
    window->guess[place] = tell(tile, window, &near);
    tile->kind = window->guess[place];
}

/* Along the lines first, which the rest is told from. */
static void tell_all(rn_window *window)
{
    for (int rest = 0; rest < 2; rest++)
        for (int row = 0; row < window->options.rows; row++)
            for (int column = 0; column < window->options.columns; column++) {
                const bool on_line = window->row_rank[row] == 0 || window->column_rank[column] == 0;
                if (on_line == !rest)
                    tell_at(window, column, row);
            }
}

/* ---- what must be run ---- */

static bool differs(const rn_window *window, int column, int row, int columns, int rows)
{
    const int width = window->options.columns;
    if (column + columns < 0 || column + columns >= width || row + rows < 0 || row + rows >= window->options.rows)
        return false;
    return window->guess[row * width + column] != window->guess[(row + rows) * width + column + columns];
}

static bool differs_along_row(const rn_window *window, int column, int row)
{
    return differs(window, column, row, -1, 0) || differs(window, column, row, 1, 0);
}

static bool differs_along_column(const rn_window *window, int column, int row)
{
    return differs(window, column, row, 0, -1) || differs(window, column, row, 0, 1);
}

static bool crossings_done(const rn_window *window)
{
    for (int row = 0; row < window->options.rows; row++)
        for (int column = 0; column < window->options.columns; column++)
            if (window->row_rank[row] == 0 && window->column_rank[column] == 0 &&
                !window->tiles[row * window->options.columns + column].worked)
                return false;
    return true;
}

static void leave_open(rn_tile *tile)
{
    tile->kind = RN_TILE_OPEN;
    tile->worst = -1;
    tile->lack = 0;
    tile->outcome = (rn_outcome){.state = RN_OUTCOME_NONE};
}

/* Once all borders are run: the safest is named, so it is run, and where it does not hold there is another. */
static void want_best(rn_window *window)
{
    rn_window_best best;
    if (rn_window_to_come(window) > 0 || !rn_window_find_best(&best, window))
        return;
    const int place = best.row * window->options.columns + best.column;
    window->wanted[place] = !window->tiles[place].worked;
}

void rn_window_tell(rn_window *window)
{
    const int columns = window->options.columns, count = columns * window->options.rows;
    const bool told = !window->options.every && crossings_done(window);
    for (int i = 0; i < count; i++)
        if (window->tiles[i].worked)
            window->guess[i] = window->tiles[i].kind = judge(&window->tiles[i], &window->goal);
    if (told)
        tell_all(window);
    for (int i = 0; i < count; i++)
        window->wanted[i] = !window->tiles[i].worked && (!told || differs_along_row(window, i % columns, i / columns) ||
                                                         differs_along_column(window, i % columns, i / columns));
    for (int i = 0; i < count; i++)
        if (window->wanted[i])
            leave_open(&window->tiles[i]);
    want_best(window);
}

/* Whether a tile is run in a pass along the lines up to a rank. */
static bool in_pass(const rn_window *window, int column, int row, int rank)
{
    return (window->row_rank[row] <= rank && differs_along_row(window, column, row)) ||
           (window->column_rank[column] <= rank && differs_along_column(window, column, row));
}

static int list_pass(int *places, const rn_window *window, int rank)
{
    int count = 0;
    for (int row = 0; row < window->options.rows; row++)
        for (int column = 0; column < window->options.columns; column++) {
            const int place = row * window->options.columns + column;
            if (window->wanted[place] && in_pass(window, column, row, rank))
                places[count++] = place;
        }
    return count;
}

static int list_wanted(int *places, const rn_window *window, bool crossings)
{
    const int columns = window->options.columns;
    int count = 0;
    for (int i = 0; i < columns * window->options.rows; i++)
        if (window->wanted[i] &&
            (!crossings || (window->column_rank[i % columns] == 0 && window->row_rank[i / columns] == 0)))
            places[count++] = i;
    return count;
}

int rn_window_next(int *places, const rn_window *window)
{
    if (window->options.every)
        return list_wanted(places, window, false);
    if (!crossings_done(window))
        return list_wanted(places, window, true);
    for (int rank = 0; rank < window->ranks; rank++) {
        const int count = list_pass(places, window, rank);
        if (count > 0)
            return count;
    }
    return list_wanted(places, window, false); /* the safest */
}
