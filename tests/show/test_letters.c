/* The same pages where the machine has not the letters they were made for: the ones that are used instead are wider. */
#include "check.h"

#include <pango/pangocairo.h>
#include <string.h>

#include "pages.h"
#include "scratch.h"

/* Before the first letter is drawn: the system's fonts without the first choice. */
static int hide_first_choice(void **state)
{
    if (scratch_make(state) != 0)
        return -1;
    const char *path = scratch_path(state, "fonts.conf");
    FILE *file = fopen(path, "w");
    if (!file)
        return -1;
    fputs("<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"fonts.dtd\"><fontconfig>"
          "<include ignore_missing=\"yes\">/etc/fonts/fonts.conf</include>"
          "<selectfont><rejectfont><pattern><patelt name=\"family\"><string>Andika</string></patelt></pattern>"
          "</rejectfont></selectfont></fontconfig>\n",
          file);
    return fclose(file) == 0 ? setenv("FONTCONFIG_FILE", path, 1) : -1;
}

static void the_first_choice_is_hidden(void **state)
{
    (void)state;
    PangoFontFamily **families;
    int count, found = 0;
    pango_font_map_list_families(pango_cairo_font_map_get_default(), &families, &count);
    for (int i = 0; i < count; i++)
        found += strcmp(pango_font_family_get_name(families[i]), "Andika") == 0;
    g_free(families);
    check_at_least(count, 1);
    assert_int_equal(found, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_choice_is_hidden),
        cmocka_unit_test(pages_stand_apart),
    };
    return cmocka_run_group_tests(tests, hide_first_choice, scratch_remove);
}
