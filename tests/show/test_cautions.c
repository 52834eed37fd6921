/* The cautions stand in one place; whatever shows them shows all of them. That they are the usual ones is common practice,
   no source: the list below names what any of them must speak of. */
#include "check.h"

#include <ctype.h>
#include <string.h>

#include "cli/manual.h"
#include "show/cautions.h"
#include "show/leaf.h"

/* A text with every run of blanks, new lines and signs of a list or of code as one blank. */
static char *plain(const char *text)
{
    char *made = calloc(strlen(text) + 2, 1);
    assert_non_null(made);
    size_t used = 0;
    for (; *text; text++) {
        const bool blank = isspace((unsigned char)*text) || *text == '*' || *text == '`';
        if (!blank)
            made[used++] = *text;
        else if (used > 0 && made[used - 1] != ' ')
            made[used++] = ' ';
    }
    return made;
}

static char *read_all(const char *path)
{
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    char *text = calloc(1 << 20, 1);
    assert_non_null(text);
    assert_true(fread(text, 1, (1 << 20) - 1, file) > 0);
    fclose(file);
    char *made = plain(text);
    free(text);
    return made;
}

static void holds_all(const char *text)
{
    assert_non_null(strstr(text, rn_caution_lead()));
    for (int i = 0; i < rn_caution_count(); i++) {
        if (!strstr(text, rn_caution_at(i)->text))
            fail_msg("not there: %s", rn_caution_at(i)->text);
        assert_non_null(strstr(text, rn_caution_at(i)->title));
    }
}

static void what_can_hurt_is_spoken_of(void **state)
{
    (void)state;
    static const char *const needed[] = {
        "splash guard", "balance",  "torch",      "heat gun", "alcohol", "vapour",     "silicone",    "epoxy",
        "dust",         "wet",      "goggles",    "gloves",   "eye",     "drain",      "local rule",  "label",
        "sheet",        "An adult", "two people", "rack",     "mains",   "respirator", "extinguisher"};
    char all[16384] = "";
    strcat(all, rn_caution_lead());
    for (int i = 0; i < rn_caution_count(); i++)
        strcat(all, rn_caution_at(i)->text);
    for (size_t k = 0; k < sizeof needed / sizeof *needed; k++)
        if (!strstr(all, needed[k]))
            fail_msg("nothing is said of: %s", needed[k]);
}

static void the_readme_holds_them_all(void **state)
{
    (void)state;
    char *text = read_all("README.md");
    holds_all(text);
    free(text);
}

static void help_prints_them_all(void **state)
{
    (void)state;
    char *printed = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&printed, &size);
    assert_non_null(out);
    rn_manual_cautions(out);
    fclose(out);
    char *text = plain(printed);
    holds_all(text);
    free(text);
    free(printed);
}

static double no_height(rn_pen *pen, const void *matter)
{
    (void)pen;
    (void)matter;
    return 100;
}

static bool draw_nothing(rn_pen *pen, double height, const void *matter)
{
    (void)pen;
    (void)matter;
    return height >= 100; /* the foot takes nothing from it */
}

/* Dark pixels in the strip below a page on which nothing else is drawn, up to its left and right ends. */
static void every_page_has_the_line_at_its_foot(void **state)
{
    (void)state;
    static const double widths[] = {1000, 1280, 1600};
    for (size_t k = 0; k < 3; k++) {
        cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)widths[k], 40);
        cairo_t *cr = cairo_create(image);
        rn_pen pen;
        assert_true(rn_pen_init(&pen, cr, false));
        const rn_letters letters = {.size = 12.5};
        /* whole, without an ellipsis */
        check_at_most(rn_pen_measure(&pen, 0, 20, letters, rn_caution_line()).width, widths[k] - 48);
        rn_leaf_foot(&pen, widths[k], 40);
        assert_int_equal(pen.box_count, 1);
        assert_true(pen.boxes[0].y > 10 && pen.boxes[0].y + pen.boxes[0].height < 40);
        rn_pen_clear(&pen);
        cairo_destroy(cr);
        cairo_surface_destroy(image);
    }
    /* A narrow page has smaller letters, not fewer words: no ellipsis stands for what one must not do. */
    cairo_surface_t *narrow = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 900, 40);
    cairo_t *on_narrow = cairo_create(narrow);
    rn_pen small;
    assert_true(rn_pen_init(&small, on_narrow, false));
    rn_leaf_foot(&small, 900, 40);
    const double full = rn_pen_measure(&small, 0, 20, (rn_letters){.size = 12.5}, rn_caution_line()).height;
    assert_true(small.boxes[0].height < full);
    check_at_most(small.boxes[0].x + small.boxes[0].width, 900 - 24);
    check_at_most(rn_pen_measure(&small, 0, 20, (rn_letters){.size = 10.5}, rn_caution_line()).width, 900 - 48);
    rn_pen_clear(&small);
    cairo_destroy(on_narrow);
    cairo_surface_destroy(narrow);
    char *svg = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&svg, &size);
    assert_non_null(out);
    rn_error err = {0};
    const rn_leaf leaf = {.title = "t", .page_width = 1000, .height = no_height, .draw = draw_nothing};
    check_ok(rn_leaf_write("-", out, &leaf, (rn_figure_options){.width = 1000}, &err), &err);
    fclose(out);
    assert_true(size > 1000); /* an empty page of one colour packs into far less */
    free(svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_can_hurt_is_spoken_of),
        cmocka_unit_test(the_readme_holds_them_all),
        cmocka_unit_test(help_prints_them_all),
        cmocka_unit_test(every_page_has_the_line_at_its_foot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
