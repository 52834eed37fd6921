/* A seeded generator whose draws never change between versions or machines: SplitMix64 [steele2014]. */
#ifndef RN_BASE_RANDOM_H
#define RN_BASE_RANDOM_H

#include <stdint.h>

typedef struct rn_random {
    uint64_t state;
} rn_random;

static inline rn_random rn_random_seeded(uint64_t seed)
{
    return (rn_random){seed};
}

static inline uint64_t rn_random_bits(rn_random *random)
{
    uint64_t z = (random->state += UINT64_C(0x9E3779B97F4A7C15));
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

/* Uniform on [0, 1), 53 bits. */
static inline double rn_random_unit(rn_random *random)
{
    return (double)(rn_random_bits(random) >> 11) * 0x1p-53;
}

#endif
