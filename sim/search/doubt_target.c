#include "search/doubt_target.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"

bool rn_doubt_is_level(const char *path)
{
    return strcmp(path, RN_DOUBT_LEVEL) == 0;
}

double rn_doubt_bearing(double right, double back)
{
    const double bearing = atan2(back, right);
    return bearing < 0 ? bearing + 2 * RN_PI : bearing;
}

bool rn_target_at(rn_target *found, const rn_plan *plan, const char *path)
{
    if (strlen(path) >= sizeof found->path || rn_plan_number_at(&found->number, plan, path, NULL))
        return false;
    memcpy(found->path, path, strlen(path) + 1);
    return !found->number.whole && !isnan(found->number.value);
}

rn_target_entries rn_target_list(const rn_plan *plan, const char *text, size_t length)
{
    const rn_target_entries lists[] = {{"paints", plan->paint_count},
                                       {"base", plan->base_count},
                                       {"pours", plan->pour_count},
                                       {"moves", plan->move_count}};
    for (int i = 0; i < 4; i++)
        if (strlen(lists[i].word) == length && strncmp(lists[i].word, text, length) == 0)
            return lists[i];
    return (rn_target_entries){NULL, -1};
}

int rn_targets_of_list(rn_target targets[RN_TARGETS_MOST], const rn_plan *plan, const char *path)
{
    const char *key = strchr(path, '.');
    int count = 0;
    if (!key || strchr(key + 1, '.'))
        return 0;
    const rn_target_entries all = rn_target_list(plan, path, (size_t)(key - path));
    for (int i = 0; i < all.count; i++) {
        char one[RN_DOUBT_PATH];
        snprintf(one, sizeof one, "%s.%d%.60s", all.word, i + 1, key);
        count += rn_target_at(&targets[count], plan, one);
    }
    return count;
}

int rn_targets_of(rn_target targets[RN_TARGETS_MOST], const rn_plan *plan, const char *path)
{
    return rn_target_at(&targets[0], plan, path) ? 1 : rn_targets_of_list(targets, plan, path);
}
