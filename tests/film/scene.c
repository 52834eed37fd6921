#include "scene.h"

#include <math.h>
#include <stdlib.h>

#include "check.h"

film_scene film_scene_usual(int nx, int ny)
{
    film_scene scene = {.options = rn_film_defaults(),
                        .gravity_x = 0.9,
                        .gravity_y = 0.5,
                        .rate = 1.5,
                        .acceleration = 0.2,
                        .volume = 100e-6,
                        .until = 6,
                        .ring = 0.02,
                        .x = 0.01,
                        .y = -0.005};
    scene.options.grid = (rn_grid){nx, ny, 0.2 / nx, 0.2 / nx};
    scene.options.threads = 1;
    return scene;
}

static double ring_shape(const void *context, double x, double y)
{
    const film_scene *scene = context;
    double u = (hypot(x - scene->x, y - scene->y) - scene->ring) / 0.006;
    return fabs(u) < 1 ? 1 + cos(RN_PI * u) : 0;
}

static void drive(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const film_scene *scene = context;
    double g = hypot(scene->gravity_x, scene->gravity_y);
    *input = (rn_film_input){scene->gravity_x, scene->gravity_y, sqrt(fmax(RN_GRAVITY * RN_GRAVITY - g * g, 0)),
                             scene->rate, scene->acceleration};
    volumes[0] = scene->volume * (fmin(t1, scene->until) - fmin(t0, scene->until)) / scene->until;
}

/* Laws from the panel up in turn; blotches leave dry ground without. */
static void set_columns(rn_film *film, const film_scene *scene, int second)
{
    if (scene->levels == 0)
        return;
    const rn_grid *grid = rn_film_grid(film);
    const long plane = (long)grid->nx * grid->ny;
    unsigned char *laws_of = malloc((size_t)(plane * scene->levels));
    assert_non_null(laws_of);
    long stride;
    const double *depth = rn_film_depth(film, &stride);
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            int blotch = scene->mixed * ((i + second) / 7 + 2 * (j / 5));
            for (int l = 0; l < scene->levels; l++)
                laws_of[l * plane + (long)j * grid->nx + i] =
                    (unsigned char)(depth[j * stride + i] > 0 || !scene->mixed
                                        ? (blotch + l * scene->law_count / scene->levels) % scene->law_count
                                        : 255);
        }
    rn_error err = {0};
    check_ok(rn_film_set_columns(film, laws_of, NULL, scene->levels, scene->laws, scene->law_count, &err), &err);
    free(laws_of);
}

rn_film *film_scene_set(const film_scene *scene)
{
    rn_film *film = NULL;
    rn_error err = {0};
    check_ok(rn_film_new(&film, &scene->options, &err), &err);
    check_ok(rn_film_add_source(film, ring_shape, scene, scene->x, scene->y, scene->ring + 0.01, &err), &err);
    long cells = (long)scene->options.grid.nx * scene->options.grid.ny;
    double *depth = malloc((size_t)cells * sizeof *depth);
    assert_non_null(depth);
    for (long n = 0; n < cells; n++)
        depth[n] = scene->base;
    rn_film_set(film, depth);
    free(depth);
    set_columns(film, scene, 0);
    return film;
}

static void check_depths(const rn_film *film)
{
    long stride;
    const double *depth = rn_film_depth(film, &stride);
    const rn_grid *grid = rn_film_grid(film);
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            double h = depth[j * stride + i];
            if (rn_film_inside(film)[(long)j * grid->nx + i] && !(h >= 0 && h < 1))
                fail_msg("depth %g m in cell %d, %d", h, i, j);
        }
}

rn_film *film_scene_run(const film_scene *scene, double until, double *worst)
{
    film_scene mine = *scene;
    rn_film *film = film_scene_set(&mine);
    rn_error err = {0};
    double base = rn_film_volume(film), t = 0, taken;
    *worst = 0;
    while (t < until) {
        double limit = t < mine.until ? fmin(mine.until, until) : until;
        if (mine.levels > 0 && floor(t) + 1 < limit)
            limit = floor(t) + 1;
        if (t == floor(t))
            set_columns(film, &mine, (int)t);
        check_ok(rn_film_step(&taken, film, t, limit, drive, &mine, &err), &err);
        t = limit - (t + taken) < 1e-12 * limit ? limit : t + taken;
        double sides[4], came = base + mine.volume * fmin(t, mine.until) / mine.until;
        rn_film_run_off(sides, film);
        double is = rn_film_volume(film) + rn_film_on_sides(film) + sides[0] + sides[1] + sides[2] + sides[3];
        *worst = fmax(*worst, fabs(came - is) / came);
        check_depths(film);
        if (rn_film_steps(film) + rn_film_rejected(film) > 60000)
            fail_msg("%ld steps and only at %g s", rn_film_steps(film), t);
    }
    return film;
}
