/* The film: one depth h(x, y, t) of paint on the panel, moved by gravity, tilt, turning and surface tension.

     h_t + div q = s,    q = M(h, |G|) G,    G = -grad p + f,    p = rho g_n h - gamma lap h

   Lubrication theory [oron1997] with a Herschel-Bulkley law [balmforth2002]; see height.c for the scheme. */
#ifndef RN_FILM_HEIGHT_H
#define RN_FILM_HEIGHT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "base/grid.h"
#include "matter/paint.h"
#include "matter/panel.h"

typedef struct rn_film rn_film;

typedef struct rn_film_options {
    rn_grid grid;
    bool round;     /* face is the disc inscribed in the grid's rectangle */
    rn_law law;     /* of the one liquid the film is made of; see rn_film_set_columns for several */
    double density; /* [kg/m3] */
    double tension; /* [N/m] */
    double advance; /* advancing angle on the dry ground [rad]; 0, like tension 0: the front is not held */
    rn_edge_kind edges;
    double side;             /* height of the sides, wrapped edges [m] */
    double tolerance;        /* of the step control: of errors at fronts and in corners, see height.c */
    double ripple_tolerance; /* of it: of the root mean square over the face; infinite: not looked at */
    double step_most;        /* no step is longer [s]; 0.5 */
    double slip;             /* slip length of the moving front [m]; 60e-6; 0, like tension 0: off */
    int threads;             /* 0: one per processor */
    const char *kernel;      /* NULL: the best this machine has */
} rn_film_options;

#define RN_FILM_TOLERANCE 5e-2

rn_film_options rn_film_defaults(void);

/* Gravity in the panel's frame and the panel's turning, steady over one step. */
typedef struct rn_film_input {
    double gravity_x, gravity_y, gravity_normal; /* along the panel, and pressing the film onto it [m/s2] */
    double rate, acceleration; /* turning about the panel's centre, counter-clockwise [rad/s, rad/s2] */
} rn_film_input;

/* Asked once per attempted step, and again if it is rejected: the forces at the step's middle, and volumes[sources] =
   what each source lets out over [t0, t1] [m3]. */
typedef void rn_film_drive(rn_film_input *input, double *volumes, void *context, double t0, double t1);

rn_status rn_film_new(rn_film **film, const rn_film_options *options, rn_error *err);
void rn_film_free(rn_film *film);

/* Adds a source with density shape(x, y) (any scale, >= 0, seen by oversampling); its number is the count
   of earlier calls. reach: it is zero farther than this from (x, y) [m]. */
typedef double rn_film_shape(const void *context, double x, double y);
rn_status rn_film_add_source(rn_film *film, rn_film_shape *shape, const void *context, double x, double y, double reach,
                             rn_error *err);

/* All sources at once, in place of those there are; on failure these stay. */
typedef struct rn_film_spout {
    rn_film_shape *shape;
    const void *context;
    double x, y, reach; /* as above */
} rn_film_spout;

rn_status rn_film_set_sources(rn_film *film, const rn_film_spout *spouts, int count, rn_error *err);

/* Where paints differ in how they flow: the column of each cell answers by the laws of its own layers, until set anew.
   laws_of: levels*ny*nx, the first level at the panel: which of the laws its paint follows, law_count or more where there
   is none; such a level takes what lies next to it in its column, a column without any that of the nearest cell with
   paint. foot: where each level begins, as a share of the depth in parts of RN_FOOT_UNIT, rising in every column from 0 on
   (levels may have no depth); NULL: they are equal. Both are copied. laws_of NULL: one liquid again. Columns that all follow the film's own law are
   one liquid, and as fast. At most RN_FILM_LAWS laws. Memory is taken at the first call, and when levels grow. */
#define RN_FILM_LAWS 32
#define RN_FOOT_UNIT 65536
rn_status rn_film_set_columns(rn_film *film, const unsigned char *laws_of, const uint16_t *foot, int levels,
                              const rn_law *laws, int law_count, rn_error *err);

/* Lays volume [m3] down at once with the shape of a source. */
void rn_film_deposit(rn_film *film, int source, double volume);

/* Depth, ny*nx row-major, row 0 at the front [m]. Set replaces the whole film on the face (cells outside a disc are
   ignored; what has run off stays counted). */
void rn_film_set(rn_film *film, const double *depth);
void rn_film_get(double *depth, const rn_film *film);

/* One adaptive step from t, never past `limit`; *taken is its length [s]. Conservative to rounding and
   positive. RN_E_NUMERIC names the time and the cell where the step shrank away. */
rn_status rn_film_step(double *taken, rn_film *film, double t, double limit, rn_film_drive *drive, void *context,
                       rn_error *err);

/* How long its next step would be if nothing cut it short [s]; it may come out shorter. A step looks ahead by twice that:
   it is the same for every `limit` that lies no nearer. */
double rn_film_wish(const rn_film *film);

/* The film without a copy: depth of cell (0, 0), rows *stride apart [m]; valid until the next step. */
const double *rn_film_depth(const rn_film *film, long *stride);
const rn_grid *rn_film_grid(const rn_film *film);

double rn_film_volume(const rn_film *film);                   /* on the face [m3] */
void rn_film_run_off(double run_off[4], const rn_film *film); /* front, right, back, left, so far [m3] */
double rn_film_on_sides(const rn_film *film);                 /* [m3] */
/* What has gone over each of `count` equal stretches of the rim so far, run off or on the side [m3]; stretches go
   counter-clockwise from the front left end, on a disc from the bearing of -135 deg. */
void rn_film_passed(double *passed, int count, const rn_film *film);
double rn_film_side_wetted(const rn_film *film); /* share of the sides' area */
long rn_film_steps(const rn_film *film);
long rn_film_rejected(const rn_film *film);
const bool *rn_film_inside(const rn_film *film); /* ny*nx; owned by the film */

/* Speed of the face in the last step, taken as a Newtonian film's, 1.5 q/h: 99th percentile over cells deeper than
   `depth` [m/s]; 0 before the first step. */
rn_status rn_film_speed(double *speed, const rn_film *film, double depth, rn_error *err);

/* Holding depths that follow from tension, density and advancing angle [m]. */
double rn_film_front_hold(const rn_film *film); /* 2 l_c sin(theta/2) [degennes2004] */
double rn_film_edge_hold(const rn_film *film);  /* 2 l_c sin((90 deg + theta)/2) [oliver1977] */

/* For reference integrations. Rates: the same right-hand side, dh/dt [m/s] and what goes over the edges [m3/s] at this
   depth, the edges' memory left as it is; source_rates: what each source lets out [m3/s], NULL for none. Prepare:
   linearises at this depth. Both replace the film's own depth. Solve: z = (I - tau Ly)^-1 (I - tau Lx)^-1 r as last
   linearised. Settle: the edges remember how far they have spilled, as after an accepted step. */
void rn_film_rates(double *dhdt, double run_off[4], rn_film *film, const double *depth, const rn_film_input *input,
                   const double *source_rates);
void rn_film_prepare(rn_film *film, const double *depth, const rn_film_input *input);
void rn_film_solve(double *z, rn_film *film, const double *r, double tau);
void rn_film_settle_edges(rn_film *film, const double *depth);

#endif
