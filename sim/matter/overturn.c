/* k wavenumber, x = k z; z from the layer's outer side toward the face between the layers; w vertical speed there.

   In each layer (d2/dz2 - k2)^2 w = 0. On the base w = w' = 0, so that w = a (sinh x - x cosh x) + b x sinh x; at the
   top w = w'' = 0 (level, no shear), so that w = a sinh x + b x cosh x. Where the layers meet w, dw/dz and the shear
   stress mu (w'' + k2 w) are the same, and the normal stress -(mu/k2)(w''' - 3 k2 w') jumps by the weight of the ripple
   eta = w/s:  sum of mu k (3 w' - w''') over both layers, each seen from its own side, = (excess g - tension k2) / s,
   primes by x, w = 1. Each layer's stresses follow from w = 1 and the slope e of w: two linear systems of two unknowns,
   then e from the shear, then s. Everything is divided by cosh x, so that deep layers do not overflow. Deep layers give
   s = excess g / 2 k (mu1 + mu2). */
#include "matter/overturn.h"

#include <math.h>

#include "base/physical.h"

/* w and its derivatives by x at the face between the layers, of two solutions; the determinant of w and w'. */
typedef struct basis {
    double w[4][2];
    double determinant;
} basis;

/* tanh x - x, which loses its digits where x is small. */
static double tanh_less_x(double x)
{
    return x < 0.02 ? -x * x * x / 3.0 * (1.0 - 0.4 * x * x) : tanh(x) - x;
}

static basis lower_basis(double x)
{
    const double t = tanh(x), held = tanh_less_x(x);
    return (basis){{{held, x * t}, {-x * t, t + x}, {-t - x, 2.0 + x * t}, {-2.0 - x * t, 3.0 * t + x}},
                   held * (t + x) + x * x * t * t};
}

static basis upper_basis(double x)
{
    const double t = tanh(x);
    return (basis){{{t, x}, {1.0, 1.0 + x * t}, {t, 2.0 * t + x}, {1.0, 3.0 + x * t}}, tanh_less_x(x) + x * t * t};
}

/* The derivative of that order where w = 1 and w' = slope. */
static double derivative(const basis *f, int order, double slope)
{
    const double a = (f->w[1][1] - slope * f->w[0][1]) / f->determinant;
    const double b = (slope * f->w[0][0] - f->w[1][0]) / f->determinant;
    return a * f->w[order][0] + b * f->w[order][1];
}

/* w''' - 3 w' */
static double normal_stress(const basis *f, double slope)
{
    return derivative(f, 3, slope) - 3.0 * slope;
}

double rn_overturn_rate(const rn_overturn *layers, double wavenumber)
{
    const double mu1 = layers->below_viscosity, mu2 = layers->above_viscosity, k = wavenumber;
    const basis lower = lower_basis(k * layers->below_depth), upper = upper_basis(k * layers->above_depth);
    /* Shear is linear in the slope: mu1 (w1''(e) + 1) = mu2 (w2''(-e) + 1). */
    const double lower0 = derivative(&lower, 2, 0.0), lower1 = derivative(&lower, 2, 1.0) - lower0;
    const double upper0 = derivative(&upper, 2, 0.0), upper1 = derivative(&upper, 2, 1.0) - upper0;
    const double slope = (mu2 * (upper0 + 1.0) - mu1 * (lower0 + 1.0)) / (mu1 * lower1 + mu2 * upper1);
    const double resistance = -k * (mu1 * normal_stress(&lower, slope) + mu2 * normal_stress(&upper, -slope));
    return (layers->excess * RN_GRAVITY - layers->tension * k * k) / resistance;
}

double rn_overturn_thin_rate(const rn_overturn *layers, double wavenumber)
{
    const double h = layers->below_depth, k2 = wavenumber * wavenumber;
    return h * h * h * k2 * (layers->excess * RN_GRAVITY - layers->tension * k2) / (3.0 * layers->below_viscosity);
}

bool rn_overturn_fastest(double *wavelength, double *rate, const rn_overturn *layers)
{
    *wavelength = *rate = 0.0;
    if (!(layers->excess > 0.0))
        return false;
    /* A walk over ln k from waves far longer than the depth to waves far shorter than the thinner layer, or than what
       the tension lets grow; then a golden section about the best of it. */
    const double step = 0.25, golden = 0.5 * (sqrt(5.0) - 1.0);
    const double longest = log(1e-3 / (layers->below_depth + layers->above_depth));
    double shortest = log(1e2 / fmin(layers->below_depth, layers->above_depth));
    if (layers->tension > 0.0)
        shortest = fmin(shortest, 0.5 * log(layers->excess * RN_GRAVITY / layers->tension));
    double best = longest, best_rate = rn_overturn_rate(layers, exp(longest));
    for (int i = 1; longest + i * step <= shortest; i++) {
        const double s = rn_overturn_rate(layers, exp(longest + i * step));
        if (s > best_rate) {
            best_rate = s;
            best = longest + i * step;
        }
    }
    double from = best - step, to = best + step;
    while (to - from > 1e-6) {
        const double a = to - golden * (to - from), b = from + golden * (to - from);
        if (rn_overturn_rate(layers, exp(a)) > rn_overturn_rate(layers, exp(b)))
            to = b;
        else
            from = a;
    }
    const double k = exp(0.5 * (from + to)), s = rn_overturn_rate(layers, k);
    if (!(s > 0.0))
        return false;
    *wavelength = 2.0 * RN_PI / k;
    *rate = s;
    return true;
}

/* Density and viscosity of the levels from `first` up to `end`. */
static void mean(double *density, double *viscosity, const unsigned char *paint, int first, int end,
                 const rn_paint *paints)
{
    double weight = 0.0, logarithm = 0.0;
    for (int i = first; i < end; i++) {
        weight += paints[paint[i]].density;
        logarithm += log(rn_law_viscosity(&paints[paint[i]].law, 1.0));
    }
    *density = weight / (end - first);
    *viscosity = exp(logarithm / (end - first));
}

bool rn_overturn_of_column(rn_overturn *layers, const unsigned char *paint, int rows, double depth,
                           const rn_paint *paints, int paint_count)
{
    double fastest = 0.0;
    for (int i = 0; i < rows; i++)
        if (paint[i] >= paint_count) /* bare */
            return false;
    for (int cut = 1; cut < rows; cut++) {
        rn_overturn halves = {.below_depth = depth * cut / rows, .above_depth = depth * (rows - cut) / rows};
        double below, above, wavelength, rate;
        if (paint[cut] == paint[cut - 1])
            continue;
        mean(&below, &halves.below_viscosity, paint, 0, cut, paints);
        mean(&above, &halves.above_viscosity, paint, cut, rows, paints);
        halves.excess = above - below;
        if (rn_overturn_fastest(&wavelength, &rate, &halves) && rate > fastest) {
            fastest = rate;
            *layers = halves;
        }
    }
    return fastest > 0.0;
}
