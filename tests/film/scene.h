/* A film with everything a session can ask of it at once, for tests of the film as code. */
#ifndef RN_TESTS_FILM_SCENE_H
#define RN_TESTS_FILM_SCENE_H

#include "base/physical.h"
#include "film/height.h"

typedef struct film_scene {
    rn_film_options options;
    double gravity_x, gravity_y; /* tilt [m/s2] */
    double rate, acceleration;   /* turning */
    double volume, until;        /* released evenly over `until` [m3, s] */
    double ring, x, y;           /* radius of the release and where [m] */
    double base;                 /* depth everywhere at the start [m] */
    int levels, law_count;       /* layered columns, set at the start and then every second; 0: one liquid */
    rn_law laws[4];
    int mixed; /* 0: the same column everywhere; else blotches that move by the second */
} film_scene;

film_scene film_scene_usual(int nx, int ny);

/* Steps to `until`; *worst is the greatest |base + released - on panel - run off| over all paint, checked after every
   step; every depth is finite and not negative. The caller frees the film. */
rn_film *film_scene_run(const film_scene *scene, double until, double *worst);

/* A film with the scene's release, not yet run. */
rn_film *film_scene_set(const film_scene *scene);

#endif
