/* Which keys a slip shows, and by what path they are set. */
#include <stdio.h>

#include "slip.h"

static bool stands(const rv_slip *slip, const rn_plan *plan)
{
    switch (slip->kind) {
    case SLIP_NONE: return false;
    case SLIP_JAR: return slip->index < plan->paint_count;
    case SLIP_BASE: return slip->index < plan->base_count;
    case SLIP_MOVE: return slip->index < plan->move_count;
    case SLIP_POUR: return slip->index < plan->pour_count;
    case SLIP_PANEL:
    case SLIP_PLAN: return true;
    }
    return false;
}

rn_section slip_section(rv_slip_kind kind)
{
    switch (kind) {
    case SLIP_JAR: return RN_SECTION_PAINT;
    case SLIP_BASE: return RN_SECTION_BASE;
    case SLIP_PANEL: return RN_SECTION_PANEL;
    case SLIP_MOVE: return RN_SECTION_MOVE;
    case SLIP_POUR: return RN_SECTION_POUR;
    case SLIP_NONE:
    case SLIP_PLAN: break;
    }
    return RN_SECTION_PLAN;
}

/* Whether a key means anything for the thing as it is. */
static bool concerns(const rn_key *key, const rv_slip *slip, const rn_plan *plan)
{
    switch (key->kind) {
    case RN_KEY_STACK: /* jars and bursts are its handles */
    case RN_KEY_REST:
    case RN_KEY_VERSION:
    case RN_KEY_SECTION: return false;
    case RN_KEY_AMOUNT: return (int)plan->moves[slip->index].kind == key->which;
    case RN_KEY_SIZE: return !plan->panel.round;
    case RN_KEY_ROUND: return plan->panel.round;
    case RN_KEY_QUANTITY:
    case RN_KEY_COUNT:
    case RN_KEY_SEED:
    case RN_KEY_WORD:
    case RN_KEY_FLAG:
    case RN_KEY_TITLE:
    case RN_KEY_NAME:
    case RN_KEY_COLOUR:
    case RN_KEY_CONSISTENCY:
    case RN_KEY_PAINT:
    case RN_KEY_PLACE:
    case RN_KEY_BEARING:
    case RN_KEY_PUDDLE:
    case RN_KEY_STRIP:
    case RN_KEY_SIZES: break;
    }
    if (slip->kind != SLIP_MOVE)
        return true;
    const bool tilt_only =
        key == rn_plan_key(RN_SECTION_MOVE, "toward") || key == rn_plan_key(RN_SECTION_MOVE, "frame");
    const bool ramp = key == rn_plan_key(RN_SECTION_MOVE, "ramp");
    const rn_move_kind kind = plan->moves[slip->index].kind;
    return (!tilt_only || kind == RN_MOVE_TILT) && (!ramp || kind != RN_MOVE_REST);
}

/* The row-th key that is shown; with row -1 counts them. */
static const rn_key *find(int *count, const rv_view *view, int row)
{
    const rv_slip *slip = &view->slip;
    const rn_plan *plan = document_plan(view->doc);
    *count = 0;
    if (!stands(slip, plan))
        return NULL;
    /* The plan's own keys, and what it must not go beyond. */
    const rn_section sections[2] = {slip_section(slip->kind), RN_SECTION_LIMITS};
    for (int s = 0; s < (slip->kind == SLIP_PLAN ? 2 : 1); s++) {
        int rows;
        const rn_key *keys = rn_plan_keys(&rows, sections[s]);
        for (int k = 0; k < rows; k++)
            if (concerns(&keys[k], slip, plan) && (*count)++ == row)
                return &keys[k];
    }
    return NULL;
}

int slip_rows(const rv_view *view)
{
    int count;
    find(&count, view, -1);
    return count;
}

int slip_first(const rv_view *view)
{
    return view->slip.kind == SLIP_JAR ? SLIP_ROW_VOLUME : 0;
}

void slip_walk(rv_view *view, int step)
{
    const int rows = slip_rows(view), first = slip_first(view), all = rows - first;
    if (rows > 0)
        view->slip.row = first + ((view->slip.row - first + step) % all + all) % all;
}

const rn_key *slip_key(const rv_view *view, int row)
{
    int count;
    return row < 0 ? NULL : find(&count, view, row);
}

bool slip_limit(const rn_key *key)
{
    int rows;
    const rn_key *keys = rn_plan_keys(&rows, RN_SECTION_LIMITS);
    return key >= keys && key < keys + rows;
}

bool slip_path(char *path, int size, const rv_view *view, int row)
{
    const rn_key *key = slip_key(view, row);
    const rn_plan *plan = document_plan(view->doc);
    const rv_slip *slip = &view->slip;
    if (!key)
        return false;
    const char *word = rn_section_word(slip_limit(key) ? RN_SECTION_LIMITS : slip_section(slip->kind));
    switch (slip->kind) {
    case SLIP_JAR: snprintf(path, (size_t)size, "%s.%s.%s", word, plan->paints[slip->index].name, key->name); break;
    case SLIP_BASE:
    case SLIP_MOVE:
    case SLIP_POUR: snprintf(path, (size_t)size, "%s.%d.%s", word, slip->index + 1, key->name); break;
    case SLIP_PANEL:
    case SLIP_PLAN: snprintf(path, (size_t)size, "%s%s%s", word, word[0] ? "." : "", key->name); break;
    case SLIP_NONE: return false;
    }
    return true;
}
