/* The reference in docs/plan.md: its list of keys is the key table's, its plans can be read, its figures are those
   of the program. Called with --write, it brings the list up to date. */
#include "check.h"

#include <string.h>

#include "base/units.h"
#include "plan/plan.h"
#include "plan/plan_keys.h"

#define REFERENCE "docs/plan.md"
#define BEGIN "<!-- keys: made from the key table -->\n"
#define END "<!-- end of keys -->\n"
#define TEXT_MOST 100000

static char *load(void)
{
    FILE *file = fopen(REFERENCE, "r");
    if (!file)
        fail_msg("%s cannot be opened: run from the top of the tree", REFERENCE);
    char *text = calloc(1, TEXT_MOST);
    size_t size = fread(text, 1, TEXT_MOST - 1, file);
    assert_true(size > 0 && size < TEXT_MOST - 1);
    fclose(file);
    return text;
}

/* Writes the reference with its list made anew; 0 if done. */
static int write_list(void)
{
    char *text = load(), *keys = rn_plan_keys_markdown();
    const char *begin = strstr(text, BEGIN), *end = strstr(text, END);
    FILE *file = begin && end ? fopen(REFERENCE, "w") : NULL;
    int failed = file == NULL;
    if (file) {
        fprintf(file, "%.*s%s%s\n%s", (int)(begin - text), text, BEGIN, keys, end);
        failed = fclose(file);
    }
    free(keys);
    free(text);
    return failed;
}

static void the_list_of_keys_is_current(void **state)
{
    (void)state;
    char *text = load(), *keys = rn_plan_keys_markdown();
    const char *begin = strstr(text, BEGIN), *end = strstr(text, END);
    assert_non_null(begin);
    assert_non_null(end);
    begin += strlen(BEGIN);
    size_t length = strlen(keys);
    if ((size_t)(end - begin) != length + 1 || strncmp(begin, keys, length) != 0)
        fail_msg("the keys in %s are not those of the key table: run this test with --write", REFERENCE);
    free(keys);
    free(text);
}

static void its_plans_can_be_read(void **state)
{
    (void)state;
    char *text = load();
    int count = 0;
    for (char *block = text; (block = strstr(block, "```yaml\n")) != NULL;) {
        block += strlen("```yaml\n");
        char *end = strstr(block, "```");
        assert_non_null(end);
        rn_error err = {0};
        rn_plan *plan = NULL;
        if (rn_plan_read(&plan, block, end - block, REFERENCE, &err))
            fail_msg("plan %d: %d:%d: %s", count + 1, err.line, err.column, err.message);
        rn_plan_free(plan);
        block = end + 3;
        count++;
    }
    assert_int_equal(count, 3);
    free(text);
}

static void its_units_and_words_are_the_program_s(void **state)
{
    (void)state;
    char *text = load(), line[400];
    int count;
    const rn_unit *units = rn_units_table(&count);
    for (int i = 0; i < count; i++) /* each dimension's own unit is told */
        if (i == 0 || units[i].dimension != units[i - 1].dimension)
            assert_non_null(strstr(text, units[i].name));
    for (int i = 0; i < RN_CONSISTENCY_COUNT; i++) {
        const rn_consistency *word = &rn_consistency_ladder[i];
        char describes[60];
        if (i == 0)
            snprintf(describes, sizeof describes, "up to %g", word[1].range_from);
        else if (i + 1 < RN_CONSISTENCY_COUNT)
            snprintf(describes, sizeof describes, "%g to %g", word->range_from, word[1].range_from);
        else
            snprintf(describes, sizeof describes, "from %g", word->range_from);
        snprintf(line, sizeof line, "\n| %s | %g Pa s | %s Pa s%s | %s | %g to %g Pa s %s |", word->word,
                 word->viscosity, describes, i + 1 < RN_CONSISTENCY_COUNT ? "" : " on", word->what,
                 word->published_least, word->published_most, word->published_in);
        if (!strstr(text, line))
            fail_msg("%s does not tell %s", REFERENCE, line + 1);
    }
    free(text);
}

static void every_row_is_sound(void **state)
{
    (void)state;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++) {
        int count;
        const rn_key *keys = rn_plan_keys(&count, section);
        for (int i = 0; i < count; i++) {
            const rn_key *key = &keys[i];
            assert_true(key->doc && strlen(key->doc) > 10);
            assert_ptr_equal(rn_plan_key(section, key->name), key);
            if (!key->least)
                continue;
            /* Limits are of the key's dimension and in order, and a default lies between them. */
            double least, most, fallback;
            rn_error err = {0};
            check_ok(rn_units_read(&least, NULL, key->least, key->dimension, 0, &err), &err);
            check_ok(rn_units_read(&most, NULL, key->most, key->dimension, 0, &err), &err);
            check_at_most(least, most);
            if (!key->fallback)
                continue;
            check_ok(rn_units_read(&fallback, NULL, key->fallback, key->dimension, 0, &err), &err);
            check_at_least(fallback, least);
            check_at_most(fallback, most);
        }
    }
    assert_null(rn_plan_key(RN_SECTION_MOVE, "stack"));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_of_keys_is_current),
        cmocka_unit_test(its_plans_can_be_read),
        cmocka_unit_test(its_units_and_words_are_the_program_s),
        cmocka_unit_test(every_row_is_sound),
    };
    if (argc > 1 && !strcmp(argv[1], "--write"))
        return write_list();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
