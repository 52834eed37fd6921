/* The film's motion within one interval of its history, at any point and depth: the mean velocity between the cells, and
   how it is spread over the depth. Private to the tracing of layers; in a header because it is its innermost loop.

   Legend: u v depth-mean velocity, k the cell's motion, sigma z/h, phi F the profile and its integral (profile.h). */
#ifndef RN_FILM_FLOW_H
#define RN_FILM_FLOW_H

#include "base/parallel.h"
#include "film/history.h"

typedef enum rn_flow_kind {
    RN_FLOW_NEWTONIAN,
    RN_FLOW_POWER,
    RN_FLOW_PLUG,    /* a yield stress */
    RN_FLOW_COLUMNS, /* layers that differ */
} rn_flow_kind;

/* A column's profile stands at heights that lie closer toward the panel, where thin layers count most, and toward the
   face; between two of them F is the cubic through both ends' F and phi: exact within one paint. */
#define RN_FLOW_HEIGHTS 12
#define RN_FLOW_PARTS 128 /* of the depth; every height is a whole number of them */
typedef struct rn_flow_heights {
    unsigned char part[RN_FLOW_HEIGHTS + 1]; /* in parts, from the panel to the face */
    unsigned char height_of[RN_FLOW_PARTS];  /* the last height at or below each part */
    float share[RN_FLOW_HEIGHTS + 1];        /* of the depth */
} rn_flow_heights;

/* phi and F by yielded share and sigma, for laws that are no plain viscosity: powers are dear. */
#define RN_SHAPE_ROWS 65
#define RN_SHAPE_COLUMNS 129

typedef struct rn_shapes {
    float phi[RN_SHAPE_ROWS][RN_SHAPE_COLUMNS], below[RN_SHAPE_ROWS][RN_SHAPE_COLUMNS];
} rn_shapes;

typedef struct rn_flow {
    rn_flow_kind kind;
    const rn_grid *grid;
    float per_dx, per_dy, x0, y0;
    rn_motion_cell *cells;
    float face_speed; /* phi(1) of a power law */
    rn_shapes *table; /* POWER, PLUG */
    float plug_part;  /* 1/(m+2), m = 1/n: a plug's face moves at 1/(1 - that times the yielded share) */
    float *yielded;   /* PLUG: the yielded share of each cell's film */
    const rn_history_columns *columns; /* COLUMNS: those whose profiles stand in `levels` */
    float *sums;                       /* COLUMNS: phi and F not yet over the mean, on the lattice, twice */
    rn_motion_cell *levels; /* RN_FLOW_HEIGHTS*ny*nx of their lattice: phi, F, a, b at each height; d above it
                                          F + d (phi + d (a + d b)) */
    rn_flow_heights heights;
    int lattice_nx;
    long lattice_plane;
    float lattice_per_x, lattice_per_y, lattice_most_x, lattice_most_y; /* [1/m], and the last place on it */
} rn_flow;

/* Ready for the intervals of a history; power: the liquid's n where the history knows no columns. */
rn_status rn_flow_begin(rn_flow *flow, const rn_history *history, double power, rn_error *err);
void rn_flow_end(rn_flow *flow);

/* Reads the motion of one interval. */
void rn_flow_read(rn_flow *flow, const rn_history *history, int interval, rn_team *team);

/* The height, as a share of the depth, below which that share of the flux runs at a place in one interval. */
double rn_flow_height_of(double share, const rn_history *history, double power, int interval, double x, double y);

static inline float rn_flow_clamped(float value, float most)
{
    return value < 0 ? 0 : value > most ? most : value;
}

/* Where a point lies among rn_four cell centres; beyond the outermost it stays on them. */
typedef struct rn_spot {
    long cell; /* the lower left one */
    float a, b;
} rn_spot;

static inline rn_spot rn_flow_spot(const rn_flow *f, float x, float y)
{
    float fx = rn_flow_clamped((x - f->x0) * f->per_dx - 0.5f, (float)f->grid->nx - 1.001f);
    float fy = rn_flow_clamped((y - f->y0) * f->per_dy - 0.5f, (float)f->grid->ny - 1.001f);
    int i = (int)fx, j = (int)fy;
    return (rn_spot){(long)j * f->grid->nx + i, fx - (float)i, fy - (float)j};
}

typedef float rn_four __attribute__((vector_size(16), aligned(4), may_alias));

/* Bilinear. */
static inline rn_motion_cell rn_flow_sample(const rn_flow *f, float x, float y)
{
    const rn_spot at = rn_flow_spot(f, x, y);
    const rn_motion_cell *p = f->cells + at.cell, *q = p + f->grid->nx;
    rn_four p0 = *(const rn_four *)p, p1 = *(const rn_four *)(p + 1), q0 = *(const rn_four *)q,
            q1 = *(const rn_four *)(q + 1);
    rn_four low = p0 + at.a * (p1 - p0), high = q0 + at.a * (q1 - q0), mixed = low + at.b * (high - low);
    return (rn_motion_cell){mixed[0], mixed[1], mixed[2], mixed[3]};
}

/* How a point at sigma moves where the film moves as k: phi, and dsigma/dt but for what is laid on top. */
typedef struct rn_drift {
    float phi, rise;
} rn_drift;

static inline float rn_shapes_between(const float *row, const float *next, float a, float b)
{
    const float low = row[0] + a * (row[1] - row[0]), high = next[0] + a * (next[1] - next[0]);
    return low + b * (high - low);
}

/* phi, F, and dF/d(yielded share). */
static inline void rn_shapes_look_up(float *phi, float *below, float *below_by_yielded, const rn_shapes *table,
                                     float yielded, float sigma)
{
    const float fr = rn_flow_clamped(yielded * (RN_SHAPE_ROWS - 1), RN_SHAPE_ROWS - 1.001f);
    const float fc = rn_flow_clamped(sigma * (RN_SHAPE_COLUMNS - 1), RN_SHAPE_COLUMNS - 1.001f);
    const int r = (int)fr, c = (int)fc;
    const float a = fc - (float)c, b = fr - (float)r;
    *phi = rn_shapes_between(&table->phi[r][c], &table->phi[r + 1][c], a, b);
    *below = rn_shapes_between(&table->below[r][c], &table->below[r + 1][c], a, b);
    const float *row = &table->below[r][c], *next = &table->below[r + 1][c];
    *below_by_yielded = (next[0] + a * (next[1] - next[0]) - row[0] - a * (row[1] - row[0])) * (RN_SHAPE_ROWS - 1);
}

static inline rn_drift rn_flow_of_power(const rn_flow *f, const rn_motion_cell *k, float sigma)
{
    float phi, below, unused;
    rn_shapes_look_up(&phi, &below, &unused, f->table, 1, sigma);
    return (rn_drift){phi, (sigma - below) * k->spread};
}

static inline rn_drift rn_flow_with_plug(const rn_flow *f, const rn_motion_cell *k, float x, float y, float sigma)
{
    const rn_spot at = rn_flow_spot(f, x, y);
    const float *p = f->yielded + at.cell, *q = p + f->grid->nx;
    float low = p[0] + at.a * (p[1] - p[0]), high = q[0] + at.a * (q[1] - q[0]);
    const float yielded = low + at.b * (high - low);
    if (sigma == 1)
        return (rn_drift){1 / (1 - f->plug_part * yielded), 0};
    float by_x = ((p[1] - p[0]) * (1 - at.b) + (q[1] - q[0]) * at.b) * f->per_dx, by_y = (high - low) * f->per_dy;
    float phi, below, below_by_yielded;
    rn_shapes_look_up(&phi, &below, &below_by_yielded, f->table, yielded, sigma);
    return (rn_drift){phi, (sigma - below) * k->spread - below_by_yielded * (k->u * by_x + k->v * by_y)};
}

static inline rn_drift rn_flow_in_column(const rn_flow *f, const rn_motion_cell *k, float x, float y, float sigma)
{
    const float fx = rn_flow_clamped((x - f->x0) * f->lattice_per_x - 0.5f, f->lattice_most_x);
    const float fy = rn_flow_clamped((y - f->y0) * f->lattice_per_y - 0.5f, f->lattice_most_y);
    const int i = (int)fx, j = (int)fy;
    const float a = fx - (float)i, b = fy - (float)j;
    const int part = (int)(sigma * RN_FLOW_PARTS);
    const int level = f->heights.height_of[part < RN_FLOW_PARTS ? part : RN_FLOW_PARTS - 1];
    const float d = sigma - f->heights.share[level];
    const rn_motion_cell *p = f->levels + level * f->lattice_plane + (long)j * f->lattice_nx + i,
                         *q = p + f->lattice_nx;
    const rn_four p0 = *(const rn_four *)p, p1 = *(const rn_four *)(p + 1), q0 = *(const rn_four *)q,
                  q1 = *(const rn_four *)(q + 1);
    const rn_four right_low = p1 - p0, right_high = q1 - q0;
    const rn_four low = p0 + a * right_low, high = q0 + a * right_high, back = high - low, mixed = low + b * back;
    const float phi = mixed[0] + d * (2 * mixed[2] + d * (3 * mixed[3]));
    if (sigma == 1 || sigma == 0)
        return (rn_drift){phi, 0};
    const rn_four right = right_low + b * (right_high - right_low);
    const float below = mixed[1] + d * (mixed[0] + d * (mixed[2] + d * mixed[3]));
    const float below_by_x = (right[1] + d * (right[0] + d * (right[2] + d * right[3]))) * f->lattice_per_x;
    const float below_by_y = (back[1] + d * (back[0] + d * (back[2] + d * back[3]))) * f->lattice_per_y;
    return (rn_drift){phi, (sigma - below) * k->spread - k->u * below_by_x - k->v * below_by_y};
}

static inline rn_drift rn_flow_at(const rn_flow *f, const rn_motion_cell *k, float x, float y, float sigma)
{
    if (f->kind == RN_FLOW_PLUG)
        return rn_flow_with_plug(f, k, x, y, sigma);
    if (f->kind == RN_FLOW_COLUMNS)
        return rn_flow_in_column(f, k, x, y, sigma);
    if (sigma == 1)
        return (rn_drift){f->face_speed, 0};
    if (f->kind == RN_FLOW_NEWTONIAN)
        return (rn_drift){sigma * (3.0f - 1.5f * sigma), (sigma - sigma * sigma * (1.5f - 0.5f * sigma)) * k->spread};
    return rn_flow_of_power(f, k, sigma);
}

#endif
