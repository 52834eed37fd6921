/* Quantities between text and SI: "155 ml", "5 1/4 fl oz", "12 in", "30 rpm". One table, exact factors. */
#ifndef RN_BASE_UNITS_H
#define RN_BASE_UNITS_H

#include <stdbool.h>

#include "base/error.h"

typedef enum rn_dimension {
    RN_DIM_PLAIN,     /* a number without a unit */
    RN_DIM_COUNT,     /* a whole number without a unit */
    RN_DIM_SHARE,     /* [-], written in per cent */
    RN_DIM_LENGTH,    /* [m] */
    RN_DIM_VOLUME,    /* [m3] */
    RN_DIM_WEIGHT,    /* [kg]; accepted for a volume where a density is known */
    RN_DIM_TIME,      /* [s] */
    RN_DIM_ANGLE,     /* [rad] */
    RN_DIM_RATE,      /* of turning [rad/s] */
    RN_DIM_VISCOSITY, /* [Pa s], or [Pa s^n] for a power law */
    RN_DIM_STRESS,    /* [Pa] */
    RN_DIM_TENSION,   /* [N/m] */
    RN_DIM_DENSITY,   /* [kg/m3] */
    RN_DIM_PRICE,     /* per volume [money/m3] */
    RN_DIMENSIONS
} rn_dimension;

typedef struct rn_unit {
    const char *name; /* as a person writes it */
    rn_dimension dimension;
    double factor; /* SI value of one */
    bool strict;   /* its first letter tells milli from mega, so its case counts */
} rn_unit;

/* The table of units; *count is its length. The first unit of a dimension is the one it is written in. */
const rn_unit *rn_units_table(int *count);

/* The unit that a dimension is written in; NULL for plain numbers. */
const rn_unit *rn_units_own(rn_dimension dimension);

/* The unit of that name and dimension, else one of that name; NULL if there is none. */
const rn_unit *rn_units_find(const char *name, rn_dimension dimension);

/* "length", "volume" ... and an example, "40 mm". */
const char *rn_dimension_name(rn_dimension dimension);
const char *rn_dimension_example(rn_dimension dimension);

/* What is usual where a quantity is wanted: numbers without a unit are read by it, for the hint alone. */
typedef struct rn_usual {
    double least, most;  /* SI */
    const char *example; /* "40 mm" */
} rn_usual;

/* What is usual of a dimension where nothing more is known. */
rn_usual rn_units_usual(rn_dimension dimension);

/* The units with which a number alone would be usual, the commonest first; those that few use only if no other would do.
   Returns how many. */
#define RN_LIKELY_MOST 4
int rn_units_likely(const rn_unit *likely[RN_LIKELY_MOST], double number, rn_dimension dimension,
                    const rn_usual *usual);

/* Reads a quantity. density [kg/m3] lets a weight stand for a volume; 0: it may not. *unit (may be NULL) is
   the unit that was written, NULL for plain numbers. On failure (RN_E_PLAN) err says in one line what was
   found and what would be right; the outputs are untouched. */
rn_status rn_units_read(double *value, const rn_unit **unit, const char *text, rn_dimension dimension, double density,
                        rn_error *err);

/* The same where more is known of what is usual; NULL: no more than rn_units_usual. */
rn_status rn_units_read_usual(double *value, const rn_unit **unit, const char *text, rn_dimension dimension,
                              double density, const rn_usual *usual, rn_error *err);

/* Writes a number in one unit, or in the dimension's own (unit NULL), with up to 15 digits, so that it reads
   back within 1e-15. Returns text. */
const char *rn_units_write(char *text, int size, double value, rn_dimension dimension, const rn_unit *unit);

/* The same, rounded to so many digits: for messages. */
const char *rn_units_round(char *text, int size, double value, rn_dimension dimension, const rn_unit *unit, int digits);

/* Copies text with the signs of print replaced by plain ones (minus, degree, middle dot, times, plus-minus,
   superscripts, vulgar fractions, narrow spaces), runs of blanks made one and the ends trimmed. False if it
   does not fit. */
bool rn_units_plain(char *plain, int size, const char *text);

#endif
