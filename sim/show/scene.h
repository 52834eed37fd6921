/* What is seen at a point of the pour and its surroundings: paint, ground, edge, drips, bench and the panel's shadow. */
#ifndef RN_SHOW_SCENE_H
#define RN_SHOW_SCENE_H

#include "show/face.h"
#include "show/gloss.h"
#include "show/lip.h"
#include "show/relief.h"
#include "show/weave.h"

typedef struct rn_scene {
    const rn_panel *panel;
    rn_relief relief; /* of the whole film, before anything is peeled off */
    rn_weave weave;
    rn_lip lip;
    rn_gloss gloss;
    float left;  /* share of the depth not peeled off */
    float bench; /* light of the bare bench, linear */
    float scale; /* the panel's longer side [m] */
} rn_scene;

/* False if no memory; rn_scene_clear takes either. */
bool rn_scene_init(rn_scene *scene, const rn_face *face);
void rn_scene_clear(rn_scene *scene);

/* The film at a point, from the scene's relief. */
typedef struct rn_film_point {
    float depth, slope_x, slope_y; /* [m], [-] */
} rn_film_point;

/* The light from a pixel of side `pixel` [m] around a point, linear rgb. */
void rn_scene_light(float rgb[3], const rn_scene *scene, float x, float y, const rn_film_point *film, float pixel);

#endif
