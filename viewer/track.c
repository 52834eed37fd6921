#include "track.h"

#include <math.h>
#include <stdlib.h>

#include "trace.h"

#define FACES_MOST 160
#define ANCHOR_EVERY 12 /* faces */
#define NEAR 0.1F       /* of a pour, let out one after the other: points that differ less belong together */

/* Where a point of the newest face was when the anchor was kept, or which release it left since. */
typedef struct origin {
    float x, y; /* [m] */
    float released;
    short source;
    bool wet;
} origin;

struct rv_track {
    int points;
    int count;
    rn_strata *faces[FACES_MOST]; /* by time; owned */
    int anchor;                   /* the face that the newest one is told by; -1: the beginning */
    origin *way;                  /* of each point of the newest face; NULL: the newest face is the anchor */
};

rv_track *track_new(int points)
{
    rv_track *made = calloc(1, sizeof *made);
    if (made) {
        made->points = points;
        made->anchor = -1;
    }
    return made;
}

void track_free(rv_track *track)
{
    if (!track)
        return;
    for (int k = 0; k < track->count; k++)
        rn_strata_free(track->faces[k]);
    free(track->way);
    free(track);
}

/* The end of the history's interval in which a time lies: at rest they are long. */
static double interval_end(const rn_past *past, double time)
{
    const rn_history *history = past->layers.history;
    const int index = rn_history_find(history, time);
    return index < 0 ? 0 : rn_history_time(history, index + 1);
}

double track_reaches(const rv_track *track)
{
    return track->count ? track->faces[track->count - 1]->time : 0;
}

long track_bytes(const rv_track *track)
{
    long bytes = 0;
    for (int k = 0; k < track->count; k++)
        bytes += (long)track->faces[k]->nx * track->faces[k]->ny * (long)(sizeof(float) + sizeof(short) + 1);
    return bytes;
}

/* From here on faces are told by the newest one. */
static void drop_anchor(rv_track *track)
{
    track->anchor = track->count - 1;
    free(track->way);
    track->way = NULL;
}

void track_cut(rv_track *track, double time)
{
    const int before = track->count;
    while (track->count && track->faces[track->count - 1]->time > time)
        rn_strata_free(track->faces[--track->count]);
    if (track->count < before)
        drop_anchor(track);
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

/* The four points of a lattice around a place, the heaviest first. */
typedef struct around {
    long at[4];
    float weight[4];
} around;

static around look_around(const rn_strata *face, double x, double y)
{
    const double u = fmin(fmax((x / face->width + 0.5) * face->nx - 0.5, 0), face->nx - 1);
    const double v = fmin(fmax((y / face->height + 0.5) * face->ny - 0.5, 0), face->ny - 1);
    const int i = (int)fmin(u, face->nx - 2), j = (int)fmin(v, face->ny - 2);
    const double a = u - i, b = v - j;
    const int right = a > 0.5, back = b > 0.5;
    around made;
    for (int k = 0; k < 4; k++) {
        const int di = right ^ (k & 1), dj = back ^ (k >> 1);
        made.at[k] = (long)(j + dj) * face->nx + i + di;
        made.weight[k] = (float)((di ? a : 1 - a) * (dj ? b : 1 - b));
    }
    return made;
}

static float volume_of(const rn_pour *pour)
{
    double volume = 0;
    for (int k = 0; k < pour->layer_count; k++)
        volume += pour->stack[k].volume;
    return (float)volume;
}

static void take_poured(rn_strata *to, long p, const rn_plan *plan, int pour, float released)
{
    const rn_pour *of = &plan->pours[pour];
    to->pour[p] = (short)pour;
    to->released[p] = released;
    to->paint[p] = (unsigned char)of->stack[rn_strata_band(of, (double)released) % of->layer_count].paint;
}

/* What lay at a place of an earlier face: as at the nearest point; what its pour had let out varies smoothly between those
   that belong together. */
static void look_up(rn_strata *to, long p, const rn_strata *face, const rn_past *past, float x, float y)
{
    const around a = look_around(face, (double)x, (double)y);
    const int pour = face->pour[a.at[0]];
    to->paint[p] = face->paint[a.at[0]];
    to->pour[p] = (short)pour;
    if (to->paint[p] == RN_PAINT_NONE) { /* the front rolled over dry ground */
        short nowhere = RN_FROM_NOWHERE;
        float none = 0;
        const rn_tracers point = {1, &x, &y, &none, &nowhere, &none, NULL};
        to->paint[p] = (unsigned char)rn_past_paint(NULL, past, &point, 0);
    }
    if (pour < 0)
        return;
    const float near = NEAR * volume_of(&past->plan->pours[pour]), first = face->released[a.at[0]];
    float sum = 0, weights = 0;
    for (int k = 0; k < 4; k++) {
        const float released = face->released[a.at[k]];
        if (face->pour[a.at[k]] != pour || fabsf(released - first) > near)
            continue;
        sum += a.weight[k] * released;
        weights += a.weight[k];
    }
    take_poured(to, p, past->plan, pour, sum / weights);
}

/* Where a point of the newest face that has been traced back to the one before was when the anchor was kept. */
static origin follow(const rv_track *track, const rn_plan *plan, float x, float y)
{
    const rn_strata *face = track->faces[track->count - 1];
    const around a = look_around(face, (double)x, (double)y);
    const float dx = (float)(face->width / face->nx), dy = (float)(face->height / face->ny);
    origin made = {.x = x, .y = y, .source = RN_FROM_NOWHERE, .wet = true};
    float moved = 0, shift_x = 0, shift_y = 0;
    for (int k = 0; k < 4; k++) {
        const origin *way = &track->way[a.at[k]];
        if (!way->wet || way->source >= 0)
            continue;
        moved += a.weight[k];
        shift_x += a.weight[k] * (way->x - ((float)(a.at[k] % face->nx) + 0.5F) * dx);
        shift_y += a.weight[k] * (way->y - ((float)(a.at[k] / face->nx) + 0.5F) * dy);
    }
    int heaviest = -1;
    for (int k = 0; k < 4; k++)
        if (track->way[a.at[k]].wet && track->way[a.at[k]].source >= 0 &&
            (heaviest < 0 || a.weight[k] > a.weight[heaviest]))
            heaviest = k;
    if (heaviest < 0 || moved >= 0.5F) {
        if (moved > 0) {
            made.x += shift_x / moved + 0.5F * (float)face->width;
            made.y += shift_y / moved + 0.5F * (float)face->height;
        }
        return made;
    }
    const origin *first = &track->way[a.at[heaviest]];
    const float near = NEAR * volume_of(&plan->pours[first->source]);
    float sum = 0, weights = 0;
    for (int k = 0; k < 4; k++) {
        const origin *way = &track->way[a.at[k]];
        if (!way->wet || way->source != first->source || fabsf(way->released - first->released) > near)
            continue;
        sum += a.weight[k] * way->released;
        weights += a.weight[k];
    }
    made.source = first->source;
    made.released = sum / weights;
    return made;
}

rn_status track_face(rn_strata **face, const rv_track *track, const rn_past *past, const rn_still *still, rn_team *team,
                     rn_error *err)
{
    const int before = face_before(track, still->moment.time);
    const rn_strata *kept = before < 0 ? NULL : track->faces[before];
    rv_trace trace;
    rn_status status = trace_begin(&trace, past->plan, still, track->points, 1, err);
    if (status != RN_OK)
        return status;
    status = rn_layers_trace(&trace.wet, &past->layers, trace.time, kept ? kept->time : 0, team, err);
    for (long k = 0; status == RN_OK && k < trace.wet.count; k++)
        if (kept && trace.wet.source[k] == RN_FROM_NOWHERE)
            look_up(trace.face, trace.at[k], kept, past, trace.wet.x[k], trace.wet.y[k]);
        else
            trace_take(&trace, past, k);
    if (status == RN_OK)
        *face = trace_finish(&trace);
    else
        trace_end(&trace);
    return status;
}

/* The way of each point of a new face back to the anchor; told by it. */
static bool tell_by_anchor(rv_track *track, rv_trace *trace, const rn_past *past)
{
    const long count = (long)trace->face->nx * trace->face->ny;
    origin *way = calloc((size_t)count, sizeof *way);
    if (!way)
        return false;
    const rn_strata *anchor = track->anchor < 0 ? NULL : track->faces[track->anchor];
    for (long k = 0; k < trace->wet.count; k++) {
        const long p = trace->at[k];
        const rn_tracers *wet = &trace->wet;
        if (wet->source[k] >= 0)
            way[p] = (origin){wet->x[k], wet->y[k], wet->released[k], wet->source[k], true};
        else if (track->way)
            way[p] = follow(track, past->plan, wet->x[k], wet->y[k]);
        else
            way[p] = (origin){wet->x[k], wet->y[k], 0, RN_FROM_NOWHERE, true};
        wet->x[k] = way[p].x;
        wet->y[k] = way[p].y;
        wet->source[k] = way[p].source;
        wet->released[k] = way[p].released;
        if (anchor && way[p].source < 0)
            look_up(trace->face, p, anchor, past, way[p].x, way[p].y);
        else
            trace_take(trace, past, k);
    }
    free(track->way);
    track->way = way;
    return true;
}

bool track_grow(rv_track *track, const rn_past *past, const rn_reel *reel, double spacing, double solved, rn_team *team)
{
    const double last = track_reaches(track);
    if (track->count == FACES_MOST || solved < last + spacing)
        return false;
    const double due = interval_end(past, last + spacing);
    rn_still *still = NULL;
    rv_trace trace;
    if (due > solved || due <= last || rn_reel_still(&still, reel, due, NULL) != RN_OK)
        return false;
    rn_status status = trace_begin(&trace, past->plan, still, track->points, 1, NULL);
    rn_still_free(still);
    if (status != RN_OK)
        return false;
    status = rn_layers_trace(&trace.wet, &past->layers, due, last, team, NULL);
    if (status != RN_OK || !tell_by_anchor(track, &trace, past)) {
        trace_end(&trace);
        return false;
    }
    trace.face->time = due;
    track->faces[track->count++] = trace_finish(&trace);
    if (track->count - 1 - track->anchor >= ANCHOR_EVERY)
        drop_anchor(track);
    return true;
}
