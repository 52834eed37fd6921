/* The tests' own comparisons: they fail where they should. Each is tried in a process of its own, whose failures do not
   count here. */
#include "check.h"

#include <sys/wait.h>
#include <unistd.h>

static void close_enough(void **state)
{
    (void)state;
    check_close(1.49, 1, 0.499);
}

static void off_by_more(void **state)
{
    (void)state;
    check_close(1.02, 1, 0.01);
}

static void not_a_number(void **state)
{
    (void)state;
    check_close(NAN, 1, 0.01);
}

static void a_bound_taken_for_a_share(void **state)
{
    (void)state;
    check_close(1, 1, 0.5);
}

static void a_share_that_is_no_number(void **state)
{
    (void)state;
    check_close(1, 1, NAN);
}

static void within(void **state)
{
    (void)state;
    check_within(3, 2, 1);
}

static void not_within(void **state)
{
    (void)state;
    check_within(3.1, 2, 1);
}

/* How many of one test fail. */
static int failures(const struct CMUnitTest *test)
{
    fflush(NULL);
    const pid_t child = fork();
    if (child == 0) {
        if (!freopen("/dev/null", "w", stdout) || !freopen("/dev/null", "w", stderr))
            _exit(99);
        const struct CMUnitTest tests[] = {*test};
        _exit(cmocka_run_group_tests(tests, NULL, NULL));
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void comparisons_fail_where_they_should(void **state)
{
    (void)state;
    const struct {
        struct CMUnitTest test;
        int failures;
    } cases[] = {
        {cmocka_unit_test(close_enough), 0},
        {cmocka_unit_test(off_by_more), 1},
        {cmocka_unit_test(not_a_number), 1},
        {cmocka_unit_test(a_bound_taken_for_a_share), 1},
        {cmocka_unit_test(a_share_that_is_no_number), 1},
        {cmocka_unit_test(within), 0},
        {cmocka_unit_test(not_within), 1},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        if (failures(&cases[k].test) != cases[k].failures)
            fail_msg("%s should fail %d times", cases[k].test.name, cases[k].failures);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(comparisons_fail_where_they_should),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
