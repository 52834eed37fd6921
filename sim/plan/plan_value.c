#include "plan/plan_value.h"

#include <assert.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "plan/plan_words.h"

#define ITEM_SIZE 200
#define LIST_SEPARATOR ','

/* Enums are kept as int by every compiler this is built with; a WORD key writes them as such. */
static_assert(sizeof(rn_edge_kind) == sizeof(int) && sizeof(rn_ground) == sizeof(int), "enums are ints");

/* Quiet colours of a tidal shore, for paints whose colour is not given. */
static const uint8_t palette[RN_PAINTS_MOST][3] = {
    {0x2B, 0x3A, 0x55}, {0x1F, 0x7A, 0x5C}, {0xC9, 0x96, 0x2F}, {0xE9, 0xE4, 0xD8},
    {0x8C, 0x4A, 0x3A}, {0x5E, 0x8A, 0xA6}, {0x6B, 0x6B, 0x5A}, {0xD9, 0xB8, 0xA0},
    {0x3D, 0x2B, 0x3F}, {0x9F, 0xB8, 0x9A}, {0xB0, 0x5D, 0x6E}, {0x1E, 0x1F, 0x24},
};

const void *rn_value_field(const rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    const char *element = (const char *)plan;
    switch (section) {
    case RN_SECTION_PAINT: element = (const char *)&plan->paints[index]; break;
    case RN_SECTION_BASE: element = (const char *)&plan->bases[index]; break;
    case RN_SECTION_POUR: element = (const char *)&plan->pours[index]; break;
    case RN_SECTION_MOVE: element = (const char *)&plan->moves[index]; break;
    case RN_SECTION_PLAN:
    case RN_SECTION_PANEL:
    case RN_SECTION_LIMITS:
    case RN_SECTIONS: break;
    }
    return element + key->offset;
}

static void *writable_field(rn_plan *plan, rn_section section, int index, const rn_key *key)
{
    return (void *)(uintptr_t)rn_value_field(plan, section, index, key); /* the plan itself is not const here */
}

/* ---- defaults ---- */

double rn_value_advance(rn_ground ground)
{
    /* Common practice, no source: what a drop of pouring paint shows on dry primer and on varnish. */
    return (ground == RN_GROUND_SEALED ? 35 : 25) * RN_DEGREE;
}

double rn_value_ramp(const rn_move *move)
{
    double ramp = move->kind == RN_MOVE_TILT ? 0.5 : move->kind == RN_MOVE_REST ? 0 : 1;
    return fmin(ramp, 0.5 * move->duration);
}

void rn_value_defaults(rn_plan *plan, rn_section section, int index)
{
    switch (section) {
    case RN_SECTION_PAINT: plan->paints[index] = (rn_paint){0}; break;
    case RN_SECTION_BASE: plan->bases[index] = (rn_base){0}; break;
    case RN_SECTION_POUR: plan->pours[index] = (rn_pour){0}; break;
    case RN_SECTION_MOVE: plan->moves[index] = (rn_move){0}; break;
    case RN_SECTION_PLAN:
    case RN_SECTION_PANEL:
    case RN_SECTION_LIMITS:
    case RN_SECTIONS: break;
    }
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    for (int i = 0; i < count; i++) {
        if (keys[i].fallback) {
            rn_status status = rn_value_read(plan, section, index, &keys[i], keys[i].fallback, NULL);
            assert(status == RN_OK);
            (void)status;
        } else if (keys[i].kind == RN_KEY_QUANTITY) {
            *(double *)writable_field(plan, section, index, &keys[i]) = NAN;
        }
    }
    if (section == RN_SECTION_PAINT) {
        memcpy(plan->paints[index].colour, palette[index], 3);
        rn_value_read(plan, section, index, rn_plan_key(section, "consistency"),
                      rn_consistency_ladder[RN_CONSISTENCY_USUAL].word, NULL);
    }
}

/* ---- ranges ---- */

static double limit_value(const char *text, rn_dimension dimension)
{
    double value = 0;
    rn_status status = rn_units_read(&value, NULL, text, dimension, 0, NULL);
    assert(status == RN_OK);
    (void)status;
    return value;
}

bool rn_value_in_range(const rn_key *key, double value)
{
    if (isnan(value) || !key->least)
        return true;
    /* A limit may be written in another unit than the value: allow for the rounding of both. */
    double least = limit_value(key->least, key->dimension), most = limit_value(key->most, key->dimension);
    double slack = 1e-12 * fmax(fabs(least), fabs(most));
    return value >= least - slack && value <= most + slack;
}

/* A limit in the unit that was written, or as the table has it where that would be an unwieldy number. */
static void limit_text(char text[64], const char *limit, const rn_key *key, const rn_unit *unit)
{
    double value = limit_value(limit, key->dimension);
    double amount = unit && unit->dimension == key->dimension ? fabs(value) / unit->factor : 1;
    if (amount > 0 && (amount < 1e-3 || amount >= 1e6))
        snprintf(text, 64, "%s", limit);
    else
        rn_units_round(text, 64, value, key->dimension, unit, 6);
}

static rn_status check_range(const rn_key *key, double value, const rn_unit *unit, const char *text, rn_error *err)
{
    if (rn_value_in_range(key, value))
        return RN_OK;
    char quoted[RN_QUOTE_SIZE], least[64], most[64];
    limit_text(least, key->least, key, unit);
    limit_text(most, key->most, key, unit);
    return rn_fail(err, RN_E_PLAN, "'%s' is out of range: %s goes from %s to %s", rn_text_quote(quoted, text),
                   key->name, least, most);
}

static rn_status read_quantity(double *value, const rn_key *key, const char *text, double density, rn_error *err)
{
    const rn_unit *unit;
    double found;
    const rn_usual usual = rn_key_usual(key);
    rn_status status = rn_units_read_usual(&found, &unit, text, key->dimension, density, &usual, err);
    if (!status)
        status = check_range(key, found, unit, text, err);
    if (!status)
        *value = found;
    return status;
}

/* ---- names and words ---- */

rn_status rn_value_name(char name[RN_NAME_SIZE], const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    rn_text_quote(quoted, text);
    size_t length = strlen(text);
    if (length == 0)
        return rn_fail(err, RN_E_PLAN, "a name is empty: write for example slate");
    if (length >= RN_NAME_SIZE)
        return rn_fail(err, RN_E_PLAN, "the name '%s' is too long: at most %d letters", quoted, RN_NAME_SIZE - 1);
    if (!isalpha((unsigned char)text[0]) && (unsigned char)text[0] < 0x80)
        return rn_fail(err, RN_E_PLAN, "the name '%s' does not begin with a letter, as slate does", quoted);
    if (text[0] == ' ' || text[length - 1] == ' ' || strstr(text, "  "))
        return rn_fail(err, RN_E_PLAN, "the name '%s' has blanks at an end or two in a row", quoted);
    if (!rn_text_printable(text) || strpbrk(text, ".,:=[]{}\"'#"))
        return rn_fail(err, RN_E_PLAN, "the name '%s' holds a sign: use letters, digits, blanks, - and _", quoted);
    memcpy(name, text, length + 1);
    return RN_OK;
}

int rn_value_paint(const rn_plan *plan, const char *name)
{
    for (int i = 0; i < plan->paint_count; i++)
        if (!strcmp(plan->paints[i].name, name))
            return i;
    return -1;
}

static rn_status fail_paint(const rn_plan *plan, const char *name, rn_error *err)
{
    const char *names[RN_PAINTS_MOST];
    char quoted[RN_QUOTE_SIZE], all[300] = "";
    for (int i = 0; i < plan->paint_count; i++)
        names[i] = plan->paints[i].name;
    const char *nearest = rn_text_nearest(name, names, plan->paint_count);
    rn_text_quote(quoted, name);
    if (nearest)
        return rn_fail(err, RN_E_PLAN, "unknown paint '%s'; did you mean '%s'?", quoted, nearest);
    for (int i = 0, used = 0; i < plan->paint_count && used < (int)sizeof all; i++)
        used += snprintf(all + used, sizeof all - (size_t)used, "%s%s", i ? ", " : "", names[i]);
    return rn_fail(err, RN_E_PLAN, "unknown paint '%s'; under paints there %s %s", quoted,
                   plan->paint_count == 1 ? "is" : "are", plan->paint_count ? all : "none");
}

static rn_status read_word(int *which, const rn_key *key, const char *text, rn_error *err)
{
    int count = 0;
    for (; key->words[count]; count++)
        if (rn_text_same(key->words[count], text)) {
            *which = count;
            return RN_OK;
        }
    char quoted[RN_QUOTE_SIZE], all[200];
    const char *nearest = rn_text_nearest(text, key->words, count);
    rn_text_quote(quoted, text);
    if (nearest)
        return rn_fail(err, RN_E_PLAN, "%s cannot be '%s'; did you mean '%s'?", key->name, quoted, nearest);
    rn_key_range_text(all, sizeof all, key);
    return rn_fail(err, RN_E_PLAN, "%s cannot be '%s': it is %s%s", key->name, quoted, count > 1 ? "one of " : "", all);
}

double rn_value_consistency(rn_plan *plan, const char *text)
{
    const int word = rn_consistency_find(text), old = rn_consistency_find_old(text);
    if (word >= 0)
        return rn_consistency_ladder[word].viscosity;
    if (old < 0)
        return NAN;
    if (plan->old_word_count < RN_OLD_WORDS_MOST)
        plan->old_words[plan->old_word_count++] = (rn_old_word){.word = old};
    return rn_consistency_olds[old].viscosity;
}

rn_status rn_value_fail_consistency(const char *text, const char *more, rn_error *err)
{
    const char *words[RN_CONSISTENCY_COUNT];
    char quoted[RN_QUOTE_SIZE], all[200];
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++)
        words[i] = rn_consistency_ladder[i].word;
    const char *nearest = rn_text_nearest(text, words, RN_CONSISTENCY_COUNT);
    rn_text_quote(quoted, text);
    if (nearest)
        return rn_fail(err, RN_E_PLAN, "unknown consistency '%s'; did you mean '%s'?", quoted, nearest);
    return rn_fail(err, RN_E_PLAN, "unknown consistency '%s': it is %s%s", quoted, rn_consistency_list(all, sizeof all),
                   more);
}

static rn_status read_consistency(rn_plan *plan, rn_law *law, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    const double viscosity = rn_value_consistency(plan, text);
    if (isdigit((unsigned char)text[0]))
        return rn_fail(err, RN_E_PLAN, "'%s' is no word of consistency: a number goes under viscosity",
                       rn_text_quote(quoted, text));
    if (isnan(viscosity))
        return rn_value_fail_consistency(text, "", err);
    law->consistency = viscosity;
    return RN_OK;
}

static rn_status read_title(char title[RN_TITLE_SIZE], const char *text, rn_error *err)
{
    if (strlen(text) >= RN_TITLE_SIZE)
        return rn_fail(err, RN_E_PLAN, "the title is too long: at most %d bytes", RN_TITLE_SIZE - 1);
    if (!rn_text_printable(text))
        return rn_fail(err, RN_E_PLAN, "the title holds a character that is not seen: it is one line of text");
    memcpy(title, text, strlen(text) + 1);
    return RN_OK;
}

/* ---- kinds with a shape of their own ---- */

static rn_status read_size(rn_panel *panel, const rn_key *key, const char *text, rn_error *err)
{
    double width, height;
    rn_status status = rn_size_read(&width, &height, text, err);
    if (status)
        return status;
    if (!rn_value_in_range(key, width) || !rn_value_in_range(key, height)) {
        char quoted[RN_QUOTE_SIZE];
        return rn_fail(err, RN_E_PLAN, "'%s' is out of range: a side goes from %s to %s", rn_text_quote(quoted, text),
                       key->least, key->most);
    }
    panel->round = false;
    panel->width = width;
    panel->height = height;
    return RN_OK;
}

static rn_status read_round(rn_panel *panel, const rn_key *key, const char *text, rn_error *err)
{
    double across;
    rn_status status = read_quantity(&across, key, text, 0, err);
    if (status)
        return status;
    panel->round = true;
    panel->width = panel->height = across;
    return RN_OK;
}

static rn_status read_puddle(rn_base *base, const char *text, rn_error *err)
{
    if (rn_text_same(text, "corners")) {
        base->kind = RN_BASE_CORNERS;
        base->at = (rn_place){0};
        return RN_OK;
    }
    rn_status status = rn_place_read(&base->at, text, err);
    if (!status)
        base->kind = RN_BASE_DISC;
    return status;
}

static rn_status read_strip(rn_base *base, const char *text, rn_error *err)
{
    rn_place place = {0};
    char quoted[RN_QUOTE_SIZE];
    if (rn_place_read(&place, text, NULL) || place.point || (!place.side_x) == (!place.side_y))
        return rn_fail(err, RN_E_PLAN, "'%s' is no edge: write left edge, right edge, front edge or back edge",
                       rn_text_quote(quoted, text));
    base->at = place;
    base->kind = RN_BASE_STRIP;
    return RN_OK;
}

static rn_status read_amount(rn_move *move, const rn_key *key, const char *text, rn_error *err)
{
    rn_status status = read_quantity(&move->amount, key, text, 0, err);
    if (!status)
        move->kind = (rn_move_kind)key->which;
    return status;
}

static rn_status read_rest(rn_move *move, const rn_key *key, const char *text, rn_error *err)
{
    int which;
    rn_status status = read_word(&which, key, rn_text_same(text, "true") ? "yes" : text, err);
    if (status)
        return status;
    move->kind = RN_MOVE_REST;
    move->amount = 0;
    return RN_OK;
}

static rn_status read_whole(long *value, const rn_key *key, const char *text, rn_error *err)
{
    double found;
    rn_status status = read_quantity(&found, key, text, 0, err);
    if (!status)
        *value = lround(found);
    return status;
}

/* ---- lists ---- */

const rn_key rn_layer_key = {.name = "a layer's volume",
                             .dimension = RN_DIM_VOLUME,
                             .least = "0 ml",
                             .most = "20 l",
                             .usual = {"1 ml", "500 ml", "20 ml"}};
const rn_key rn_size_key = {.name = "a share", .dimension = RN_DIM_PLAIN, .least = "0", .most = "1000000"};

void rn_value_empty(rn_plan *plan, int pour, const rn_key *key)
{
    if (key->kind == RN_KEY_SIZES)
        plan->pours[pour].size_count = 0;
    else
        plan->pours[pour].layer_count = 0;
}

rn_status rn_value_layer(rn_layer *layer, const rn_plan *plan, const char *text, rn_error *err)
{
    char quoted[RN_QUOTE_SIZE];
    rn_text_quote(quoted, text);
    /* The longest name wins: a paint may be called "foam" and another "foam white". */
    int paint = -1;
    size_t length = 0;
    for (int i = 0; i < plan->paint_count; i++) {
        size_t n = strlen(plan->paints[i].name);
        bool begins = !strncmp(text, plan->paints[i].name, n) && (text[n] == ' ' || text[n] == '\0');
        if (begins && n > length) {
            paint = i;
            length = n;
        }
    }
    if (paint < 0) {
        char name[ITEM_SIZE];
        snprintf(name, sizeof name, "%.*s", (int)strcspn(text, "0123456789"), text);
        size_t end = strlen(name);
        while (end > 0 && name[end - 1] == ' ')
            name[--end] = '\0';
        if (!name[0])
            return rn_fail(err, RN_E_PLAN, "'%s' names no paint first: write for example slate 20 ml", quoted);
        return fail_paint(plan, name, err);
    }
    if (!text[length])
        return rn_fail(err, RN_E_PLAN, "'%s' has no volume: write for example %s 20 ml", quoted, text);
    rn_layer found = {.paint = paint};
    rn_status status = read_quantity(&found.volume, &rn_layer_key, text + length + 1, plan->paints[paint].density, err);
    if (!status)
        *layer = found;
    return status;
}

static rn_status append_size(rn_pour *pour, const char *text, rn_error *err)
{
    if (pour->size_count == RN_BURSTS_MOST)
        return rn_fail(err, RN_E_PLAN, "there are too many sizes: at most %d", RN_BURSTS_MOST);
    rn_status status = read_quantity(&pour->sizes[pour->size_count], &rn_size_key, text, 0, err);
    if (!status)
        pour->size_count++;
    return status;
}

rn_status rn_value_append(rn_plan *plan, int index, const rn_key *key, const char *text, rn_error *err)
{
    rn_pour *pour = &plan->pours[index];
    if (key->kind == RN_KEY_SIZES)
        return append_size(pour, text, err);
    if (pour->layer_count == RN_LAYERS_MOST)
        return rn_fail(err, RN_E_PLAN, "the stack is too high: at most %d layers", RN_LAYERS_MOST);
    rn_status status = rn_value_layer(&pour->stack[pour->layer_count], plan, text, err);
    if (!status)
        pour->layer_count++;
    return status;
}

static rn_status read_list(rn_plan *plan, int index, const rn_key *key, const char *text, rn_error *err)
{
    rn_pour before = plan->pours[index];
    char item[ITEM_SIZE], quoted[RN_QUOTE_SIZE];
    rn_value_empty(plan, index, key);
    if (key->kind == RN_KEY_SIZES && rn_text_same(text, "equal"))
        return RN_OK;
    rn_status status = RN_OK;
    for (const char *c = text + (*text == '['); !status && *c;) {
        c += strspn(c, " ");
        size_t length = strcspn(c, ",]");
        if (length >= sizeof item) {
            status =
                rn_fail(err, RN_E_PLAN, "'%s' is too long for one entry of %s", rn_text_quote(quoted, c), key->name);
            break;
        }
        memcpy(item, c, length);
        while (length > 0 && item[length - 1] == ' ')
            length--;
        item[length] = '\0';
        c += strcspn(c, ",]");
        if (*c == ']' && c[1] == '\0' && !length)
            break;
        status = rn_value_append(plan, index, key, item, err);
        c += *c == LIST_SEPARATOR || *c == ']';
    }
    if (status)
        plan->pours[index] = before;
    return status;
}

/* ---- one key ---- */

rn_status rn_value_read(rn_plan *plan, rn_section section, int index, const rn_key *key, const char *text,
                        rn_error *err)
{
    void *field = writable_field(plan, section, index, key);
    char quoted[RN_QUOTE_SIZE];
    rn_status status = RN_OK;
    long whole = 0;
    int which = 0;
    switch (key->kind) {
    case RN_KEY_QUANTITY: {
        if (key->dimension == RN_DIM_VISCOSITY &&
            (rn_consistency_find(text) >= 0 || rn_consistency_find_old(text) >= 0))
            return rn_fail(err, RN_E_PLAN, "'%s' is a word: it goes under consistency, and a number under viscosity",
                           rn_text_quote(quoted, text));
        double density = section == RN_SECTION_BASE ? plan->paints[plan->bases[index].paint].density : 0;
        return read_quantity(field, key, text, density, err);
    }
    case RN_KEY_COUNT:
        status = read_whole(&whole, key, text, err);
        if (!status)
            *(int *)field = (int)whole;
        return status;
    case RN_KEY_SEED: return read_whole(field, key, text, err);
    case RN_KEY_WORD:
        status = read_word(&which, key, text, err);
        if (!status)
            memcpy(field, &which, sizeof which);
        return status;
    case RN_KEY_FLAG:
        status = read_word(&which, key, text, err);
        if (!status)
            *(bool *)field = which == 1;
        return status;
    case RN_KEY_TITLE: return read_title(field, text, err);
    case RN_KEY_NAME: return rn_value_name(field, text, err);
    case RN_KEY_COLOUR: return rn_colour_read(field, text, err);
    case RN_KEY_CONSISTENCY: return read_consistency(plan, field, text, err);
    case RN_KEY_PAINT:
        which = rn_value_paint(plan, text);
        if (which < 0)
            return fail_paint(plan, text, err);
        *(int *)field = which;
        return RN_OK;
    case RN_KEY_PLACE: return rn_place_read(field, text, err);
    case RN_KEY_BEARING: return rn_bearing_read(field, &plan->panel, text, err);
    case RN_KEY_SIZE: return read_size(&plan->panel, key, text, err);
    case RN_KEY_ROUND: return read_round(&plan->panel, key, text, err);
    case RN_KEY_PUDDLE: return read_puddle(&plan->bases[index], text, err);
    case RN_KEY_STRIP: return read_strip(&plan->bases[index], text, err);
    case RN_KEY_SIZES:
    case RN_KEY_STACK: return read_list(plan, index, key, text, err);
    case RN_KEY_AMOUNT: return read_amount(&plan->moves[index], key, text, err);
    case RN_KEY_REST: return read_rest(&plan->moves[index], key, text, err);
    case RN_KEY_VERSION:
        if (strcmp(text, "1"))
            return rn_fail(err, RN_E_PLAN, "plan format '%s' is not known: this program reads plan: 1",
                           rn_text_quote(quoted, text));
        return RN_OK;
    case RN_KEY_SECTION: break;
    }
    return rn_fail(err, RN_E_PLAN, "'%s' holds other keys and has no value of its own", key->name);
}
