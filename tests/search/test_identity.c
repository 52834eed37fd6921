/* Identities: other text for whatever an outcome depends on, the same for what it does not. */
#include "check.h"

#include <string.h>

#include "plan/plan_keys.h"
#include "search/identity.h"
#include "search/stand_in.h"

/* A plan in which every key is written. */
static const char square[] =
    "plan: 1\n"
    "title: Salt marsh\n"
    "panel: {size: 200 mm x 100 mm, edges: wrapped, side: 10 mm, ground: primed, advance: 25 deg, slope: 0.2 deg, "
    "downhill: back}\n"
    "cover: 0.15 mm\n"
    "paints:\n"
    "  samphire: {colour: \"#3f6f4f\", consistency: olive oil, price: 0.04 per ml}\n"
    "  silt: {viscosity: 0.5 Pa s^n, power: 0.9, yield: 0.1 Pa, density: 1.3 g/ml, tension: 34 mN/m, solids: 36 %}\n"
    "base:\n"
    "  - {paint: silt, depth: 0.3 mm}\n"
    "  - {paint: silt, volume: 8 ml, at: corners, across: 30 mm}\n"
    "  - {paint: silt, volume: 2 ml, along: front edge, width: 20 mm}\n"
    "pours:\n"
    "  - {name: heart, from: rim, at: centre, across: 41 mm, width: 8 mm, start: 1 s, lifts: 2, every: 5 s, open: 2 s, "
    "sizes: [1, 2], uneven: 10 %, seed: 3, repeat: 4, stack: [samphire 60 ml, silt 40 ml]}\n"
    "moves:\n"
    "  - {start: 21 s, for: 8 s, tilt: 6 deg, ramp: 0.5 s, toward: back right, frame: panel}\n"
    "  - {start: 32 s, for: 7 s, turn: 5 rpm}\n"
    "  - {start: 40 s, for: 9 s, spin: 40 rpm}\n"
    "  - {start: 51 s, for: 3 s, rest: yes}\n"
    "limits: {spin: 100 rpm, stretch: 2, deepest: 4 mm}\n"
    "end: 80 s\n"
    "expect: {coverage: at least 90 %}\n";

static const char disc[] =
    "plan: 1\npanel: {across: 250 mm}\npaints: {silt: }\npours: [{stack: [silt 50 ml]}]\nend: 9 s\n";

typedef struct change {
    const char *key, *from, *to;
} change;

/* Every key that an outcome may depend on: what is written of it, and something else. */
static const change matters[] = {
    {"size", "200 mm x 100 mm", "201 mm x 100 mm"},
    {"size", "200 mm x 100 mm", "200 mm x 101 mm"},
    {"edges", "wrapped, side: 10 mm", "walls"},
    {"side", "side: 10 mm", "side: 11 mm"},
    {"ground", "primed", "sealed"},
    {"advance", "advance: 25 deg", "advance: 25.000001 deg"},
    {"slope", "0.2 deg", "0.3 deg"},
    {"downhill", "downhill: back", "downhill: front"},
    {"cover", "0.15 mm", "0.16 mm"},
    {"consistency", "olive oil", "maple syrup"},
    {"viscosity", "0.5 Pa s^n", "0.50000001 Pa s^n"},
    {"power", "0.9", "0.91"},
    {"yield", "0.1 Pa", "0.2 Pa"},
    {"density", "1.3 g/ml", "1.31 g/ml"},
    {"tension", "34 mN/m", "35 mN/m"},
    {"paint", "{paint: silt, depth", "{paint: samphire, depth"},
    {"depth", "depth: 0.3 mm", "depth: 0.31 mm"},
    {"volume", "8 ml", "8.1 ml"},
    {"at", "at: corners", "at: back left"},
    {"across", "across: 30 mm", "across: 31 mm"},
    {"along", "front edge", "left edge"},
    {"width", "width: 20 mm", "width: 21 mm"},
    {"from", "from: rim", NULL}, /* see below */
    {"at", "at: centre", "at: 1 mm right 2 mm front"},
    {"across", "41 mm", "42 mm"},
    {"width", "width: 8 mm", "width: 8.1 mm"},
    {"start", "start: 1 s", "start: 1.1 s"},
    {"lifts", "lifts: 2, every: 5 s, open: 2 s, sizes: [1, 2]", "lifts: 3, every: 5 s, open: 2 s, sizes: [1, 2, 1]"},
    {"every", "every: 5 s", "every: 6 s"},
    {"open", "open: 2 s", "open: 1 s"},
    {"sizes", "[1, 2]", "[2, 1]"},
    {"uneven", "10 %", "11 %"},
    {"seed", "seed: 3", "seed: 4"},
    {"repeat", "repeat: 4", "repeat: 5"},
    {"stack", "samphire 60 ml, silt 40 ml", "silt 40 ml, samphire 60 ml"},
    {"stack", "samphire 60 ml", "samphire 61 ml"},
    {"start", "start: 21 s", "start: 22 s"},
    {"for", "for: 8 s", "for: 8.5 s"},
    {"tilt", "tilt: 6 deg", "tilt: 7 deg"},
    {"ramp", "ramp: 0.5 s", "ramp: 0.6 s"},
    {"toward", "back right", "back left"},
    {"frame", "frame: panel", "frame: room"},
    {"turn", "turn: 5 rpm", "turn: -5 rpm"},
    {"turn", "turn: 5 rpm", "spin: 5 rpm"},
    {"spin", "spin: 40 rpm", "spin: 41 rpm"},
    {"rest", "start: 51 s, for: 3 s, rest: yes", "start: 51 s, for: 3 s, turn: 1 rpm"},
    {"end", "80 s", "81 s"},
    {"solids", "36 %", "37 %"},
};

/* What is only said, shown, paid or hoped for. */
static const change silent[] = {
    {"title", "Salt marsh", "Reed bed"},          {"colour", "#3f6f4f", "#c04030"},
    {"price", "0.04 per ml", "0.05 per ml"},      {"name", "heart", "core"},
    {"expect", "at least 90 %", "at least 99 %"}, {"spin", "spin: 100 rpm", "spin: 90 rpm"},
    {"stretch", "stretch: 2", "stretch: 3"},      {"deepest", "deepest: 4 mm", "deepest: 5 mm"},
};

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static rn_plan *read_plan(const char *text)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "marsh.yaml", &err), &err);
    return plan;
}

static rn_plan *changed(const char *text, const change *what)
{
    char other[4000];
    const char *at = strstr(text, what->from);
    if (!at)
        fail_msg("'%s' is not in the plan", what->from);
    snprintf(other, sizeof other, "%.*s%s%s", (int)(at - text), text, what->to, at + strlen(what->from));
    return read_plan(other);
}

static char *identity_of(const rn_run *run, const char *model)
{
    char *text = NULL;
    rn_error err = {0};
    check_ok(rn_identity_write(&text, run, model, &err), &err);
    return text;
}

/* Whether two runs have the same identity. */
static bool same(const rn_run *a, const rn_run *b)
{
    char *one = identity_of(a, NULL), *other = identity_of(b, NULL);
    const bool alike = strcmp(one, other) == 0;
    free(one);
    free(other);
    return alike;
}

static void whatever_matters_makes_another(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(square);
    const rn_run run = {.plan = plan, .cells = 96};
    for (size_t i = 0; i < COUNT(matters); i++) {
        if (!matters[i].to)
            continue;
        rn_plan *other = changed(square, &matters[i]);
        const rn_run changed_run = {.plan = other, .cells = 96};
        if (same(&run, &changed_run))
            fail_msg("'%s' in place of '%s' makes no other identity", matters[i].to, matters[i].from);
        rn_plan_free(other);
    }
    rn_plan *cup = rn_plan_copy(plan); /* as text other keys would have to go with it */
    cup->pours[0].cup = true;
    assert_false(same(&run, &(rn_run){.plan = cup, .cells = 96}));
    rn_plan_free(cup);
    rn_plan_free(plan);
}

static void what_is_only_said_does_not(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(square);
    const rn_run run = {.plan = plan, .cells = 96};
    for (size_t i = 0; i < COUNT(silent); i++) {
        rn_plan *other = changed(square, &silent[i]);
        const rn_run changed_run = {.plan = other, .cells = 96};
        if (!same(&run, &changed_run))
            fail_msg("'%s' in place of '%s' makes another identity", silent[i].to, silent[i].from);
        rn_plan_free(other);
    }
    rn_plan_free(plan);
}

static void a_paint_s_name_is_only_a_name(void **state)
{
    (void)state;
    static const char other[] =
        "plan: 1\npanel: {across: 250 mm}\npaints: {loam: }\npours: [{stack: [loam 50 ml]}]\nend: 9 s\n";
    rn_plan *a = read_plan(disc), *b = read_plan(other);
    assert_true(same(&(rn_run){.plan = a, .cells = 96}, &(rn_run){.plan = b, .cells = 96}));
    rn_plan_free(a);
    rn_plan_free(b);
}

static void a_round_panel_by_its_size(void **state)
{
    (void)state;
    rn_plan *a = read_plan(disc), *b = changed(disc, &(change){"across", "across: 250 mm", "across: 251 mm"});
    rn_plan *c = changed(disc, &(change){"size", "across: 250 mm", "size: 250 mm x 250 mm"});
    const rn_run run = {.plan = a, .cells = 96};
    assert_false(same(&run, &(rn_run){.plan = b, .cells = 96}));
    assert_false(same(&run, &(rn_run){.plan = c, .cells = 96}));
    rn_plan_free(a);
    rn_plan_free(b);
    rn_plan_free(c);
}

/* A key that is added to the plan must be thought of here. */
static void every_key_of_the_table_is_looked_at(void **state)
{
    (void)state;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int count;
        const rn_key *keys = rn_plan_keys(&count, section);
        for (int k = 0; k < count; k++) {
            bool listed = keys[k].kind == RN_KEY_VERSION || keys[k].kind == RN_KEY_SECTION;
            for (size_t i = 0; i < COUNT(matters); i++)
                listed = listed || !strcmp(matters[i].key, keys[k].name);
            for (size_t i = 0; i < COUNT(silent); i++)
                listed = listed || !strcmp(silent[i].key, keys[k].name);
            if (!listed)
                fail_msg("the key '%s' is neither said to matter nor not to", keys[k].name);
        }
    }
}

static void the_run_matters_too(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(square);
    const rn_goal goal = stand_in_goal("run-off", "at most 30 ml", NULL);
    const rn_goal others[] = {
        stand_in_goal("run-off", "at most 31 ml", NULL),
        stand_in_goal("run-off", "at least 30 ml", NULL),
        stand_in_goal("run-off", "at most 30 %", NULL),
        stand_in_goal("run-off", "front at most 30 ml", NULL),
        stand_in_goal("run-off", "30 ml +- 1 ml", NULL),
        stand_in_goal("run-off", "30 ml +- 2 ml", NULL),
        stand_in_goal("run-off", "back at most 30 ml", NULL),
        stand_in_goal("run-off", "at most 30 ml", "coverage", "at least 9 %", NULL),
    };
    const rn_run run = {.plan = plan, .cells = 96}, settled = {.plan = plan, .cells = 96, .settles = &goal};
    assert_false(same(&run, &(rn_run){.plan = plan, .cells = 97}));
    assert_false(same(&run, &(rn_run){.plan = plan, .cells = 96, .pattern = true}));
    assert_false(same(&run, &settled));
    for (size_t i = 0; i < COUNT(others); i++) {
        assert_false(same(&settled, &(rn_run){.plan = plan, .cells = 96, .settles = &others[i]}));
        for (size_t k = 0; k < i; k++)
            assert_false(same(&(rn_run){.plan = plan, .cells = 96, .settles = &others[k]},
                              &(rn_run){.plan = plan, .cells = 96, .settles = &others[i]}));
    }
    const rn_goal alike = goal;
    assert_true(same(&settled, &(rn_run){.plan = plan, .cells = 96, .settles = &alike})); /* not where it lies */
    rn_plan_free(plan);
}

/* The limit of stretch is part of what the pattern tells. */
static void limits_matter_to_a_pattern(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(square), *other = changed(square, &(change){"stretch", "stretch: 2", "stretch: 3"});
    assert_false(same(&(rn_run){.plan = plan, .cells = 96, .pattern = true},
                      &(rn_run){.plan = other, .cells = 96, .pattern = true}));
    rn_plan_free(plan);
    rn_plan_free(other);
}

static void the_model_and_the_stamp_are_in_it(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(disc);
    const rn_run run = {.plan = plan, .cells = 96};
    char *session = identity_of(&run, NULL), *other = identity_of(&run, "stand-in");
    assert_string_not_equal(session, other);
    assert_true(strncmp(session, rn_identity_stamp(), strlen(rn_identity_stamp())) == 0);
    assert_true(strlen(rn_identity_stamp()) > 64);
    free(session);
    free(other);
    rn_plan_free(plan);
}

/* Neighbouring doubles are two values. */
static void every_bit_counts(void **state)
{
    (void)state;
    rn_plan *plan = read_plan(disc), *other = rn_plan_copy(plan);
    other->pours[0].stack[0].volume = nextafter(plan->pours[0].stack[0].volume, 1);
    assert_false(same(&(rn_run){.plan = plan, .cells = 96}, &(rn_run){.plan = other, .cells = 96}));
    rn_plan_free(plan);
    rn_plan_free(other);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whatever_matters_makes_another),
        cmocka_unit_test(what_is_only_said_does_not),
        cmocka_unit_test(a_paint_s_name_is_only_a_name),
        cmocka_unit_test(a_round_panel_by_its_size),
        cmocka_unit_test(every_key_of_the_table_is_looked_at),
        cmocka_unit_test(the_run_matters_too),
        cmocka_unit_test(limits_matter_to_a_pattern),
        cmocka_unit_test(the_model_and_the_stamp_are_in_it),
        cmocka_unit_test(every_bit_counts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
