/* A panel without paint is a result like others: whatever can be drawn or told is drawn and told of it. */
#include "check.h"

#include <string.h>
#include <strings.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PATH_ROOM 1200

static void name_file(char path[PATH_ROOM], void **state, const char *name)
{
    snprintf(path, PATH_ROOM, "%s/%s", (const char *)*state, name);
}

#define PANEL "plan: 1\npanel: {size: 100 mm x 100 mm}\npaints: {foam: {viscosity: 0.3 Pa s}}\n"

/* Nothing is poured in the first seconds; a film that was laid; a puddle, the rest bare. */
static const char *const plans[][2] = {
    {"late.yaml", PANEL "pours: [{start: 3 s, stack: [foam 12 ml]}]\nend: 8 s\n"},
    {"base.yaml", PANEL "base: [{paint: foam, depth: 1 mm}]\nend: 4 s\n"},
    {"puddle.yaml", PANEL "base: [{paint: foam, volume: 0.2 ml, at: back left}]\nend: 4 s\n"},
};

#define PLANS ((int)(sizeof plans / sizeof plans[0]))

static int make_plans(void **state)
{
    if (shell_make_folder(state))
        return -1;
    for (int i = 0; i < PLANS; i++)
        shell_write(shell_path(state, plans[i][0]), plans[i][1]);
    return 0;
}

/* No figure that is none; letters of an embedded picture are no figures. */
static void is_sane(const char *text)
{
    static const char around[] = " \n\t\",:;()[]{}";
    for (const char *at = text; *at; at++)
        if ((strncasecmp(at, "nan", 3) == 0 || strncasecmp(at, "inf", 3) == 0) && strchr(around, at[3]) &&
            (at == text || strchr(around, at[-1]) || (at[-1] == '-' && at - 1 > text && strchr(around, at[-2]))))
            fail_msg("'%.3s' stands in:\n%s", at, text);
}

static void good(const char *plan, const char *what)
{
    if (s.exit != RN_EXIT_DONE || s.err_size > 0)
        fail_msg("%s of %s: %d\n%s", what, plan, s.exit, s.err);
    is_sane(s.out);
}

static void all_is_drawn(void **state)
{
    static const char *const pictures[][2] = {{"--picture", "p.png"}, {"--picture", "p.svg"}, {"--picture", "p.pdf"},
                                              {"--face", "f.png"},    {"--moments", "m.png"}, {"--cut", "c.png"},
                                              {"--cut", "c.svg"},     {"--cut", "c.pdf"},     {"--design", "d.png"},
                                              {"--design", "d.svg"},  {"--design", "d.pdf"},  {"--animation", "a.webp"},
                                              {"--series", "s.csv"},  {"--field", "f.npy"}};
    char plan[PATH_ROOM], path[PATH_ROOM];
    for (int i = 0; i < PLANS; i++)
        for (size_t k = 0; k < sizeof pictures / sizeof pictures[0]; k++) {
            size_t size;
            name_file(plan, state, plans[i][0]);
            name_file(path, state, pictures[k][1]);
            const bool animated = strcmp(pictures[k][0], "--animation") == 0;
            shell_run(&s, "forecast", plan, "-g64", "-q", "--until", "2s", pictures[k][0], path,
                      animated ? "--every=1s" : NULL, NULL);
            good(plans[i][0], pictures[k][1]);
            char *drawn = shell_read(path, &size);
            assert_non_null(drawn);
            check_at_least((double)size, 100);
            if (strstr(path, ".svg") || strstr(path, ".csv"))
                is_sane(drawn);
            free(drawn);
            remove(path);
        }
}

static void a_folder_has_all_its_files(void **state)
{
    char plan[PATH_ROOM], out[PATH_ROOM];
    for (int i = 0; i < PLANS; i++) {
        name_file(plan, state, plans[i][0]);
        name_file(out, state, "out");
        strcat(out, plans[i][0]);
        shell_run(&s, "forecast", plan, "-g64", "--until", "2s", "-o", out, "--layers", "--json", NULL);
        good(plans[i][0], "-o");
        assert_int_equal(shell_count(out), 9);
        assert_string_equal(json_text(s.out, "complete"), "true");
        shell_run(&s, "forecast", plan, "-g64", "--until", "2s", "--layers", NULL);
        good(plans[i][0], "report");
    }
    name_file(plan, state, "late.yaml");
    shell_run(&s, "forecast", plan, "-g64", "--until", "2s", NULL);
    shell_says(s.out, "  film        none: the panel is bare\n");
}

static void searches_draw_it_too(void **state)
{
    char bare[PATH_ROOM], base[PATH_ROOM], puddle[PATH_ROOM], late[PATH_ROOM], path[PATH_ROOM];
    name_file(bare, state, "bare.yaml");
    name_file(base, state, "base.yaml");
    name_file(puddle, state, "puddle.yaml");
    name_file(late, state, "late.yaml");
    /* too little to see */
    shell_write(bare, PANEL "base: [{paint: foam, volume: 0.001 ml, at: back left}]\nend: 2 s\n");
    const char *const all[] = {bare, base, puddle};
    name_file(path, state, "c.png");
    shell_run(&s, "compare", bare, base, puddle, late, "-qg64", "--afresh", "-p", path, NULL);
    good("all", "compare");
    assert_true(shell_exists(path));
    for (int i = 0; i < 3; i++) {
        name_file(path, state, "o.svg");
        shell_run(&s, "odds", all[i], "-qg64", "--coarse=64", "-n3", "--afresh", "-p", path, NULL);
        good(all[i], "odds");
        assert_true(shell_exists(path));
        remove(path);
        name_file(path, state, "w.svg");
        shell_run(&s, "window", all[i], "-qg64", "--coarse=64", "--cells=4", "--afresh", "--y=panel.slope=0.5deg..1deg",
                  "-p", path, NULL);
        assert_int_equal(s.exit, i == 1 ? RN_EXIT_DONE : RN_EXIT_SHORT);
        assert_int_equal(s.err_size, 0);
        is_sane(s.out);
        assert_true(shell_exists(path));
        remove(path);
    }
}

#define with_plans(test) cmocka_unit_test_setup_teardown(test, make_plans, leave)

int main(void)
{
    const struct CMUnitTest tests[] = {
        with_plans(all_is_drawn),
        with_plans(a_folder_has_all_its_files),
        with_plans(searches_draw_it_too),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
