#include "matter/drying.h"

#include <math.h>

#define ATMOSPHERE 101325.0   /* standard atmosphere, exact by convention [Pa] */
#define GAS_DRY_AIR 287.055   /* specific gas constant of dry air [J/(kg K)] */
#define MOLAR_MASSES 0.621945 /* of water over dry air [-] */
#define ZERO_DEGC 273.15      /* [K] */
#define WATER_DENSITY 998.0   /* at 20 degC [kg/m3] */
#define HOUR 3600.0           /* [s] */

/* IAPWS-IF97, region 4: theta = T + n9/(T - n10), and p from a quadratic in theta and p^(1/4); p in MPa, T in K. */
double rn_drying_saturation(double temperature_degc)
{
    const double n[] = {0,
                        0.11670521452767e4,
                        -0.72421316703206e6,
                        -0.17073846940092e2,
                        0.12020824702470e5,
                        -0.32325550322333e7,
                        0.14915108613530e2,
                        -0.48232657361591e4,
                        0.40511340542057e6,
                        -0.23855557567849,
                        0.65017534844798e3};
    double kelvin = temperature_degc + ZERO_DEGC;
    double theta = kelvin + n[9] / (kelvin - n[10]);
    double a = theta * theta + n[1] * theta + n[2];
    double b = n[3] * theta * theta + n[4] * theta + n[5];
    double c = n[6] * theta * theta + n[7] * theta + n[8];
    double root = 2 * c / (-b + sqrt(b * b - 4 * a * c));
    return root * root * root * root * 1e6;
}

double rn_drying_latent_heat(double temperature_degc)
{
    return 2500.9e3 - 2.37e3 * temperature_degc;
}

double rn_drying_rate_ashrae(double temperature_degc, double humidity, double draught)
{
    double deficit = rn_drying_saturation(temperature_degc) * (1 - humidity);
    return (0.089 + 0.0782 * draught) * deficit / rn_drying_latent_heat(temperature_degc);
}

typedef struct moist_air {
    double density;  /* dry air in a volume of moist air [kg/m3] */
    double humidity; /* water over dry air, by mass [-] */
} moist_air;

static moist_air moist_air_at(double temperature_degc, double vapour_pressure)
{
    double dry_pressure = ATMOSPHERE - vapour_pressure;
    return (moist_air){.density = dry_pressure / (GAS_DRY_AIR * (temperature_degc + ZERO_DEGC)),
                       .humidity = MOLAR_MASSES * vapour_pressure / dry_pressure};
}

double rn_drying_rate_shah(double temperature_degc, double humidity)
{
    double saturation = rn_drying_saturation(temperature_degc);
    moist_air surface = moist_air_at(temperature_degc, saturation);
    moist_air room = moist_air_at(temperature_degc, saturation * humidity);
    double natural =
        35 * surface.density * cbrt(fmax(room.density - surface.density, 0)) * (surface.humidity - room.humidity);
    double building_currents = 5e-5 * saturation * (1 - humidity); /* air indoors is never quite still */
    return fmax(natural, building_currents) / HOUR;
}

void rn_drying_wet_band(double *least, double *most, double film_depth, double solids)
{
    double water = WATER_DENSITY * (1 - solids) * film_depth; /* [kg/m2] */
    double faster = rn_drying_rate_ashrae(RN_DRYING_ROOM_DEGC, RN_DRYING_ROOM_HUMIDITY, 0);
    double slower = rn_drying_rate_shah(RN_DRYING_ROOM_DEGC, RN_DRYING_ROOM_HUMIDITY);
    *least = water / faster;
    *most = water / slower;
}
