#include "keep.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* Since when a corner has been covered by the last moment kept [s]; NaN: it is not. */
static double covered_since(const rn_record *record, int corner, double cover)
{
    double since = NAN;
    for (int k = record->moment_count - 1; k >= 0 && record->moments[k].corner[corner] >= cover; k--)
        since = record->moments[k].time;
    return since;
}

/* What the forecast of the plan before says of later than is kept does not hold. */
static void cut_forecast(rn_forecast *forecast, const rn_record *record)
{
    const double last = record->moments[record->moment_count - 1].time;
    for (int c = 0; c < RN_CORNERS; c++)
        if (!(forecast->corners[c].covered_at <= last))
            forecast->corners[c].covered_at = covered_since(record, c, forecast->cover);
    if (!(forecast->covered_at <= last)) {
        forecast->covered = false;
        forecast->covered_at = NAN;
    }
    forecast->complete = forecast->has_pattern = false;
}

bool keep_tale(rv_studio_tale *tale, double agreed, double end, long version)
{
    if (!tale->record || !(agreed > 0))
        return false;
    tale->version = version;
    if (agreed >= tale->solved && (isinf(agreed) || end == tale->end)) {
        if (end != tale->end)
            tale->complete = tale->solved >= end;
        tale->end = end;
        return true;
    }
    rn_record *record = tale->record;
    int count = 0;
    while (count < record->moment_count && record->moments[count].time <= agreed)
        count++;
    if (count == 0)
        return false;
    record->moment_count = count;
    cut_forecast(&tale->forecast, record);
    tale->solved = fmin(tale->solved, record->moments[count - 1].time);
    tale->end = end;
    tale->complete = false;
    tale->trouble[0] = '\0';
    record->end = tale->solved;
    record->complete = false;
    const long cells = (long)record->grid.nx * record->grid.ny;
    for (long k = 0; k < cells; k++)
        if (record->arrival[k] > (float)tale->solved)
            record->arrival[k] = NAN;
    return true;
}

bool keep_recoloured(const rn_plan *before, const rn_plan *plan)
{
    for (int k = 0; k < plan->paint_count && k < before->paint_count; k++)
        if (memcmp(before->paints[k].colour, plan->paints[k].colour, sizeof plan->paints[k].colour) != 0)
            return true;
    return false;
}

void keep_shown(rv_shown *shown, const rn_plan *plan, double agreed, bool recoloured, long version)
{
    shown->plan = plan;
    shown->version = version;
    if (shown->tale && !keep_tale(shown->tale, agreed, plan->end, version)) {
        studio_tale_free(shown->tale);
        shown->tale = NULL;
    }
    if (shown->picture && shown->picture->time <= agreed && !recoloured)
        shown->picture->version = version;
    if (shown->core && shown->core->time <= agreed)
        shown->core->version = version;
    if (shown->section && shown->section->time <= agreed)
        shown->section->version = version;
    if (shown->pull && shown->pull->time <= agreed)
        shown->pull->version = version;
}
