#include "track.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FACES_MOST 160
#define STRIDE 4 /* between faces that others are found from */
#define REACH 4  /* points around in which paint is looked for where the front rolled over dry ground */

struct rv_track {
    int points, nx, ny;
    double width, height;
    int count;
    rn_strata *faces[FACES_MOST]; /* by time; owned */
    rn_tracers tracers;
    int *at;
};

rn_status track_new(rv_track **track, const rn_plan *plan, int points, rn_error *err)
{
    rv_track *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the face");
    const double longer = fmax(plan->panel.width, plan->panel.height);
    made->points = points;
    made->width = plan->panel.width;
    made->height = plan->panel.height;
    made->nx = (int)fmax(2, round(points * made->width / longer)); /* as rn_strata lays them out */
    made->ny = (int)fmax(2, round(points * made->height / longer));
    const long count = (long)made->nx * made->ny;
    rn_status status = rn_tracers_init(&made->tracers, count, err);
    if (status == RN_OK && !(made->at = malloc((size_t)count * sizeof *made->at)))
        status = rn_fail(err, RN_E_MEMORY, "no memory to follow the face");
    if (status != RN_OK) {
        track_free(made);
        return status;
    }
    *track = made;
    return RN_OK;
}

void track_free(rv_track *track)
{
    if (!track)
        return;
    for (int k = 0; k < track->count; k++)
        rn_strata_free(track->faces[k]);
    rn_tracers_clear(&track->tracers);
    free(track->at);
    free(track);
}

/* The end of the history's interval in which a time lies: at rest they are long. */
static double interval_end(const rn_past *past, double time)
{
    const rn_history *history = past->layers.history;
    const int index = rn_history_find(history, time);
    return index < 0 ? 0 : rn_history_time(history, index + 1);
}

void track_cut(rv_track *track, double time)
{
    while (track->count && track->faces[track->count - 1]->time > time)
        rn_strata_free(track->faces[--track->count]);
}

static int face_before(const rv_track *track, double time)
{
    int k = track->count - 1;
    while (k >= 0 && track->faces[k]->time > time)
        k--;
    return k;
}

double track_way(const rv_track *track, double time)
{
    const int k = face_before(track, time);
    return time - (k < 0 ? 0 : track->faces[k]->time);
}

/* The points of a face that the film covers. */
static long gather(rv_track *track, const rn_still *still)
{
    const rn_grid *grid = &still->grid;
    long count = 0;
    for (int j = 0; j < track->ny; j++)
        for (int i = 0; i < track->nx; i++) {
            const double u = (i + 0.5) / track->nx, v = (j + 0.5) / track->ny;
            const long cell = (long)(int)(v * grid->ny) * grid->nx + (int)(u * grid->nx);
            if (!still->inside[cell] || !(still->depth[cell] > RN_STRATA_BARE))
                continue;
            track->tracers.x[count] = (float)((u - 0.5) * track->width);
            track->tracers.y[count] = (float)((v - 0.5) * track->height);
            track->tracers.sigma[count] = 1;
            track->tracers.source[count] = RN_FROM_NOWHERE;
            track->at[count++] = j * track->nx + i;
        }
    return count;
}

/* The nearest point with paint around (i, j); -1: none near. */
static long nearest_paint(const rn_strata *face, int i, int j)
{
    for (int reach = 0; reach <= REACH; reach++)
        for (int dj = -reach; dj <= reach; dj++)
            for (int di = -reach; di <= reach; di++) {
                const int x = i + di, y = j + dj;
                if (x < 0 || y < 0 || x >= face->nx || y >= face->ny || (abs(di) < reach && abs(dj) < reach))
                    continue;
                if (face->paint[(long)y * face->nx + x] != RN_PAINT_NONE)
                    return (long)y * face->nx + x;
            }
    return -1;
}

/* What lay at a place of an earlier face. Where the four points around are of one pour, what it had let out varies
   smoothly between them. */
static void look_up(rn_strata *to, long p, const rn_strata *face, const rn_plan *plan, double x, double y)
{
    const double u = (x / face->width + 0.5) * face->nx - 0.5, v = (y / face->height + 0.5) * face->ny - 0.5;
    const int i = (int)fmin(fmax(floor(u + 0.5), 0), face->nx - 1),
              j = (int)fmin(fmax(floor(v + 0.5), 0), face->ny - 1);
    const long at = nearest_paint(face, i, j);
    if (at < 0) {
        to->paint[p] = plan->pour_count ? (unsigned char)plan->pours[0].stack[0].paint : 0;
        return;
    }
    to->paint[p] = face->paint[at];
    to->pour[p] = face->pour[at];
    to->released[p] = face->released[at];
    const int i0 = (int)fmin(fmax(floor(u), 0), face->nx - 2), j0 = (int)fmin(fmax(floor(v), 0), face->ny - 2);
    const long q = (long)j0 * face->nx + i0, four[4] = {q, q + 1, q + face->nx, q + face->nx + 1};
    const int pour = face->pour[at];
    if (pour < 0)
        return;
    float least = INFINITY, most = -INFINITY;
    for (int k = 0; k < 4; k++) {
        if (face->pour[four[k]] != pour || face->paint[four[k]] == RN_PAINT_NONE)
            return;
        least = fminf(least, face->released[four[k]]);
        most = fmaxf(most, face->released[four[k]]);
    }
    const rn_pour *of = &plan->pours[pour];
    double volume = 0;
    for (int k = 0; k < of->layer_count; k++)
        volume += of->stack[k].volume;
    if ((double)(most - least) > 0.02 * volume) /* a seam runs between them */
        return;
    const double fu = fmin(fmax(u - i0, 0), 1), fv = fmin(fmax(v - j0, 0), 1);
    const double released =
        (1 - fv) * ((1 - fu) * (double)face->released[four[0]] + fu * (double)face->released[four[1]]) +
        fv * ((1 - fu) * (double)face->released[four[2]] + fu * (double)face->released[four[3]]);
    to->released[p] = (float)released;
    to->paint[p] = (unsigned char)of->stack[rn_strata_band(of, released) % of->layer_count].paint;
}

static rn_strata *empty_face(const rv_track *track, double time)
{
    rn_strata *made = calloc(1, sizeof *made);
    if (!made)
        return NULL;
    const size_t count = (size_t)track->nx * (size_t)track->ny;
    *made = (rn_strata){.nx = track->nx,
                        .ny = track->ny,
                        .planes = 1,
                        .width = track->width,
                        .height = track->height,
                        .time = time,
                        .sigma = malloc(sizeof *made->sigma),
                        .paint = malloc(count),
                        .pour = malloc(count * sizeof *made->pour),
                        .released = calloc(count, sizeof *made->released)};
    if (!made->sigma || !made->paint || !made->pour || !made->released) {
        rn_strata_free(made);
        return NULL;
    }
    made->sigma[0] = 1;
    memset(made->paint, RN_PAINT_NONE, count);
    for (size_t p = 0; p < count; p++)
        made->pour[p] = RN_FROM_NOWHERE;
    return made;
}

/* The face of a still, found from a kept one (-1: from the start). */
static rn_status find_from(rn_strata **face, rv_track *track, int kept, const rn_past *past, const rn_still *still,
                           rn_team *team, rn_error *err)
{
    rn_strata *made = empty_face(track, still->moment.time);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the face");
    rn_tracers wet = track->tracers;
    wet.count = gather(track, still);
    const double to = kept < 0 ? 0 : track->faces[kept]->time;
    const rn_status status = rn_layers_trace(&wet, &past->layers, still->moment.time, to, team, err);
    if (status != RN_OK) {
        rn_strata_free(made);
        return status;
    }
    for (long k = 0; k < wet.count; k++) {
        const long p = track->at[k];
        if (kept >= 0 && wet.source[k] == RN_FROM_NOWHERE) {
            look_up(made, p, track->faces[kept], past->plan, (double)wet.x[k], (double)wet.y[k]);
            continue;
        }
        made->paint[p] = (unsigned char)rn_past_paint(NULL, past, &wet, k);
        made->pour[p] = wet.source[k];
        made->released[p] = wet.source[k] >= 0 ? wet.released[k] : 0;
    }
    *face = made;
    return RN_OK;
}

rn_status track_face(rn_strata **face, rv_track *track, const rn_past *past, const rn_still *still, rn_team *team,
                     rn_error *err)
{
    return find_from(face, track, face_before(track, still->moment.time), past, still, team, err);
}

bool track_grow(rv_track *track, const rn_past *past, const rn_reel *reel, double spacing, double solved, rn_team *team)
{
    const double last = track->count ? track->faces[track->count - 1]->time : 0;
    if (track->count == FACES_MOST || solved < last + spacing)
        return false;
    const double due = interval_end(past, last + spacing);
    rn_still *still = NULL;
    rn_error err = {0};
    if (due > solved || rn_reel_still(&still, reel, due, &err) != RN_OK)
        return false;
    /* From the last face whose number is a multiple of STRIDE: each is looked up in fewer others than came before it. */
    const int from = track->count == 0 ? -1 : (track->count - 1) / STRIDE * STRIDE;
    const rn_status status = find_from(&track->faces[track->count], track, from, past, still, team, &err);
    if (status == RN_OK)
        track->faces[track->count++]->time = due;
    rn_still_free(still);
    return status == RN_OK;
}
