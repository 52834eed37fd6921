/* Rheology to flux: a Herschel-Bulkley film of depth h under a drive G, flowing over a solid with a free face.

     plug = tau_y/G,  y = h - plug > 0,  q = n/((n+1)(2n+1)) (G/K)^(1/n) y^(1+1/n) ((2n+1) h - n y)   [balmforth2002]

   One face at a time, for edges, sides and tests; the film's own loops are in kernels.c. */
#ifndef RN_FILM_MOBILITY_H
#define RN_FILM_MOBILITY_H

#include "film/kernels.h"
#include "matter/paint.h"

/* Flux per width [m2/s], >= 0, of a film of depth h [m] under a drive G [Pa/m]; 0 where h or G is not positive. */
double rn_law_flux(const rn_law *law, double h, double G);

/* Its derivatives by h [m/s] and by G [m3/(Pa s)]. */
void rn_law_flux_slopes(double *by_depth, double *by_drive, const rn_law *law, double h, double G);

/* Speed of the free face [m/s]: n/(n+1) (G/K)^(1/n) y^(1+1/n). */
double rn_law_face_speed(const rn_law *law, double h, double G);

/* Fills the parts of a face rule that follow from the law. */
void rn_face_rule_law(rn_face_rule *rule, const rn_law *law);

/* Whether the law is a plain viscosity. */
int rn_law_is_newtonian(const rn_law *law);

#endif
