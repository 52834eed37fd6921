/* Sources of paint as fields on the film's cells. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "film/state.h"

#define SUB 8 /* points per cell and direction that see a source's shape */

static int clamped(int value, int most)
{
    return value < 0 ? 0 : value > most ? most : value;
}

rn_status rn_film_add_source(rn_film *film, rn_film_shape *shape, const void *context, double x, double y, double reach,
                             rn_error *err)
{
    const rn_grid *grid = &film->grid;
    if (film->source_count == RN_SOURCES_MOST)
        return rn_fail(err, RN_E_PLAN, "more than %d releases", RN_SOURCES_MOST);
    double left = 0.5 * grid->nx * grid->dx, front = 0.5 * grid->ny * grid->dy;
    rn_film_source source;
    source.i = clamped((int)floor((x - reach + left) / grid->dx), grid->nx);
    source.j = clamped((int)floor((y - reach + front) / grid->dy), grid->ny);
    source.ni = clamped((int)ceil((x + reach + left) / grid->dx), grid->nx) - source.i;
    source.nj = clamped((int)ceil((y + reach + front) / grid->dy), grid->ny) - source.j;
    source.shape = calloc((size_t)source.ni * (size_t)source.nj + 1, sizeof *source.shape);
    if (!source.shape)
        return rn_fail(err, RN_E_MEMORY, "no memory for a release");
    double sum = 0;
    for (int b = 0; b < source.nj; b++)
        for (int a = 0; a < source.ni; a++) {
            int i = source.i + a, j = source.j + b;
            if (!film->inside[(long)j * grid->nx + i])
                continue;
            double cell = 0;
            for (int v = 0; v < SUB; v++)
                for (int u = 0; u < SUB; u++)
                    cell += shape(context, rn_grid_x(grid, i) + ((u + 0.5) / SUB - 0.5) * grid->dx,
                                  rn_grid_y(grid, j) + ((v + 0.5) / SUB - 0.5) * grid->dy);
            source.shape[(long)b * source.ni + a] = cell;
            sum += cell;
        }
    if (!(sum > 0)) {
        free(source.shape);
        return rn_fail(err, RN_E_PLAN, "a release lies off the panel");
    }
    for (long c = 0; c < (long)source.ni * source.nj; c++)
        source.shape[c] /= sum * grid->dx * grid->dy;
    film->sources[film->source_count++] = source;
    return RN_OK;
}

rn_status rn_film_set_sources(rn_film *film, const rn_film_spout *spouts, int count, rn_error *err)
{
    rn_film_source before[RN_SOURCES_MOST];
    const int before_count = film->source_count;
    memcpy(before, film->sources, sizeof before);
    film->source_count = 0;
    rn_status status = RN_OK;
    for (int k = 0; k < count && status == RN_OK; k++) {
        const rn_film_spout *spout = &spouts[k];
        status = rn_film_add_source(film, spout->shape, spout->context, spout->x, spout->y, spout->reach, err);
    }
    if (status != RN_OK) {
        rn_film_clear_sources(film);
        memcpy(film->sources, before, sizeof before);
        film->source_count = before_count;
        return status;
    }
    for (int k = 0; k < before_count; k++)
        free(before[k].shape);
    return RN_OK;
}

void rn_film_clear_sources(rn_film *film)
{
    for (int k = 0; k < film->source_count; k++)
        free(film->sources[k].shape);
    film->source_count = 0;
}

static void add_shape(const rn_film *film, double *field, const rn_film_source *source, double factor)
{
    for (int b = 0; b < source->nj; b++) {
        double *row = field + RN_AT(film, source->i, source->j + b);
        const double *shape = source->shape + (long)b * source->ni;
        for (int a = 0; a < source->ni; a++)
            row[a] += factor * shape[a];
    }
}

void rn_film_sources_on(rn_film *film, const double *rates)
{
    if (film->source_on)
        for (long j = 0; j < film->grid.ny; j++)
            memset(film->source + RN_AT(film, 0, (int)j), 0, (size_t)film->grid.nx * sizeof *film->source);
    film->source_on = false;
    for (int k = 0; k < film->source_count; k++)
        if (rates[k] != 0) {
            const rn_film_source *source = &film->sources[k];
            add_shape(film, film->source, source, rates[k]);
            film->source_on = true;
            rn_film_widen(film, source->i, source->i + source->ni, source->j, source->j + source->nj);
        }
}

void rn_film_deposit(rn_film *film, int source, double volume)
{
    add_shape(film, film->h, &film->sources[source], volume);
    rn_film_touch(film);
}
