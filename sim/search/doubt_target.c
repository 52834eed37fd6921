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

int rn_targets_behind(rn_target behind[RN_TARGETS_MOST], const rn_plan *plan, const char *path)
{
    int count = 0;
    char one[RN_DOUBT_PATH];
    if (strcmp(path, "consistency") == 0)
        return rn_targets_of_list(behind, plan, "paints.viscosity");
    if (rn_doubt_is_level(path))
        return rn_target_at(&behind[0], plan, RN_DOUBT_LEVEL) + rn_target_at(&behind[1], plan, RN_DOUBT_DOWNHILL);
    if (strcmp(path, "poured") != 0)
        return rn_targets_of(behind, plan, path);
    for (int i = 0; i < plan->pour_count; i++)
        for (int k = 0; k < plan->pours[i].layer_count && count < RN_TARGETS_MOST; k++) {
            snprintf(one, sizeof one, "pours.%d.stack.%d", i + 1, k + 1);
            count += rn_target_at(&behind[count], plan, one);
        }
    return count;
}

bool rn_targets_changed(const rn_target *targets, int count, const rn_plan *plan)
{
    rn_target now;
    for (int i = 0; i < count; i++)
        if (!rn_target_at(&now, plan, targets[i].path) || now.number.value != targets[i].number.value)
            return true;
    return false;
}
