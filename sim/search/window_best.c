/* Where in a window a plan stands safest, and which plan that works is the nearest. */
#include <math.h>
#include <stdlib.h>

#include "search/window_tiles.h"

static bool works(const rn_window *window, int column, int row)
{
    return window->tiles[row * window->options.columns + column].kind == RN_TILE_WORKS;
}

/* How far from a tile's middle another tile begins along one axis, as a share of its length. */
static double gap(int tiles, int count)
{
    return tiles == 0 ? 0 : (abs(tiles) - 0.5) / (count - 1);
}

/* The largest circle around a tile that touches no tile of another kind and lies within the window. */
static double radius_at(const rn_window *window, int column, int row, double enough)
{
    const int columns = window->options.columns, rows = window->options.rows;
    const double wide = (double)fmin(column, columns - 1 - column) / (columns - 1);
    const double high = (double)fmin(row, rows - 1 - row) / (rows - 1);
    double radius = fmin(wide, high);
    for (int r = 0; r < rows && radius >= enough; r++) {
        const double dy = gap(r - row, rows);
        if (dy >= radius)
            continue;
        const int reach = (int)ceil(radius * (columns - 1)) + 1; /* farther ones are not in the way */
        for (int c = column > reach ? column - reach : 0; c < columns && c <= column + reach; c++)
            if (!works(window, c, r))
                radius = fmin(radius, hypot(gap(c - column, columns), dy));
    }
    return radius;
}

static double apart(const rn_window *window, int column, int row, double along_x, double along_y)
{
    return hypot((column - along_x) / (window->options.columns - 1), (row - along_y) / (window->options.rows - 1));
}

#define END_DIGITS 3 /* of the values at the ends, which are told with no more */

/* The value at an end of the circle, within the window; of whole numbers the last one inside. */
static double end_along(const rn_dial *dial, int count, double along, bool less)
{
    const double value = rn_window_value(dial, count, fmin(fmax(along, 0), count - 1));
    const double close = 1e-9;
    if (dial->whole)
        return less ? ceil(value - close) : floor(value + close);
    return fmin(fmax(rn_dial_round_to(dial, value, END_DIGITS), dial->from), dial->to);
}

bool rn_window_find_best(rn_window_best *best, const rn_window *window)
{
    const int columns = window->options.columns, rows = window->options.rows;
    const double own_x = rn_window_along_x(window, window->x.now), own_y = rn_window_along_y(window, window->y.now);
    const bool own = isfinite(own_x) && isfinite(own_y);
    rn_window_best found = {.radius = -1};
    double nearest = INFINITY;
    for (int row = 0; row < rows; row++)
        for (int column = 0; column < columns; column++) {
            if (!works(window, column, row))
                continue;
            const double same = 1e-9, radius = radius_at(window, column, row, found.radius - same);
            const double far = own ? apart(window, column, row, own_x, own_y) : 0;
            if (radius > found.radius + same || (radius > found.radius - same && far < nearest)) {
                found.column = column;
                found.row = row;
                found.radius = radius;
                nearest = far;
            }
        }
    if (found.radius < 0)
        return false;
    rn_window_narrow_best(&found, window, found.radius);
    *best = found;
    return true;
}

void rn_window_narrow_best(rn_window_best *best, const rn_window *window, double radius)
{
    const int columns = window->options.columns, rows = window->options.rows;
    best->radius = radius;
    best->x_less = end_along(&window->x, columns, best->column - radius * (columns - 1), true);
    best->x_more = end_along(&window->x, columns, best->column + radius * (columns - 1), false);
    best->y_less = end_along(&window->y, rows, best->row - radius * (rows - 1), true);
    best->y_more = end_along(&window->y, rows, best->row + radius * (rows - 1), false);
}

void rn_window_inside(int *run, int *told, const rn_window *window, const rn_window_best *best)
{
    *run = *told = 0;
    for (int row = 0; row < window->options.rows; row++)
        for (int column = 0; column < window->options.columns; column++)
            if (apart(window, column, row, best->column, best->row) <= best->radius)
                ++*(window->tiles[row * window->options.columns + column].worked ? run : told);
}

bool rn_window_nearest(int *column, int *row, const rn_window *window, double along_x, double along_y)
{
    double least = INFINITY;
    for (int r = 0; r < window->options.rows; r++)
        for (int c = 0; c < window->options.columns; c++) {
            const bool run = window->tiles[r * window->options.columns + c].worked;
            const double far = run && works(window, c, r) ? apart(window, c, r, along_x, along_y) : INFINITY;
            if (far < least) {
                least = far;
                *column = c;
                *row = r;
            }
        }
    return isfinite(least);
}
