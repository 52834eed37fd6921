/* The clock that how long things take is measured by. */
#ifndef RN_BASE_MONOTONIC_H
#define RN_BASE_MONOTONIC_H

/* [s] since a moment that stays the same while the program runs; never goes back, whoever sets the machine's time. */
double rn_monotonic_now(void);

#endif
