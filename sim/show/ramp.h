/* Smooth steps for light and shade. Comparisons that compilers turn into single instructions, as fmaxf is not. */
#ifndef RN_SHOW_RAMP_H
#define RN_SHOW_RAMP_H

static inline float rn_greater(float a, float b)
{
    return a > b ? a : b;
}

static inline float rn_lesser(float a, float b)
{
    return a < b ? a : b;
}

/* From 0 at `from` to 1 at `to`, level at both ends. */
static inline float rn_ramp(float from, float to, float x)
{
    const float u = rn_lesser(rn_greater((x - from) / (to - from), 0.0f), 1.0f);
    return u * u * (3.0f - 2.0f * u);
}

#endif
