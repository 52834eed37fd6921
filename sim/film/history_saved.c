#include "film/history_saved.h"

#include <stdlib.h>
#include <string.h>

#include "film/history_state.h"
#include "film/state.h"

#define SUMS 5 /* before, qx, qy, spread, feed */

struct rn_history_saved {
    double now, begun;
    int count, forgotten, column_count, columns_forgotten;
    int i0, i1, j0, j1;          /* the film's window */
    double *sums;                /* of the interval at hand, over the window; NULL where it has just begun */
    double *spill;               /* as is this */
    rn_interval *intervals;      /* those not forgotten, owned; NULL unless asked for */
    rn_history_columns *columns; /* as are these */
    long bytes;
};

/* All but what was spilled, which is never forgotten. */
static bool copy_cells(rn_interval *to, const rn_interval *from)
{
    const size_t cells = (size_t)rn_interval_cells(from), numbers = cells * RN_HISTORY_QUANTITIES * sizeof *to->numbers;
    *to = *from;
    to->spill = NULL;
    to->numbers = malloc(numbers + 1);
    to->yielded = from->yielded ? malloc(cells + 1) : NULL;
    if (!to->numbers || (from->yielded && !to->yielded)) {
        rn_interval_let_go(to);
        return false;
    }
    memcpy(to->numbers, from->numbers, numbers);
    if (from->yielded)
        memcpy(to->yielded, from->yielded, cells);
    return true;
}

static int interval_count(const rn_history_saved *saved)
{
    return saved->count - saved->forgotten;
}

static int columns_count(const rn_history_saved *saved)
{
    return saved->column_count - saved->columns_forgotten;
}

/* What will be forgotten. */
static bool keep_copies(rn_history_saved *made, const rn_history *history)
{
    made->intervals = calloc((size_t)interval_count(made) + 1, sizeof *made->intervals);
    made->columns = calloc((size_t)columns_count(made) + 1, sizeof *made->columns);
    if (!made->intervals || !made->columns)
        return false;
    for (int k = 0; k < interval_count(made); k++) {
        if (!copy_cells(&made->intervals[k], &history->intervals[made->forgotten + k]))
            return false;
        made->bytes += (long)sizeof *made->intervals + rn_interval_bytes(&made->intervals[k]);
    }
    for (int k = 0; k < columns_count(made); k++) {
        if (!rn_history_columns_copy(&made->columns[k], &history->columns[made->columns_forgotten + k]))
            return false;
        made->bytes += (long)sizeof *made->columns + rn_history_columns_bytes(&made->columns[k]);
    }
    return true;
}

static size_t width(const rn_history_saved *saved)
{
    return (size_t)(saved->i1 - saved->i0);
}

/* Row j of the sum `sum`, kept and in the history. */
static double *kept_row(const rn_history_saved *saved, int sum, int j)
{
    return saved->sums + ((size_t)sum * (size_t)(saved->j1 - saved->j0) + (size_t)(j - saved->j0)) * width(saved);
}

static double *row_of(const rn_history *history, const rn_history_saved *saved, int sum, int j)
{
    double *const sums[SUMS] = {history->before, history->qx, history->qy, history->spread, history->feed};
    return sums[sum] + (long)j * history->grid.nx + saved->i0;
}

static bool keep_sums(rn_history_saved *made, const rn_history *history, const rn_film *film)
{
    made->i0 = film->i0;
    made->i1 = film->i1;
    made->j0 = film->j0;
    made->j1 = film->j1;
    const size_t numbers = SUMS * width(made) * (size_t)(made->j1 - made->j0), places = (size_t)history->place_count;
    made->sums = malloc(numbers * sizeof *made->sums + 1);
    made->spill = malloc(places * sizeof *made->spill + 1);
    if (!made->sums || !made->spill)
        return false;
    for (int sum = 0; sum < SUMS; sum++)
        for (int j = made->j0; j < made->j1; j++)
            memcpy(kept_row(made, sum, j), row_of(history, made, sum, j), width(made) * sizeof *made->sums);
    memcpy(made->spill, history->spill, places * sizeof *made->spill);
    made->bytes += (long)((numbers + places) * sizeof *made->sums);
    return true;
}

bool rn_history_is_between(const rn_history *history)
{
    return !(history->now > history->begun);
}

rn_status rn_history_save(rn_history_saved **saved, const rn_history *history, const rn_film *film, bool forgets,
                          rn_error *err)
{
    rn_history_saved *made = calloc(1, sizeof *made);
    if (made)
        *made = (rn_history_saved){
            .now = history->now,
            .begun = history->begun,
            .count = history->count,
            .forgotten = history->forgotten,
            .column_count = history->column_count,
            .columns_forgotten = history->columns_forgotten,
            .bytes = (long)sizeof *made,
        };
    if (!made || (!rn_history_is_between(history) && !keep_sums(made, history, film)) ||
        (forgets && !keep_copies(made, history))) {
        rn_history_saved_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film's history");
    }
    *saved = made;
    return RN_OK;
}

void rn_history_saved_free(rn_history_saved *saved)
{
    if (!saved)
        return;
    for (int k = 0; saved->intervals && k < interval_count(saved); k++)
        rn_interval_clear(&saved->intervals[k]);
    for (int k = 0; saved->columns && k < columns_count(saved); k++)
        rn_history_columns_let_go(&saved->columns[k]);
    free(saved->intervals);
    free(saved->columns);
    free(saved->sums);
    free(saved->spill);
    free(saved);
}

long rn_history_saved_bytes(const rn_history_saved *saved)
{
    return saved->bytes;
}

rn_status rn_history_recall(rn_history *history, const rn_history_saved *saved, rn_error *err)
{
    while (history->forgotten > saved->forgotten) {
        const int k = history->forgotten - 1;
        rn_interval *kept = &history->intervals[k];
        float *spill = kept->spill;
        if (k < saved->count) { /* later ones are to be cut off */
            const bool copied = copy_cells(kept, &saved->intervals[k - saved->forgotten]);
            kept->spill = spill;
            if (!copied)
                return rn_fail(err, RN_E_MEMORY, "no memory to go back");
            history->bytes += rn_interval_bytes(kept);
        }
        history->forgotten = k;
    }
    while (history->columns_forgotten > saved->columns_forgotten) {
        const int k = history->columns_forgotten - 1;
        rn_history_columns *kept = &history->columns[k];
        if (k < saved->column_count) {
            if (!rn_history_columns_copy(kept, &saved->columns[k - saved->columns_forgotten]))
                return rn_fail(err, RN_E_MEMORY, "no memory to go back");
            history->bytes += rn_history_columns_bytes(kept);
        }
        history->columns_forgotten = k;
    }
    return RN_OK;
}

static void cut(rn_history *history, const rn_history_saved *saved)
{
    while (history->count > saved->count) {
        rn_interval *last = &history->intervals[--history->count];
        history->bytes -= rn_interval_bytes(last);
        rn_interval_clear(last);
    }
    while (history->column_count > saved->column_count) {
        rn_history_columns *last = &history->columns[--history->column_count];
        history->bytes -= rn_history_columns_bytes(last);
        rn_history_columns_let_go(last);
    }
}

void rn_history_restore(rn_history *history, const rn_history_saved *saved, const rn_film *film)
{
    cut(history, saved);
    history->now = saved->now;
    rn_history_begin(history, film);
    history->begun = saved->begun;
    if (!saved->sums)
        return;
    memset(history->before, 0, (size_t)history->grid.nx * (size_t)history->grid.ny * sizeof *history->before);
    for (int sum = 0; sum < SUMS; sum++)
        for (int j = saved->j0; j < saved->j1; j++)
            memcpy(row_of(history, saved, sum, j), kept_row(saved, sum, j), width(saved) * sizeof *saved->sums);
    memcpy(history->spill, saved->spill, (size_t)history->place_count * sizeof *history->spill);
}
