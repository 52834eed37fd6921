/* Plans torn by a seeded hand: whatever happens to the text, reading it either gives a plan that can be written and
   read again, or one line that says where and why. Run with sanitizers, nothing may be touched that should not be. */
#include "check.h"

#include <dirent.h>
#include <string.h>

#include "base/random.h"
#include "base/text.h"
#include "plan/plan.h"

#define SEEDS_MOST 16
#define TEXT_MOST 20000
#define TRIALS 4000

typedef struct text {
    long size;
    char bytes[TEXT_MOST];
} text;

static int below(rn_random *random, long limit)
{
    return (int)(rn_random_unit(random) * (double)limit);
}

static void load(text *plan, const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        fail_msg("%s cannot be opened", path);
    plan->size = (long)fread(plan->bytes, 1, TEXT_MOST / 2, file);
    fclose(file);
}

static int load_folder(text *plans, const char *folder_path)
{
    DIR *folder = opendir(folder_path);
    assert_non_null(folder);
    int count = 0;
    for (const struct dirent *entry; count < SEEDS_MOST && (entry = readdir(folder)) != NULL;) {
        char path[400];
        const char *dot = strrchr(entry->d_name, '.');
        if (!dot || strcmp(dot, ".yaml"))
            continue;
        snprintf(path, sizeof path, "%s/%s", folder_path, entry->d_name);
        load(&plans[count++], path);
    }
    closedir(folder);
    return count;
}

/* Puts piece in place of `taken` bytes at `at`. */
static void splice(text *plan, long at, long taken, const char *piece, long length)
{
    if (taken > plan->size - at)
        taken = plan->size - at;
    if (plan->size - taken + length > TEXT_MOST)
        return;
    memmove(plan->bytes + at + length, plan->bytes + at + taken, (size_t)(plan->size - at - taken));
    memcpy(plan->bytes + at, piece, (size_t)length);
    plan->size += length - taken;
}

static const char *const pieces[] = {
    "{",
    "}",
    "[",
    "]",
    ":",
    ": ",
    ",",
    "- ",
    "\n",
    "\r",
    "\t",
    "#",
    " #",
    "\"",
    "'",
    "&a ",
    "*a",
    "!!str ",
    "|\n",
    ">",
    "? ",
    "---\n",
    "%YAML 1.1\n",
    "nan",
    ".inf",
    "-",
    "+-",
    "1e999",
    "0x10",
    "1/0",
    "-0",
    "99999999999999999999",
    "0:30",
    "1,5",
    "\xC3",
    "\xFF",
    "\xE2\x88\x92",
    "\xC2\xB0",
    "\xEF\xBB\xBF",
    " mm",
    " s",
    "deg",
    "%",
    "%s%n",
    "slate",
    "kelp",
    "centre",
    "back right",
    "at least ",
    "\\",
    "\"\\0\"",
    "\"\\u2028\"",
    "<<: ",
    "~",
    "null",
    "                ",
    "stack: []",
};

static void tear(text *plan, const text *other, rn_random *random)
{
    long at = below(random, plan->size + 1), length;
    char byte = (char)below(random, 256);
    const char *piece = pieces[below(random, (long)(sizeof pieces / sizeof pieces[0]))];
    switch (below(random, 6)) {
    case 0: splice(plan, at, 1, &byte, 1); break;
    case 1: splice(plan, at, below(random, 40), "", 0); break;
    case 2: splice(plan, at, 0, piece, (long)strlen(piece)); break;
    case 3: splice(plan, at, below(random, 12), piece, (long)strlen(piece)); break;
    case 4: /* a stretch of another plan */
        length = below(random, 80);
        at = at < other->size ? at : other->size;
        length = length < other->size - at ? length : other->size - at;
        splice(plan, below(random, plan->size + 1), below(random, 80), other->bytes + at, length);
        break;
    default: /* a stretch of its own, once more */
        length = below(random, 200);
        length = length < plan->size - at ? length : plan->size - at;
        if (length > 0) {
            char copy[200];
            memcpy(copy, plan->bytes + at, (size_t)length);
            splice(plan, at, 0, copy, length);
        }
    }
}

/* One line with a place inside the text or just behind it. */
static void check_message(const rn_error *err, const text *plan)
{
    int lines = 1;
    for (long i = 0; i < plan->size; i++)
        lines += plan->bytes[i] == '\n' || plan->bytes[i] == '\r';
    if (err->status != RN_E_PLAN || err->line < 1 || err->line > lines || err->column < 1 || !err->message[0] ||
        !rn_text_printable(err->message))
        fail_msg("status %d at %d:%d of %d lines: \"%s\"\n%.*s", (int)err->status, err->line, err->column, lines,
                 err->message, (int)plan->size, plan->bytes);
}

static void check_written(const rn_plan *plan)
{
    rn_error err = {0};
    char *written = NULL, *again = NULL;
    rn_plan *read = NULL;
    check_ok(rn_plan_write(&written, plan, &err), &err);
    if (rn_plan_read(&read, written, (long)strlen(written), "written", &err))
        fail_msg("what was written cannot be read: %d:%d: %s\n%s", err.line, err.column, err.message, written);
    check_ok(rn_plan_write(&again, read, &err), &err);
    assert_string_equal(again, written);
    free(written);
    free(again);
    rn_plan_free(read);
}

static void torn_plans_do_no_harm(void **state)
{
    (void)state;
    static text seeds[SEEDS_MOST], torn;
    int count = load_folder(seeds, "tests/plans"), accepted = 0;
    assert_true(count >= 4);
    rn_random random = rn_random_seeded(20);
    for (int trial = 0; trial < TRIALS; trial++) {
        torn = seeds[below(&random, count)];
        for (int wounds = 1 + below(&random, 4); wounds > 0; wounds--)
            tear(&torn, &seeds[below(&random, count)], &random);
        rn_error err = {0};
        rn_plan *plan = NULL;
        if (rn_plan_read(&plan, torn.bytes, torn.size, "torn", &err)) {
            assert_null(plan);
            check_message(&err, &torn);
            continue;
        }
        accepted++;
        check_written(plan);
        rn_plan_free(plan);
    }
    /* Tears in comments and titles leave a good plan: if none did, or all, this would test nothing. */
    assert_in_range(accepted, TRIALS / 50, TRIALS / 2);
}

static void torn_values_do_no_harm(void **state)
{
    (void)state;
    static const char *const paths[] = {"moves.2.toward", "moves.4.spin",        "pours.1.stack", "pours.1.at",
                                        "panel.size",     "paints.slate.colour", "expect.corner", "expect.run-off",
                                        "title",          "pours.1.sizes",       "base.3.at",     "base.1.volume",
                                        "poured",         "consistency"};
    static const char *const values[] = {"back right",
                                         "40 rpm",
                                         "slate 20 ml, kelp 3/4 oz",
                                         "40 mm right 20 mm front",
                                         "12 x 16 in",
                                         "#2b3a55",
                                         "back left at least 0.2 mm",
                                         "front 5 ml +- 1 ml",
                                         "Low tide",
                                         "[1, 2, 3]",
                                         "corners",
                                         "40 g",
                                         "155 ml",
                                         "2 Pa s"};
    static text torn, other;
    rn_random random = rn_random_seeded(21);
    const long count = sizeof values / sizeof values[0];
    rn_error err = {0};
    rn_plan *plan = NULL;
    check_ok(rn_plan_read_file(&plan, "tests/plans/tide-table-full.yaml", &err), &err);
    int accepted = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
        const char *value = values[below(&random, count)];
        torn.size = other.size = (long)strlen(value);
        memcpy(torn.bytes, value, (size_t)torn.size);
        memcpy(other.bytes, value, (size_t)torn.size);
        for (int wounds = below(&random, 4); wounds > 0; wounds--)
            tear(&torn, &other, &random);
        torn.bytes[torn.size < TEXT_MOST ? torn.size : TEXT_MOST - 1] = '\0';
        rn_plan *changed = rn_plan_copy(plan);
        err = (rn_error){0};
        if (rn_plan_set(changed, paths[below(&random, (long)(sizeof paths / sizeof paths[0]))], torn.bytes, &err)) {
            assert_true(err.status == RN_E_PLAN && err.message[0] && rn_text_printable(err.message));
        } else {
            accepted++;
            check_written(changed);
        }
        rn_plan_free(changed);
    }
    assert_in_range(accepted, TRIALS / 50, TRIALS / 2);
    rn_plan_free(plan);
}

/* Texts that make careless readers slow or deep. */
static void large_texts_end_soon(void **state)
{
    (void)state;
    static const char *const units[] = {"[",
                                        "{",
                                        "- ",
                                        "? ",
                                        "a: ",
                                        "{a: ",
                                        "\"",
                                        "'",
                                        "[a, ",
                                        "&a ",
                                        "a\n",
                                        "#",
                                        " ",
                                        "\n",
                                        "- - ",
                                        "a: {b: c}\n",
                                        "|\n ",
                                        "!a ",
                                        "- {start: 1 s, for: 1 s, rest: yes}\n"};
    const long size = 1024 * 1024;
    char *bytes = malloc((size_t)size);
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        long length = (long)strlen(units[i]);
        for (long at = 0; at < size; at++)
            bytes[at] = units[i][at % length];
        rn_error err = {0};
        rn_plan *plan = NULL;
        check_status(rn_plan_read(&plan, bytes, size, "large", &err), RN_E_PLAN, &err);
        assert_true(err.line >= 1 && rn_text_printable(err.message));
    }
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(torn_plans_do_no_harm),
        cmocka_unit_test(torn_values_do_no_harm),
        cmocka_unit_test(large_texts_end_soon),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
