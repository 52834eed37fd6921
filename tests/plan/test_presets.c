/* The presets are what a painter begins with: they say what a painter would, in figures with a unit. */
#include "check.h"

#include <dirent.h>
#include <string.h>

#include "plan/plan.h"
#include "plan/plan_words.h"

#define FOLDER "presets/"
#define PRESETS_LEAST 16

/* Whether doing better than that could miss it: wasting less, covering more or sooner, keeping the design better. */
static bool fails_thrift(const rn_expect *expect)
{
    switch (expect->kind) {
    case RN_EXPECT_COVERAGE:
    case RN_EXPECT_CORNER:
    case RN_EXPECT_THINNEST: return expect->relation != RN_AT_LEAST;
    case RN_EXPECT_COVERED_BY:
    case RN_EXPECT_RUN_OFF:
    case RN_EXPECT_STRETCH: return expect->relation != RN_AT_MOST;
    case RN_EXPECT_TWIST: return expect->relation != RN_ABOUT || expect->value != 0; /* turned as little as can be */
    }
    return true;
}

static int faults_of(const char *path)
{
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read_file(&plan, path, &err), &err);
    int faults = 0;
    if (plan->expect_count == 0) {
        fprintf(stderr, "%s expects nothing\n", path);
        faults++;
    }
    for (int i = 0; i < plan->expect_count; i++)
        if (fails_thrift(&plan->expects[i])) {
            char text[100];
            rn_expect_write(text, sizeof text, &plan->expects[i]);
            fprintf(stderr, "%s: %s %s calls it a failure to do better\n", path,
                    rn_expect_word((int)plan->expects[i].kind), text);
            faults++;
        }
    if (plan->old_word_count > 0) {
        fprintf(stderr, "%s: an old word of consistency\n", path);
        faults++;
    }
    rn_plan_free(plan);
    return faults;
}

static void presets_expect_what_a_painter_would(void **state)
{
    (void)state;
    DIR *folder = opendir(FOLDER);
    assert_non_null(folder);
    int count = 0, faults = 0;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char path[400];
        const char *dot = strrchr(entry->d_name, '.');
        if (!dot || strcmp(dot, ".yaml"))
            continue;
        snprintf(path, sizeof path, FOLDER "%s", entry->d_name);
        count++;
        faults += faults_of(path);
    }
    closedir(folder);
    assert_true(count >= PRESETS_LEAST);
    assert_int_equal(faults, 0);
}

/* The word beside a viscosity is the ladder's. */
static void words_beside_figures_are_the_ladder_s(void **state)
{
    (void)state;
    DIR *folder = opendir(FOLDER);
    assert_non_null(folder);
    int told = 0;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char path[400], line[400], word[60];
        double viscosity;
        snprintf(path, sizeof path, FOLDER "%s", entry->d_name);
        FILE *file = strstr(entry->d_name, ".yaml") ? fopen(path, "r") : NULL;
        while (file && fgets(line, sizeof line, file)) {
            const char *figure = strstr(line, "viscosity: "), *as = strstr(line, "} # as ");
            if (!figure || !as || sscanf(figure, "viscosity: %lf", &viscosity) != 1)
                continue;
            snprintf(word, sizeof word, "%.*s", (int)strcspn(as + 7, "\n"), as + 7);
            assert_string_equal(word, rn_consistency_word(viscosity));
            told++;
        }
        if (file)
            fclose(file);
    }
    closedir(folder);
    assert_true(told >= 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(presets_expect_what_a_painter_would),
        cmocka_unit_test(words_beside_figures_are_the_ladder_s),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
