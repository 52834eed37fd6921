/* A film in a laboratory: one liquid, steady forces, exact starts, errors on several grids.
   The liquid unless a law says otherwise: 1100 kg/m3, 1 Pa s, no surface tension, walls, no hold on dry ground. */
#ifndef RN_TESTS_LAB_H
#define RN_TESTS_LAB_H

#include "check.h"

#include "base/physical.h"
#include "film/height.h"

#define DEG (RN_PI / 180.0)
#define RPM (2.0 * RN_PI / 60.0)

#define LAB_DENSITY 1100.0
#define LAB_VISCOSITY 1.0
#define LAB_TENSION 0.030
#define LAB_STRIP 16 /* rows of a strip that stands for a plane problem */
#define LAB_SOURCES 2

typedef struct laboratory {
    rn_film *film;
    rn_film_options options;
    rn_film_input input;       /* steady; level and at rest from the start */
    double rates[LAB_SOURCES]; /* what each source lets out [m3/s] */
    double time;               /* [s] */
    double *depth;             /* a copy of the film for looking at, ny*nx [m] */
} laboratory;

/* width of the panel [m] over nx cells; square cells. */
rn_film_options lab_options(double width, int nx, int ny);

laboratory lab_new(const rn_film_options *options);
void lab_free(laboratory *lab);

/* A depth as a function of place; the film gets cell means from samples*samples points. */
typedef double lab_profile(const void *context, double x, double y);
void lab_set(laboratory *lab, lab_profile *profile, const void *context, int samples);
void lab_set_even(laboratory *lab, double depth);

/* Steps to `until`, then looks (fills depth). */
void lab_run(laboratory *lab, double until);
void lab_look(laboratory *lab);

/* sum |h - profile| / sum |profile| over cells with from <= distance(x, y) < to, distance 0 everywhere if NULL. */
double lab_misfit(const laboratory *lab, lab_profile *profile, const void *context, int samples, lab_profile *distance,
                  double from, double to);

/* Depth between cell centres, bilinear [m]. */
double lab_depth(const laboratory *lab, double x, double y);

/* The farthest place from (x, y) toward `bearing` that is at least `level` deep [m]. */
double lab_reach(const laboratory *lab, double x, double y, double bearing, double level);

/* How many of the wanted grids (cells, rising) this run may use: all, or as RUNNEL_TEST_GRID says; at least one. */
int lab_grids(const int *wanted, int count);

/* Fitted order p of errors ~ cells^-p. */
double lab_order(const int *cells, const double *errors, int count);

#endif
