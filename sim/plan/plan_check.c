/* What concerns more than one key of a plan. */
#include "plan/plan_check.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/units.h"
#include "plan/plan_value.h"

#define SAME_MOMENT 1e-9 /* [s] */
#define SAME_PLACE 1e-9  /* [m] */

typedef struct checker {
    const rn_plan *plan;
    rn_plan_marks *marks;
    rn_error *err;
} checker;

rn_element_marks *rn_marks_of(rn_plan_marks *marks, rn_section section, int index)
{
    switch (section) {
    case RN_SECTION_PANEL: return &marks->panel;
    case RN_SECTION_PAINT: return &marks->paints[index];
    case RN_SECTION_BASE: return &marks->bases[index];
    case RN_SECTION_POUR: return &marks->pours[index];
    case RN_SECTION_MOVE: return &marks->moves[index];
    case RN_SECTION_LIMITS: return &marks->limits;
    case RN_SECTION_PLAN:
    case RN_SECTIONS: break;
    }
    return &marks->plan;
}

/* The path of a key, for messages that have no place in a file. */
static void key_path(char *text, int size, const rn_plan *plan, rn_section section, int index, const char *key)
{
    const char *word = rn_section_word(section);
    if (section == RN_SECTION_PAINT)
        snprintf(text, (size_t)size, "%s.%s.%s", word, plan->paints[index].name, key);
    else if (section == RN_SECTION_BASE || section == RN_SECTION_POUR || section == RN_SECTION_MOVE)
        snprintf(text, (size_t)size, "%s.%d.%s", word, index + 1, key);
    else
        snprintf(text, (size_t)size, "%s%s%s", word, word[0] ? "." : "", key);
}

/* Complains about a key: at its value, or at its element where it is left out, or by its path. */
static rn_status fail_key(const checker *c, rn_section section, int index, const char *key, const char *format, ...)
    __attribute__((format(printf, 5, 6)));

static rn_status fail_key(const checker *c, rn_section section, int index, const char *key, const char *format, ...)
{
    char message[400], path[RN_NAME_SIZE + 40];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(message, sizeof message, format, arguments);
    va_end(arguments);
    if (!c->marks) {
        key_path(path, sizeof path, c->plan, section, index, key);
        return rn_fail(c->err, RN_E_PLAN, "%s: %s", path, message);
    }
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    const rn_element_marks *marks = rn_marks_of(c->marks, section, index);
    rn_mark mark = marks->keys[rn_plan_key(section, key) - keys];
    return rn_fail_at(c->err, RN_E_PLAN,
                      mark.line         ? mark
                      : marks->own.line ? marks->own
                                        : c->marks->plan.own,
                      "%s", message);
}

static const char *millimetres(char text[48], double length)
{
    return rn_units_round(text, 48, length, RN_DIM_LENGTH, NULL, 4);
}

/* ---- ranges of all keys ---- */

static rn_status check_ranges(const checker *c, rn_section section, int elements)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    for (int index = 0; index < elements; index++)
        for (int i = 0; i < count; i++) {
            const rn_key *key = &keys[i];
            const void *field = rn_value_field(c->plan, section, index, key);
            double value = NAN;
            bool needed = key->kind == RN_KEY_QUANTITY && (key->fallback || !key->otherwise);
            if (key->kind == RN_KEY_QUANTITY)
                value = *(const double *)field;
            else if (key->kind == RN_KEY_AMOUNT && (int)c->plan->moves[index].kind == key->which)
                value = *(const double *)field;
            else if (key->kind == RN_KEY_COUNT)
                value = *(const int *)field;
            if (needed && isnan(value))
                return fail_key(c, section, index, key->name, "it has no value");
            if (!rn_value_in_range(key, value))
                return fail_key(c, section, index, key->name, "it is out of range: %s goes from %s to %s", key->name,
                                key->least, key->most);
        }
    return RN_OK;
}

/* ---- geometry ---- */

/* Whether a disc of that reach about (x, y) lies on the panel. */
static bool lies_on(const rn_panel *panel, double x, double y, double reach)
{
    if (panel->round)
        return hypot(x, y) + reach <= 0.5 * panel->width + SAME_PLACE;
    return fabs(x) + reach <= 0.5 * panel->width + SAME_PLACE && fabs(y) + reach <= 0.5 * panel->height + SAME_PLACE;
}

static rn_status check_disc(const checker *c, rn_section section, int index, const rn_place *place, double reach,
                            const char *what)
{
    const rn_panel *panel = &c->plan->panel;
    double x, y, side = fmin(panel->width, panel->height);
    char wide[48], room[48];
    if (2 * reach > side + SAME_PLACE)
        return fail_key(c, section, index, "across", "the %s is %s wide, the panel only %s", what,
                        millimetres(wide, 2 * reach), millimetres(room, side));
    rn_place_point(&x, &y, panel, place, reach);
    if (lies_on(panel, x, y, reach))
        return RN_OK;
    if (!lies_on(panel, x, y, 0))
        return fail_key(c, section, index, "at", "the %s lies off the panel, which is %s x %s", what,
                        millimetres(wide, panel->width), millimetres(room, panel->height));
    return fail_key(c, section, index, "at", "the %s hangs over the edge: it reaches %s from its centre", what,
                    millimetres(wide, reach));
}

static rn_status check_panel(const checker *c)
{
    const rn_plan *plan = c->plan;
    bool free_edges = plan->panel.edges == RN_EDGE_WALLS || plan->panel.edges == RN_EDGE_OPEN;
    for (int i = 0; i < plan->paint_count; i++)
        if (plan->paints[i].tension == 0 && !free_edges)
            return fail_key(
                c, RN_SECTION_PAINT, i, "tension",
                "a paint without surface tension cannot hang on an edge: give it some, for example 33 mN/m, "
                "or make the edges walls or open");
    return RN_OK;
}

static rn_status check_base(const checker *c, int index)
{
    const rn_plan *plan = c->plan;
    const rn_base *base = &plan->bases[index];
    const rn_panel *panel = &plan->panel;
    char width[48], room[48];
    if (isnan(base->depth) == isnan(base->volume))
        return fail_key(c, RN_SECTION_BASE, index, "depth", "a base coat takes either a depth or a volume");
    if (base->kind == RN_BASE_DISC)
        return check_disc(c, RN_SECTION_BASE, index, &base->at, 0.5 * base->across, "puddle");
    double side = fmin(panel->width, panel->height);
    /* Neighbours touch when their centres are one diameter apart; on a disc these lie on a square inside it. */
    double widest = panel->round ? side / (1 + sqrt(2)) : 0.5 * side;
    if (base->kind == RN_BASE_CORNERS && base->across > widest + SAME_PLACE)
        return fail_key(c, RN_SECTION_BASE, index, "across", "corner puddles %s wide meet each other on a panel of %s",
                        millimetres(width, base->across), millimetres(room, side));
    if (base->kind != RN_BASE_STRIP)
        return RN_OK;
    if (panel->round)
        return fail_key(c, RN_SECTION_BASE, index, "along", "a round panel has no straight edge for a strip");
    double deep = base->at.side_x ? panel->width : panel->height;
    if (base->width > deep + SAME_PLACE)
        return fail_key(c, RN_SECTION_BASE, index, "width", "the strip is %s wide, the panel there only %s",
                        millimetres(width, base->width), millimetres(room, deep));
    return RN_OK;
}

/* ---- pours ---- */

static rn_status check_stack(const checker *c, int index)
{
    const rn_pour *pour = &c->plan->pours[index];
    double volume = 0;
    if (pour->layer_count == 0)
        return fail_key(c, RN_SECTION_POUR, index, "stack", "the stack is empty: write for example [slate 20 ml]");
    for (int i = 0; i < pour->layer_count; i++) {
        if (isnan(pour->stack[i].volume) || !rn_value_in_range(&rn_layer_key, pour->stack[i].volume))
            return fail_key(c, RN_SECTION_POUR, index, "stack", "layer %d is out of range: a volume goes from %s to %s",
                            i + 1, rn_layer_key.least, rn_layer_key.most);
        volume += pour->stack[i].volume;
    }
    if (volume <= 0)
        return fail_key(c, RN_SECTION_POUR, index, "stack", "all volumes of the stack are zero");
    return RN_OK;
}

static rn_status check_bursts(const checker *c, int index)
{
    const rn_pour *pour = &c->plan->pours[index];
    double sum = 0;
    for (int i = 0; i < pour->size_count; i++) {
        if (isnan(pour->sizes[i]) || !rn_value_in_range(&rn_size_key, pour->sizes[i]))
            return fail_key(c, RN_SECTION_POUR, index, "sizes", "size %d is out of range: a share goes from %s to %s",
                            i + 1, rn_size_key.least, rn_size_key.most);
        sum += pour->sizes[i];
    }
    char sizes[32];
    snprintf(sizes, sizeof sizes, pour->size_count == 1 ? "is 1 size" : "are %d sizes", pour->size_count);
    if (pour->size_count > 0 && pour->size_count != pour->lifts)
        return fail_key(c, RN_SECTION_POUR, index, "sizes", "there %s for %d lifts: give one for each", sizes,
                        pour->lifts);
    if (pour->size_count > 0 && !(sum > 0))
        return fail_key(c, RN_SECTION_POUR, index, "sizes", "all sizes are zero");
    if (pour->lifts > 1 && pour->open > pour->every + SAME_MOMENT)
        return fail_key(c, RN_SECTION_POUR, index, "open",
                        "a burst lasts %.6g s but the next begins after %.6g s: bursts would overlap", pour->open,
                        pour->every);
    return RN_OK;
}

static rn_status check_pour(const checker *c, int index)
{
    const rn_pour *pour = &c->plan->pours[index];
    char width[48], radius[48];
    rn_status status = check_stack(c, index);
    if (!status)
        status = check_bursts(c, index);
    if (!status && !pour->cup && pour->width > 0.5 * pour->across + SAME_PLACE)
        status = fail_key(c, RN_SECTION_POUR, index, "width", "the ring is %s wide, more than the rim's radius of %s",
                          millimetres(width, pour->width), millimetres(radius, 0.5 * pour->across));
    if (!status)
        status = check_disc(c, RN_SECTION_POUR, index, &pour->at, rn_pour_reach(pour), pour->cup ? "disc" : "ring");
    for (int i = 0; i < index && !status; i++)
        if (pour->name[0] && !strcmp(pour->name, c->plan->pours[i].name))
            status = fail_key(c, RN_SECTION_POUR, index, "name", "pour %d is called '%s' too", i + 1, pour->name);
    return status;
}

/* ---- moves ---- */

static const char *move_word(const rn_move *move)
{
    static const char *const words[] = {
        [RN_MOVE_REST] = "rest", [RN_MOVE_TURN] = "turn", [RN_MOVE_TILT] = "tilt", [RN_MOVE_SPIN] = "spin"};
    return words[move->kind];
}

/* Turn and spin are one kind: the panel has one axis. */
static int move_group(const rn_move *move)
{
    return move->kind == RN_MOVE_SPIN ? RN_MOVE_TURN : (int)move->kind;
}

static rn_status check_overlap(const checker *c, int a, int b)
{
    const rn_move *first = &c->plan->moves[a], *second = &c->plan->moves[b];
    double first_end = first->start + first->duration, second_end = second->start + second->duration;
    if (move_group(first) != move_group(second) || second->start > first_end - SAME_MOMENT ||
        first->start > second_end - SAME_MOMENT)
        return RN_OK;
    return fail_key(c, RN_SECTION_MOVE, b, "start",
                    "move %d (%s, %.6g s to %.6g s) overlaps move %d (%s, %.6g s to %.6g s): one %s at a time", b + 1,
                    move_word(second), second->start, second_end, a + 1, move_word(first), first->start, first_end,
                    move_group(first) == RN_MOVE_TURN ? "turn or spin" : move_word(first));
}

static rn_status check_move(const checker *c, int index)
{
    const rn_move *move = &c->plan->moves[index];
    if (2 * move->ramp > move->duration + SAME_MOMENT)
        return fail_key(c, RN_SECTION_MOVE, index, "ramp",
                        "two ramps of %.6g s do not fit into %.6g s: a ramp is at most half of it", move->ramp,
                        move->duration);
    rn_status status = RN_OK;
    for (int i = 0; i < index && !status; i++)
        status = check_overlap(c, i, index);
    return status;
}

/* ---- the whole ---- */

/* An end before the paint is out or the hands are still is a slip of the pen more often than a wish. */
static rn_status check_end(const checker *c)
{
    const rn_plan *plan = c->plan;
    for (int i = 0; i < plan->pour_count; i++)
        if (plan->end < rn_pour_end(&plan->pours[i]) - SAME_MOMENT)
            return fail_key(c, RN_SECTION_PLAN, 0, "end", "the plan ends at %.6g s, but pour %d lasts until %.6g s",
                            plan->end, i + 1, rn_pour_end(&plan->pours[i]));
    for (int i = 0; i < plan->move_count; i++)
        if (plan->end < plan->moves[i].start + plan->moves[i].duration - SAME_MOMENT)
            return fail_key(c, RN_SECTION_PLAN, 0, "end",
                            "the plan ends at %.6g s, but move %d (%s) lasts until %.6g s", plan->end, i + 1,
                            move_word(&plan->moves[i]), plan->moves[i].start + plan->moves[i].duration);
    return RN_OK;
}

rn_status rn_plan_check_marked(const rn_plan *plan, rn_plan_marks *marks, rn_error *err)
{
    const checker c = {plan, marks, err};
    const int elements[RN_SECTIONS] = {1, 1, plan->paint_count, plan->base_count, plan->pour_count, plan->move_count,
                                       1};
    rn_status status = RN_OK;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS && !status; section++)
        status = check_ranges(&c, section, elements[section]);
    if (!status)
        status = check_panel(&c);
    for (int i = 0; i < plan->base_count && !status; i++)
        status = check_base(&c, i);
    for (int i = 0; i < plan->pour_count && !status; i++)
        status = check_pour(&c, i);
    for (int i = 0; i < plan->move_count && !status; i++)
        status = check_move(&c, i);
    if (!status)
        status = check_end(&c);
    if (!status && plan->base_count + plan->pour_count == 0)
        status = fail_key(&c, RN_SECTION_PLAN, 0, "pours", "there is no paint: give a base coat or a pour");
    return status;
}

rn_status rn_plan_check(const rn_plan *plan, rn_error *err)
{
    return rn_plan_check_marked(plan, NULL, err);
}
