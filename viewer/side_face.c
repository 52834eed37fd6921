/* One column's panel: its face, what hangs from its edges, and what its corners say. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "drips.h"
#include "edit.h"
#include "side.h"

#define GAP 3.0       /* from the edge to the drips */
#define LONGEST 11.0  /* drip */
#define PITCH 5.0     /* from drip to drip */
#define LEAST 0.05e-6 /* less run-off is not told [m3] */
#define DENSITY 5e-6  /* run-off of the longest drip per length of edge, at least [m3/m] */
#define DRIPS 90
#define NARROW "\u00a0" /* a blank at which no value is parted from its unit */

/* ---- the face ---- */

static void outline(const rv_canvas *canvas, const rv_side_column *column)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box box = column->panel;
    cairo_new_path(cr);
    if (column->plan->panel.round)
        cairo_arc(cr, box.x + 0.5 * box.width, box.y + 0.5 * box.height, 0.5 * box.width, 0, 2 * RN_PI);
    else
        cairo_rectangle(cr, box.x, box.y, box.width, box.height);
}

static void draw_face(rv_canvas *canvas, const rv_side_column *column)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box box = column->panel;
    /* A picture of the plan before may be looked at, dimmed, until the new one is there. */
    const rv_studio_picture *seen = column->seen;
    outline(canvas, column);
    rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
    cairo_fill(cr);
    if (seen && seen->image) {
        cairo_save(cr);
        outline(canvas, column);
        cairo_clip(cr);
        cairo_translate(cr, box.x, box.y);
        cairo_scale(cr, box.width / cairo_image_surface_get_width(seen->image),
                    box.height / cairo_image_surface_get_height(seen->image));
        cairo_set_source_surface(cr, seen->image, 0, 0);
        cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_GOOD);
        cairo_pattern_set_extend(cairo_get_source(cr), CAIRO_EXTEND_PAD);
        cairo_paint(cr);
        cairo_restore(cr);
        if (!column->picture) {
            outline(canvas, column);
            cairo_set_source_rgba(cr, 0.16, 0.16, 0.16, 0.5);
            cairo_fill(cr);
        }
    }
    outline(canvas, column);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    if (column->picture && canvas_apart(canvas, column->picture, column->plan)) {
        const rv_apart_words words = canvas_apart_words(column->picture);
        canvas_notice(canvas, box.x + 0.5 * box.width, box.y + 0.5 * box.height, fmin(box.width, box.height),
                      (const char *const[]){words.text, words.less, NULL});
    }
    if (seen)
        return;
    const rn_letters letters = {.size = 12.5, .align = 0.5, .role = RN_ROLE_INK};
    canvas_words(canvas, box.x + 0.5 * box.width, box.y + 0.5 * box.height + 5, letters, 0.86 * box.width,
                 edit_pourable(column->plan) ? "not worked out yet" : "nothing poured yet");
}

/* ---- the fringe ---- */

/* Run-off per length of the longest drip: one for all columns, from what each will have let go in the end. */
static double full_density(const rv_side *side)
{
    double full = DENSITY;
    for (int k = 0; k < side->all; k++) {
        const rv_side_column *column = &side->every[k];
        if (!column->tale || !column->tale->record || column->tale->record->moment_count < 1)
            continue;
        const rn_record *record = column->tale->record;
        for (int s = 0; s < RN_SIDES; s++) {
            double from, length;
            drips_side(&from, &length, &column->plan->panel, (rn_side)s);
            full = fmax(full, 2 * record->moments[record->moment_count - 1].run_off[s] /
                                  (length * drips_rim(&column->plan->panel)));
        }
    }
    return full;
}

static void draw_drip(rv_canvas *canvas, const double place[2], const double out[2], double reach)
{
    cairo_t *cr = canvas->pen.cr;
    const double x = place[0] + (GAP + reach) * out[0], y = place[1] + (GAP + reach) * out[1];
    cairo_new_path(cr);
    cairo_move_to(cr, place[0] + GAP * out[0], place[1] + GAP * out[1]);
    cairo_line_to(cr, x, y);
    cairo_stroke(cr);
    cairo_arc(cr, x, y, fmin(0.6 + 0.12 * reach, 1.7), 0, 2 * RN_PI);
    cairo_fill(cr);
}

static void draw_fringe(rv_canvas *canvas, const rv_side_column *column, double full)
{
    const rn_still *still = column->picture ? column->picture->still : NULL;
    const rn_panel *panel = &column->plan->panel;
    if (!still || still->spill_count < 1)
        return;
    /* Those of another moment than the words beside them are pale. */
    rn_pen_use(&canvas->pen, canvas_apart(canvas, column->picture, column->plan) ? RN_ROLE_INK2 : RN_ROLE_RUN_OFF);
    cairo_set_line_width(canvas->pen.cr, 1.4);
    for (int s = 0; s < RN_SIDES; s++) {
        double from, length;
        drips_side(&from, &length, panel, (rn_side)s);
        const double along = length * drips_rim(panel) * column->panel.width / panel->width;
        const int count = (int)fmin(fmax(floor(along / PITCH), 6), DRIPS);
        const double step = length / count, metres = step * drips_rim(panel);
        for (int k = 0; k < count; k++) {
            const double gone = drips_spilled(still, from + k * step, from + (k + 1) * step);
            const double reach = LONGEST * fmin(gone / metres / full, 1);
            if (reach < 0.8)
                continue;
            double place[2], out[2];
            drips_place(place, out, column->panel, panel->round, (rn_side)s, (k + 0.5) / count);
            draw_drip(canvas, place, out, reach);
        }
    }
}

/* ---- words round it ---- */

static void corner_words(char text[48], rv_tile *tile, rn_role *role, const rv_canvas *canvas,
                         const rv_side_column *column, int corner)
{
    const rv_studio_tale *tale = column->tale;
    *role = RN_ROLE_INK2;
    *tile = TILE_UNKNOWN;
    text[0] = '\0';
    if (!tale || !column->known) {
        snprintf(text, 48, "not" NARROW "yet");
        return;
    }
    const double at = tale->forecast.corners[corner].covered_at;
    if (at <= canvas->view->time) {
        *tile = TILE_COVERED;
        *role = RN_ROLE_INK;
        if (at < 0.5)
            snprintf(text, 48, "at" NARROW "once");
        else
            snprintf(text, 48, "%.0f" NARROW "s", at);
    } else if (at > canvas->view->time) {
        *tile = TILE_DUE;
        snprintf(text, 48, "due %.0f" NARROW "s", at);
    } else if (tale->complete) {
        *tile = TILE_SHORT;
        *role = RN_ROLE_SHORT;
        snprintf(text, 48, "never");
    } else {
        snprintf(text, 48, "not" NARROW "yet");
    }
}

static void draw_corner(rv_canvas *canvas, const rv_side_column *column, int corner, double y)
{
    char text[48];
    rv_tile tile;
    rn_role role;
    corner_words(text, &tile, &role, canvas, column, corner);
    const bool right = rn_corner_x[corner] > 0;
    const rn_box box = column->panel;
    const double room = fmax(box.width, column->box.width - 90), x0 = box.x + 0.5 * (box.width - room);
    const double x = right ? x0 + room - 7 : x0 + 7;
    canvas_tile(canvas, x, y - 5, tile, 0);
    const rn_letters letters = {.size = 13.5, .bold = role != RN_ROLE_INK2, .role = role, .align = right ? 1 : 0};
    const char *figure = strstr(text, " "); /* "due 84 s": the figure alone where that is all there is room for */
    const char *const wordings[] = {text, figure ? figure + 1 : NULL, NULL};
    canvas_say(canvas, right ? x - 12 : x + 12, y, letters, 0.5 * room - 34, wordings);
    /* A hair from the note to its corner. */
    const double foot = rn_corner_y[corner] > 0 ? box.y - 3 : box.y + box.height + 3;
    const double edge = right ? box.x + box.width : box.x;
    if (!column->plan->panel.round)
        rn_pen_line(&canvas->pen, RN_ROLE_LINE, 1, edge, foot, edge, rn_corner_y[corner] > 0 ? foot - 12 : foot + 12);
}

static void draw_edge(rv_canvas *canvas, const rv_side_column *column, int side, double up, double down)
{
    const rn_box box = column->panel;
    const double out = GAP + LONGEST + 15;
    const bool any = column->known && column->moment.run_off[side] >= LEAST;
    char all[64], volume[32];
    if (any) {
        canvas_volume(canvas, volume, sizeof volume, column->moment.run_off[side]);
        for (char *blank = strchr(volume, ' '); blank; blank = strchr(volume, ' ')) {
            memmove(blank + 2, blank + 1, strlen(blank + 1) + 1);
            memcpy(blank, NARROW, 2);
        }
    } else {
        snprintf(volume, sizeof volume, "%s", column->known ? "none" : "");
    }
    snprintf(all, sizeof all, "%s %s", rn_side_names[side], volume);
    rn_letters letters = {.size = 12.5, .align = 0.5, .role = any ? RN_ROLE_RUN_OFF : RN_ROLE_INK2};
    const char *const wordings[] = {all, any ? volume : rn_side_names[side], NULL};
    const double cx = box.x + 0.5 * box.width, cy = box.y + 0.5 * box.height;
    if (side == RN_FRONT || side == RN_BACK) {
        canvas_say(canvas, cx, side == RN_BACK ? up : down, letters, box.width, wordings);
        return;
    }
    letters.turn = side == RN_LEFT ? 1 : -1;
    const double x = side == RN_LEFT ? box.x - out : box.x + box.width + out;
    canvas_say(canvas, x + (side == RN_LEFT ? 4 : -4), cy, letters, box.height, wordings);
}

void side_face(rv_canvas *canvas, const rv_side *side, const rv_side_column *column)
{
    const rn_box box = column->panel;
    const double up = box.y - 23, down = box.y + box.height + 34;
    draw_face(canvas, column);
    draw_fringe(canvas, column, full_density(side));
    for (int corner = 0; corner < RN_CORNERS; corner++)
        draw_corner(canvas, column, corner, rn_corner_y[corner] > 0 ? up : down);
    for (int k = 0; k < RN_SIDES; k++)
        draw_edge(canvas, column, k, up, down);
}
