/* Lines of equal value over the panel, and their names. */
#include <math.h>
#include <stdlib.h>

#include "base/physical.h"
#include "film.h"

#define FINEST 160     /* cells along a side; more cannot be told apart in a line */
#define SPECK 6        /* lines of fewer points are specks */
#define SHORTEST 40.0  /* a line that is shorter has no name [units] */
#define PLACES 120     /* looked at for a name, along one line */
#define REACH 2.0      /* over which a slope is taken [units] */
#define HALF_NAME 14.0 /* a name stands clear of the ends of its line [units] */

/* Cells to each side of a block that becomes one. */
static int block_size(const rn_grid *grid)
{
    int size = 1;
    while (grid->nx % (2 * size) == 0 && grid->ny % (2 * size) == 0 && fmax(grid->nx, grid->ny) / size > FINEST)
        size *= 2;
    return size;
}

bool film_sheet(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const double *depth, const float *arrival)
{
    const int size = block_size(grid);
    const rn_grid coarse = {grid->nx / size, grid->ny / size, grid->dx * size, grid->dy * size};
    if (size == 1)
        return depth ? rn_sheet_from_doubles(sheet, grid, inside, depth)
                     : rn_sheet_from_floats(sheet, grid, inside, arrival);
    const size_t cells = (size_t)coarse.nx * (size_t)coarse.ny;
    double *mean = malloc(cells * sizeof *mean);
    bool *within = malloc(cells * sizeof *within);
    for (size_t k = 0; mean && within && k < cells; k++) {
        double sum = 0;
        int count = 0;
        within[k] = false;
        const long corner = (long)(k / (size_t)coarse.nx) * size * grid->nx + (long)(k % (size_t)coarse.nx) * size;
        for (int j = 0; j < size; j++)
            for (int i = 0; i < size; i++) {
                const long cell = corner + (long)j * grid->nx + i;
                const double value = depth ? depth[cell] : (double)arrival[cell];
                within[k] = within[k] || inside[cell];
                if (inside[cell] && !isnan(value)) {
                    sum += value;
                    count++;
                }
            }
        mean[k] = count ? sum / count : depth ? 0 : NAN;
    }
    const bool made = mean && within && rn_sheet_from_doubles(sheet, &coarse, within, mean);
    free(mean);
    free(within);
    return made;
}

bool film_trace(rv_lines *lines, const rn_sheet *sheet, double level, int smooth)
{
    lines->sheet = sheet;
    if (!rn_contour_trace(&lines->contour, sheet->value, sheet->nx, sheet->ny, level))
        return false;
    rn_contour_smooth(&lines->contour, smooth);
    return lines->contour.line_count > 0;
}

static double metres_x(const rv_lines *lines, int point)
{
    return rn_sheet_x(lines->sheet, lines->contour.x[point]);
}

static double metres_y(const rv_lines *lines, int point)
{
    return rn_sheet_y(lines->sheet, lines->contour.y[point]);
}

static bool is_steep(const rv_lines *lines, double reach, double x, double y, double steep)
{
    const rn_sheet *sheet = lines->sheet;
    const double across = rn_sheet_at(sheet, x + reach, y) - rn_sheet_at(sheet, x - reach, y);
    const double along = rn_sheet_at(sheet, x, y + reach) - rn_sheet_at(sheet, x, y - reach);
    return hypot(across, along) > 2 * reach * steep;
}

void film_path(rv_canvas *canvas, const rv_bench *bench, const rv_lines *lines, double steep)
{
    cairo_t *cr = canvas->pen.cr;
    const double reach = REACH / canvas->at.per_metre;
    cairo_new_path(cr);
    for (int l = 0; l < lines->contour.line_count; l++) {
        const rn_polyline *line = &lines->contour.lines[l];
        bool down = false;
        for (int k = 0; line->count >= SPECK && k < line->count + line->closed; k++) {
            const int point = line->first + k % line->count;
            const double x = metres_x(lines, point), y = metres_y(lines, point);
            if (isfinite(steep) && is_steep(lines, reach, x, y, steep)) {
                down = false;
                continue;
            }
            double px, py;
            layout_point(&px, &py, &canvas->at, x, y, bench->turned);
            (down ? cairo_line_to : cairo_move_to)(cr, px, py);
            down = true;
        }
    }
}

typedef struct place {
    double x, y, score;
} place;

static int farther(const void *a, const void *b)
{
    const double p = ((const place *)a)->score, q = ((const place *)b)->score;
    return (p < q) - (p > q);
}

static double line_length(const rv_canvas *canvas, const rv_lines *lines, const rn_polyline *line)
{
    double length = 0;
    for (int k = 1; k < line->count; k++)
        length += hypot(metres_x(lines, line->first + k) - metres_x(lines, line->first + k - 1),
                        metres_y(lines, line->first + k) - metres_y(lines, line->first + k - 1));
    return length * canvas->at.per_metre;
}

void film_name(rv_canvas *canvas, const rv_bench *bench, const rv_lines *lines, double steep, double bearing,
               bool light, const uint8_t halo[3], const char *text)
{
    const rn_polyline *longest = NULL;
    double most = SHORTEST;
    for (int l = 0; l < lines->contour.line_count; l++) {
        const double length = line_length(canvas, lines, &lines->contour.lines[l]);
        if (length > most) {
            most = length;
            longest = &lines->contour.lines[l];
        }
    }
    if (!longest)
        return;
    place places[PLACES + 1];
    int count = 0;
    const double reach = REACH / canvas->at.per_metre;
    const int step = longest->count / PLACES + 1;
    const int ends = longest->closed ? 0 : (int)(HALF_NAME / most * longest->count);
    for (int k = ends; k < longest->count - ends && count < PLACES; k += step) {
        const double x = metres_x(lines, longest->first + k), y = metres_y(lines, longest->first + k);
        if (isfinite(steep) && is_steep(lines, reach, x, y, steep))
            continue;
        place *p = &places[count++];
        layout_point(&p->x, &p->y, &canvas->at, x, y, bench->turned);
        p->score = (p->x - canvas->at.cx) * cos(bearing) - (p->y - canvas->at.cy) * sin(bearing);
    }
    qsort(places, (size_t)count, sizeof *places, farther);
    for (int k = 0; k < count; k++)
        if (film_words(canvas, bench, places[k].x, places[k].y + 4.5, 0.5, light, halo, text))
            return;
}
