/* The page that explains the window lists the same keys as the window itself. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "keys.h"

static void the_page_lists_the_windows_own_keys(void **state)
{
    (void)state;
    char *keys = keys_markdown(), *page = calloc(1, 1 << 20);
    FILE *file = fopen("docs/viewer.md", "r");
    assert_true(keys && page && file);
    assert_true(strlen(keys) > 1000);
    assert_true(fread(page, 1, (1 << 20) - 1, file) > 0);
    fclose(file);
    if (!strstr(page, keys))
        print_error("docs/viewer.md is behind: runnel-view --keys prints the table\n");
    assert_non_null(strstr(page, keys));
    free(page);
    free(keys);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_page_lists_the_windows_own_keys)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
