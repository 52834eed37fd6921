/* Animations are read back by the reference decoder of libwebp, frames by cairo. */
#include "check.h"

#include <dirent.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <webp/demux.h>

#include "scratch.h"
#include "show/animation.h"

#define WIDTH 61 /* odd, so that halved colour planes and strides are met */
#define HEIGHT 40
#define FRAMES 5

/* Kelp, brass, foam, slate, tide. */
static const unsigned char paints[FRAMES][3] = {
    {46, 92, 60}, {196, 150, 60}, {236, 240, 232}, {60, 68, 80}, {30, 130, 150}};

/* A field of one paint, its left third of the next. */
static cairo_surface_t *make_frame(int n)
{
    cairo_surface_t *frame = cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDTH, HEIGHT);
    cairo_t *cr = cairo_create(frame);
    const unsigned char *field = paints[n % FRAMES], *left = paints[(n + 1) % FRAMES];
    cairo_set_source_rgb(cr, field[0] / 255.0, field[1] / 255.0, field[2] / 255.0);
    cairo_paint(cr);
    cairo_set_source_rgb(cr, left[0] / 255.0, left[1] / 255.0, left[2] / 255.0);
    cairo_rectangle(cr, 0.0, 0.0, 20.0, HEIGHT);
    cairo_fill(cr);
    cairo_destroy(cr);
    return frame;
}

static const double durations[FRAMES] = {0.1, 0.0404, 0.0404, 0.25, 2.0};

static void add_frames(rn_animation *animation, int count)
{
    for (int n = 0; n < count; n++) {
        rn_error err = {0};
        cairo_surface_t *frame = make_frame(n);
        check_ok(rn_animation_add(animation, frame, durations[n % FRAMES], &err), &err);
        cairo_surface_destroy(frame);
    }
}

static int entries(void **state)
{
    DIR *folder = opendir(*state);
    int count = 0;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;)
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    closedir(folder);
    return count;
}

/* Mean colour of the middle of a field; what is lossy there is the rounding of the colour transform. */
static void check_colour(const uint8_t *rgba, int x, int y, const unsigned char paint[3], double within)
{
    for (int c = 0; c < 3; c++)
        check_within(rgba[4 * (y * WIDTH + x) + c], paint[c], within);
    assert_int_equal(rgba[4 * (y * WIDTH + x) + 3], 255);
}

static void check_decoded(const char *bytes, size_t size, int loops, double within)
{
    const WebPData data = {(const uint8_t *)bytes, size};
    WebPAnimDecoder *decoder = WebPAnimDecoderNew(&data, NULL);
    assert_non_null(decoder);
    WebPAnimInfo info;
    assert_true(WebPAnimDecoderGetInfo(decoder, &info));
    assert_int_equal(info.canvas_width, WIDTH);
    assert_int_equal(info.canvas_height, HEIGHT);
    assert_int_equal(info.frame_count, FRAMES);
    assert_int_equal(info.loop_count, loops);
    double end = 0.0;
    for (int n = 0; n < FRAMES; n++) {
        uint8_t *rgba;
        int ends_ms;
        assert_true(WebPAnimDecoderGetNext(decoder, &rgba, &ends_ms));
        end += durations[n];
        check_within(ends_ms, end * 1e3, 0.5); /* roundings do not add up */
        check_colour(rgba, 42, 20, paints[n], within);
        check_colour(rgba, 8, 20, paints[(n + 1) % FRAMES], within);
    }
    assert_false(WebPAnimDecoderHasMoreFrames(decoder));
    WebPAnimDecoderDelete(decoder);
}

static void the_decoder_reads_it_back(void **state)
{
    rn_error err = {0};
    rn_animation_options options = rn_animation_defaults();
    options.loops = 3;
    options.quality = 90.0;
    rn_animation *animation;
    const char *path = scratch_path(state, "tide.WebP");
    check_ok(rn_animation_open(&animation, path, stdout, options, &err), &err);
    add_frames(animation, FRAMES);
    check_ok(rn_animation_close(animation, &err), &err);
    size_t size;
    char *bytes = scratch_read(path, &size);
    assert_non_null(bytes);
    /* RIFF container with a WEBP form (the WebP container specification). */
    assert_memory_equal(bytes, "RIFF", 4);
    assert_memory_equal(bytes + 8, "WEBP", 4);
    check_decoded(bytes, size, 3, 6.0);
    free(bytes);
    assert_int_equal(entries(state), 1);
    unlink(path);

    SCRATCH_CAPTURE(bytes, size, {
        check_ok(rn_animation_open(&animation, "-", out, rn_animation_defaults(), &err), &err);
        add_frames(animation, FRAMES);
        check_ok(rn_animation_close(animation, &err), &err);
    });
    check_decoded(bytes, size, 0, 8.0);
    free(bytes);
    assert_int_equal(entries(state), 0);
}

/* Size of an animation of speckled frames at that quality. */
static size_t size_at(void **state, double quality)
{
    rn_error err = {0};
    rn_animation_options options = rn_animation_defaults();
    options.quality = quality;
    rn_animation *animation;
    const char *path = scratch_path(state, "speckled.webp");
    check_ok(rn_animation_open(&animation, path, stdout, options, &err), &err);
    for (int n = 0; n < 2; n++) {
        cairo_surface_t *frame = make_frame(n);
        unsigned char *data = cairo_image_surface_get_data(frame);
        for (int i = 0; i < HEIGHT * cairo_image_surface_get_stride(frame); i++)
            data[i] = (unsigned char)(data[i] ^ ((i * 37 + n * 11) % 41));
        cairo_surface_mark_dirty(frame);
        check_ok(rn_animation_add(animation, frame, 0.1, &err), &err);
        cairo_surface_destroy(frame);
    }
    check_ok(rn_animation_close(animation, &err), &err);
    size_t size;
    free(scratch_read(path, &size));
    unlink(path);
    return size;
}

static void quality_costs_bytes(void **state)
{
    const size_t low = size_at(state, 10.0), middle = size_at(state, 80.0), high = size_at(state, 100.0);
    assert_true(low < middle && middle < high);
}

static void cancelled_half_way_leaves_nothing(void **state)
{
    rn_error err = {0};
    rn_animation *animation;
    check_ok(rn_animation_open(&animation, scratch_path(state, "half.webp"), stdout, rn_animation_defaults(), &err),
             &err);
    add_frames(animation, 3);
    rn_animation_abandon(animation);
    assert_int_equal(entries(state), 0);

    check_ok(rn_animation_open_folder(&animation, scratch_path(state, "frames"), &err), &err);
    add_frames(animation, 3);
    assert_int_equal(entries(state), 1); /* they wait in a temporary folder */
    rn_animation_abandon(animation);
    assert_int_equal(entries(state), 0);

    /* Nor does one that is closed without a frame. */
    check_ok(rn_animation_open(&animation, scratch_path(state, "none.webp"), stdout, rn_animation_defaults(), &err),
             &err);
    check_status(rn_animation_close(animation, &err), RN_E_USAGE, &err);
    assert_int_equal(entries(state), 0);
    rn_animation_abandon(NULL);
}

static void an_older_file_stays_until_the_end(void **state)
{
    rn_error err = {0};
    const char *path = scratch_path(state, "old.webp");
    FILE *old = fopen(path, "w");
    fputs("old", old);
    fclose(old);
    rn_animation *animation;
    check_ok(rn_animation_open(&animation, path, stdout, rn_animation_defaults(), &err), &err);
    add_frames(animation, 2);
    rn_animation_abandon(animation);
    size_t size;
    char *bytes = scratch_read(path, &size);
    assert_string_equal(bytes, "old");
    free(bytes);
    unlink(path);
}

static void remove_folder(const char *folder, int frames)
{
    char name[2048];
    for (int n = 1; n <= frames; n++) {
        snprintf(name, sizeof name, "%s/%04d.png", folder, n);
        assert_int_equal(unlink(name), 0);
    }
    assert_int_equal(rmdir(folder), 0); /* so nothing else was in it */
}

static void check_frame(const char *folder, int n)
{
    char name[2048];
    snprintf(name, sizeof name, "%s/%04d.png", folder, n + 1);
    cairo_surface_t *read = cairo_image_surface_create_from_png(name), *made = make_frame(n);
    assert_int_equal(cairo_surface_status(read), CAIRO_STATUS_SUCCESS);
    for (int j = 0; j < HEIGHT; j++) {
        const size_t from = (size_t)(j * cairo_image_surface_get_stride(made));
        const uint32_t *a = (const void *)(cairo_image_surface_get_data(read) + from);
        const uint32_t *b = (const void *)(cairo_image_surface_get_data(made) + from);
        for (int i = 0; i < WIDTH; i++)
            assert_int_equal(a[i] & 0xFFFFFF, b[i] & 0xFFFFFF);
    }
    cairo_surface_destroy(read);
    cairo_surface_destroy(made);
}

static void numbered_frames_in_a_folder(void **state)
{
    rn_error err = {0};
    rn_animation *animation;
    char folder[1024];
    snprintf(folder, sizeof folder, "%s/", scratch_path(state, "frames"));
    check_ok(rn_animation_open_folder(&animation, folder, &err), &err);
    add_frames(animation, FRAMES);
    check_ok(rn_animation_close(animation, &err), &err);
    for (int n = 0; n < FRAMES; n++)
        check_frame(folder, n);

    /* A shorter one takes its place, and no old frame stays. */
    check_ok(rn_animation_open_folder(&animation, folder, &err), &err);
    add_frames(animation, 2);
    check_ok(rn_animation_close(animation, &err), &err);
    check_frame(folder, 1);
    assert_int_equal(entries(state), 1);

    /* Anything else in the folder is not ours to touch. */
    char other[1100];
    snprintf(other, sizeof other, "%s/notes.txt", folder);
    fclose(fopen(other, "w"));
    check_status(rn_animation_open_folder(&animation, folder, &err), RN_E_FILE, &err);
    assert_non_null(strstr(err.message, "name a new folder"));
    unlink(other);
    remove_folder(folder, 2);
}

static void what_cannot_be_is_said(void **state)
{
    rn_error err = {0};
    rn_animation *animation = NULL;
    const rn_animation_options options = rn_animation_defaults();
    static const char *const names[] = {"tide", "tide.gif", ".webp", "tide.webp.txt"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        err = (rn_error){0};
        check_status(rn_animation_open(&animation, names[i], stdout, options, &err), RN_E_USAGE, &err);
        assert_non_null(strstr(err.message, ".webp"));
    }
    err = (rn_error){0};
    const char *path = scratch_path(state, "nowhere/tide.webp");
    check_status(rn_animation_open(&animation, path, stdout, options, &err), RN_E_FILE, &err);
    assert_string_equal(err.file, path);
    assert_non_null(strstr(err.message, strerror(2))); /* ENOENT */
    err = (rn_error){0};
    path = scratch_path(state, "nowhere/frames");
    check_status(rn_animation_open_folder(&animation, path, &err), RN_E_FILE, &err);
    assert_string_equal(err.file, path);
    assert_null(animation);

    err = (rn_error){0};
    check_ok(rn_animation_open(&animation, scratch_path(state, "tide.webp"), stdout, options, &err), &err);
    add_frames(animation, 1);
    cairo_surface_t *wide = cairo_image_surface_create(CAIRO_FORMAT_RGB24, WIDTH + 1, HEIGHT);
    check_status(rn_animation_add(animation, wide, 0.1, &err), RN_E_USAGE, &err);
    assert_non_null(strstr(err.message, "frame 2"));
    cairo_surface_t *clear = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT), *frame = make_frame(0);
    err = (rn_error){0};
    check_status(rn_animation_add(animation, clear, 0.1, &err), RN_E_USAGE, &err);
    err = (rn_error){0};
    check_status(rn_animation_add(animation, frame, 0.0, &err), RN_E_USAGE, &err);
    err = (rn_error){0};
    check_status(rn_animation_add(animation, frame, NAN, &err), RN_E_USAGE, &err);
    cairo_surface_destroy(wide);
    cairo_surface_destroy(clear);
    cairo_surface_destroy(frame);
    rn_animation_abandon(animation);
    assert_int_equal(entries(state), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_decoder_reads_it_back),         cmocka_unit_test(quality_costs_bytes),
        cmocka_unit_test(cancelled_half_way_leaves_nothing), cmocka_unit_test(an_older_file_stays_until_the_end),
        cmocka_unit_test(numbered_frames_in_a_folder),       cmocka_unit_test(what_cannot_be_is_said),
    };
    return cmocka_run_group_tests(tests, scratch_make, scratch_remove);
}
