#include "show/face.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/file.h"
#include "show/colour.h"
#include "show/scene.h"

#define LEAST_PIXELS 16
#define MOST_PIXELS 16384
#define MOST_SAMPLES 8 /* along a pixel's side */
#define ROWS 8         /* of the picture in one block of work */
#define CODES 4096     /* steps of the table from light to sRGB */

/* What one thread works with: one row of samples, and one of pixels. */
typedef struct desk {
    float *depth, *slope_x, *slope_y; /* width * samples */
    float *scratch;                   /* 2 nx of the film */
    float *light;                     /* 3 width */
} desk;

typedef struct studio {
    rn_scene scene;
    int width, height; /* [pixels] */
    int samples;       /* along a pixel's side */
    float pixel;       /* [m] */
    float *x;          /* width * samples [m] */
    desk *tops;        /* one for each thread */
    int top_count;
    float code[CODES + 2]; /* sRGB of a light, 0..255 */
    unsigned char *data;
    int stride;
} studio;

static bool lay_tops(studio *room, int threads)
{
    const size_t across = (size_t)room->width * (size_t)room->samples;
    const size_t floats = 3 * across + 2 * (size_t)room->scene.relief.nx + 3 * (size_t)room->width;
    room->x = malloc(across * sizeof *room->x);
    room->tops = calloc((size_t)threads, sizeof *room->tops);
    if (!room->x || !room->tops)
        return false;
    const float step = room->pixel / (float)room->samples;
    for (size_t i = 0; i < across; i++)
        room->x[i] = ((float)i + 0.5f - 0.5f * (float)across) * step;
    for (room->top_count = 0; room->top_count < threads; room->top_count++) {
        desk *top = &room->tops[room->top_count];
        top->depth = malloc(floats * sizeof *top->depth);
        if (!top->depth)
            return false;
        top->slope_x = top->depth + across;
        top->slope_y = top->slope_x + across;
        top->light = top->slope_y + across;
        top->scratch = top->light + 3 * room->width;
    }
    return true;
}

static void clear(studio *room)
{
    for (int t = 0; t < room->top_count; t++)
        free(room->tops[t].depth);
    free(room->tops);
    free(room->x);
    rn_scene_clear(&room->scene);
    *room = (struct studio){0};
}

/* Samples fine enough to see every point of the strata, where the picture is the smaller. */
static int samples_for(const rn_face *face, double pixel)
{
    const double points = pixel * face->strata->nx / face->strata->width;
    return (int)fmin(fmax(ceil(points - 0.25), 1.0), MOST_SAMPLES);
}

static bool set_up(studio *room, const rn_face *face, int pixels, int threads)
{
    const rn_panel *panel = &face->plan->panel;
    const double longer = fmax(panel->width, panel->height), bench = 2.0 * face->margin * longer;
    const double pixel = (longer + bench) / pixels;
    *room = (struct studio){.pixel = (float)pixel, .samples = samples_for(face, pixel)};
    room->width = (int)fmax(round((panel->width + bench) / pixel), 1.0);
    room->height = (int)fmax(round((panel->height + bench) / pixel), 1.0);
    for (int i = 0; i < CODES + 2; i++)
        room->code[i] = (float)(255.0 * rn_srgb_encode(fmin((double)i / CODES, 1.0)));
    return rn_scene_init(&room->scene, face) && lay_tops(room, threads);
}

static unsigned encoded(const studio *room, float light)
{
    const float at = (light < 0.0f ? 0.0f : light > 1.0f ? 1.0f : light) * CODES;
    const int i = (int)at;
    return (unsigned)(room->code[i] + (at - (float)i) * (room->code[i + 1] - room->code[i]) + 0.5f);
}

/* Adds one row of samples to a row of pixels. */
static void add_samples(const studio *room, const desk *top, float y)
{
    const int across = room->width * room->samples;
    const float step = room->pixel / (float)room->samples;
    rn_relief_row(top->depth, top->slope_x, top->slope_y, &room->scene.relief, top->scratch, room->x, across, y);
    for (int i = 0; i < across; i++) {
        const rn_film_point film = {top->depth[i], top->slope_x[i], top->slope_y[i]};
        float rgb[3], *sum = top->light + 3 * (i / room->samples);
        rn_scene_light(rgb, &room->scene, room->x[i], y, &film, step);
        for (int c = 0; c < 3; c++)
            sum[c] += rgb[c] < 1.0f ? rgb[c] : 1.0f;
    }
}

static void render_rows(void *context, int block, int member)
{
    const studio *room = context;
    const desk *top = &room->tops[member];
    const int samples = room->samples;
    const float step = room->pixel / (float)samples, share = 1.0f / (float)(samples * samples);
    for (int row = block * ROWS; row < (block + 1) * ROWS && row < room->height; row++) {
        for (int i = 0; i < 3 * room->width; i++)
            top->light[i] = 0.0f;
        for (int s = 0; s < samples; s++) {
            const float down = (float)(row * samples + s) + 0.5f;
            add_samples(room, top, (0.5f * (float)(room->height * samples) - down) * step);
        }
        uint32_t *line = (uint32_t *)(void *)(room->data + (size_t)row * (size_t)room->stride);
        for (int i = 0; i < room->width; i++) {
            const float *light = top->light + 3 * i;
            line[i] = encoded(room, light[0] * share) << 16 | encoded(room, light[1] * share) << 8 |
                      encoded(room, light[2] * share);
        }
    }
}

rn_status rn_face_render(cairo_surface_t **image, const rn_face *face, int pixels, rn_team *team, rn_error *err)
{
    assert(face->plane >= 0 && face->plane < face->strata->planes);
    assert(face->peeled >= 0.0 && face->peeled <= 1.0 && face->margin >= 0.0);
    if (pixels < LEAST_PIXELS || pixels > MOST_PIXELS)
        return rn_fail(err, RN_E_USAGE, "a picture of %d pixels: %d to %d can be drawn", pixels, LEAST_PIXELS,
                       MOST_PIXELS);
    studio room;
    cairo_surface_t *surface = NULL;
    bool good = set_up(&room, face, pixels, rn_team_size(team));
    if (good) {
        surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, room.width, room.height);
        good = cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS;
    }
    if (good) {
        cairo_surface_flush(surface);
        room.data = cairo_image_surface_get_data(surface);
        room.stride = cairo_image_surface_get_stride(surface);
        rn_team_share(team, (room.height + ROWS - 1) / ROWS, render_rows, &room);
        cairo_surface_mark_dirty(surface);
    }
    const rn_status status =
        good ? rn_team_ends(team, err) : rn_fail(err, RN_E_MEMORY, "no memory left for the picture");
    if (status == RN_OK)
        *image = surface;
    else if (surface)
        cairo_surface_destroy(surface);
    clear(&room);
    return status;
}

static cairo_status_t write_bytes(void *stream, const unsigned char *bytes, unsigned int length)
{
    return fwrite(bytes, 1, length, stream) == length ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

rn_status rn_face_write(const char *path, FILE *standard, const rn_face *face, int pixels, rn_team *team, rn_error *err)
{
    cairo_surface_t *image;
    rn_status status = rn_face_render(&image, face, pixels, team, err);
    if (status != RN_OK)
        return status;
    rn_file file;
    status = rn_file_open(&file, path, standard, err);
    if (status == RN_OK) {
        const cairo_status_t drawn = cairo_surface_write_to_png_stream(image, write_bytes, file.stream);
        if (drawn == CAIRO_STATUS_SUCCESS || drawn == CAIRO_STATUS_WRITE_ERROR)
            status = rn_file_close(&file, err); /* it knows the system's reason */
        else {
            rn_file_abandon(&file);
            status = rn_fail(err, drawn == CAIRO_STATUS_NO_MEMORY ? RN_E_MEMORY : RN_E_FILE,
                             "the picture was not drawn: %s", cairo_status_to_string(drawn));
        }
    }
    cairo_surface_destroy(image);
    return status;
}
