/* Bursts of paint in time, and their shape on the panel. */
#include "matter/source.h"

#include <math.h>

#include "base/physical.h"

/* Share of a cup's radius over which its disc fades out. */
#define CUP_RIM 0.1

static double burst_start(const rn_source *source, int burst)
{
    return source->start + (double)burst * source->every;
}

double rn_source_released(const rn_source *source, double t)
{
    double released = 0.0;
    for (int k = 0; k < source->bursts; k++) {
        double s = t - burst_start(source, k), part = 0.0;
        if (s >= source->open && s >= 0.0)
            part = 1.0;
        else if (s > 0.0)
            part = s / source->open - sin(2.0 * RN_PI * s / source->open) / (2.0 * RN_PI);
        released += source->share[k] * part;
    }
    return source->volume * released;
}

double rn_source_rate(const rn_source *source, double t)
{
    double rate = 0.0;
    for (int k = 0; k < source->bursts; k++) {
        double s = t - burst_start(source, k);
        if (s > 0.0 && s < source->open)
            rate += source->share[k] / source->open * (1.0 - cos(2.0 * RN_PI * s / source->open));
    }
    return source->volume * rate;
}

double rn_source_next_break(const rn_source *source, double t)
{
    double next = INFINITY;
    for (int k = 0; k < source->bursts; k++) {
        double events[2] = {burst_start(source, k), burst_start(source, k) + source->open};
        for (int e = 0; e < 2; e++)
            if (events[e] > t + RN_SAME_MOMENT && events[e] < next)
                next = events[e];
    }
    return next;
}

double rn_source_end(const rn_source *source)
{
    return burst_start(source, source->bursts - 1) + source->open;
}

double rn_source_shape(const rn_source *source, double x, double y)
{
    double from_x = x - source->x, from_y = y - source->y;
    double distance = hypot(from_x, from_y), radius = 0.5 * source->across;
    if (source->on_top) {
        double inward = (radius - distance) / (CUP_RIM * radius);
        if (inward >= 1.0)
            return 1.0;
        return inward > 0.0 ? 0.5 * (1.0 - cos(RN_PI * inward)) : 0.0;
    }
    double u = (distance - radius) / (0.5 * source->width);
    if (fabs(u) >= 1.0)
        return 0.0;
    double bearing = atan2(from_y, from_x);
    return 0.5 * (1.0 + cos(RN_PI * u)) * (1.0 + source->uneven * cos(bearing - source->uneven_toward));
}

void rn_source_coarsen(rn_source *source, double cell)
{
    if (source->on_top)
        source->across = fmax(source->across, 1.5 * cell);
    else
        source->width = fmax(source->width, fmax(0.5 * cell, 1.5 * cell - source->across));
}
