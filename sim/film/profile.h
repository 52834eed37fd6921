/* How the speed of a film is spread over its depth. With sigma = z/h and q the flux, u = phi(sigma) q/h, and F the
   integral of phi from 0: F(1) = 1.

   A power law (m = 1/n), yielded through the whole depth:

     phi = (m+2)/(m+1) (1 - (1-sigma)^(m+1))

   Herschel-Bulkley, yielded up to the share y = 1 - tau_y/(|G| h) of the depth, a plug above [balmforth2002]:

     phi = (1 - (1 - sigma/y)^(m+1)) / (1 - y/(m+2)) below y, 1 / (1 - y/(m+2)) above. */
#ifndef RN_FILM_PROFILE_H
#define RN_FILM_PROFILE_H

#include "matter/paint.h"

/* Of a power law, sigma in 0..1. */
double rn_profile_speed(double power, double sigma);
double rn_profile_below(double power, double sigma);

/* With the yielded share y, 0..1. */
double rn_profile_plug_speed(double power, double yielded, double sigma);
double rn_profile_plug_below(double power, double yielded, double sigma);

/* q / (h^2 (tau_y/K)^(1/n)) of a film yielded to that share; rises from 0 without bound. */
double rn_profile_scaled_flux(double power, double yielded);

/* The yielded share of a film of depth h [m] that flows at q [m2/s]; 1 without a yield stress. */
double rn_profile_yielded(const rn_law *law, double h, double q);

#endif
