#include "film/block.h"

#include <math.h>
#include <string.h>

static inline int lesser_of(int a, int b)
{
    return a < b ? a : b;
}

static inline int greater_of(int a, int b)
{
    return a > b ? a : b;
}

static rn_span common(rn_span a, rn_span b)
{
    rn_span both = {greater_of(a.from, b.from), lesser_of(a.to, b.to)};
    return both.to > both.from ? both : (rn_span){0, 0};
}

static bool within(rn_span part, rn_span whole)
{
    return part.from >= whole.from && part.to <= whole.to;
}

static bool same_or_none(rn_span part, rn_span whole)
{
    return part.to <= part.from || (part.from == whole.from && part.to == whole.to);
}

/* Cuts a span where the two others begin and end. */
static int cut_span(rn_span parts[5], rn_span whole, rn_span a, rn_span b)
{
    if (same_or_none(a, whole) && same_or_none(b, whole)) { /* nearly always */
        parts[0] = whole;
        return 1;
    }
    int cuts[6] = {whole.from, whole.to, a.from, a.to, b.from, b.to}, count = 0;
    for (int m = 1; m < 6; m++) /* insertion sort */
        for (int n = m; n > 0 && cuts[n] < cuts[n - 1]; n--) {
            int swap = cuts[n];
            cuts[n] = cuts[n - 1];
            cuts[n - 1] = swap;
        }
    for (int c = 0; c < 5; c++) {
        rn_span part = common(whole, (rn_span){cuts[c], cuts[c + 1]});
        if (part.to > part.from)
            parts[count++] = part;
    }
    return count;
}

/* A run of y-faces between rows j-1 and j that see the same rows beyond: those that are not the panel's are replaced
   by the nearer row (a mirror). */
typedef struct y_run {
    rn_span span;
    int far_below, far_above; /* rows to read as far neighbours: j-2 or j-1; j+1 or j */
} y_run;

static int y_runs(y_run runs[5], const rn_film *film, int j)
{
    rn_span faces = common(rn_film_row(film, j - 1), rn_film_row(film, j));
    if (faces.to <= faces.from)
        return 0;
    rn_span below = common(faces, rn_film_row(film, j - 2)), above = common(faces, rn_film_row(film, j + 1));
    int count = 0;
    rn_span parts[5];
    int part_count = cut_span(parts, faces, below, above);
    for (int c = 0; c < part_count; c++)
        runs[count++] = (y_run){parts[c], within(parts[c], below) ? j - 2 : j - 1, within(parts[c], above) ? j + 1 : j};
    return count;
}

/* Pressure of row j into p (a padded row). Walls mirror the film. At any other rim its face goes on straight, so that
   tension adds nothing across it: the meniscus that hangs there is the edge's, which has counted it in what it holds. */
static void row_pressure(const rn_film *film, double *p, const double *h, int j)
{
    rn_span row = rn_film_row(film, j);
    if (row.to <= row.from)
        return;
    const double tension = film->options.tension;
    const double a = film->options.density * film->input.gravity_normal;
    const double bx = tension * film->rule_x.per_d * film->rule_x.per_d;
    const double by = tension * film->rule_y.per_d * film->rule_y.per_d;
    /* Where a neighbour row is not the panel's there, the row mirrors itself. */
    rn_span below = common(row, rn_film_row(film, j - 1)), above = common(row, rn_film_row(film, j + 1));
    const double *own = h + RN_AT(film, 0, j);
    rn_span parts[5];
    int count = cut_span(parts, row, below, above);
    for (int c = 0; c < count; c++) {
        int i = parts[c].from, n = parts[c].to - i;
        const double *down = within(parts[c], below) ? own - film->stride : own;
        const double *up = within(parts[c], above) ? own + film->stride : own;
        const bool ends = film->straight_rim && (down == own || up == own);
        film->kernels->pressure(p + i, own + i, down + i, up + i, a, bx, ends ? 0 : by, n);
    }
    if (!film->straight_rim || row.to - row.from < 2)
        return;
    if (row.from == film->row_full[j].from) /* not where only the window ends: there it is dry */
        p[row.from] += bx * (own[row.from + 1] - own[row.from]);
    if (row.to == film->row_full[j].to)
        p[row.to - 1] += bx * (own[row.to - 2] - own[row.to - 1]);
}

/* Body force across x-faces of row j: at face 0 and per face. */
static void force_along_row(const rn_film *film, int j, double *first, double *step)
{
    const rn_film_input *in = &film->input;
    double turn = in->rate * in->rate, y = rn_grid_y(&film->grid, j), x = rn_grid_x(&film->grid, 0);
    *first = film->options.density * (in->gravity_x + in->acceleration * y + turn * (x - 0.5 * film->grid.dx));
    *step = film->options.density * turn * film->grid.dx;
}

/* Body force across the y-faces below row j: at column 0 and per column. */
static void force_across_row(const rn_film *film, int j, double *first, double *step)
{
    const rn_film_input *in = &film->input;
    double turn = in->rate * in->rate, x = rn_grid_x(&film->grid, 0);
    double y = rn_grid_y(&film->grid, j) - 0.5 * film->grid.dy;
    *first = film->options.density * (in->gravity_y + turn * y - in->acceleration * x);
    *step = -film->options.density * in->acceleration * film->grid.dx;
}

static double *scratch_row(const rn_block *block, double *rows, int j)
{
    return rows + (long)(j - block->rows.from + 1) * block->film->stride + RN_PAD;
}

/* Where a block's fluxes go: at stage one straight to where they are kept, but for the face row above the block, which
   is another's to keep. */
static double *x_fluxes(const rn_block *block, int j)
{
    return block->linearise ? block->film->qx + RN_AT(block->film, 0, j)
                            : rn_block_row(block, block->scratch->flux_x, j);
}

static bool keeps_face_row(const rn_block *block, int j)
{
    return j < block->rows.to || j == block->film->j1;
}

static double *y_fluxes(const rn_block *block, int j)
{
    return block->linearise && keeps_face_row(block, j) ? block->film->qy + RN_AT(block->film, 0, j)
                                                        : rn_block_row(block, block->scratch->flux_y, j);
}

/* Row j of one of the three slopes (0 mobility, 1 left, 2 right) of the block's x-faces. */
static rn_slope *x_slopes(const rn_block *block, int which, int j)
{
    return block->scratch->slopes + (long)(which * RN_LANES + j - block->rows.from) * block->film->stride + RN_PAD;
}

/* Faces that no span writes are closed. On a rectangle those are the first and the last of a row; a disc's rows differ. */
static void close_faces(const rn_film *film, double *q, rn_span written)
{
    if (film->options.round || written.to <= written.from) {
        memset(q + film->i0, 0, (size_t)(film->i1 - film->i0 + 1) * sizeof *q);
        return;
    }
    for (int i = film->i0; i < written.from; i++)
        q[i] = 0;
    for (int i = written.to; i <= film->i1; i++)
        q[i] = 0;
}

static void drives(const rn_block *block)
{
    const rn_film *film = block->film;
    const rn_film_scratch *scratch = block->scratch;
    double first, step;
    for (int j = block->rows.from - 1; j <= block->rows.to; j++) {
        rn_span row = rn_film_row(film, j);
        double *drive = scratch_row(block, scratch->drive_x, j);
        memset(drive - RN_PAD, 0, (size_t)film->stride * sizeof *drive);
        if (row.to - row.from < 2)
            continue;
        int i = row.from + 1;
        const double *h = block->h + RN_AT(film, i, j), *p = scratch_row(block, scratch->pressure, j) + i;
        force_along_row(film, j, &first, &step);
        film->kernels->drive(drive + i, &film->rule_x, &(rn_face_cells){.left = h - 1, .right = h}, p - 1, p,
                             first + step * i, step, row.to - i);
    }
    for (int j = block->rows.from; j <= block->rows.to; j++) {
        double *drive = scratch_row(block, scratch->drive_y, j);
        memset(drive - RN_PAD, 0, (size_t)film->stride * sizeof *drive);
        rn_span faces = common(rn_film_row(film, j - 1), rn_film_row(film, j));
        if (faces.to <= faces.from)
            continue;
        int i = faces.from;
        const double *h = block->h + RN_AT(film, i, j);
        force_across_row(film, j, &first, &step);
        film->kernels->drive(drive + i, &film->rule_y, &(rn_face_cells){.left = h - film->stride, .right = h},
                             scratch_row(block, scratch->pressure, j - 1) + i,
                             scratch_row(block, scratch->pressure, j) + i, first + step * i, step, faces.to - i);
    }
}

static void clear_slopes(const rn_block *block, int j)
{
    const rn_film *film = block->film;
    for (int which = 0; which < 3; which++)
        memset(x_slopes(block, which, j) + film->i0, 0, (size_t)(film->i1 - film->i0 + 4) * sizeof(rn_slope));
}

/* Faces beside one another, their cells in line across them, and what drives each law's kernel. */
typedef struct face_line {
    const rn_face_rule *rule;
    size_t far_left, left, right, far_right;   /* places of the cells across the first face */
    const double *p_left, *p_right;            /* of the near two */
    double force, force_step;                  /* body force at the first face, and from face to face */
    const double *drive, *across_a, *across_b; /* where paint yields: own drives and transverse ones */
    double weight;                             /* of each transverse one */
    int n;
} face_line;

static rn_face_cells line_cells(const face_line *line, const double *of)
{
    return (rn_face_cells){of + line->far_left, of + line->left, of + line->right, of + line->far_right};
}

static void line_fluxes(const rn_film *film, const rn_face_flux *out, const face_line *line, const double *depth)
{
    const rn_film_columns *columns = &film->columns;
    const rn_face_cells h = line_cells(line, depth);
    if (film->newtonian && !columns->on) {
        film->kernels->flux(out, line->rule, &h, line->p_left, line->p_right, line->force, line->force_step, line->n);
    } else if (film->newtonian) {
        const rn_face_cells fluidity = line_cells(line, columns->fluidity);
        film->kernels->flux_local(out, line->rule, &h, &fluidity, line->p_left, line->p_right, line->force,
                                  line->force_step, line->n);
    } else if (!columns->on) {
        film->kernels->flux_yield(out, line->rule, &h, line->drive, line->across_a, line->across_b, line->weight,
                                  line->n);
    } else {
        const rn_face_columns beside = {columns->law_of + line->left,
                                        columns->law_of + line->right,
                                        columns->foot + line->left,
                                        columns->foot + line->right,
                                        film->cells,
                                        columns->levels,
                                        &columns->table,
                                        columns->fluidity + line->left,
                                        columns->fluidity + line->right};
        film->kernels->flux_columns(out, line->rule, &h, &beside, line->drive, line->across_a, line->across_b,
                                    line->weight, line->n);
    }
}

static void row_fluxes(const rn_block *block, int j)
{
    const rn_film *film = block->film;
    const rn_film_scratch *scratch = block->scratch;
    rn_span row = rn_film_row(film, j);
    double *q = x_fluxes(block, j);
    close_faces(film, q, (rn_span){row.from + 1, row.to});
    if (block->linearise)
        clear_slopes(block, j);
    if (row.to - row.from < 2)
        return;
    const int i = row.from + 1;
    const size_t at = RN_AT(film, i, j);
    const double *p = scratch_row(block, scratch->pressure, j) + i;
    const bool rim = j == 0 || j == film->grid.ny - 1; /* half of the transverse faces are closed */
    rn_face_flux out = {.q = q + i};
    if (block->linearise)
        out = (rn_face_flux){q + i, x_slopes(block, 0, j) + i, x_slopes(block, 1, j) + i, x_slopes(block, 2, j) + i};
    face_line line = {
        .rule = &film->rule_x,
        .far_left = at - 2,
        .left = at - 1,
        .right = at,
        .far_right = at + 1,
        .p_left = p - 1,
        .p_right = p,
        .drive = scratch_row(block, scratch->drive_x, j) + i,
        .across_a = scratch_row(block, scratch->drive_y, j) + i - 1,
        .across_b = scratch_row(block, scratch->drive_y, j + 1) + i - 1,
        .weight = rim ? 0.5 : 0.25,
        .n = row.to - i,
    };
    force_along_row(film, j, &line.force, &line.force_step);
    line.force += line.force_step * i;
    line_fluxes(film, &out, &line, block->h);
}

/* y-faces below row j. The one beyond the block's last row is another block's: only its q is wanted here. */
static void face_row_fluxes(const rn_block *block, int j)
{
    const rn_film *film = block->film;
    const rn_film_scratch *scratch = block->scratch;
    double *q = y_fluxes(block, j), force, force_step;
    close_faces(film, q, common(rn_film_row(film, j - 1), rn_film_row(film, j)));
    force_across_row(film, j, &force, &force_step);
    y_run runs[5];
    int count = y_runs(runs, film, j);
    for (int k = 0; k < count; k++) {
        const int i = runs[k].span.from;
        const size_t at = RN_AT(film, i, j);
        rn_face_flux out = {.q = q + i};
        if (block->linearise && keeps_face_row(block, j))
            out = (rn_face_flux){q + i, film->my + at, film->ly + at, film->ry + at};
        const face_line line = {
            .rule = &film->rule_y,
            .far_left = RN_AT(film, i, runs[k].far_below),
            .left = at - (size_t)film->stride,
            .right = at,
            .far_right = RN_AT(film, i, runs[k].far_above),
            .p_left = scratch_row(block, scratch->pressure, j - 1) + i,
            .p_right = scratch_row(block, scratch->pressure, j) + i,
            .force = force + force_step * i,
            .force_step = force_step,
            .drive = scratch_row(block, scratch->drive_y, j) + i,
            .across_a = scratch_row(block, scratch->drive_x, j - 1) + i,
            .across_b = scratch_row(block, scratch->drive_x, j) + i,
            .weight = 0.25,
            .n = runs[k].span.to - i,
        };
        line_fluxes(film, &out, &line, block->h);
    }
}

/* The rim's faces that a block works out: those of its own cells, and those above the row below it, which lie in its
   first row of y-faces. */
static rn_span block_edges(const rn_block *block)
{
    const int *row_first = block->film->edges.row_first;
    return (rn_span){row_first[greater_of(block->rows.from - 1, 0)], row_first[block->rows.to]};
}

/* Where a rim's face stands among the faces; false if it is not the block's. */
static bool edge_place(const rn_block *block, const rn_edge_face *face, int *i, int *j)
{
    *i = face->i + (face->across_x && face->sign > 0);
    *j = face->j + (!face->across_x && face->sign > 0);
    return *j >= block->rows.from;
}

double rn_rim_depth(const rn_film *film, const double *a, const rn_edge_face *face)
{
    const size_t at = RN_AT(film, face->i, face->j);
    const long in_x = face->normal_x > 0 ? -1 : 1, in_y = face->normal_y > 0 ? -film->stride : film->stride;
    const double h = a[at];
    double slope = 0;
    if (face->normal_x != 0)
        slope += fabs(face->normal_x) * (h - a[(size_t)((long)at + in_x)]) * film->rule_x.per_d;
    if (face->normal_y != 0)
        slope += fabs(face->normal_y) * (h - a[(size_t)((long)at + in_y)]) * film->rule_y.per_d;
    return h + fmin(fmax(face->inset * slope, -0.5 * h), 0.5 * h);
}

static void edge_fluxes(const rn_block *block)
{
    const rn_film *film = block->film;
    rn_span faces = block_edges(block);
    for (int f = faces.from; f < faces.to; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        int i, j;
        if (!edge_place(block, face, &i, &j))
            continue;
        double q, slope;
        const rn_column column = rn_film_column(film, face->i, face->j);
        rn_edge_flux(&q, &slope, &film->edges, face, &column, block->h[RN_AT(film, face->i, face->j)],
                     rn_rim_depth(film, block->h, face), &film->input);
        double *row = face->across_x ? x_fluxes(block, j) : y_fluxes(block, j);
        row[i] = face->sign * q;
        if (block->linearise && keeps_face_row(block, j)) {
            rn_slope *left = face->across_x ? x_slopes(block, 1, j) + i : film->ly + RN_AT(film, i, j);
            rn_slope *right = face->across_x ? x_slopes(block, 2, j) + i : film->ry + RN_AT(film, i, j);
            *left = (rn_slope)(face->sign > 0 ? slope : 0);
            *right = (rn_slope)(face->sign > 0 ? 0 : -slope);
        }
    }
}

void rn_block_keep_slopes(const rn_block *block)
{
    const rn_film *film = block->film;
    const size_t at = rn_x_faces(film, film->i0, block->rows.from);
    rn_slope *kept[3] = {film->mx + at, film->lx + at, film->rx + at};
    for (int j = block->rows.to; j < block->rows.from + RN_LANES; j++)
        clear_slopes(block, j);
    for (int which = 0; which < 3; which++)
        film->kernels->turn_slopes(kept[which], x_slopes(block, which, block->rows.from) + film->i0, film->stride,
                                   film->i1 - film->i0 + 1);
}

void rn_block_fluxes(const rn_block *block)
{
    const rn_film *film = block->film;
    for (int j = block->rows.from - 1; j <= block->rows.to; j++)
        row_pressure(film, scratch_row(block, block->scratch->pressure, j), block->h, j);
    if (!film->newtonian)
        drives(block);
    for (int j = block->rows.from; j < block->rows.to; j++)
        row_fluxes(block, j);
    for (int j = block->rows.from; j <= block->rows.to; j++)
        face_row_fluxes(block, j);
    edge_fluxes(block);
}

void rn_block_add_fluxes(const rn_block *block)
{
    const rn_film *film = block->film;
    int i = film->i0, n = film->i1 - film->i0 + 1;
    for (int j = block->rows.from; j < block->rows.to; j++)
        film->kernels->add(film->qx + RN_AT(film, i, j), x_fluxes(block, j) + i, n);
    for (int j = block->rows.from; j <= block->rows.to && keeps_face_row(block, j); j++)
        film->kernels->add(film->qy + RN_AT(film, i, j), y_fluxes(block, j) + i, n);
}

void rn_block_rates(const rn_block *block, double *out, const double *k)
{
    const rn_film *film = block->film;
    for (int j = block->rows.from; j < block->rows.to; j++) {
        rn_span row = rn_film_row(film, j);
        double *r = rn_block_row(block, out, j);
        if (row.from > film->i0 || row.to < film->i1)
            memset(r + film->i0, 0, (size_t)(film->i1 - film->i0) * sizeof *r);
        if (row.to <= row.from)
            continue;
        int i = row.from;
        film->kernels->divergence(r + i, x_fluxes(block, j) + i, y_fluxes(block, j) + i, y_fluxes(block, j + 1) + i,
                                  film->rule_x.per_d, film->rule_y.per_d, rn_film_source_row(film, j) + i,
                                  k ? k + RN_AT(film, i, j) : NULL, row.to - i);
    }
    for (int j = block->rows.to; j < block->rows.from + RN_LANES; j++) /* the sweep takes whole blocks */
        memset(rn_block_row(block, out, j) + film->i0, 0, (size_t)(film->i1 - film->i0) * sizeof *out);
}
