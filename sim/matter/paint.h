/* One colour of paint: how it looks, what it weighs, how it flows. */
#ifndef RN_MATTER_PAINT_H
#define RN_MATTER_PAINT_H

#include <stdint.h>

#define RN_NAME_SIZE 40 /* bytes, with the closing 0 */

/* Herschel-Bulkley: shear stress = yield + consistency * rate^power [herschel1926].
   power 1 and yield 0 is a Newtonian liquid of viscosity `consistency`. */
typedef struct rn_law {
    double consistency; /* K [Pa s^n] */
    double power;       /* n [-] */
    double yield;       /* tau_y [Pa] */
} rn_law;

typedef struct rn_paint {
    char name[RN_NAME_SIZE];
    uint8_t colour[3]; /* sRGB */
    double density;    /* [kg/m3] */
    double tension;    /* surface tension [N/m] */
    rn_law law;
    double solids; /* volume share of what stays when dry [-] */
    double price;  /* per volume [money/m3]; NaN where not given */
} rn_paint;

/* The everyday ladder of consistency. */
typedef struct rn_consistency {
    const char *word;
    double viscosity;  /* what the word stands for in a plan [Pa s] */
    double range_from; /* the word describes viscosities from here up to the next word's [Pa s] */
} rn_consistency;

#define RN_CONSISTENCY_COUNT 6
extern const rn_consistency rn_consistency_ladder[RN_CONSISTENCY_COUNT];

/* The ladder's word for a viscosity [Pa s]. */
const char *rn_consistency_word(double viscosity);

/* Apparent viscosity at a shear rate [1/s]: tau/rate [Pa s]. */
double rn_law_viscosity(const rn_law *law, double rate);

/* The law of a mixture: volume-weighted log mean of the consistencies (Grunberg and Nissan 1949
   [grunberg1949]), volume-weighted mean of power and yield stress (no published law: a plain mean).
   volumes[count] in any one unit, their sum > 0. */
rn_law rn_law_mixed(const rn_law *laws, const double *volumes, int count);

/* How far apart the paints are: the greatest over the least viscosity at 1/s of those with volume > 0. */
double rn_law_spread(const rn_law *laws, const double *volumes, int count);

#endif
