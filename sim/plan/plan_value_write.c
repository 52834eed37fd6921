/* A key's field as text: what a plan file would hold there. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "plan/plan_value.h"
#include "plan/plan_words.h"

static bool write_list(char *text, int size, const rn_plan *plan, const rn_pour *pour, const rn_key *key)
{
    bool sizes = key->kind == RN_KEY_SIZES;
    int count = sizes ? pour->size_count : pour->layer_count, used = 0;
    for (int i = 0; i < count && used < size; i++) {
        char item[48];
        if (sizes)
            rn_units_write(item, sizeof item, pour->sizes[i], RN_DIM_PLAIN, NULL);
        else
            rn_units_write(item, sizeof item, pour->stack[i].volume, RN_DIM_VOLUME, NULL);
        const char *name = sizes ? "" : plan->paints[pour->stack[i].paint].name;
        used += snprintf(text + used, (size_t)(size - used), "%s%s%s%s", i ? ", " : "[", name, sizes ? "" : " ", item);
    }
    if (used + 1 < size)
        snprintf(text + used, (size_t)(size - used), "%s", count ? "]" : "");
    return count > 0;
}

bool rn_value_applies(const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    const rn_base *base = &plan->bases[section == RN_SECTION_BASE ? index : 0];
    const rn_paint *paint = &plan->paints[section == RN_SECTION_PAINT ? index : 0];
    if (section == RN_SECTION_PANEL) {
        bool outline = key->kind == RN_KEY_SIZE || key->kind == RN_KEY_ROUND;
        return !outline || plan->panel.round == (key->kind == RN_KEY_ROUND);
    }
    if (section == RN_SECTION_PAINT && !strcmp(key->name, "power"))
        return paint->law.power != 1;
    if (section == RN_SECTION_PAINT && !strcmp(key->name, "yield"))
        return paint->law.yield != 0;
    if (section == RN_SECTION_PLAN && !strcmp(key->name, "end"))
        return plan->end_given;
    if (section == RN_SECTION_BASE) {
        bool puddle = base->kind == RN_BASE_DISC || base->kind == RN_BASE_CORNERS;
        if (key->kind == RN_KEY_PUDDLE || !strcmp(key->name, "across"))
            return puddle;
        if (key->kind == RN_KEY_STRIP || !strcmp(key->name, "width"))
            return base->kind == RN_BASE_STRIP;
    }
    if (section == RN_SECTION_POUR && (!strcmp(key->name, "width") || !strcmp(key->name, "uneven")))
        return !plan->pours[index].cup;
    if (section == RN_SECTION_MOVE) {
        const rn_move *move = &plan->moves[index];
        if (key->kind == RN_KEY_AMOUNT)
            return (int)move->kind == key->which;
        if (key->kind == RN_KEY_REST)
            return move->kind == RN_MOVE_REST;
        if (!strcmp(key->name, "ramp"))
            return move->kind != RN_MOVE_REST;
        if (!strcmp(key->name, "toward") || !strcmp(key->name, "frame"))
            return move->kind == RN_MOVE_TILT;
    }
    return true;
}

static bool write_quantity(char *text, int size, double value, const rn_plan *plan, int index, const rn_key *key)
{
    const rn_unit *unit = NULL;
    if (key->dimension == RN_DIM_VISCOSITY && plan->paints[index].law.power != 1) {
        int count;
        const rn_unit *units = rn_units_table(&count);
        for (int i = 0; i < count && !unit; i++)
            if (!strcmp(units[i].name, "Pa s^n"))
                unit = &units[i];
    }
    if (!isnan(value))
        rn_units_write(text, size, value, key->dimension, unit);
    return !isnan(value);
}

bool rn_key_value_text(char *text, int size, const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    text[0] = '\0';
    if (!rn_value_applies(plan, section, index, key))
        return false;
    const void *field = rn_value_field(plan, section, index, key);
    const uint8_t *colour = field;
    const char *letters = field;
    int which = 0;
    switch (key->kind) {
    case RN_KEY_QUANTITY:
    case RN_KEY_AMOUNT: return write_quantity(text, size, *(const double *)field, plan, index, key);
    case RN_KEY_COUNT: snprintf(text, (size_t)size, "%d", *(const int *)field); break;
    case RN_KEY_SEED: snprintf(text, (size_t)size, "%ld", *(const long *)field); break;
    case RN_KEY_WORD:
        memcpy(&which, field, sizeof which);
        snprintf(text, (size_t)size, "%s", key->words[which]);
        break;
    case RN_KEY_FLAG: snprintf(text, (size_t)size, "%s", key->words[*(const bool *)field ? 1 : 0]); break;
    case RN_KEY_TITLE:
    case RN_KEY_NAME: snprintf(text, (size_t)size, "%s", letters); break;
    case RN_KEY_COLOUR: snprintf(text, (size_t)size, "#%02x%02x%02x", colour[0], colour[1], colour[2]); break;
    case RN_KEY_PAINT: snprintf(text, (size_t)size, "%s", plan->paints[*(const int *)field].name); break;
    case RN_KEY_PUDDLE:
        if (plan->bases[index].kind == RN_BASE_CORNERS)
            snprintf(text, (size_t)size, "corners");
        else
            rn_place_write(text, size, field);
        break;
    case RN_KEY_PLACE:
    case RN_KEY_STRIP: rn_place_write(text, size, field); break;
    case RN_KEY_BEARING: rn_bearing_write(text, size, &plan->panel, *(const double *)field); break;
    case RN_KEY_SIZE: {
        char width[48], height[48];
        rn_units_write(width, sizeof width, plan->panel.width, RN_DIM_LENGTH, NULL);
        rn_units_write(height, sizeof height, plan->panel.height, RN_DIM_LENGTH, NULL);
        snprintf(text, (size_t)size, "%s x %s", width, height);
        break;
    }
    case RN_KEY_ROUND: rn_units_write(text, size, plan->panel.width, RN_DIM_LENGTH, NULL); break;
    case RN_KEY_SIZES:
    case RN_KEY_STACK: return write_list(text, size, plan, &plan->pours[index], key);
    case RN_KEY_REST: snprintf(text, (size_t)size, "yes"); break;
    case RN_KEY_VERSION: snprintf(text, (size_t)size, "1"); break;
    case RN_KEY_CONSISTENCY:
    case RN_KEY_SECTION: return false;
    }
    return text[0] != '\0';
}
