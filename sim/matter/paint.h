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

/* The everyday ladder of consistency: liquids that run like syrup and have the same viscosity however they are stirred,
   so that one number says all; creams, yoghurt and sauces do not and are left out. */
typedef struct rn_consistency {
    const char *word;
    double viscosity;         /* what the word stands for in a plan [Pa s] */
    double range_from;        /* the word describes viscosities from here up to the next word's [Pa s] */
    const char *what;         /* which liquid exactly, and how warm */
    double published_least;   /* what is published for that liquid [Pa s] ... */
    double published_most;    /* ... at that warmth, over its kinds */
    const char *published_in; /* keys of docs/references.md, in brackets */
} rn_consistency;

#define RN_CONSISTENCY_COUNT 7
#define RN_CONSISTENCY_USUAL 4 /* where in the ladder a paint stands of which nothing is said */
extern const rn_consistency rn_consistency_ladder[RN_CONSISTENCY_COUNT];

/* Words of an older ladder, whose figures were far from the foods they name. A plan that uses them means what it meant;
   nothing writes them any more. */
typedef struct rn_consistency_old {
    const char *word;
    double viscosity; /* [Pa s] */
} rn_consistency_old;

#define RN_CONSISTENCY_OLD_COUNT 5
extern const rn_consistency_old rn_consistency_olds[RN_CONSISTENCY_OLD_COUNT];

/* The place of a word in the ladder, or among the old ones; -1: it is none. In any case of letters. */
int rn_consistency_find(const char *word);
int rn_consistency_find_old(const char *word);

/* "sugar syrup, olive oil, .. or honey" into text[size]; returns text. */
const char *rn_consistency_list(char *text, int size);

/* What to tell of an old word: its number, and what to write instead; into text[size]; returns text. */
const char *rn_consistency_old_text(char *text, int size, int old);

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
