#include "show/relief.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SPREAD 4 /* rings of cells that the depth is carried beyond the mask; a spline reaches two */

void rn_relief_spline(float weight[4], float slope[4], float u)
{
    const float v = 1.0f - u, u2 = u * u;
    weight[0] = v * v * v / 6.0f;
    weight[1] = (3.0f * u2 * u - 6.0f * u2 + 4.0f) / 6.0f;
    weight[2] = (-3.0f * u2 * u + 3.0f * u2 + 3.0f * u + 1.0f) / 6.0f;
    weight[3] = u2 * u / 6.0f;
    slope[0] = -0.5f * v * v;
    slope[1] = 0.5f * (3.0f * u2 - 4.0f * u);
    slope[2] = 0.5f * (-3.0f * u2 + 2.0f * u + 1.0f);
    slope[3] = 0.5f * u2;
}

static int within(int i, int count)
{
    return i < 0 ? 0 : i >= count ? count - 1 : i;
}

/* One ring: every cell not yet known takes the mean of its known neighbours. */
static void spread_ring(float *depth, unsigned char *known, int nx, int ny, unsigned char ring)
{
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            const long c = (long)j * nx + i;
            if (known[c])
                continue;
            float sum = 0.0f;
            int count = 0;
            for (int b = -1; b <= 1; b++)
                for (int a = -1; a <= 1; a++) {
                    const long n = (long)within(j + b, ny) * nx + within(i + a, nx);
                    if (known[n] && known[n] < ring) {
                        sum += depth[n];
                        count++;
                    }
                }
            if (count > 0) {
                depth[c] = sum / (float)count;
                known[c] = ring;
            }
        }
}

/* Binomial mean of 3 x 3: cells are some millimetres wide, and a film's own tension rounds off what is smaller. */
static void round_off(float *depth, float *before, int nx, int ny)
{
    for (int axis = 0; axis < 2; axis++) {
        memcpy(before, depth, (size_t)nx * (size_t)ny * sizeof *depth);
        for (int j = 0; j < ny; j++)
            for (int i = 0; i < nx; i++) {
                const long one = axis ? (long)within(j - 1, ny) * nx + i : (long)j * nx + within(i - 1, nx);
                const long two = axis ? (long)within(j + 1, ny) * nx + i : (long)j * nx + within(i + 1, nx);
                const long c = (long)j * nx + i;
                depth[c] = 0.5f * before[c] + 0.25f * (before[one] + before[two]);
            }
    }
}

bool rn_relief_init(rn_relief *relief, const rn_grid *grid, const bool *inside, const double *depth)
{
    const size_t cells = (size_t)grid->nx * (size_t)grid->ny;
    *relief = (rn_relief){.nx = grid->nx, .ny = grid->ny, .dx = (float)grid->dx, .dy = (float)grid->dy};
    relief->depth = malloc(cells * sizeof *relief->depth);
    unsigned char *known = malloc(cells);
    float *before = malloc(cells * sizeof *before);
    const bool good = relief->depth && known && before;
    if (good) {
        for (size_t c = 0; c < cells; c++) {
            known[c] = !inside || inside[c];
            relief->depth[c] = known[c] ? (float)depth[c] : 0.0f;
        }
        for (int ring = 2; inside && ring < 2 + SPREAD; ring++)
            spread_ring(relief->depth, known, grid->nx, grid->ny, (unsigned char)ring);
        round_off(relief->depth, before, grid->nx, grid->ny);
    }
    free(before);
    free(known);
    if (!good)
        rn_relief_clear(relief);
    return good;
}

void rn_relief_clear(rn_relief *relief)
{
    free(relief->depth);
    *relief = (rn_relief){0};
}

/* Where a coordinate lies among the cells' centres: the second of its four knots and the way past it. */
static int knot(float *past, float coordinate, float step, int count)
{
    float at = coordinate / step + 0.5f * (float)count - 0.5f;
    at = fminf(fmaxf(at, -0.5f), (float)count - 0.5f);
    const float whole = floorf(at);
    *past = at - whole;
    return (int)whole;
}

void rn_relief_row(float *depth, float *slope_x, float *slope_y, const rn_relief *relief, float *scratch,
                   const float *x, int count, float y)
{
    float weight[4], slope[4], past;
    const int j = knot(&past, y, relief->dy, relief->ny);
    rn_relief_spline(weight, slope, past);
    const float *row[4];
    for (int b = 0; b < 4; b++)
        row[b] = relief->depth + (long)within(j - 1 + b, relief->ny) * relief->nx;
    float *sum = scratch, *rise = scratch + relief->nx;
    for (int i = 0; i < relief->nx; i++) {
        sum[i] = weight[0] * row[0][i] + weight[1] * row[1][i] + weight[2] * row[2][i] + weight[3] * row[3][i];
        rise[i] = slope[0] * row[0][i] + slope[1] * row[1][i] + slope[2] * row[2][i] + slope[3] * row[3][i];
    }
    for (int p = 0; p < count; p++) {
        const int i = knot(&past, x[p], relief->dx, relief->nx);
        rn_relief_spline(weight, slope, past);
        float h = 0.0f, hx = 0.0f, hy = 0.0f;
        for (int a = 0; a < 4; a++) {
            const int c = within(i - 1 + a, relief->nx);
            h += weight[a] * sum[c];
            hx += slope[a] * sum[c];
            hy += weight[a] * rise[c];
        }
        depth[p] = h;
        slope_x[p] = hx / relief->dx;
        slope_y[p] = hy / relief->dy;
    }
}

float rn_relief_depth(const rn_relief *relief, float x, float y)
{
    float across[4], along[4], slope[4], past, depth = 0.0f;
    const int i = knot(&past, x, relief->dx, relief->nx);
    rn_relief_spline(across, slope, past);
    const int j = knot(&past, y, relief->dy, relief->ny);
    rn_relief_spline(along, slope, past);
    for (int b = 0; b < 4; b++) {
        const float *row = relief->depth + (long)within(j - 1 + b, relief->ny) * relief->nx;
        for (int a = 0; a < 4; a++)
            depth += along[b] * across[a] * row[within(i - 1 + a, relief->nx)];
    }
    return depth;
}
