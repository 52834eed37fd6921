#include "film/profile.h"

#include <math.h>

double rn_profile_speed(double power, double sigma)
{
    const double m = 1 / power;
    return (m + 2) / (m + 1) * (1 - pow(1 - sigma, m + 1));
}

double rn_profile_below(double power, double sigma)
{
    const double m = 1 / power;
    return (m + 2) / (m + 1) * (sigma - (1 - pow(1 - sigma, m + 2)) / (m + 2));
}

double rn_profile_plug_speed(double power, double yielded, double sigma)
{
    const double m = 1 / power, mean = 1 - yielded / (m + 2);
    return sigma >= yielded ? 1 / mean : (1 - pow(1 - sigma / yielded, m + 1)) / mean;
}

double rn_profile_plug_below(double power, double yielded, double sigma)
{
    const double m = 1 / power, mean = 1 - yielded / (m + 2);
    if (sigma >= yielded)
        return (sigma - yielded / (m + 2)) / mean;
    return (sigma - yielded / (m + 2) * (1 - pow(1 - sigma / yielded, m + 2))) / mean;
}

double rn_profile_scaled_flux(double power, double y)
{
    const double n = power, m = 1 / n;
    return n / ((n + 1) * (2 * n + 1)) * pow(1 - y, -m) * pow(y, 1 + m) * (2 * n + 1 - n * y);
}

double rn_profile_yielded(const rn_law *law, double h, double q)
{
    if (law->yield <= 0)
        return 1;
    if (!(h > 0) || !(q > 0))
        return 0;
    const double wanted = q / (h * h * pow(law->yield / law->consistency, 1 / law->power));
    double low = 0, high = 1;
    for (int k = 0; k < 24; k++) { /* rising in y; 6e-8 is finer than anyone can see */
        const double middle = 0.5 * (low + high);
        if (rn_profile_scaled_flux(law->power, middle) < wanted)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}
