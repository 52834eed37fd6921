/* Marching squares. A square's edges are numbered 0 bottom, 1 right, 2 top, 3 left; a
   line enters and leaves it through two of them, and goes on in the neighbour behind the edge it left through. */
#include "show/contour.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct field {
    const double *value;
    int nx, ny;
    double level;
    uint8_t *done; /* (ny-1)*(nx-1): bit e set once edge e of the square is used by a line */
} field;

typedef struct square {
    int i, j;
} square;

static double value_at(const field *f, int i, int j)
{
    return f->value[(size_t)j * (size_t)f->nx + (size_t)i];
}

static bool is_square(const field *f, square s)
{
    return s.i >= 0 && s.j >= 0 && s.i < f->nx - 1 && s.j < f->ny - 1;
}

static uint8_t *done_at(const field *f, square s)
{
    return &f->done[(size_t)s.j * (size_t)(f->nx - 1) + (size_t)s.i];
}

/* The edge through which a line that came in by `edge` leaves; -1 if none comes in there. */
static int partner(const field *f, square s, int edge)
{
    const double v[4] = {value_at(f, s.i, s.j), value_at(f, s.i + 1, s.j), value_at(f, s.i + 1, s.j + 1),
                         value_at(f, s.i, s.j + 1)}; /* corner e and e+1 bound edge e */
    bool above[4], crossed[4];
    int crossings = 0;
    for (int e = 0; e < 4; e++) {
        if (isnan(v[e]))
            return -1;
        above[e] = v[e] >= f->level;
    }
    for (int e = 0; e < 4; e++)
        crossings += crossed[e] = above[e] != above[(e + 1) % 4];
    if (!crossed[edge])
        return -1;
    if (crossings == 2) {
        for (int e = 0; e < 4; e++)
            if (e != edge && crossed[e])
                return e;
    }
    /* A saddle: the mean decides which pair of corners is joined; the line stays round one lone corner. */
    const bool middle = 0.25 * (v[0] + v[1] + v[2] + v[3]) >= f->level;
    const bool round_next = above[(edge + 1) % 4] != middle;
    return round_next ? (edge + 1) % 4 : (edge + 3) % 4;
}

/* Most squares lie wholly on one side: told before anything is worked out. */
static bool is_crossed(const field *f, int i, int j)
{
    const double *v = f->value + (size_t)j * (size_t)f->nx + (size_t)i;
    const int above = (v[0] >= f->level) + (v[1] >= f->level) + (v[f->nx] >= f->level) + (v[f->nx + 1] >= f->level);
    return above > 0 && above < 4;
}

static bool add_point(rn_contour *c, double x, double y)
{
    if (c->point_count == c->point_room) {
        int room = c->point_room ? 2 * c->point_room : 1024;
        double *wider = realloc(c->x, (size_t)room * sizeof *c->x);
        if (!wider)
            return false;
        c->x = wider;
        wider = realloc(c->y, (size_t)room * sizeof *c->y);
        if (!wider)
            return false;
        c->y = wider;
        c->point_room = room;
    }
    c->x[c->point_count] = x;
    c->y[c->point_count++] = y;
    return true;
}

static bool add_line(rn_contour *c, rn_polyline line)
{
    if (c->line_count == c->line_room) {
        int room = c->line_room ? 2 * c->line_room : 64;
        rn_polyline *wider = realloc(c->lines, (size_t)room * sizeof *c->lines);
        if (!wider)
            return false;
        c->lines = wider;
        c->line_room = room;
    }
    c->lines[c->line_count++] = line;
    return true;
}

/* The point where the level crosses an edge. */
static bool add_crossing(rn_contour *c, const field *f, square s, int edge)
{
    static const int from[4][2] = {{0, 0}, {1, 0}, {0, 1}, {0, 0}}, along[4][2] = {{1, 0}, {0, 1}, {1, 0}, {0, 1}};
    const int i = s.i + from[edge][0], j = s.j + from[edge][1];
    const double a = value_at(f, i, j), b = value_at(f, i + along[edge][0], j + along[edge][1]);
    const double part = (f->level - a) / (b - a);
    return add_point(c, i + part * along[edge][0], j + part * along[edge][1]);
}

static square behind(square s, int edge)
{
    static const int step[4][2] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};
    return (square){s.i + step[edge][0], s.j + step[edge][1]};
}

/* Follows a line out of a square through an edge until it ends or meets squares already done. */
static bool follow(rn_contour *c, const field *f, square s, int edge, bool *closed)
{
    *closed = false;
    for (;;) {
        if (!add_crossing(c, f, s, edge))
            return false;
        square next = behind(s, edge);
        if (!is_square(f, next))
            return true;
        int in = (edge + 2) % 4, out = partner(f, next, in);
        if (out < 0)
            return true;
        if (*done_at(f, next) & (1u << in)) {
            *closed = true;
            return true;
        }
        *done_at(f, next) |= (uint8_t)(1u << in | 1u << out);
        s = next;
        edge = out;
    }
}

static void reverse(double *v, int count)
{
    for (int a = 0, b = count - 1; a < b; a++, b--) {
        double kept = v[a];
        v[a] = v[b];
        v[b] = kept;
    }
}

/* The whole line that crosses a square between two of its edges. */
static bool trace_line(rn_contour *c, const field *f, square s, int in, int out)
{
    const int first = c->point_count;
    bool closed;
    *done_at(f, s) |= (uint8_t)(1u << in | 1u << out);
    if (!follow(c, f, s, out, &closed))
        return false;
    if (!closed) {
        reverse(c->x + first, c->point_count - first);
        reverse(c->y + first, c->point_count - first);
        bool ignored;
        if (!follow(c, f, s, in, &ignored))
            return false;
    }
    return add_line(c, (rn_polyline){first, c->point_count - first, closed});
}

bool rn_contour_trace(rn_contour *contour, const double *values, int nx, int ny, double level)
{
    contour->point_count = contour->line_count = 0;
    field f = {values, nx, ny, level, calloc((size_t)(nx - 1) * (size_t)(ny - 1), 1)};
    bool whole = f.done != NULL;
    for (int j = 0; whole && j < ny - 1; j++)
        for (int i = 0; whole && i < nx - 1; i++)
            for (int edge = 0; whole && edge < 4 && is_crossed(&f, i, j); edge++) {
                square s = {i, j};
                int out = *done_at(&f, s) & (1u << edge) ? -1 : partner(&f, s, edge);
                if (out >= 0)
                    whole = trace_line(contour, &f, s, edge, out);
            }
    free(f.done);
    if (!whole)
        rn_contour_clear(contour);
    return whole;
}

void rn_contour_clear(rn_contour *contour)
{
    free(contour->x);
    free(contour->y);
    free(contour->lines);
    *contour = (rn_contour){0};
}

/* One pass over a line's coordinate, in place: `before` keeps the value that the next mean still needs. */
static void smooth_once(double *v, rn_polyline line)
{
    double *p = v + line.first;
    const int count = line.count;
    const double first = p[0];
    double before = line.closed ? p[count - 1] : p[0];
    for (int k = 0; k < count; k++) {
        const double here = p[k], after = k + 1 < count ? p[k + 1] : first;
        if (line.closed || (k > 0 && k + 1 < count))
            p[k] = 0.25 * (before + 2.0 * here + after);
        before = here;
    }
}

void rn_contour_smooth(rn_contour *contour, int passes)
{
    for (int pass = 0; pass < passes; pass++)
        for (int l = 0; l < contour->line_count; l++)
            if (contour->lines[l].count > 2) {
                smooth_once(contour->x, contour->lines[l]);
                smooth_once(contour->y, contour->lines[l]);
            }
}
