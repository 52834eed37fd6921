/* The film's inner loops. Compiled once per instruction set with RN_KERNEL_SUFFIX naming it.

   Legend: h depth, p pressure, G drive (-dp/dx + f), q flux, M mobility, g and c the capillary and gravity
   parts of the linearised pressure, K n tau_y the Herschel-Bulkley law. Equations in height.c. */
#include "film/kernel_loops.h"

static void pressure(double *restrict p, const double *restrict h, const double *restrict below,
                     const double *restrict above, double a, double bx, double by, int n)
{
    EACH(int i = 0; i < n; i++)
    p[i] = a * h[i] - bx * ((h[i - 1] + h[i + 1]) - 2 * h[i]) - by * ((below[i] + above[i]) - 2 * h[i]);
}

/* fluidity: 1/(3 mu) of the four cells in line, NULL where it is the rule's everywhere. */
INLINE void newtonian_faces(const rn_face_flux *out, const rn_face_rule *rule_, const rn_face_cells *h,
                            const rn_face_cells *fluidity, const double *restrict p_left,
                            const double *restrict p_right, double force0, double force1, int n, const bool linearise,
                            const bool local)
{
    const rn_face_rule rule = *rule_;
    const double *restrict fl = h->far_left, *restrict l = h->left, *restrict r = h->right, *restrict fr = h->far_right;
    const rn_face_cells fluid_at = local ? *fluidity : *h;
    const double *restrict vfl = fluid_at.far_left, *restrict vl = fluid_at.left, *restrict vr = fluid_at.right,
                           *restrict vfr = fluid_at.far_right;
    double *restrict q = out->q;
    rn_slope *restrict mobility = out->mobility, *restrict left = out->left, *restrict right = out->right;
    EACH(int i = 0; i < n; i++)
    {
        double G = (p_left[i] - p_right[i]) * rule.per_d + (force0 + force1 * (double)i);
        bool forward = G > 0.0;
        double hfl = fl[i], hl = l[i], hr = r[i], hfr = fr[i];
        if (!linearise) { /* only stage two's depths can be below 0 */
            hfl = greater(hfl, 0.0);
            hl = greater(hl, 0.0);
            hr = greater(hr, 0.0);
            hfr = greater(hfr, 0.0);
        }
        double up = forward ? hl : hr, down = forward ? hr : hl;
        double behind = forward ? hfl : hfr, beyond = forward ? hfr : hfl;
        double drive = held_drive(&rule, G, down, forward ? p_right[i] : p_left[i]);
        drive = up > LEAST_DEPTH ? drive : 0.0;
        double depth = face_depth(behind, up, down);
        double drag = 1.0 + rule.front_drag * greater(0.0, 1.0 - beyond * rule.per_wet);
        double third = rule.third_fluidity;
        if (local) { /* of the column that gives, reconstructed as the depth is: smooth where columns differ little */
            double there = forward ? vl[i] : vr[i], ahead = forward ? vr[i] : vl[i];
            third = face_depth(forward ? vfl[i] : vfr[i], there, ahead);
        }
        double fluid = depth * depth * third / drag;
        double M = fluid * depth;
        double flux = M * drive;
        q[i] = forward ? flux : -flux;
        if (linearise) {
            M = drive > 0.0 ? M : 0.0;
            double slope = 3.0 * fluid * drive;
            double damping = rule.front_damping * M * unevenness(hfl, hl, hr, hfr);
            mobility[i] = (rn_slope)M;
            left[i] = (rn_slope)((forward ? slope : 0.0) + damping);
            right[i] = (rn_slope) - ((forward ? 0.0 : slope) + damping);
        }
    }
}

static void flux(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h, const double *p_left,
                 const double *p_right, double force0, double force1, int n)
{
    if (out->mobility)
        newtonian_faces(out, rule, h, NULL, p_left, p_right, force0, force1, n, true, false);
    else
        newtonian_faces(out, rule, h, NULL, p_left, p_right, force0, force1, n, false, false);
}

static void flux_local(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h,
                       const rn_face_cells *fluidity, const double *p_left, const double *p_right, double force0,
                       double force1, int n)
{
    if (out->mobility)
        newtonian_faces(out, rule, h, fluidity, p_left, p_right, force0, force1, n, true, true);
    else
        newtonian_faces(out, rule, h, fluidity, p_left, p_right, force0, force1, n, false, true);
}

static void drive(double *restrict drive, const rn_face_rule *rule_, const rn_face_cells *h,
                  const double *restrict p_left, const double *restrict p_right, double force0, double force1, int n)
{
    const rn_face_rule rule = *rule_;
    const double *restrict l = h->left, *restrict r = h->right;
    EACH(int i = 0; i < n; i++)
    {
        double G = (p_left[i] - p_right[i]) * rule.per_d + (force0 + force1 * (double)i);
        bool forward = G > 0.0;
        double up = forward ? l[i] : r[i], down = greater(forward ? r[i] : l[i], 0.0);
        double held = held_drive(&rule, G, down, forward ? p_right[i] : p_left[i]);
        held = up > LEAST_DEPTH ? held : 0.0;
        drive[i] = forward ? held : -held;
    }
}

INLINE void yield_faces(const rn_face_flux *out, const rn_face_rule *rule_, const rn_face_cells *h,
                        const double *restrict own, const double *restrict a, const double *restrict b, double weight,
                        int n, const bool linearise, const bool bingham)
{
    const rn_face_rule rule = *rule_;
    const double *restrict fl = h->far_left, *restrict l = h->left, *restrict r = h->right, *restrict fr = h->far_right;
    double *restrict q = out->q;
    rn_slope *restrict mobility = out->mobility, *restrict left = out->left, *restrict right = out->right;
    const double per_consistency = bingham ? 1.0 / exp2(rule.log2_consistency) : 0.0;
    EACH(int i = 0; i < n; i++)
    {
        double Gn = own[i];
        bool forward = Gn > 0.0;
        double hfl = greater(fl[i], 0.0), hl = greater(l[i], 0.0), hr = greater(r[i], 0.0), hfr = greater(fr[i], 0.0);
        double up = forward ? hl : hr, down = forward ? hr : hl;
        double behind = forward ? hfl : hfr, beyond = forward ? hfr : hfl;
        double depth = face_depth(behind, up, down);
        double dry = greater(0.0, 1.0 - down * rule.per_wet);
        double Gt = weight * ((a[i] + a[i + 1]) + (b[i] + b[i + 1])) * (1.0 - dry);
        double G2 = Gn * Gn + Gt * Gt + 1e-20; /* no division by 0 on a level film */
        double per_G = 1.0 / sqrt(G2), G = G2 * per_G;
        double drag = 1.0 + rule.front_drag * greater(0.0, 1.0 - beyond * rule.per_wet);
        double excess = G * depth - rule.yield; /* stress at the bottom beyond the yield stress */
        double positive = greater(excess, 1e-30);
        double yielded = greater(excess, 0.0) * per_G;
        double B = (2.0 * rule.power + 1.0) * depth - rule.power * yielded;
        double P = rule.factor / drag *
                   (bingham ? positive * per_consistency
                            : exp2_series(rule.per_power * (log2_series(positive) - rule.log2_consistency)));
        double along = Gn * per_G;
        double flux = P * yielded * B;
        q[i] = flux * along;
        if (linearise) {
            const double flows = excess > 0.0 ? 1.0 : 0.0;
            double secant = flux * per_G;
            double tangent =
                flows * P * per_G * (rule.per_power * depth * B + rule.yield * per_G * (B - rule.power * yielded));
            double M = secant + (tangent - secant) * (along * along);
            /* The floor lives in the Jacobian only: the flux stays exact and arrested paint stays at rest. Toward dry
               ground there is none where nothing flows. */
            double stuck = (dry > 0.999 ? 1.0 : 0.0) * (1.0 - flows);
            M = greater(M, (1.0 - stuck) * rule.floor_fluidity / drag * (depth * depth * depth));
            M *= Gn == 0.0 ? 0.0 : 1.0;
            double slope = flows * P * rule.per_factor * depth * along;
            double damping = rule.front_damping * M * unevenness(hfl, hl, hr, hfr);
            mobility[i] = (rn_slope)M;
            left[i] = (rn_slope)(greater(slope, 0.0) + damping);
            right[i] = (rn_slope)(lesser(slope, 0.0) - damping);
        }
    }
}

static void flux_yield(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h, const double *drive,
                       const double *across_a, const double *across_b, double weight, int n)
{
    if (rule->power == 1.0) {
        if (out->mobility)
            yield_faces(out, rule, h, drive, across_a, across_b, weight, n, true, true);
        else
            yield_faces(out, rule, h, drive, across_a, across_b, weight, n, false, true);
    } else {
        if (out->mobility)
            yield_faces(out, rule, h, drive, across_a, across_b, weight, n, true, false);
        else
            yield_faces(out, rule, h, drive, across_a, across_b, weight, n, false, false);
    }
}

static void divergence(double *restrict r, const double *restrict q, const double *restrict below,
                       const double *restrict above, double per_dx, double per_dy, const double *restrict source,
                       const double *restrict k, int n)
{
    if (k) {
        EACH(int i = 0; i < n; i++)
        r[i] = (q[i] - q[i + 1]) * per_dx + (below[i] - above[i]) * per_dy + source[i] - 2.0 * k[i];
    } else {
        EACH(int i = 0; i < n; i++)
        r[i] = (q[i] - q[i + 1]) * per_dx + (below[i] - above[i]) * per_dy + source[i];
    }
}

static double sum(const double *restrict a, int n)
{
    double lanes[RN_LANES] = {0}, all = 0.0;
    int whole = n / RN_LANES * RN_LANES;
    for (int i = 0; i < whole; i += RN_LANES)
        EACH(int l = 0; l < RN_LANES; l++)
    lanes[l] += a[i + l];
    for (int l = 0; l < RN_LANES; l++)
        all += lanes[l];
    for (int i = whole; i < n; i++)
        all += a[i];
    return all;
}

static void add(double *restrict a, const double *restrict b, int n)
{
    EACH(int i = 0; i < n; i++)
    a[i] += b[i];
}

/* The sweeps. For a line with unknowns v the equation of cell i is

     v_i + tau/d (lin_{i+1} - lin_i) = r_i,
     lin_f = M_f (g (v_{f+1} - v_{f-2}) - (c + 3 g)(v_f - v_{f-1})) + left_f v_{f-1} + right_f v_f

   and a neighbour behind a closed face mirrors the cell before it, or goes on straight from the last two: five
   diagonals, eliminated without pivoting,
   RN_LANES lines side by side. */
typedef struct forward_row {
    double z[RN_LANES], alpha[RN_LANES], beta[RN_LANES];
} forward_row;

/* The coefficients of one row of faces, times tau/d. */
typedef struct face_row {
    double mobility[RN_LANES], left[RN_LANES], right[RN_LANES];
} face_row;

INLINE void read_faces(face_row *restrict row, const rn_jacobian *jacobian, long face, double t)
{
    const rn_slope *restrict mobility = jacobian->mobility + face * jacobian->stride,
                             *restrict left = jacobian->left + face * jacobian->stride,
                             *restrict right = jacobian->right + face * jacobian->stride;
    EACH(int l = 0; l < RN_LANES; l++)
    {
        row->mobility[l] = t * (double)mobility[l];
        row->left[l] = t * (double)left[l];
        row->right[l] = t * (double)right[l];
    }
}

/* Which of the four faces from `first` on are open, as 1 and 0. */
INLINE void find_open(double open[4][RN_LANES], const rn_sweep *sweep, int first)
{
    for (int k = 0; k < 4; k++)
        for (int l = 0; l < RN_LANES; l++) {
            int face = first + k;
            int from = sweep->from ? sweep->from[l] : 0, to = sweep->to ? sweep->to[l] : sweep->length;
            open[k][l] = face > from && face < to ? 1.0 : 0.0;
        }
}

INLINE void eliminate(forward_row *restrict now, const forward_row *restrict before,
                      const forward_row *restrict two_before, const double *restrict r, const face_row *restrict low,
                      const face_row *restrict high, double g, double c3, double open[4][RN_LANES], double straight,
                      const bool inner)
{
    EACH(int l = 0; l < RN_LANES; l++)
    {
        double Mm = low->mobility[l], Mp = high->mobility[l];
        double gm = g * Mm, gp = g * Mp, cm = c3 * Mm, cp = c3 * Mp;
        double e = gp, d = high->right[l] - cp - gm, m = 1.0 + (cp + cm) + (high->left[l] - low->right[l]);
        double b = -low->left[l] - cm - gp, a = gm;
        if (!inner) {
            double o0 = open[0][l], o1 = open[1][l], o2 = open[2][l], o3 = open[3][l];
            double s0 = 1.0 - o0, s1 = 1.0 - o1, s2 = 1.0 - o2, s3 = 1.0 - o3, once_more = 1.0 + straight;
            d += gp * (s3 * once_more + s1 * straight) + gm * s2;
            m -= (gm * s2 + gp * s1) * once_more + (gp * s3 + gm * s0) * straight;
            b += gm * (s0 * once_more + s2 * straight) + gp * s1;
            e *= o3;
            a *= o0;
        }
        double b1 = b - a * two_before->alpha[l];
        double pivot = 1.0 / (m - a * two_before->beta[l] - b1 * before->alpha[l]);
        now->z[l] = (r[l] - a * two_before->z[l] - b1 * before->z[l]) * pivot;
        now->alpha[l] = (d - b1 * before->beta[l]) * pivot;
        now->beta[l] = e * pivot;
    }
}

/* Columns lie far apart in memory, row after row: rows further on are asked for while one is worked. */
#define ROWS_AHEAD 8

INLINE void ask_for(const double *row)
{
    __builtin_prefetch(row);
    __builtin_prefetch(row + RN_LANES / 2);
}

INLINE void ask_for_faces(const rn_jacobian *jacobian, long face)
{
    __builtin_prefetch(jacobian->mobility + face * jacobian->stride);
    __builtin_prefetch(jacobian->left + face * jacobian->stride);
    __builtin_prefetch(jacobian->right + face * jacobian->stride);
}

/* Eliminates downward into work and returns the first line's row; two empty rows stand before it. */
INLINE forward_row *eliminate_all(double *work, const rn_sweep *sweep, const rn_jacobian *jacobian, const double *r,
                                  long stride)
{
    const int n = sweep->length;
    const double g = sweep->capillary, c3 = sweep->gravity + 3.0 * g, t = sweep->tau_per_d;
    forward_row *rows = (forward_row *)work + 2;
    memset(rows - 2, 0, 2 * sizeof *rows);
    face_row faces[2];
    double open[4][RN_LANES];
    read_faces(&faces[0], jacobian, 0, t);
    for (int i = 0; i < n; i++) {
        const face_row *low = &faces[i & 1];
        face_row *high = &faces[(i + 1) & 1];
        ask_for_faces(jacobian, i + ROWS_AHEAD);
        ask_for(r + (i + ROWS_AHEAD) * stride);
        read_faces(high, jacobian, i + 1, t);
        if (!sweep->from && i >= 2 && i < n - 2) {
            eliminate(rows + i, rows + i - 1, rows + i - 2, r + i * stride, low, high, g, c3, NULL, 0.0, true);
        } else {
            find_open(open, sweep, i - 1);
            eliminate(rows + i, rows + i - 1, rows + i - 2, r + i * stride, low, high, g, c3, open, sweep->straight,
                      false);
        }
    }
    return rows;
}

/* z of a row becomes v, from the two rows after it, which move on. */
INLINE void substitute(forward_row *restrict row, double *restrict next, double *restrict after)
{
    EACH(int l = 0; l < RN_LANES; l++)
    {
        double v = row->z[l] - row->alpha[l] * next[l] - row->beta[l] * after[l];
        after[l] = next[l];
        next[l] = v;
        row->z[l] = v;
    }
}

/* q = factor (q + tau lin_f) of one row of faces; v in the rows' z. */
INLINE void add_linear(double *restrict q, double factor, const forward_row *restrict rows, const rn_sweep *sweep,
                       const rn_jacobian *jacobian, int f)
{
    const long at = f * jacobian->stride;
    const rn_slope *restrict M = jacobian->mobility + at, *restrict left = jacobian->left + at,
                             *restrict right = jacobian->right + at;
    const double g = sweep->capillary, c3 = sweep->gravity + 3.0 * g, tau = sweep->tau;
    const double *restrict vl = rows[f - 1].z, *restrict vr = rows[f].z;
    if (!sweep->from && f >= 2 && f <= sweep->length - 2) {
        const double *restrict far_left = rows[f - 2].z, *restrict far_right = rows[f + 1].z;
        EACH(int l = 0; l < RN_LANES; l++)
        {
            double linear = (double)M[l] * (g * (far_right[l] - far_left[l]) - c3 * (vr[l] - vl[l])) +
                            ((double)left[l] * vl[l] + (double)right[l] * vr[l]);
            q[l] = factor * (q[l] + tau * linear);
        }
        return;
    }
    double open[4][RN_LANES];
    find_open(open, sweep, f - 1);
    const double *restrict far_left = f >= 2 ? rows[f - 2].z : vl;
    const double *restrict far_right = f < sweep->length ? rows[f + 1].z : vr;
    for (int l = 0; l < RN_LANES; l++) {
        double beyond = sweep->straight * (vr[l] - vl[l]);
        double fl = open[0][l] > 0.0 ? far_left[l] : vl[l] - beyond;
        double fr = open[2][l] > 0.0 ? far_right[l] : vr[l] + beyond;
        double linear = (double)M[l] * (g * (fr - fl) - c3 * (vr[l] - vl[l])) +
                        ((double)left[l] * vl[l] + (double)right[l] * vr[l]);
        q[l] = factor * (q[l] + tau * linear);
    }
}

/* The row after the last is read by add_linear, with nothing to say. */
INLINE void end_rows(forward_row *rows, int n)
{
    memset(rows + n, 0, 2 * sizeof *rows);
}

static void sweep_across(double *v, const rn_sweep *sweep, const rn_jacobian *jacobian, long stride, double *work)
{
    forward_row *rows = eliminate_all(work, sweep, jacobian, v, stride);
    double next[RN_LANES] = {0}, after[RN_LANES] = {0};
    for (int i = sweep->length - 1; i >= 0; i--) {
        substitute(rows + i, next, after);
        memcpy(v + i * stride, next, sizeof next);
    }
}

static void sweep_and_predict(double *k, double *h1, double *q, const double *h, double dt, const rn_sweep *sweep,
                              const rn_jacobian *jacobian, const double *w, long stride, double *work)
{
    const int n = sweep->length;
    forward_row *rows = eliminate_all(work, sweep, jacobian, w, stride);
    double next[RN_LANES] = {0}, after[RN_LANES] = {0};
    end_rows(rows, n);
    for (int i = n - 1; i >= 0; i--) {
        const long at = i * stride;
        ask_for(h + at - ROWS_AHEAD * stride);
        substitute(rows + i, next, after);
        EACH(int l = 0; l < RN_LANES; l++)
        {
            k[at + l] = next[l];
            h1[at + l] = h[at + l] + dt * next[l];
        }
    }
    for (int f = 0; f <= n; f++) {
        ask_for(q + (f + ROWS_AHEAD) * stride);
        add_linear(q + f * stride, 1.0, rows, sweep, jacobian, f);
    }
}

static void sweep_and_judge(double *q, rn_misfit *sums, const double *k, const double *h, const rn_sweep *sweep,
                            const rn_jacobian *jacobian, const double *w, long stride, double *work)
{
    const int n = sweep->length;
    forward_row *rows = eliminate_all(work, sweep, jacobian, w, stride);
    double next[RN_LANES] = {0}, after[RN_LANES] = {0}, squares[RN_LANES] = {0}, fourths[RN_LANES] = {0};
    end_rows(rows, n);
    for (int i = n - 1; i >= 0; i--) {
        const long at = i * stride;
        ask_for(h + at - ROWS_AHEAD * stride);
        ask_for(k + at - ROWS_AHEAD * stride);
        substitute(rows + i, next, after);
        EACH(int l = 0; l < RN_LANES; l++)
        {
            double change = k[at + l] + next[l], in_film = change / (1e-3 + h[at + l]);
            double at_front = change / (1e-4 + h[at + l]), square = at_front * at_front;
            squares[l] += in_film * in_film;
            fourths[l] += square * square;
        }
    }
    for (int f = 0; f <= n; f++) {
        ask_for(q + (f + ROWS_AHEAD) * stride);
        add_linear(q + f * stride, 0.5, rows, sweep, jacobian, f);
    }
    memcpy(sums->squares, squares, sizeof squares);
    memcpy(sums->fourths, fourths, sizeof fourths);
}

typedef double quad __attribute__((vector_size(32), aligned(8), may_alias));
typedef int64_t quad_index __attribute__((vector_size(32)));

/* A 4 x 4 block: rows at from + k*from_stride become columns at to + k*to_stride. */
INLINE void turn_block(double *to, long to_stride, const double *from, long from_stride)
{
    quad a = *(const quad *)from, b = *(const quad *)(from + from_stride);
    quad c = *(const quad *)(from + 2 * from_stride), d = *(const quad *)(from + 3 * from_stride);
    quad ab_even = __builtin_shuffle(a, b, (quad_index){0, 4, 2, 6});
    quad ab_odd = __builtin_shuffle(a, b, (quad_index){1, 5, 3, 7});
    quad cd_even = __builtin_shuffle(c, d, (quad_index){0, 4, 2, 6});
    quad cd_odd = __builtin_shuffle(c, d, (quad_index){1, 5, 3, 7});
    *(quad *)to = __builtin_shuffle(ab_even, cd_even, (quad_index){0, 1, 4, 5});
    *(quad *)(to + to_stride) = __builtin_shuffle(ab_odd, cd_odd, (quad_index){0, 1, 4, 5});
    *(quad *)(to + 2 * to_stride) = __builtin_shuffle(ab_even, cd_even, (quad_index){2, 3, 6, 7});
    *(quad *)(to + 3 * to_stride) = __builtin_shuffle(ab_odd, cd_odd, (quad_index){2, 3, 6, 7});
}

typedef float quad_slope __attribute__((vector_size(16), aligned(4), may_alias));
typedef int32_t quad_slope_index __attribute__((vector_size(16)));

INLINE void turn_slope_block(rn_slope *to, long to_stride, const rn_slope *from, long from_stride)
{
    quad_slope a = *(const quad_slope *)from, b = *(const quad_slope *)(from + from_stride);
    quad_slope c = *(const quad_slope *)(from + 2 * from_stride), d = *(const quad_slope *)(from + 3 * from_stride);
    quad_slope ab_low = __builtin_shuffle(a, b, (quad_slope_index){0, 4, 1, 5});
    quad_slope ab_high = __builtin_shuffle(a, b, (quad_slope_index){2, 6, 3, 7});
    quad_slope cd_low = __builtin_shuffle(c, d, (quad_slope_index){0, 4, 1, 5});
    quad_slope cd_high = __builtin_shuffle(c, d, (quad_slope_index){2, 6, 3, 7});
    *(quad_slope *)to = __builtin_shuffle(ab_low, cd_low, (quad_slope_index){0, 1, 4, 5});
    *(quad_slope *)(to + to_stride) = __builtin_shuffle(ab_low, cd_low, (quad_slope_index){2, 3, 6, 7});
    *(quad_slope *)(to + 2 * to_stride) = __builtin_shuffle(ab_high, cd_high, (quad_slope_index){0, 1, 4, 5});
    *(quad_slope *)(to + 3 * to_stride) = __builtin_shuffle(ab_high, cd_high, (quad_slope_index){2, 3, 6, 7});
}

/* Rows are padded, so that whole blocks may be read past their ends. */
static void turn_slopes(rn_slope *columns, const rn_slope *lines, long stride, int n)
{
    for (int lane = 0; lane < RN_LANES; lane += 4)
        for (int i = 0; i < n; i += 4)
            turn_slope_block(columns + (long)i * RN_LANES + lane, RN_LANES, lines + lane * stride + i, stride);
}

static void lines_to_columns(double *columns, const double *lines, long stride, int n)
{
    for (int lane = 0; lane < RN_LANES; lane += 4)
        for (int i = 0; i < n; i += 4)
            turn_block(columns + (long)i * RN_LANES + lane, RN_LANES, lines + lane * stride + i, stride);
}

static void columns_to_lines(double *lines, const double *columns, long column_stride, long stride, int n)
{
    int whole = n / 4 * 4;
    for (int lane = 0; lane < RN_LANES; lane += 4)
        for (int i = 0; i < whole; i += 4)
            turn_block(lines + lane * stride + i, stride, columns + i * column_stride + lane, column_stride);
    for (int lane = 0; lane < RN_LANES; lane++)
        for (int i = whole; i < n; i++)
            lines[lane * stride + i] = columns[i * column_stride + lane];
}

static void sweep_along(double *out, double *q, double factor, const rn_sweep *sweep, const rn_jacobian *jacobian,
                        const double *r, long stride, double *work)
{
    const int n = sweep->length;
    double *columns = work, *rest = columns + (long)RN_LANES * (n + 8);
    lines_to_columns(columns, r, stride, n);
    forward_row *rows = eliminate_all(rest, sweep, jacobian, columns, RN_LANES);
    double next[RN_LANES] = {0}, after[RN_LANES] = {0};
    end_rows(rows, n);
    for (int i = n - 1; i >= 0; i--)
        substitute(rows + i, next, after);
    columns_to_lines(out, rows->z, sizeof *rows / sizeof(double), stride, n);
    if (!q)
        return;
    lines_to_columns(columns, q, stride, n + 1);
    for (int f = 0; f <= n; f++)
        add_linear(columns + (long)f * RN_LANES, factor, rows, sweep, jacobian, f);
    columns_to_lines(q, columns, RN_LANES, stride, n + 1);
}

static int advance(double *restrict h1, const double *restrict h, const double *restrict q,
                   const double *restrict below, const double *restrict above, double dt_per_dx, double dt_per_dy,
                   const double *restrict source, double dt, int n)
{
    double negative = 0.0;
    EACH(int i = 0; i < n; i++)
    {
        double v = h[i] - (q[i + 1] - q[i]) * dt_per_dx - (above[i] - below[i]) * dt_per_dy + source[i] * dt;
        v = fabs(v) < RN_NOTHING ? 0.0 : v;
        h1[i] = v;
        negative = lesser(negative, v);
    }
    if (negative >= 0.0)
        return 0;
    int count = 0;
    for (int i = 0; i < n; i++)
        count += h1[i] < 0.0;
    return count;
}

extern const rn_kernels PASTE(rn_kernels_, RN_KERNEL_SUFFIX);
const rn_kernels PASTE(rn_kernels_, RN_KERNEL_SUFFIX) = {
    .name = TEXT(RN_KERNEL_SUFFIX),
    .pressure = pressure,
    .flux = flux,
    .flux_local = flux_local,
    .drive = drive,
    .flux_yield = flux_yield,
    .flux_columns = PASTE(rn_flux_columns_, RN_KERNEL_SUFFIX),
    .divergence = divergence,
    .sum = sum,
    .add = add,
    .turn_slopes = turn_slopes,
    .sweep_along = sweep_along,
    .sweep_and_predict = sweep_and_predict,
    .sweep_and_judge = sweep_and_judge,
    .sweep_across = sweep_across,
    .advance = advance,
};
