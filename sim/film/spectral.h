/* What a closed curve is made of: the Fourier modes of values taken at equal angles all the way round. */
#ifndef RN_FILM_SPECTRAL_H
#define RN_FILM_SPECTRAL_H

#include "base/error.h"

/* value(theta) = amplitude[0] + sum over m = 1..most of amplitude[m] cos(m theta - phase[m]) + what is finer.

   amplitude, phase: most + 1 entries each, in the unit of the values and in -pi..pi [rad]; amplitude[0] is the mean,
   phase[0] is 0, and a mode without amplitude has phase 0. values: count of them at theta = 2 pi j / count; they stay
   as they are. Needs 2 most < count. Safe to call from any thread; the same bits each time. */
rn_status rn_spectral_modes(double *amplitude, double *phase, int most, const double *values, int count, rn_error *err);

#endif
