/* A block of RN_LANES rows of the film: what flows over its faces at a depth, and what its cells gain by it. Not a public
   header; passes.c puts blocks and sweeps together to a step. */
#ifndef RN_FILM_BLOCK_H
#define RN_FILM_BLOCK_H

#include "film/state.h"

/* The rows that the block's fluxes need, in one member's scratch. Row j of pressure and drives is at index
   j - (first - 1), row j of fluxes at j - first. */
typedef struct rn_block {
    const rn_film *film;
    const rn_film_scratch *scratch;
    const double *h;
    rn_span rows;
    bool linearise; /* write the Jacobian, and the fluxes themselves where they are kept */
} rn_block;

/* A row's cells within the window; none beyond it. */
static inline rn_span rn_film_row(const rn_film *film, int j)
{
    return j >= film->j0 && j < film->j1 ? film->row[j] : (rn_span){0, 0};
}

/* What arrives in the cells of a row [m/s]. */
static inline const double *rn_film_source_row(const rn_film *film, int j)
{
    return film->source_on ? film->source + RN_AT(film, 0, j) : film->zero_row + RN_PAD;
}

/* Row j of such an array of the block's rows, as fluxes and rates are: one for each row, at least RN_LANES of them. */
static inline double *rn_block_row(const rn_block *block, double *rows, int j)
{
    return rows + (long)(j - block->rows.from) * block->film->stride + RN_PAD;
}

/* q(h) on all faces of the block's rows, and the one face row above; with `linearise` the Jacobian too. */
void rn_block_fluxes(const rn_block *block);

/* Turns the x-faces' Jacobian into the columns that the sweep reads. */
void rn_block_keep_slopes(const rn_block *block);

/* Adds the block's own fluxes of stage two to those kept. */
void rn_block_add_fluxes(const rn_block *block);

/* -div q + s (- 2 k) of the block's rows into rows of `out`. */
void rn_block_rates(const rn_block *block, double *out, const double *k);

#endif
