#include "film/chain.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define MAP_POURED 5.0    /* a map in which something was poured covers no more [s] */
#define MAP_LEAST 10.0    /* others at least so much [s], */
#define MAP_MOVED 2e-3    /* and until its highest plane has gone this far somewhere [m] */
#define NEAR_RELEASE 0.25 /* releases mix that lie within this share of what the map saw released */
#define BLOCK 1024

/* Between the planes of a lattice what is interpolated of sigma is what it was over what it is: the panel stays where it is,
   and near it the flux below grows with the square of the height, so that this goes nearly straight where sigma itself
   bends. */

typedef float four __attribute__((vector_size(16)));

/* Where a point of the lattice was: x, y, sigma, and what had been released. */
typedef union origin {
    four all;
    struct {
        float x, y, sigma, released;
    };
} origin;

typedef struct map {
    double begins, ends; /* [s] */
    origin *at;
    short *source; /* which release it left on the way, or RN_FROM_NOWHERE */
    float spread;  /* greatest less least released [m3] */
    bool poured;
} map;

struct rn_chain {
    int nx, ny, planes;
    float width, height; /* [m] */
    float *sigma;        /* planes */
    float *per;          /* 1/sigma */
    uint32_t on_top;     /* bit s: release s lays its paint on top */
    map live, next;      /* next: to work in */
    int count, size;
    map *frozen;
    rn_tracers points;
    long bytes;
};

static long point_count(const rn_chain *chain)
{
    return (long)chain->planes * chain->ny * chain->nx;
}

static void map_clear(map *m)
{
    free(m->at);
    free(m->source);
    *m = (map){0};
}

static long map_bytes(const rn_chain *chain)
{
    return point_count(chain) * (long)(sizeof(origin) + sizeof(short));
}

static bool map_init(map *m, rn_chain *chain, double begins)
{
    const size_t n = (size_t)point_count(chain);
    *m = (map){.begins = begins, .ends = begins};
    m->at = malloc(n * sizeof *m->at);
    m->source = malloc(n * sizeof *m->source);
    if (!m->at || !m->source) {
        map_clear(m);
        return false;
    }
    chain->bytes += map_bytes(chain);
    return true;
}

rn_status rn_chain_new(rn_chain **chain, const rn_grid *grid, int nx, int ny, const float *sigma, int planes,
                       rn_error *err)
{
    rn_chain *made = calloc(1, sizeof *made);
    rn_status status = RN_OK;
    if (made) {
        made->nx = nx;
        made->ny = ny;
        made->planes = planes;
        made->width = (float)(grid->nx * grid->dx);
        made->height = (float)(grid->ny * grid->dy);
        made->sigma = malloc(2 * (size_t)made->planes * sizeof *made->sigma);
        status = rn_tracers_init(&made->points, point_count(made), err);
    }
    if (!made ||
        (status == RN_OK && (!made->sigma || !map_init(&made->live, made, 0) || !map_init(&made->next, made, 0))))
        status = rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    if (status != RN_OK) {
        rn_chain_free(made);
        return status;
    }
    memcpy(made->sigma, sigma, (size_t)planes * sizeof *sigma);
    made->per = made->sigma + planes;
    for (int plane = 0; plane < planes; plane++)
        made->per[plane] = 1 / sigma[plane];
    *chain = made;
    return RN_OK;
}

void rn_chain_free(rn_chain *chain)
{
    if (!chain)
        return;
    for (int k = 0; k < chain->count; k++)
        map_clear(&chain->frozen[k]);
    free(chain->frozen);
    map_clear(&chain->live);
    map_clear(&chain->next);
    rn_tracers_clear(&chain->points);
    free(chain->sigma);
    free(chain);
}

double rn_chain_time(const rn_chain *chain)
{
    return chain->live.ends;
}

int rn_chain_maps(const rn_chain *chain)
{
    return chain->count + 1;
}

long rn_chain_bytes(const rn_chain *chain)
{
    return chain->bytes;
}

static float lattice_x(const rn_chain *chain, int i)
{
    return (((float)i + 0.5f) / (float)chain->nx - 0.5f) * chain->width;
}

static float lattice_y(const rn_chain *chain, int j)
{
    return (((float)j + 0.5f) / (float)chain->ny - 0.5f) * chain->height;
}

/* A point on its way down. */
typedef struct traveller {
    float x, y, sigma, released;
    short source;
} traveller;

/* Position on an axis of `n` points: the lower neighbour, and the share of the way to the next. */
static float split(int *low, float at, int n)
{
    const float within = at < 0 ? 0 : at > (float)n - 1 ? (float)n - 1 : at;
    *low = (int)within > n - 2 ? n - 2 : (int)within;
    return within - (float)*low;
}

/* The planes on either side of sigma; `scale` tells how much of the lowest plane's motion is left below it. */
static float split_depth(int *low, float *scale, const rn_chain *chain, float sigma)
{
    const float *planes = chain->sigma;
    *low = 0;
    *scale = 1;
    if (chain->planes == 1)
        return 0;
    if (sigma < planes[0]) {
        *scale = sigma / planes[0];
        return 0;
    }
    while (*low < chain->planes - 2 && sigma > planes[*low + 1])
        ++*low;
    const float share = (sigma - planes[*low]) / (planes[*low + 1] - planes[*low]);
    return share > 1 ? 1 : share;
}

/* What the points round a place tell, with their weights: how far each was moved, or what it left. */
typedef struct around {
    int count;
    float weight[8], x[8], y[8], rise[8], released[8]; /* moved by x, y, rise; or there left `source` */
    short source[8];
    float scale;
} around;

/* Where it was, were it moved as the two planes below it tell, or the panel and the one: the panel stays. */
static float carried_on(const rn_chain *chain, const map *m, long q, int k, float sigma)
{
    const long plane = (long)chain->nx * chain->ny;
    const float s = chain->sigma[k], ratio = m->at[q].sigma / s;
    if (k == 0 || m->source[q - plane] != RN_FROM_NOWHERE)
        return ratio * sigma;
    const float under = m->at[q - plane].sigma / chain->sigma[k - 1];
    return sigma * (ratio + (sigma - s) * (ratio - under) / (s - chain->sigma[k - 1]));
}

/* Of a point between one that was in the film and one above it that a cup laid: where the film's own face has come to
   between them is told by what is below, and what had been released there by what is above. */
static void look_under_cup(around *a, int n, const rn_chain *chain, const map *m, long q, int k, float sigma)
{
    const long plane = (long)chain->nx * chain->ny, over = q + plane;
    const float was = carried_on(chain, m, q, k, sigma);
    if (was < 1) {
        a->source[n] = RN_FROM_NOWHERE;
        a->rise[n] = was - sigma;
        return;
    }
    float released = m->at[over].released;
    if (k + 2 < chain->planes && m->source[over + plane] == m->source[over])
        released -= (m->at[over + plane].released - released) * (chain->sigma[k + 1] - sigma) /
                    (chain->sigma[k + 2] - chain->sigma[k + 1]);
    a->source[n] = m->source[over];
    a->released[n] = released > 0 ? released : 0;
    a->x[n] = m->at[over].x;
    a->y[n] = m->at[over].y;
}

static void look_at(around *a, const rn_chain *chain, const map *m, long q, int i, int j, int k, float weight,
                    float sigma)
{
    const int n = a->count++;
    const bool left = m->source[q] != RN_FROM_NOWHERE;
    a->weight[n] = weight;
    a->source[n] = m->source[q];
    a->x[n] = m->at[q].x - (left ? 0 : lattice_x(chain, i));
    a->y[n] = m->at[q].y - (left ? 0 : lattice_y(chain, j));
    a->rise[n] = sigma * (m->at[q].sigma * chain->per[k] - 1);
    a->released[n] = m->at[q].released;
}

static void look_around(around *a, const rn_chain *chain, const map *m, const traveller *t)
{
    int i, j, k;
    const float u = split(&i, (t->x / chain->width + 0.5f) * (float)chain->nx - 0.5f, chain->nx);
    const float v = split(&j, (t->y / chain->height + 0.5f) * (float)chain->ny - 0.5f, chain->ny);
    const float w = split_depth(&k, &a->scale, chain, t->sigma);
    const long plane = (long)chain->nx * chain->ny;
    bool laid[4] = {false};
    a->count = 0;
    for (int corner = 0; corner < (w > 0 ? 8 : 4); corner++) {
        const int right = corner & 1, back = corner >> 1 & 1, up = corner >> 2;
        const float place = (right ? u : 1 - u) * (back ? v : 1 - v), weight = place * (up ? w : 1 - w);
        const long q = ((long)(k + up) * chain->ny + j + back) * chain->nx + i + right;
        if (!(weight > 0) || laid[corner & 3])
            continue;
        look_at(a, chain, m, q, i + right, j + back, k + up, weight, t->sigma);
        if (!up && w > 0 && m->source[q] == RN_FROM_NOWHERE && m->source[q + plane] >= 0 &&
            chain->on_top >> m->source[q + plane] & 1) {
            laid[corner & 3] = true;
            a->weight[a->count - 1] = place;
            look_under_cup(a, a->count - 1, chain, m, q, k, t->sigma);
        }
    }
}

/* It left a release within this map: the heaviest neighbour's, mixed with those that lie near in what was released. */
static void leave(traveller *t, const map *m, const around *a)
{
    int heaviest = -1;
    for (int n = 0; n < a->count; n++)
        if (a->source[n] != RN_FROM_NOWHERE && (heaviest < 0 || a->weight[n] > a->weight[heaviest]))
            heaviest = n;
    if (heaviest < 0)
        return;
    float sum = 0, weights = 0;
    for (int n = 0; n < a->count; n++) {
        if (a->source[n] != a->source[heaviest] ||
            fabsf(a->released[n] - a->released[heaviest]) > (float)NEAR_RELEASE * m->spread)
            continue;
        sum += a->weight[n] * a->released[n];
        weights += a->weight[n];
    }
    t->source = a->source[heaviest];
    t->released = sum / weights;
    t->x = a->x[heaviest];
    t->y = a->y[heaviest];
}

static bool none_left(const map *m, long q, long back)
{
    return (m->source[q] & m->source[q + 1] & m->source[q + back] & m->source[q + back + 1]) == RN_FROM_NOWHERE;
}

static four mix(const map *m, long q, long back, float u, float v)
{
    const four low = m->at[q].all + u * (m->at[q + 1].all - m->at[q].all);
    const four high = m->at[q + back].all + u * (m->at[q + back + 1].all - m->at[q + back].all);
    return low + v * (high - low);
}

/* Where all around is plain motion and nothing is cut off: the mean of where they came from. */
static bool descend_plainly(traveller *t, const rn_chain *chain, const map *m)
{
    const float fx = (t->x / chain->width + 0.5f) * (float)chain->nx - 0.5f;
    const float fy = (t->y / chain->height + 0.5f) * (float)chain->ny - 0.5f;
    int k;
    float scale;
    const float w = split_depth(&k, &scale, chain, t->sigma);
    if (!(fx > 0 && fy > 0 && fx < (float)(chain->nx - 1) && fy < (float)(chain->ny - 1) && scale == 1))
        return false;
    const int i = (int)fx, j = (int)fy;
    const long q = ((long)k * chain->ny + j) * chain->nx + i, plane = (long)chain->nx * chain->ny;
    if (!none_left(m, q, chain->nx) || (w > 0 && !none_left(m, q + plane, chain->nx)))
        return false;
    origin from = {mix(m, q, chain->nx, fx - (float)i, fy - (float)j)};
    float ratio = from.sigma * chain->per[k];
    if (w > 0) {
        const origin over = {mix(m, q + plane, chain->nx, fx - (float)i, fy - (float)j)};
        ratio += w * (over.sigma * chain->per[k + 1] - ratio);
        from.all += w * (over.all - from.all);
    }
    const float sigma = t->sigma * ratio;
    t->x = from.x;
    t->y = from.y;
    t->sigma = sigma < 0 ? 0 : sigma > 1 ? 1 : sigma;
    return true;
}

/* One map down. */
static void descend(traveller *t, const rn_chain *chain, const map *m)
{
    around a = {0};
    float dx = 0, dy = 0, rise = 0, moved = 0;
    if (m->ends <= m->begins || descend_plainly(t, chain, m))
        return;
    look_around(&a, chain, m, t);
    for (int n = 0; n < a.count; n++) {
        if (a.source[n] != RN_FROM_NOWHERE)
            continue;
        dx += a.weight[n] * a.x[n];
        dy += a.weight[n] * a.y[n];
        rise += a.weight[n] * a.rise[n];
        moved += a.weight[n];
    }
    if (moved < 0.5f) {
        leave(t, m, &a);
        return;
    }
    const float share = a.scale / moved;
    t->x += share * dx;
    t->y += share * dy;
    const float sigma = t->sigma + rise / moved;
    t->sigma = sigma < 0 ? 0 : sigma > 1 ? 1 : sigma;
}

/* Lets go of the newest of the frozen maps. */
static void drop_map(rn_chain *chain)
{
    map_clear(&chain->frozen[--chain->count]);
    chain->bytes -= map_bytes(chain);
}

void rn_chain_cut(rn_chain *chain, double time)
{
    if (chain->live.ends <= time)
        return;
    while (chain->count > 0 && chain->live.begins > time) {
        chain->live.begins = chain->frozen[chain->count - 1].begins;
        drop_map(chain);
    }
    chain->live.ends = chain->live.begins;
    chain->live.poured = false;
    chain->live.spread = 0;
}

struct rn_chain_saved {
    int count; /* of frozen maps */
    map live;
    long bytes;
};

static void copy_map(map *to, const map *from, const rn_chain *chain)
{
    const map kept = *to;
    *to = *from;
    to->at = kept.at;
    to->source = kept.source;
    memcpy(to->at, from->at, (size_t)point_count(chain) * sizeof *to->at);
    memcpy(to->source, from->source, (size_t)point_count(chain) * sizeof *to->source);
}

rn_status rn_chain_save(rn_chain_saved **saved, const rn_chain *chain, rn_error *err)
{
    const size_t n = (size_t)point_count(chain);
    rn_chain_saved *made = calloc(1, sizeof *made);
    if (made) {
        made->count = chain->count;
        made->live.at = malloc(n * sizeof *made->live.at);
        made->live.source = malloc(n * sizeof *made->live.source);
        made->bytes = (long)sizeof *made + map_bytes(chain);
    }
    if (!made || !made->live.at || !made->live.source) {
        rn_chain_saved_free(made);
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    }
    copy_map(&made->live, &chain->live, chain);
    *saved = made;
    return RN_OK;
}

void rn_chain_saved_free(rn_chain_saved *saved)
{
    if (saved)
        map_clear(&saved->live);
    free(saved);
}

long rn_chain_saved_bytes(const rn_chain_saved *saved)
{
    return saved->bytes;
}

void rn_chain_restore(rn_chain *chain, const rn_chain_saved *saved)
{
    while (chain->count > saved->count)
        drop_map(chain);
    copy_map(&chain->live, &saved->live, chain);
}

typedef struct job {
    rn_chain *chain;
    const rn_chain *seen;
    const rn_tracers *points;
    int later, earlier;
} job;

static void lay_block(void *context, int block, int member)
{
    (void)member;
    const job *work = context;
    const rn_chain *chain = work->seen;
    const rn_tracers *points = work->points;
    const long plane = (long)chain->nx * chain->ny, end = point_count(chain);
    for (long p = (long)block * BLOCK; p < end && p < (long)(block + 1) * BLOCK; p++) {
        points->x[p] = lattice_x(chain, (int)(p % chain->nx));
        points->y[p] = lattice_y(chain, (int)(p % plane / chain->nx));
        points->sigma[p] = chain->sigma[p / plane];
        points->source[p] = RN_FROM_NOWHERE;
    }
}

static traveller traveller_of(const rn_tracers *points, long p)
{
    return (traveller){points->x[p], points->y[p], points->sigma[p], points->released[p], points->source[p]};
}

/* The new piece, and below it the map so far. */
static void compose_block(void *context, int block, int member)
{
    (void)member;
    rn_chain *chain = ((job *)context)->chain;
    const long end = point_count(chain);
    map *next = &chain->next;
    for (long p = (long)block * BLOCK; p < end && p < (long)(block + 1) * BLOCK; p++) {
        traveller t = traveller_of(&chain->points, p);
        if (t.source == RN_FROM_NOWHERE)
            descend(&t, chain, &chain->live);
        next->at[p] = (origin){{t.x, t.y, t.sigma, t.released}};
        next->source[p] = t.source;
    }
}

static void survey(map *m, const rn_chain *chain)
{
    float least = INFINITY, most = -INFINITY;
    const long count = point_count(chain);
    for (long p = 0; p < count; p++)
        if (m->source[p] != RN_FROM_NOWHERE) {
            least = fminf(least, m->at[p].released);
            most = fmaxf(most, m->at[p].released);
        }
    m->poured = most >= least;
    m->spread = m->poured ? most - least : 0;
}

static bool top_has_moved(const map *m, const rn_chain *chain)
{
    const long plane = (long)chain->nx * chain->ny, first = (chain->planes - 1) * plane;
    for (long p = 0; p < plane; p++) {
        const long q = first + p;
        if (hypotf(m->at[q].x - lattice_x(chain, (int)(p % chain->nx)),
                   m->at[q].y - lattice_y(chain, (int)(p / chain->nx))) > (float)MAP_MOVED)
            return true;
    }
    return false;
}

static bool is_full(const map *m, const rn_chain *chain)
{
    const double length = m->ends - m->begins;
    return (m->poured && length >= MAP_POURED) || (length >= MAP_LEAST && top_has_moved(m, chain));
}

static rn_status freeze(rn_chain *chain, rn_error *err)
{
    if (chain->count == chain->size) {
        const int size = chain->size ? 2 * chain->size : 16;
        map *more = realloc(chain->frozen, (size_t)size * sizeof *more);
        if (!more)
            return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
        chain->frozen = more;
        chain->size = size;
    }
    map fresh;
    if (!map_init(&fresh, chain, chain->live.ends))
        return rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    chain->frozen[chain->count++] = chain->live;
    chain->live = fresh;
    return RN_OK;
}

rn_status rn_chain_advance(rn_chain *chain, const rn_layers *layers, double to, rn_team *team, rn_error *err)
{
    if (!(to > chain->live.ends))
        return RN_OK;
    if (is_full(&chain->live, chain)) {
        const rn_status frozen = freeze(chain, err);
        if (frozen != RN_OK)
            return frozen;
    }
    for (int source = 0; source < layers->source_count && source < 32; source++)
        if (layers->sources[source].on_top)
            chain->on_top |= UINT32_C(1) << source;
    job work = {.chain = chain, .seen = chain, .points = &chain->points};
    const int blocks = (int)((point_count(chain) + BLOCK - 1) / BLOCK);
    rn_team_share(team, blocks, lay_block, &work);
    rn_status status = rn_layers_trace(&chain->points, layers, to, chain->live.ends, team, err);
    if (status != RN_OK)
        return status;
    rn_team_share(team, blocks, compose_block, &work);
    status = rn_team_ends(team, err);
    if (status != RN_OK)
        return status;
    chain->next.begins = chain->live.begins;
    chain->next.ends = to;
    survey(&chain->next, chain);
    const map kept = chain->live;
    chain->live = chain->next;
    chain->next = kept;
    return RN_OK;
}

static void find_block(void *context, int block, int member)
{
    (void)member;
    const job *work = context;
    const rn_chain *chain = work->seen;
    const rn_tracers *points = work->points;
    for (long p = (long)block * BLOCK; p < points->count && p < (long)(block + 1) * BLOCK; p++) {
        traveller t = traveller_of(points, p);
        for (int k = work->later; k >= work->earlier && t.source == RN_FROM_NOWHERE; k--)
            descend(&t, chain, k == chain->count ? &chain->live : &chain->frozen[k]);
        points->x[p] = t.x;
        points->y[p] = t.y;
        points->sigma[p] = t.sigma;
        points->source[p] = t.source;
        points->released[p] = t.released;
    }
}

void rn_chain_descend(const rn_tracers *points, const rn_chain *chain, int later, int earlier, rn_team *team)
{
    job work = {.seen = chain, .points = points, .later = later, .earlier = earlier};
    rn_team_share(team, (int)((points->count + BLOCK - 1) / BLOCK), find_block, &work);
}

static void copy_block(void *context, int block, int member)
{
    (void)member;
    const job *work = context;
    const rn_chain *chain = work->seen;
    const map *m = &chain->live;
    for (long p = (long)block * BLOCK; p < point_count(chain) && p < (long)(block + 1) * BLOCK; p++) {
        work->points->x[p] = m->at[p].x;
        work->points->y[p] = m->at[p].y;
        work->points->sigma[p] = m->at[p].sigma;
        work->points->source[p] = m->source[p];
        work->points->released[p] = m->at[p].released;
    }
}

void rn_chain_newest(const rn_tracers *points, const rn_chain *chain, rn_team *team)
{
    const bool empty = chain->live.ends <= chain->live.begins;
    job work = {.seen = chain, .points = points};
    rn_team_share(team, (int)((point_count(chain) + BLOCK - 1) / BLOCK), empty ? lay_block : copy_block, &work);
}

void rn_chain_find(const rn_tracers *points, const rn_chain *chain, rn_team *team)
{
    rn_chain_descend(points, chain, chain->count, 0, team);
}
