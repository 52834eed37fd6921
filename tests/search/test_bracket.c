/* Closing in on a border: against functions whose border is known beforehand. How many points it may take follows from the
   rule: two points within leave a third of the interval. */
#include "check.h"

#include <string.h>

#include "base/random.h"
#include "search/bracket.h"

typedef bool meets(double value);

static double border; /* of the functions below */

static bool from_border_up(double value)
{
    return value >= border;
}

static bool to_border_down(double value)
{
    return value <= border;
}

static bool everywhere(double value)
{
    (void)value;
    return true;
}

static bool nowhere(double value)
{
    (void)value;
    return false;
}

/* Three digits, as a person would try. */
static double three_digits(const void *context, double value)
{
    char text[40];
    (void)context;
    snprintf(text, sizeof text, "%.3g", value);
    return strtod(text, NULL);
}

static double whole(const void *context, double value)
{
    (void)context;
    return round(value);
}

static rn_bracket linear(double from, double to, double hint)
{
    return (rn_bracket){
        .from = from, .to = to, .hint = hint, .first = 0.05 * (to - from), .absolute = 0.01 * (to - from)};
}

/* Runs it to its end; every point is new, within the range, and has its digits. Returns the rounds. */
static int close_in(rn_bracket *bracket, meets *goal)
{
    double points[2];
    int rounds = 0;
    for (int count = rn_bracket_ask(points, bracket); count > 0; count = rn_bracket_ask(points, bracket)) {
        assert_true(count <= 2);
        assert_true(++rounds <= RN_BRACKET_MOST);
        for (int i = 0; i < count; i++) {
            check_at_least(points[i], bracket->from);
            check_at_most(points[i], bracket->to);
            for (int k = 0; k < bracket->count; k++)
                assert_true(points[i] != bracket->told[k]);
            if (bracket->round && points[i] != bracket->from && points[i] != bracket->to)
                assert_true(points[i] == bracket->round(bracket->round_context, points[i]));
        }
        assert_true(count < 2 || points[0] != points[1]);
        for (int i = 0; i < count; i++)
            rn_bracket_tell(bracket, points[i], goal(points[i]));
    }
    return rounds;
}

/* Rounds that a border may take at most: outward the interval trebles, inward it shrinks to a third, and two more. */
static int rounds_at_most(double range, double first, double close)
{
    return (int)ceil(log(fmax(range / first, 1)) / log(3)) + (int)ceil(log(range / close) / log(3)) + 2;
}

static void check_border(rn_bracket *bracket, meets *goal, bool falling)
{
    double met, unmet;
    const int rounds = close_in(bracket, goal);
    assert_int_equal(rn_bracket_found(&met, &unmet, bracket), RN_BRACKET_FOUND);
    assert_true(goal(met));
    assert_false(goal(unmet));
    if (falling) {
        check_at_most(met, border);
        check_at_least(unmet, border);
    } else {
        check_at_least(met, border);
        check_at_most(unmet, border);
    }
    check_at_most(fabs(met - unmet), fmax(bracket->absolute, bracket->share * fabs(met)) * (1 + 1e-6));
    assert_false(rn_bracket_jumps(&met, bracket));
    const double close = fmax(bracket->absolute, bracket->share * border);
    const double range = bracket->logarithmic ? log(bracket->to / bracket->from) : bracket->to - bracket->from;
    check_at_most(rounds, rounds_at_most(range, bracket->logarithmic ? log1p(bracket->first) : bracket->first,
                                         bracket->logarithmic ? close / border : close));
}

static void a_border_is_found_wherever_it_lies(void **state)
{
    (void)state;
    rn_random draws = rn_random_seeded(1);
    for (int i = 0; i < 400; i++) {
        const double hint = 10 + 90 * rn_random_unit(&draws);
        border = 10.001 + 89.9 * rn_random_unit(&draws);
        rn_bracket rising = linear(10, 100, hint), falling = linear(10, 100, hint);
        falling.falling = true;
        check_border(&rising, from_border_up, false);
        check_border(&falling, to_border_down, true);
    }
}

static void a_border_by_factors(void **state)
{
    (void)state;
    rn_random draws = rn_random_seeded(2);
    for (int i = 0; i < 400; i++) {
        rn_bracket rising = {.from = 1e-6, .to = 1e-2, .logarithmic = true, .first = 0.5, .share = 0.01};
        rising.hint = 1e-6 * pow(1e4, rn_random_unit(&draws));
        border = 1.001e-6 * pow(0.99e4, rn_random_unit(&draws));
        rn_bracket falling = rising;
        falling.falling = true;
        check_border(&rising, from_border_up, false);
        check_border(&falling, to_border_down, true);
    }
}

static void a_good_hint_saves_rounds(void **state)
{
    (void)state;
    border = 60;
    rn_bracket near = linear(0, 100, 60.1), far = linear(0, 100, 5);
    near.first = 0.49;
    near.absolute = far.absolute = 1;
    assert_int_equal(close_in(&near, from_border_up), 1);
    assert_true(close_in(&far, from_border_up) > 3);
}

static void digits_are_kept(void **state)
{
    (void)state;
    double met, unmet;
    for (int i = 0; i < 100; i++) {
        rn_bracket b = {.from = 1, .to = 1000, .logarithmic = true, .hint = 20, .first = 0.5, .share = 0.01};
        b.round = three_digits;
        border = 1.05 * pow(1.07, i);
        check_border(&b, from_border_up, false);
    }
    /* a bracket asked closer than the digits tell ends where they do: 123.4 lies between 123 and 124 */
    rn_bracket b = {.from = 1, .to = 1000, .logarithmic = true, .hint = 20, .first = 0.5, .share = 1e-6};
    b.round = three_digits;
    border = 123.4;
    close_in(&b, from_border_up);
    assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_FOUND);
    check_close(met, 124, 1e-12);
    check_close(unmet, 123, 1e-12);
}

/* A first step that the digits swallow must not end the search where it began. */
static void steps_smaller_than_the_digits(void **state)
{
    (void)state;
    double met, unmet;
    for (int k = 0; k < 40; k++) {
        rn_bracket b = {.from = 1, .to = 40, .hint = k + 0.5, .first = 1e-3, .absolute = 0.1, .round = whole};
        b.hint = fmin(fmax(b.hint, 1), 40);
        border = 17.5;
        close_in(&b, from_border_up);
        assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_FOUND);
        assert_true(met == 18 && unmet == 17);
        rn_bracket fine = {
            .from = 1, .to = 1000, .logarithmic = true, .hint = 1 + 20 * k, .first = 1e-5, .share = 1e-4};
        fine.round = three_digits;
        border = 123.4;
        close_in(&fine, from_border_up);
        assert_int_equal(rn_bracket_found(&met, &unmet, &fine), RN_BRACKET_FOUND);
        assert_true(met == 124 && unmet == 123);
    }
}

static void met_everywhere(void **state)
{
    (void)state;
    double met, unmet;
    rn_bracket b = linear(10, 100, 70);
    close_in(&b, everywhere);
    assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_ALL);
    assert_true(met == 10); /* the end of the range was tried */
    assert_true(isnan(unmet));
    rn_bracket falling = linear(10, 100, 70);
    falling.falling = true;
    close_in(&falling, everywhere);
    assert_int_equal(rn_bracket_found(&met, &unmet, &falling), RN_BRACKET_ALL);
    assert_true(met == 100);
}

static void met_nowhere(void **state)
{
    (void)state;
    double met, unmet;
    rn_bracket b = linear(10, 100, 20);
    close_in(&b, nowhere);
    assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_NONE);
    assert_true(unmet == 100);
    assert_true(isnan(met));
    rn_bracket falling = linear(10, 100, 20);
    falling.falling = true;
    close_in(&falling, nowhere);
    assert_int_equal(rn_bracket_found(&met, &unmet, &falling), RN_BRACKET_NONE);
    assert_true(unmet == 10);
}

/* Only the very end of the range meets it, or only the very end does not. */
static void at_the_ends_of_the_range(void **state)
{
    (void)state;
    double met, unmet;
    rn_bracket last = linear(10, 100, 20);
    border = 100;
    close_in(&last, from_border_up);
    assert_int_equal(rn_bracket_found(&met, &unmet, &last), RN_BRACKET_FOUND);
    assert_true(met == 100);
    check_at_least(unmet, 100 - last.absolute * (1 + 1e-9));
    rn_bracket first = linear(10, 100, 90);
    border = 10 + 1e-9;
    close_in(&first, from_border_up);
    assert_int_equal(rn_bracket_found(&met, &unmet, &first), RN_BRACKET_FOUND);
    assert_true(unmet == 10);
    check_at_most(met, 10 + first.absolute * (1 + 1e-9));
}

static void nothing_told_nothing_known(void **state)
{
    (void)state;
    double met, unmet;
    const rn_bracket b = linear(10, 100, 20);
    assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_OPEN);
    assert_true(isnan(met) && isnan(unmet));
}

/* Met from 40 to 50 and again from 60 up: beyond the last that does not, and the earlier ones are told as a jump. */
static bool twice(double value)
{
    return (value >= 40 && value < 50) || value >= 60;
}

static void a_border_that_is_not_sharp_is_told(void **state)
{
    (void)state;
    double met, unmet, jump = 0;
    int jumps = 0;
    for (int hint = 12; hint < 100; hint += 3) {
        rn_bracket b = linear(10, 100, hint);
        close_in(&b, twice);
        assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_FOUND);
        /* one of the two borders, whichever the points showed; the nearest unmet lies just below */
        const bool upper = met >= 60;
        check_at_least(met, upper ? 60 : 40);
        check_at_most(met, (upper ? 60 : 40) + 1);
        check_at_most(met - unmet, 0.9 * (1 + 1e-6));
        bool seen = false; /* a point between 40 and 50 below an unmet one that was told */
        for (int i = 0; i < b.count; i++)
            seen = seen || (b.met[i] && b.told[i] < unmet);
        assert_int_equal(rn_bracket_jumps(&jump, &b), seen);
        if (seen) {
            assert_true(jump >= 40 && jump < 50);
            jumps++;
        }
    }
    assert_true(jumps > 0);
}

/* A border with noise of +-2 round it: the answer meets the goal, what it is next to does not, and both lie where that is
   possible. */
static unsigned noise_seed;

static bool noisily(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    rn_random draw = rn_random_seeded(bits ^ noise_seed); /* the same value gives the same answer */
    return value >= 55 + 4 * (rn_random_unit(&draw) - 0.5);
}

static void a_noisy_border_is_put_up_with(void **state)
{
    (void)state;
    double met, unmet, jump;
    for (noise_seed = 1; noise_seed <= 200; noise_seed++) {
        rn_bracket b = linear(0, 100, 20);
        b.absolute = 0.1;
        close_in(&b, noisily);
        assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_FOUND);
        assert_true(noisily(met));
        assert_false(noisily(unmet));
        assert_true(met > unmet);
        check_at_most(met - unmet, 0.1 * (1 + 1e-6));
        check_at_least(met, 53);
        check_at_most(met, 57 + 0.1);
        for (int i = 0; i < b.count; i++) /* all beyond the answer that was tried meets it */
            assert_true(b.told[i] < met || b.met[i]);
        if (rn_bracket_jumps(&jump, &b))
            assert_true(jump < unmet && noisily(jump));
    }
}

/* A step function told as far as its step: goals by counted cells are like that. */
static bool by_steps_of_seven(double value)
{
    return floor(value / 7) * 7 >= 42;
}

static void steps_end_where_they_are(void **state)
{
    (void)state;
    double met, unmet;
    rn_bracket b = linear(0, 100, 90);
    b.absolute = 0.01;
    close_in(&b, by_steps_of_seven);
    assert_int_equal(rn_bracket_found(&met, &unmet, &b), RN_BRACKET_FOUND);
    check_within(met, 42, 0.01);
    assert_true(met >= 42 && unmet < 42);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_border_is_found_wherever_it_lies),
        cmocka_unit_test(a_border_by_factors),
        cmocka_unit_test(a_good_hint_saves_rounds),
        cmocka_unit_test(digits_are_kept),
        cmocka_unit_test(steps_smaller_than_the_digits),
        cmocka_unit_test(met_everywhere),
        cmocka_unit_test(met_nowhere),
        cmocka_unit_test(at_the_ends_of_the_range),
        cmocka_unit_test(nothing_told_nothing_known),
        cmocka_unit_test(a_border_that_is_not_sharp_is_told),
        cmocka_unit_test(a_noisy_border_is_put_up_with),
        cmocka_unit_test(steps_end_where_they_are),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
