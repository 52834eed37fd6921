#include "run/record.h"

#include <stdlib.h>

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
