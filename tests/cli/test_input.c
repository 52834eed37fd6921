/* The caret stands under the place that is meant, whatever stands before it on the line. */
#include "check.h"

#include <string.h>

#include "cli/input.h"

static void shows_at(const char *text, int line, int column, const char *expected, const char *file, int number)
{
    char *shown = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&shown, &size);
    rn_input_caret(out, text, strlen(text), line, column);
    fclose(out);
    const bool same = strcmp(shown, expected) == 0;
    if (!same)
        fprintf(stderr, "%s:%d: got\n%swanted\n%s", file, number, shown, expected);
    free(shown);
    if (!same)
        _fail(file, number);
}

#define shows(text, line, column, expected) shows_at(text, line, column, expected, __FILE__, __LINE__)

static void the_line_and_the_column_count_from_one(void **state)
{
    (void)state;
    shows("plan: 1\nend: soon\n", 2, 6, "    end: soon\n         ^\n");
    shows("plan: 1\r\nend: soon\r\n", 2, 1, "    end: soon\n    ^\n");
    shows("end", 1, 3, "    end\n      ^\n");
}

static void a_place_past_the_end_of_the_line(void **state)
{
    (void)state;
    shows("a: [1\n", 1, 6, "    a: [1\n         ^\n");
    shows("a: [1\n", 2, 1, "    \n    ^\n");
    shows("a: [1\n", 7, 1, ""); /* there is no such line */
}

static void tabs_stay_tabs_on_both_lines(void **state)
{
    (void)state;
    shows("\tend:\tsoon\n", 1, 7, "    \tend:\tsoon\n    \t    \t^\n");
}

static void characters_are_counted_not_bytes(void **state)
{
    (void)state;
    shows("ö: Ω x\n", 1, 6, "    ö: Ω x\n         ^\n");
    /* wide ones take two columns (Unicode Standard Annex 11), combining ones none */
    shows("青い: x\n", 1, 5, "    青い: x\n          ^\n");
    shows("e\xCC\x81: x\n", 1, 5, "    e\xCC\x81: x\n       ^\n");
}

static void what_a_terminal_might_obey_is_not_sent(void **state)
{
    (void)state;
    shows("a\033[2J: x\n", 1, 8, "    a?[2J: x\n           ^\n");
    shows("a\x9b: \xff x\n", 1, 6, "    a?: ? x\n         ^\n");
}

static void of_a_long_line_the_part_around(void **state)
{
    (void)state;
    char text[400], expected[800];
    memset(text, 'x', 300);
    text[200] = 'O';
    strcpy(text + 300, "\n");
    /* 70 characters are shown before the caret and 110 in all */
    snprintf(expected, sizeof expected, "    ...%.70s%.40s...\n%*s^\n", text, text + 200, 4 + 3 + 70, "");
    shows(text, 1, 201, expected);
    snprintf(expected, sizeof expected, "    %.110s...\n    ^\n", text);
    shows(text, 1, 1, expected);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_line_and_the_column_count_from_one), cmocka_unit_test(a_place_past_the_end_of_the_line),
        cmocka_unit_test(tabs_stay_tabs_on_both_lines),           cmocka_unit_test(characters_are_counted_not_bytes),
        cmocka_unit_test(what_a_terminal_might_obey_is_not_sent), cmocka_unit_test(of_a_long_line_the_part_around),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
