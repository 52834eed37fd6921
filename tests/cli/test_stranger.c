/* Pieces and kept runs that somebody made who means harm, or that were mutilated with care: their check sums are right. They
   are refused with a line, or tell nothing that no pour can come to; they write nowhere, and no picture of them keeps anybody
   waiting. */
#define _XOPEN_SOURCE 700 /* mkfifo, symlink */

#include "check.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/random.h"
#include "cli/cli.h"
#include "cli/cmd.h"
#include "cli/shell.h"
#include "search/seal.h"

#ifndef MUTATIONS
#define MUTATIONS 600
#endif

#define TEXT_MOST 40000

static shell s;
static char *odds, *window; /* sound pieces without their sums */

/* A piece without its sum. */
static char *make_piece(void **state, const char *command, const char *option, const char *value)
{
    const char *path = shell_path(state, "sound.piece");
    size_t size;
    shell_run(&s, command, shell_path(state, "pool.yaml"), option, value, "--coarse", "64", "-g64", "--afresh", "-q",
              "--share", "1/1", "--piece", path, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *text = shell_read(path, &size);
    text[size - RN_SEAL_SIZE] = '\0';
    unlink(path);
    return text;
}

static int enter(void **state)
{
    if (shell_make_pool(state))
        return -1;
    odds = make_piece(state, "odds", "--draws", "3");
    window = make_piece(state, "window", "--cells", "4x4");
    return 0;
}

static int leave(void **state)
{
    shell_clear(&s);
    free(odds);
    free(window);
    return shell_remove_folder(state);
}

static void write_sealed(const char *path, const char *text)
{
    char sum[RN_SEAL_SIZE], whole[TEXT_MOST + 100];
    assert_true(strlen(text) < TEXT_MOST && rn_seal_sum(sum, text, strlen(text)));
    snprintf(whole, sizeof whole, "%s%s\n", text, sum);
    shell_write(path, whole);
}

/* The piece with more lines of words. */
static void put_words(char made[TEXT_MOST], const char *piece, const char *words)
{
    const char *at = strstr(piece, "\nnamed ") + 1;
    snprintf(made, TEXT_MOST, "%.*s%s%s", (int)(at - piece), piece, words, at);
}

static void check_refused(const char *path, const char *victim, const char *words)
{
    size_t size;
    shell_run(&s, "gather", path, NULL);
    if (s.exit != RN_EXIT_PLAN || s.out_size > 0 || !strstr(s.err, "is refused, as its words are not those of a study"))
        fail_msg("%s\nended with %d and said: %s%s", words, s.exit, s.out, s.err);
    assert_int_equal(s.err[s.err_size - 1], '\n');
    assert_ptr_equal(strchr(s.err, '\n'), s.err + s.err_size - 1); /* one line */
    char *kept = shell_read(victim, &size);
    assert_string_equal(kept, "precious\n");
    free(kept);
}

static bool is_study(const rn_command *command, const char *name)
{
    for (int i = 0; i < command->opt_count; i++)
        if (strcmp(command->opts[i].name, name) == 0)
            return command->opts[i].study;
    return false;
}

/* Every option of every command, in every spelling, but those that are part of what the piece's own command studies. */
static void options_that_are_no_part_of_a_study(void **state)
{
    const char *const pieces[] = {odds, window}, *const names[] = {"odds", "window"};
    char path[1024], victim[1024], made[TEXT_MOST], words[3000], shared[3100];
    int refused = 0;
    snprintf(path, sizeof path, "%s", shell_path(state, "stranger.piece"));
    snprintf(victim, sizeof victim, "%s", shell_path(state, "victim"));
    shell_write(victim, "precious\n");
    for (int p = 0; p < 2; p++)
        for (int c = 0; c < RN_COMMAND_COUNT; c++)
            for (int k = 0; k < rn_commands[c]->opt_count; k++) {
                const rn_opt *opt = &rn_commands[c]->opts[k];
                const char *value = !opt->example || opt->kind == RN_OPT_FLAG ? NULL
                                    : opt->kind == RN_OPT_COUNT               ? "2"
                                                                              : victim;
                if (is_study(rn_cmd_find(names[p]), opt->name))
                    continue;
                for (int spelling = 0; spelling < 3; spelling++) {
                    if ((spelling == 1 && !value) || (spelling == 2 && !opt->letter))
                        continue;
                    char name[64];
                    snprintf(name, sizeof name, spelling == 2 ? "-%.0s%c" : "--%s", opt->name, opt->letter);
                    if (spelling == 1)
                        snprintf(words, sizeof words, "word \"%s=%s\"\n", name, value);
                    else if (value)
                        snprintf(words, sizeof words, "word \"%s\"\nword \"%s\"\n", name, value);
                    else
                        snprintf(words, sizeof words, "word \"%s\"\n", name);
                    put_words(made, pieces[p], words);
                    write_sealed(path, made);
                    check_refused(path, victim, words);
                    snprintf(shared, sizeof shared, "word \"--share\"\nword \"1/1\"\n%s", words);
                    put_words(made, pieces[p], shared);
                    write_sealed(path, made);
                    check_refused(path, victim, words);
                    refused++;
                }
            }
    assert_true(refused > 100);
    assert_int_equal(shell_count(*state), 3); /* nothing but the plan, the piece and the victim */
}

static void operands_and_ends_of_options(void **state)
{
    static const char *const words[] = {"word \"other.yaml\"\n",
                                        "word \"-\"\n",
                                        "word \"--\"\nword \"--piece\"\nword \"x\"\n",
                                        "word \"/dev/stdin\"\n",
                                        "word \"--draws\"\nword \"99999999\"\n",
                                        "word \"--draws\"\n",
                                        "word \"--\"\nword \"\\033[31m\\n\"\n"};
    char path[1024], victim[1024], made[TEXT_MOST];
    snprintf(path, sizeof path, "%s", shell_path(state, "stranger.piece"));
    snprintf(victim, sizeof victim, "%s", shell_path(state, "victim"));
    shell_write(victim, "precious\n");
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        put_words(made, odds, words[i]);
        write_sealed(path, made);
        check_refused(path, victim, words[i]);
        assert_null(strchr(s.err, '\033'));
    }
}

/* Of two pieces the second is read as well. */
static void any_of_the_pieces(void **state)
{
    char made[TEXT_MOST];
    const char *piece[2] = {strdup(shell_path(state, "1.piece")), strdup(shell_path(state, "2.piece"))};
    for (int k = 0; k < 2; k++)
        shell_run(&s, "odds", shell_path(state, "pool.yaml"), "--draws", "3", "--coarse", "64", "-g64", "--afresh",
                  "-q", "--share", k == 0 ? "1/2" : "2/2", "--piece", piece[k], NULL);
    size_t size;
    char *text = shell_read(piece[1], &size);
    text[size - RN_SEAL_SIZE] = '\0';
    shell_run(&s, "gather", piece[0], piece[1], NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    put_words(made, text, "word \"--csv=x\"\n");
    write_sealed(piece[1], made);
    shell_run(&s, "gather", piece[0], piece[1], NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "2.piece' is refused");
    shell_says(s.err, "unknown option '--csv'");
    free(text);
    for (int k = 0; k < 2; k++) {
        unlink(piece[k]);
        free((char *)piece[k]);
    }
}

/* A text of ours holds no number that is none, or that no pour has, whatever was gathered. */
static void check_numbers(const char *text, const char *body)
{
    for (const char *at = text; *at; at++) {
        if (strncmp(at, "inf", 3) == 0 && !isalpha((unsigned char)at[3]) &&
            (at == text || !isalpha((unsigned char)at[-1])))
            fail_msg("an infinity is told of\n%s\n%s", body, text);
        if (!isdigit((unsigned char)*at) || (at > text && (isalnum((unsigned char)at[-1]) || strchr("._#", at[-1]))))
            continue;
        char *end;
        const double value = strtod(at, &end);
        if (!(value <= 1e10))
            fail_msg("%.17g is told of\n%s\n%s", value, body, text);
        at = end - 1;
    }
}

static void check_shares(const char *json, const char *body)
{
    for (const char *at = json; (at = strstr(at, "\"coverage\": ")) != NULL;) {
        at += strlen("\"coverage\": ");
        const double share = strtod(at, NULL);
        if (!(share >= 0 && share <= 1))
            fail_msg("a coverage of %g is told of\n%s", share, body);
    }
}

/* What comes of a piece, by every way of telling it. Whether it was told. */
static bool gather(void **state, const char *body, int way)
{
    static const char *const pictures[] = {"p.svg", "p.pdf", "p.png"};
    char path[1024], csv[1024], picture[1024], cache[1024];
    snprintf(path, sizeof path, "%s", shell_path(state, "stranger.piece"));
    snprintf(csv, sizeof csv, "%s", shell_path(state, "all.csv"));
    snprintf(picture, sizeof picture, "%s", shell_path(state, pictures[way % 3]));
    snprintf(cache, sizeof cache, "%s", shell_path(state, "runs"));
    unlink(csv);
    unlink(picture);
    write_sealed(path, body);
    shell_run(&s, "gather", path, "--cache", cache, "-q", "--csv", csv, "--picture", picture, way % 2 ? "--json" : NULL,
              NULL);
    if (s.exit != RN_EXIT_DONE && s.exit != RN_EXIT_SHORT) {
        if (s.exit != RN_EXIT_PLAN || s.err_size == 0 || s.out_size > 0)
            fail_msg("%s\nended with %d and said: %s%s", body, s.exit, s.out, s.err);
        return false;
    }
    size_t size;
    char *table = shell_read(csv, &size);
    assert_non_null(table);
    assert_true(shell_exists(picture));
    check_numbers(table, body);
    check_numbers(s.out, body);
    check_shares(s.out, body);
    free(table);
    return true;
}

/* Each number of an outcome in turn. */
static void numbers_that_no_run_comes_to(void **state)
{
    static const char *const wrong[] = {"inf", "-inf", "1e308", "-1e308", "-1", "1e30", "0x1p1000"};
    const char *const pieces[] = {odds, window};
    char made[TEXT_MOST];
    for (int p = 0; p < 2; p++) {
        const char *line = strstr(strstr(pieces[p], "\nruns ") + 1, "\n2 ") + 1;
        int fields = 0;
        for (const char *at = strchr(line, '='); strncmp(at - 4, " why", 4) != 0; at = strchr(at + 1, '='), fields++)
            for (size_t w = 0; w < sizeof wrong / sizeof wrong[0]; w++) {
                snprintf(made, sizeof made, "%.*s%s%s", (int)(at + 1 - pieces[p]), pieces[p], wrong[w],
                         strchr(at, ' '));
                if (gather(state, made, fields))
                    fail_msg("%.*s=%s is taken", 20, at - 20, wrong[w]);
                shell_says(s.err, "this is not what a run");
            }
        assert_true(fields >= 30);
        for (size_t w = 0; w < 4; w++) { /* and the grid */
            static const char *const grids[] = {"1000000 64", "64 65", "0 0", "-64 -64"};
            const char *at = strstr(line, " 64 64 ") + 1;
            snprintf(made, sizeof made, "%.*s%s%s", (int)(at - pieces[p]), pieces[p], grids[w], at + 5);
            assert_false(gather(state, made, 0));
        }
    }
}

/* All numbers of all runs alike. */
static void all_numbers_at_once(void **state)
{
    static const char *const wrong[] = {"nan", "inf", "1e308", "-1e308", "-1", "0"};
    char made[TEXT_MOST];
    for (size_t w = 0; w < sizeof wrong / sizeof wrong[0]; w++) {
        size_t used = (size_t)snprintf(made, sizeof made, "%.*s", (int)(strstr(odds, "\nruns ") + 8 - odds), odds);
        for (const char *at = odds + used; *at;) {
            const char *equals = strchr(at, '=');
            if (!equals || strncmp(equals - 4, " why", 4) == 0) {
                const char *next = equals ? strchr(equals, '\n') + 1 : at + strlen(at);
                used += (size_t)snprintf(made + used, sizeof made - used, "%.*s", (int)(next - at), at);
                at = next;
                continue;
            }
            used += (size_t)snprintf(made + used, sizeof made - used, "%.*s%s", (int)(equals + 1 - at), at, wrong[w]);
            at = strchr(equals, ' ');
        }
        assert_false(gather(state, made, (int)w));
    }
}

/* Mutilated by the seed: bytes, numbers, lines and words, anywhere; the sum renewed. */
static void mutate(char *text, rn_random *draws)
{
    static const char *const pieces[] = {"nan",    "inf",     "-1e308", "1e308", "0",  "-0x1p-1074",        "9",
                                         "e",      ".",       "=",      " ",     "\n", "word \"--save\"\n", "whole",
                                         "failed", "decided", "met",    "0x1p+4"};
    const size_t length = strlen(text), from = rn_random_bits(draws) % 4 ? (size_t)(strstr(text, "\nruns ") - text) : 0;
    size_t at = from + rn_random_bits(draws) % (length - from);
    const char *put = pieces[rn_random_bits(draws) % (sizeof pieces / sizeof pieces[0])];
    char rest[TEXT_MOST];
    switch (rn_random_bits(draws) % 4) {
    case 0: text[at] = (char)(1 + rn_random_bits(draws) % 255); return;
    case 1: snprintf(rest, sizeof rest, "%s", text + at + (rn_random_bits(draws) % 3)); break;
    case 2: /* a number in place of one that stands there */
        while (text[at] && text[at] != '=')
            at++;
        at += text[at] == '=';
        snprintf(rest, sizeof rest, "%s", text + at + strcspn(text + at, " \n"));
        break;
    default: /* one digit of a number */
        while (text[at] && !isdigit((unsigned char)text[at]))
            at++;
        if (text[at])
            text[at] = (char)('0' + rn_random_bits(draws) % 10);
        return;
    }
    snprintf(text + at, TEXT_MOST - at, "%s%s", put, rest);
}

static void mutilated_pieces(void **state)
{
    static char made[TEXT_MOST];
    rn_random draws = rn_random_seeded(11);
    int told = 0;
    for (int i = 0; i < MUTATIONS; i++) {
        snprintf(made, sizeof made, "%s", i % 8 == 7 ? window : odds);
        const int times = 1 + (int)(rn_random_bits(&draws) % 3);
        for (int k = 0; k < times; k++)
            if (strlen(made) > 100 && strstr(made, "\nruns ") && strlen(made) + 100 < TEXT_MOST)
                mutate(made, &draws);
        told += gather(state, made, i);
    }
    assert_true(told > MUTATIONS / 50 && told < MUTATIONS / 2);
}

/* Of kept runs whose sums were renewed none is believed that no run comes to; one in a link's or pipe's place is none. */
static void kept_runs_of_a_stranger(void **state)
{
    static const char *const wrong[] = {"1e308", "inf", "-1", "nan", "0x1p-2"};
    char plan[1024], cache[1024], find[1200], path[1024], right[1024], now[1024], victim[1024];
    size_t size, first_size;
    snprintf(plan, sizeof plan, "%s", shell_path(state, "pool.yaml"));
    snprintf(cache, sizeof cache, "%s", shell_path(state, "kept"));
    snprintf(right, sizeof right, "%s", shell_path(state, "right.csv"));
    snprintf(now, sizeof now, "%s", shell_path(state, "now.csv"));
    snprintf(victim, sizeof victim, "%s", shell_path(state, "victim"));
    snprintf(find, sizeof find, "find '%s' -name '*.run'", cache);
    shell_write(victim, "precious\n");
    shell_run(&s, "odds", plan, "--draws", "3", "--coarse", "64", "-g64", "-q", "--cache", cache, "--csv", right, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    char *expected = shell_read(right, &first_size);
    for (size_t w = 0; w < sizeof wrong / sizeof wrong[0] + 2; w++) {
        FILE *list = popen(find, "r");
        int count = 0;
        while (fgets(path, sizeof path, list)) {
            path[strcspn(path, "\n")] = '\0';
            count++;
            char *text = shell_read(path, &size), made[TEXT_MOST];
            const char *at = strstr(text, "run_off=") + 8;
            text[size - RN_SEAL_SIZE] = '\0';
            if (w < sizeof wrong / sizeof wrong[0]) {
                snprintf(made, sizeof made, "%.*s%s%s", (int)(at - text), text, wrong[w], strchr(at, ' '));
                write_sealed(path, made);
            } else {
                unlink(path);
                assert_int_equal(w == sizeof wrong / sizeof wrong[0] ? symlink(victim, path) : mkfifo(path, 0600), 0);
            }
            free(text);
        }
        pclose(list);
        assert_int_equal(count, 4);
        unlink(now);
        shell_run(&s, "odds", plan, "--draws", "3", "--coarse", "64", "-g64", "-q", "--cache", cache, "--csv", now,
                  NULL);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        char *text = shell_read(now, &size), *kept;
        assert_string_equal(text, expected);
        kept = shell_read(victim, &size);
        assert_string_equal(kept, "precious\n");
        free(text);
        free(kept);
    }
    free(expected);
}

/* A link of a piece's name leads to no file that it would replace. */
static void a_link_of_a_piece_s_name(void **state)
{
    char plan[1024], victim[1024], link_to[1024];
    size_t size;
    snprintf(plan, sizeof plan, "%s", shell_path(state, "pool.yaml"));
    snprintf(victim, sizeof victim, "%s", shell_path(state, "victim"));
    snprintf(link_to, sizeof link_to, "%s", shell_path(state, "link.piece"));
    shell_write(victim, "precious\n");
    assert_int_equal(symlink(victim, link_to), 0);
    shell_run(&s, "odds", plan, "--draws", "2", "--coarse", "64", "-g64", "--afresh", "-q", "--share", "1/1", "--piece",
              link_to, NULL);
    assert_int_equal(s.exit, RN_EXIT_PLAN);
    shell_says(s.err, "link.piece' is a link to a file, and a piece replaces none that is elsewhere");
    char *kept = shell_read(victim, &size);
    assert_string_equal(kept, "precious\n");
    free(kept);
    unlink(link_to);
}

/* A pipe in a file's place keeps nobody waiting. */
static void pipes_in_a_files_place(void **state)
{
    char pipe[1024];
    snprintf(pipe, sizeof pipe, "%s", shell_path(state, "pipe"));
    assert_int_equal(mkfifo(pipe, 0600), 0);
    static const char *const commands[] = {"check", "forecast", "plan", "odds", "gather", "compare"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        shell_run(&s, commands[i], pipe, strcmp(commands[i], "compare") == 0 ? shell_path(state, "pool.yaml") : NULL,
                  NULL);
        assert_int_equal(s.exit, RN_EXIT_PLAN);
        shell_says(s.err, "this is a pipe, not a file; '-' reads what is piped in");
    }
    unlink(pipe);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(options_that_are_no_part_of_a_study),
        cmocka_unit_test(operands_and_ends_of_options),
        cmocka_unit_test(any_of_the_pieces),
        cmocka_unit_test(numbers_that_no_run_comes_to),
        cmocka_unit_test(all_numbers_at_once),
        cmocka_unit_test(mutilated_pieces),
        cmocka_unit_test(kept_runs_of_a_stranger),
        cmocka_unit_test(a_link_of_a_piece_s_name),
        cmocka_unit_test(pipes_in_a_files_place),
    };
    return cmocka_run_group_tests(tests, enter, leave);
}
