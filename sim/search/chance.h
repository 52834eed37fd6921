/* The normal distribution, and how sure a share is that was counted. */
#ifndef RN_SEARCH_CHANCE_H
#define RN_SEARCH_CHANCE_H

/* The share of a normal distribution that lies below z standard deviations, and the z below which a share lies, within
   1e-12 [abramowitz1964] (26.2); shares of 0 and 1 give -INFINITY and INFINITY. */
double rn_normal_below(double z);
double rn_normal_at(double share);

typedef struct rn_interval {
    double from, to;
} rn_interval;

/* The score interval for a chance of which `met` of `of` trials came true [wilson1927], 0 <= met <= of; sure: how often
   such an interval holds the chance, 0.95. Where nothing was tried: all of 0 to 1. */
rn_interval rn_chance_interval(int met, int of, double sure);

#endif
