/* The light in the room and what a surface gives back of it. Directions: x right, y back, z up; colours linear; places
   as shares of the panel's longer side from its centre, for the room grows with the panel. */
#ifndef RN_SHOW_GLOSS_H
#define RN_SHOW_GLOSS_H

#include <stdbool.h>
#include <stdint.h>

typedef struct rn_gloss {
    bool windows; /* mirrored in the paint */
    float satin;  /* 0 wet .. 1 scraped: less gloss, and wider */
} rn_gloss;

typedef struct rn_surface {
    float x, y;             /* place */
    float slope_x, slope_y; /* of the surface */
    const float *own;       /* colour, linear rgb */
} rn_surface;

/* Where the key light stands, as seen from the panel. Unit length. */
extern const float rn_gloss_key[3];

/* Diffuse light on a surface of that slope; exactly 1 where it is level, so that a level colour is seen as it is. */
float rn_gloss_light(float slope_x, float slope_y);

/* Share of the light that a surface throws back, seen at an angle of that cosine: Schlick [schlick1994], F0 0.04. */
float rn_gloss_fresnel(float cosine);

/* A surface of paint: its colour in that light, the reflection of a soft ceiling and its lamp (and of two windows),
   and the key light's highlight, GGX [walter2007]. */
void rn_gloss_paint(float rgb[3], const rn_surface *surface, const rn_gloss *gloss);

/* Two smooth noises in -0.5..0.5, one lump per unit; the same on every machine. */
void rn_gloss_noise(float noise[2], float x, float y, uint32_t seed);

#endif
