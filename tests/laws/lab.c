#include "lab.h"

#include <string.h>

rn_film_options lab_options(double width, int nx, int ny)
{
    rn_film_options options = rn_film_defaults();
    options.grid = (rn_grid){nx, ny, width / nx, width / nx};
    options.round = false;
    options.law = (rn_law){LAB_VISCOSITY, 1.0, 0.0};
    options.density = LAB_DENSITY;
    options.tension = 0.0;
    options.advance = 0.0;
    options.edges = RN_EDGE_WALLS;
    options.threads = 1;
    return options;
}

laboratory lab_new(const rn_film_options *options)
{
    laboratory lab = {.options = *options};
    rn_error err = {0};
    check_ok(rn_film_new(&lab.film, options, &err), &err);
    lab.input.gravity_normal = RN_GRAVITY;
    lab.depth = calloc((size_t)options->grid.nx * (size_t)options->grid.ny, sizeof *lab.depth);
    assert_non_null(lab.depth);
    return lab;
}

void lab_free(laboratory *lab)
{
    rn_film_free(lab->film);
    free(lab->depth);
    memset(lab, 0, sizeof *lab);
}

static double cell_mean(const rn_grid *grid, int i, int j, lab_profile *profile, const void *context, int samples)
{
    double sum = 0.0;
    for (int b = 0; b < samples; b++)
        for (int a = 0; a < samples; a++)
            sum += profile(context, rn_grid_x(grid, i) + ((a + 0.5) / samples - 0.5) * grid->dx,
                           rn_grid_y(grid, j) + ((b + 0.5) / samples - 0.5) * grid->dy);
    return sum / (samples * samples);
}

void lab_set(laboratory *lab, lab_profile *profile, const void *context, int samples)
{
    const rn_grid *grid = &lab->options.grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            lab->depth[j * grid->nx + i] = cell_mean(grid, i, j, profile, context, samples);
    rn_film_set(lab->film, lab->depth);
}

static double even(const void *context, double x, double y)
{
    (void)x;
    (void)y;
    return *(const double *)context;
}

void lab_set_even(laboratory *lab, double depth)
{
    lab_set(lab, even, &depth, 1);
}

static void steady(rn_film_input *input, double *volumes, void *context, double t0, double t1)
{
    const laboratory *lab = context;
    *input = lab->input;
    for (int k = 0; k < LAB_SOURCES && lab->rates[k] > 0.0; k++)
        volumes[k] = lab->rates[k] * (t1 - t0);
}

void lab_run(laboratory *lab, double until)
{
    rn_error err = {0};
    while (lab->time < until) {
        double taken = 0.0;
        check_ok(rn_film_step(&taken, lab->film, lab->time, until, steady, lab, &err), &err);
        assert_true(taken > 0.0);
        double next = lab->time + taken;
        lab->time = until - next < 1e-12 * until ? until : next;
    }
    lab_look(lab);
}

void lab_look(laboratory *lab)
{
    rn_film_get(lab->depth, lab->film);
}

double lab_misfit(const laboratory *lab, lab_profile *profile, const void *context, int samples, lab_profile *distance,
                  double from, double to)
{
    const rn_grid *grid = &lab->options.grid;
    double off = 0.0, sum = 0.0;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++) {
            double where = distance ? distance(NULL, rn_grid_x(grid, i), rn_grid_y(grid, j)) : 0.0;
            if (distance && (where < from || where >= to))
                continue;
            double exact = cell_mean(grid, i, j, profile, context, samples);
            off += fabs(lab->depth[j * grid->nx + i] - exact);
            sum += fabs(exact);
        }
    return off / sum;
}

static double clamp(double value, double least, double most)
{
    return fmin(fmax(value, least), most);
}

double lab_depth(const laboratory *lab, double x, double y)
{
    const rn_grid *grid = &lab->options.grid;
    double u = clamp(x / grid->dx + 0.5 * grid->nx - 0.5, 0.0, grid->nx - 1.0);
    double v = clamp(y / grid->dy + 0.5 * grid->ny - 0.5, 0.0, grid->ny - 1.0);
    int i = (int)fmin(u, grid->nx - 2.0), j = (int)fmin(v, grid->ny - 2.0);
    const double *h = lab->depth + (long)j * grid->nx + i;
    u -= i;
    v -= j;
    return (1.0 - v) * ((1.0 - u) * h[0] + u * h[1]) + v * ((1.0 - u) * h[grid->nx] + u * h[grid->nx + 1]);
}

double lab_reach(const laboratory *lab, double x, double y, double bearing, double level)
{
    const rn_grid *grid = &lab->options.grid;
    double step = grid->dx / 64.0, longest = hypot(grid->nx * grid->dx, grid->ny * grid->dy);
    double reach = 0.0;
    for (double r = 0.0; r < longest; r += step) {
        double px = x + r * cos(bearing), py = y + r * sin(bearing);
        if (fabs(px) > 0.5 * grid->nx * grid->dx || fabs(py) > 0.5 * grid->ny * grid->dy)
            break;
        if (lab_depth(lab, px, py) >= level)
            reach = r + 0.5 * step;
    }
    return reach;
}

int lab_grids(const int *wanted, int count)
{
    int most = check_grid(wanted[count - 1]), usable = 1;
    while (usable < count && wanted[usable] <= most)
        usable++;
    return usable;
}

double lab_order(const int *cells, const double *errors, int count)
{
    double n = count, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    for (int k = 0; k < count; k++) {
        double x = log((double)cells[k]), y = log(errors[k]);
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
    }
    return -(n * sxy - sx * sy) / (n * sxx - sx * sx);
}
