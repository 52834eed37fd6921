/* The option parser against a table of its own; conventions are those of POSIX.1-2017, XBD 12.2 (utility syntax
   guidelines 3 to 13: letters, grouped letters, "--", "-" as an operand) and GNU's long options. */
#include "check.h"

#include <stdbool.h>
#include <string.h>

#include "cli/opt.h"

typedef struct target {
    bool quiet, json;
    const char *folder;
    rn_opt_list sets;
    int cells;
    double until, share;
    const char *section[2];
} target;

static const rn_opt table[] = {
    {.name = "quiet", .letter = 'q', .kind = RN_OPT_FLAG, .offset = offsetof(target, quiet)},
    {.name = "json", .letter = 'j', .kind = RN_OPT_FLAG, .offset = offsetof(target, json)},
    {.name = "out", .letter = 'o', .kind = RN_OPT_TEXT, .offset = offsetof(target, folder), .example = "folder"},
    {.name = "set", .kind = RN_OPT_LIST, .offset = offsetof(target, sets), .example = "end=3min"},
    {.name = "grid",
     .letter = 'g',
     .kind = RN_OPT_COUNT,
     .offset = offsetof(target, cells),
     .least = 64,
     .most = 1024,
     .example = "128"},
    {.name = "until", .kind = RN_OPT_TIME, .offset = offsetof(target, until), .example = "90s"},
    {.name = "share", .kind = RN_OPT_SHARE, .offset = offsetof(target, share), .example = "30"},
    {.name = "section", .kind = RN_OPT_PAIR, .offset = offsetof(target, section), .example = "left right"},
};

#define ARGUMENTS_MOST 12

typedef struct parsed {
    rn_status status;
    rn_error error;
    target target;
    const char *operands[ARGUMENTS_MOST];
    int operand_count;
} parsed;

/* Words separated by one space each, kept in `line`. */
static parsed parse(char *line)
{
    parsed p = {0};
    char *argv[ARGUMENTS_MOST];
    int argc = 0;
    for (char *word = strtok(line, " "); word; word = strtok(NULL, " "))
        argv[argc++] = word;
    p.status = rn_opt_parse(&p.target, p.operands, &p.operand_count, table, sizeof table / sizeof table[0], argc, argv,
                            &p.error);
    return p;
}

static void values_follow_or_are_joined(void **state)
{
    (void)state;
    char separate[] = "--grid 128 --out here -q", joined[] = "--grid=256 -othere -g 64", grouped[] = "-jqo x";
    parsed p = parse(separate);
    check_ok(p.status, &p.error);
    assert_int_equal(p.target.cells, 128);
    assert_string_equal(p.target.folder, "here");
    assert_true(p.target.quiet);
    p = parse(joined);
    check_ok(p.status, &p.error);
    assert_int_equal(p.target.cells, 64); /* the last one holds */
    assert_string_equal(p.target.folder, "there");
    p = parse(grouped);
    check_ok(p.status, &p.error);
    assert_true(p.target.quiet && p.target.json);
    assert_string_equal(p.target.folder, "x");
}

static void operands_stand_anywhere(void **state)
{
    (void)state;
    char line[] = "a --quiet - b -- --json -q";
    const parsed p = parse(line);
    check_ok(p.status, &p.error);
    assert_int_equal(p.operand_count, 5);
    const char *const expected[] = {"a", "-", "b", "--json", "-q"};
    for (int i = 0; i < 5; i++)
        assert_string_equal(p.operands[i], expected[i]);
    assert_true(p.target.quiet);
    assert_false(p.target.json);
}

static void lists_gather(void **state)
{
    (void)state;
    char line[] = "--set a=1 --set=b=2";
    const parsed p = parse(line);
    assert_int_equal(p.target.sets.count, 2);
    assert_string_equal(p.target.sets.items[0], "a=1");
    assert_string_equal(p.target.sets.items[1], "b=2");
}

static void the_last_pair_holds(void **state)
{
    (void)state;
    char line[] = "--section a b --section=c d", half[] = "--section a";
    parsed p = parse(line);
    check_ok(p.status, &p.error);
    assert_string_equal(p.target.section[0], "c");
    assert_string_equal(p.target.section[1], "d");
    p = parse(half);
    assert_int_equal(p.status, RN_E_USAGE);
}

static void times_have_units(void **state)
{
    (void)state;
    char line[] = "--until 1.5min", bare[] = "--until 90", nothing[] = "--until 0s";
    parsed p = parse(line);
    check_ok(p.status, &p.error);
    check_within(p.target.until, 90, 1e-12); /* a minute is 60 s: the SI brochure, table 8 */
    p = parse(bare);
    assert_int_equal(p.status, RN_E_USAGE);
    assert_non_null(strstr(p.error.message, "'--until'"));
    p = parse(nothing);
    assert_int_equal(p.status, RN_E_USAGE);
}

static void refused_at(const char *line, const char *message, const char *file, int number)
{
    char copy[200];
    snprintf(copy, sizeof copy, "%s", line);
    const parsed p = parse(copy);
    if (p.status == RN_E_USAGE && strcmp(p.error.message, message) == 0)
        return;
    fprintf(stderr, "%s:%d: '%s' gave %d \"%s\"\n", file, number, line, (int)p.status, p.error.message);
    _fail(file, number);
}

#define refused(line, message) refused_at(line, message, __FILE__, __LINE__)

static void wrong_options_say_what_is_right(void **state)
{
    (void)state;
    refused("--grdi 128", "unknown option '--grdi'; did you mean '--grid'?");
    refused("--jsno=1", "unknown option '--jsno'; did you mean '--json'?");
    refused("--zzzzzzz", "unknown option '--zzzzzzz'");
    refused("-qx", "unknown option '-qx'");
    refused("--grid", "'--grid' wants a value; write for example --grid 128");
    refused("-o", "'--out' wants a value; write for example --out folder");
    refused("--grid=abc", "'--grid abc' is not a whole number; write for example --grid 128");
    refused("--grid 12.5", "'--grid 12.5' is not a whole number; write for example --grid 128");
    refused("--grid 63", "'--grid 63' is out of range; it can be 64 to 1024");
    refused("--grid 99999999999999999999", "'--grid 99999999999999999999' is out of range; it can be 64 to 1024");
    refused("--quiet=yes", "'--quiet' takes no value");
    refused("--out=", "'--out' has an empty value; write for example --out folder");
}

/* As plans have their numbers: no hexadecimal digits, no words, nothing after them. */
static void numbers_are_written_as_in_a_plan(void **state)
{
    (void)state;
    char plain[] = "--share 30", sign[] = "--share=30%", fraction[] = "--share 1/2%", whole[] = "--grid 2e2";
    parsed p = parse(plain);
    check_ok(p.status, &p.error);
    check_within(p.target.share, 0.3, 1e-15);
    p = parse(sign);
    check_ok(p.status, &p.error);
    check_within(p.target.share, 0.3, 1e-15);
    p = parse(fraction);
    check_ok(p.status, &p.error);
    check_within(p.target.share, 0.005, 1e-15);
    p = parse(whole);
    assert_int_equal(p.status, RN_E_USAGE);
    refused("--share 0x1E", "'--share 0x1E' is not a percentage; write for example --share 30");
    refused("--share nan", "'--share nan' is not a percentage; write for example --share 30");
    refused("--share inf", "'--share inf' is not a percentage; write for example --share 30");
    refused("--share 3mm", "'--share 3mm' is not a percentage; write for example --share 30");
    refused("--share 101", "'--share 101' is out of range; it can be 0 to 100 %");
    refused("--share=-1%", "'--share -1%' is out of range; it can be 0 to 100 %");
    refused("--grid 0x80", "'--grid 0x80' is not a whole number; write for example --grid 128");
}

/* A table can be as long as it likes: the nearest of its names is found without room for all of them. */
static void any_number_of_options_is_good(void **state)
{
    (void)state;
    enum { MANY = 500 };
    static char names[MANY][40];
    static rn_opt many[MANY];
    char near[] = "--option-number-49o", last[] = "--ption-number-499";
    char *argv[] = {near, last};
    const char *operands[1];
    int operand_count;
    target filled = {0};
    rn_error error = {0};
    for (int i = 0; i < MANY; i++) {
        snprintf(names[i], sizeof names[i], "option-number-%d", i);
        many[i] = (rn_opt){.name = names[i], .kind = RN_OPT_FLAG, .offset = offsetof(target, quiet)};
    }
    check_status(rn_opt_parse(&filled, operands, &operand_count, many, MANY, 1, argv, &error), RN_E_USAGE, &error);
    assert_string_equal(error.message, "unknown option '--option-number-49o'; did you mean '--option-number-49'?");
    error = (rn_error){0};
    check_status(rn_opt_parse(&filled, operands, &operand_count, many, MANY, 1, argv + 1, &error), RN_E_USAGE, &error);
    assert_string_equal(error.message, "unknown option '--ption-number-499'; did you mean '--option-number-499'?");
}

static void too_long_a_list_is_refused(void **state)
{
    (void)state;
    char set[] = "--set=a=1";
    char *argv[RN_OPT_LIST_MOST + 1];
    const char *operands[RN_OPT_LIST_MOST + 1];
    int operand_count;
    target filled = {0};
    rn_error error = {0};
    for (int i = 0; i <= RN_OPT_LIST_MOST; i++)
        argv[i] = set;
    const int options = sizeof table / sizeof table[0];
    check_ok(rn_opt_parse(&filled, operands, &operand_count, table, options, RN_OPT_LIST_MOST, argv, &error), &error);
    filled = (target){0};
    check_status(rn_opt_parse(&filled, operands, &operand_count, table, options, RN_OPT_LIST_MOST + 1, argv, &error),
                 RN_E_USAGE, &error);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_follow_or_are_joined),
        cmocka_unit_test(operands_stand_anywhere),
        cmocka_unit_test(lists_gather),
        cmocka_unit_test(the_last_pair_holds),
        cmocka_unit_test(times_have_units),
        cmocka_unit_test(wrong_options_say_what_is_right),
        cmocka_unit_test(numbers_are_written_as_in_a_plan),
        cmocka_unit_test(any_number_of_options_is_good),
        cmocka_unit_test(too_long_a_list_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
