/* One value of a plan by its path, "moves.4.spin". */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "plan/plan_value.h"
#include "plan/plan_words.h"

#define STEPS_MOST 4
#define STEP_SIZE 64

/* A path taken apart: "pours.1.stack.2" -> four steps. */
typedef struct path {
    int count;
    char steps[STEPS_MOST][STEP_SIZE];
} path;

static rn_status split_path(path *steps, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    steps->count = 0;
    for (const char *c = text;; c++) {
        size_t length = strcspn(c, ".");
        if (steps->count == STEPS_MOST || length == 0 || length >= STEP_SIZE)
            return rn_fail(err, RN_E_PLAN, "'%s' is no path: write for example moves.4.spin",
                           rn_text_quote(quoted, text));
        memcpy(steps->steps[steps->count], c, length);
        steps->steps[steps->count++][length] = '\0';
        c += length;
        if (!*c)
            return RN_OK;
    }
}

/* A number from 1 to count, as an index from 0; -1 if the step is none. */
static int step_number(const char *step, int count)
{
    int number = 0;
    if (!*step || strlen(step) > 4)
        return -1;
    for (const char *c = step; *c; c++) {
        if (!isdigit((unsigned char)*c))
            return -1;
        number = 10 * number + (*c - '0');
    }
    return number >= 1 && number <= count ? number - 1 : -1;
}

/* ---- derived keys ---- */

static rn_status set_poured(rn_plan *plan, const char *value, rn_error *err)
{
    double wanted;
    static const rn_usual usual = {1e-5, 2e-3, "155 ml"};
    rn_status status = rn_units_read_usual(&wanted, NULL, value, RN_DIM_VOLUME, 0, &usual, err);
    if (status)
        return status;
    const double poured = rn_plan_poured_all(plan);
    if (!(poured > 0))
        return rn_fail(err, RN_E_PLAN, "nothing is poured in this plan, so there is nothing to scale");
    if (!(wanted > 0))
        return rn_fail(err, RN_E_PLAN, "the volume must be more than nothing: write for example 155 ml");
    for (int i = 0; i < plan->pour_count; i++)
        for (int k = 0; k < plan->pours[i].layer_count; k++)
            plan->pours[i].stack[k].volume *= wanted / poured;
    return RN_OK;
}

static rn_status set_consistency(rn_plan *plan, const char *value, rn_error *err)
{
    rn_law laws[RN_PAINTS_MOST];
    double poured[RN_PAINTS_MOST], volumes[RN_PAINTS_MOST], wanted = rn_value_consistency(plan, value), total = 0;
    char *rest;
    strtod(value, &rest);
    if (isnan(wanted) && rest == value && isalpha((unsigned char)value[0]))
        return rn_value_fail_consistency(value, ", or for example 1.2 Pa s", err);
    if (isnan(wanted)) {
        rn_status status = rn_units_read(&wanted, NULL, value, RN_DIM_VISCOSITY, 0, err);
        if (status)
            return status;
    }
    if (!(wanted > 0))
        return rn_fail(err, RN_E_PLAN, "a viscosity must be more than nothing: write for example 2 Pa s");
    rn_plan_poured(poured, plan);
    rn_plan_based(volumes, plan);
    for (int i = 0; i < plan->paint_count; i++) {
        laws[i] = plan->paints[i].law;
        volumes[i] += poured[i];
        total += volumes[i];
    }
    if (!(total > 0))
        return rn_fail(err, RN_E_PLAN, "there is no paint in this plan");
    double mixed = rn_law_mixed(laws, volumes, plan->paint_count).consistency;
    for (int i = 0; i < plan->paint_count; i++)
        plan->paints[i].law.consistency *= wanted / mixed;
    return RN_OK;
}

/* ---- what follows a change ---- */

/* Directions that named a corner go on naming it when the panel changes its shape. */
static void follow_corner(double *bearing, const rn_panel *before, const rn_panel *after)
{
    int side_x, side_y;
    if (rn_bearing_corner(&side_x, &side_y, before, *bearing))
        *bearing = rn_place_bearing(after, side_x, side_y);
}

static void follow_panel(rn_plan *plan, const rn_panel *before)
{
    rn_panel *panel = &plan->panel;
    if (panel->advance == rn_value_advance(before->ground))
        panel->advance = rn_value_advance(panel->ground);
    if (panel->round == before->round && panel->width == before->width && panel->height == before->height)
        return;
    follow_corner(&panel->downhill, before, panel);
    for (int i = 0; i < plan->move_count; i++)
        if (plan->moves[i].kind == RN_MOVE_TILT)
            follow_corner(&plan->moves[i].toward, before, panel);
}

static void follow_base(rn_base *base, const char *key)
{
    if (!strcmp(key, "depth"))
        base->volume = NAN;
    else if (!strcmp(key, "volume"))
        base->depth = NAN;
}

static void follow_pour(rn_plan *plan, int index, const char *key)
{
    if (strcmp(key, "from") || !plan->pours[index].cup)
        return;
    static const char *const of_rims[] = {"width", "uneven"};
    for (int i = 0; i < 2; i++) {
        const rn_key *row = rn_plan_key(RN_SECTION_POUR, of_rims[i]);
        rn_value_read(plan, RN_SECTION_POUR, index, row, row->fallback, NULL);
    }
}

/* ---- paths into sections ---- */

static rn_status fail_step(const char *step, rn_section section, rn_error *err)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    const char *names[32];
    char quoted[RN_QUOTE_SIZE];
    for (int i = 0; i < count; i++)
        names[i] = keys[i].name;
    const char *nearest = rn_text_nearest(step, names, count);
    rn_text_quote(quoted, step);
    if (nearest)
        return rn_fail(err, RN_E_PLAN, "unknown key '%s'; did you mean '%s'?", quoted, nearest);
    return rn_fail(err, RN_E_PLAN, "unknown key '%s'; `runnel keys` lists them all", quoted);
}

/* The place of a stack that a step names, by number or by its paint; -1: none. */
static int layer_of(const rn_plan *plan, const rn_pour *pour, const char *step)
{
    int item = step_number(step, pour->layer_count);
    for (int i = 0; item < 0 && i < pour->layer_count; i++)
        if (!strcmp(plan->paints[pour->stack[i].paint].name, step))
            item = i;
    return item;
}

/* One entry of a stack or of sizes: by number, of a stack also by the paint's name. */
static rn_status set_item(rn_plan *plan, int index, const rn_key *key, const char *step, const char *value,
                          rn_error *err)
{
    rn_pour *pour = &plan->pours[index];
    char text[STEP_SIZE + RN_NAME_SIZE + 100], quoted[RN_QUOTE_SIZE];
    bool sizes = key->kind == RN_KEY_SIZES;
    const int item = sizes ? step_number(step, pour->size_count) : layer_of(plan, pour, step);
    if (item < 0)
        return rn_fail(err, RN_E_PLAN, "there is no entry '%s'", rn_text_quote(quoted, step));
    if (sizes) {
        rn_pour before = *pour;
        pour->size_count = item;
        rn_status status = rn_value_append(plan, index, key, value, err);
        pour->size_count = before.size_count;
        return status;
    }
    /* "30 ml" keeps the paint, "kelp 30 ml" changes it. */
    bool bare = isdigit((unsigned char)value[0]) || value[0] == '.' || value[0] == '+' || value[0] == '-';
    if (strlen(value) > 100)
        return rn_fail(err, RN_E_PLAN, "'%s' is too long for a layer", rn_text_quote(quoted, value));
    snprintf(text, sizeof text, "%s%s%s", bare ? plan->paints[pour->stack[item].paint].name : "", bare ? " " : "",
             value);
    return rn_value_layer(&pour->stack[item], plan, text, err);
}

/* Keys that belong to one kind of entry only, and do not make an entry one of that kind. */
static bool must_apply(rn_section section, const rn_key *key)
{
    static const char *const of_some[] = {"across", "width", "uneven"};
    for (int i = 0; i < 3; i++)
        if ((section == RN_SECTION_BASE || section == RN_SECTION_POUR) && !strcmp(key->name, of_some[i]))
            return true;
    return section == RN_SECTION_MOVE;
}

static rn_status set_key(rn_plan *plan, rn_section section, int index, const path *steps, int at, const char *value,
                         rn_error *err)
{
    if (at >= steps->count)
        return rn_fail(err, RN_E_PLAN, "it holds keys of its own: write for example moves.4.spin or panel.size");
    const rn_key *key = rn_plan_key(section, steps->steps[at]);
    if (!key || key->kind == RN_KEY_SECTION)
        return fail_step(steps->steps[at], section, err);
    bool list = key->kind == RN_KEY_STACK || key->kind == RN_KEY_SIZES;
    if (list && at + 2 == steps->count)
        return set_item(plan, index, key, steps->steps[at + 1], value, err);
    if (at + 1 != steps->count)
        return rn_fail(err, RN_E_PLAN, "'%s' has no keys below it", key->name);
    if (must_apply(section, key) && !rn_value_applies(plan, section, index, key))
        return rn_fail(err, RN_E_PLAN, "'%s' does not apply to this entry as it is", key->name);
    const rn_panel panel = plan->panel;
    const rn_move move = plan->moves[section == RN_SECTION_MOVE ? index : 0];
    rn_status status = rn_value_read(plan, section, index, key, value, err);
    if (status)
        return status;
    if (section == RN_SECTION_PANEL)
        follow_panel(plan, &panel);
    if (section == RN_SECTION_BASE)
        follow_base(&plan->bases[index], key->name);
    if (section == RN_SECTION_POUR)
        follow_pour(plan, index, key->name);
    if (section == RN_SECTION_MOVE && strcmp(key->name, "ramp") && move.ramp == rn_value_ramp(&move))
        plan->moves[index].ramp = rn_value_ramp(&plan->moves[index]);
    if (section == RN_SECTION_PLAN && !strcmp(key->name, "end"))
        plan->end_given = true;
    return RN_OK;
}

/* An element by its number, or its name where it has one; -1 if there is none. */
static int find_element(const rn_plan *plan, rn_section section, const char *step)
{
    const int counts[RN_SECTIONS] = {[RN_SECTION_PAINT] = plan->paint_count,
                                     [RN_SECTION_BASE] = plan->base_count,
                                     [RN_SECTION_POUR] = plan->pour_count,
                                     [RN_SECTION_MOVE] = plan->move_count};
    int index = step_number(step, counts[section]);
    if (index >= 0)
        return index;
    if (section == RN_SECTION_PAINT)
        return rn_value_paint(plan, step);
    for (int i = 0; section == RN_SECTION_POUR && i < plan->pour_count; i++)
        if (!strcmp(plan->pours[i].name, step))
            return i;
    return -1;
}

/* "expect.coverage", "expect.corner.2": replaces one, or adds the next of its kind. */
static rn_status set_expectation(rn_plan *plan, const path *steps, const char *value, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    if (steps->count < 2)
        return rn_fail(err, RN_E_PLAN, "it holds keys of its own: write for example expect.coverage");
    const char *word = steps->steps[1];
    rn_expect expect;
    rn_status status = rn_expect_read(&expect, word, value, err);
    if (status)
        return status;
    int places[RN_EXPECTS_MOST], count = 0;
    for (int i = 0; i < plan->expect_count; i++)
        if (plan->expects[i].kind == expect.kind)
            places[count++] = i;
    int which = steps->count == 3 ? step_number(steps->steps[2], count + 1) : 0;
    if (which < 0 || steps->count > 3)
        return rn_fail(err, RN_E_PLAN, "there is no expectation '%s' of this kind",
                       rn_text_quote(quoted, steps->steps[2]));
    if (which == count && plan->expect_count == RN_EXPECTS_MOST)
        return rn_fail(err, RN_E_PLAN, "there are too many expectations: at most %d", RN_EXPECTS_MOST);
    plan->expects[which < count ? places[which] : plan->expect_count++] = expect;
    return RN_OK;
}

static rn_status set_step(rn_plan *plan, const path *steps, const char *value, rn_error *err)
{
    const char *first = steps->steps[0];
    char quoted[RN_QUOTE_SIZE];
    if (steps->count == 1 && !strcmp(first, "poured"))
        return set_poured(plan, value, err);
    if (steps->count == 1 && !strcmp(first, "consistency"))
        return set_consistency(plan, value, err);
    if (!strcmp(first, "expect"))
        return set_expectation(plan, steps, value, err);
    for (rn_section section = RN_SECTION_PANEL; section < RN_SECTIONS; section++) {
        if (strcmp(first, rn_section_word(section)))
            continue;
        if (section == RN_SECTION_PANEL || section == RN_SECTION_LIMITS)
            return set_key(plan, section, 0, steps, 1, value, err);
        int index = steps->count > 1 ? find_element(plan, section, steps->steps[1]) : 0;
        if (index < 0)
            return rn_fail(err, RN_E_PLAN, "there is no '%s' under %s", rn_text_quote(quoted, steps->steps[1]), first);
        return set_key(plan, section, index, steps, 2, value, err);
    }
    return set_key(plan, RN_SECTION_PLAN, 0, steps, 0, value, err);
}

static rn_status set_one(rn_plan *plan, const rn_setting *setting, rn_error *err)
{
    path steps;
    char quoted[RN_QUOTE_SIZE];
    rn_error own = {0};
    rn_status status = split_path(&steps, setting->path, err);
    if (status)
        return status;
    if (!rn_text_printable(setting->value))
        return rn_fail(err, RN_E_PLAN, "%s: the value holds a character that is no text",
                       rn_text_quote(quoted, setting->path));
    status = set_step(plan, &steps, setting->value, &own);
    return status ? rn_fail_right(err, status, own.wrong, own.right, "%s: %s", rn_text_quote(quoted, setting->path),
                                  own.message)
                  : RN_OK;
}

rn_status rn_plan_set_all(rn_plan *plan, const rn_setting *settings, int count, rn_error *err)
{
    rn_plan *changed = rn_plan_copy(plan);
    if (!changed)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    rn_status status = RN_OK;
    for (int i = 0; i < count && !status; i++)
        status = set_one(changed, &settings[i], err);
    if (!status) {
        rn_plan_settle(changed);
        status = rn_plan_check(changed, err);
    }
    if (!status) {
        rn_pour *pours = plan->pours;
        memcpy(pours, changed->pours, RN_POURS_MOST * sizeof *pours);
        *plan = *changed;
        plan->pours = pours;
    }
    rn_plan_free(changed);
    return status;
}

rn_status rn_plan_set(rn_plan *plan, const char *path_text, const char *value, rn_error *err)
{
    const rn_setting setting = {path_text, value};
    return rn_plan_set_all(plan, &setting, 1, err);
}

/* ---- numbers read back ---- */

static void bound(rn_plan_number *number, const rn_key *key)
{
    number->dimension = key->dimension;
    number->least = number->most = NAN;
    number->whole = key->kind == RN_KEY_COUNT;
    if (key->least)
        rn_units_read(&number->least, NULL, key->least, key->dimension, 0, NULL);
    if (key->most)
        rn_units_read(&number->most, NULL, key->most, key->dimension, 0, NULL);
}

static rn_plan_number poured_number(const rn_plan *plan)
{
    return (rn_plan_number){.value = rn_plan_poured_all(plan), .dimension = RN_DIM_VOLUME, .least = NAN, .most = NAN};
}

static rn_plan_number consistency_number(const rn_plan *plan)
{
    rn_plan_number number;
    double volume;
    bound(&number, rn_plan_key(RN_SECTION_PAINT, "viscosity"));
    number.value = rn_plan_mixture(&volume, plan).law.consistency;
    return number;
}

/* The number of an element's key; false where it is none. */
static bool key_number(rn_plan_number *number, const rn_plan *plan, rn_section section, int index, const path *steps,
                       int at)
{
    const rn_key *key = at < steps->count ? rn_plan_key(section, steps->steps[at]) : NULL;
    if (key && key->kind == RN_KEY_STACK && at + 2 == steps->count) {
        const int item = layer_of(plan, &plan->pours[index], steps->steps[at + 1]);
        bound(number, &rn_layer_key);
        number->value = item >= 0 ? plan->pours[index].stack[item].volume : NAN;
        return item >= 0;
    }
    if (!key || at + 1 != steps->count || (must_apply(section, key) && !rn_value_applies(plan, section, index, key)))
        return false;
    const void *field = rn_value_field(plan, section, index, key);
    bound(number, key);
    if (key->kind == RN_KEY_QUANTITY || key->kind == RN_KEY_AMOUNT || key->kind == RN_KEY_BEARING)
        number->value = *(const double *)field;
    else if (key->kind == RN_KEY_COUNT)
        number->value = *(const int *)field;
    else if (key->kind == RN_KEY_ROUND && plan->panel.round)
        number->value = plan->panel.width;
    else
        return false;
    if (key->kind == RN_KEY_BEARING)
        number->dimension = RN_DIM_ANGLE;
    return true;
}

static bool number_of(rn_plan_number *number, const rn_plan *plan, const path *steps)
{
    const char *first = steps->steps[0];
    if (steps->count == 1 && (!strcmp(first, "poured") || !strcmp(first, "consistency"))) {
        *number = first[0] == 'p' ? poured_number(plan) : consistency_number(plan);
        return true;
    }
    for (rn_section section = RN_SECTION_PANEL; section < RN_SECTIONS; section++) {
        if (strcmp(first, rn_section_word(section)))
            continue;
        if (section == RN_SECTION_PANEL || section == RN_SECTION_LIMITS)
            return key_number(number, plan, section, 0, steps, 1);
        const int index = steps->count > 1 ? find_element(plan, section, steps->steps[1]) : -1;
        return index >= 0 && key_number(number, plan, section, index, steps, 2);
    }
    return key_number(number, plan, RN_SECTION_PLAN, 0, steps, 0);
}

rn_status rn_plan_number_at(rn_plan_number *number, const rn_plan *plan, const char *path_text, rn_error *err)
{
    path steps;
    char quoted[RN_QUOTE_SIZE];
    rn_plan_number found;
    const rn_status status = split_path(&steps, path_text, err);
    if (status)
        return status;
    if (!number_of(&found, plan, &steps))
        return rn_fail(err, RN_E_PLAN, "'%s' is no number of this plan: write for example poured or moves.4.spin",
                       rn_text_quote(quoted, path_text));
    *number = found;
    return RN_OK;
}
