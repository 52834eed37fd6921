#include "run/pattern.h"

#include <math.h>
#include <stdlib.h>

#include "base/physical.h"

#define CIRCLE_POINTS 256
#define BEARINGS 64      /* along which the wet film's end is looked for */
#define DRAWS 4          /* so often circles are drawn anew, smaller */
#define NONE_KEPT 0.4    /* of the reach is tried next where even the smallest circle has gone */
#define CIRCLES_WANTED 6 /* that do not run over an edge */
#define INNERMOST 0.95   /* of that way lies the greatest circle */

rn_pattern_options rn_pattern_defaults(void)
{
    return (rn_pattern_options){
        .points = RN_STRATA_POINTS, .since = NAN, .levels = RN_STRATA_LEVELS, .cells = rn_nuclei_defaults()};
}

/* How far the film reaches round a place without a gap: the least over all bearings [m]. */
static double wet_reach(const rn_still *still, double x, double y)
{
    double least = INFINITY;
    const double step = 0.5 * still->grid.dx;
    for (int b = 0; b < BEARINGS; b++) {
        const double c = cos(2 * RN_PI * b / BEARINGS), s = sin(2 * RN_PI * b / BEARINGS);
        double r = 0;
        while (r < least && rn_still_depth(still, x + r * c, y + r * s) > RN_STRATA_BARE)
            r += step;
        least = fmin(least, r);
    }
    return least;
}

typedef struct work {
    rn_pattern *pattern;
    const rn_plan *plan;
    const rn_session *session;
    const rn_still *still;
    const rn_past *past;
    rn_team *team;
} work;

static bool on_panel(const rn_panel *panel, float x, float y)
{
    const double u = (double)x, v = (double)y;
    if (panel->round)
        return hypot(u, v) < 0.5 * panel->width;
    return fabs(u) < 0.5 * panel->width && fabs(v) < 0.5 * panel->height;
}

/* Draws circles in the face out to `reach`, carries them to the still, and says what became of them. */
static rn_status carry_circles(rn_pour_pattern *made, const work *w, double x, double y, double reach, rn_error *err)
{
    rn_tracers points;
    rn_circle circles[RN_PATTERN_CIRCLES];
    rn_status status = rn_tracers_init(&points, (long)RN_PATTERN_CIRCLES * CIRCLE_POINTS, err);
    if (status != RN_OK)
        return status;
    bool *missing = malloc(RN_PATTERN_CIRCLES * CIRCLE_POINTS * sizeof *missing);
    if (!missing)
        status = rn_fail(err, RN_E_MEMORY, "no memory for the circles");
    for (int c = 0; c < RN_PATTERN_CIRCLES && status == RN_OK; c++) {
        const long first = (long)c * CIRCLE_POINTS;
        circles[c] = (rn_circle){x,
                                 y,
                                 reach * (c + 1) / RN_PATTERN_CIRCLES,
                                 CIRCLE_POINTS,
                                 points.x + first,
                                 points.y + first,
                                 missing + first};
        for (int k = 0; k < CIRCLE_POINTS; k++) {
            points.x[first + k] = (float)(x + circles[c].radius * cos(2 * RN_PI * k / CIRCLE_POINTS));
            points.y[first + k] = (float)(y + circles[c].radius * sin(2 * RN_PI * k / CIRCLE_POINTS));
            points.sigma[first + k] = 1;
        }
    }
    if (status == RN_OK)
        status = rn_layers_carry(&points, &w->past->layers, made->drawn, w->still->moment.time, w->team, err);
    if (status == RN_OK) {
        for (long k = 0; k < points.count; k++)
            missing[k] = !(reach > 0) || !on_panel(&w->plan->panel, points.x[k], points.y[k]);
        status = rn_circle_measure(made->circles, circles, RN_PATTERN_CIRCLES, err);
    }
    free(missing);
    rn_tracers_clear(&points);
    return status;
}

static int circles_kept(const rn_pour_pattern *pour)
{
    int kept = 0;
    while (kept < RN_PATTERN_CIRCLES && !pour->circles[kept].lost)
        kept++;
    return kept;
}

/* Circles out to the end of the wet film; where most of those run over an edge, smaller ones. */
static rn_status follow_circles(rn_pour_pattern *made, const work *w, double x, double y, rn_error *err)
{
    rn_still *drawn = NULL;
    rn_status status = rn_reel_still(&drawn, rn_session_reel(w->session), made->drawn, err);
    if (status != RN_OK)
        return status;
    double reach = INNERMOST * wet_reach(drawn, x, y);
    rn_still_free(drawn);
    for (int draw = 0; draw < DRAWS && status == RN_OK; draw++) {
        status = carry_circles(made, w, x, y, reach, err);
        const int kept = circles_kept(made);
        if (kept >= CIRCLES_WANTED)
            break;
        reach *= kept > 0 ? (kept + 0.5) / RN_PATTERN_CIRCLES : NONE_KEPT;
    }
    return status;
}

static rn_status look_at_pours(const work *w, rn_error *err)
{
    rn_status status = RN_OK;
    rn_pattern *pattern = w->pattern;
    pattern->twist = NAN;
    for (int p = 0; p < w->plan->pour_count && status == RN_OK; p++) {
        rn_pour_pattern *made = &pattern->pours[p];
        const rn_source *source = &w->past->sources[p];
        if (!(rn_source_released(source, w->still->moment.time) > 0))
            continue;
        status = rn_rings_measure(&made->rings, pattern->face, w->plan, p, err);
        made->drawn = fmin(rn_pour_end(&w->plan->pours[p]), w->still->moment.time);
        if (status == RN_OK)
            status = follow_circles(made, w, source->x, source->y, err);
        if (status == RN_OK) { /* the rings' own middle has drifted with the smallest circle */
            const rn_circle_fate *inner = &made->circles[0];
            const double middle[2] = {source->x + inner->drift_x, source->y + inner->drift_y};
            status = rn_spiral_measure(&made->spiral, pattern->face, w->plan, p, inner->lost ? NULL : middle, err);
        }
        for (int c = 0; c < RN_PATTERN_CIRCLES && status == RN_OK; c++)
            if (!made->circles[c].lost && !(fabs(made->circles[c].twist) <= fabs(pattern->twist)))
                pattern->twist = made->circles[c].twist;
    }
    return status;
}

/* Traces the face back to `since`, and measures how far it has been pulled from there. */
static rn_status measure_stretch(rn_stretch *stretch, const work *w, double since, rn_error *err)
{
    const rn_strata *face = w->pattern->face;
    const long count = (long)face->nx * face->ny;
    rn_tracers points;
    rn_status status = rn_tracers_init(&points, count, err);
    if (status != RN_OK)
        return status;
    bool *known = malloc((size_t)count * sizeof *known), *wet = malloc((size_t)count * sizeof *wet);
    if (!known || !wet)
        status = rn_fail(err, RN_E_MEMORY, "no memory to measure the stretch");
    for (long p = 0; status == RN_OK && p < count; p++) {
        points.x[p] = (float)(((double)(p % face->nx) + 0.5) / face->nx - 0.5) * (float)face->width;
        points.y[p] = (float)(((double)(p / face->nx) + 0.5) / face->ny - 0.5) * (float)face->height;
        points.sigma[p] = 1;
        wet[p] = face->paint[p] != RN_PAINT_NONE;
        points.source[p] = wet[p] ? RN_FROM_NOWHERE : 0; /* bare ground need not be traced */
    }
    if (status == RN_OK)
        status = rn_layers_trace(&points, &w->past->layers, w->still->moment.time, since, w->team, err);
    if (status == RN_OK) {
        for (long p = 0; p < count; p++)
            known[p] = wet[p] && points.source[p] == RN_FROM_NOWHERE;
        const rn_past_face past = {face->nx, face->ny, face->width, face->height, points.x, points.y, known};
        status = rn_stretch_measure(stretch, &past, wet, w->plan->limits.stretch, err);
    }
    free(known);
    free(wet);
    rn_tracers_clear(&points);
    return status;
}

static rn_status look_at_cells(const work *w, rn_nuclei_options options, rn_error *err)
{
    rn_pattern *pattern = w->pattern;
    const double opened = fmin(rn_cells_moment(w->plan, options), w->still->moment.time);
    rn_still *then = NULL;
    rn_stretch own = {0};
    rn_status status = rn_reel_still(&then, rn_session_reel(w->session), opened, err);
    const bool same = opened == pattern->since;
    if (status == RN_OK && !same)
        status = measure_stretch(&own, w, opened, err);
    if (status == RN_OK)
        status = rn_cells_work_out(&pattern->cells, w->past, then, options, same ? &pattern->stretch : &own,
                                   w->still->moment.time, w->team, err);
    rn_stretch_clear(&own);
    rn_still_free(then);
    return status;
}

rn_status rn_pattern_work_out(rn_pattern **pattern, const rn_plan *plan, const rn_session *session,
                              const rn_still *still, rn_pattern_options options, rn_team *team, rn_error *err)
{
    rn_pattern *made = calloc(1, sizeof *made);
    if (made)
        made->pours = calloc((size_t)plan->pour_count + 1, sizeof *made->pours);
    if (!made || !made->pours) {
        rn_pattern_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory for the pattern");
    }
    rn_past past;
    rn_past_init(&past, plan, rn_session_history(session));
    const work w = {made, plan, session, still, &past, team};
    const rn_strata_options face = {.points = options.points, .levels = 1, .peel = NAN};
    const rn_nuclei_options last_release = {.moment = NAN};
    made->time = still->moment.time;
    made->pour_count = plan->pour_count;
    made->since = fmin(isnan(options.since) ? rn_cells_moment(plan, last_release) : options.since, made->time);
    rn_status status = rn_strata_trace(&made->face, &past, still, face, team, err);
    if (status == RN_OK)
        status = look_at_pours(&w, err);
    if (status == RN_OK) {
        made->mud = rn_rings_mud(made->face, plan, RN_MUD_WIDTH);
        status = measure_stretch(&made->stretch, &w, made->since, err);
    }
    if (status == RN_OK)
        status = look_at_cells(&w, options.cells, err);
    if (status == RN_OK && options.levels > 0) {
        made->has_colours = true;
        status = rn_colours_trace(&made->colours, &past, still, made->face, options.levels, team, err);
    }
    if (status == RN_OK)
        *pattern = made;
    else
        rn_pattern_free(made);
    return status;
}

void rn_pattern_free(rn_pattern *pattern)
{
    if (!pattern)
        return;
    for (int p = 0; p < pattern->pour_count; p++)
        rn_rings_clear(&pattern->pours[p].rings);
    free(pattern->pours);
    rn_strata_free(pattern->face);
    rn_stretch_clear(&pattern->stretch);
    rn_cells_clear(&pattern->cells);
    free(pattern);
}
