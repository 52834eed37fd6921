#include "show/lip.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "base/random.h"

#define STEP 0.25e-3        /* of the outline [m] */
#define COAT 0.7e-3         /* paint seen over an edge that it ran over, between drips [m] */
#define COAT_FULL 3e-6      /* run over for each length of the edge to coat it in full [m2] */
#define SLOT 11e-3          /* a stretch that may have one drip [m] */
#define DRIP_VOLUME 0.12e-6 /* run over in a slot for an even chance of a drip [m3] */
#define DRIP_LONGEST 0.6e-6 /* run over in a slot for the longest drips [m3] */
#define PI_F ((float)RN_PI)

double rn_lip_length(const rn_panel *panel)
{
    return panel->round ? RN_PI * panel->width : 2.0 * (panel->width + panel->height);
}

static rn_rim_place place_on_disc(const rn_panel *panel, float x, float y)
{
    const float radius = (float)(0.5 * panel->width), r = sqrtf(x * x + y * y);
    rn_rim_place place = {.nx = r > 0.0f ? x / r : 1.0f, .ny = r > 0.0f ? y / r : 0.0f};
    float turned = atan2f(place.ny, place.nx) + 0.75f * PI_F;
    if (turned < 0.0f)
        turned += 2.0f * PI_F;
    place.along = turned * radius;
    place.out = r - radius;
    place.foot[0] = place.nx * radius;
    place.foot[1] = place.ny * radius;
    return place;
}

static rn_rim_place place_on_rectangle(const rn_panel *panel, float x, float y)
{
    const float a = (float)(0.5 * panel->width), b = (float)(0.5 * panel->height);
    const float outs[4] = {-y - b, x - a, y - b, -x - a};
    static const float normals[4][2] = {{0.0f, -1.0f}, {1.0f, 0.0f}, {0.0f, 1.0f}, {-1.0f, 0.0f}};
    rn_rim_place place = {0};
    int side = 0;
    for (int s = 1; s < 4; s++)
        if (outs[s] > outs[side])
            side = s;
    place.out = outs[side];
    place.nx = normals[side][0];
    place.ny = normals[side][1];
    place.foot[0] = side == 1 ? a : side == 3 ? -a : x < -a ? -a : x > a ? a : x;
    place.foot[1] = side == 2 ? b : side == 0 ? -b : y < -b ? -b : y > b ? b : y;
    const float over[2] = {x - place.foot[0], y - place.foot[1]};
    const float distance = place.out > 0.0f ? sqrtf(over[0] * over[0] + over[1] * over[1]) : 0.0f;
    if (distance > place.out && place.out > 0.0f) { /* beyond a corner */
        place.out = distance;
        place.nx = over[0] / distance;
        place.ny = over[1] / distance;
    }
    const float starts[4] = {0.0f, 2.0f * a, 2.0f * a + 2.0f * b, 4.0f * a + 2.0f * b};
    const float ways[4] = {place.foot[0] + a, place.foot[1] + b, a - place.foot[0], b - place.foot[1]};
    place.along = starts[side] + ways[side];
    return place;
}

rn_rim_place rn_lip_place(const rn_panel *panel, float x, float y)
{
    return panel->round ? place_on_disc(panel, x, y) : place_on_rectangle(panel, x, y);
}

/* One drip: a tongue with a round end, its flanks running out into the coat. */
static void hang_drip(rn_lip *lip, double middle, double half_width, double reach)
{
    const int from = (int)ceil((middle - half_width) / (double)lip->step);
    const int to = (int)floor((middle + half_width) / (double)lip->step);
    for (int i = from; i <= to; i++) {
        const double u = (i * (double)lip->step - middle) / half_width, v = 1.0 - u * u;
        float *at = &lip->reach[(i % lip->count + lip->count) % lip->count];
        *at = fminf(*at + (float)(reach * v * v), RN_LIP_MOST);
    }
}

/* What ran over per length of the edge at a place: between the stretches' middles, and running out toward a stretch
   where nothing did. */
static double spilled(const double *spill, int count, double length, double along)
{
    const double at = along / length * count;
    const int here = ((int)floor(at) % count + count) % count;
    const double past = at - floor(at) - 0.5; /* the middle */
    const double other = spill[(here + (past < 0.0 ? count - 1 : 1)) % count];
    if (!(spill[here] > 0.0))
        return 0.0;
    const double share = fabs(past);
    return (other > 0.0 ? spill[here] + share * (other - spill[here]) : spill[here] * (1.0 - 2.0 * share)) * count /
           length;
}

static void hang_drips(rn_lip *lip, const double *spill, int count, double length)
{
    rn_random random = rn_random_seeded(11);
    const int slots = (int)fmax(floor(length / SLOT), 1.0);
    const double slot = length / slots;
    for (int s = 0; s < slots; s++) {
        const double place = rn_random_unit(&random), luck = rn_random_unit(&random), size = rn_random_unit(&random);
        const double middle = (s + 0.2 + 0.6 * place) * slot;
        const double volume = slot * spilled(spill, count, length, middle);
        if (volume <= 2.0 * DRIP_VOLUME * luck)
            continue;
        const double share = fmin(sqrt(volume / DRIP_LONGEST), 1.0);
        const double reach = share * (0.6e-3 + 6.5e-3 * size * size * size);
        hang_drip(lip, middle, 3.0e-3 + 1.5e-3 * share + 0.2 * reach, reach);
    }
}

bool rn_lip_init(rn_lip *lip, const rn_panel *panel, const double *spill, int count)
{
    const double length = rn_lip_length(panel);
    *lip = (rn_lip){.count = (int)fmax(ceil(length / STEP), 8.0)};
    lip->step = (float)(length / lip->count);
    lip->reach = calloc((size_t)lip->count, sizeof *lip->reach);
    if (!lip->reach)
        return false;
    for (int i = 0; count > 0 && i < lip->count; i++) {
        const double over = spilled(spill, count, length, (i + 0.5) * (double)lip->step) / COAT_FULL;
        lip->reach[i] = (float)(COAT * fmin(sqrt(over), 1.0));
    }
    if (count > 0)
        hang_drips(lip, spill, count, length);
    return true;
}

void rn_lip_clear(rn_lip *lip)
{
    free(lip->reach);
    *lip = (rn_lip){0};
}

float rn_lip_reach(float *change, const rn_lip *lip, float along)
{
    const float at = along / lip->step, before = floorf(at);
    const int a = ((int)before % lip->count + lip->count) % lip->count, b = (a + 1) % lip->count;
    const float rise = lip->reach[b] - lip->reach[a];
    *change = rise / lip->step;
    return lip->reach[a] + (at - before) * rise;
}
