/* From the document tree of a plan file to the plan: sections in the order of the key table, every complaint with
   the line and column of what it is about. */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/infile.h"
#include "base/text.h"
#include "plan/plan_check.h"
#include "plan/plan_scan.h"
#include "plan/plan_value.h"
#include "plan/plan_words.h"
#include "plan/plan_yaml.h"

#define EXPECT_WORDS_MOST 16

typedef struct reader {
    yaml_document_t document;
    const char *text;
    long size;
    rn_plan *plan;
    rn_plan_marks *marks;
    rn_error *err;
} reader;

static const char *const nouns[RN_SECTIONS] = {
    [RN_SECTION_PLAN] = "a plan",      [RN_SECTION_PANEL] = "the panel", [RN_SECTION_PAINT] = "a paint",
    [RN_SECTION_BASE] = "a base coat", [RN_SECTION_POUR] = "a pour",     [RN_SECTION_MOVE] = "a move",
    [RN_SECTION_LIMITS] = "limits",
};

static rn_mark mark_of(const yaml_node_t *node)
{
    return rn_yaml_mark(node->start_mark);
}

static yaml_node_t *node_at(reader *r, int number)
{
    return yaml_document_get_node(&r->document, number);
}

/* What a key may hold, for messages. */
static const char *example_of(const rn_key *key)
{
    switch (key->kind) {
    case RN_KEY_QUANTITY:
    case RN_KEY_COUNT:
    case RN_KEY_AMOUNT: return rn_key_usual(key).example;
    case RN_KEY_VERSION: return "1";
    case RN_KEY_SIZE: return "12 in x 12 in";
    case RN_KEY_COLOUR: return "\"#2b3a55\"";
    case RN_KEY_PAINT: return "slate";
    case RN_KEY_STACK: return "[slate 20 ml, kelp 30 ml]";
    case RN_KEY_NAME: return "first";
    case RN_KEY_SECTION: return strcmp(key->name, "panel") ? "{slate: {viscosity: 1 Pa s}}" : "{size: 12 in x 12 in}";
    case RN_KEY_SEED:
    case RN_KEY_WORD:
    case RN_KEY_FLAG:
    case RN_KEY_TITLE:
    case RN_KEY_CONSISTENCY:
    case RN_KEY_PLACE:
    case RN_KEY_BEARING:
    case RN_KEY_ROUND:
    case RN_KEY_PUDDLE:
    case RN_KEY_STRIP:
    case RN_KEY_SIZES:
    case RN_KEY_REST: break;
    }
    return key->fallback ? key->fallback : "..";
}

/* Gives an error that a lower room reported without a place the place of the node. */
static rn_status at_node(reader *r, const yaml_node_t *node, rn_status status)
{
    if (status && r->err && r->err->line == 0) {
        rn_mark mark = mark_of(node);
        r->err->line = mark.line;
        r->err->column = mark.column;
    }
    return status;
}

static bool is_empty(const yaml_node_t *node)
{
    return node->type == YAML_SCALAR_NODE && node->data.scalar.length == 0 &&
           node->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
}

/* The text of a scalar; anything else is an error. what: the key it belongs to. */
static rn_status scalar_text(const char **text, reader *r, const yaml_node_t *node, const char *what)
{
    rn_mark mark = mark_of(node), comment;
    char quoted[RN_QUOTE_SIZE];
    rn_text_quote(quoted, what);
    if (node->type != YAML_SCALAR_NODE)
        return rn_fail_at(r->err, RN_E_PLAN, mark, "'%s' wants one value, not %s", quoted,
                          node->type == YAML_SEQUENCE_NODE ? "a list" : "keys of its own");
    if (is_empty(node)) {
        if (rn_scan_comment(&comment, r->text, r->size, mark))
            return rn_fail_at(
                r->err, RN_E_PLAN, comment,
                "the '#' begins a comment here, so '%s' has no value: write it in quotes, as \"#2b3a55\", "
                "or bare, as 2b3a55",
                quoted);
        return rn_fail_at(r->err, RN_E_PLAN, mark, "'%s' has no value", quoted);
    }
    if (memchr(node->data.scalar.value, 0, node->data.scalar.length))
        return rn_fail_at(r->err, RN_E_PLAN, mark, "'%s' holds a character 0", quoted);
    *text = (const char *)node->data.scalar.value;
    return RN_OK;
}

/* ---- keys of one mapping ---- */

static rn_status fail_unknown(reader *r, const yaml_node_t *node, const char *name, rn_section section)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    const char *names[RN_KEYS_MOST];
    char quoted[RN_QUOTE_SIZE], all[300] = "";
    rn_mark mark = mark_of(node);
    rn_text_quote(quoted, name);
    for (int i = 0, used = 0; i < count; i++) {
        names[i] = keys[i].name;
        used += snprintf(all + used, sizeof all - (size_t)used, "%s%s", i ? ", " : "", names[i]);
    }
    if (strspn(name, "0123456789") == 3) /* "1,200 ml" may be either */
        return rn_fail_at(r->err, RN_E_PLAN, mark,
                          "unknown key '%s'; if it follows a comma within a number, write 1200 or 1.2 without one",
                          quoted);
    if (isdigit((unsigned char)name[0]))
        return rn_fail_at(r->err, RN_E_PLAN, mark,
                          "unknown key '%s'; if it follows a decimal comma, write a point, as 1.5 s", quoted);
    const char *nearest = rn_text_nearest(name, names, count);
    if (nearest)
        return rn_fail_at(r->err, RN_E_PLAN, mark, "unknown key '%s'; did you mean '%s'?", quoted, nearest);
    for (rn_section other = RN_SECTION_PLAN; other < RN_SECTIONS; other++)
        if (rn_plan_key(other, name))
            return rn_fail_at(r->err, RN_E_PLAN, mark, "'%s' is a key of %s, not of %s", quoted, nouns[other],
                              nouns[section]);
    return rn_fail_at(r->err, RN_E_PLAN, mark, "unknown key '%s': %s has %s", quoted, nouns[section], all);
}

/* Sorts a mapping's values by the rows of the section's table: nodes[row], NULL where not given. */
static rn_status sort_keys(yaml_node_t *nodes[RN_KEYS_MOST], reader *r, const yaml_node_t *mapping, rn_section section,
                           rn_element_marks *marks)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    marks->own = mark_of(mapping);
    if (mapping->type != YAML_MAPPING_NODE)
        return rn_fail_at(r->err, RN_E_PLAN, marks->own, "%s is written as keys with values, for example %s: %s",
                          nouns[section], keys[0].name, example_of(&keys[0]));
    for (const yaml_node_pair_t *pair = mapping->data.mapping.pairs.start; pair < mapping->data.mapping.pairs.top;
         pair++) {
        yaml_node_t *key_node = node_at(r, pair->key), *value = node_at(r, pair->value);
        const char *name;
        rn_status status = scalar_text(&name, r, key_node, "a key");
        if (status)
            return status;
        int row = 0;
        while (row < count && strcmp(keys[row].name, name))
            row++;
        if (row == count)
            return fail_unknown(r, key_node, name, section);
        if (nodes[row])
            return rn_fail_at(r->err, RN_E_PLAN, mark_of(key_node), "'%s' is given twice; the first is on line %d",
                              name, marks->keys[row].line);
        nodes[row] = value;
        marks->keys[row] = mark_of(value);
    }
    return RN_OK;
}

static rn_status read_value(reader *r, const yaml_node_t *node, rn_section section, int index, const rn_key *key)
{
    bool list = key->kind == RN_KEY_SIZES || key->kind == RN_KEY_STACK;
    const char *text;
    if (!list || node->type != YAML_SEQUENCE_NODE) {
        rn_status status = scalar_text(&text, r, node, key->name);
        const int old_words = r->plan->old_word_count;
        if (!status)
            status = at_node(r, node, rn_value_read(r->plan, section, index, key, text, r->err));
        for (int i = old_words; i < r->plan->old_word_count; i++)
            r->plan->old_words[i].mark = mark_of(node);
        return status;
    }
    rn_value_empty(r->plan, index, key);
    for (const yaml_node_item_t *item = node->data.sequence.items.start; item < node->data.sequence.items.top; item++) {
        const yaml_node_t *entry = node_at(r, *item);
        rn_status status = scalar_text(&text, r, entry, key->name);
        if (!status)
            status = at_node(r, entry, rn_value_append(r->plan, index, key, text, r->err));
        if (status)
            return status;
    }
    return RN_OK;
}

/* Reads all keys of one element; nodes tells afterwards which were given. */
static rn_status read_keys(yaml_node_t *nodes[RN_KEYS_MOST], reader *r, const yaml_node_t *mapping, rn_section section,
                           int index)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    rn_element_marks *marks = rn_marks_of(r->marks, section, index);
    rn_status status = sort_keys(nodes, r, mapping, section, marks);
    for (int i = 0; i < count && !status; i++)
        if (nodes[i] && keys[i].kind != RN_KEY_SECTION)
            status = read_value(r, nodes[i], section, index, &keys[i]);
    for (int i = 0; i < count && !status; i++)
        if (!nodes[i] && !keys[i].fallback && !keys[i].otherwise)
            status = rn_fail_at(r->err, RN_E_PLAN, marks->own, "%s needs '%s': write for example %s: %s",
                                nouns[section], keys[i].name, keys[i].name, example_of(&keys[i]));
    return status;
}

/* The node of a key by name. */
static yaml_node_t *given(yaml_node_t *const nodes[RN_KEYS_MOST], rn_section section, const char *name)
{
    int count;
    const rn_key *keys = rn_plan_keys(&count, section);
    return nodes[rn_plan_key(section, name) - keys];
}

/* Both of two keys that exclude each other. */
static rn_status not_both(reader *r, yaml_node_t *const nodes[RN_KEYS_MOST], rn_section section, const char *first,
                          const char *second)
{
    const yaml_node_t *a = given(nodes, section, first), *b = given(nodes, section, second);
    if (!a || !b)
        return RN_OK;
    bool later = b->start_mark.index > a->start_mark.index;
    return rn_fail_at(r->err, RN_E_PLAN, mark_of(later ? b : a), "%s takes either '%s' or '%s', not both",
                      nouns[section], first, second);
}

/* A key that has nothing to say here. */
static rn_status not_here(reader *r, yaml_node_t *const nodes[RN_KEYS_MOST], rn_section section, const char *name,
                          const char *why)
{
    const yaml_node_t *node = given(nodes, section, name);
    return node ? rn_fail_at(r->err, RN_E_PLAN, mark_of(node), "'%s' does not apply here: %s", name, why) : RN_OK;
}

/* ---- elements ---- */

static rn_status read_panel(reader *r, const yaml_node_t *node, int index)
{
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    rn_status status = read_keys(nodes, r, node, RN_SECTION_PANEL, index);
    if (!status)
        status = not_both(r, nodes, RN_SECTION_PANEL, "size", "across");
    if (!status && !given(nodes, RN_SECTION_PANEL, "size") && !given(nodes, RN_SECTION_PANEL, "across"))
        status =
            rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                       "the panel needs a size: write for example size: 12 in x 12 in, or across: 30 cm for a disc");
    if (!given(nodes, RN_SECTION_PANEL, "advance"))
        r->plan->panel.advance = rn_value_advance(r->plan->panel.ground);
    return status;
}

static rn_status read_paint(reader *r, const yaml_node_t *node, int index)
{
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    rn_status status = read_keys(nodes, r, node, RN_SECTION_PAINT, index);
    return status ? status : not_both(r, nodes, RN_SECTION_PAINT, "consistency", "viscosity");
}

static rn_status read_base(reader *r, const yaml_node_t *node, int index)
{
    const rn_section section = RN_SECTION_BASE;
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    const rn_base *base = &r->plan->bases[index];
    rn_status status = read_keys(nodes, r, node, section, index);
    if (!status)
        status = not_both(r, nodes, section, "depth", "volume");
    if (!status)
        status = not_both(r, nodes, section, "at", "along");
    if (!status && !given(nodes, section, "depth") && !given(nodes, section, "volume"))
        status = rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                            "a base coat needs a depth or a volume: write for example depth: 0.3 mm or volume: 8 ml");
    if (!status && base->kind != RN_BASE_CORNERS && base->kind != RN_BASE_DISC)
        status = not_here(r, nodes, section, "across", "it is the diameter of a puddle laid 'at' a place");
    if (!status && base->kind != RN_BASE_STRIP)
        status = not_here(r, nodes, section, "width", "it is that of a strip laid 'along' an edge");
    return status;
}

static rn_status read_pour(reader *r, const yaml_node_t *node, int index)
{
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    rn_status status = read_keys(nodes, r, node, RN_SECTION_POUR, index);
    if (!status && r->plan->pours[index].cup)
        status = not_here(r, nodes, RN_SECTION_POUR, "width", "a cup lays a full disc, only a rim a ring");
    if (!status && r->plan->pours[index].cup)
        status = not_here(r, nodes, RN_SECTION_POUR, "uneven", "it is round a rim, and this pours from a cup");
    return status;
}

static rn_status read_move(reader *r, const yaml_node_t *node, int index)
{
    static const char *const kinds[] = {"rest", "turn", "tilt", "spin"};
    const rn_section section = RN_SECTION_MOVE;
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    rn_move *move = &r->plan->moves[index];
    rn_status status = read_keys(nodes, r, node, section, index);
    int count = 0;
    for (int i = 0; i < 4 && !status; i++) {
        count += given(nodes, section, kinds[i]) != NULL;
        for (int j = i + 1; j < 4 && !status; j++)
            status = not_both(r, nodes, section, kinds[i], kinds[j]);
    }
    if (!status && count == 0)
        status = rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                            "a move needs one of rest, turn, tilt, spin: write for example tilt: 8 deg or rest: yes");
    if (!status && move->kind == RN_MOVE_REST)
        status = not_here(r, nodes, section, "ramp", "a rest has no beginning to soften");
    if (!status && move->kind != RN_MOVE_TILT)
        status = not_here(r, nodes, section, "toward", "only a tilt has a direction");
    if (!status && move->kind != RN_MOVE_TILT)
        status = not_here(r, nodes, section, "frame", "only a tilt has a direction");
    if (!status && move->kind == RN_MOVE_TILT && !given(nodes, section, "toward"))
        status = rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                            "a tilt needs 'toward': where downhill is, for example toward: back right");
    if (!status && !given(nodes, section, "ramp"))
        move->ramp = rn_value_ramp(move);
    return status;
}

static rn_status read_limits(reader *r, const yaml_node_t *node, int index)
{
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    return read_keys(nodes, r, node, RN_SECTION_LIMITS, index);
}

/* ---- sections ---- */

static rn_status read_paints(reader *r, const yaml_node_t *node)
{
    if (node->type != YAML_MAPPING_NODE)
        return rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                          "paints are written by name: for example slate: {viscosity: 1 Pa s}");
    for (const yaml_node_pair_t *pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; pair++) {
        const yaml_node_t *name_node = node_at(r, pair->key), *value = node_at(r, pair->value);
        const char *text;
        char name[RN_NAME_SIZE];
        int index = r->plan->paint_count;
        rn_status status = scalar_text(&text, r, name_node, "a paint's name");
        if (!status)
            status = at_node(r, name_node, rn_value_name(name, text, r->err));
        if (!status && rn_value_paint(r->plan, name) >= 0)
            status = rn_fail_at(r->err, RN_E_PLAN, mark_of(name_node), "the paint '%s' is given twice", name);
        if (!status && index == RN_PAINTS_MOST)
            status = rn_fail_at(r->err, RN_E_PLAN, mark_of(name_node), "there are too many paints: at most %d",
                                RN_PAINTS_MOST);
        if (status)
            return status;
        rn_value_defaults(r->plan, RN_SECTION_PAINT, index);
        memcpy(r->plan->paints[index].name, name, sizeof name);
        rn_marks_of(r->marks, RN_SECTION_PAINT, index)->own = mark_of(name_node);
        status = is_empty(value) ? RN_OK : read_paint(r, value, index);
        if (status)
            return status;
        r->plan->paint_count++;
    }
    return RN_OK;
}

/* The lists of elements: base, pours, moves. */
static rn_status read_list(reader *r, const yaml_node_t *node, rn_section section, int *count, int most,
                           rn_status (*read_element)(reader *, const yaml_node_t *, int))
{
    const char *word = rn_section_word(section);
    if (node->type != YAML_SEQUENCE_NODE)
        return rn_fail_at(r->err, RN_E_PLAN, mark_of(node), "'%s' is a list: begin each entry with '- '", word);
    for (const yaml_node_item_t *item = node->data.sequence.items.start; item < node->data.sequence.items.top; item++) {
        const yaml_node_t *entry = node_at(r, *item);
        if (*count == most)
            return rn_fail_at(r->err, RN_E_PLAN, mark_of(entry), "there are too many entries under '%s': at most %d",
                              word, most);
        rn_value_defaults(r->plan, section, *count);
        rn_status status = read_element(r, entry, *count);
        if (status)
            return status;
        ++*count;
    }
    return RN_OK;
}

static rn_status read_expectation(reader *r, const yaml_node_t *node, const char *word)
{
    const char *text = NULL;
    rn_plan *plan = r->plan;
    rn_status status = scalar_text(&text, r, node, word);
    if (!status && plan->expect_count == RN_EXPECTS_MOST)
        status = rn_fail_at(r->err, RN_E_PLAN, mark_of(node), "there are too many expectations: at most %d",
                            RN_EXPECTS_MOST);
    if (!status)
        status = at_node(r, node, rn_expect_read(&plan->expects[plan->expect_count], word, text, r->err));
    if (!status)
        plan->expect_count++;
    return status;
}

/* The kind of expectation that a key node names. */
static rn_status expectation_kind(int *kind, reader *r, const yaml_node_t *node)
{
    const char *words[EXPECT_WORDS_MOST], *name;
    char quoted[RN_QUOTE_SIZE];
    int count = 0;
    rn_status status = scalar_text(&name, r, node, "a key");
    if (status)
        return status;
    for (; (words[count] = rn_expect_word(count)) != NULL; count++)
        if (!strcmp(words[count], name)) {
            *kind = count;
            return RN_OK;
        }
    const char *nearest = rn_text_nearest(name, words, count);
    rn_text_quote(quoted, name);
    if (nearest)
        return rn_fail_at(r->err, RN_E_PLAN, mark_of(node), "unknown key '%s'; did you mean '%s'?", quoted, nearest);
    return rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                      "unknown key '%s': expect has coverage, covered by, run-off, corner, thinnest, stretch, twist",
                      quoted);
}

static rn_status read_expect(reader *r, const yaml_node_t *node)
{
    bool seen[EXPECT_WORDS_MOST] = {false};
    if (node->type != YAML_MAPPING_NODE)
        return rn_fail_at(r->err, RN_E_PLAN, mark_of(node),
                          "expect is written as keys with values, for example coverage: at least 99 %%");
    for (const yaml_node_pair_t *pair = node->data.mapping.pairs.start; pair < node->data.mapping.pairs.top; pair++) {
        const yaml_node_t *value = node_at(r, pair->value);
        int kind = 0;
        rn_status status = expectation_kind(&kind, r, node_at(r, pair->key));
        const char *word = rn_expect_word(kind);
        if (!status && seen[kind])
            status = rn_fail_at(r->err, RN_E_PLAN, mark_of(node_at(r, pair->key)),
                                "'%s' is given twice: write several as a list, [.., ..]", word);
        seen[kind] = true;
        if (!status && value->type != YAML_SEQUENCE_NODE)
            status = read_expectation(r, value, word);
        else if (!status)
            for (const yaml_node_item_t *item = value->data.sequence.items.start;
                 !status && item < value->data.sequence.items.top; item++)
                status = read_expectation(r, node_at(r, *item), word);
        if (status)
            return status;
    }
    return RN_OK;
}

static rn_status read_section(reader *r, const yaml_node_t *node, const char *name)
{
    rn_plan *plan = r->plan;
    if (!strcmp(name, "panel"))
        return read_panel(r, node, 0);
    if (is_empty(node)) /* "moves:" with nothing below it */
        return RN_OK;
    if (!strcmp(name, "paints"))
        return read_paints(r, node);
    if (!strcmp(name, "base"))
        return read_list(r, node, RN_SECTION_BASE, &plan->base_count, RN_BASES_MOST, read_base);
    if (!strcmp(name, "pours"))
        return read_list(r, node, RN_SECTION_POUR, &plan->pour_count, RN_POURS_MOST, read_pour);
    if (!strcmp(name, "moves"))
        return read_list(r, node, RN_SECTION_MOVE, &plan->move_count, RN_MOVES_MOST, read_move);
    if (!strcmp(name, "limits"))
        return read_limits(r, node, 0);
    return read_expect(r, node);
}

static rn_status read_plan(reader *r, const yaml_node_t *root)
{
    if (!root || is_empty(root))
        return rn_fail_at(r->err, RN_E_PLAN, (rn_mark){1, 1}, "the plan is empty: it begins with plan: 1");
    yaml_node_t *nodes[RN_KEYS_MOST] = {0};
    rn_status status = read_keys(nodes, r, root, RN_SECTION_PLAN, 0);
    int count;
    const rn_key *keys = rn_plan_keys(&count, RN_SECTION_PLAN);
    for (int i = 0; i < count && !status; i++)
        if (nodes[i] && keys[i].kind == RN_KEY_SECTION)
            status = read_section(r, nodes[i], keys[i].name);
    if (status)
        return status;
    r->plan->end_given = given(nodes, RN_SECTION_PLAN, "end") != NULL;
    rn_plan_settle(r->plan);
    return rn_plan_check_marked(r->plan, r->marks, r->err);
}

/* ---- the file ---- */

static void name_file(rn_error *err, const char *name)
{
    if (err && !err->file[0])
        snprintf(err->file, sizeof err->file, "%s", strcmp(name, "-") ? name : "standard input");
}

rn_status rn_plan_read(rn_plan **plan, const char *text, long size, const char *name, rn_error *err)
{
    rn_error own = {0}; /* at_node needs one to give it its place */
    reader r = {.text = text, .size = size, .err = &own};
    rn_status status = rn_yaml_load(&r.document, text, size, &own);
    if (!status) {
        r.plan = rn_plan_new();
        r.marks = calloc(1, sizeof *r.marks);
        if (r.plan && r.marks)
            status = read_plan(&r, yaml_document_get_root_node(&r.document));
        else
            status = rn_fail(&own, RN_E_MEMORY, "no memory left");
        yaml_document_delete(&r.document);
    }
    free(r.marks);
    if (!status) {
        *plan = r.plan;
        return RN_OK;
    }
    rn_plan_free(r.plan);
    if (err && !err->status) {
        *err = own;
        name_file(err, name);
    }
    return status;
}

/* Reads at most one byte more than a plan may have: enough to see that it is too large. */
static rn_status read_all(char **text, long *size, FILE *file, rn_error *err)
{
    char *buffer = malloc(RN_PLAN_SIZE_MOST + 1);
    if (!buffer)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    errno = 0;
    size_t length = fread(buffer, 1, RN_PLAN_SIZE_MOST + 1, file);
    if (ferror(file)) {
        free(buffer);
        return rn_fail(err, RN_E_FILE, "cannot be read: %s", strerror(errno));
    }
    *text = buffer;
    *size = (long)length;
    return RN_OK;
}

rn_status rn_plan_read_file(rn_plan **plan, const char *path, rn_error *err)
{
    bool standard = !strcmp(path, "-");
    const char *why = NULL;
    FILE *file = standard ? stdin : rn_infile_open(&why, path);
    char *text = NULL;
    long size = 0;
    rn_status status;
    if (file)
        status = read_all(&text, &size, file, err);
    else
        status = rn_fail(err, RN_E_FILE, "cannot be opened: %s", why);
    if (file && !standard)
        fclose(file);
    if (!status)
        status = rn_plan_read(plan, text, size, path, err);
    else
        name_file(err, path);
    free(text);
    return status;
}
