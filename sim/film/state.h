/* The film's insides, shared by height.c (steps), passes.c (work on blocks of rows and strips of columns) and
   sources.c. Not a public header.

   Arrays are padded: two rows below and above, and columns to the left and right of each row, so that stencils may
   read past the panel and sweeps may work in whole strips of RN_LANES. RN_AT(film, i, j) is cell (i, j), and also
   the face between cells i-1 and i of row j (x-faces) or rows j-1 and j (y-faces). Outside the panel and outside
   the active window depths and coefficients are 0, but for the two cells beyond either end of a row, which mirror it. */
#ifndef RN_FILM_STATE_H
#define RN_FILM_STATE_H

#include <stddef.h>

#include "base/parallel.h"
#include "film/edge.h"
#include "film/height.h"
#include "film/kernels.h"
#include "film/mobility.h"

#define RN_SOURCES_MOST 32
#define RN_WET_GROUND 0.1e-3 /* ground with this much paint holds no front [m] */
#define RN_PAD 16            /* columns left of a row; keeps rows aligned to 64 bytes times two */

typedef struct rn_span {
    int from, to; /* [from, to) */
} rn_span;

typedef struct rn_film_source {
    int i, j, ni, nj; /* its box of cells */
    double *shape;    /* nj*ni, integral over the panel 1 [1/m2], owned */
} rn_film_source;

/* Where paints differ: the laws of the columns. Of the film's own law where they are off. */
typedef struct rn_film_columns {
    bool on;
    int levels, levels_most; /* used, and those that there is memory for */
    int law_count;
    rn_law laws[RN_COLUMN_LAWS];
    rn_law_table table;
    unsigned char *law_of; /* levels of padded cells, the lowest first */
    uint16_t *foot;        /* and where each begins, of RN_COLUMN_DEPTH */
    double *viscosity;     /* padded cells: apparent, at 1/s [Pa s] */
    double least_viscosity;
    double *fluidity; /* padded cells: 1/(3 mu), or where any paint yields 1/(3 mu_J), of the Jacobian's floor */
    int *nearest;     /* ny*nx: the painted cell whose column each takes */
} rn_film_columns;

/* What one member of the team needs for itself. */
typedef struct rn_film_scratch {
    double *pressure; /* RN_LANES + 2 rows */
    double *drive_x;  /* RN_LANES + 2 rows */
    double *drive_y;  /* RN_LANES + 2 rows */
    double *flux_x;   /* RN_LANES rows */
    double *flux_y;   /* RN_LANES + 1 rows */
    rn_slope *slopes; /* RN_LANES rows of three: mobility, left, right of x-faces */
    double *rate;     /* RN_LANES rows */
    double *work;     /* for a sweep */
    double *memory;   /* one block for all of these, owned */
} rn_film_scratch;

struct rn_film {
    rn_film_options options;
    rn_grid grid;
    long stride, rows, cells; /* of a padded array */
    long inside_count;
    bool *inside;          /* ny*nx */
    rn_span *row, *column; /* cells of the panel in each row and column, cut to the window; RN_LANES-padded */
    rn_span *row_full;     /* the same, not cut */
    int i0, i1, j0, j1;    /* the active window: all paint lies inside it, away from its rim */
    bool straight_rim;     /* at the rim the film's face goes on straight; at walls it is mirrored */
    bool newtonian;        /* every law at work is a plain viscosity */
    rn_film_columns columns;

    double *memory;         /* one block for the arrays of doubles below */
    rn_slope *slope_memory; /* and one for the Jacobian */
    double *h, *h1;         /* depth now and at stage two, then the next depth [m] */
    double *k, *w;          /* a stage's rate after both sweeps, and after the first [m/s] */
    double *qx, *qy;        /* the fluxes, growing from q(h) to the step's accepted ones [m2/s] */
    rn_slope *mx, *lx, *rx; /* Jacobian of x-faces: mobility, left, right; see rn_x_faces */
    rn_slope *my, *ly, *ry; /* of y-faces */
    double *source;         /* arrivals [m/s] */
    double *zero_row;       /* stays 0 */
    bool source_on;

    const rn_kernels *kernels;
    rn_team *team;
    rn_film_scratch *scratch; /* one per member */
    rn_misfit *strip_misfit;  /* per strip of columns */
    int *block_negative;      /* per block of rows */

    rn_edges edges;
    double run_off[4];

    int source_count;
    rn_film_source sources[RN_SOURCES_MOST];

    /* the step at hand */
    rn_film_input input;
    double dt, tau;       /* dt of the attempt; tau = gamma dt */
    double next_dt;       /* what the step control would like */
    bool held_back;       /* the last attempt was rejected */
    long steps, rejected; /* attempts accepted and not */
    long limited;         /* cells so far whose outgoing fluxes were scaled, to stay above 0 */

    rn_face_rule rule_x, rule_y;
    double front_hold; /* [m] */
};

static inline size_t rn_at(const rn_film *film, int i, int j)
{
    return (size_t)((long)(j + 2) * film->stride + i + RN_PAD);
}
#define RN_AT(film, i, j) rn_at(film, i, j)

/* The Jacobian of x-faces is kept as the sweep reads it, a block of RN_LANES rows in columns: face i of row j stands at
   rn_x_faces(film, i, j) + j % RN_LANES. */
static inline size_t rn_x_faces(const rn_film *film, int i, int j)
{
    return (size_t)((j / RN_LANES * film->stride + i) * RN_LANES);
}

static inline double rn_cell_area(const rn_film *film)
{
    return film->grid.dx * film->grid.dy;
}

/* The column of one cell. */
static inline rn_column rn_film_column(const rn_film *film, int i, int j)
{
    const rn_film_columns *columns = &film->columns;
    if (!columns->on)
        return (rn_column){&film->options.law, NULL, 0, 1, NULL};
    const size_t at = RN_AT(film, i, j);
    return (rn_column){columns->laws, columns->law_of + at, film->cells, columns->levels, columns->foot + at};
}

/* Depth a [m] carried on to one face of the rim, by the slope that leads there; by no more than half of it. */
double rn_rim_depth(const rn_film *film, const double *a, const rn_edge_face *face);

/* The flux over one face of the rim. */
static inline double *rn_edge_flux_at(const rn_film *film, const rn_edge_face *face)
{
    int i = face->i + (face->across_x && face->sign > 0), j = face->j + (!face->across_x && face->sign > 0);
    return (face->across_x ? film->qx : film->qy) + RN_AT(film, i, j);
}

/* After the depth has been changed from outside: finds the window anew, mirrors, and begins with a short step. */
void rn_film_touch(rn_film *film);

/* Whether paint has come near the window's rim where there is panel beyond it. */
bool rn_film_window_is_tight(const rn_film *film);

void rn_film_clear_sources(rn_film *film);

void rn_film_columns_clear(rn_film_columns *columns);

/* What follows from the laws of the columns: their viscosities and the Jacobian's floors. */
void rn_film_columns_survey(rn_film *film);

/* Widens the window around all paint. */
void rn_film_find_window(rn_film *film);

/* Widens the active window so that these cells lie well inside it. */
void rn_film_widen(rn_film *film, int i0, int i1, int j0, int j1);

/* The window as it once was; it may shrink. */
void rn_film_set_window(rn_film *film, int i0, int i1, int j0, int j1);

/* Mirrors the first and last two cells of every row of the window beyond the panel. */
void rn_film_mirror_rows(const rn_film *film, double *a);

void rn_film_set_rules(rn_film *film);

/* One attempt's passes, in order. Each is shared among the team. */
void rn_film_pass_first(rn_film *film);   /* q(h), its Jacobian; x-sweep of the rate into w */
void rn_film_pass_predict(rn_film *film); /* y-sweep of w into k; h1 = h + dt k */
void rn_film_pass_second(rn_film *film);  /* q(h1); x-sweep of the rate - 2 k into w */
void rn_film_pass_judge(double *squares, double *fourths, rn_film *film); /* y-sweep of w; the fluxes are final */
long rn_film_pass_advance(rn_film *film);                                 /* h1 = next depth; count of cells below 0 */

/* dh/dt of depth a into out (both padded arrays), for reference integrations. */
void rn_film_pass_rates(rn_film *film, double *out, const double *a);

/* z = (I - tau Ly)^-1 (I - tau Lx)^-1 r in place, with the Jacobian of the last rn_film_pass_first. */
void rn_film_pass_solve(rn_film *film, double *r, double tau);

/* Sums the sources' shapes at the given rates [m3/s] into film->source. */
void rn_film_sources_on(rn_film *film, const double *rates);

#endif
