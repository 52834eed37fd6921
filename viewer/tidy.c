#include "tidy.h"

#include <math.h>
#include <stdio.h>

#include "base/physical.h"
#include "plan/plan.h"

#define NOISE 1e-8         /* of the last decimal that is kept */
#define SAME_BEARING 1e-12 /* closer is written as the side's word [rad] */

/* The unit a plan file writes; NULL for plain numbers. */
static const rn_unit *own_unit(rn_dimension dimension)
{
    int count;
    const rn_unit *units = rn_units_table(&count);
    for (int k = 0; k < count; k++)
        if (units[k].dimension == dimension)
            return &units[k];
    return NULL;
}

/* What a file would hold, read back. */
static double through_text(double value, rn_dimension dimension, const char *format, int places)
{
    if (!isfinite(value))
        return value;
    const rn_unit *unit = own_unit(dimension);
    char number[64], text[96];
    double read = value;
    rn_error err = {0};
    snprintf(number, sizeof number, format, places, unit ? value / unit->factor : value);
    snprintf(text, sizeof text, "%s%s%s", number, unit ? " " : "", unit ? unit->name : "");
    return rn_units_read(&read, NULL, text, dimension, 0, &err) == RN_OK ? read + 0.0 : value; /* no zero with a sign */
}

double tidy(double value, rn_dimension dimension, int decimals)
{
    return through_text(value, dimension, "%.*f", decimals);
}

double tidy_digits(double value, rn_dimension dimension, int digits)
{
    return through_text(value, dimension, "%.*g", digits);
}

double tidy_within(double value, double least, double most, rn_dimension dimension, int decimals)
{
    const rn_unit *unit = own_unit(dimension);
    const double step = (unit ? unit->factor : 1) * pow(10, -decimals);
    value = fmax(fmin(value, most), least);
    least -= NOISE * step; /* so that what is left of 30 s after 20.1 s takes 9.9 s */
    most += NOISE * step;
    double round = tidy(value, dimension, decimals);
    if (round > most)
        round = tidy(value - step, dimension, decimals);
    if (round < least)
        round = tidy(value + step, dimension, decimals);
    return round >= least && round <= most ? round : value;
}

double tidy_bearing(double bearing, double degrees, const rn_panel *panel)
{
    double steps = round(bearing * 180 / RN_PI / degrees), turns = round(360 / degrees);
    steps -= turns * floor(steps / turns);
    const double tidied = tidy(steps * degrees * RN_DEGREE, RN_DIM_ANGLE, 1);
    for (int y = -1; y <= 1; y++)
        for (int x = -1; x <= 1; x++)
            if ((x || y) && fabs(rn_place_bearing(panel, x, y) - tidied) < SAME_BEARING)
                return rn_place_bearing(panel, x, y);
    return tidied;
}
