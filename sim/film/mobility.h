/* Rheology to flux: a Herschel-Bulkley film of depth h under a drive G, flowing over a solid with a free face.

     plug = tau_y/G,  y = h - plug > 0,  q = n/((n+1)(2n+1)) (G/K)^(1/n) y^(1+1/n) ((2n+1) h - n y)   [balmforth2002]

   In a column of several paints the stress is still G (h - z), linear in depth, and each level answers by its own law:

     q = int_0^h (h - z) rate(z) dz,   u(z) = int_0^z rate,   rate = (max(0, G (h - z) - tau_y)/K)^(1/n)

   One face at a time, for edges, sides and tests; the film's own loops are in kernels.c and kernels_columns.c. */
#ifndef RN_FILM_MOBILITY_H
#define RN_FILM_MOBILITY_H

#include <stdint.h>

#include "film/kernels.h"
#include "matter/paint.h"

/* Flux per width [m2/s], >= 0, of a film of depth h [m] under a drive G [Pa/m]; 0 where h or G is not positive. */
double rn_law_flux(const rn_law *law, double h, double G);

/* Its derivatives by h [m/s] and by G [m3/(Pa s)]. */
void rn_law_flux_slopes(double *by_depth, double *by_drive, const rn_law *law, double h, double G);

/* Speed of the free face [m/s]: n/(n+1) (G/K)^(1/n) y^(1+1/n). */
double rn_law_face_speed(const rn_law *law, double h, double G);

/* A column of paint in levels, the first at the panel; borrowed. */
typedef struct rn_column {
    const rn_law *laws;
    const unsigned char *law_of; /* level l follows laws[law_of[l*stride]]; NULL: all follow the first */
    long stride;
    int levels; /* a single one is the law's own film, to the bit */
    const uint16_t
        *foot; /* level l begins at the share foot[l*stride]/RN_COLUMN_DEPTH of the depth; NULL: all are equal */
} rn_column;

/* Flux per width of a column [m2/s], >= 0, exact; 0 where h or G is not positive. */
double rn_column_flux(const rn_column *column, double h, double G);

/* Its derivatives by h [m/s], the levels growing in proportion, and by G [m3/(Pa s)]. */
void rn_column_flux_slopes(double *by_depth, double *by_drive, const rn_column *column, double h, double G);

/* How the flux is spread over the depth, exact: at rising shares of the depth (0 at the panel .. 1) the speed over its
   mean, u/(q/h), and the share of the flux that runs below. below may be NULL. A column that does not yield is taken as
   one plug: speed 1, below = share. */
void rn_column_profile(double *speed, double *below, const rn_column *column, double h, double G, const double *share,
                       int count);

/* Fills one place of the table of laws. */
void rn_law_table_set(rn_law_table *table, int number, const rn_law *law);

/* Fluidity 1/(3 mu) of a law's floor in the Jacobian [1/(Pa s)]. */
double rn_law_floor_fluidity(const rn_law *law);

/* Fills the parts of a face rule that follow from the law. */
void rn_face_rule_law(rn_face_rule *rule, const rn_law *law);

/* Whether the law is a plain viscosity. */
int rn_law_is_newtonian(const rn_law *law);

#endif
