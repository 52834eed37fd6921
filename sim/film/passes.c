/* The film's work on blocks of RN_LANES rows and strips of RN_LANES columns. Who works on which does not matter: a
   block reads what the pass before has left and writes only what is its own. */
#include <string.h>

#include "base/physical.h"
#include "film/state.h"

typedef struct pass {
    rn_film *film;
    const double *from;
    double *to;
} pass;

static inline int lesser_of(int a, int b)
{
    return a < b ? a : b;
}

static inline int greater_of(int a, int b)
{
    return a > b ? a : b;
}

static int block_count(const rn_film *film)
{
    return (film->j1 - film->j0 + RN_LANES - 1) / RN_LANES;
}

static int strip_count(const rn_film *film)
{
    return (film->i1 - film->i0 + RN_LANES - 1) / RN_LANES;
}

static rn_span block_rows(const rn_film *film, int block)
{
    int from = film->j0 + block * RN_LANES;
    return (rn_span){from, lesser_of(from + RN_LANES, film->j1)};
}

static rn_span row_of(const rn_film *film, int j)
{
    return j >= film->j0 && j < film->j1 ? film->row[j] : (rn_span){0, 0};
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
    rn_span faces = common(row_of(film, j - 1), row_of(film, j));
    if (faces.to <= faces.from)
        return 0;
    rn_span below = common(faces, row_of(film, j - 2)), above = common(faces, row_of(film, j + 1));
    int count = 0;
    rn_span parts[5];
    int part_count = cut_span(parts, faces, below, above);
    for (int c = 0; c < part_count; c++)
        runs[count++] = (y_run){parts[c], within(parts[c], below) ? j - 2 : j - 1, within(parts[c], above) ? j + 1 : j};
    return count;
}

/* Pressure of row j into p (a padded row). */
static void row_pressure(const rn_film *film, double *p, const double *h, int j)
{
    rn_span row = row_of(film, j);
    if (row.to <= row.from)
        return;
    const double tension = film->options.tension;
    const double a = film->options.density * film->input.gravity_normal;
    const double bx = tension * film->rule_x.per_d * film->rule_x.per_d;
    const double by = tension * film->rule_y.per_d * film->rule_y.per_d;
    /* Where a neighbour row is not the panel's there, the row mirrors itself. */
    rn_span below = common(row, row_of(film, j - 1)), above = common(row, row_of(film, j + 1));
    const double *own = h + RN_AT(film, 0, j);
    rn_span parts[5];
    int count = cut_span(parts, row, below, above);
    for (int c = 0; c < count; c++) {
        int i = parts[c].from, n = parts[c].to - i;
        const double *down = within(parts[c], below) ? own - film->stride : own;
        const double *up = within(parts[c], above) ? own + film->stride : own;
        film->kernels->pressure(p + i, own + i, down + i, up + i, a, bx, by, n);
    }
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

/* The rows that the block's fluxes need, in one member's scratch. Row j of pressure and drives is at index
   j - (first - 1), row j of fluxes at j - first. */
typedef struct block_view {
    const rn_film *film;
    const rn_film_scratch *scratch;
    const double *h;
    rn_span rows;
    bool linearise; /* write the Jacobian, and the fluxes themselves where they are kept */
} block_view;

static double *scratch_row(const block_view *view, double *rows, int j)
{
    return rows + (long)(j - view->rows.from + 1) * view->film->stride + RN_PAD;
}

static double *flux_row(const block_view *view, double *rows, int j)
{
    return rows + (long)(j - view->rows.from) * view->film->stride + RN_PAD;
}

/* Where a block's fluxes go: at stage one straight to where they are kept, but for the face row above the block, which
   is another's to keep. */
static double *x_fluxes(const block_view *view, int j)
{
    return view->linearise ? view->film->qx + RN_AT(view->film, 0, j) : flux_row(view, view->scratch->flux_x, j);
}

static bool keeps_face_row(const block_view *view, int j)
{
    return j < view->rows.to || j == view->film->j1;
}

static double *y_fluxes(const block_view *view, int j)
{
    return view->linearise && keeps_face_row(view, j) ? view->film->qy + RN_AT(view->film, 0, j)
                                                      : flux_row(view, view->scratch->flux_y, j);
}

/* Row j of one of the three slopes (0 mobility, 1 left, 2 right) of the block's x-faces. */
static rn_slope *x_slopes(const block_view *view, int which, int j)
{
    return view->scratch->slopes + (long)(which * RN_LANES + j - view->rows.from) * view->film->stride + RN_PAD;
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

static void drives(const block_view *view)
{
    const rn_film *film = view->film;
    const rn_film_scratch *scratch = view->scratch;
    double first, step;
    for (int j = view->rows.from - 1; j <= view->rows.to; j++) {
        rn_span row = row_of(film, j);
        double *drive = scratch_row(view, scratch->drive_x, j);
        memset(drive - RN_PAD, 0, (size_t)film->stride * sizeof *drive);
        if (row.to - row.from < 2)
            continue;
        int i = row.from + 1;
        const double *h = view->h + RN_AT(film, i, j), *p = scratch_row(view, scratch->pressure, j) + i;
        force_along_row(film, j, &first, &step);
        film->kernels->drive(drive + i, &film->rule_x, &(rn_face_cells){.left = h - 1, .right = h}, p - 1, p,
                             first + step * i, step, row.to - i);
    }
    for (int j = view->rows.from; j <= view->rows.to; j++) {
        double *drive = scratch_row(view, scratch->drive_y, j);
        memset(drive - RN_PAD, 0, (size_t)film->stride * sizeof *drive);
        rn_span faces = common(row_of(film, j - 1), row_of(film, j));
        if (faces.to <= faces.from)
            continue;
        int i = faces.from;
        const double *h = view->h + RN_AT(film, i, j);
        force_across_row(film, j, &first, &step);
        film->kernels->drive(drive + i, &film->rule_y, &(rn_face_cells){.left = h - film->stride, .right = h},
                             scratch_row(view, scratch->pressure, j - 1) + i,
                             scratch_row(view, scratch->pressure, j) + i, first + step * i, step, faces.to - i);
    }
}

static void clear_slopes(const block_view *view, int j)
{
    const rn_film *film = view->film;
    for (int which = 0; which < 3; which++)
        memset(x_slopes(view, which, j) + film->i0, 0, (size_t)(film->i1 - film->i0 + 4) * sizeof(rn_slope));
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
                                        film->cells,
                                        columns->levels,
                                        &columns->table,
                                        columns->fluidity + line->left,
                                        columns->fluidity + line->right};
        film->kernels->flux_columns(out, line->rule, &h, &beside, line->drive, line->across_a, line->across_b,
                                    line->weight, line->n);
    }
}

static void row_fluxes(const block_view *view, int j)
{
    const rn_film *film = view->film;
    const rn_film_scratch *scratch = view->scratch;
    rn_span row = row_of(film, j);
    double *q = x_fluxes(view, j);
    close_faces(film, q, (rn_span){row.from + 1, row.to});
    if (view->linearise)
        clear_slopes(view, j);
    if (row.to - row.from < 2)
        return;
    const int i = row.from + 1;
    const size_t at = RN_AT(film, i, j);
    const double *p = scratch_row(view, scratch->pressure, j) + i;
    const bool rim = j == 0 || j == film->grid.ny - 1; /* half of the transverse faces are closed */
    rn_face_flux out = {.q = q + i};
    if (view->linearise)
        out = (rn_face_flux){q + i, x_slopes(view, 0, j) + i, x_slopes(view, 1, j) + i, x_slopes(view, 2, j) + i};
    face_line line = {
        .rule = &film->rule_x,
        .far_left = at - 2,
        .left = at - 1,
        .right = at,
        .far_right = at + 1,
        .p_left = p - 1,
        .p_right = p,
        .drive = scratch_row(view, scratch->drive_x, j) + i,
        .across_a = scratch_row(view, scratch->drive_y, j) + i - 1,
        .across_b = scratch_row(view, scratch->drive_y, j + 1) + i - 1,
        .weight = rim ? 0.5 : 0.25,
        .n = row.to - i,
    };
    force_along_row(film, j, &line.force, &line.force_step);
    line.force += line.force_step * i;
    line_fluxes(film, &out, &line, view->h);
}

/* y-faces below row j. The one beyond the block's last row is another block's: only its q is wanted here. */
static void face_row_fluxes(const block_view *view, int j)
{
    const rn_film *film = view->film;
    const rn_film_scratch *scratch = view->scratch;
    double *q = y_fluxes(view, j), force, force_step;
    close_faces(film, q, common(row_of(film, j - 1), row_of(film, j)));
    force_across_row(film, j, &force, &force_step);
    y_run runs[5];
    int count = y_runs(runs, film, j);
    for (int k = 0; k < count; k++) {
        const int i = runs[k].span.from;
        const size_t at = RN_AT(film, i, j);
        rn_face_flux out = {.q = q + i};
        if (view->linearise && keeps_face_row(view, j))
            out = (rn_face_flux){q + i, film->my + at, film->ly + at, film->ry + at};
        const face_line line = {
            .rule = &film->rule_y,
            .far_left = RN_AT(film, i, runs[k].far_below),
            .left = at - (size_t)film->stride,
            .right = at,
            .far_right = RN_AT(film, i, runs[k].far_above),
            .p_left = scratch_row(view, scratch->pressure, j - 1) + i,
            .p_right = scratch_row(view, scratch->pressure, j) + i,
            .force = force + force_step * i,
            .force_step = force_step,
            .drive = scratch_row(view, scratch->drive_y, j) + i,
            .across_a = scratch_row(view, scratch->drive_x, j - 1) + i,
            .across_b = scratch_row(view, scratch->drive_x, j) + i,
            .weight = 0.25,
            .n = runs[k].span.to - i,
        };
        line_fluxes(film, &out, &line, view->h);
    }
}

/* The rim's faces that a block works out: those of its own cells, and those above the row below it, which lie in its
   first row of y-faces. */
static rn_span block_edges(const block_view *view)
{
    const int *row_first = view->film->edges.row_first;
    return (rn_span){row_first[greater_of(view->rows.from - 1, 0)], row_first[view->rows.to]};
}

/* Where a rim's face stands among the faces; false if it is not the block's. */
static bool edge_place(const block_view *view, const rn_edge_face *face, int *i, int *j)
{
    *i = face->i + (face->across_x && face->sign > 0);
    *j = face->j + (!face->across_x && face->sign > 0);
    return *j >= view->rows.from;
}

static void edge_fluxes(const block_view *view)
{
    const rn_film *film = view->film;
    rn_span faces = block_edges(view);
    for (int f = faces.from; f < faces.to; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        int i, j;
        if (!edge_place(view, face, &i, &j))
            continue;
        double q, slope;
        const rn_column column = rn_film_column(film, face->i, face->j);
        rn_edge_flux(&q, &slope, &film->edges, face, &column, view->h[RN_AT(film, face->i, face->j)], &film->input);
        double *row = face->across_x ? x_fluxes(view, j) : y_fluxes(view, j);
        row[i] = face->sign * q;
        if (view->linearise && keeps_face_row(view, j)) {
            rn_slope *left = face->across_x ? x_slopes(view, 1, j) + i : film->ly + RN_AT(film, i, j);
            rn_slope *right = face->across_x ? x_slopes(view, 2, j) + i : film->ry + RN_AT(film, i, j);
            *left = (rn_slope)(face->sign > 0 ? slope : 0);
            *right = (rn_slope)(face->sign > 0 ? 0 : -slope);
        }
    }
}

/* Turns the block's x-slopes into the columns that the sweep reads. */
static void keep_x_slopes(const block_view *view)
{
    const rn_film *film = view->film;
    const size_t at = rn_x_faces(film, film->i0, view->rows.from);
    rn_slope *kept[3] = {film->mx + at, film->lx + at, film->rx + at};
    for (int j = view->rows.to; j < view->rows.from + RN_LANES; j++)
        clear_slopes(view, j);
    for (int which = 0; which < 3; which++)
        film->kernels->turn_slopes(kept[which], x_slopes(view, which, view->rows.from) + film->i0, film->stride,
                                   film->i1 - film->i0 + 1);
}

/* q(h) on all faces of the block's rows, and the one face row above. */
static void block_fluxes(const block_view *view)
{
    const rn_film *film = view->film;
    for (int j = view->rows.from - 1; j <= view->rows.to; j++)
        row_pressure(film, scratch_row(view, view->scratch->pressure, j), view->h, j);
    if (!film->newtonian)
        drives(view);
    for (int j = view->rows.from; j < view->rows.to; j++)
        row_fluxes(view, j);
    for (int j = view->rows.from; j <= view->rows.to; j++)
        face_row_fluxes(view, j);
    edge_fluxes(view);
}

static const double *source_row(const rn_film *film, int j)
{
    return film->source_on ? film->source + RN_AT(film, 0, j) : film->zero_row + RN_PAD;
}

/* -div q + s (- 2 k) of the block's rows into out rows. */
static void block_rates(const block_view *view, double *out, const double *k)
{
    const rn_film *film = view->film;
    for (int j = view->rows.from; j < view->rows.to; j++) {
        rn_span row = row_of(film, j);
        double *r = flux_row(view, out, j);
        if (row.from > film->i0 || row.to < film->i1)
            memset(r + film->i0, 0, (size_t)(film->i1 - film->i0) * sizeof *r);
        if (row.to <= row.from)
            continue;
        int i = row.from;
        film->kernels->divergence(r + i, x_fluxes(view, j) + i, y_fluxes(view, j) + i, y_fluxes(view, j + 1) + i,
                                  film->rule_x.per_d, film->rule_y.per_d, source_row(film, j) + i,
                                  k ? k + RN_AT(film, i, j) : NULL, row.to - i);
    }
    for (int j = view->rows.to; j < view->rows.from + RN_LANES; j++) /* the sweep takes whole blocks */
        memset(flux_row(view, out, j) + film->i0, 0, (size_t)(film->i1 - film->i0) * sizeof *out);
}

static rn_sweep sweep_of(const rn_film *film, bool along_x, double tau)
{
    double per_d = along_x ? film->rule_x.per_d : film->rule_y.per_d;
    return (rn_sweep){
        .tau = tau,
        .tau_per_d = tau * per_d,
        .gravity = film->options.density * film->input.gravity_normal * per_d,
        .capillary = film->options.tension * per_d * per_d * per_d,
        .length = along_x ? film->i1 - film->i0 : film->j1 - film->j0,
    };
}

/* Lanes of a disc end at different places; from and to count from the window's first cell. */
static void lane_ends(rn_sweep *sweep, int from[RN_LANES], int to[RN_LANES], const rn_span *spans, int origin)
{
    for (int l = 0; l < RN_LANES; l++) {
        from[l] = spans[l].from - origin;
        to[l] = spans[l].to - origin;
    }
    sweep->from = from;
    sweep->to = to;
}

/* Sweeps a block's rows: out = v, q = factor (q + tau lin(v)). */
static void sweep_block(const rn_film *film, const rn_film_scratch *scratch, double *out, double *q, double factor,
                        const double *rate, int row)
{
    rn_sweep sweep = sweep_of(film, true, film->tau);
    int from[RN_LANES], to[RN_LANES];
    if (film->options.round)
        lane_ends(&sweep, from, to, film->row + row, film->i0);
    const size_t at = RN_AT(film, film->i0, row), faces = rn_x_faces(film, film->i0, row);
    rn_jacobian jacobian = {film->mx + faces, film->lx + faces, film->rx + faces, RN_LANES};
    film->kernels->sweep_along(out + at, q ? q + at : NULL, factor, &sweep, &jacobian, rate, film->stride,
                               scratch->work);
}

/* A strip of columns: its sweep, where it begins, and its part of the Jacobian. */
typedef struct strip_view {
    rn_sweep sweep;
    int column, from[RN_LANES], to[RN_LANES];
    size_t at;
    rn_jacobian jacobian;
} strip_view;

static void view_strip(strip_view *view, const rn_film *film, int strip)
{
    view->column = film->i0 + strip * RN_LANES;
    view->at = RN_AT(film, view->column, film->j0);
    view->sweep = sweep_of(film, false, film->tau);
    view->jacobian = (rn_jacobian){film->my + view->at, film->ly + view->at, film->ry + view->at, film->stride};
    if (film->options.round)
        lane_ends(&view->sweep, view->from, view->to, film->column + view->column, film->j0);
}

/* Adds the block's own fluxes of stage two to those kept. */
static void add_fluxes(const block_view *view)
{
    const rn_film *film = view->film;
    int i = film->i0, n = film->i1 - film->i0 + 1;
    for (int j = view->rows.from; j < view->rows.to; j++)
        film->kernels->add(film->qx + RN_AT(film, i, j), x_fluxes(view, j) + i, n);
    for (int j = view->rows.from; j <= view->rows.to && keeps_face_row(view, j); j++)
        film->kernels->add(film->qy + RN_AT(film, i, j), y_fluxes(view, j) + i, n);
}

static block_view view_of(const rn_film *film, const double *h, int block, int member, bool linearise)
{
    return (block_view){film, &film->scratch[member], h, block_rows(film, block), linearise};
}

static double *rate_lines(const block_view *view)
{
    return view->scratch->rate + RN_PAD + view->film->i0;
}

static void first_block(void *context, int block, int member)
{
    rn_film *film = context;
    block_view view = view_of(film, film->h, block, member, true);
    block_fluxes(&view);
    keep_x_slopes(&view);
    block_rates(&view, view.scratch->rate, NULL);
    sweep_block(film, view.scratch, film->w, film->qx, 1.0, rate_lines(&view), view.rows.from);
}

void rn_film_pass_first(rn_film *film)
{
    rn_team_share(film->team, block_count(film), first_block, film);
}

static void predict_strip(void *context, int strip, int member)
{
    rn_film *film = context;
    strip_view view;
    view_strip(&view, film, strip);
    film->kernels->sweep_and_predict(film->k + view.at, film->h1 + view.at, film->qy + view.at, film->h + view.at,
                                     film->dt, &view.sweep, &view.jacobian, film->w + view.at, film->stride,
                                     film->scratch[member].work);
}

void rn_film_pass_predict(rn_film *film)
{
    rn_team_share(film->team, strip_count(film), predict_strip, film);
    rn_film_mirror_rows(film, film->h1);
}

static void second_block(void *context, int block, int member)
{
    rn_film *film = context;
    block_view view = view_of(film, film->h1, block, member, false);
    block_fluxes(&view);
    add_fluxes(&view);
    block_rates(&view, view.scratch->rate, film->k);
    sweep_block(film, view.scratch, film->w, film->qx, 0.5, rate_lines(&view), view.rows.from);
}

void rn_film_pass_second(rn_film *film)
{
    rn_team_share(film->team, block_count(film), second_block, film);
}

static void judge_strip(void *context, int strip, int member)
{
    rn_film *film = context;
    strip_view view;
    view_strip(&view, film, strip);
    double sums[RN_LANES], sum = 0;
    film->kernels->sweep_and_judge(film->qy + view.at, sums, film->k + view.at, film->h + view.at, &view.sweep,
                                   &view.jacobian, film->w + view.at, film->stride, film->scratch[member].work);
    int lanes = lesser_of(RN_LANES, film->i1 - view.column);
    for (int l = 0; l < lanes; l++)
        sum += sums[l];
    film->strip_error[strip] = sum;
}

double rn_film_pass_judge(rn_film *film)
{
    rn_team_share(film->team, strip_count(film), judge_strip, film);
    double sum = 0;
    for (int strip = 0; strip < strip_count(film); strip++)
        sum += film->strip_error[strip];
    return sum;
}

/* What has gone over an edge does not come back. */
static void hold_edges(rn_film *film)
{
    for (int f = 0; f < film->edges.count; f++) {
        const rn_edge_face *face = &film->edges.faces[f];
        double *q = rn_edge_flux_at(film, face);
        if (face->sign * *q < 0)
            *q = 0;
    }
}

static void advance_block(void *context, int block, int member)
{
    rn_film *film = context;
    (void)member;
    rn_span rows = block_rows(film, block);
    int negative = 0;
    for (int j = rows.from; j < rows.to; j++) {
        rn_span row = row_of(film, j);
        if (row.to <= row.from)
            continue;
        const size_t at = RN_AT(film, row.from, j);
        negative += film->kernels->advance(film->h1 + at, film->h + at, film->qx + at, film->qy + at,
                                           film->qy + at + film->stride, film->dt * film->rule_x.per_d,
                                           film->dt * film->rule_y.per_d, source_row(film, j) + row.from, film->dt,
                                           row.to - row.from);
    }
    film->block_negative[block] = negative;
}

long rn_film_pass_advance(rn_film *film)
{
    hold_edges(film);
    rn_team_share(film->team, block_count(film), advance_block, film);
    long negative = 0;
    for (int block = 0; block < block_count(film); block++)
        negative += film->block_negative[block];
    return negative;
}

static void rates_block(void *context, int block, int member)
{
    pass *p = context;
    rn_film *film = p->film;
    block_view view = view_of(film, p->from, block, member, true);
    block_fluxes(&view);
    keep_x_slopes(&view);
    block_rates(&view, view.scratch->rate, NULL);
    for (int j = view.rows.from; j < view.rows.to; j++)
        memcpy(p->to + RN_AT(film, film->i0, j), flux_row(&view, view.scratch->rate, j) + film->i0,
               (size_t)(film->i1 - film->i0) * sizeof *p->to);
}

void rn_film_pass_rates(rn_film *film, double *out, const double *a)
{
    pass p = {film, a, out};
    rn_team_share(film->team, block_count(film), rates_block, &p);
}

static void solve_block(void *context, int block, int member)
{
    pass *p = context;
    int row = block_rows(p->film, block).from;
    sweep_block(p->film, &p->film->scratch[member], p->to, NULL, 1.0, p->from + RN_AT(p->film, p->film->i0, row), row);
}

static void solve_strip(void *context, int strip, int member)
{
    pass *p = context;
    strip_view view;
    view_strip(&view, p->film, strip);
    p->film->kernels->sweep_across(p->to + view.at, &view.sweep, &view.jacobian, p->film->stride,
                                   p->film->scratch[member].work);
}

void rn_film_pass_solve(rn_film *film, double *r, double tau)
{
    pass p = {film, r, r};
    film->tau = tau;
    rn_team_share(film->team, block_count(film), solve_block, &p);
    rn_team_share(film->team, strip_count(film), solve_strip, &p);
}
