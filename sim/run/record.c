#include "run/record.h"

#include <stdlib.h>

double rn_moment_run_off(const rn_moment *moment)
{
    double sum = 0;
    for (int s = 0; s < RN_SIDES; s++)
        sum += moment->run_off[s];
    return sum;
}

void rn_record_free(rn_record *record)
{
    if (!record)
        return;
    free(record->inside);
    free(record->depth);
    free(record->arrival);
    free(record->moments);
    free(record);
}
