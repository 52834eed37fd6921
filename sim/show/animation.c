#define _XOPEN_SOURCE 700 /* realpath */

#include "show/animation.h"

#include <dirent.h>
#include <errno.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>
#include <webp/encode.h>
#include <webp/mux.h>

#include "base/file.h"

#define LONGEST 16777.0 /* a frame's duration is 24 bits of milliseconds [webp] */
#define TRIES 100       /* names tried for the temporary folder before giving up */

struct rn_animation {
    rn_animation_options options;
    int count, width, height;
    double time; /* all durations so far [s] */

    /* WebP */
    rn_file file;
    WebPAnimEncoder *encoder;
    WebPConfig config;
    WebPPicture picture;

    /* folder */
    bool in_folder;
    char path[RN_PATH_SIZE];           /* as the caller named it */
    char folder[RN_PATH_SIZE];         /* what is replaced: links followed, no slash at its end */
    char temporary[RN_PATH_SIZE + 32]; /* where the frames wait */
};

rn_animation_options rn_animation_defaults(void)
{
    return (rn_animation_options){.quality = 80.0, .loops = 0};
}

static rn_status fail_file(const char *path, int reason, rn_error *err)
{
    if (err && err->status == RN_OK)
        snprintf(err->file, sizeof err->file, "%.*s", (int)sizeof err->file - 1, path);
    return rn_fail(err, RN_E_FILE, "cannot be written: %s", strerror(reason));
}

static rn_status fail_memory(rn_error *err)
{
    return rn_fail(err, RN_E_MEMORY, "no memory left for the animation");
}

rn_status rn_animation_check_path(const char *path, rn_error *err)
{
    const size_t length = strlen(path);
    if (strcmp(path, "-") == 0 || (length > 5 && strcasecmp(path + length - 5, ".webp") == 0))
        return RN_OK;
    return rn_fail(err, RN_E_USAGE, "'%s': an animation's name ends in .webp", path);
}

rn_status rn_animation_open(rn_animation **animation, const char *path, FILE *standard, rn_animation_options options,
                            rn_error *err)
{
    rn_status status = rn_animation_check_path(path, err);
    if (status != RN_OK)
        return status;
    if (!(options.quality >= 0.0 && options.quality <= 100.0) || options.loops < 0 || options.loops > 65535)
        return rn_fail(err, RN_E_USAGE, "an animation has a quality from 0 to 100 and plays 0 to 65535 times");
    rn_animation *made = calloc(1, sizeof *made);
    if (!made || !WebPConfigInit(&made->config) || !WebPPictureInit(&made->picture)) {
        free(made);
        return fail_memory(err);
    }
    made->options = options;
    made->config.quality = (float)options.quality;
    made->config.use_sharp_yuv =
        1; /* colours are kept at half the pixels; this keeps the edges of bands from bleeding */
    made->picture.use_argb = 1;
    status = rn_file_open(&made->file, path, standard, err);
    if (status != RN_OK) {
        free(made);
        return status;
    }
    *animation = made;
    return RN_OK;
}

static bool numbered(const char *name)
{
    const size_t digits = strspn(name, "0123456789");
    return digits >= 4 && strcmp(name + digits, ".png") == 0;
}

/* Removes the numbered frames of a folder. */
static void sweep(const char *folder)
{
    DIR *dir = opendir(folder);
    if (!dir)
        return;
    for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        char path[2 * RN_PATH_SIZE];
        if (!numbered(entry->d_name))
            continue;
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        unlink(path);
    }
    closedir(dir);
}

/* The folder as it is there already: resolved, and holding nothing but frames. */
static rn_status look_at_folder(rn_animation *a, rn_error *err)
{
    DIR *dir = opendir(a->path);
    if (!dir && errno != ENOENT)
        return fail_file(a->path, errno, err);
    if (!dir)
        return RN_OK;
    bool others = false;
    for (struct dirent *entry; (entry = readdir(dir)) != NULL;)
        others =
            others || !(strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0 || numbered(entry->d_name));
    closedir(dir);
    if (others)
        return rn_fail(err, RN_E_FILE, "'%s' holds more than numbered frames; name a new folder for them", a->path);
    char *real = realpath(a->path, NULL);
    if (!real)
        return fail_file(a->path, errno, err);
    snprintf(a->folder, sizeof a->folder, "%s", real);
    free(real);
    return RN_OK;
}

static rn_status make_temporary(rn_animation *a, rn_error *err)
{
    for (int i = 0; i < TRIES; i++) {
        snprintf(a->temporary, sizeof a->temporary, "%s.part%ld-%d", a->folder, (long)getpid(), i);
        if (mkdir(a->temporary, 0777) == 0)
            return RN_OK;
        if (errno != EEXIST)
            break;
    }
    return fail_file(a->path, errno, err);
}

rn_status rn_animation_open_folder(rn_animation **animation, const char *folder, rn_error *err)
{
    size_t length = strlen(folder);
    if (length == 0)
        return rn_fail(err, RN_E_FILE, "a folder needs a name");
    if (length >= RN_PATH_SIZE)
        return fail_file(folder, ENAMETOOLONG, err);
    rn_animation *made = calloc(1, sizeof *made);
    if (!made)
        return fail_memory(err);
    made->in_folder = true;
    while (length > 1 && folder[length - 1] == '/')
        length--;
    memcpy(made->path, folder, length);
    memcpy(made->folder, folder, length);
    rn_status status = look_at_folder(made, err);
    if (status == RN_OK)
        status = make_temporary(made, err);
    if (status != RN_OK) {
        free(made);
        return status;
    }
    *animation = made;
    return RN_OK;
}

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned int length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static rn_status add_file(rn_animation *a, cairo_surface_t *frame, rn_error *err)
{
    char path[sizeof a->temporary + 24];
    snprintf(path, sizeof path, "%s/%04d.png", a->temporary, a->count + 1);
    FILE *stream = fopen(path, "wb");
    if (!stream)
        return fail_file(a->path, errno, err);
    errno = 0;
    const cairo_status_t drawn = cairo_surface_write_to_png_stream(frame, write_bytes, stream);
    int reason = drawn == CAIRO_STATUS_SUCCESS ? 0 : errno ? errno : EIO;
    if (fclose(stream) != 0 && !reason)
        reason = errno;
    if (drawn == CAIRO_STATUS_NO_MEMORY)
        return fail_memory(err);
    return reason ? fail_file(a->path, reason, err) : RN_OK;
}

/* The encoder, made for the size of the first frame. */
static bool make_encoder(rn_animation *a)
{
    WebPAnimEncoderOptions options;
    if (!WebPAnimEncoderOptionsInit(&options))
        return false;
    options.anim_params.loop_count = a->options.loops;
    options.anim_params.bgcolor = 0xFF000000;
    a->encoder = WebPAnimEncoderNew(a->width, a->height, &options);
    a->picture.width = a->width;
    a->picture.height = a->height;
    return a->encoder && WebPPictureAlloc(&a->picture);
}

/* Frames are handed over with the moment at which they begin. */
static int milliseconds(double time)
{
    return (int)lround(time * 1e3);
}

static rn_status add_webp(rn_animation *a, cairo_surface_t *frame, rn_error *err)
{
    if (!a->encoder && !make_encoder(a))
        return fail_memory(err);
    const unsigned char *data = cairo_image_surface_get_data(frame);
    const int stride = cairo_image_surface_get_stride(frame);
    for (int j = 0; j < a->height; j++) {
        uint32_t *row = a->picture.argb + (size_t)j * (size_t)a->picture.argb_stride;
        memcpy(row, data + (ptrdiff_t)j * stride, (size_t)a->width * sizeof *row);
        for (int i = 0; i < a->width; i++)
            row[i] |= 0xFF000000; /* cairo leaves that byte undefined, WebP takes it for the opacity */
    }
    if (!WebPAnimEncoderAdd(a->encoder, &a->picture, milliseconds(a->time), &a->config))
        return rn_fail(err, RN_E_FILE, "frame %d was not taken into the animation: %s", a->count + 1,
                       WebPAnimEncoderGetError(a->encoder));
    return RN_OK;
}

rn_status rn_animation_add(rn_animation *a, cairo_surface_t *frame, double duration, rn_error *err)
{
    cairo_surface_flush(frame);
    if (cairo_surface_status(frame) == CAIRO_STATUS_NO_MEMORY)
        return fail_memory(err);
    const int width = cairo_image_surface_get_width(frame), height = cairo_image_surface_get_height(frame);
    if (cairo_image_surface_get_format(frame) != CAIRO_FORMAT_RGB24 || width < 1 || height < 1)
        return rn_fail(err, RN_E_USAGE, "frame %d of the animation is not an opaque picture", a->count + 1);
    if (a->count > 0 && (width != a->width || height != a->height))
        return rn_fail(err, RN_E_USAGE, "frame %d of the animation is %d x %d pixels, those before %d x %d",
                       a->count + 1, width, height, a->width, a->height);
    if (!a->in_folder && (width > WEBP_MAX_DIMENSION || height > WEBP_MAX_DIMENSION))
        return rn_fail(err, RN_E_USAGE, "an animation has at most %d pixels a side, not %d x %d", WEBP_MAX_DIMENSION,
                       width, height);
    if (!(duration >= 1e-3 && duration <= LONGEST))
        return rn_fail(err, RN_E_USAGE, "frame %d of the animation lasts %g s; from 0.001 to %.0f s would be right",
                       a->count + 1, duration, LONGEST);
    a->width = width;
    a->height = height;
    const rn_status status = a->in_folder ? add_file(a, frame, err) : add_webp(a, frame, err);
    if (status == RN_OK) {
        a->count++;
        a->time += duration;
    }
    return status;
}

static rn_status close_webp(rn_animation *a, rn_error *err)
{
    WebPData data;
    WebPDataInit(&data);
    if (!WebPAnimEncoderAdd(a->encoder, NULL, milliseconds(a->time), NULL) ||
        !WebPAnimEncoderAssemble(a->encoder, &data))
        return rn_fail(err, RN_E_FILE, "the animation was not put together: %s", WebPAnimEncoderGetError(a->encoder));
    fwrite(data.bytes, 1, data.size, a->file.stream); /* rn_file_close looks at the stream's errors */
    WebPDataClear(&data);
    return rn_file_close(&a->file, err);
}

static rn_status close_folder(rn_animation *a, rn_error *err)
{
    sweep(a->folder);
    if (rename(a->temporary, a->folder) != 0) /* onto an empty folder as well */
        return fail_file(a->path, errno, err);
    a->temporary[0] = 0;
    return RN_OK;
}

rn_status rn_animation_close(rn_animation *a, rn_error *err)
{
    rn_status status = a->count == 0 ? rn_fail(err, RN_E_USAGE, "an animation needs at least one frame") : RN_OK;
    if (status == RN_OK)
        status = a->in_folder ? close_folder(a, err) : close_webp(a, err);
    rn_animation_abandon(a);
    return status;
}

void rn_animation_abandon(rn_animation *a)
{
    if (!a)
        return;
    if (a->temporary[0]) {
        sweep(a->temporary);
        rmdir(a->temporary);
    }
    if (!a->in_folder) {
        rn_file_abandon(&a->file);
        WebPAnimEncoderDelete(a->encoder);
        WebPPictureFree(&a->picture);
    }
    free(a);
}
