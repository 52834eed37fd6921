/* Legend: K n tau_y the law, h depth, G drive, y yielded depth, e = 1/n, c = n/((n+1)(2n+1)). */
#include "film/mobility.h"

#include <math.h>

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
    /* mu_J = n K^(1/n) tau_y^(1-1/n): the tangent viscosity at twice the yield stress, in scale */
    double floor_viscosity = tau_y > 0 ? n * pow(K, 1 / n) * pow(tau_y, 1 - 1 / n) : K;
    rule->floor_fluidity = 1 / (3 * floor_viscosity);
}
