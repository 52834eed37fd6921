/* The flux of layered columns.

   Legend: h depth, z height, G drive, y = G (h - z) the stress, which is linear in depth; K n tau_y a level's law,
   m = 1/n, t = max(0, y - tau_y), rate = (t/K)^m.

     q = int_0^h (h - z) rate dz = S/G^2,   S = int_0^(G h) y rate dy

   Within a level int y rate dy = F(y) = (t/K)^m t (t/(m+2) + tau_y/(m+1)). Summed over the levels, every boundary
   between two of them counts F of the law above less F of the law below, the panel F of the lowest law, the face nothing:
   only where laws change is there anything to be worked out. With y_k the stress at boundary k and

     T = sum +- y_k^2 rate(y_k):   dq/dh = T/(G^2 h),   dq/dG = (T - 2 S)/G^3. */
#include "film/kernel_loops.h"

/* Faces that are worked on together: one test for all of them whether laws change. */
#define GROUP RN_LANES

typedef struct group {
    double depth[GROUP], drive[GROUP]; /* G */
    double S[GROUP], T[GROUP];
    double per_drive[GROUP], along[GROUP], per_drag[GROUP], dry[GROUP], floor[GROUP], uneven[GROUP];
    double share[GROUP]; /* of the depth, above the boundary at hand */
    int law[GROUP], below[GROUP];
} group;

INLINE void find_drives(group *restrict g, const rn_face_rule *rule, const rn_face_cells *h,
                        const rn_face_columns *columns, const double *restrict own, const double *restrict a,
                        const double *restrict b, double weight, int first, int n)
{
    const double *restrict fl = h->far_left + first, *restrict l = h->left + first, *restrict r = h->right + first,
                           *restrict fr = h->far_right + first;
    const double *restrict floor_left = columns->floor_left + first, *restrict floor_right =
                                                                         columns->floor_right + first;
    const double per_wet = rule->per_wet, front_drag = rule->front_drag;
    own += first;
    a += first;
    b += first;
    EACH(int i = 0; i < n; i++)
    {
        double Gn = own[i];
        bool forward = Gn > 0.0;
        double hfl = greater(fl[i], 0.0), hl = greater(l[i], 0.0), hr = greater(r[i], 0.0), hfr = greater(fr[i], 0.0);
        double up = forward ? hl : hr, down = forward ? hr : hl;
        double behind = forward ? hfl : hfr, beyond = forward ? hfr : hfl;
        double dry = greater(0.0, 1.0 - down * per_wet);
        double Gt = weight * ((a[i] + a[i + 1]) + (b[i] + b[i + 1])) * (1.0 - dry);
        double G2 = Gn * Gn + Gt * Gt + 1e-20; /* no division by 0 on a level film */
        double per_G = 1.0 / sqrt(G2);
        g->depth[i] = face_depth(behind, up, down);
        g->drive[i] = G2 * per_G;
        g->per_drive[i] = per_G;
        g->along[i] = Gn * per_G;
        g->per_drag[i] = 1.0 / (1.0 + front_drag * greater(0.0, 1.0 - beyond * per_wet));
        g->dry[i] = dry;
        g->floor[i] = forward ? floor_left[i] : floor_right[i];
        g->uneven[i] = unevenness(hfl, hl, hr, hfr);
    }
}

/* The laws of one level in the columns that give, and how much of the depth lies above its foot; whether any law differs
   from the one below. */
INLINE int find_laws(group *restrict g, const rn_face_columns *columns, const double *restrict own, int level,
                     int first, int n)
{
    const unsigned char *restrict left = columns->left + level * columns->plane + first;
    const unsigned char *restrict right = columns->right + level * columns->plane + first;
    const uint16_t *restrict foot_left = columns->foot_left + level * columns->plane + first;
    const uint16_t *restrict foot_right = columns->foot_right + level * columns->plane + first;
    own += first;
    int changes = 0;
    for (int i = 0; i < n; i++) {
        g->below[i] = g->law[i];
        g->law[i] = own[i] > 0.0 ? left[i] : right[i];
        g->share[i] = 1.0 - (own[i] > 0.0 ? foot_left[i] : foot_right[i]) * (1.0 / RN_COLUMN_DEPTH);
        changes |= g->law[i] ^ g->below[i];
    }
    return changes;
}

/* F and y^2 rate of the given laws at the boundary's stress. */
INLINE void find_terms(double *restrict F, double *restrict W, const group *restrict g, const int *restrict law,
                       const rn_law_table *laws, int n, const bool straight)
{
    double yield[GROUP], factor[GROUP], log2_K[GROUP], per_m1[GROUP], per_m2[GROUP];
    const double *restrict factors = straight ? laws->per_consistency : laws->per_power;
    for (int i = 0; i < n; i++) {
        yield[i] = laws->yield[law[i]];
        factor[i] = factors[law[i]];
        log2_K[i] = laws->log2_consistency[law[i]];
        per_m1[i] = laws->per_m1[law[i]];
        per_m2[i] = laws->per_m2[law[i]];
    }
    EACH(int i = 0; i < n; i++)
    {
        double y = g->drive[i] * g->depth[i] * g->share[i], t = greater(y - yield[i], 0.0);
        double rate = straight ? t * factor[i] : exp2_series(factor[i] * (log2_series(greater(t, 1e-30)) - log2_K[i]));
        rate = t > 0.0 ? rate : 0.0;
        F[i] = rate * t * (t * per_m2[i] + yield[i] * per_m1[i]);
        W[i] = y * y * rate;
    }
}

/* Adds what a boundary between levels counts; exactly 0 where both sides follow the same law, so that it does not
   matter which faces share a group. */
INLINE void add_boundary(group *restrict g, const rn_law_table *laws, int n, const bool straight)
{
    double F[GROUP], W[GROUP], F_below[GROUP], W_below[GROUP];
    find_terms(F, W, g, g->law, laws, n, straight);
    find_terms(F_below, W_below, g, g->below, laws, n, straight);
    EACH(int i = 0; i < n; i++)
    {
        g->S[i] += F[i] - F_below[i];
        g->T[i] += W[i] - W_below[i];
    }
}

INLINE void give_fluxes(const rn_face_flux *out, const group *restrict g, const double *restrict own,
                        double front_damping, int first, int n, const bool linearise)
{
    double *restrict q = out->q + first;
    EACH(int i = 0; i < n; i++)
    q[i] = g->S[i] * g->per_drive[i] * g->per_drive[i] * g->per_drag[i] * g->along[i];
    if (!linearise)
        return;
    rn_slope *restrict mobility = out->mobility + first, *restrict left = out->left + first,
                       *restrict right = out->right + first;
    own += first;
    EACH(int i = 0; i < n; i++)
    {
        double depth = g->depth[i], along = g->along[i], per_G = g->per_drive[i];
        double per_G2 = per_G * per_G * g->per_drag[i];
        double secant = g->S[i] * per_G2 * per_G, tangent = (g->T[i] - 2.0 * g->S[i]) * per_G2 * per_G;
        double M = secant + (tangent - secant) * (along * along);
        /* The floor lives in the Jacobian only, as for one liquid; toward dry ground there is none where nothing
           flows. */
        double stuck = g->dry[i] > 0.999 && g->S[i] <= 0.0 ? 1.0 : 0.0;
        M = greater(M, (1.0 - stuck) * g->floor[i] * g->per_drag[i] * (depth * depth * depth));
        M *= own[i] == 0.0 ? 0.0 : 1.0;
        double slope = g->T[i] * per_G2 / greater(depth, LEAST_DEPTH) * along;
        double damping = front_damping * M * g->uneven[i];
        mobility[i] = (rn_slope)M;
        left[i] = (rn_slope)(greater(slope, 0.0) + damping);
        right[i] = (rn_slope)(lesser(slope, 0.0) - damping);
    }
}

INLINE void columns_group(const rn_face_flux *out, const rn_face_rule *rule, const rn_face_cells *h,
                          const rn_face_columns *columns, const double *drive, const double *across_a,
                          const double *across_b, double weight, int first, int n, const bool straight)
{
    group g;
    find_drives(&g, rule, h, columns, drive, across_a, across_b, weight, first, n);
    find_laws(&g, columns, drive, 0, first, n);
    find_terms(g.S, g.T, &g, g.law, columns->laws, n, straight);
    for (int level = 1; level < columns->levels; level++)
        if (find_laws(&g, columns, drive, level, first, n))
            add_boundary(&g, columns->laws, n, straight);
    give_fluxes(out, &g, drive, rule->front_damping, first, n, out->mobility != NULL);
}

void PASTE(rn_flux_columns_, RN_KERNEL_SUFFIX)(const rn_face_flux *out, const rn_face_rule *rule,
                                               const rn_face_cells *h, const rn_face_columns *columns,
                                               const double *drive, const double *across_a, const double *across_b,
                                               double weight, int n)
{
    for (int first = 0; first < n; first += GROUP) {
        int part = n - first < GROUP ? n - first : GROUP;
        if (columns->laws->straight)
            columns_group(out, rule, h, columns, drive, across_a, across_b, weight, first, part, true);
        else
            columns_group(out, rule, h, columns, drive, across_a, across_b, weight, first, part, false);
    }
}
