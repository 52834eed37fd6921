/* What every test includes: cmocka, and comparisons of doubles that show their figures when they fail.
   Tests run from the top of the source tree: open "tests/plans/..." and "presets/..." as they are. */
#ifndef RN_TESTS_CHECK_H
#define RN_TESTS_CHECK_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/error.h"

static inline void check_difference(double actual, double expected, double absolute, double relative, const char *text,
                                    const char *file, int line)
{
    double difference = fabs(actual - expected);
    double allowed = absolute + relative * fabs(expected);
    if (difference <= allowed) /* false for a NaN on either side */
        return;
    fprintf(stderr, "%s:%d: %s is %.17g, should be %.17g: off by %.3g (%.3g of it), allowed %.3g\n", file, line, text,
            actual, expected, difference, difference / fabs(expected), allowed);
    _fail(file, line);
}

/* sign +1: actual is to be no more than limit; -1: no less. */
static inline void check_side(double actual, double limit, int sign, const char *text, const char *file, int line)
{
    if (sign * (actual - limit) <= 0) /* false for a NaN on either side */
        return;
    fprintf(stderr, "%s:%d: %s is %.17g, should be at %s %.17g\n", file, line, text, actual,
            sign > 0 ? "most" : "least", limit);
    _fail(file, line);
}

static inline void check_status_is(rn_status status, rn_status expected, const rn_error *err, const char *text,
                                   const char *file, int line)
{
    if (status == expected)
        return;
    fprintf(stderr, "%s:%d: %s returned %d, should be %d: \"%s\"\n", file, line, text, (int)status, (int)expected,
            err ? err->message : "");
    _fail(file, line);
}

/* A share of half and more allows next to anything: what was meant is a bound in the unit of the value, check_within. */
static inline double check_share(double relative, const char *file, int line)
{
    if (relative < 0.5) /* false for a NaN */
        return relative;
    fprintf(stderr,
            "%s:%d: check_close is to allow %g of the value: under 0.5, or check_within for a bound in its unit\n",
            file, line, relative);
    _fail(file, line);
    return 0;
}

/* Equal within a share of the expected value, under 0.5. */
#define check_close(actual, expected, relative)                                                                        \
    check_difference((actual), (expected), 0, check_share((relative), __FILE__, __LINE__), #actual, __FILE__, __LINE__)

/* Equal within +- absolute, in the unit of both. */
#define check_within(actual, expected, absolute)                                                                       \
    check_difference((actual), (expected), (absolute), 0, #actual, __FILE__, __LINE__)

#define check_at_most(actual, limit) check_side((actual), (limit), +1, #actual, __FILE__, __LINE__)

#define check_at_least(actual, limit) check_side((actual), (limit), -1, #actual, __FILE__, __LINE__)

/* The call succeeds; if not, the message that err holds is shown. */
#define check_ok(call, err) check_status_is((call), RN_OK, (err), #call, __FILE__, __LINE__)

/* The call returns this status. */
#define check_status(call, expected, err) check_status_is((call), (expected), (err), #call, __FILE__, __LINE__)

/* Whether this is the run under watch, in which all is slow: fewer repeats then, of the same things. */
static inline bool check_watched(void)
{
    return getenv("RUNNEL_TEST_GRID") != NULL;
}

/* Cells along the longer side that a slow test should use: RUNNEL_TEST_GRID where that is set and smaller. */
static inline int check_grid(int cells)
{
    const char *text = getenv("RUNNEL_TEST_GRID");
    long asked = text ? strtol(text, NULL, 10) : 0;
    return asked > 0 && asked < cells ? (int)asked : cells;
}

#endif
