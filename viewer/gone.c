#include "gone.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define RELEASES_NAMED 3 /* more are only counted */
#define ITEMS_MOST 8
#define ITEM_SIZE 96

typedef struct list {
    char items[ITEMS_MOST][ITEM_SIZE];
    int count;
} list;

static void add(list *to, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void add(list *to, const char *format, ...)
{
    va_list arguments;
    if (to->count >= ITEMS_MOST)
        return;
    va_start(arguments, format);
    vsnprintf(to->items[to->count++], ITEM_SIZE, format, arguments);
    va_end(arguments);
}

static void name_pour(char name[ITEM_SIZE], const rn_plan *plan, int pour)
{
    if (plan->pours[pour].name[0])
        snprintf(name, ITEM_SIZE, "release %.40s", plan->pours[pour].name);
    else if (plan->pour_count > 1)
        snprintf(name, ITEM_SIZE, "release %d", pour + 1);
    else
        snprintf(name, ITEM_SIZE, "the release");
}

/* What a release holds of a paint, or of all (-1) [m3]. */
static double held(const rn_pour *pour, int paint)
{
    double sum = 0;
    for (int k = 0; k < pour->layer_count; k++)
        if (paint < 0 || pour->stack[k].paint == paint)
            sum += pour->stack[k].volume;
    return sum;
}

static bool holds(const rn_pour *pour, int paint)
{
    for (int k = 0; k < pour->layer_count; k++)
        if (pour->stack[k].paint == paint)
            return true;
    return false;
}

static void add_releases(list *to, const rv_view *view, int paint)
{
    const rn_plan *plan = document_plan(view->doc);
    double all = 0;
    int count = 0, whole = 0;
    char volume[32], name[ITEM_SIZE];
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_pour *pour = &plan->pours[p];
        count += holds(pour, paint);
        whole += holds(pour, paint) && !(held(pour, -1) > held(pour, paint));
        all += held(pour, paint);
    }
    if (count > RELEASES_NAMED) {
        view_volume(volume, sizeof volume, view, all);
        add(to, whole ? "%s in %d releases, %d of them whole" : "%s in %d releases", volume, count, whole);
        return;
    }
    for (int p = 0; p < plan->pour_count; p++) {
        const rn_pour *pour = &plan->pours[p];
        if (!holds(pour, paint))
            continue;
        name_pour(name, plan, p);
        view_volume(volume, sizeof volume, view, held(pour, paint));
        if (held(pour, -1) > held(pour, paint))
            add(to, "%s of %s", volume, name);
        else
            add(to, "all of %s (%s)", name, volume);
    }
}

static void add_bases(list *to, const rn_plan *plan, int paint)
{
    static const char *const one[] = {"the base coat", "the corner puddles", "a puddle", "a strip along an edge"};
    static const char *const more[] = {"base coats", "rounds of corner puddles", "puddles", "strips along edges"};
    int counts[4] = {0};
    for (int k = 0; k < plan->base_count; k++)
        if (plan->bases[k].paint == paint)
            counts[plan->bases[k].kind]++;
    for (int kind = RN_BASE_ALL; kind <= RN_BASE_STRIP; kind++) {
        if (counts[kind] == 1)
            add(to, "%s", one[kind]);
        else if (counts[kind] > 1)
            add(to, "%d %s", counts[kind], more[kind]);
    }
}

static void jar_words(char text[GONE_SIZE], const rv_view *view, int paint)
{
    const rn_plan *plan = document_plan(view->doc);
    list with = {.count = 0};
    add_releases(&with, view, paint);
    add_bases(&with, plan, paint);
    int used = snprintf(text, GONE_SIZE, "%.60s is deleted", plan->paints[paint].name);
    for (int k = 0; k < with.count && used < GONE_SIZE; k++)
        used += snprintf(text + used, (size_t)(GONE_SIZE - used), "%s%s",
                         k == 0                ? ", and with it "
                         : k == with.count - 1 ? " and "
                                               : ", ",
                         with.items[k]);
}

static void release_words(char text[GONE_SIZE], const rv_view *view, int pour)
{
    const rn_plan *plan = document_plan(view->doc);
    char name[ITEM_SIZE], volume[32];
    name_pour(name, plan, pour);
    name[0] = name[0] == 'r' ? 'R' : 'T';
    view_volume(volume, sizeof volume, view, held(&plan->pours[pour], -1));
    if (plan->pours[pour].lifts > 1)
        snprintf(text, GONE_SIZE, "%s is deleted with all %d bursts, %s", name, plan->pours[pour].lifts, volume);
    else
        snprintf(text, GONE_SIZE, "%s is deleted, %s", name, volume);
}

void gone_words(char text[GONE_SIZE], const rv_view *view, rv_part_at what)
{
    static const char *const kinds[] = {
        [RN_MOVE_REST] = "rest", [RN_MOVE_TURN] = "turn", [RN_MOVE_TILT] = "tilt", [RN_MOVE_SPIN] = "spin"};
    const rn_plan *plan = document_plan(view->doc);
    text[0] = '\0';
    if (what.part == PART_JAR && what.a < plan->paint_count)
        jar_words(text, view, what.a);
    else if (what.part == PART_MOVE && what.a < plan->move_count)
        snprintf(text, GONE_SIZE, "The %s at %.4g s is deleted", kinds[plan->moves[what.a].kind],
                 plan->moves[what.a].start);
    else if ((what.part == PART_POURING || what.part == PART_BURST) && what.a < plan->pour_count)
        release_words(text, view, what.a);
}

void gone_say(rv_view *view, const char *words, double end)
{
    char ends[64] = "";
    const double now = document_plan(view->doc)->end;
    if (fabs(now - end) >= 0.5)
        snprintf(ends, sizeof ends, " The plan now ends at %.0f s.", now);
    view_say(view, false, "%s.%s Ctrl+Z brings %s back.", words, ends, strstr(words, " with it ") ? "all of it" : "it");
}
