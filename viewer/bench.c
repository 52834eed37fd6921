/* The bench: turntable ring, panel, index and rule. The film on the panel is film.c's, the fringe fringe.c's, the corners'
   notes corners.c's. */
#include "bench.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "edit.h"
#include "parts.h"

#define KNOB_AT (285 * RN_DEGREE) /* on the ring */
#define KNOB 7.0
#define CLEAR_OF_CORNER (9.5 * RN_DEGREE)
#define TURNING (0.01 * RN_RPM) /* slower is at rest [rad/s] */
#define SPINNING (30.5 * RN_RPM)

bool bench_current(const rv_canvas *canvas, long version)
{
    return version == document_version(canvas->view->doc) && canvas->shown->version == version;
}

bool bench_shows(const rv_canvas *canvas, rv_sheet sheet)
{
    return canvas->view->sheets >> sheet & 1u;
}

rv_bench bench_look(const rv_canvas *canvas)
{
    const rv_view *view = canvas->view;
    const rv_shown *shown = canvas->shown;
    rv_bench bench = {.plan = document_plan(view->doc), .turned = view_turned(view), .seen = shown->picture};
    const rn_pose pose = rn_motion_pose(bench.plan->moves, bench.plan->move_count, &bench.plan->panel, view->time);
    bench.table = pose.turned;
    bench.rate = pose.rate;
    if (shown->tale && bench_current(canvas, shown->tale->version))
        bench.tale = shown->tale;
    if (shown->picture && bench_current(canvas, shown->picture->version))
        bench.picture = shown->picture;
    if (shown->pull && bench_current(canvas, shown->pull->version))
        bench.pull = shown->pull;
    bench.known = canvas_told(&bench.moment, canvas, bench.tale, bench.picture);
    return bench;
}

rv_age bench_age(const rv_canvas *canvas, const rv_bench *bench)
{
    if (!bench->picture)
        return bench->seen ? AGE_CHANGED : AGE_NONE;
    if (canvas_apart(canvas, bench->picture, bench->plan))
        return AGE_MOMENT;
    if (bench->tale && bench->tale->cells != bench->picture->cells)
        return AGE_GRID;
    return bench->picture->sharp ? AGE_NONE : AGE_ROUGH;
}

static bool veiled(const rn_pen *pen, rn_box box)
{
    const rn_box veil = pen->veil;
    return veil.width > 0 && box.x < veil.x + veil.width && veil.x < box.x + box.width &&
           box.y < veil.y + veil.height && veil.y < box.y + box.height;
}

bool bench_lay(rv_canvas *canvas, double x, double y, double angle, rn_letters letters, const char *text)
{
    rn_pen *pen = &canvas->pen;
    letters.align = 0.5;
    const double down = 0.36 * letters.size; /* from the middle of the letters to their line */
    const rn_box flat = rn_pen_measure(pen, 0, down, letters, text);
    const double c = fabs(cos(angle)), s = fabs(sin(angle));
    const double half = fmax(fabs(flat.x), fabs(flat.x + flat.width));
    const double tall = fmax(fabs(flat.y), fabs(flat.y + flat.height));
    const double across = half * c + tall * s, along = half * s + tall * c;
    const rn_box box = {x - across, y - along, 2 * across, 2 * along};
    if (box.x < 0 || box.y < 0 || box.x + box.width > canvas->at.width || box.y + box.height > canvas->at.height ||
        veiled(pen, box) || !rn_pen_vacant(pen, box, RN_BOX_GAP))
        return false;
    const rn_box veil = pen->veil;
    const int before = pen->box_count;
    pen->veil = (rn_box){0}; /* it lies on the page, not turned with the text */
    cairo_save(pen->cr);
    cairo_translate(pen->cr, x, y);
    cairo_rotate(pen->cr, -angle);
    rn_pen_text(pen, 0, down, letters, text);
    cairo_restore(pen->cr);
    pen->veil = veil;
    if (pen->box_count > before)
        pen->boxes[before] = box;
    return true;
}

void bench_turn(rv_canvas *canvas, const rv_bench *bench)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    cairo_translate(cr, canvas->at.cx, canvas->at.cy);
    cairo_rotate(cr, -bench->turned);
    cairo_translate(cr, -canvas->at.cx, -canvas->at.cy);
}

void bench_turn_back(rv_canvas *canvas)
{
    cairo_restore(canvas->pen.cr);
}

void bench_outline(rv_canvas *canvas, const rv_bench *bench, double grown)
{
    cairo_t *cr = canvas->pen.cr;
    const rn_box p = canvas->at.panel;
    cairo_new_path(cr);
    if (bench->plan->panel.round)
        cairo_arc(cr, canvas->at.cx, canvas->at.cy, 0.5 * p.width + grown, 0, 2 * RN_PI);
    else
        cairo_rectangle(cr, p.x - grown, p.y - grown, p.width + 2 * grown, p.height + 2 * grown);
}

/* ---- the ring ---- */

static void trace_ticks(const rv_canvas *canvas, const rv_bench *bench, bool great)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    cairo_new_path(cr);
    for (int k = 0; k < 120; k++) {
        if ((k % 10 == 0) != great)
            continue;
        const double bearing = bench->table - 3 * k * RN_DEGREE, c = cos(bearing), s = sin(bearing);
        const double inner = at->ring - (great ? 7 : 4), outer = at->ring - 1;
        cairo_move_to(cr, at->cx + inner * c, at->cy - inner * s);
        cairo_line_to(cr, at->cx + outer * c, at->cy - outer * s);
    }
}

static void draw_ring(rv_canvas *canvas, const rv_bench *bench)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    cairo_new_path(cr);
    cairo_arc(cr, at->cx, at->cy, at->ring, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, RN_ROLE_WELL);
    cairo_fill_preserve(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_LINE);
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
    cairo_arc(cr, at->cx, at->cy, at->ring - at->band, 0, 2 * RN_PI);
    rn_pen_use(&canvas->pen, RN_ROLE_HAIR);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    trace_ticks(canvas, bench, false);
    rn_pen_use(&canvas->pen, RN_ROLE_BOARD);
    cairo_set_line_width(cr, 1);
    cairo_stroke(cr);
    trace_ticks(canvas, bench, true);
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.4);
    cairo_stroke(cr);
}

/* The numerals are read against the index at the right: what stands there is how far the table has turned. */
static void draw_numerals(rv_canvas *canvas, const rv_bench *bench, const double corners[RN_CORNERS])
{
    const rv_layout *at = &canvas->at;
    const double r = at->ring - 0.68 * at->band;
    for (int n = 0; n < 360; n += 30) {
        const double bearing = bench->table - n * RN_DEGREE;
        bool clear = fabs(remainder(bearing - (bench->table - KNOB_AT), 2 * RN_PI)) > 0.5 * RN_DEGREE;
        for (int k = 0; k < RN_CORNERS; k++)
            clear = clear && fabs(remainder(bearing - corners[k], 2 * RN_PI)) > CLEAR_OF_CORNER;
        if (!clear)
            continue;
        char text[16];
        snprintf(text, sizeof text, "%d", n);
        /* Tops outward in the upper half, inward in the lower: never upside down. */
        const double lies = bearing - 0.5 * RN_PI + (sin(bearing) < -0.02 ? RN_PI : 0);
        bench_lay(canvas, at->cx + r * cos(bearing), at->cy - r * sin(bearing), lies,
                  (rn_letters){.size = 11.5, .role = RN_ROLE_INK2, .lettering = RN_LETTERS_HEAD}, text);
    }
}

/* How far the table is behind the hand that turns it. */
static void draw_lag(rv_canvas *canvas, double table, double hand)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    cairo_new_path(cr);
    cairo_arc(cr, at->cx, at->cy, at->ring, -fmax(table, hand), -fmin(table, hand));
    rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
    cairo_set_line_width(cr, 2);
    cairo_set_dash(cr, (double[]){4, 3}, 2, 0);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
}

/* It turns with the table; in a rehearsal it stands where the hand holds it. */
static void draw_knob(rv_canvas *canvas, const rv_bench *bench)
{
    const rv_layout *at = &canvas->at;
    const rv_rehearsal *rehearsal = &canvas->view->rehearsal;
    const bool held = rehearsal->on && rehearsal->hands.grips;
    const double bearing = (held ? rehearsal->hands.turned : bench->table) - KNOB_AT;
    if (held && fabs(rehearsal->hands.turned - bench->table) < 2 * RN_PI)
        draw_lag(canvas, bench->table - KNOB_AT, bearing);
    const double x = at->cx + at->ring * cos(bearing), y = at->cy - at->ring * sin(bearing);
    canvas_knob(canvas, x, y, KNOB, 0.5 * RN_PI - bearing, canvas_focused(canvas, PART_KNOB, 0, 0));
    canvas_grip(canvas, PART_KNOB, 0, 0, x, y);
}

/* ---- the index ---- */

static const rn_letters head_letters = {.size = 15.5, .role = RN_ROLE_INK, .bold = true};

/* Beside a thin panel the notes of its corners come close to the reading: it steps aside until nobody reads them as one. */
static double clear_of_notes(rv_canvas *canvas, double x, const char *text)
{
    for (double aside = 0; aside <= 90; aside += 6) {
        const rn_box box = rn_pen_measure(&canvas->pen, x + aside, canvas->at.cy + 2, head_letters, text);
        if (rn_pen_vacant(&canvas->pen, box, 8))
            return x + aside;
    }
    return x;
}

static void draw_index(rv_canvas *canvas, const rv_bench *bench)
{
    cairo_t *cr = canvas->pen.cr;
    const rv_layout *at = &canvas->at;
    const double tip = at->cx + at->ring + 3, x = tip + 18;
    const double most = at->bench.x + at->bench.width - 4 - x;
    cairo_new_path(cr);
    cairo_move_to(cr, tip, at->cy);
    cairo_line_to(cr, tip + 10, at->cy - 6.5);
    cairo_line_to(cr, tip + 10, at->cy + 6.5);
    cairo_close_path(cr);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_fill(cr);

    char text[64], less[48];
    const double degrees = bench->table / RN_DEGREE;
    double reading = fmod(round(degrees), 360);
    reading += reading < 0 ? 360 : 0;
    snprintf(text, sizeof text, "%.0f°", reading);
    canvas_say(canvas, clear_of_notes(canvas, x, text), at->cy + 2, head_letters, most,
               (const char *const[]){text, NULL});
    const rn_letters small = {.size = 12.5, .role = RN_ROLE_INK2};
    if (fabs(bench->rate) < TURNING) {
        canvas_say(canvas, x, at->cy + 20, small, most, (const char *const[]){"table at rest", "at rest", NULL});
    } else {
        const double rpm = fabs(bench->rate) * 30 / RN_PI;
        snprintf(less, sizeof less, "%.*f rpm %s", rpm < 9.95 ? 1 : 0, rpm, canvas_sense(bench->rate));
        snprintf(text, sizeof text, "%s %s", fabs(bench->rate) > SPINNING ? "spinning" : "turning", less);
        canvas_say(canvas, x, at->cy + 20, small, most, (const char *const[]){text, less, NULL});
    }
    /* The ring counts one turn only. */
    if (degrees > -0.5 && degrees < 359.5)
        return;
    if (fabs(degrees) < 359.5)
        snprintf(less, sizeof less, "%.0f° %s", fabs(degrees), canvas_sense(bench->table));
    else
        snprintf(less, sizeof less, "%.1f turns %s", fabs(degrees) / 360, canvas_sense(bench->table));
    snprintf(text, sizeof text, "%s so far", less);
    canvas_say(canvas, x, at->cy + 37, small, most, (const char *const[]){text, less, NULL});
}

/* ---- the panel ---- */

static void draw_panel(rv_canvas *canvas, const rv_bench *bench)
{
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    cairo_translate(cr, 1.5, 2.5); /* the light comes from the back left of the page, however the panel stands */
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 2);
    cairo_set_source_rgba(cr, 0, 0, 0, canvas->view->dark ? 0.45 : 0.28);
    cairo_fill(cr);
    bench_turn_back(canvas);
    cairo_restore(cr);
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 1);
    rn_pen_use(&canvas->pen, RN_ROLE_GLASS);
    cairo_fill(cr);
    bench_outline(canvas, bench, 0);
    rn_pen_use(&canvas->pen, RN_ROLE_PAPER);
    cairo_fill(cr);
    bench_turn_back(canvas);

    const rn_box p = canvas->at.panel;
    const double c = fabs(cos(bench->turned)), s = fabs(sin(bench->turned));
    const double width = bench->plan->panel.round ? p.width : p.width * c + p.height * s;
    const double height = bench->plan->panel.round ? p.height : p.width * s + p.height * c;
    canvas_handle(canvas, PART_PANEL, 0, 0,
                  (rn_box){canvas->at.cx - 0.5 * width, canvas->at.cy - 0.5 * height, width, height});
}

/* A round length in the scale of the panel, at the bottom left. */
static void draw_rule(rv_canvas *canvas)
{
    static const double lengths[] = {0.02, 0.05, 0.1, 0.2, 0.5, 1.0};
    const rv_layout *at = &canvas->at;
    double length = 0.1;
    for (size_t k = 0;
         k < sizeof lengths / sizeof lengths[0] && (length * at->per_metre < 45 || length * at->per_metre > 130); k++)
        length = lengths[k];
    const double x = at->bench.x + (at->compact ? 14 : 22), y = at->bench.y + at->bench.height - 18;
    const double long_way = length * at->per_metre;
    cairo_t *cr = canvas->pen.cr;
    cairo_new_path(cr);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x + long_way, y);
    for (int tick = 0; tick <= 10; tick++) {
        cairo_move_to(cr, x + 0.1 * tick * long_way, y);
        cairo_rel_line_to(cr, 0, tick % 5 == 0 ? -7 : -4);
    }
    rn_pen_use(&canvas->pen, RN_ROLE_INK2);
    cairo_set_line_width(cr, 1.1);
    cairo_stroke(cr);
    char text[24];
    snprintf(text, sizeof text, "%.0f mm", length * 1e3);
    canvas_say(canvas, x, y - 12, (rn_letters){.size = 12.5, .role = RN_ROLE_INK2}, 0.5 * at->bench.width,
               (const char *const[]){text, NULL});
}

void bench_draw(rv_canvas *canvas)
{
    const rv_bench bench = bench_look(canvas);
    double corners[RN_CORNERS];
    draw_ring(canvas, &bench);
    draw_panel(canvas, &bench);
    fringe_draw(canvas, &bench);
    corners_draw(canvas, &bench, corners);
    draw_index(canvas, &bench);
    draw_numerals(canvas, &bench, corners);
    draw_knob(canvas, &bench);
    draw_rule(canvas);
}
