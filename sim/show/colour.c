#include "show/colour.h"

#include <math.h>

#define RAMP_STOPS 9

static const uint8_t ramp[RAMP_STOPS][3] = {
    {0x19, 0x29, 0x58}, {0x35, 0x3D, 0x6E}, {0x55, 0x53, 0x74}, {0x71, 0x6B, 0x7A}, {0x8D, 0x83, 0x80},
    {0xA8, 0x9C, 0x85}, {0xC3, 0xB7, 0x8A}, {0xDE, 0xD1, 0x92}, {0xF7, 0xEC, 0xB1},
};

static const double white[3] = {0.95047, 1.0, 1.08883}; /* D65, 2 degree observer */

double rn_srgb_encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

double rn_srgb_decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

/* CIE's cube root with its straight piece near black, and the inverse. */
static double lab_curve(double t)
{
    const double d = 6.0 / 29.0;
    return t > d * d * d ? cbrt(t) : t / (3.0 * d * d) + 4.0 / 29.0;
}

static double lab_curve_inverse(double f)
{
    const double d = 6.0 / 29.0;
    return f > d ? f * f * f : 3.0 * d * d * (f - 4.0 / 29.0);
}

void rn_lab_from_srgb(double lab[3], const uint8_t rgb[3])
{
    const double r = rn_srgb_decode(rgb[0] / 255.0), g = rn_srgb_decode(rgb[1] / 255.0),
                 b = rn_srgb_decode(rgb[2] / 255.0);
    const double fx = lab_curve((0.4124 * r + 0.3576 * g + 0.1805 * b) / white[0]);
    const double fy = lab_curve((0.2126 * r + 0.7152 * g + 0.0722 * b) / white[1]);
    const double fz = lab_curve((0.0193 * r + 0.1192 * g + 0.9505 * b) / white[2]);
    lab[0] = 116.0 * fy - 16.0;
    lab[1] = 500.0 * (fx - fy);
    lab[2] = 200.0 * (fy - fz);
}

static uint8_t byte_of(double linear)
{
    double encoded = rn_srgb_encode(fmin(fmax(linear, 0.0), 1.0));
    return (uint8_t)lround(255.0 * encoded);
}

void rn_srgb_from_lab(uint8_t rgb[3], const double lab[3])
{
    const double fy = (lab[0] + 16.0) / 116.0;
    const double x = white[0] * lab_curve_inverse(fy + lab[1] / 500.0);
    const double y = white[1] * lab_curve_inverse(fy);
    const double z = white[2] * lab_curve_inverse(fy - lab[2] / 200.0);
    rgb[0] = byte_of(3.2406 * x - 1.5372 * y - 0.4986 * z);
    rgb[1] = byte_of(-0.9689 * x + 1.8758 * y + 0.0415 * z);
    rgb[2] = byte_of(0.0557 * x - 0.2040 * y + 1.0570 * z);
}

void rn_ramp_depth(uint8_t rgb[3], double u)
{
    const double at = fmin(fmax(u, 0.0), 1.0) * (RAMP_STOPS - 1);
    const int stop = at < RAMP_STOPS - 1 ? (int)at : RAMP_STOPS - 2;
    const double part = at - stop;
    double from[3], to[3], mixed[3];
    rn_lab_from_srgb(from, ramp[stop]);
    rn_lab_from_srgb(to, ramp[stop + 1]);
    for (int i = 0; i < 3; i++)
        mixed[i] = from[i] + part * (to[i] - from[i]);
    rn_srgb_from_lab(rgb, mixed);
}
