/* The clock that how long things take is measured by, against a sleep of known length. */
#include "check.h"

#include <time.h>

#include "base/monotonic.h"

/* POSIX: CLOCK_MONOTONIC counts seconds and nanoseconds since some moment. */
static double posix_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* POSIX: nanosleep sleeps no less than it is asked to, of a clock that goes as fast as this one. However long the machine
   takes, no more passes than between two looks at the other clock around. */
static void it_counts_seconds(void **state)
{
    (void)state;
    const double first = posix_now(), before = rn_monotonic_now();
    nanosleep(&(struct timespec){.tv_nsec = 30000000}, NULL);
    const double took = rn_monotonic_now() - before, last = posix_now();
    check_at_least(took, 0.0299);
    check_at_most(took, last - first + 1e-6);
}

static void it_never_goes_back(void **state)
{
    (void)state;
    double last = rn_monotonic_now();
    for (int i = 0; i < 10000; i++) {
        const double now = rn_monotonic_now();
        check_at_least(now, last);
        last = now;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_counts_seconds),
        cmocka_unit_test(it_never_goes_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
