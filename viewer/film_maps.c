/* The sheets of arrival and stretch. */
#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "film.h"

#define GRID 26.0     /* between ellipses [units] */
#define LONGEST 11.0  /* half an ellipse [units] */
#define THINNEST 1.7  /* half of its width at least [units] */
#define COARSE 0.25   /* how far small curves may be off [pixels] */
#define LINES_MOST 16 /* of arrival, over the whole plan */
#define GRIPS_MOST 60 /* along the line of the time shown */
#define GRIP_STEP 18.0

/* ---- arrival ---- */

static double line_step(double end)
{
    static const double steps[] = {10, 20, 30, 60, 120, 300, 600, 1200};
    for (size_t k = 0; k < sizeof steps / sizeof *steps; k++)
        if (end / steps[k] <= LINES_MOST)
            return steps[k];
    return 3600;
}

static double latest(const rn_record *record)
{
    double most = 0;
    for (long k = 0; k < (long)record->grid.nx * record->grid.ny; k++)
        if (record->inside[k] && (double)record->arrival[k] > most)
            most = (double)record->arrival[k];
    return most;
}

/* The line of the time shown can be taken hold of anywhere along it. */
static void add_grips(rv_canvas *canvas, const rv_bench *bench, const rv_lines *lines)
{
    int count = 0;
    double last_x = -INFINITY, last_y = -INFINITY;
    for (int k = 0; k < lines->contour.point_count && count < GRIPS_MOST; k++) {
        double x, y;
        layout_point(&x, &y, &canvas->at, rn_sheet_x(lines->sheet, lines->contour.x[k]),
                     rn_sheet_y(lines->sheet, lines->contour.y[k]), bench->turned);
        if (hypot(x - last_x, y - last_y) < GRIP_STEP)
            continue;
        canvas_grip(canvas, PART_ARRIVAL, 0, 0, x, y);
        last_x = x;
        last_y = y;
        count++;
    }
}

static void draw_now(rv_canvas *canvas, const rv_bench *bench, const rn_sheet *sheet)
{
    cairo_t *cr = canvas->pen.cr;
    rv_lines lines = {0};
    if (film_trace(&lines, sheet, canvas->view->time, 2)) {
        film_path(canvas, bench, &lines, INFINITY);
        rn_pen_use(&canvas->pen, RN_ROLE_BRASS);
        cairo_set_line_width(cr, 2.4);
        cairo_set_dash(cr, (double[]){6, 4}, 2, 0);
        cairo_stroke(cr);
        cairo_set_dash(cr, NULL, 0, 0);
        add_grips(canvas, bench, &lines);
    }
    rn_contour_clear(&lines.contour);
}

static void note_arrivals(rv_canvas *canvas, const rn_record *record)
{
    const rn_grid *grid = &record->grid;
    for (int j = 0; j < ARRIVALS; j++)
        for (int i = 0; i < ARRIVALS; i++) {
            const int p = (int)((i + 0.5) / ARRIVALS * grid->nx), q = (int)((j + 0.5) / ARRIVALS * grid->ny);
            canvas->handles->arrival[j * ARRIVALS + i] = record->arrival[(long)q * grid->nx + p];
        }
    canvas->handles->arrives = true;
}

void film_arrival(rv_canvas *canvas, const rv_bench *bench)
{
    const rn_record *record = bench->tale->record;
    cairo_t *cr = canvas->pen.cr;
    rn_sheet sheet = {0};
    if (!film_sheet(&sheet, &record->grid, record->inside, NULL, record->arrival))
        return;
    note_arrivals(canvas, record);
    rn_sheet_smooth(&sheet, 2); /* arrivals come in steps of the film's clock */
    const double last = latest(record), step = line_step(last);
    /* Where lines would stand closer than 2.5 units another film was met, not a front seen to move. */
    const double steep = step / 2.5 * canvas->at.per_metre;
    const uint8_t grey = canvas->view->dark ? 0x20 : 0xDC, halo[3] = {grey, grey, grey};
    cairo_save(cr);
    bench_turn(canvas, bench);
    bench_outline(canvas, bench, 0);
    bench_turn_back(canvas);
    cairo_clip(cr);
    draw_now(canvas, bench, &sheet);
    for (int n = 1; n * step < last; n++) {
        rv_lines lines = {0};
        if (film_trace(&lines, &sheet, n * step, 2)) {
            film_path(canvas, bench, &lines, steep);
            rn_pen_use(&canvas->pen, RN_ROLE_INK);
            cairo_set_line_width(cr, n % 2 ? 1 : 1.7);
            cairo_stroke(cr);
            char text[24];
            snprintf(text, sizeof text, "%.0f s", n * step);
            if (n % 2 == 0)
                film_name(canvas, bench, &lines, steep, -0.9, canvas->view->dark, halo, text);
        }
        rn_contour_clear(&lines.contour);
    }
    cairo_restore(cr);
    rn_sheet_clear(&sheet);
    if (!bench->known)
        return;
    char text[64];
    const bool full = bench->moment.coverage >= 0.9995;
    snprintf(text, sizeof text, full ? "covered" : "covered so far %.1f %%", 100 * bench->moment.coverage);
    film_caption(canvas, 0, &(rv_tile){full ? TILE_COVERED : TILE_PART}, bench->moment.coverage, RN_ROLE_INK,
                 (const char *const[]){text, NULL});
}

/* ---- stretch ---- */

/* Adds an ellipse to the path, or its axis: what is too far is not told by colour alone. */
static void trace_ellipse(cairo_t *cr, double x, double y, double bearing, double ratio, bool axis)
{
    cairo_save(cr);
    cairo_translate(cr, x, y);
    cairo_rotate(cr, -bearing);
    if (axis) {
        cairo_move_to(cr, -0.6 * LONGEST, 0);
        cairo_line_to(cr, 0.6 * LONGEST, 0);
    } else {
        cairo_scale(cr, LONGEST, fmax(LONGEST / ratio, THINNEST));
        cairo_new_sub_path(cr);
        cairo_arc(cr, 0, 0, 1, 0, 2 * RN_PI);
        cairo_close_path(cr);
    }
    cairo_restore(cr);
}

static bool inside_edges(const rv_bench *bench, const rv_layout *at, double x, double y)
{
    const rn_panel *panel = &bench->plan->panel;
    const double clear = (LONGEST + 1) / at->per_metre;
    return panel->round ? hypot(x, y) + clear < 0.5 * panel->width
                        : fabs(x) + clear < 0.5 * panel->width && fabs(y) + clear < 0.5 * panel->height;
}

typedef enum trace { TRACE_LESS, TRACE_FAR, TRACE_AXES } trace;

/* All ellipses of a kind as one path. */
static void trace_ellipses(rv_canvas *canvas, const rv_bench *bench, trace kind)
{
    const rn_stretch *stretch = &bench->pull->stretch;
    const double limit = bench->plan->limits.stretch, step = GRID / canvas->at.per_metre;
    const int across = (int)(0.5 * stretch->width / step), down = (int)(0.5 * stretch->height / step);
    cairo_new_path(canvas->pen.cr);
    for (int j = -down; j <= down && stretch->nx > 0; j++)
        for (int i = -across; i <= across; i++) {
            const double x = i * step, y = j * step;
            const int p = (int)((x / stretch->width + 0.5) * stretch->nx);
            const int q = (int)((y / stretch->height + 0.5) * stretch->ny);
            if (!inside_edges(bench, &canvas->at, x, y) || p < 0 || q < 0 || p >= stretch->nx || q >= stretch->ny)
                continue;
            const long at = (long)q * stretch->nx + p;
            const double ratio = (double)stretch->ratio[at];
            if (!isfinite(ratio) || (ratio > limit) != (kind != TRACE_LESS))
                continue;
            double px, py;
            layout_point(&px, &py, &canvas->at, x, y, bench->turned);
            trace_ellipse(canvas->pen.cr, px, py, (double)stretch->direction[at] + bench->turned, ratio,
                          kind == TRACE_AXES);
        }
}

void film_stretch(rv_canvas *canvas, const rv_bench *bench)
{
    const rn_stretch *stretch = &bench->pull->stretch;
    const double limit = bench->plan->limits.stretch;
    cairo_t *cr = canvas->pen.cr;
    cairo_save(cr);
    cairo_set_tolerance(cr, COARSE); /* hundreds of small curves */
    cairo_set_antialias(cr, CAIRO_ANTIALIAS_FAST);
    cairo_set_line_width(cr, 1.2);
    trace_ellipses(canvas, bench, TRACE_LESS);
    rn_pen_use(&canvas->pen, RN_ROLE_INK);
    cairo_stroke(cr);
    trace_ellipses(canvas, bench, TRACE_FAR);
    rn_pen_use(&canvas->pen, RN_ROLE_PULLED);
    cairo_fill(cr);
    trace_ellipses(canvas, bench, TRACE_AXES);
    rn_pen_use(&canvas->pen, RN_ROLE_BENCH);
    cairo_stroke(cr);
    cairo_restore(cr);
    char text[80], when[80];
    const double most = stretch->most;
    if (!(stretch->known > 0) || !isfinite(most)) {
        film_caption(canvas, 0, &(rv_tile){TILE_UNKNOWN}, 0, RN_ROLE_INK2,
                     (const char *const[]){"no paint to follow since then", "not known", NULL});
        return;
    }
    snprintf(when, sizeof when, "since %.0f s, filled past %.1f ×", bench->pull->since, limit);
    film_caption(canvas, 0, NULL, 0, RN_ROLE_INK2, (const char *const[]){when, NULL});
    const bool far = stretch->past_limit >= 0.0005;
    char times[24];
    if (most > 10)
        snprintf(times, sizeof times, "over 10 ×");
    else
        snprintf(times, sizeof times, "%.1f ×", most);
    if (far)
        snprintf(text, sizeof text, "%.*f %% pulled too far, %s at most", stretch->past_limit < 0.095,
                 100 * stretch->past_limit, times);
    else
        snprintf(text, sizeof text, "pulled %s at most", times);
    char less[48];
    snprintf(less, sizeof less, "%.0f %% pulled too far", 100 * stretch->past_limit);
    film_caption(canvas, 1, far ? &(rv_tile){TILE_PULLED} : NULL, 0, far ? RN_ROLE_PULLED : RN_ROLE_INK,
                 (const char *const[]){text, far ? less : times, NULL});
}
