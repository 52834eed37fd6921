#include "show/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define RIM_CELLS 3 /* how far the face's values are carried outward: enough for a bilinear look at the rim */

/* Mean of the known neighbours; NaN values on the face (never covered) stay NaN. */
static bool mean_of_known(double *mean, const rn_sheet *sheet, const bool *known, int i, int j)
{
    double sum = 0.0;
    int count = 0;
    for (int b = j - 1; b <= j + 1; b++)
        for (int a = i - 1; a <= i + 1; a++) {
            if (a < 0 || b < 0 || a >= sheet->nx || b >= sheet->ny)
                continue;
            size_t node = (size_t)b * (size_t)sheet->nx + (size_t)a;
            if (known[node]) {
                sum += sheet->value[node];
                count++;
            }
        }
    *mean = sum / count;
    return count > 0;
}

static void carry_outward(rn_sheet *sheet, bool *known, bool *next)
{
    size_t nodes = (size_t)sheet->nx * (size_t)sheet->ny;
    for (int ring = 0; ring < RIM_CELLS; ring++) {
        memcpy(next, known, nodes * sizeof *next);
        for (int j = 0; j < sheet->ny; j++)
            for (int i = 0; i < sheet->nx; i++) {
                size_t node = (size_t)j * (size_t)sheet->nx + (size_t)i;
                double mean;
                if (!known[node] && mean_of_known(&mean, sheet, known, i, j)) {
                    sheet->value[node] = mean;
                    next[node] = true;
                }
            }
        memcpy(known, next, nodes * sizeof *next);
    }
}

static bool make(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const double *doubles, const float *floats)
{
    rn_sheet made = {.grid = *grid, .nx = grid->nx + 2, .ny = grid->ny + 2};
    size_t nodes = (size_t)made.nx * (size_t)made.ny;
    made.value = calloc(nodes, sizeof *made.value);
    bool *known = calloc(2 * nodes, sizeof *known);
    if (!made.value || !known) {
        free(made.value);
        free(known);
        return false;
    }
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            size_t cell = (size_t)j * (size_t)grid->nx + (size_t)i;
            size_t node = (size_t)(j + 1) * (size_t)made.nx + (size_t)(i + 1);
            known[node] = inside[cell];
            if (inside[cell])
                made.value[node] = doubles ? doubles[cell] : (double)floats[cell];
        }
    carry_outward(&made, known, known + nodes);
    free(known);
    *sheet = made;
    return true;
}

bool rn_sheet_from_doubles(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const double *field)
{
    return make(sheet, grid, inside, field, NULL);
}

bool rn_sheet_from_floats(rn_sheet *sheet, const rn_grid *grid, const bool *inside, const float *field)
{
    return make(sheet, grid, inside, NULL, field);
}

static double smoothed(const rn_sheet *sheet, const double *value, int i, int j)
{
    double sum = 0.0, weights = 0.0;
    for (int b = j > 0 ? -1 : 0; b <= (j < sheet->ny - 1 ? 1 : 0); b++)
        for (int a = i > 0 ? -1 : 0; a <= (i < sheet->nx - 1 ? 1 : 0); a++) {
            const double weight = (a ? 1.0 : 2.0) * (b ? 1.0 : 2.0);
            const double neighbour = value[(size_t)(j + b) * (size_t)sheet->nx + (size_t)(i + a)];
            if (isnan(neighbour))
                continue;
            sum += weight * neighbour;
            weights += weight;
        }
    return sum / weights;
}

bool rn_sheet_smooth(rn_sheet *sheet, int passes)
{
    const size_t nodes = (size_t)sheet->nx * (size_t)sheet->ny;
    double *before = calloc(nodes, sizeof *before);
    if (!before)
        return false;
    for (int pass = 0; pass < passes; pass++) {
        memcpy(before, sheet->value, nodes * sizeof *before);
        for (int j = 0; j < sheet->ny; j++)
            for (int i = 0; i < sheet->nx; i++) {
                const size_t node = (size_t)j * (size_t)sheet->nx + (size_t)i;
                if (!isnan(before[node]))
                    sheet->value[node] = smoothed(sheet, before, i, j);
            }
    }
    free(before);
    return true;
}

void rn_sheet_clear(rn_sheet *sheet)
{
    free(sheet->value);
    *sheet = (rn_sheet){0};
}

double rn_sheet_at(const rn_sheet *sheet, double x, double y)
{
    const double u = x / sheet->grid.dx + 0.5 * (sheet->nx - 1), v = y / sheet->grid.dy + 0.5 * (sheet->ny - 1);
    const double a = fmin(fmax(u, 0.0), sheet->nx - 1.001), b = fmin(fmax(v, 0.0), sheet->ny - 1.001);
    const int i = (int)a, j = (int)b;
    const double p = a - i, q = b - j;
    const double *row = sheet->value + (size_t)j * (size_t)sheet->nx + (size_t)i;
    return (1.0 - q) * ((1.0 - p) * row[0] + p * row[1]) + q * ((1.0 - p) * row[sheet->nx] + p * row[sheet->nx + 1]);
}
