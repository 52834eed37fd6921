/* The corners' notes: when each was, or will be, covered, and how deep the paint lies there now. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "bench.h"
#include "edit.h"
#include "show/report.h"

#define LEADER 34.0
#define TURNED_LEAST 0.02 /* less is square to the reader [rad] */

static bool has_been(const rn_record *record, int corner, double cover)
{
    for (int k = 0; k < record->moment_count; k++)
        if (record->moments[k].corner[corner] >= cover)
            return true;
    return false;
}

static void write_depth(rv_corner_note *note, double depth, const char *word)
{
    if (depth < RN_BARE_DEPTH)
        snprintf(note->foot, sizeof note->foot, "bare now");
    else
        snprintf(note->foot, sizeof note->foot, "%.2f mm%s", depth * 1e3, word);
}

rv_corner_note corners_note(const rv_bench *bench, double time, int corner)
{
    rv_corner_note note = {.tile = TILE_UNKNOWN, .role = RN_ROLE_INK2};
    if (!bench->known) {
        snprintf(note.head, sizeof note.head, "not worked out yet");
        return note;
    }
    const rv_studio_tale *tale = bench->tale;
    const double covered_at = tale->forecast.corners[corner].covered_at, depth = bench->moment.corner[corner];
    const double wanted = edit_least_wanted(bench->plan), cover = bench->plan->cover;
    note.role = RN_ROLE_INK;
    if (covered_at <= time) {
        const bool thin = depth < (isnan(wanted) ? cover : wanted);
        note.tile = thin ? TILE_SHORT : TILE_COVERED;
        if (covered_at < RN_AT_START)
            snprintf(note.head, sizeof note.head, "from the start");
        else
            snprintf(note.head, sizeof note.head, "at %.0f s", covered_at);
        write_depth(&note, depth, thin ? ", short" : " deep");
    } else if (covered_at > time) {
        note.tile = TILE_DUE;
        snprintf(note.head, sizeof note.head, "due %.0f s", covered_at);
        write_depth(&note, depth, " now");
    } else if (!tale->complete) {
        note.tile = TILE_DUE;
        snprintf(note.head, sizeof note.head, "not yet");
        write_depth(&note, depth, " now");
    } else if (depth >= cover) { /* it will not last */
        note.tile = TILE_COVERED;
        snprintf(note.head, sizeof note.head, "covered now");
        write_depth(&note, depth, " deep");
    } else {
        note.tile = TILE_SHORT;
        note.role = RN_ROLE_SHORT;
        snprintf(note.head, sizeof note.head, has_been(tale->record, corner, cover) ? "short at the end" : "never");
        if (depth < RN_BARE_DEPTH)
            snprintf(note.foot, sizeof note.foot, "bare");
        else
            write_depth(&note, depth, ", short");
    }
    return note;
}

/* Where a note stands: beside one of the four corners of the page, sx and sy telling which (y upward). */
typedef struct slot {
    int sx, sy;
    double line; /* y of the leader's level end */
    double end;  /* x of it */
} slot;

static double ring_x(const rv_layout *at, double r, double y)
{
    const double dy = fabs(y - at->cy);
    return dy < r ? sqrt(r * r - dy * dy) : 0;
}

static slot find_slot(const rv_layout *at, const rn_panel *panel, int place, bool across)
{
    double a = 0.5 * (across ? at->panel.height : at->panel.width),
           b = 0.5 * (across ? at->panel.width : at->panel.height);
    if (panel->round)
        a = b = 0.5 * at->panel.width * sqrt(0.5);
    slot s = {.sx = rn_corner_x[place], .sy = rn_corner_y[place]};
    s.line = at->cy - s.sy * (b + 8);
    /* Beyond the ring, for the words below the line too. */
    const double beside = fmax(ring_x(at, at->ring, s.line), ring_x(at, at->ring, s.line + 22) - 30);
    s.end = at->cx + s.sx * fmax(a + LEADER, beside + 14);
    return s;
}

/* Square to the reader: out of the corner at a slant, then level. */
static double draw_straight(cairo_t *cr, const rv_layout *at, const slot *s, double x, double y)
{
    cairo_move_to(cr, x + 2 * s->sx, y - 2 * s->sy);
    cairo_line_to(cr, x + 22 * s->sx, s->line);
    cairo_line_to(cr, s->end, s->line);
    cairo_stroke(cr);
    const double reach = hypot(x - at->cx, y - at->cy);
    if (reach > at->ring - at->band - 6)
        return atan2(at->cy - y, x - at->cx);
    return atan2(at->cy - s->line, s->sx * ring_x(at, at->ring - 0.5 * at->band, s->line));
}

/* Turned: out to the ring's rim, along it, and out to the note. */
static double draw_round(cairo_t *cr, const rv_layout *at, const slot *s, double x, double y)
{
    const double from = atan2(at->cy - y, x - at->cx), to = atan2(at->cy - s->line, s->end - at->cx);
    const double rim = fmax(at->ring, hypot(x - at->cx, y - at->cy)) + 7;
    const double start = hypot(x - at->cx, y - at->cy) + 2, way = remainder(to - from, 2 * RN_PI);
    cairo_move_to(cr, at->cx + start * cos(from), at->cy - start * sin(from));
    const int steps = 2 + (int)(fabs(way) * 24);
    for (int k = 0; k <= steps; k++) {
        const double bearing = from + way * k / steps;
        cairo_line_to(cr, at->cx + rim * cos(bearing), at->cy - rim * sin(bearing));
    }
    cairo_line_to(cr, s->end - 12 * s->sx, s->line);
    cairo_line_to(cr, s->end, s->line);
    cairo_stroke(cr);
    return from;
}

static void draw_note(rv_canvas *canvas, const slot *s, const rv_corner_note *note)
{
    const rv_layout *at = &canvas->at;
    const double x = s->end + 23 * s->sx;
    const double most = s->sx < 0 ? x - at->bench.x - 6 : at->bench.x + at->bench.width - 4 - x;
    canvas_tile(canvas, s->end + 10 * s->sx, s->line, note->tile, 0);
    const double align = s->sx < 0 ? 1 : 0;
    const bool told = note->tile != TILE_UNKNOWN;
    rn_letters head = {.size = told ? 14.5 : 12.5, .role = note->role, .bold = told, .align = align};
    canvas_say(canvas, x, s->line + 5, head, most,
               told ? (const char *const[]){note->head, NULL}
                    : (const char *const[]){note->head, "not yet worked out", "not yet", NULL});
    if (note->foot[0])
        canvas_say(canvas, x, s->line + 23, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2, .align = align}, most,
                   (const char *const[]){note->foot, NULL});
}

void corners_draw(rv_canvas *canvas, const rv_bench *bench, double bearings[RN_CORNERS])
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    const rn_panel *panel = &bench->plan->panel;
    const bool notes = bench->plan->pour_count > 0 || bench->plan->base_count > 0;
    const int quarters = (int)lround(bench->turned / (0.5 * RN_PI));
    const double reach = panel->round ? sqrt(0.5) : 1;
    for (int k = 0; k < RN_CORNERS; k++) {
        double x, y;
        layout_point(&x, &y, at, 0.5 * reach * rn_corner_x[k] * panel->width,
                     0.5 * reach * rn_corner_y[k] * panel->height, bench->turned);
        bearings[k] = atan2(at->cy - y, x - at->cx);
        if (!notes) /* nothing is poured yet: nothing to tell */
            continue;
        /* Corners are listed clockwise, the panel turns the other way. */
        const slot s = find_slot(at, panel, (((k - quarters) % 4) + 4) % 4, quarters % 2 != 0);
        rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
        cairo_set_line_width(cr, 1.4);
        cairo_new_path(cr);
        const bool square = fabs(bench->turned - quarters * 0.5 * RN_PI) < TURNED_LEAST;
        bearings[k] = square ? draw_straight(cr, at, &s, x, y) : draw_round(cr, at, &s, x, y);
        cairo_arc(cr, x, y, 2.2, 0, 2 * RN_PI);
        rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
        cairo_fill(cr);
        const rv_corner_note note = corners_note(bench, canvas->view->time, k);
        draw_note(canvas, &s, &note);
    }
}
