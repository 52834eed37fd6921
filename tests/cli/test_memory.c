/* Memory that is short at any moment is said to be: no command crashes, blames the plan, or passes off a part for the whole.
   malloc and its kin are those of this program, so that what libraries ask for fails as well. */
#define _GNU_SOURCE

#include "check.h"

#include <errno.h>
#include <stdatomic.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/shell.h"

extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static atomic_long left; /* requests until one fails; 0 or less: none does */
static atomic_bool from_then_on;
static atomic_long failures;

static bool fails(void)
{
    const long now = atomic_load(&left);
    if (now <= 0)
        return false;
    if (now > 1) {
        atomic_fetch_sub(&left, 1);
        return false;
    }
    if (!atomic_load(&from_then_on))
        atomic_store(&left, 0);
    atomic_fetch_add(&failures, 1);
    errno = ENOMEM;
    return true;
}

void *malloc(size_t size)
{
    return fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails() ? NULL : __libc_realloc(old, size);
}

#define REQUESTS_MOST 100000

static char out_buffer[1 << 16], err_buffer[1 << 16]; /* the streams' own, which then ask for none */

typedef struct said {
    int exit;
    char out[1 << 16], err[1 << 16];
} said;

static void take(char *text, size_t size, FILE *from)
{
    fflush(from);
    rewind(from);
    text[fread(text, 1, size - 1, from)] = '\0';
    fclose(from);
}

/* The time it took is another each time. */
static void drop_time(char *text)
{
    char *from = strstr(text, "\"wall_s\""), *to = from ? strchr(from, '\n') : NULL;
    if (to)
        memmove(from, to, strlen(to) + 1);
}

/* With the n-th request for memory failing, or all from it on; 0: none. */
static void run(said *s, long n, bool on, char *command, char *operand)
{
    char name[] = "runnel", grid[] = "-g64", how[7], threads[] = "-t1";
    char *argv[] = {name, command, operand, grid, how, threads};
    FILE *out = tmpfile(), *err = tmpfile();
    strcpy(how, strcmp(command, "forecast") == 0 ? "--json" : "-q");
    assert_true(out && err);
    setvbuf(out, out_buffer, _IOFBF, sizeof out_buffer);
    setvbuf(err, err_buffer, _IOFBF, sizeof err_buffer);
    atomic_store(&failures, 0);
    atomic_store(&from_then_on, on);
    atomic_store(&left, n);
    s->exit = rn_cli(!operand ? 2 : strcmp(command, "plan") == 0 ? 3 : 6, argv, out, err);
    atomic_store(&left, 0);
    take(s->out, sizeof s->out, out);
    drop_time(s->out);
    take(s->err, sizeof s->err, err);
}

static void always_honest(const char *command, char *operand)
{
    static said whole, s;
    char word[20];
    snprintf(word, sizeof word, "%s", command);
    run(&whole, 0, false, word, operand);
    assert_int_equal(whole.exit, RN_EXIT_DONE);
    for (int on = 0; on < 2; on++) {
        long n = 1;
        for (; n < REQUESTS_MOST; n++) {
            run(&s, n, on, word, operand);
            if (atomic_load(&failures) == 0)
                break;
            if (s.exit == RN_EXIT_DONE) { /* it could do without */
                if (strcmp(s.out, whole.out) != 0)
                    fail_msg("%s, request %ld%s: exit 0, but not all was told:\n%s", command, n, on ? " and on" : "",
                             s.out);
                continue;
            }
            if (s.exit != RN_EXIT_FAILED || s.out[0] || !strstr(s.err, "no memory"))
                fail_msg("%s, request %ld%s: %d\n%s%s", command, n, on ? " and on" : "", s.exit, s.out, s.err);
        }
        check_at_least((double)n, 2);
        assert_true(n < REQUESTS_MOST);
        assert_int_equal(s.exit, RN_EXIT_DONE);
        assert_string_equal(s.out, whole.out);
    }
}

static void a_plan_is_written_whole_or_not_at_all(void **state)
{
    (void)state;
    char preset[] = "presets/small-study.yaml";
    always_honest("plan", preset);
}

static void commands_of_words_are_honest_too(void **state)
{
    (void)state;
    always_honest("keys", NULL);
    always_honest("help", NULL);
}

/* A film that is there at once, for a moment: memory is taken before the first step. */
static void a_film_is_worked_out_or_not(void **state)
{
    char plan[1200];
    snprintf(plan, sizeof plan, "%s", shell_path(state, "tiny.yaml"));
    shell_write(plan, "plan: 1\npanel: {size: 30 mm x 30 mm}\npaints: {foam: {viscosity: 0.3 Pa s}}\n"
                      "base: [{paint: foam, depth: 1 mm}]\nend: 0.2 s\nexpect: {coverage: at least 1 %}\n");
    always_honest("check", plan);
    always_honest("forecast", plan);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_is_written_whole_or_not_at_all),
        cmocka_unit_test(commands_of_words_are_honest_too),
        cmocka_unit_test_setup_teardown(a_film_is_worked_out_or_not, shell_make_folder, shell_remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
