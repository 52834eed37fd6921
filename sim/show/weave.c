#include "show/weave.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "show/relief.h"
#include "show/seam.h"

#define BARE (-1)
#define BASE_FIRST (-2) /* base coat of paint p: BASE_FIRST - p */

#define WHOLE 4 /* in links: all of the 4 x 4 points from one before to two past this one belong together */

/* A step of the volume released is a fold where it is over so many bands and so many times those beside it. */
#define FOLD_BANDS 0.12f
#define FOLD_RATIO 3.0f
#define STEEP_BANDS 0.75f /* a step over more than this needs steps like it on both sides, or is a fold */

#define SPECK 5 /* points */

#define MINGLED                                                                                                        \
    0.12e-3f /* bands nearer than this are seen as mingled: light spreads sideways in paint, an estimate
                            without a source [m] */

static int within(int i, int count)
{
    return i < 0 ? 0 : i >= count ? count - 1 : i;
}

static float band_of(const rn_weave *weave, int kind)
{
    return kind >= 0 ? weave->streaks[kind].band : 1.0f;
}

static void take_plane(rn_weave *weave, const rn_strata *strata, int plane)
{
    const long first = rn_strata_plane(strata, plane), points = (long)strata->nx * strata->ny;
    for (long p = 0; p < points; p++) {
        const int paint = strata->paint[first + p], pour = strata->pour[first + p];
        weave->released[p] = 0.0f;
        if (paint == RN_PAINT_NONE)
            weave->kind[p] = BARE;
        else if (pour >= 0 && pour < weave->streak_count) {
            weave->kind[p] = (short)pour;
            weave->released[p] = strata->released[first + p];
        } else
            weave->kind[p] = (short)(BASE_FIRST - paint);
    }
}

/* Bare points beside paint take what lies there, so often: the film's front lies between points, and drips hang off the
   last of them. */
static bool carry_outward(rn_weave *weave, int rings)
{
    static const int beside[8][2] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, -1}, {1, -1}, {-1, 1}, {1, 1}};
    const size_t points = (size_t)weave->nx * (size_t)weave->ny;
    short *before = malloc(points * sizeof *before);
    if (!before)
        return false;
    for (int ring = 0; ring < rings; ring++) {
        memcpy(before, weave->kind, points * sizeof *before);
        for (int j = 0; j < weave->ny; j++)
            for (int i = 0; i < weave->nx; i++) {
                const long p = (long)j * weave->nx + i;
                for (int n = 0; before[p] == BARE && n < 8; n++) {
                    const int a = i + beside[n][0], b = j + beside[n][1];
                    const long q = (long)b * weave->nx + a;
                    if (a < 0 || b < 0 || a >= weave->nx || b >= weave->ny || before[q] == BARE)
                        continue;
                    weave->kind[p] = weave->kind[q];
                    weave->released[p] = weave->released[q];
                    break;
                }
            }
    }
    free(before);
    return true;
}

/* Whether the second and third of four points in a row belong together. */
static bool linked(const rn_weave *weave, const long p[4])
{
    const int kind = weave->kind[p[1]];
    if (weave->kind[p[2]] != kind)
        return false;
    if (kind < 0)
        return true;
    const float step = weave->released[p[2]] - weave->released[p[1]], size = fabsf(step);
    if (size < FOLD_BANDS * band_of(weave, kind))
        return true;
    float most = 0.0f, least = INFINITY; /* of the steps beside it, as far as they lead the same way */
    for (int side = 0; side < 4; side += 2) {
        const long from = side ? p[2] : p[0], to = side ? p[3] : p[1];
        if (from != to && weave->kind[from] == kind && weave->kind[to] == kind) {
            const float beside = copysignf(1.0f, step) * (weave->released[to] - weave->released[from]);
            most = fmaxf(most, beside);
            least = fminf(least, beside);
        } else
            least = 0.0f;
    }
    return size < FOLD_RATIO * (size < STEEP_BANDS * band_of(weave, kind) ? most : least);
}

static void link_points(rn_weave *weave)
{
    const int nx = weave->nx, ny = weave->ny;
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            long row[4], column[4];
            for (int k = 0; k < 4; k++) {
                row[k] = (long)j * nx + within(i - 1 + k, nx);
                column[k] = (long)within(j - 1 + k, ny) * nx + i;
            }
            weave->links[(long)j * nx + i] =
                (unsigned char)((linked(weave, row) ? RN_LINK_RIGHT : 0) | (linked(weave, column) ? RN_LINK_BACK : 0));
        }
}

/* How many linked points hang together with one, counted up to the size of a speck; they are listed. */
static int count_linked(long list[SPECK], const rn_weave *weave, long point)
{
    const int nx = weave->nx, ny = weave->ny;
    int count = 1;
    list[0] = point;
    for (int done = 0; done < count; done++) {
        const long p = list[done];
        const int i = (int)(p % nx), j = (int)(p / nx);
        const struct {
            bool linked;
            long to;
        } ways[4] = {{i < nx - 1 && (weave->links[p] & RN_LINK_RIGHT), p + 1},
                     {j < ny - 1 && (weave->links[p] & RN_LINK_BACK), p + nx},
                     {i > 0 && (weave->links[p - 1] & RN_LINK_RIGHT), p - 1},
                     {j > 0 && (weave->links[p - nx] & RN_LINK_BACK), p - nx}};
        for (int w = 0; w < 4; w++) {
            bool known = !ways[w].linked;
            for (int k = 0; !known && k < count; k++)
                known = list[k] == ways[w].to;
            if (known)
                continue;
            if (count == SPECK)
                return SPECK + 1;
            list[count++] = ways[w].to;
        }
    }
    return count;
}

/* Few points that belong together with no others are slivers thinner than the lattice can show, or what tracing left
   undecided: they take what lies beside them, so that they do not show as dots. */
static bool merge_specks(rn_weave *weave)
{
    const int nx = weave->nx;
    const long points = (long)nx * weave->ny;
    bool *speck = calloc((size_t)points, sizeof *speck);
    if (!speck)
        return false;
    for (long p = 0; p < points; p++) {
        long list[SPECK];
        const bool loose = weave->kind[p] != BARE && !speck[p] && weave->links[p] != (RN_LINK_RIGHT | RN_LINK_BACK);
        const int count = loose ? count_linked(list, weave, p) : SPECK + 1;
        for (int k = 0; count <= SPECK && k < count; k++)
            speck[list[k]] = true;
    }
    for (long left = 1, round = 0; left > 0 && round < SPECK; round++) {
        left = 0;
        for (long p = 0; p < points; p++) {
            if (!speck[p])
                continue;
            const long beside[4] = {p % nx > 0 ? p - 1 : p, p >= nx ? p - nx : p, p % nx < nx - 1 ? p + 1 : p,
                                    p < points - nx ? p + nx : p};
            left++;
            for (int n = 0; speck[p] && n < 4; n++) {
                const long q = beside[n];
                if (speck[q] || weave->kind[q] == BARE)
                    continue;
                weave->kind[p] = weave->kind[q];
                weave->released[p] = weave->released[q];
                speck[p] = false;
            }
        }
    }
    free(speck);
    return true;
}

/* A point is whole if all links of its 4 x 4 points hold; worked out by rows, then by columns. */
static bool mark_whole(rn_weave *weave)
{
    const int nx = weave->nx, ny = weave->ny;
    bool *right = malloc(2 * (size_t)nx * (size_t)ny * sizeof *right), *back = right + (size_t)nx * (size_t)ny;
    if (!right)
        return false;
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            const long p = (long)j * nx + i;
            right[p] = back[p] = true;
            for (int a = i - 1; a <= i + 2; a++) {
                const unsigned char links = weave->links[(long)j * nx + within(a, nx)];
                right[p] = right[p] && (a > i + 1 || (links & RN_LINK_RIGHT));
                back[p] = back[p] && (links & RN_LINK_BACK);
            }
        }
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            bool whole = true;
            for (int b = j - 1; b <= j + 2; b++) {
                const long p = (long)within(b, ny) * nx + i;
                whole = whole && right[p] && (b > j + 1 || back[p]);
            }
            if (whole)
                weave->links[(long)j * nx + i] |= WHOLE;
        }
    free(right);
    return true;
}

/* Takes the unevenness of single points off the volume released: along each axis the binomial mean of three that belong
   together. What changes evenly stays as it is. */
static bool calm(rn_weave *weave)
{
    const int nx = weave->nx, ny = weave->ny;
    const long points = (long)nx * ny;
    float *before = malloc((size_t)points * sizeof *before);
    if (!before)
        return false;
    for (int axis = 0; axis < 2; axis++) {
        const long stride = axis ? nx : 1;
        const unsigned char link = axis ? RN_LINK_BACK : RN_LINK_RIGHT;
        memcpy(before, weave->released, (size_t)points * sizeof *before);
        for (int j = axis; j < ny - axis; j++)
            for (int i = 1 - axis; i < nx - 1 + axis; i++) {
                const long p = (long)j * nx + i;
                if (weave->links[p] & weave->links[p - stride] & link)
                    weave->released[p] = 0.5f * before[p] + 0.25f * (before[p - stride] + before[p + stride]);
            }
    }
    free(before);
    return true;
}

bool rn_weave_init(rn_weave *weave, const rn_plan *plan, const rn_strata *strata, int plane, double reach)
{
    const size_t points = (size_t)strata->nx * (size_t)strata->ny;
    rn_pigment pigments[RN_PAINTS_MOST] = {0};
    *weave = (rn_weave){.nx = strata->nx, .ny = strata->ny};
    weave->dx = (float)(strata->width / strata->nx);
    weave->dy = (float)(strata->height / strata->ny);
    weave->kind = malloc(points * sizeof *weave->kind);
    weave->released = malloc(points * sizeof *weave->released);
    weave->links = malloc(points);
    weave->right = malloc(points * sizeof *weave->right);
    weave->back = malloc(points * sizeof *weave->back);
    bool good = weave->kind && weave->released && weave->links && weave->right && weave->back;
    for (int p = 0; p < plan->paint_count; p++) {
        pigments[p] = rn_pigment_from_srgb(plan->paints[p].colour);
        for (int c = 0; c < 3; c++)
            weave->flat[p][c] = (float)pigments[p].own[c];
    }
    for (int p = 0; good && p < plan->pour_count; p++, weave->streak_count += good)
        good = rn_streak_init(&weave->streaks[p], &plan->pours[p], pigments);
    if (good) {
        take_plane(weave, strata, plane);
        good = carry_outward(weave, (int)ceil(reach / (double)weave->dx));
    }
    if (good) {
        link_points(weave);
        good = merge_specks(weave);
        link_points(weave);
        good = good && calm(weave) && calm(weave) && mark_whole(weave) &&
               rn_seam_settle(weave->right, weave->back, weave->links, weave->nx, weave->ny);
    }
    if (!good)
        rn_weave_clear(weave);
    return good;
}

void rn_weave_clear(rn_weave *weave)
{
    for (int p = 0; p < weave->streak_count; p++)
        rn_streak_clear(&weave->streaks[p]);
    free(weave->kind);
    free(weave->released);
    free(weave->links);
    free(weave->right);
    free(weave->back);
    *weave = (rn_weave){0};
}

/* The volume released and how it changes, a B-spline of the 4 x 4 points around a place past[2] on from one of them. */
static void smooth_released(float *released, float slope[2], const rn_weave *weave, int i, int j, const float past[2])
{
    float across[4], across_slope[4], along[4], along_slope[4];
    rn_relief_spline(across, across_slope, past[0]);
    rn_relief_spline(along, along_slope, past[1]);
    int column[4];
    for (int a = 0; a < 4; a++)
        column[a] = within(i - 1 + a, weave->nx);
    float value = 0.0f, slope_x = 0.0f, slope_y = 0.0f;
    for (int b = 0; b < 4; b++) {
        const float *row = weave->released + (long)within(j - 1 + b, weave->ny) * weave->nx;
        float sum = 0.0f, change = 0.0f;
        for (int a = 0; a < 4; a++) {
            sum += across[a] * row[column[a]];
            change += across_slope[a] * row[column[a]];
        }
        value += along[b] * sum;
        slope_x += along[b] * change;
        slope_y += along_slope[b] * sum;
    }
    *released = value;
    slope[0] = slope_x / weave->dx;
    slope[1] = slope_y / weave->dy;
}

static void pour_colour(float rgb[3], const rn_weave *weave, int kind, float released, float slope_x, float slope_y,
                        float pixel)
{
    if (kind < 0) {
        memcpy(rgb, weave->flat[BASE_FIRST - kind], 3 * sizeof *rgb);
        return;
    }
    const float slope = sqrtf(slope_x * slope_x + slope_y * slope_y);
    rn_streak_colour(rgb, &weave->streaks[kind], released, MINGLED * slope, 1.1f * pixel * slope);
}

/* The lesser of two steps that lead the same way, the second counted twice; else none: a limited slope
   [vanleer1974]. */
static float limited(float step, float beside)
{
    if (step * beside <= 0.0f)
        return 0.0f;
    return copysignf(fminf(fabsf(step), 2.0f * fabsf(beside)), step);
}

/* The step of the volume released from a point to the next along an axis, `way` -1 or 1; false if not linked. */
static bool step_to(float *step, const rn_weave *weave, long point, bool along_y, int way)
{
    const int at = (int)(along_y ? point / weave->nx : point % weave->nx), count = along_y ? weave->ny : weave->nx;
    const long stride = along_y ? weave->nx : 1;
    if (at + way < 0 || at + way >= count)
        return false;
    const long link = way > 0 ? point : point - stride;
    if (!(weave->links[link] & (along_y ? RN_LINK_BACK : RN_LINK_RIGHT)))
        return false;
    *step = weave->released[point + way * stride] - weave->released[point];
    return true;
}

/* How the volume released changes at a point, from its linked neighbours; never steeper than twice any step near it, so
   that what lies across a seam is not reached. */
static void slope_at(float slope[2], const rn_weave *weave, long point)
{
    for (int axis = 0; axis < 2; axis++) {
        const long stride = axis ? weave->nx : 1;
        float before, after, farther, step = 0.0f;
        const bool has_before = step_to(&before, weave, point, axis, -1);
        const bool has_after = step_to(&after, weave, point, axis, 1);
        if (has_before && has_after)
            step = limited(limited(0.5f * (after - before), after), -before);
        else if (has_after && step_to(&farther, weave, point + stride, axis, 1))
            step = limited(after, farther);
        else if (has_before && step_to(&farther, weave, point - stride, axis, -1))
            step = -limited(before, farther);
        slope[axis] = step / (axis ? weave->dy : weave->dx);
    }
}

/* The colour of some of a cell's four points, carried on from them alone to the place past[2]. */
static void side_colour(float rgb[3], const rn_weave *weave, long point, rn_seam_side side, const float past[2],
                        float pixel)
{
    static const int corners[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    float sum = 0.0f, released = 0.0f, slopes[2] = {0.0f, 0.0f};
    for (int k = side.first; k < side.first + side.count; k++) {
        const int *corner = corners[k % 4];
        const long p = point + corner[0] + (long)corner[1] * weave->nx;
        const float away_x = past[0] - (float)corner[0], away_y = past[1] - (float)corner[1];
        const float weight = (1.0f - fabsf(away_x)) * (1.0f - fabsf(away_y)) + 1e-4f;
        float slope[2];
        slope_at(slope, weave, p);
        released += weight * (weave->released[p] + slope[0] * away_x * weave->dx + slope[1] * away_y * weave->dy);
        slopes[0] += weight * slope[0];
        slopes[1] += weight * slope[1];
        sum += weight;
    }
    const int *corner = corners[side.first % 4];
    const int kind = weave->kind[point + corner[0] + (long)corner[1] * weave->nx];
    pour_colour(rgb, weave, kind, released / sum, slopes[0] / sum, slopes[1] / sum, pixel);
}

static bool side_is_bare(const rn_weave *weave, long point, rn_seam_side side)
{
    const long shift[4] = {0, 1, 1 + weave->nx, weave->nx};
    return weave->kind[point + shift[side.first % 4]] == BARE;
}

/* In a cell that a seam may run through: what lies on this side, and as much of the other as the pixel covers. */
static bool border_colour(float rgb[3], const rn_weave *weave, long point, const float past[2], float pixel)
{
    rn_seam_cell cell;
    rn_seam_side here = {0, 4}, there;
    float away = INFINITY;
    rn_seam_cell_at(&cell, weave->right, weave->back, weave->links, weave->nx, point);
    if (cell.broken >= 2)
        away = rn_seam_sides(&here, &there, &cell, past[0], past[1]) * weave->dx;
    const bool bare = side_is_bare(weave, point, here);
    if (away < 0.5f * pixel && bare != side_is_bare(weave, point, there))
        away = INFINITY; /* where paint ends is for the film to say */
    if (bare)
        return false;
    side_colour(rgb, weave, point, here, past, pixel);
    if (away < 0.5f * pixel) {
        float other[3];
        side_colour(other, weave, point, there, past, pixel);
        const float share = 0.5f - away / pixel;
        for (int c = 0; c < 3; c++)
            rgb[c] += share * (other[c] - rgb[c]);
    }
    return true;
}

bool rn_weave_colour(float rgb[3], const rn_weave *weave, float x, float y, float pixel)
{
    float u = x / weave->dx + 0.5f * (float)weave->nx - 0.5f, v = y / weave->dy + 0.5f * (float)weave->ny - 0.5f;
    u = u < 0.0f ? 0.0f : u > (float)weave->nx - 1.0f ? (float)weave->nx - 1.0f : u;
    v = v < 0.0f ? 0.0f : v > (float)weave->ny - 1.0f ? (float)weave->ny - 1.0f : v;
    const int i = (int)u < weave->nx - 1 ? (int)u : weave->nx - 2, j = (int)v < weave->ny - 1 ? (int)v : weave->ny - 2;
    const float past[2] = {u - (float)i, v - (float)j};
    const long here = (long)j * weave->nx + i;
    const int kind = weave->kind[here];
    const bool whole = weave->links[here] & WHOLE;
    if (whole && kind == BARE)
        return false;
    if (whole && kind < 0) {
        memcpy(rgb, weave->flat[BASE_FIRST - kind], 3 * sizeof *rgb);
        return true;
    }
    if (!whole)
        return border_colour(rgb, weave, here, past, pixel);
    float released, slope[2];
    smooth_released(&released, slope, weave, i, j, past);
    pour_colour(rgb, weave, kind, released, slope[0], slope[1], pixel);
    return true;
}
