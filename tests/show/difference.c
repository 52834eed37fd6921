#include "difference.h"

#include <math.h>

#include "base/physical.h"

static double degrees(double radians)
{
    return radians * 180.0 / RN_PI;
}

static double cosine(double angle_deg)
{
    return cos(angle_deg * RN_PI / 180.0);
}

static double hue_deg(double a, double b)
{
    if (a == 0.0 && b == 0.0)
        return 0.0;
    const double h = degrees(atan2(b, a));
    return h < 0.0 ? h + 360.0 : h;
}

static double seventh(double c)
{
    const double c7 = pow(c, 7.0);
    return sqrt(c7 / (c7 + pow(25.0, 7.0)));
}

/* Equations 2-22 of Sharma, Wu, Dalal 2005 with kL = kC = kH = 1. */
double difference_2000(const double lab1[3], const double lab2[3])
{
    const double mean_c = 0.5 * (hypot(lab1[1], lab1[2]) + hypot(lab2[1], lab2[2]));
    const double g = 0.5 * (1.0 - seventh(mean_c));
    const double a1 = (1.0 + g) * lab1[1], a2 = (1.0 + g) * lab2[1];
    const double c1 = hypot(a1, lab1[2]), c2 = hypot(a2, lab2[2]);
    const double h1 = hue_deg(a1, lab1[2]), h2 = hue_deg(a2, lab2[2]);
    const double dl = lab2[0] - lab1[0], dc = c2 - c1;
    double dh = h2 - h1, h = h1 + h2;
    const int grey = c1 * c2 == 0.0, far = fabs(dh) > 180.0;
    if (grey)
        dh = 0.0;
    else if (far)
        dh += dh > 0.0 ? -360.0 : 360.0;
    if (!grey)
        h = 0.5 * (!far ? h : h < 360.0 ? h + 360.0 : h - 360.0);
    const double big_h = 2.0 * sqrt(c1 * c2) * sin(0.5 * dh * RN_PI / 180.0);
    const double l = 0.5 * (lab1[0] + lab2[0]) - 50.0, c = 0.5 * (c1 + c2);
    const double t = 1.0 - 0.17 * cosine(h - 30.0) + 0.24 * cosine(2.0 * h) + 0.32 * cosine(3.0 * h + 6.0) -
                     0.20 * cosine(4.0 * h - 63.0);
    const double turn = 30.0 * exp(-pow((h - 275.0) / 25.0, 2.0));
    const double sl = 1.0 + 0.015 * l * l / sqrt(20.0 + l * l), sc = 1.0 + 0.045 * c, sh = 1.0 + 0.015 * c * t;
    const double rt = -sin(2.0 * turn * RN_PI / 180.0) * 2.0 * seventh(c);
    return sqrt(pow(dl / sl, 2.0) + pow(dc / sc, 2.0) + pow(big_h / sh, 2.0) + rt * (dc / sc) * (big_h / sh));
}
