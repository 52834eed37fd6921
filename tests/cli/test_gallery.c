/* What `runnel forecast` draws and traces, run whole and in process on a tiny plan: each file is what its name says, and
   a wrong use ends with one line before any work is done. */
#include "check.h"

#include <string.h>
#include <sys/stat.h>

#include "cli/cli.h"
#include "cli/json.h"
#include "cli/shell.h"

static shell s;

static int leave(void **state)
{
    shell_clear(&s);
    return shell_remove_folder(state);
}

#define PLAN shell_path(state, "pool.yaml")
/* Of the first seconds alone, which have it all: time is short. */
#define SHORT PLAN, "-g64", "-q", "--until", "3s"
#define FILE_OF(name) shell_path(state, name)

static unsigned long number_at(const unsigned char *data)
{
    return (unsigned long)data[0] << 24 | (unsigned long)data[1] << 16 | (unsigned long)data[2] << 8 | data[3];
}

/* Signature and IHDR of a PNG (ISO/IEC 15948, from memory); its size in pixels. */
static void check_png(const char *path, unsigned long width, unsigned long height)
{
    size_t size;
    char *text = shell_read(path, &size);
    if (!text)
        fail_msg("%s was not written", path);
    const unsigned char *data = (const unsigned char *)text;
    assert_true(size > 100);
    assert_memory_equal(data, "\x89PNG\r\n\x1a\n", 8);
    assert_memory_equal(data + 12, "IHDR", 4);
    if (width)
        assert_int_equal(number_at(data + 16), width);
    if (height)
        assert_int_equal(number_at(data + 20), height);
    assert_memory_equal(data + size - 8, "IEND", 4);
    free(text);
}

static void faces_and_peeled_faces_are_written(void **state)
{
    const char *face = FILE_OF("face.png"), *peeled = FILE_OF("peeled.png"), *early = FILE_OF("early.png");
    shell_run(&s, "forecast", SHORT, "--face", face, "--size", "200", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    check_png(face, 200, 200);
    shell_run(&s, "forecast", SHORT, "--face", peeled, "--size", "200", "--peel", "40", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_png(peeled, 200, 200);
    shell_run(&s, "forecast", SHORT, "--face", early, "--size", "200", "--at", "1s", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_png(early, 200, 200);
    size_t size, early_size;
    char *a = shell_read(face, &size), *b = shell_read(early, &early_size);
    assert_true(size != early_size || memcmp(a, b, size) != 0); /* less paint is out then */
    free(a);
    free(b);
}

static void a_cut_is_written(void **state)
{
    const char *cut = FILE_OF("cut.png"), *vector = FILE_OF("cut.svg");
    shell_run(&s, "forecast", SHORT, "--section", "left", "20 mm right 10 mm back", "--cut", cut, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_png(cut, 0, 0);
    shell_run(&s, "forecast", SHORT, "--cut", vector, NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    size_t size;
    char *text = shell_read(vector, &size);
    assert_non_null(text);
    assert_non_null(strstr(text, "<svg"));
    free(text);
}

static void design_and_moments_are_written(void **state)
{
    const char *design = FILE_OF("design.png"), *moments = FILE_OF("moments.png");
    shell_run(&s, "forecast", SHORT, "--design", design, "--moments", moments, "--size", "480", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    check_png(design, 0, 0);
    check_png(moments, 480, 0);
}

/* The shortest of sessions has a sheet as well. */
static void a_brief_session_has_its_moments(void **state)
{
    const char *moments = FILE_OF("moments.png");
    shell_run(&s, "forecast", PLAN, "-g64", "-q", "--until", "0.3s", "--moments", moments, "--size", "480", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    check_png(moments, 480, 0);
}

static void an_animation_is_written(void **state)
{
    const char *film = FILE_OF("pour.WEBP"), *frames = FILE_OF("frames");
    shell_run(&s, "forecast", SHORT, "--animation", film, "--every", "0.6s", "--size", "96", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    size_t size;
    char *data = shell_read(film, &size);
    assert_non_null(data);
    assert_memory_equal(data, "RIFF", 4); /* the container's signature [webp] */
    assert_memory_equal(data + 8, "WEBPVP8X", 8);
    free(data);
    shell_run(&s, "forecast", SHORT, "--frames", frames, "--every", "0.6s", "--size", "96", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(shell_count(frames), 6); /* 0, 0.6, ... 3 s */
}

/* What is told of colours adds up: each paint is on the face or over an edge. */
static void the_layers_are_told(void **state)
{
    shell_run(&s, "forecast", PLAN, "-g64", "--layers", "--json", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_int_equal(s.err_size, 0);
    static const char *const keys[] = {"rings.pours", "twist.pours", "distortion.pours", "stretch", "cells", "colours"};
    for (int k = 0; k < 6; k++)
        if (json_count(s.out, keys[k]) < 1)
            fail_msg("no %s", keys[k]);
    check_close(json_number(s.out, "colours.came_ml.foam"), 12, 1e-6);
    double all = json_number(s.out, "colours.on_face_ml.foam");
    static const char *const sides[] = {"colours.over_edge_ml.front.foam", "colours.over_edge_ml.right.foam",
                                        "colours.over_edge_ml.back.foam", "colours.over_edge_ml.left.foam"};
    for (int k = 0; k < 4; k++)
        all += json_number(s.out, sides[k]);
    check_close(all, 12, 1e-4);
    shell_run(&s, "forecast", PLAN, "-g64", "--layers", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    assert_non_null(strstr(s.out, "colours, ml"));
    shell_run(&s, "forecast", PLAN, "-g64", "--json", NULL);
    assert_null(json_text(s.out, "stretch.median")); /* only where it is asked for */
}

static void a_folder_gets_all_of_it(void **state)
{
    const char *folder = FILE_OF("out");
    shell_run(&s, "forecast", SHORT, "--layers", "--out", folder, "--size", "128", NULL);
    assert_int_equal(s.exit, RN_EXIT_DONE);
    static const char *const names[] = {"out/face.png", "out/section.png", "out/design.png", "out/moments.png",
                                        "out/picture.png"};
    for (int k = 0; k < 5; k++)
        check_png(FILE_OF(names[k]), 0, 0);
    assert_int_equal(shell_count(folder), 9);
}

#define ARGUMENTS_MOST 6

static void wrong_uses_end_with_one_line(void **state)
{
    static const struct {
        const char *arguments[ARGUMENTS_MOST];
        const char *words; /* that the line must have */
    } uses[] = {
        {{"--peel", "30"}, "--peel"},
        {{"--face", "no.png", "--peel", "120"}, "--peel"},
        {{"--section", "left"}, "--section"},
        {{"--section", "left", "left"}, "--section"},
        {{"--section", "left", "nowhere"}, "--section"},
        {{"--face", "no.png", "--at", "11s"}, "--at"},
        {{"--face", "no.png", "--at", "-1s"}, "--at"},
        {{"--face", "no.png", "--at", "8s", "--until", "5s"}, "--at"},
        {{"--moments", "no.png", "--at", "3s"}, "--at"},
        {{"--every", "1s"}, "--every"},
        {{"--frames", "no", "--every", "0s"}, "--every"},
        {{"--frames", "no", "--every", "0.001s"}, "--every"},
        {{"--size", "200"}, "--size"},
        {{"--face", "no.png", "--size", "10"}, "--size"},
        {{"--face", "no.png", "--size", "9000"}, "--size"},
        {{"--face", "no.png", "--points", "100"}, "--points"},
        {{"--layers", "--levels", "65"}, "--levels"},
        {{"--layers", "--levels", "0"}, "--levels"},
        {{"--animation", "no.gif"}, "no.gif"},
        {{"--design", "no.gif"}, "no.gif"},
        {{"--frames", "no", "--levels", "9"}, "--levels"},
        {{"--face", "no.jpg"}, "no.jpg"},
        {{"--moments", "no.jpg"}, "no.jpg"},
        {{"--sheen"}, "--sheen"},
        {{"--cells", "50"}, "--cells"},
        {{"--cells-at", "3s"}, "--cells-at"},
        {{"--cells-wide", "6mm"}, "--cells-wide"},
        {{"--cells-seed", "4"}, "--cells-seed"},
        {{"--since", "3s"}, "--since"},
        {{"--levels", "4"}, "--levels"},
        {{"--points", "512"}, "--points"},
    };
    int faults = 0;
    for (size_t k = 0; k < sizeof uses / sizeof uses[0]; k++) {
        const char *const *a = uses[k].arguments;
        shell_run(&s, "forecast", PLAN, "-g64", a[0], a[1], a[2], a[3], a[4], a[5], NULL);
        char *end = strstr(s.err, "'runnel help forecast' says more\n"); /* a pointer to the help may follow */
        if (end)
            *end = '\0';
        end = strchr(s.err, '\n');
        const bool good = s.exit == RN_EXIT_USAGE && s.out_size == 0 && end && end[1] == '\0' &&
                          strncmp(s.err, "runnel forecast: ", 17) == 0 && strstr(s.err, uses[k].words) &&
                          !strstr(s.err, "inf") && !strstr(s.err, "nan");
        if (good)
            continue;
        faults++;
        fprintf(stderr, "%s %s %s %s: exit %d: %s\n", a[0], a[1] ? a[1] : "", a[2] ? a[2] : "", a[3] ? a[3] : "",
                s.exit, s.err);
    }
    assert_int_equal(faults, 0);
    assert_int_equal(shell_count(*state), 1); /* nothing was written */
    assert_false(shell_exists("no.png") || shell_exists("no"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(faces_and_peeled_faces_are_written, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(a_cut_is_written, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(design_and_moments_are_written, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(a_brief_session_has_its_moments, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(an_animation_is_written, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(the_layers_are_told, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(a_folder_gets_all_of_it, shell_make_pool, leave),
        cmocka_unit_test_setup_teardown(wrong_uses_end_with_one_line, shell_make_pool, leave),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
