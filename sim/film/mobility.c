/* Legend: K n tau_y the law, h depth, G drive, y yielded depth, e = 1/n, c = n/((n+1)(2n+1)); columns: y the stress. */
#include "film/mobility.h"

#include <math.h>
#include <stddef.h>

int rn_law_is_newtonian(const rn_law *law)
{
    return law->power == 1.0 && law->yield == 0.0;
}

static double yielded(const rn_law *law, double h, double G)
{
    return h > 0 && G > 0 ? fmax(0.0, h - law->yield / G) : 0.0;
}

double rn_law_flux(const rn_law *law, double h, double G)
{
    double n = law->power, y = yielded(law, h, G);
    if (y <= 0)
        return 0;
    if (rn_law_is_newtonian(law))
        return h * h * h * G / (3 * law->consistency);
    return n / ((n + 1) * (2 * n + 1)) * pow(G / law->consistency, 1 / n) * pow(y, 1 + 1 / n) *
           ((2 * n + 1) * h - n * y);
}

void rn_law_flux_slopes(double *by_depth, double *by_drive, const rn_law *law, double h, double G)
{
    double n = law->power, e = 1 / n, y = yielded(law, h, G);
    *by_depth = 0;
    *by_drive = 0;
    if (y <= 0)
        return;
    double rate = pow(G * y / law->consistency, e); /* (G y/K)^(1/n), the shear rate at the bottom */
    double B = (2 * n + 1) * h - n * y, c = n / ((n + 1) * (2 * n + 1));
    *by_depth = rate * h;
    *by_drive = c * rate / G * (e * y * B + law->yield / G * ((1 + e) * B - n * y));
}

double rn_law_face_speed(const rn_law *law, double h, double G)
{
    double n = law->power, y = yielded(law, h, G);
    if (y <= 0)
        return 0;
    return n / (n + 1) * pow(G / law->consistency, 1 / n) * pow(y, 1 + 1 / n);
}

void rn_face_rule_law(rn_face_rule *rule, const rn_law *law)
{
    double K = law->consistency, n = law->power, tau_y = law->yield;
    rule->third_fluidity = 1 / (3 * K);
    rule->power = n;
    rule->per_power = 1 / n;
    rule->yield = tau_y;
    rule->log2_consistency = log2(K);
    rule->factor = n / ((n + 1) * (2 * n + 1));
    rule->per_factor = 1 / rule->factor;
    rule->floor_fluidity = rn_law_floor_fluidity(law);
}

double rn_law_floor_fluidity(const rn_law *law)
{
    double K = law->consistency, n = law->power, tau_y = law->yield;
    /* mu_J = n K^(1/n) tau_y^(1-1/n): the tangent viscosity at twice the yield stress, in scale */
    double floor_viscosity = tau_y > 0 ? n * pow(K, 1 / n) * pow(tau_y, 1 - 1 / n) : K;
    return 1 / (3 * floor_viscosity);
}

void rn_law_table_set(rn_law_table *table, int number, const rn_law *law)
{
    double m = 1 / law->power;
    table->yield[number] = law->yield;
    table->per_power[number] = m;
    table->log2_consistency[number] = log2(law->consistency);
    table->per_consistency[number] = 1 / law->consistency;
    table->per_m1[number] = 1 / (m + 1);
    table->per_m2[number] = 1 / (m + 2);
}

static const rn_law *law_at(const rn_column *column, int level)
{
    return &column->laws[column->law_of ? column->law_of[level * column->stride] : 0];
}

/* Where a level begins, as a share of the depth. */
static double foot_of(const rn_column *column, int level)
{
    return column->foot ? (double)column->foot[level * column->stride] / RN_COLUMN_DEPTH
                        : (double)level / column->levels;
}

/* Integrals over the stress, from 0: with y = G (h - z), t = max(0, y - tau_y) and m = 1/n

     int rate dy = (t/K)^m t/(m+1),   int y rate dy = (t/K)^m t (t/(m+2) + tau_y/(m+1))

   so that from the panel up to a height of stress y_z, with both taken between y_z and G h,

     u = 1/G int rate dy,   int_0^z u dz = 1/G^2 (int y rate dy - y_z int rate dy).

   Where the law changes between two levels, each side's integrals count up to there: the law above adds its own and
   takes off those of the law below. */
typedef struct stress_sums {
    double rate, moment; /* int rate dy, int y rate dy */
    double slope;        /* y^2 rate: what becomes of the moment as y grows in proportion */
} stress_sums;

static stress_sums sums_at(const rn_law *law, double y)
{
    double t = y - law->yield, m = 1 / law->power;
    if (!(t > 0))
        return (stress_sums){0};
    double rate = pow(t / law->consistency, m), area = rate * t;
    return (stress_sums){area / (m + 1), area * (t / (m + 2) + law->yield / (m + 1)), y * y * rate};
}

static void add_sums(stress_sums *to, stress_sums more, double sign)
{
    to->rate += sign * more.rate;
    to->moment += sign * more.moment;
    to->slope += sign * more.slope;
}

/* Adds what changes at the lower end of a level. */
static void pass_boundary(stress_sums *to, const rn_column *column, int level, double bottom)
{
    const rn_law *law = law_at(column, level), *under = level > 0 ? law_at(column, level - 1) : NULL;
    if (law == under)
        return;
    double y = bottom * (1 - foot_of(column, level));
    stress_sums more = sums_at(law, y);
    if (under)
        add_sums(&more, sums_at(under, y), -1);
    add_sums(to, more, 1);
}

static stress_sums whole_column(const rn_column *column, double bottom)
{
    stress_sums sums = {0};
    for (int level = 0; level < column->levels; level++)
        pass_boundary(&sums, column, level, bottom);
    return sums;
}

double rn_column_flux(const rn_column *column, double h, double G)
{
    if (column->levels == 1)
        return rn_law_flux(law_at(column, 0), h, G);
    return h > 0 && G > 0 ? whole_column(column, G * h).moment / (G * G) : 0;
}

void rn_column_flux_slopes(double *by_depth, double *by_drive, const rn_column *column, double h, double G)
{
    *by_depth = 0;
    *by_drive = 0;
    if (column->levels == 1)
        rn_law_flux_slopes(by_depth, by_drive, law_at(column, 0), h, G);
    if (column->levels == 1 || !(h > 0) || !(G > 0))
        return;
    stress_sums sums = whole_column(column, G * h);
    *by_depth = sums.slope / (G * G * h);
    *by_drive = (sums.slope - 2 * sums.moment) / (G * G * G);
}

void rn_column_profile(double *speed, double *below, const rn_column *column, double h, double G, const double *share,
                       int count)
{
    const double bottom = h > 0 && G > 0 ? G * h : 0, all = whole_column(column, bottom).moment;
    stress_sums passed = {0};
    int level = -1;
    for (int k = 0; k < count; k++) {
        if (!(all > 0)) {
            speed[k] = 1;
            if (below)
                below[k] = share[k];
            continue;
        }
        while (level < 0 || (level + 1 < column->levels && share[k] >= foot_of(column, level + 1)))
            pass_boundary(&passed, column, ++level, bottom);
        double y = bottom * (1 - share[k]);
        stress_sums here = passed;
        add_sums(&here, sums_at(law_at(column, level), y), -1);
        speed[k] = here.rate * bottom / all; /* u h/q = (rate/G) h G^2/all */
        if (below)
            below[k] = (here.moment - y * here.rate) / all;
    }
}
