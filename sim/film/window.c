/* The active window: everything outside it is dry, and stays so for a step. It only grows, until the film is put back. */
#include <math.h>

#include "film/state.h"

#define WINDOW_MARGIN 6 /* dry cells kept between paint and the window's rim */

static void cut_to_window(rn_film *film)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++) {
        rn_span full = film->row_full[j];
        rn_span cut = {full.from > film->i0 ? full.from : film->i0, full.to < film->i1 ? full.to : film->i1};
        film->row[j] = j >= film->j0 && j < film->j1 && cut.to > cut.from ? cut : (rn_span){0, 0};
    }
    for (int i = 0; i < grid->nx; i++) {
        film->column[i] = (rn_span){0, 0};
        for (int j = film->j0; j < film->j1; j++) {
            if (i < film->row[j].from || i >= film->row[j].to)
                continue;
            if (film->column[i].to == 0)
                film->column[i].from = j;
            film->column[i].to = j + 1;
        }
    }
}

void rn_film_set_window(rn_film *film, int i0, int i1, int j0, int j1)
{
    film->i0 = i0;
    film->i1 = i1;
    film->j0 = j0;
    film->j1 = j1;
    cut_to_window(film);
}

void rn_film_widen(rn_film *film, int i0, int i1, int j0, int j1)
{
    const rn_grid *grid = &film->grid;
    i0 = i0 > WINDOW_MARGIN ? (i0 - WINDOW_MARGIN) / RN_LANES * RN_LANES : 0;
    j0 = j0 > WINDOW_MARGIN ? (j0 - WINDOW_MARGIN) / RN_LANES * RN_LANES : 0;
    i1 = (i1 + WINDOW_MARGIN + RN_LANES - 1) / RN_LANES * RN_LANES;
    j1 = (j1 + WINDOW_MARGIN + RN_LANES - 1) / RN_LANES * RN_LANES;
    i1 = i1 < grid->nx ? i1 : grid->nx;
    j1 = j1 < grid->ny ? j1 : grid->ny;
    if (film->i1 > 0) {
        i0 = film->i0 < i0 ? film->i0 : i0;
        j0 = film->j0 < j0 ? film->j0 : j0;
        i1 = film->i1 > i1 ? film->i1 : i1;
        j1 = film->j1 > j1 ? film->j1 : j1;
    }
    if (i0 == film->i0 && i1 == film->i1 && j0 == film->j0 && j1 == film->j1)
        return;
    rn_film_set_window(film, i0, i1, j0, j1);
    rn_film_mirror_rows(film, film->h);
}

static bool is_wet(const rn_film *film, int i, int j)
{
    return film->h[RN_AT(film, i, j)] > 0;
}

/* Widens the window around all paint. */
void rn_film_find_window(rn_film *film)
{
    const rn_grid *grid = &film->grid;
    int i0 = grid->nx, i1 = 0, j0 = grid->ny, j1 = 0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = film->row_full[j].from; i < film->row_full[j].to; i++)
            if (is_wet(film, i, j)) {
                i0 = i < i0 ? i : i0;
                i1 = i + 1 > i1 ? i + 1 : i1;
                j0 = j < j0 ? j : j0;
                j1 = j + 1;
            }
    if (i1 > i0)
        rn_film_widen(film, i0, i1, j0, j1);
}

/* Whether paint has come near the window's rim where there is panel beyond it. */
bool rn_film_window_is_tight(const rn_film *film)
{
    const int margin = WINDOW_MARGIN - 2;
    bool left = film->i0 > 0, right = film->i1 < film->grid.nx;
    bool front = film->j0 > 0, back = film->j1 < film->grid.ny;
    if (!left && !right && !front && !back)
        return false;
    for (int j = film->j0; j < film->j1; j++) {
        bool whole = (front && j < film->j0 + margin) || (back && j >= film->j1 - margin);
        for (int i = film->i0; i < film->i1; i++) {
            bool near = whole || (left && i < film->i0 + margin) || (right && i >= film->i1 - margin);
            if (near && is_wet(film, i, j))
                return true;
            if (!near && !whole) /* to the right margin */
                i = right ? film->i1 - margin - 1 : film->i1;
        }
    }
    return false;
}

void rn_film_mirror_rows(const rn_film *film, double *a)
{
    for (int j = film->j0; j < film->j1; j++) {
        rn_span row = film->row[j];
        if (row.to <= row.from)
            continue;
        double *from = a + RN_AT(film, row.from, j), *to = a + RN_AT(film, row.to, j);
        from[-1] = from[-2] = from[0];
        to[0] = to[1] = to[-1];
    }
}

void rn_film_touch(rn_film *film)
{
    rn_film_find_window(film);
    rn_film_mirror_rows(film, film->h);
    film->next_dt = fmin(film->next_dt, 1e-3);
}
