#include "base/error.h"

#include "check.h"

#include <string.h>

static void a_failure_fills_status_and_message(void **state)
{
    (void)state;
    rn_error err = {0};
    assert_int_equal(rn_fail(&err, RN_E_FILE, "cannot read '%s': %s", "tide.yaml", "no such file"), RN_E_FILE);
    assert_int_equal(err.status, RN_E_FILE);
    assert_int_equal(err.line, 0);
    assert_string_equal(err.message, "cannot read 'tide.yaml': no such file");
}

static void the_lowest_message_wins(void **state)
{
    (void)state;
    rn_error err = {0};
    rn_fail_at(&err, RN_E_PLAN, (rn_mark){7, 3}, "unknown key 'tilr'");
    assert_int_equal(rn_fail(&err, RN_E_MEMORY, "the plan could not be read"), RN_E_MEMORY);
    assert_int_equal(err.status, RN_E_PLAN);
    assert_int_equal(err.line, 7);
    assert_int_equal(err.column, 3);
    assert_string_equal(err.message, "unknown key 'tilr'");
}

static void nobody_needs_to_listen(void **state)
{
    (void)state;
    assert_int_equal(rn_fail(NULL, RN_E_USAGE, "unheard"), RN_E_USAGE);
    assert_int_equal(rn_fail_at(NULL, RN_E_PLAN, (rn_mark){1, 1}, "unheard"), RN_E_PLAN);
}

static void the_text_leaves_out_what_is_unknown(void **state)
{
    (void)state;
    char text[200];
    rn_error err = {0};
    rn_fail_at(&err, RN_E_PLAN, (rn_mark){12, 5}, "a pour needs a stack");
    rn_error_text(&err, text, sizeof text);
    assert_string_equal(text, "a pour needs a stack");

    strcpy(err.file, "slate.yaml");
    rn_error_text(&err, text, sizeof text);
    assert_string_equal(text, "slate.yaml:12:5: a pour needs a stack");

    err.line = 0;
    rn_error_text(&err, text, sizeof text);
    assert_string_equal(text, "slate.yaml: a pour needs a stack");
}

static void long_words_are_cut_not_overrun(void **state)
{
    (void)state;
    char word[2000];
    memset(word, 'w', sizeof word - 1);
    word[sizeof word - 1] = 0;
    rn_error err = {0};
    rn_fail(&err, RN_E_PLAN, "%s", word);
    assert_int_equal(strlen(err.message), sizeof err.message - 1);

    char text[12];
    strcpy(err.file, "kelp.yaml");
    rn_error_text(&err, text, sizeof text);
    assert_string_equal(text, "kelp.yam...");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_failure_fills_status_and_message),
        cmocka_unit_test(the_lowest_message_wins),
        cmocka_unit_test(nobody_needs_to_listen),
        cmocka_unit_test(the_text_leaves_out_what_is_unknown),
        cmocka_unit_test(long_words_are_cut_not_overrun),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
