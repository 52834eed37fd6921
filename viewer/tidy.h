/* Numbers as a person would write them into a plan: rounded in the unit a plan file uses, and to the very bits that reading
   the file gives, so that what is poured now and what is poured from the file later are the same. */
#ifndef TIDY_H
#define TIDY_H

#include "base/units.h"
#include "matter/panel.h"

/* To so many decimals in the dimension's own unit (ml, mm, s, deg, rpm, Pa s). */
double tidy(double value, rn_dimension dimension, int decimals);

/* To so many digits. */
double tidy_digits(double value, rn_dimension dimension, int digits);

/* The same as tidy, but never outside: a bound that is not itself so round is taken as it is where nothing rounder lies
   within. */
double tidy_within(double value, double least, double most, rn_dimension dimension, int decimals);

/* A bearing to so many degrees, 0 to 360; the panel's sides and corners as their words are read. */
double tidy_bearing(double bearing, double degrees, const rn_panel *panel);

#endif
