/* What is not seen in a text, and how it is shown. Code points are those of the Unicode Character Database: categories Cc, Zl,
   Zp and Cf, bidirectional controls after Unicode Standard Annex 9, tags after Unicode Technical Standard 51 (from memory). */
#include "check.h"

#include <string.h>

#include "base/text.h"

static void shows(const char *text, const char *expected)
{
    char shown[200];
    assert_string_equal(rn_text_show(shown, sizeof shown, text), expected);
    assert_true(rn_text_printable(shown));
}

static void what_is_seen_stays(void **state)
{
    (void)state;
    static const char *const texts[] = {"",
                                        "g.yaml",
                                        "Tide table, \u00BD fl oz \u00B1 2 \u00B0C",
                                        "\u6F6E",
                                        "\u05D2\u05DC",
                                        "\U0001F3A8",
                                        "\U0001F469\u200D\U0001F3A8" /* joined */,
                                        "\u0646\u200C\u0645" /* kept apart */};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        shows(texts[i], texts[i]);
        assert_true(rn_text_printable(texts[i]));
    }
}

static void what_is_not_is_written_as_its_code(void **state)
{
    (void)state;
    shows("e\x1b[31m.yaml", "e\\x1b[31m.yaml");
    shows("a\nb\tc\x7F\x07", "a\\x0ab\\x09c\\x7f\\x07");
    shows("\xC2\x9B", "\\u009b");             /* a control sequence begins with it */
    shows("caf\xE9.yaml", "caf\\xe9.yaml");   /* no UTF-8 */
    shows("a\xE2\x80", "a\\xe2\\x80");        /* cut short */
    shows("gpj.\u202Eexe", "gpj.\\u202eexe"); /* read backwards */
    shows("\U000E0041", "\\U000e0041");       /* a tag */
    static const char *const unseen[] = {
        "\u202A", "\u202B", "\u202C", "\u202D", "\u202E",   "\u2066",     "\u2067",     "\u2068",    "\u2069",
        "\u200E", "\u200F", "\u061C", "\u200B", "\u2060",   "\u2028",     "\u2029",     "\uFEFF",    "\u00AD",
        "\u180E", "\u2064", "\uFFF9", "\u206F", "\xC2\x85", "\U000E0001", "\U000E007F", "\U0001D173"};
    for (size_t i = 0; i < sizeof unseen / sizeof unseen[0]; i++) {
        char text[20], shown[40], quoted[RN_QUOTE_SIZE];
        snprintf(text, sizeof text, "a%sb", unseen[i]);
        assert_false(rn_text_printable(text));
        assert_int_equal(rn_text_seen(text + 1), 0);
        assert_null(strstr(rn_text_show(shown, sizeof shown, text), unseen[i]));
        assert_string_equal(rn_text_quote(quoted, text), "a?b");
    }
}

static void what_does_not_fit_is_cut_and_said_to_be(void **state)
{
    (void)state;
    char shown[12];
    assert_string_equal(rn_text_show(shown, sizeof shown, "12345678901"), "12345678901");
    assert_string_equal(rn_text_show(shown, sizeof shown, "123456789012"), "12345678...");
    assert_string_equal(rn_text_show(shown, sizeof shown, "1234567\x1b"), "1234567\\x1b");
    assert_string_equal(rn_text_show(shown, sizeof shown, "12345678\x1b"), "12345678...");
    assert_string_equal(rn_text_show(shown, sizeof shown, "1234567\u00E9\u00E9\u00E9"), "1234567...");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_seen_stays),
        cmocka_unit_test(what_is_not_is_written_as_its_code),
        cmocka_unit_test(what_does_not_fit_is_cut_and_said_to_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
