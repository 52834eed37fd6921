/* How fast a wet film gives its water to the air: two published rates of open water, which differ by a
   factor of two and so make a band. Paint that skins is slower than either. */
#ifndef RN_MATTER_DRYING_H
#define RN_MATTER_DRYING_H

/* The room in which a forecast's wet time is told. */
#define RN_DRYING_ROOM_DEGC 20.0
#define RN_DRYING_ROOM_HUMIDITY 0.5

/* Saturation pressure of water vapour [Pa], 0 to 373 degC [iapws1997]. */
double rn_drying_saturation(double temperature_degc);

/* Heat that evaporates a mass of water [J/kg]: a line through the steam tables, within 0.2 kJ/kg from 0 to
   40 degC [iapws1997]. */
double rn_drying_latent_heat(double temperature_degc);

/* Water given off by an open surface as warm as the air [kg/(m2 s)]; humidity is relative, 0..1;
   draught: speed of the air over it [m/s] [ashrae]. */
double rn_drying_rate_ashrae(double temperature_degc, double humidity, double draught);

/* The same in still indoor air, driven by the lightness of moist air, at 1 atm [shah2014]. */
double rn_drying_rate_shah(double temperature_degc, double humidity);

/* How long a film of that depth [m] and share of solids by volume gives off its water in the room above, in
   still air [s]: by the faster and by the slower rate. */
void rn_drying_wet_band(double *least, double *most, double film_depth, double solids);

#endif
