#include "show/gloss.h"

#include <math.h>

#include "base/physical.h"
#include "show/ramp.h"

#define F0 0.04f        /* clear binder, refractive index 1.5: ((n-1)/(n+1))^2 */
#define AMBIENT 0.50f   /* share of the diffuse light that comes from everywhere */
#define WET_ALPHA 0.08f /* of GGX: how far the key light's highlight is spread */
#define SATIN_ALPHA 0.32f
#define KEY_GLARE 0.8f
#define EYE_Y (-0.3f) /* the looker stands at the front, and bends over the panel */
#define EYE_Z 3.6f
#define CEILING 5.2f /* height of what is mirrored */

const float rn_gloss_key[3] = {-0.468699f, 0.541608f, 0.697841f};

/* Two draws for a point of a lattice, -32768..32767. */
static void draw(float drawn[2], int32_t x, int32_t y, uint32_t seed)
{
    uint32_t h = (uint32_t)x * 0x9E3779B1u ^ (uint32_t)y * 0x85EBCA77u ^ seed * 0xC2B2AE3Du;
    h = (h ^ (h >> 15)) * 0x2C1B3C6Du;
    h = (h ^ (h >> 12)) * 0x297A2D39u;
    h ^= h >> 15;
    drawn[0] = (float)((int32_t)(h >> 16) - 0x8000);
    drawn[1] = (float)((int32_t)(h & 0xFFFF) - 0x8000);
}

void rn_gloss_noise(float noise[2], float x, float y, uint32_t seed)
{
    const int32_t i = (int32_t)x - (x < 0.0f), j = (int32_t)y - (y < 0.0f);
    float u = x - (float)i, v = y - (float)j, corner[4][2];
    u = u * u * (3.0f - 2.0f * u);
    v = v * v * (3.0f - 2.0f * v);
    for (int k = 0; k < 4; k++)
        draw(corner[k], i + k % 2, j + k / 2, seed);
    for (int c = 0; c < 2; c++) {
        const float front = corner[0][c] + u * (corner[1][c] - corner[0][c]);
        const float back = corner[2][c] + u * (corner[3][c] - corner[2][c]);
        noise[c] = (front + v * (back - front)) * 0x1p-16f;
    }
}

/* Upward normal of a surface of that slope. */
static void normal_of(float n[3], float slope_x, float slope_y)
{
    const float inverse = 1.0f / sqrtf(1.0f + slope_x * slope_x + slope_y * slope_y);
    n[0] = -slope_x * inverse;
    n[1] = -slope_y * inverse;
    n[2] = inverse;
}

static float dot(const float a[3], const float b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static float light_on(const float n[3])
{
    const float *key = rn_gloss_key;
    return AMBIENT * (0.5f + 0.5f * n[2]) + (1.0f - AMBIENT) * rn_greater(dot(n, key), 0.0f) / key[2];
}

float rn_gloss_light(float slope_x, float slope_y)
{
    float n[3];
    normal_of(n, slope_x, slope_y);
    return light_on(n);
}

float rn_gloss_fresnel(float cosine)
{
    const float m = rn_lesser(rn_greater(1.0f - cosine, 0.0f), 1.0f);
    return F0 + (1.0f - F0) * m * m * m * m * m;
}

/* Two tall windows in the ceiling's plane, their edges soft. */
static float windows(float x, float y)
{
    const float side = fabsf(fabsf(x + 0.80f) - 0.40f), along = fabsf(y - 1.10f);
    return (1.0f - rn_ramp(0.28f, 0.36f, side)) * (1.0f - rn_ramp(0.62f, 0.72f, along));
}

/* The ceiling's lamp behind its cloth: a soft square, softer yet in a surface that scatters. */
static float lamp(float x, float y, float satin)
{
    const float u = x + 0.70f, v = y - 1.05f, soft = 0.24f + 0.5f * satin;
    const float across = fabsf(0.94f * u + 0.34f * v), along = fabsf(0.94f * v - 0.34f * u);
    return (1.0f - rn_ramp(0.50f - soft, 0.50f + soft, across)) * (1.0f - rn_ramp(0.40f - soft, 0.40f + soft, along));
}

/* What is seen in direction r: a ceiling that brightens toward the back, its lamp, and the bright wall behind the key
   light, which only slopes can mirror. */
static float surroundings(const float r[3], const rn_surface *surface, const rn_gloss *gloss)
{
    const float toward = rn_greater(dot(r, rn_gloss_key), 0.0f);
    float lobe = toward * toward;
    lobe *= lobe;
    lobe *= lobe;
    lobe *= lobe; /* toward^16 */
    float seen = 0.04f + 0.14f * rn_ramp(-0.6f, 0.9f, r[1]) + 2.4f * lobe * toward * toward;
    if (r[2] < 0.25f)
        seen *= rn_greater(r[2], 0.0f) * 4.0f; /* a steep slope mirrors the dark bench */
    if (r[2] > 0.05f) {
        const float x = surface->x + CEILING * r[0] / r[2], y = surface->y + CEILING * r[1] / r[2];
        seen += 0.75f * lamp(x, y, gloss->satin);
        if (gloss->windows)
            seen += (1.0f - gloss->satin) * 3.0f * windows(x, y);
    }
    return seen;
}

/* The key light's highlight, GGX [walter2007] without its masking term, which is 1 within some per cent here. */
static float highlight(const float n[3], const float view[3], float fresnel, float alpha)
{
    float half[3];
    for (int i = 0; i < 3; i++)
        half[i] = view[i] + rn_gloss_key[i];
    const float nh = dot(n, half) / sqrtf(dot(half, half)), nl = rn_greater(dot(n, rn_gloss_key), 0.0f);
    const float a2 = alpha * alpha, base = nh * nh * (a2 - 1.0f) + 1.0f;
    const float spread = a2 / ((float)RN_PI * base * base);
    return KEY_GLARE * spread * fresnel * nl / (4.0f * rn_greater(dot(n, view), 0.2f));
}

void rn_gloss_paint(float rgb[3], const rn_surface *surface, const rn_gloss *gloss)
{
    float n[3], view[3] = {-surface->x, EYE_Y - surface->y, EYE_Z}, mirrored[3];
    normal_of(n, surface->slope_x, surface->slope_y);
    const float inverse = 1.0f / sqrtf(dot(view, view));
    for (int i = 0; i < 3; i++)
        view[i] *= inverse;
    const float facing = dot(n, view), fresnel = rn_gloss_fresnel(facing), light = light_on(n);
    for (int i = 0; i < 3; i++)
        mirrored[i] = 2.0f * facing * n[i] - view[i];
    const float alpha = WET_ALPHA + gloss->satin * (SATIN_ALPHA - WET_ALPHA);
    const float shine = (1.0f - 0.5f * gloss->satin) * fresnel * surroundings(mirrored, surface, gloss) +
                        highlight(n, view, fresnel, alpha);
    const float under = light * (1.0f - fresnel) / (1.0f - F0);
    for (int c = 0; c < 3; c++)
        rgb[c] = under * surface->own[c] + shine;
}
