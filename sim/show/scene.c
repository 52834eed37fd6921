#include "show/scene.h"

#include <math.h>
#include <string.h>

#include "show/colour.h"
#include "show/ramp.h"

#define WET 0.02e-3f       /* a thinner film does not hide the ground [m] */
#define RIPPLE 0.006f      /* slope of a wet film's unevenness, for the eye alone */
#define SCRAPED 0.02f      /* slope of what a scraper leaves, for the eye alone */
#define GROUND 0.80f       /* light that primed ground gives back; neutral */
#define FRONT_SHADOW 0.35f /* share of the light that a film's front keeps from the ground beside it */
#define TOOTH 0.06f        /* slope of its grain */
#define BEAD 1.4e-3f       /* how far from an edge the film bends down over it [m] */
#define STEEPEST 1.6f      /* slope that is still drawn */
#define TAPE 0.5e-3f       /* of a taped edge seen beyond the face [m] */
#define TAPE_LIGHT 0.52f
#define WALL 2.5e-3f /* thickness of a wall round the face [m] */
#define WALL_LIGHT 0.42f

/* The bench lies so far below the face, and the panel's shadow has so soft an edge; shares of the longer side. */
#define DROP 0.042f
#define PENUMBRA 0.028f

#define BENCH_LIGHT 0xDC
#define BENCH_DARK 0x2A

static float clamp(float x, float least, float most)
{
    return rn_lesser(rn_greater(x, least), most);
}

bool rn_scene_init(rn_scene *scene, const rn_face *face)
{
    const rn_still *still = face->still;
    const rn_panel *panel = &face->plan->panel;
    const double reach = fmax(2.5 * fmax(still->grid.dx, still->grid.dy), 1e-3);
    *scene = (rn_scene){.panel = panel, .left = (float)(1.0 - face->peeled)};
    scene->gloss = (rn_gloss){.windows = face->sheen, .satin = face->peeled > 0.0 ? 1.0f : 0.0f};
    scene->bench = (float)rn_srgb_decode((face->dark ? BENCH_DARK : BENCH_LIGHT) / 255.0);
    scene->scale = (float)fmax(panel->width, panel->height);
    const bool good =
        rn_relief_init(&scene->relief, &still->grid, still->inside, still->depth) &&
        rn_weave_init(&scene->weave, face->plan, face->strata, face->plane, reach) &&
        rn_lip_init(&scene->lip, panel, still->spill, panel->edges == RN_EDGE_WALLS ? 0 : still->spill_count);
    if (!good)
        rn_scene_clear(scene);
    return good;
}

void rn_scene_clear(rn_scene *scene)
{
    rn_relief_clear(&scene->relief);
    rn_weave_clear(&scene->weave);
    rn_lip_clear(&scene->lip);
    *scene = (rn_scene){0};
}

static void grey(float rgb[3], float light)
{
    rgb[0] = rgb[1] = rgb[2] = light;
}

static void lay_over(float rgb[3], const float upper[3], float share)
{
    for (int c = 0; c < 3; c++)
        rgb[c] += share * (upper[c] - rgb[c]);
}

/* How far the film beside a place of the ground stands in the key light's way, 0..1. Cells draw a front flatter than it
   is, so that it is looked for a few of them away, and low. */
static float front_shade(const rn_scene *scene, float x, float y)
{
    const float *key = rn_gloss_key;
    const float flat = sqrtf(key[0] * key[0] + key[1] * key[1]);
    float shade = 0.0f;
    for (int cells = 1; cells <= 3; cells++) {
        const float away = (float)cells * scene->relief.dx;
        const float depth = rn_relief_depth(&scene->relief, x + away * key[0] / flat, y + away * key[1] / flat);
        shade = rn_greater(shade, rn_ramp(0.05f * away, 0.30f * away, depth * scene->left));
    }
    return shade;
}

/* Primed ground: white, its grain just seen. */
static void ground_light(float rgb[3], const rn_scene *scene, float x, float y, float pixel)
{
    const float seen = rn_lesser(0.6e-3f / pixel, 1.0f); /* a coarse picture averages the grain away */
    float grain[2];
    rn_gloss_noise(grain, x * 2100.0f, y * 1700.0f, 3);
    const float light = GROUND * (1.0f - FRONT_SHADOW * front_shade(scene, x, y));
    grey(rgb, light * rn_gloss_light(TOOTH * seen * grain[0], TOOTH * seen * grain[1]));
}

/* A wet film is never quite smooth; a scraped one has the scraper's lines. */
static void roughen(float slope[2], const rn_scene *scene, float x, float y)
{
    float broad[2], fine[2];
    if (scene->gloss.satin > 0.0f) {
        rn_gloss_noise(broad, x * 25.0f, y * 1100.0f, 5);
        slope[1] += SCRAPED * broad[0];
        return;
    }
    rn_gloss_noise(broad, x * 55.0f, y * 55.0f, 1);
    rn_gloss_noise(fine, x * 170.0f, y * 170.0f, 2);
    for (int c = 0; c < 2; c++)
        slope[c] += RIPPLE * (broad[c] + 0.15f * fine[c]);
}

static void paint_light(float rgb[3], const rn_scene *scene, float x, float y, const float slope[2], const float own[3])
{
    const rn_surface surface = {.x = x / scene->scale,
                                .y = y / scene->scale,
                                .slope_x = clamp(slope[0], -STEEPEST, STEEPEST),
                                .slope_y = clamp(slope[1], -STEEPEST, STEEPEST),
                                .own = own};
    rn_gloss_paint(rgb, &surface, &scene->gloss);
}

/* How the surface bends down over the edge, its outward slope: a quarter of an ellipse from BEAD before the edge to
   where the paint ends, as high as the film is deep. */
static float bead_slope(float depth, float out, float reach)
{
    const float wide = rn_lesser(BEAD, 2.0f * depth), u = (wide + out) / rn_greater(wide + reach, 1e-9f);
    return u <= 0.0f ? 0.0f : rn_greater(depth, 0.5e-3f) / (wide + reach) * u / sqrtf(rn_greater(1.0f - u * u, 0.04f));
}

/* The face itself; out: distance to the edge, negative. */
static void face_light(float rgb[3], const rn_scene *scene, float x, float y, const rn_film_point *film,
                       const rn_rim_place *place, float pixel)
{
    const float steep = sqrtf(film->slope_x * film->slope_x + film->slope_y * film->slope_y);
    const float wet = clamp(0.5f + (film->depth - WET) / (steep * pixel + 1e-7f), 0.0f, 1.0f);
    float own[3];
    if (wet < 1.0f)
        ground_light(rgb, scene, x, y, pixel);
    if (wet <= 0.0f || !rn_weave_colour(own, &scene->weave, x, y, pixel)) {
        if (wet >= 1.0f)
            ground_light(rgb, scene, x, y, pixel);
        return;
    }
    const float depth = film->depth * scene->left;
    float slope[2] = {film->slope_x * scene->left, film->slope_y * scene->left}, painted[3];
    if (place->out > -BEAD && scene->panel->edges != RN_EDGE_WALLS) {
        float change;
        const float bend =
            bead_slope(depth, rn_lesser(place->out, 0.0f), rn_lip_reach(&change, &scene->lip, place->along));
        slope[0] -= bend * place->nx;
        slope[1] -= bend * place->ny;
    }
    roughen(slope, scene, x, y);
    paint_light(painted, scene, x, y, slope, own);
    if (wet < 1.0f)
        lay_over(rgb, painted, wet);
    else
        memcpy(rgb, painted, sizeof painted);
}

/* The bench, in the panel's shadow: one that falls away from the key light, and the dimness close under it. */
static float bench_light(const rn_scene *scene, float x, float y, float out)
{
    const float *key = rn_gloss_key;
    const float away = DROP * scene->scale / key[2], soft = PENUMBRA * scene->scale;
    const rn_rim_place toward = rn_lip_place(scene->panel, x + away * key[0], y + away * key[1]);
    const float shade = 1.0f - rn_ramp(-soft, soft, toward.out);
    const float under = expf(-out / (0.012f * scene->scale));
    return scene->bench * (1.0f - 0.42f * shade) * (1.0f - 0.30f * under);
}

/* Paint hanging over the edge, out > 0: a rounded tongue in the colour that lies at its root. */
static bool drip_light(float rgb[3], const rn_scene *scene, const rn_rim_place *place, float depth, float reach,
                       float change, float pixel)
{
    const float inside = 0.4e-3f, x = place->foot[0] - inside * place->nx, y = place->foot[1] - inside * place->ny;
    float own[3];
    if (!rn_weave_colour(own, &scene->weave, x, y, pixel))
        return false;
    const float down = clamp(place->out / rn_greater(reach, 1e-6f), 0.0f, 1.0f);
    const float outward = bead_slope(depth, place->out, reach) + 0.25f * down;
    const float sideways = clamp(0.5f * change, -0.8f, 0.8f) * (1.0f - 0.5f * down);
    const float slope[2] = {-outward * place->nx - sideways * place->ny, -outward * place->ny + sideways * place->nx};
    paint_light(rgb, scene, x, y, slope, own);
    return true;
}

/* Beyond the face. */
static void beyond_light(float rgb[3], const rn_scene *scene, float x, float y, float depth, const rn_rim_place *place,
                         float pixel)
{
    float change, painted[3], strip = 0.0f, strip_light = 0.0f;
    if (scene->panel->edges == RN_EDGE_CLEAN) {
        strip = TAPE;
        strip_light = TAPE_LIGHT;
    } else if (scene->panel->edges == RN_EDGE_WALLS) {
        strip = WALL;
        strip_light = WALL_LIGHT;
    }
    const float over_strip = strip > 0.0f ? clamp(0.5f + (strip - place->out) / pixel, 0.0f, 1.0f) : 0.0f;
    grey(rgb, bench_light(scene, x, y, rn_greater(place->out, 0.0f)) * (1.0f - over_strip) + strip_light * over_strip);
    if (place->out > RN_LIP_MOST + pixel)
        return;
    const float reach = rn_lip_reach(&change, &scene->lip, place->along);
    const float share = reach > 0.0f ? 0.5f + (reach - place->out) / sqrtf(1.0f + change * change) / pixel : 0.0f;
    if (share > 0.0f && drip_light(painted, scene, place, depth, reach, change, pixel))
        lay_over(rgb, painted, rn_lesser(share, 1.0f));
}

void rn_scene_light(float rgb[3], const rn_scene *scene, float x, float y, const rn_film_point *film, float pixel)
{
    const rn_rim_place place = rn_lip_place(scene->panel, x, y);
    const float over = clamp(0.5f - place.out / pixel, 0.0f, 1.0f);
    if (over < 1.0f)
        beyond_light(rgb, scene, x, y, film->depth * scene->left, &place, pixel);
    if (over <= 0.0f)
        return;
    float face[3];
    face_light(face, scene, x, y, film, &place, pixel);
    if (over < 1.0f)
        lay_over(rgb, face, over);
    else
        memcpy(rgb, face, sizeof face);
}
