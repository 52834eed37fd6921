/* Figures that are typed on a jar's slip: its volume and its consistency, in any unit, and why some are refused. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "base/text.h"
#include "check.h"
#include "edit.h"
#include "hand.h"
#include "slip.h"
#include "staged.h"

/* Rust has two places, of 10 and 30 ml, and weighs 1.25 g/ml; clay flows only when it is pushed; dust is not poured. */
static const char text[] =
    "plan: 1\npanel: {size: 300 mm x 300 mm}\n"
    "paints:\n  rust: {viscosity: 2 Pa s, density: 1.25 g/ml}\n  warm grey: {viscosity: 1 Pa s}\n"
    "  clay: {viscosity: 1 Pa s, power: 0.7, yield: 1 Pa}\n  dust: {viscosity: 1 Pa s}\n"
    "pours:\n  - stack: [rust 10 ml, warm grey 20 ml, rust 30 ml, clay 5 ml]\n";

enum { RUST, GREY, CLAY, DUST };

typedef struct bench {
    rv_view *view;
    painter hand;
} bench;

/* A frame, so that the hand finds what it shows. */
static void look(bench *b)
{
    static const rv_shown nothing[PLACE_COUNT];
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
    assert_true(canvas_frame(surface, b->view, nothing, NULL));
    cairo_surface_destroy(surface);
}

static int set_up(void **state)
{
    static bench b;
    rn_plan *plan = NULL;
    rn_error err = {0};
    check_ok(rn_plan_read(&plan, text, (long)strlen(text), "plan", &err), &err);
    b = (bench){.view = view_new()};
    assert_non_null(b.view);
    b.hand = (painter){.view = b.view, .now = 10};
    document_put(b.view->doc, plan, "", false);
    view_fresh(b.view);
    look(&b);
    *state = &b;
    return 0;
}

static int tear_down(void **state)
{
    view_free(((bench *)*state)->view);
    return 0;
}

static const rn_plan *plan_of(const bench *b)
{
    return document_plan(b->view->doc);
}

static double ml(const bench *b, int paint)
{
    return 1e6 * edit_jar_volume(plan_of(b), paint);
}

static void open_slip_of(bench *b, int paint)
{
    b->view->slip = (rv_slip){0};
    hand_press(&b->hand, PART_JAR, paint, 0);
    assert_int_equal(b->view->slip.kind, SLIP_JAR);
    look(b);
}

/* Presses a figure and types over it. */
static void type_over(bench *b, int row, const char *typed)
{
    hand_press(&b->hand, PART_SLIP_ROW, row, 0);
    assert_true(b->view->typing.on);
    hand_type(&b->hand, typed);
    hand_key(&b->hand, KEY_ENTER, 0);
    look(b);
}

static void taken(const bench *b)
{
    if (b->view->typing.on)
        fail_msg("'%s' was refused: %s", b->view->typing.text, b->view->typing.trouble);
}

static void a_volume_is_typed_with_its_unit(void **state)
{
    bench *b = *state;
    static const struct {
        const char *typed;
        double ml;
    } tries[] = {{"60 ml", 60},
                 {"1.4 fl oz", 1.4 * RN_FLUID_OUNCE * 1e6},
                 {"48 g", 48 / 1.25}, /* by its density */
                 {"8 cl", 80},
                 {"44", 44}};
    open_slip_of(b, RUST);
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        type_over(b, SLIP_ROW_VOLUME, tries[k].typed);
        taken(b);
        check_within(ml(b, RUST), tries[k].ml, 0.001);
        assert_int_equal(document_undo_depth(b->view->doc), (int)k + 1);
        assert_string_equal(document_undo_what(b->view->doc), "volume of rust");
    }
    const rn_layer *stack = plan_of(b)->pours[0].stack; /* both places took their share */
    check_within(1e6 * stack[0].volume, 11, 0.01);
    check_within(1e6 * stack[2].volume, 33, 0.01);
    check_within(ml(b, GREY), 20, 1e-9);
}

static void a_number_alone_is_in_the_painters_unit(void **state)
{
    bench *b = *state;
    b->view->ounces = true;
    open_slip_of(b, RUST);
    hand_press(&b->hand, PART_SLIP_ROW, SLIP_ROW_VOLUME, 0);
    assert_non_null(strstr(b->view->typing.text, "fl oz"));
    hand_key(&b->hand, KEY_ENTER, 0); /* as it stands: nothing changes */
    taken(b);
    assert_false(document_changed(b->view->doc));
    type_over(b, SLIP_ROW_VOLUME, "1 1/2");
    taken(b);
    check_within(ml(b, RUST), 1.5 * RN_FLUID_OUNCE * 1e6, 0.001);
}

static void a_consistency_is_typed_as_a_word_or_in_pascal_seconds(void **state)
{
    bench *b = *state;
    static const struct {
        const char *typed;
        double viscosity;
    } tries[] = {
        {"warm honey", NAN}, {"Thinned Glycerine", NAN}, {"1.2 Pa s", 1.2}, {"850 mPa s", 0.85}, {"2.0625", 2.0625}};
    for (int paint = RUST; paint <= CLAY; paint += CLAY) {
        open_slip_of(b, paint);
        for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
            double wanted = tries[k].viscosity;
            for (int i = 0; i < RN_CONSISTENCY_COUNT && isnan(tries[k].viscosity); i++)
                if (rn_text_same(rn_consistency_ladder[i].word, tries[k].typed))
                    wanted = rn_consistency_ladder[i].viscosity;
            type_over(b, SLIP_ROW_CONSISTENCY, tries[k].typed);
            taken(b);
            check_close(edit_jar_viscosity(plan_of(b), paint), wanted, paint == CLAY ? 1e-3 : 1e-12);
        }
    }
    check_close(plan_of(b)->paints[CLAY].law.power, 0.7, 1e-12);
    assert_false(b->view->rehearsal.on); /* no letter of it was a key */
}

static void enter_on_a_jar_types_its_volume(void **state)
{
    bench *b = *state;
    b->view->focus = (rv_part_at){PART_JAR, GREY, 0};
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_true(b->view->typing.on);
    assert_string_equal(b->view->typing.text, "20 ml");
    look(b);
    hand_key(&b->hand, 'h', 0);
    hand_type(&b->hand, "25 ml");
    hand_key(&b->hand, KEY_ENTER, 0);
    taken(b);
    check_within(ml(b, GREY), 25, 1e-6);
    assert_false(b->view->rehearsal.on);
    b->view->focus = (rv_part_at){PART_JAR, RUST, 0}; /* the next jar, while that slip lies open */
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_int_equal(b->view->slip.index, RUST);
    assert_string_equal(b->view->typing.text, "40 ml");
}

static void up_and_down_begin_at_the_figures(void **state)
{
    bench *b = *state;
    open_slip_of(b, RUST);
    const int rows = slip_rows(b->view);
    assert_int_equal(b->view->slip.row, SLIP_ROW_VOLUME);
    hand_key(&b->hand, KEY_DOWN, 0);
    assert_int_equal(b->view->slip.row, SLIP_ROW_CONSISTENCY);
    hand_key(&b->hand, KEY_ENTER, 0);
    assert_string_equal(b->view->typing.text, "2 Pa s");
    hand_type(&b->hand, "3");
    hand_key(&b->hand, KEY_DOWN, 0); /* taken, and on */
    taken(b);
    check_close(edit_jar_viscosity(plan_of(b), RUST), 3, 1e-12);
    assert_int_equal(b->view->slip.row, 0);
    hand_key(&b->hand, KEY_UP, 0);
    hand_key(&b->hand, KEY_UP, 0);
    hand_key(&b->hand, KEY_UP, 0); /* round */
    assert_int_equal(b->view->slip.row, rows - 1);
    hand_key(&b->hand, KEY_DOWN, 0);
    assert_int_equal(b->view->slip.row, SLIP_ROW_VOLUME);
    hand_key(&b->hand, KEY_RIGHT, 0);
    check_within(ml(b, RUST), 41, 1e-6);
    hand_key(&b->hand, KEY_LEFT, MOD_SHIFT);
    check_within(ml(b, RUST), 31, 1e-6);
    hand_key(&b->hand, KEY_DOWN, 0);
    hand_key(&b->hand, KEY_LEFT, 0);
    check_close(edit_jar_viscosity(plan_of(b), RUST), 2.86, 1e-9);
}

/* A keyboard sends a letter twice, as a key and as text: the one that opens a field is not typed into it. */
static void the_letter_that_opens_a_field_stays_outside(void **state)
{
    bench *b = *state;
    b->view->focus = (rv_part_at){PART_JAR, RUST, 0};
    hand_key(&b->hand, 'c', 0);
    assert_true(b->view->typing.on);
    char before[TYPING_SIZE];
    snprintf(before, sizeof before, "%s", b->view->typing.text);
    hand_type(&b->hand, "c");
    assert_string_equal(b->view->typing.text, before);
    hand_key(&b->hand, 'c', 0);
    hand_type(&b->hand, "c");
    hand_key(&b->hand, 'c', 0);
    hand_type(&b->hand, "c0ffee");
    assert_string_equal(b->view->typing.text, "cc0ffee");
}

/* The field stays, with a line that says what would be right and nothing of how the plan is laid out inside. */
static void what_cannot_be_is_refused_in_one_plain_line(void **state)
{
    bench *b = *state;
    static const struct {
        int paint, row;
        const char *typed, *says;
    } tries[] = {
        {RUST, SLIP_ROW_VOLUME, "much", "30 ml"},
        {RUST, SLIP_ROW_VOLUME, "30 s", "volume"},
        {RUST, SLIP_ROW_VOLUME, "", "volume"},
        {RUST, SLIP_ROW_VOLUME, "0 ml", "from 0.01 ml"},
        {RUST, SLIP_ROW_VOLUME, "-3", "from 0.01 ml"},
        {RUST, SLIP_ROW_VOLUME, "0.01 ml", "its places"},
        {RUST, SLIP_ROW_VOLUME, "900 l", "to 20 l"},
        {RUST, SLIP_ROW_CONSISTENCY, "warm hony", "warm honey"},
        {RUST, SLIP_ROW_CONSISTENCY, "", "1.2 Pa s"},
        {RUST, SLIP_ROW_CONSISTENCY, "runny", "sugar syrup"},
        {RUST, SLIP_ROW_CONSISTENCY, "yoghurt", "castor oil"}, /* old words are not taken from the keys */
        {RUST, 1, "double cream", "thinned glycerine"},
        {RUST, SLIP_ROW_CONSISTENCY, "0", "from 0.0001 Pa s"},
        {RUST, SLIP_ROW_CONSISTENCY, "3 ml", "viscosity"},
        {RUST, 1, "1.2 Pa s", "viscosity"}, /* rows of the table */
        {RUST, 3, "x", "number"},
        {GREY, 5, "12 g", "density"},
    };
    for (size_t k = 0; k < sizeof tries / sizeof *tries; k++) {
        open_slip_of(b, tries[k].paint);
        rn_box box;
        b->view->slip.row = tries[k].row;
        look(b);
        assert_true(hand_find(&box, &b->hand, PART_SLIP_ROW, tries[k].row, 0));
        hand_press(&b->hand, PART_SLIP_ROW, tries[k].row, 0);
        hand_key(&b->hand, KEY_BACKSPACE, 0);
        hand_type(&b->hand, tries[k].typed);
        hand_key(&b->hand, KEY_ENTER, 0);
        look(b);
        const char *trouble = b->view->typing.trouble;
        if (!b->view->typing.on || !strstr(trouble, tries[k].says) || strstr(trouble, "paints."))
            print_error("'%s': %s\n", tries[k].typed, trouble);
        assert_true(b->view->typing.on);
        assert_non_null(strstr(trouble, tries[k].says));
        assert_null(strstr(trouble, "paints."));
        assert_null(strchr(trouble, '\n'));
        hand_key(&b->hand, KEY_ESCAPE, 0);
    }
    assert_false(document_changed(b->view->doc));
}

/* A thing elsewhere in the plan that an edit would spoil is called as a painter would. */
static void what_stands_in_the_way_is_named_plainly(void **state)
{
    bench *b = *state;
    b->view->slip = (rv_slip){SLIP_PANEL, 0, 0};
    look(b);
    type_over(b, 0, "20 mm x 20 mm");
    const char *trouble = b->view->typing.trouble;
    assert_true(b->view->typing.on);
    assert_memory_equal(trouble, "release 1: ", 11);
}

static void a_jar_that_is_not_poured_says_what_is_wanting(void **state)
{
    bench *b = *state;
    open_slip_of(b, DUST);
    type_over(b, SLIP_ROW_VOLUME, "15 ml"); /* a place in the first release */
    taken(b);
    check_within(ml(b, DUST), 15, 1e-6);
    rn_plan *draft = document_draft(b->view->doc);
    rn_error err = {0};
    edit_remove_pour(draft, 0);
    check_ok(document_commit(b->view->doc, draft, "release away", false, &err), &err);
    type_over(b, SLIP_ROW_VOLUME, "15 ml");
    assert_true(b->view->typing.on);
    assert_non_null(strstr(b->view->typing.trouble, "release"));
}

static void a_plan_with_old_words_says_so_when_it_is_opened(void **state)
{
    bench *b = *state;
    char path[] = "/tmp/runnel-old-XXXXXX";
    const int file = mkstemp(path);
    assert_true(file >= 0);
    FILE *stream = fdopen(file, "w");
    assert_non_null(stream);
    fputs("plan: 1\npanel: {size: 300 mm x 300 mm}\npaints:\n  rust: {consistency: cold honey}\n"
          "pours:\n  - stack: [rust 10 ml]\n",
          stream);
    fclose(stream);
    view_open(b->view, path);
    remove(path);
    check_close(edit_jar_viscosity(plan_of(b), RUST), 4, 1e-12);
    assert_non_null(strstr(b->view->message, "line 4: 'cold honey' is an old word for 4 Pa s"));
    assert_non_null(strstr(b->view->message, "warm honey (2 Pa s)"));
}

int main(void)
{
#define AT_SHELF(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        AT_SHELF(a_volume_is_typed_with_its_unit),
        AT_SHELF(a_number_alone_is_in_the_painters_unit),
        AT_SHELF(a_consistency_is_typed_as_a_word_or_in_pascal_seconds),
        AT_SHELF(enter_on_a_jar_types_its_volume),
        AT_SHELF(up_and_down_begin_at_the_figures),
        AT_SHELF(the_letter_that_opens_a_field_stays_outside),
        AT_SHELF(what_cannot_be_is_refused_in_one_plain_line),
        AT_SHELF(what_stands_in_the_way_is_named_plainly),
        AT_SHELF(a_jar_that_is_not_poured_says_what_is_wanting),
        AT_SHELF(a_plan_with_old_words_says_so_when_it_is_opened),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
