/* Numbers in their order: ranks, quantiles, and how far one goes up with another. */
#ifndef RN_SEARCH_RANK_H
#define RN_SEARCH_RANK_H

#include "base/error.h"

/* ranks[count], from 1; equal values share the mean of their places. Infinities have theirs; there is no NaN. */
rn_status rn_rank(double *ranks, const double *values, int count, rn_error *err);

/* Spearman's coefficient: the correlation of the ranks [spearman1904], -1 to 1. Pairs of which one is NaN are left out;
   NaN where less than three are left or one of the two does not vary. */
rn_status rn_rank_correlation(double *coefficient, const double *a, const double *b, int count, rn_error *err);

/* What a coefficient of values that have nothing to do with each other stays under in 95 of 100 times: its standard
   deviation is 1/sqrt(count - 1) [hotelling1936], and it is nearly normal. */
double rn_rank_noise(int count);

/* Sorts upward; no NaN. */
void rn_rank_sort(double *values, int count);

/* The value below which a share of sorted values lies, between neighbours on a straight line: definition 7 of
   [hyndman1996]. count > 0; INFINITY where either neighbour is. */
double rn_rank_quantile(const double *sorted, int count, double share);

#endif
