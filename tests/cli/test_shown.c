/* Nothing that a file is called, or that stands in one, is obeyed by a terminal or hidden on it: control characters (ECMA-48),
   what turns the order of letters (Unicode Standard Annex 9), tags. Asked of every command and every option. */
#define _XOPEN_SOURCE 700 /* setenv */

#include "check.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "cli/cmd.h"
#include "cli/shell.h"
#include "search/seal.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PATH_ROOM 1400

/* An escape sequence, a bell, a control of eight bits, letters turned round, a tag, a byte that is no UTF-8. */
#define HOSTILE "e\x1b[31m\x07\xC2\x9B\u202Ex\U000E0041\xFF"
#define SHOWN "e\\x1b[31m\\x07\\u009b\\u202ex\\U000e0041\\xff"

static void name_file(char path[PATH_ROOM], void **state, const char *name)
{
    snprintf(path, PATH_ROOM, "%s/%s", (const char *)*state, name);
}

static void all_seen(const char *text, const char *what)
{
    for (const char *at = text; *at; at++)
        if (*at != '\n') {
            const int length = rn_text_seen(at);
            if (length == 0)
                fail_msg("%s: byte %02x at %ld of:\n%s", what, (unsigned)(unsigned char)*at, (long)(at - text), text);
            at += length - 1;
        }
}

/* Both streams; and the name is there, to be read. */
static void harmless(const char *what, const char *said)
{
    all_seen(s.out, what);
    all_seen(s.err, what);
    if (said && !strstr(s.out, said) && !strstr(s.err, said))
        fail_msg("%s says nothing of %s:\n%s%s", what, said, s.out, s.err);
}

static void files_that_are_not_there(void **state)
{
    char path[PATH_ROOM];
    name_file(path, state, HOSTILE ".yaml");
    for (int c = 0; c < RN_COMMAND_COUNT; c++) {
        const rn_command *command = rn_commands[c];
        shell_run(&s, command->name, path, strcmp(command->name, "compare") == 0 ? path : NULL, NULL);
        assert_int_not_equal(s.exit, RN_EXIT_DONE);
        harmless(command->name, command->reads ? SHOWN : "?[31m");
        for (int i = 0; i < command->opt_count; i++) {
            char option[PATH_ROOM];
            if (!command->opts[i].value) /* a flag */
                continue;
            snprintf(option, sizeof option, "--%s=" HOSTILE, command->opts[i].name);
            shell_run(&s, command->name, path, option, NULL);
            harmless(option, NULL);
        }
        shell_run(&s, command->name, "--" HOSTILE, NULL);
        harmless("an option", "?[31m");
    }
    shell_run(&s, HOSTILE, NULL);
    harmless("a command", "?[31m");
    shell_run(&s, "--" HOSTILE, NULL);
    harmless("an option", "?[31m");
}

static void plans_of_such_names(void **state)
{
    char plan[PATH_ROOM], other[PATH_ROOM], wrong[PATH_ROOM], short_of[PATH_ROOM], bare[PATH_ROOM], file[PATH_ROOM];
    name_file(plan, state, HOSTILE ".yaml");
    name_file(other, state, "z" HOSTILE ".yaml");
    name_file(wrong, state, "w" HOSTILE ".yaml");
    name_file(short_of, state, "s" HOSTILE ".yaml");
    name_file(bare, state, "b" HOSTILE ".yaml");
    shell_write(plan, shell_plan);
    shell_write(other, shell_plan);
    shell_write(wrong, "plan: 1\npanelx: {size: 1 mm}\n");
    shell_write(bare, "plan: 1\npanel: {size: 100 mm x 100 mm}\npaints: {foam: {viscosity: 0.3 Pa s}}\n"
                      "base: [{paint: foam, depth: 1 mm}]\nend: 1 s\n");
    shell_write(short_of, "plan: 1\npanel: {size: 100 mm x 100 mm}\npaints: {foam: {viscosity: 0.3 Pa s}}\n"
                          "base: [{paint: foam, depth: 1 mm}]\nend: 1 s\nexpect: {corner: at least 9 mm}\n");
    shell_run(&s, "check", "-g64", plan, wrong, short_of, bare, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    harmless("check", SHOWN ".yaml: 2 of 2 met");
    harmless("check", "w" SHOWN ".yaml:2:1: unknown key 'panelx'");
    harmless("check", "b" SHOWN ".yaml: expects nothing");
    shell_run(&s, "check", "-g64", "--json", plan, wrong, short_of, bare, NULL);
    harmless("check --json", "e\\u001b[31m\\u0007\\u009b\\u202ex\\udb40\\udc41\\ufffd.yaml");
    shell_run(&s, "forecast", plan, "-qg64", "--until=1s", "--series", plan, NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    harmless("a claim", SHOWN);
    name_file(file, state, "no" HOSTILE "/s.csv");
    shell_run(&s, "forecast", plan, "-qg64", "--until=1s", "--series", file, NULL);
    harmless("--series", SHOWN "/s.csv: cannot be written");
    name_file(file, state, "c.svg");
    shell_run(&s, "compare", plan, other, "-qg64", "--afresh", "--picture", file, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    harmless("compare", "e\\x1b[31m");
    size_t size;
    char *drawn = shell_read(file, &size);
    assert_null(strchr(drawn, '\x1b')); /* XML has no such character */
    free(drawn);
    shell_run(&s, "compare", plan, other, "-qg64", "--afresh", "--json", NULL);
    harmless("compare --json", "e\\\\x1b[31m");
    shell_run(&s, "plan", plan, "--save", plan, "--replace", NULL);
    harmless("plan --replace", "kept as ");
    shell_run(&s, "least", plan, "-qg64", "--coarse=64", "--afresh", "--goal=thinnest=at least 90 mm", "--save", other,
              NULL);
    harmless("least --save", SHOWN ".yaml is not written");
}

static void pieces_and_folders_of_such_names(void **state)
{
    char plan[PATH_ROOM], piece[PATH_ROOM], folder[PATH_ROOM];
    name_file(plan, state, "pool" HOSTILE ".yaml");
    name_file(piece, state, HOSTILE ".piece");
    name_file(folder, state, "out" HOSTILE);
    shell_write(plan, shell_plan);
    shell_run(&s, "odds", plan, "-g64", "--coarse=64", "-n2", "--afresh", "--share=1/2", "--piece", piece, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    harmless("--share", SHOWN ".piece");
    shell_run(&s, "gather", piece, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    harmless("gather", NULL);
    shell_run(&s, "gather", piece, piece, "--csv", piece, NULL);
    harmless("gather", NULL);
    shell_run(&s, "forecast", plan, "-g64", "--until=1s", "-o", folder, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    harmless("-o", NULL);
    shell_write(piece, "runnel piece 9\x1b[31m\n");
    shell_run(&s, "gather", piece, NULL);
    harmless("gather of a wrong file", SHOWN);
    shell_run(&s, "odds", plan, "-qg64", "--coarse=64", "-n2", "--cache", piece, NULL); /* a file */
    harmless("--cache", NULL);
    char *const home = getenv("XDG_CACHE_HOME") ? strdup(getenv("XDG_CACHE_HOME")) : NULL;
    setenv("XDG_CACHE_HOME", piece, 1);
    shell_run(&s, "odds", plan, "-qg64", "--coarse=64", "-n2", NULL);
    harmless("a cache that cannot be", NULL);
    if (home)
        setenv("XDG_CACHE_HOME", home, 1);
    else
        unsetenv("XDG_CACHE_HOME");
    free(home);
}

/* Pieces are sealed, not signed: the right sum stands under whatever text. */
static void what_pieces_hold(void **state)
{
    char plan[PATH_ROOM], piece[PATH_ROOM], sum[RN_SEAL_SIZE];
    size_t size;
    name_file(plan, state, "pool.yaml");
    name_file(piece, state, "1.piece");
    shell_run(&s, "odds", plan, "-g64", "--coarse=64", "-n2", "--afresh", "--share=1/1", "--piece", piece, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *text = shell_read(piece, &size);
    static const struct {
        const char *line, *now, *said;
    } cases[] = {
        {"stamp ", HOSTILE, NULL},
        {"command ", HOSTILE, NULL},
        {"named ", "\"pool\\033[31m\\007.yaml\"", NULL},
        {"named ", "\"pool\\033[31m\\xe2\\x80\\xae.yaml\"", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char mark[20], *changed = malloc(size + 300);
        snprintf(mark, sizeof mark, "\n%s", cases[i].line);
        const char *at = strstr(text, mark);
        assert_non_null(at);
        const size_t before = (size_t)(at - text) + strlen(mark);
        memcpy(changed, text, before);
        sprintf(changed + before, "%s%s", cases[i].now, strchr(text + before, '\n'));
        char *seal = changed + strlen(changed) - 1; /* where the last line begins */
        while (seal[-1] != '\n')
            seal--;
        *seal = '\0';
        assert_true(rn_seal_sum(sum, changed, strlen(changed)));
        sprintf(seal, "%s\n", sum);
        shell_write(piece, changed);
        shell_run(&s, "gather", piece, NULL);
        assert_null(strstr(s.err, "damaged"));
        harmless(cases[i].line, cases[i].said);
        free(changed);
    }
    free(text);
}

/* A plan has no such characters at all: refused with their place, written out or as an escape, in texts and in names. */
static void plans_hold_none(void **state)
{
    char plan[PATH_ROOM], text[2000];
    static const struct {
        const char *title, *where;
    } cases[] = {
        {"title: Rock\u202Epool", "p.yaml:2:12: a character that is no text (U+202E)"},
        {"title: \"Rock\U000E0041pool\"", "p.yaml:2:13: a character that is no text (U+E0041)"},
        {"title: Rock # \u2066x", "p.yaml:2:15: a character that is no text (U+2066)"},
        {"title: \"Rock\\u202Epool\"", "p.yaml:2:8: the title holds a character that is not seen"},
        {"title: \"Rock\\u200Fpool\"", "p.yaml:2:8: the title holds a character that is not seen"},
        {"title: \"Rock\\epool\"", "p.yaml:2:8: the title holds a character that is not seen"},
        {"title: x\npaints: {\"fo\\u061Cam\": {}}", "p.yaml:3:10: the name 'fo?am' holds a sign"},
    };
    name_file(plan, state, "p.yaml");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        snprintf(text, sizeof text, "plan: 1\n%s\npanel: {size: 100 mm x 100 mm}\n", cases[i].title);
        shell_write(plan, text);
        shell_run(&s, "plan", plan, NULL);
        assert_int_equal(s.exit, RN_EXIT_PLAN);
        harmless("plan", NULL);
        shell_says(s.err, cases[i].where);
    }
    name_file(plan, state, "pool.yaml");
    shell_run(&s, "plan", plan, "--set", "title=Rock\u202Epool", NULL);
    assert_int_equal(s.exit, RN_EXIT_USAGE);
    harmless("--set", NULL);
}

#define with_pool(test) cmocka_unit_test_setup_teardown(test, shell_make_pool, leave)

int main(void)
{
    const struct CMUnitTest tests[] = {
        with_pool(files_that_are_not_there),
        with_pool(plans_of_such_names),
        with_pool(pieces_and_folders_of_such_names),
        with_pool(what_pieces_hold),
        with_pool(plans_hold_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
