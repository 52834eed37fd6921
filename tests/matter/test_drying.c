#include "matter/drying.h"

#include "check.h"

#define HOUR 3600.0

/* Verification values of the release itself (table 35): 300 K and 500 K; 20, 23 and 25 degC computed from it
   by others [iapws1997]. The value at 500 K is from memory. */
static void saturation_pressure_is_that_of_iapws(void **state)
{
    (void)state;
    check_close(rn_drying_saturation(300 - 273.15), 3536.58941, 1e-8);
    check_close(rn_drying_saturation(500 - 273.15), 2638897.76, 1e-8);
    check_close(rn_drying_saturation(20), 2339.21, 5e-6);
    check_close(rn_drying_saturation(23), 2810.92, 5e-6);
    check_close(rn_drying_saturation(25), 3169.75, 5e-6);
}

/* An independent formula: Magnus [wmo8], good to 0.3 %. */
static void saturation_pressure_agrees_with_magnus(void **state)
{
    (void)state;
    for (double t = 0; t <= 45; t += 2.5)
        check_close(rn_drying_saturation(t), 611.2 * exp(17.62 * t / (243.12 + t)), 0.004);
}

/* Boiling water: 101325 Pa at 99.974 degC (steam tables, from memory). */
static void water_boils_at_one_atmosphere(void **state)
{
    (void)state;
    check_close(rn_drying_saturation(99.974), 101325, 2e-5);
}

/* Steam tables, h'' - h' at saturation [kJ/kg]; from memory, 20 degC as ASHRAE's example uses it. */
static void latent_heat_follows_the_steam_tables(void **state)
{
    (void)state;
    const double table[][2] = {{0.01, 2500.9}, {10, 2477.2}, {20, 2453.5}, {25, 2441.7}, {30, 2429.8}, {40, 2406.0}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        check_within(rn_drying_latent_heat(table[i][0]) * 1e-3, table[i][1], 0.2);
}

/* ASHRAE's formula worked by hand at 20 degC, Y = 2453.5 kJ/kg [ashrae]: formula from memory, in accord with
   the inch-pound form 95 + 0.425 V of the same handbook. */
static void ashrae_rates_are_those_worked_by_hand(void **state)
{
    (void)state;
    check_close(rn_drying_rate_ashrae(20, 0.3, 0) * HOUR, 0.21383, 3e-5);
    check_close(rn_drying_rate_ashrae(20, 0.5, 0) * HOUR, 0.15274, 4e-5);
    check_close(rn_drying_rate_ashrae(20, 0.7, 0) * HOUR, 0.09164, 6e-5);
    check_close(rn_drying_rate_ashrae(20, 0.5, 0.1) * HOUR, 0.16616, 4e-5);
}

/* The handbook's older form, in its own units: W = (95 + 0.425 V) (p_w - p_a) / Y in lb/(h ft2), V in ft/min, p in
   inHg, Y in Btu/lb. The constants of both forms are rounded, to half a per cent or so. */
static void ashrae_rates_agree_with_the_inch_pound_form(void **state)
{
    (void)state;
    for (double draught = 0; draught <= 0.5; draught += 0.1) {
        double feet_per_minute = draught / 0.3048 * 60;
        double deficit_inhg = 2339.21 * 0.5 / 3386.389;
        double latent_btu_per_lb = 2453.5 / 2.326;
        double rate_lb = (95 + 0.425 * feet_per_minute) * deficit_inhg / latent_btu_per_lb;
        check_close(rn_drying_rate_ashrae(20, 0.5, draught) * HOUR, rate_lb * 0.45359237 / (0.3048 * 0.3048), 0.01);
    }
}

/* Shah's formula worked independently for water and air equally warm [shah2014]; the formula is from memory,
   the paper's record confirmed. */
static void shah_rates_are_those_worked_by_hand(void **state)
{
    (void)state;
    check_close(rn_drying_rate_shah(20, 0.3) * HOUR, 0.1147, 5e-4);
    check_close(rn_drying_rate_shah(20, 0.5) * HOUR, 0.0736, 7e-4);
    check_close(rn_drying_rate_shah(20, 0.7) * HOUR, 0.0374, 2e-3);
    check_close(rn_drying_rate_shah(28, 0.5) * HOUR, 0.1357, 5e-4);
}

/* Where moist air hardly rises, the currents of a building take over: 5e-5 kg/(m2 h) per Pa [shah2014]. */
static void nearly_saturated_air_still_takes_some_water(void **state)
{
    (void)state;
    check_close(rn_drying_rate_shah(20, 0.95) * HOUR, 5e-5 * 0.05 * 2339.21, 1e-5);
    check_within(rn_drying_rate_shah(20, 1), 0, 1e-18);
    check_within(rn_drying_rate_ashrae(20, 1, 1), 0, 1e-18);
}

/* 0.919 kg of water on a square metre: 6 to 12.5 hours. */
static void the_wet_band_spans_both_rates(void **state)
{
    (void)state;
    double least, most;
    double depth = 0.919 / (998 * 0.65); /* with 35 % solids */
    rn_drying_wet_band(&least, &most, depth, 0.35);
    check_close(least / HOUR, 0.919 / 0.15274, 1e-4);
    check_close(most / HOUR, 0.919 / 0.0736, 1e-3);

    double half_least, half_most;
    rn_drying_wet_band(&half_least, &half_most, depth / 2, 0.35);
    check_close(half_least, least / 2, 1e-14);
    check_close(half_most, most / 2, 1e-14);

    rn_drying_wet_band(&least, &most, 0, 0.35);
    check_within(least, 0, 0);
    check_within(most, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(saturation_pressure_is_that_of_iapws),
        cmocka_unit_test(saturation_pressure_agrees_with_magnus),
        cmocka_unit_test(water_boils_at_one_atmosphere),
        cmocka_unit_test(latent_heat_follows_the_steam_tables),
        cmocka_unit_test(ashrae_rates_are_those_worked_by_hand),
        cmocka_unit_test(ashrae_rates_agree_with_the_inch_pound_form),
        cmocka_unit_test(shah_rates_are_those_worked_by_hand),
        cmocka_unit_test(nearly_saturated_air_still_takes_some_water),
        cmocka_unit_test(the_wet_band_spans_both_rates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
