/* Constants of nature and of the calendar that more than one room needs. */
#ifndef RN_BASE_PHYSICAL_H
#define RN_BASE_PHYSICAL_H

#define RN_PI 3.14159265358979323846
#define RN_GRAVITY 9.80665 /* standard gravity, exact by convention [m/s2] */

#endif
