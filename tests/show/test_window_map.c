/* The map of a window, pixel by pixel: texts that can be read, a border that is whole. */
#include "check.h"

#include "show/window_map.h"
#include "windows.h"

static const rn_box map_box = {20, 20, 800, 590};

typedef struct sheet {
    cairo_surface_t *surface;
    cairo_t *cr;
    rn_pen pen;
} sheet;

static void sheet_make(sheet *made, const view *v)
{
    made->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 840, 630);
    made->cr = cairo_create(made->surface);
    assert_true(rn_pen_init(&made->pen, made->cr, false));
    rn_pen_use(&made->pen, RN_ROLE_PAPER);
    cairo_paint(made->cr);
    assert_true(rn_window_map_draw(&made->pen, map_box, &v->page));
    cairo_surface_flush(made->surface);
}

static void sheet_free(sheet *made)
{
    rn_pen_clear(&made->pen);
    cairo_destroy(made->cr);
    cairo_surface_destroy(made->surface);
}

/* Whether hardly more than paper is seen there: the letters' edges are soft. */
static bool is_paper(const sheet *s, double x, double y)
{
    const unsigned char *paper = cairo_image_surface_get_data(s->surface); /* the sheet's corner is bare */
    const int stride = cairo_image_surface_get_stride(s->surface);
    const unsigned char *at = paper + (int)floor(y) * stride + 4 * (int)floor(x);
    return abs(at[0] - paper[0]) < 60 && abs(at[1] - paper[1]) < 60 && abs(at[2] - paper[2]) < 60;
}

static bool is_mark(rn_box box)
{
    return box.width == 18;
}

/* What is seen all round a text's ink [pixels]. */
static int seen_round(const sheet *s, rn_box box)
{
    const double x0 = floor(box.x) - 1, x1 = ceil(box.x + box.width);
    const double y0 = floor(box.y) - 1, y1 = ceil(box.y + box.height);
    int seen = 0;
    for (double x = x0; x <= x1; x++)
        seen += !is_paper(s, x, y0) + !is_paper(s, x, y1);
    for (double y = y0 + 1; y < y1; y++)
        seen += !is_paper(s, x0, y) + !is_paper(s, x1, y);
    return seen;
}

/* Whatever is drawn, each text stands on its own bit of paper. A letter may lean out by a pixel; a line is wider. */
static void no_line_runs_through_a_text(void **state)
{
    (void)state;
    int texts = 0;
    for (int i = 0; i < WISHES; i++) {
        view v;
        sheet s;
        view_make(&v, &wishes[i]);
        sheet_make(&s, &v);
        for (int k = 0; k < s.pen.box_count; k++) {
            const rn_box box = s.pen.boxes[k];
            if (is_mark(box))
                continue;
            texts++;
            if (seen_round(&s, box) > 1)
                fail_msg("picture %d: something runs through the text at %.0f, %.0f", i, box.x, box.y);
        }
        sheet_free(&s);
        view_free(&v);
    }
    assert_true(texts > 5 * WISHES);
}

/* Under a plate or a mark. */
static bool is_covered(const rn_pen *pen, double x, double y)
{
    for (int k = 0; k < pen->box_count; k++) {
        const rn_box box = pen->boxes[k];
        const double pad = is_mark(box) ? 1 : 9;
        if (x > box.x - pad && x < box.x + box.width + pad && y > box.y - pad && y < box.y + box.height + pad)
            return true;
    }
    return false;
}

static bool works(const view *v, int column, int row)
{
    return rn_window_look(v->window, column, row) == RN_TILE_WORKS;
}

/* Looks along one edge of a tile, from (x, y); returns how often. */
static int check_edge(const sheet *s, double x, double y, double along, double up, int which)
{
    int looked = 0;
    for (double share = 0.125; share < 1; share += 0.0625) {
        const double px = x + share * along, py = y + share * up;
        if (is_covered(&s->pen, px, py))
            continue;
        looked++;
        if (is_paper(s, px, py))
            fail_msg("picture %d: the border is rubbed out at %.0f, %.0f", which, px, py);
    }
    return looked;
}

static void the_border_of_what_works_is_whole(void **state)
{
    (void)state;
    int looked = 0;
    for (int i = 0; i < WISHES; i++) {
        const int columns = wishes[i].columns, rows = wishes[i].rows;
        const double wide = map_box.width / columns, high = map_box.height / rows;
        view v;
        sheet s;
        view_make(&v, &wishes[i]);
        sheet_make(&s, &v);
        for (int row = 0; row < rows; row++)
            for (int column = 0; column < columns; column++) {
                const double right = map_box.x + (column + 1) * wide, top = map_box.y + (rows - row - 1) * high;
                if (column + 1 < columns && works(&v, column, row) != works(&v, column + 1, row))
                    looked += check_edge(&s, right, top, 0, high, i);
                if (row + 1 < rows && works(&v, column, row) != works(&v, column, row + 1))
                    looked += check_edge(&s, right - wide, top, wide, 0, i);
            }
        sheet_free(&s);
        view_free(&v);
    }
    assert_true(looked > 1000);
}

/* Whether a text is "works", by its size in one of those it may have. */
static bool says_works(sheet *s, rn_box box)
{
    for (double size = 24; size > 9; size -= 3) {
        const rn_letters letters = {.size = size, .lettering = RN_LETTERS_WIDE, .align = 0.5};
        const rn_box own = rn_pen_measure(&s->pen, 0, 0, letters, "works");
        if (fabs(own.width - box.width) < 0.01 && fabs(own.height - box.height) < 0.01)
            return true;
    }
    return false;
}

static void the_name_of_what_works_keeps_off_the_oval(void **state)
{
    (void)state;
    static const wish few[] = {
        {mixed, "consistency", "poured", NULL, 8, 6, 0, false, false},
        {mixed, "consistency", "poured", "at most 2", 16, 16, 0, false, false},
        {good, "consistency", "poured", NULL, 8, 6, 0, false, false},
        {mixed, "poured", "consistency", NULL, 12, 9, 0, false, false},
        {mixed, "consistency", "poured", NULL, 32, 32, 0, false, false},
    };
    int named = 0;
    for (size_t i = 0; i < sizeof few / sizeof *few; i++) {
        view v;
        sheet s;
        view_make(&v, &few[i]);
        sheet_make(&s, &v);
        const rn_window_best *best = &v.answer.best;
        const double wide = map_box.width / few[i].columns, high = map_box.height / few[i].rows;
        const double x = map_box.x + (best->column + 0.5) * wide;
        const double y = map_box.y + map_box.height - (best->row + 0.5) * high;
        const double across = best->radius * (few[i].columns - 1) * wide, up = best->radius * (few[i].rows - 1) * high;
        assert_true(v.answer.found);
        for (int k = 0; k < s.pen.box_count; k++) {
            const rn_box box = s.pen.boxes[k];
            if (!says_works(&s, box))
                continue;
            named++;
            for (double turned = 0; turned < 6.3; turned += 0.01) {
                const double px = x + across * cos(turned), py = y + up * sin(turned);
                if (px > box.x - 2 && px < box.x + box.width + 2 && py > box.y - 2 && py < box.y + box.height + 2)
                    fail_msg("picture %zu: the name lies on the oval at %.0f, %.0f", i, px, py);
            }
        }
        sheet_free(&s);
        view_free(&v);
    }
    assert_true(named >= 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_line_runs_through_a_text),
        cmocka_unit_test(the_border_of_what_works_is_whole),
        cmocka_unit_test(the_name_of_what_works_keeps_off_the_oval),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
