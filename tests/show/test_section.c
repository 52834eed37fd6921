/* The cut: drawn to the scale that it states, paints where they belong, texts apart, and its files. */
#include "check.h"

#include <string.h>

#include "scratch.h"
#include "show/section.h"

#define COLUMNS 40
#define ROWS 8

typedef struct cut {
    rn_plan *plan;
    rn_section_view section;
    double depth[COLUMNS];
    unsigned char paint[COLUMNS * ROWS];
    short pour[COLUMNS * ROWS];
    float released[COLUMNS * ROWS];
} cut;

static const unsigned char colours[12][3] = {{60, 68, 80},   {46, 92, 60},   {196, 150, 60},  {236, 240, 232},
                                             {30, 130, 150}, {140, 110, 90}, {240, 200, 190}, {180, 160, 120},
                                             {210, 130, 40}, {150, 60, 40},  {200, 205, 210}, {20, 24, 60}};
static const char *const names[12] = {"slate", "kelp", "brass", "foam", "tide", "driftwood long in the sun",
                                      "shell", "rope", "amber", "rust", "gull", "night"};

/* An even film of 2 mm, kelp over slate, 200 mm from left to right through the centre. */
static cut *make_cut(int paints)
{
    cut *c = calloc(1, sizeof *c);
    if (!c || !(c->plan = rn_plan_new()))
        abort();
    c->plan->panel.width = 0.4;
    c->plan->panel.height = 0.3;
    c->plan->paint_count = paints;
    for (int p = 0; p < paints; p++) {
        snprintf(c->plan->paints[p].name, sizeof c->plan->paints[p].name, "%s", names[p]);
        memcpy(c->plan->paints[p].colour, colours[p], 3);
    }
    snprintf(c->plan->title, sizeof c->plan->title, "Tide ring");
    for (int i = 0; i < COLUMNS; i++) {
        c->depth[i] = 2e-3;
        for (int row = 0; row < ROWS; row++)
            c->paint[i * ROWS + row] = row >= ROWS / 2;
    }
    c->section = (rn_section_view){.plan = c->plan,
                                   .time = 57.0,
                                   .ax = -0.1,
                                   .bx = 0.1,
                                   .columns = COLUMNS,
                                   .rows = ROWS,
                                   .depth = c->depth,
                                   .paint = c->paint};
    return c;
}

static void free_cut(cut *c)
{
    rn_plan_free(c->plan);
    free(c);
}

/* The box alone, two pixels to the unit, so that its lines fall on whole pixels. */
typedef struct drawing {
    cairo_surface_t *surface;
    cairo_t *cr;
    rn_pen pen;
    int width, height;
} drawing;

static const rn_box box = {10.0, 10.0, 600.0, 300.0};

static void draw(drawing *d, const rn_section_view *section)
{
    d->width = 1240;
    d->height = 640;
    d->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, d->width, d->height);
    d->cr = cairo_create(d->surface);
    cairo_scale(d->cr, 2.0, 2.0);
    assert_true(rn_pen_init(&d->pen, d->cr, false));
    rn_pen_use(&d->pen, RN_ROLE_PAPER);
    cairo_paint(d->cr);
    assert_true(rn_section_draw(&d->pen, box, section));
    cairo_surface_flush(d->surface);
}

static void drawing_clear(drawing *d)
{
    rn_pen_clear(&d->pen);
    cairo_destroy(d->cr);
    cairo_surface_destroy(d->surface);
}

static bool is_paint(const drawing *d, int x, int y, int paint)
{
    const unsigned char *data = cairo_image_surface_get_data(d->surface);
    uint32_t pixel;
    memcpy(&pixel, data + (ptrdiff_t)y * cairo_image_surface_get_stride(d->surface) + 4 * (ptrdiff_t)x, sizeof pixel);
    const unsigned char *rgb = colours[paint];
    return (pixel & 0xFFFFFF) == ((uint32_t)rgb[0] << 16 | (uint32_t)rgb[1] << 8 | rgb[2]);
}

/* Pixels of a paint in a column or a row of the picture. */
static int down(const drawing *d, int x, int paint)
{
    int count = 0;
    for (int y = 0; y < 500; y++) /* above the key */
        count += is_paint(d, x, y, paint);
    return count;
}

static int along(const drawing *d, int y, int paint)
{
    int count = 0;
    for (int x = 0; x < d->width; x++)
        count += is_paint(d, x, y, paint);
    return count;
}

static void exaggeration_is_round_and_fits(void **state)
{
    (void)state;
    cut *c = make_cut(2);
    /* 200 mm across 1000 units: 2 mm are 10 units, so 30 times fit into 300 and 25 into 299; worked by hand. */
    check_within(rn_section_exaggeration(&c->section, 1000.0, 300.5), 30.0, 0.0);
    check_within(rn_section_exaggeration(&c->section, 1000.0, 299.0), 25.0, 0.0);
    check_within(rn_section_exaggeration(&c->section, 1000.0, 99.0), 8.0, 0.0);
    c->section.bx = -0.099; /* 1 mm: the film is higher than it is wide */
    check_within(rn_section_exaggeration(&c->section, 1000.0, 300.5), 0.15, 1e-12);
    for (int i = 0; i < COLUMNS; i++)
        c->depth[i] = 0.0;
    check_within(rn_section_exaggeration(&c->section, 1000.0, 300.0), 1.0, 0.0);
    free_cut(c);
}

/* From the pixels of slate and kelp. */
static double measured_exaggeration(const drawing *d, const cut *c)
{
    int left = 0, right = 0;
    for (int x = 0; x < d->width; x++)
        if (down(d, x, 0) > 0) {
            left = left ? left : x;
            right = x;
        }
    const double across = (right + 1 - left) / (c->section.bx - c->section.ax);
    const int middle = (left + right) / 2;
    return (down(d, middle, 0) + down(d, middle, 1)) / 2e-3 / across;
}

static void drawn_to_a_round_scale(void **state)
{
    (void)state;
    cut *c = make_cut(2);
    drawing d;
    draw(&d, &c->section);
    const double exaggeration = measured_exaggeration(&d, c);
    /* 508 units across, and 188 for the film, which at 2 mm and 200 mm takes 5.08 at x 1: 30 fit, 40 do not. */
    check_within(rn_section_exaggeration(&c->section, 508.0, 188.0), 30.0, 0.0);
    check_close(exaggeration, 30.0, 0.015); /* the outline's pixels are neither paint */
    /* Kelp lies over slate, half and half. */
    check_close(down(&d, 700, 0), down(&d, 700, 1), 0.03);
    for (int y = 1, seen = 0; y < 500; y++) {
        seen = seen || is_paint(&d, 700, y, 0);
        assert_false(seen && is_paint(&d, 700, y, 1));
    }
    drawing_clear(&d);
    free_cut(c);
}

static void a_stands_on_the_left(void **state)
{
    (void)state;
    /* Slate in the first quarter, kelp in the rest. */
    cut *c = make_cut(2);
    for (int i = 0; i < COLUMNS; i++)
        for (int row = 0; row < ROWS; row++)
            c->paint[i * ROWS + row] = i >= COLUMNS / 4;
    drawing d;
    draw(&d, &c->section);
    int y = 0;
    while (y < 499 && !(is_paint(&d, 400, y, 1) || is_paint(&d, 400, y, 0)))
        y++;
    y += 40;
    check_close(along(&d, y, 0), 0.25 * (along(&d, y, 0) + along(&d, y, 1)), 0.02);
    assert_true(is_paint(&d, 180, y, 0));
    assert_true(is_paint(&d, 1150, y, 1));
    drawing_clear(&d);
    free_cut(c);
}

static void bands_are_sharper_than_the_points(void **state)
{
    (void)state;
    /* The volume released rises evenly from A to B, from 0 to 10 ml over columns 5 mm apart; a stack of 7.3 ml slate,
       then kelp. The border lies at 73 % of the way, between two columns. */
    cut *c = make_cut(2);
    rn_pour *pour = &c->plan->pours[0];
    c->plan->pour_count = 1;
    pour->repeat = 1;
    pour->layer_count = 2;
    pour->stack[0] = (rn_layer){0, 7.31e-6};
    pour->stack[1] = (rn_layer){1, 2.69e-6};
    for (int i = 0; i < COLUMNS; i++)
        for (int row = 0; row < ROWS; row++) {
            c->released[i * ROWS + row] = (float)((i + 0.5) / COLUMNS * 10e-6);
            c->paint[i * ROWS + row] = (i + 0.5) / COLUMNS >= 0.731;
        }
    c->section.pour = c->pour;
    c->section.released = c->released;
    drawing d;
    draw(&d, &c->section);
    const double slate = along(&d, 300, 0), kelp = along(&d, 300, 1);
    check_within(slate / (slate + kelp), 0.731, 0.002); /* a column is 0.025 */

    /* A fold: from one column to the next a jump over many bands. Nothing is put between. */
    pour->repeat = 20;
    for (int i = 0; i < COLUMNS; i++)
        for (int row = 0; row < ROWS; row++) {
            c->released[i * ROWS + row] = i < COLUMNS / 2 ? 0.01e-6f : 9.99e-6f;
            c->paint[i * ROWS + row] = i >= COLUMNS / 2;
        }
    drawing_clear(&d);
    draw(&d, &c->section);
    int changes = 0;
    for (int x = 1, last = -1; x < d.width; x++)
        for (int p = 0; p < 2; p++)
            if (is_paint(&d, x, 300, p) && p != last) {
                changes += last >= 0;
                last = p;
            }
    assert_int_equal(changes, 1);
    drawing_clear(&d);
    free_cut(c);
}

/* Draws the page and counts texts that touch or leave it. */
static int faults_of_page(const rn_section_view *section, bool dark)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 320, 240);
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, 0.25, 0.25);
    rn_pen pen;
    assert_true(rn_pen_init(&pen, cr, dark));
    const double height = rn_section_page_height(&pen, section);
    assert_true(rn_section_page_draw(&pen, section, height));
    assert_int_equal(cairo_status(cr), CAIRO_STATUS_SUCCESS);
    int faults = rn_pen_overlaps(&pen) + pen.box_lost;
    for (int n = 0; n < pen.box_count; n++) {
        const rn_box b = pen.boxes[n];
        faults += !(b.x >= 0.0 && b.y >= 0.0 && b.x + b.width <= RN_SECTION_PAGE_WIDTH && b.y + b.height <= height);
    }
    check_at_least(pen.box_count, 8);
    rn_pen_clear(&pen);
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
    return faults;
}

static void texts_stand_apart(void **state)
{
    (void)state;
    static const double ends[][4] = {{-0.1, 0.0, 0.1, 0.0}, {0.2, 0.15, -0.2, -0.15},    {0.0, -0.15, 0.0, 0.15},
                                     {0.0, 0.0, 1e-3, 0.0}, {-0.2, -0.15, -0.19, -0.15}, {0.01, 0.02, 0.012, 0.03}};
    for (int paints = 1; paints <= 12; paints++)
        for (size_t e = 0; e < sizeof ends / sizeof ends[0]; e++)
            for (int variant = 0; variant < 4; variant++) {
                cut *c = make_cut(paints);
                c->section.ax = ends[e][0];
                c->section.ay = ends[e][1];
                c->section.bx = ends[e][2];
                c->section.by = ends[e][3];
                c->plan->panel.round = variant == 1;
                for (int i = 0; i < COLUMNS; i++) {
                    c->depth[i] *= variant == 0 ? 1.0 : variant == 1 ? 0.01 : variant == 2 ? (i / 4) % 2 : 0.0;
                    for (int row = 0; row < ROWS; row++)
                        c->paint[i * ROWS + row] = (unsigned char)((i + row) % paints);
                }
                if (variant == 2) {
                    memset(c->plan->title, 'W', sizeof c->plan->title - 1);
                    memset(c->plan->paints[0].name, 'W', RN_NAME_SIZE - 1);
                }
                if (variant < 3 || paints == 1)
                    assert_int_equal(faults_of_page(&c->section, variant == 1), 0);
                free_cut(c);
            }
}

static void files_of_every_kind(void **state)
{
    cut *c = make_cut(2);
    rn_error err = {0};
    size_t size;
    static const char *const files[][2] = {{"cut.PNG", "\x89PNG"}, {"cut.pdf", "%PDF"}, {"cut.svg", "<?xm"}};
    for (int i = 0; i < 3; i++) {
        const char *path = scratch_path(state, files[i][0]);
        check_ok(rn_section_write(path, stdout, &c->section, rn_figure_defaults(), &err), &err);
        char *bytes = scratch_read(path, &size);
        assert_non_null(bytes);
        assert_memory_equal(bytes, files[i][1], 4);
        assert_true(size > 5000);
        free(bytes);
    }
    char *bytes;
    SCRATCH_CAPTURE(bytes, size, check_ok(rn_section_write("-", out, &c->section, rn_figure_defaults(), &err), &err));
    assert_memory_equal(bytes, "\x89PNG", 4);
    free(bytes);
    check_status(rn_section_write(scratch_path(state, "cut.jpg"), stdout, &c->section, rn_figure_defaults(), &err),
                 RN_E_USAGE, &err);
    err = (rn_error){0};
    const char *path = scratch_path(state, "nowhere/cut.png");
    check_status(rn_section_write(path, stdout, &c->section, rn_figure_defaults(), &err), RN_E_FILE, &err);
    assert_string_equal(err.file, path);
    free_cut(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exaggeration_is_round_and_fits),
        cmocka_unit_test(drawn_to_a_round_scale),
        cmocka_unit_test(a_stands_on_the_left),
        cmocka_unit_test(bands_are_sharper_than_the_points),
        cmocka_unit_test(texts_stand_apart),
        cmocka_unit_test(files_of_every_kind),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
