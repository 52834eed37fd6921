/* The film's inner loops, as plain C that the compiler turns into vector code. The one source kernels.c is
   compiled for several instruction sets; all operations are element by element, nothing is contracted or
   reassociated, so every set gives the same bits. */
#ifndef RN_FILM_KERNELS_H
#define RN_FILM_KERNELS_H

#include <stdbool.h>
#include <stdint.h>

/* Less than this is no paint [m]: far under the rounding of any flux, it is what the sweeps' tails leave on dry
   ground. */
#define RN_NOTHING 1e-25

#define RN_LANES 16 /* lines that a sweep solves side by side */

/* What a face needs to know about the liquid, the ground and its own direction.
   Directions: d is the cell size across the face. */
typedef struct rn_face_rule {
    double per_d;          /* 1/d [1/m] */
    double hold;           /* pressure that holds the front on dry ground [Pa] */
    double per_wet;        /* 1 / depth at which ground counts as wet [1/m] */
    double holds_late;     /* 0: the hold falls evenly to there, 1: by the fourth power */
    double front_drag;     /* 1.5 ln(d / 9 slip length), >= 0 [-] */
    double front_damping;  /* kappa gamma / d^3 [N/m4] */
    double third_fluidity; /* 1/(3 mu), Newtonian [1/(Pa s)] */
    /* Herschel-Bulkley only */
    double power, per_power;   /* n, 1/n */
    double yield;              /* tau_y [Pa] */
    double log2_consistency;   /* of K */
    double factor, per_factor; /* c = n/((n+1)(2n+1)), 1/c */
    double floor_fluidity;     /* 1/(3 mu_J) of the Jacobian's floor [1/(Pa s)] */
} rn_face_rule;

/* Something of the four cells in line across each face, two on either side: their depths [m], where drives need the
   near two alone; their fluidities. */
typedef struct rn_face_cells {
    const double *far_left, *left, *right, *far_right;
} rn_face_cells;

#define RN_COLUMN_LAWS 32 /* that the columns of a film may follow */

/* What a law's number stands for, m = 1/n. */
typedef struct rn_law_table {
    double yield[RN_COLUMN_LAWS];                          /* tau_y [Pa] */
    double per_power[RN_COLUMN_LAWS];                      /* m */
    double log2_consistency[RN_COLUMN_LAWS];               /* of K */
    double per_consistency[RN_COLUMN_LAWS];                /* 1/K */
    double per_m1[RN_COLUMN_LAWS], per_m2[RN_COLUMN_LAWS]; /* 1/(m+1), 1/(m+2) */
    bool straight;                                         /* n = 1 in all of them */
} rn_law_table;

#define RN_COLUMN_DEPTH 65536 /* the whole depth, in the numbers that tell where a level begins */

/* The columns on either side of each face, in levels from the panel up. */
typedef struct rn_face_columns {
    const unsigned char *left, *right;      /* law of the lowest level, */
    const uint16_t *foot_left, *foot_right; /* and where it begins */
    long plane;                             /* from one level to the next */
    int levels;
    const rn_law_table *laws;
    const double *floor_left, *floor_right; /* fluidity of the Jacobian's floor [1/(Pa s)] */
} rn_face_columns;

/* The Jacobian is kept in single precision: a W-method keeps its order with any, and nothing else is read as often. */
typedef float rn_slope;

/* Results: flux q [m2/s], and its linearisation dq = mobility*(...) + left*v_left + right*v_right. */
typedef struct rn_face_flux {
    double *q;
    rn_slope *mobility, *left, *right; /* all three NULL where only q is wanted */
} rn_face_flux;

/* Flux of layered columns, each level with a Herschel-Bulkley law of its own; drives as for flux_yield. */
typedef void rn_flux_columns(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h,
                             const rn_face_columns *columns, const double *drive, const double *across_a,
                             const double *across_b, double weight, int n);

/* The linearised fluxes of the faces along RN_LANES lines side by side: face f of lane l at [f*stride + l]. */
typedef struct rn_jacobian {
    const rn_slope *mobility, *left, *right;
    long stride;
} rn_jacobian;

/* What the lines of one direction have in common. */
typedef struct rn_sweep {
    double tau, tau_per_d; /* tau, tau / d */
    double gravity;        /* rho g_n / d */
    double capillary;      /* gamma / d^3 */
    double straight;       /* 1: beyond its ends a line's depth goes on straight; 0: it is mirrored there */
    int length;            /* cells in the line */
    const int *from, *to;  /* per lane: the panel's cells [from, to); NULL where every lane spans the whole line */
} rn_sweep;

/* How far a step's two orders lie apart, per lane: of ((k + k2)/(1 mm + h))^2 and of ((k + k2)/(0.1 mm + h))^4 [1/s2, 1/s4].
   The first sees ripples all over the film, the second the few cells of a front. */
typedef struct rn_misfit {
    double squares[RN_LANES], fourths[RN_LANES];
} rn_misfit;

/* Doubles that a sweep along lines of that length needs to work in. */
#define RN_SWEEP_WORK(length) (5L * RN_LANES * ((length) + 8L))

typedef struct rn_kernels {
    const char *name;

    /* p = a*h - bx*(left + right - 2 h) - by*(below + above - 2 h) for n cells; h, below, above may be one row. */
    void (*pressure)(double *p, const double *h, const double *below, const double *above, double a, double bx,
                     double by, int n);

    /* Newtonian flux through n faces with body force force0 + i*force1. */
    void (*flux)(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h, const double *p_left,
                 const double *p_right, double force0, double force1, int n);

    /* The same with the cells' own fluidities 1/(3 mu) in place of the rule's. */
    void (*flux_local)(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h,
                       const rn_face_cells *fluidity, const double *p_left, const double *p_right, double force0,
                       double force1, int n);

    /* Drive G with the front's hold taken off, [Pa/m]. */
    void (*drive)(double *drive, const rn_face_rule *rule, const rn_face_cells *h, const double *p_left,
                  const double *p_right, double force0, double force1, int n);

    /* Herschel-Bulkley flux from the faces' own drives and the transverse ones around each: at face i
       weight * (across_a[i] + across_a[i+1] + across_b[i] + across_b[i+1]). */
    void (*flux_yield)(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h, const double *drive,
                       const double *across_a, const double *across_b, double weight, int n);

    rn_flux_columns *flux_columns;

    /* r = (q[i] - q[i+1]) per_dx + (below - above) per_dy + source - 2 k (k may be NULL). */
    void (*divergence)(double *r, const double *q, const double *below, const double *above, double per_dx,
                       double per_dy, const double *source, const double *k, int n);

    /* Sum of n numbers in a fixed order: RN_LANES interleaved sums, then those one after another. */
    double (*sum)(const double *a, int n);

    /* a += b */
    void (*add)(double *a, const double *b, int n);

    /* RN_LANES rows of faces into side-by-side columns: lane l's line begins at lines + l*stride, face f of it goes to
       columns[f*RN_LANES + l]; f < n, rounded up to 4. */
    void (*turn_slopes)(rn_slope *columns, const rn_slope *lines, long stride, int n);

    /* Solves (I - tau L) v = r along RN_LANES rows: out = v, and q = factor (q + tau lin(v)) on all faces of the rows
       (q may be NULL). Rows are stride apart; the Jacobian is in columns. */
    void (*sweep_along)(double *out, double *q, double factor, const rn_sweep *sweep, const rn_jacobian *jacobian,
                        const double *r, long stride, double *work);

    /* Solves (I - tau L) k = w on RN_LANES columns that lie side by side (row i of lane l at [i*stride + l]);
       h1 = h + dt k, and q += tau lin(k). */
    void (*sweep_and_predict)(double *k, double *h1, double *q, const double *h, double dt, const rn_sweep *sweep,
                              const rn_jacobian *jacobian, const double *w, long stride, double *work);

    /* Solves (I - tau L) k2 = w on the same columns; q = (q + tau lin(k2))/2, and the sums of each lane over the rows. */
    void (*sweep_and_judge)(double *q, rn_misfit *sums, const double *k, const double *h, const rn_sweep *sweep,
                            const rn_jacobian *jacobian, const double *w, long stride, double *work);

    /* Solves (I - tau L) v = v on such columns. */
    void (*sweep_across)(double *v, const rn_sweep *sweep, const rn_jacobian *jacobian, long stride, double *work);

    /* h1 = h - dt div q + s dt; returns how many came out negative. */
    int (*advance)(double *h1, const double *h, const double *q, const double *below, const double *above,
                   double dt_per_dx, double dt_per_dy, const double *source, double dt, int n);
} rn_kernels;

/* By name ("baseline", "avx2", "avx512"), or the best this machine has for NULL; NULL if unknown here. */
const rn_kernels *rn_kernels_choose(const char *name);

#endif
