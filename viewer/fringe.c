/* The fringe: paint that has gone over the edges hangs from where it left, and each edge says how much. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "bench.h"
#include "drips.h"

#define GAP 4.0           /* from the edge to the drips */
#define LONGEST 20.0      /* drip; 15 in a compact window */
#define PITCH 4.6         /* drips stand no closer */
#define BEAD 1.7          /* at the end of a drip */
#define PEAK 2.0          /* a drip this many times an edge's mean in the end is as long as the longest at least */
#define FULL_LEAST 5e-6   /* run-off of the longest drip per length of edge, at least [m3/m] */
#define ANY_LEAST 0.05e-6 /* less is not told [m3] */
#define WORDS_OUT 11.0    /* from the longest drip to the middle of the words */

static int count_drips(const rv_layout *at, const rn_panel *panel, rn_side side)
{
    double from, length;
    drips_side(&from, &length, panel, side);
    return (int)fmin(fmax(floor(length * drips_rim(panel) * at->per_metre / PITCH), 6), FRINGE_MOST);
}

/* Run-off per length of edge at each drip [m3/m]. */
static double find_densities(double *density, const rn_still *still, const rn_panel *panel, rn_side side, int count)
{
    double from, length, most = 0;
    drips_side(&from, &length, panel, side);
    const double step = length / count, metres = step * drips_rim(panel);
    for (int k = 0; k < count; k++) {
        density[k] = drips_spilled(still, from + k * step, from + (k + 1) * step) / metres;
        most = fmax(most, density[k]);
    }
    return most;
}

/* The run-off per length of the longest drip, one for the whole plan as far as it is worked out. */
static double full_density(const rv_bench *bench, const rv_layout *at)
{
    const rn_panel *panel = &bench->plan->panel;
    double full = FULL_LEAST, density[FRINGE_MOST];
    for (int side = 0; side < RN_SIDES; side++) {
        double from, length;
        drips_side(&from, &length, panel, (rn_side)side);
        full = fmax(full, find_densities(density, bench->picture->still, panel, (rn_side)side,
                                         count_drips(at, panel, (rn_side)side)));
        const rn_record *record = bench->tale ? bench->tale->record : NULL;
        if (record && record->moment_count > 0) {
            const rn_moment *last = &record->moments[record->moment_count - 1];
            full = fmax(full, PEAK * last->run_off[side] / (length * drips_rim(panel)));
        }
    }
    return full;
}

int fringe_drips(double share[FRINGE_MOST], const rv_bench *bench, const rv_layout *at, rn_side side)
{
    if (!bench->picture || bench->picture->still->spill_count < 1)
        return 0;
    const int count = count_drips(at, &bench->plan->panel, side);
    const double full = full_density(bench, at);
    find_densities(share, bench->picture->still, &bench->plan->panel, side, count);
    for (int k = 0; k < count; k++)
        share[k] /= full;
    return count;
}

/* Drips of another moment than the words beside them are told are pale. */
static rn_role drip_role(const rv_canvas *canvas, const rv_bench *bench)
{
    return bench_age(canvas, bench) == AGE_MOMENT ? RN_ROLE_INK2 : RN_ROLE_RUN_OFF;
}

static void draw_guide(rv_canvas *canvas, const rn_panel *panel, rn_side side)
{
    cairo_t *cr = canvas->pen.cr;
    for (int k = 0; k <= (panel->round ? 24 : 1); k++) {
        double place[2], out[2];
        drips_place(place, out, canvas->at.panel, panel->round, side, k / (panel->round ? 24.0 : 1.0));
        (k ? cairo_line_to : cairo_move_to)(cr, place[0] + GAP * out[0], place[1] + GAP * out[1]);
    }
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
}

static void draw_drips(rv_canvas *canvas, const rv_bench *bench, rn_side side)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_panel *panel = &bench->plan->panel;
    double share[FRINGE_MOST];
    const int count = fringe_drips(share, bench, &canvas->at, side);
    const double longest = canvas->at.compact ? 0.75 * LONGEST : LONGEST;
    bool any = false;
    cairo_new_path(cr);
    rn_pen_use(&canvas->pen, drip_role(canvas, bench));
    cairo_set_line_width(cr, 1.5);
    for (int beads = 0; beads < 2; beads++) {
        for (int k = 0; k < count; k++) {
            const double length = fmin(share[k], 1) * longest;
            if (length < 1)
                continue;
            any = true;
            double place[2], out[2];
            drips_place(place, out, canvas->at.panel, panel->round, side, (k + 0.5) / count);
            const double bead = fmin(BEAD, 0.5 + 0.2 * length), reach = GAP + length - bead;
            if (!beads) {
                cairo_move_to(cr, place[0] + GAP * out[0], place[1] + GAP * out[1]);
                cairo_line_to(cr, place[0] + reach * out[0], place[1] + reach * out[1]);
            } else {
                cairo_new_sub_path(cr);
                cairo_arc(cr, place[0] + reach * out[0], place[1] + reach * out[1], bead, 0, 2 * RN_PI);
            }
        }
        beads ? cairo_fill(cr) : cairo_stroke(cr);
    }
    if (any)
        draw_guide(canvas, panel, side);
}

const double *fringe_run_off(const rv_bench *bench)
{
    return bench->known ? bench->moment.run_off : NULL;
}

/* The edge's name, and how much has gone over it, along the edge. */
static void draw_words(rv_canvas *canvas, const rv_bench *bench, rn_side side, const double run_off[RN_SIDES])
{
    const rv_layout *at = &canvas->at;
    const bool any = run_off && run_off[side] >= ANY_LEAST;
    char text[64], volume[32];
    snprintf(text, sizeof text, "%s", rn_side_names[side]);
    if (any)
        snprintf(text, sizeof text, "%s  %s", rn_side_names[side],
                 canvas_volume(canvas, volume, sizeof volume, run_off[side]));
    const bool upright = side == RN_FRONT || side == RN_BACK;
    const double edge = 0.5 * (upright ? at->panel.height : at->panel.width);
    const double drips = edge + GAP + (at->compact ? 0.75 * LONGEST : LONGEST);
    const double away = fmin(drips + WORDS_OUT, 0.5 * (drips + at->ring - at->band));
    const double bearing = bench->turned + 0.5 * RN_PI * ((int)side - 1);
    const double lies = bearing - 0.5 * RN_PI + (sin(bearing) < -0.02 ? RN_PI : 0);
    rn_letters letters = {.size = 12.5, .role = any ? RN_ROLE_RUN_OFF : RN_ROLE_INK2};
    const double x = at->cx + away * cos(bearing), y = at->cy - away * sin(bearing);
    const double chord = upright ? at->panel.width : at->panel.height;
    if (rn_pen_measure(&canvas->pen, 0, 0, letters, text).width < fmax(chord, 60) &&
        bench_lay(canvas, x, y, lies, letters, text))
        return;
    bench_lay(canvas, x, y, lies, letters, rn_side_names[side]);
}

void fringe_draw(rv_canvas *canvas, const rv_bench *bench)
{
    bench_turn(canvas, bench);
    cairo_set_tolerance(canvas->pen.cr, 0.25); /* hundreds of small beads */
    cairo_set_antialias(canvas->pen.cr, CAIRO_ANTIALIAS_FAST);
    for (int side = 0; side < RN_SIDES; side++)
        draw_drips(canvas, bench, (rn_side)side);
    bench_turn_back(canvas);
    for (int side = 0; side < RN_SIDES; side++)
        draw_words(canvas, bench, (rn_side)side, fringe_run_off(bench));
}
