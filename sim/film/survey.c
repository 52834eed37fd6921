/* The film seen from outside: put, read, asked for its volumes and speeds; and its right-hand side for reference
   integrations. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "film/state.h"

void rn_film_set(rn_film *film, const double *depth)
{
    const rn_grid *grid = &film->grid;
    memset(film->h, 0, (size_t)film->cells * sizeof *film->h);
    for (int j = 0; j < grid->ny; j++)
        for (int i = film->row_full[j].from; i < film->row_full[j].to; i++)
            film->h[RN_AT(film, i, j)] = depth[(long)j * grid->nx + i];
    rn_film_touch(film);
}

void rn_film_get(double *depth, const rn_film *film)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            depth[(long)j * grid->nx + i] = film->inside[(long)j * grid->nx + i] ? film->h[RN_AT(film, i, j)] : 0;
}

const double *rn_film_depth(const rn_film *film, long *stride)
{
    *stride = film->stride;
    return film->h + RN_AT(film, 0, 0);
}

const rn_grid *rn_film_grid(const rn_film *film)
{
    return &film->grid;
}

double rn_film_volume(const rn_film *film)
{
    double sum = 0;
    for (int j = film->j0; j < film->j1; j++)
        sum += film->kernels->sum(film->h + RN_AT(film, film->row[j].from, j), film->row[j].to - film->row[j].from);
    return sum * rn_cell_area(film);
}

void rn_film_run_off(double run_off[4], const rn_film *film)
{
    memcpy(run_off, film->run_off, sizeof film->run_off);
}

static double face_length(const rn_film *film, const rn_edge_face *face)
{
    return face->weight * (face->across_x ? film->grid.dy : film->grid.dx);
}

double rn_film_on_sides(const rn_film *film)
{
    double sum = 0;
    for (int f = 0; f < film->edges.count; f++)
        sum += film->edges.faces[f].side_volume * face_length(film, &film->edges.faces[f]);
    return sum;
}

double rn_film_side_wetted(const rn_film *film)
{
    double wetted = 0, whole = 0;
    for (int f = 0; f < film->edges.count; f++) {
        double length = face_length(film, &film->edges.faces[f]);
        wetted += film->edges.faces[f].side_wetted * length;
        whole += film->edges.side * length;
    }
    return whole > 0 ? wetted / whole : 0;
}

/* How far round the rim a face stands, 0..1. */
static double share_round(const rn_film *film, const rn_edge_face *face)
{
    if (film->options.round) {
        double turned = atan2(face->normal_y, face->normal_x) + 0.75 * RN_PI;
        return (turned < 0 ? turned + 2 * RN_PI : turned) / (2 * RN_PI);
    }
    const double width = film->grid.nx * film->grid.dx, height = film->grid.ny * film->grid.dy;
    const double along[4] = {face->x + 0.5 * width, width + face->y + 0.5 * height, 1.5 * width + height - face->x,
                             2 * width + 1.5 * height - face->y};
    return along[face->side] / (2 * (width + height));
}

void rn_film_passed(double *passed, int count, const rn_film *film)
{
    memset(passed, 0, (size_t)count * sizeof *passed);
    for (int f = 0; f < film->edges.count; f++) {
        int stretch = (int)(share_round(film, &film->edges.faces[f]) * count);
        passed[stretch < count ? stretch : count - 1] += film->edges.faces[f].passed;
    }
}

long rn_film_steps(const rn_film *film)
{
    return film->steps;
}

long rn_film_rejected(const rn_film *film)
{
    return film->rejected;
}

const bool *rn_film_inside(const rn_film *film)
{
    return film->inside;
}

double rn_film_front_hold(const rn_film *film)
{
    return film->front_hold;
}

double rn_film_edge_hold(const rn_film *film)
{
    return film->edges.hold;
}

static int ascending(const void *a, const void *b)
{
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

/* The face of a Newtonian film moves at 1.5 q/h; a plug or shear thinning only lowers the factor. */
rn_status rn_film_speed(double *speed, const rn_film *film, double depth, rn_error *err)
{
    float *speeds = malloc((size_t)film->inside_count * sizeof *speeds);
    if (!speeds)
        return rn_fail(err, RN_E_MEMORY, "no memory for the film's speeds");
    long count = 0;
    for (int j = film->j0; j < film->j1; j++)
        for (int i = film->row[j].from; i < film->row[j].to; i++) {
            const size_t at = RN_AT(film, i, j);
            if (film->h[at] <= depth)
                continue;
            double qx = 0.5 * (film->qx[at] + film->qx[at + 1]);
            double qy = 0.5 * (film->qy[at] + film->qy[at + (size_t)film->stride]);
            speeds[count++] = (float)(1.5 * hypot(qx, qy) / film->h[at]);
        }
    qsort(speeds, (size_t)count, sizeof *speeds, ascending);
    *speed = count > 0 ? (double)speeds[(long)(0.99 * (double)(count - 1))] : 0;
    free(speeds);
    return RN_OK;
}

/* For reference integrations. */

void rn_film_prepare(rn_film *film, const double *depth, const rn_film_input *input)
{
    film->input = *input;
    rn_film_set(film, depth);
    rn_film_widen(film, 0, film->grid.nx, 0, film->grid.ny);
    rn_film_mirror_rows(film, film->h);
    rn_film_pass_rates(film, film->h1, film->h);
}

void rn_film_rates(double *dhdt, double run_off[4], rn_film *film, const double *depth, const rn_film_input *input,
                   const double *source_rates)
{
    double none[RN_SOURCES_MOST] = {0};
    rn_film_sources_on(film, source_rates ? source_rates : none);
    rn_film_prepare(film, depth, input);
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        for (int i = 0; i < grid->nx; i++)
            dhdt[(long)j * grid->nx + i] = film->inside[(long)j * grid->nx + i] ? film->h1[RN_AT(film, i, j)] : 0;
    memset(run_off, 0, 4 * sizeof *run_off);
    for (int f = 0; f < film->edges.count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        double q = face->sign * *rn_edge_flux_at(film, face);
        run_off[face->side] += q * (face->across_x ? grid->dy : grid->dx);
    }
}

void rn_film_solve(double *z, rn_film *film, const double *r, double tau)
{
    const rn_grid *grid = &film->grid;
    for (int j = 0; j < grid->ny; j++)
        memcpy(film->w + RN_AT(film, 0, j), r + (long)j * grid->nx, (size_t)grid->nx * sizeof *r);
    rn_film_pass_solve(film, film->w, tau);
    for (int j = 0; j < grid->ny; j++)
        memcpy(z + (long)j * grid->nx, film->w + RN_AT(film, 0, j), (size_t)grid->nx * sizeof *z);
}

void rn_film_settle_edges(rn_film *film, const double *depth)
{
    rn_film_set(film, depth);
    for (int f = 0; f < film->edges.count; f++) {
        rn_edge_face *face = &film->edges.faces[f];
        rn_edge_settle(face, &film->edges, rn_rim_depth(film, film->h, face));
    }
}
