/* Constants of nature and units that more than one room needs; in code, a figure times its unit is SI. */
#ifndef RN_BASE_PHYSICAL_H
#define RN_BASE_PHYSICAL_H

#define RN_PI 3.14159265358979323846
#define RN_GRAVITY 9.80665 /* standard gravity, exact by convention [m/s2] */

#define RN_DEGREE (RN_PI / 180)         /* [rad] */
#define RN_RPM (RN_PI / 30)             /* [rad/s] */
#define RN_FLUID_OUNCE 29.5735295625e-6 /* US: 1/128 gallon of 231 cubic inches, exact [nist811] [m3] */

#endif
