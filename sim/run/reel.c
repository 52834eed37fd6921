#include "run/reel.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct frame {
    rn_moment moment;
    double on_face;  /* [m3] */
    double unit;     /* of the depths [m] */
    int j0, j1;      /* rows with paint */
    uint16_t *depth; /* (j1-j0)*nx, owned */
    float *spill;    /* RN_STILL_STRETCHES [m3], owned */
} frame;

struct rn_reel {
    rn_grid grid;
    bool *inside;
    double base;
    double *depth, *spill; /* to work in */
    int count, size;
    frame *frames;
    long bytes;
};

rn_status rn_reel_new(rn_reel **reel, const rn_film *film, double base, rn_error *err)
{
    const rn_grid *grid = rn_film_grid(film);
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    rn_reel *made = calloc(1, sizeof *made);
    if (made) {
        made->grid = *grid;
        made->base = base;
        made->inside = malloc(cells * sizeof *made->inside);
        made->depth = malloc(cells * sizeof *made->depth);
        made->spill = malloc(RN_STILL_STRETCHES * sizeof *made->spill);
    }
    if (!made || !made->inside || !made->depth || !made->spill) {
        rn_reel_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
    }
    memcpy(made->inside, rn_film_inside(film), cells * sizeof *made->inside);
    *reel = made;
    return RN_OK;
}

void rn_reel_free(rn_reel *reel)
{
    if (!reel)
        return;
    for (int k = 0; k < reel->count; k++) {
        free(reel->frames[k].depth);
        free(reel->frames[k].spill);
    }
    free(reel->frames);
    free(reel->inside);
    free(reel->depth);
    free(reel->spill);
    free(reel);
}

static long frame_bytes(const rn_reel *reel, const frame *kept)
{
    return (long)sizeof *kept + RN_STILL_STRETCHES * (long)sizeof *kept->spill +
           (long)(kept->j1 - kept->j0) * reel->grid.nx * (long)sizeof *kept->depth;
}

void rn_reel_cut(rn_reel *reel, int count)
{
    while (reel->count > count) {
        frame *last = &reel->frames[--reel->count];
        reel->bytes -= frame_bytes(reel, last);
        free(last->depth);
        free(last->spill);
    }
}

static bool row_is_dry(const rn_reel *reel, int j)
{
    for (int i = 0; i < reel->grid.nx; i++)
        if (reel->depth[(long)j * reel->grid.nx + i] > 0)
            return false;
    return true;
}

static bool keep_depth(frame *made, const rn_reel *reel)
{
    const int nx = reel->grid.nx;
    made->j0 = 0;
    made->j1 = reel->grid.ny;
    while (made->j0 < made->j1 && row_is_dry(reel, made->j0))
        made->j0++;
    while (made->j1 > made->j0 && row_is_dry(reel, made->j1 - 1))
        made->j1--;
    const long first = (long)made->j0 * nx, count = (long)(made->j1 - made->j0) * nx;
    double deepest = 0;
    for (long n = 0; n < count; n++)
        deepest = fmax(deepest, reel->depth[first + n]);
    made->unit = deepest / 65535;
    made->depth = malloc((size_t)count * sizeof *made->depth + 1);
    if (!made->depth)
        return false;
    for (long n = 0; n < count; n++)
        made->depth[n] = (uint16_t)(deepest > 0 ? reel->depth[first + n] / made->unit + 0.5 : 0);
    return true;
}

rn_status rn_reel_add(rn_reel *reel, const rn_film *film, const rn_moment *moment, rn_error *err)
{
    if (reel->count == reel->size) {
        const int size = reel->size ? 2 * reel->size : 512;
        frame *more = realloc(reel->frames, (size_t)size * sizeof *more);
        if (!more)
            return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
        reel->frames = more;
        reel->size = size;
    }
    frame *made = &reel->frames[reel->count];
    *made = (frame){.moment = *moment, .on_face = rn_film_volume(film)};
    rn_film_get(reel->depth, film);
    rn_film_passed(reel->spill, RN_STILL_STRETCHES, film);
    made->spill = malloc(RN_STILL_STRETCHES * sizeof *made->spill);
    if (!made->spill || !keep_depth(made, reel)) {
        free(made->spill);
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
    }
    for (int s = 0; s < RN_STILL_STRETCHES; s++)
        made->spill[s] = (float)reel->spill[s];
    reel->count++;
    reel->bytes += frame_bytes(reel, made);
    return RN_OK;
}

int rn_reel_count(const rn_reel *reel)
{
    return reel->count;
}

const rn_moment *rn_reel_moment(const rn_reel *reel, int index)
{
    return &reel->frames[index].moment;
}

long rn_reel_bytes(const rn_reel *reel)
{
    return reel->bytes;
}

static double mix(double a, double b, double share)
{
    return a + share * (b - a);
}

static rn_moment mix_moments(const rn_moment *a, const rn_moment *b, double share)
{
    rn_moment moment = share < 0.5 ? *a : *b; /* bearings and the like do not mix */
    moment.time = mix(a->time, b->time, share);
    moment.released = mix(a->released, b->released, share);
    moment.coverage = mix(a->coverage, b->coverage, share);
    moment.wet_area = mix(a->wet_area, b->wet_area, share);
    moment.on_sides = mix(a->on_sides, b->on_sides, share);
    moment.deepest = mix(a->deepest, b->deepest, share);
    moment.turned = mix(a->turned, b->turned, share);
    for (int s = 0; s < RN_SIDES; s++)
        moment.run_off[s] = mix(a->run_off[s], b->run_off[s], share);
    for (int c = 0; c < RN_CORNERS; c++)
        moment.corner[c] = mix(a->corner[c], b->corner[c], share);
    return moment;
}

static void add_depth(double *depth, const frame *from, int nx, double share)
{
    const long first = (long)from->j0 * nx, count = (long)(from->j1 - from->j0) * nx;
    for (long n = 0; n < count; n++)
        depth[first + n] += share * from->unit * from->depth[n];
}

rn_status rn_reel_still(rn_still **still, const rn_reel *reel, double time, rn_error *err)
{
    const size_t cells = (size_t)reel->grid.nx * (size_t)reel->grid.ny;
    int later = 0;
    while (later < reel->count - 1 && reel->frames[later].moment.time < time)
        later++;
    const frame *b = &reel->frames[later], *a = later > 0 ? b - 1 : b;
    const double from = a->moment.time, to = b->moment.time;
    const double share = to > from ? fmin(fmax((time - from) / (to - from), 0), 1) : 1;
    rn_still *made = rn_still_new(&reel->grid);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to keep the film");
    made->base = reel->base;
    made->on_face = mix(a->on_face, b->on_face, share);
    made->moment = mix_moments(&a->moment, &b->moment, share);
    memcpy(made->inside, reel->inside, cells * sizeof *made->inside);
    add_depth(made->depth, a, reel->grid.nx, 1 - share);
    add_depth(made->depth, b, reel->grid.nx, share);
    for (int s = 0; s < RN_STILL_STRETCHES; s++)
        made->spill[s] = mix((double)a->spill[s], (double)b->spill[s], share);
    *still = made;
    return RN_OK;
}
