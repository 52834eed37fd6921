#include "sharp.h"

#include <math.h>
#include <string.h>

#define SAME_MOMENT 1e-6 /* [s] */

static rn_strata *copy_of(const rn_strata *face, const rn_plan *plan)
{
    rn_strata_options options = rn_strata_defaults();
    options.points = face->nx > face->ny ? face->nx : face->ny;
    options.levels = 1;
    rn_strata *copy = rn_strata_new(plan, options, face->time);
    if (!copy)
        return NULL;
    if (copy->nx != face->nx || copy->ny != face->ny || copy->planes != face->planes) {
        rn_strata_free(copy);
        return NULL;
    }
    const size_t count = (size_t)face->planes * (size_t)face->nx * (size_t)face->ny;
    memcpy(copy->sigma, face->sigma, (size_t)face->planes * sizeof *copy->sigma);
    memcpy(copy->paint, face->paint, count * sizeof *copy->paint);
    memcpy(copy->pour, face->pour, count * sizeof *copy->pour);
    memcpy(copy->released, face->released, count * sizeof *copy->released);
    return copy;
}

static int find(const rv_sharp *sharp, double time, double peel)
{
    for (int k = 0; k < SHARP_MOST; k++) {
        const rv_sharp_face *face = &sharp->faces[k];
        if (face->strata && fabs(face->strata->time - time) < SAME_MOMENT && face->peel == peel)
            return k;
    }
    return -1;
}

void sharp_keep(rv_sharp *sharp, const rn_plan *plan, const rn_strata *face, double peel)
{
    rn_strata *copy = find(sharp, face->time, peel) < 0 ? copy_of(face, plan) : NULL;
    if (!copy)
        return;
    rn_strata_free(sharp->faces[sharp->next].strata);
    sharp->faces[sharp->next] = (rv_sharp_face){copy, peel};
    sharp->next = (sharp->next + 1) % SHARP_MOST;
}

rn_strata *sharp_find(const rv_sharp *sharp, const rn_plan *plan, double time, double peel)
{
    const int k = find(sharp, time, peel);
    return k < 0 ? NULL : copy_of(sharp->faces[k].strata, plan);
}

void sharp_cut(rv_sharp *sharp, double time)
{
    for (int k = 0; k < SHARP_MOST; k++) {
        rv_sharp_face *face = &sharp->faces[k];
        if (!face->strata || face->strata->time <= time)
            continue;
        rn_strata_free(face->strata);
        *face = (rv_sharp_face){0};
    }
}
