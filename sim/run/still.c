#include "run/still.h"

#include <stdlib.h>

void rn_still_free(rn_still *still)
{
    if (!still)
        return;
    free(still->inside);
    free(still->depth);
    free(still->spill);
    free(still);
}
