#include "film/chain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MAP_POURED 5.0    /* a map in which something was poured covers no more [s] */
#define MAP_LEAST 10.0    /* others at least so much [s], */
#define MAP_MOVED 2e-3    /* and until its highest plane has gone this far somewhere [m] */
#define NEAR_RELEASE 0.25 /* releases mix that lie within this share of what the map saw released */
#define BLOCK 1024

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

rn_status rn_chain_new(rn_chain **chain, const rn_grid *grid, int nx, int ny, int levels, bool face, rn_error *err)
{
    rn_chain *made = calloc(1, sizeof *made);
    rn_status status = RN_OK;
    if (made) {
        made->nx = nx;
        made->ny = ny;
        made->planes = levels + face;
        made->width = (float)(grid->nx * grid->dx);
        made->height = (float)(grid->ny * grid->dy);
        made->sigma = malloc((size_t)made->planes * sizeof *made->sigma);
        status = rn_tracers_init(&made->points, point_count(made), err);
    }
    if (!made ||
        (status == RN_OK && (!made->sigma || !map_init(&made->live, made, 0) || !map_init(&made->next, made, 0))))
        status = rn_fail(err, RN_E_MEMORY, "no memory to follow the layers");
    if (status != RN_OK) {
        rn_chain_free(made);
        return status;
    }
    for (int plane = 0; plane < levels; plane++)
        made->sigma[plane] = (float)((plane + 0.5) / levels);
    if (face)
        made->sigma[levels] = 1;
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

/* The points round a place, with their weights. */
typedef struct around {
    int count;
    long at[8];
    float weight[8], x[8], y[8], sigma[8]; /* where those points lie */
    float scale;
} around;

static void look_around(around *a, const rn_chain *chain, const traveller *t)
{
    int i, j, k;
    const float u = split(&i, (t->x / chain->width + 0.5f) * (float)chain->nx - 0.5f, chain->nx);
    const float v = split(&j, (t->y / chain->height + 0.5f) * (float)chain->ny - 0.5f, chain->ny);
    const float w = split_depth(&k, &a->scale, chain, t->sigma);
    a->count = 0;
    for (int corner = 0; corner < (w > 0 ? 8 : 4); corner++) {
        const int right = corner & 1, back = corner >> 1 & 1, up = corner >> 2;
        const float weight = (right ? u : 1 - u) * (back ? v : 1 - v) * (up ? w : 1 - w);
        if (!(weight > 0))
            continue;
        const int n = a->count++;
        a->weight[n] = weight;
        a->at[n] = ((long)(k + up) * chain->ny + j + back) * chain->nx + i + right;
        a->x[n] = lattice_x(chain, i + right);
        a->y[n] = lattice_y(chain, j + back);
        a->sigma[n] = chain->sigma[k + up];
    }
}

/* It left a release within this map: the heaviest neighbour's, mixed with those that lie near in what was released. */
static void leave(traveller *t, const map *m, const around *a)
{
    int heaviest = -1;
    for (int n = 0; n < a->count; n++)
        if (m->source[a->at[n]] != RN_FROM_NOWHERE && (heaviest < 0 || a->weight[n] > a->weight[heaviest]))
            heaviest = n;
    if (heaviest < 0)
        return;
    const long at = a->at[heaviest];
    float sum = 0, weights = 0;
    for (int n = 0; n < a->count; n++) {
        const long q = a->at[n];
        if (m->source[q] != m->source[at] ||
            fabsf(m->at[q].released - m->at[at].released) > (float)NEAR_RELEASE * m->spread)
            continue;
        sum += a->weight[n] * m->at[q].released;
        weights += a->weight[n];
    }
    t->source = m->source[at];
    t->released = sum / weights;
    t->x = m->at[at].x;
    t->y = m->at[at].y;
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
    float level = chain->sigma[k];
    if (w > 0) {
        from.all += w * (mix(m, q + plane, chain->nx, fx - (float)i, fy - (float)j) - from.all);
        level += w * (chain->sigma[k + 1] - chain->sigma[k]);
    }
    const float sigma = from.sigma + (t->sigma - level); /* above the highest plane, or on the one there is */
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
    look_around(&a, chain, t);
    for (int n = 0; n < a.count; n++) {
        const long q = a.at[n];
        if (m->source[q] != RN_FROM_NOWHERE)
            continue;
        dx += a.weight[n] * (m->at[q].x - a.x[n]);
        dy += a.weight[n] * (m->at[q].y - a.y[n]);
        rise += a.weight[n] * (m->at[q].sigma - a.sigma[n]);
        moved += a.weight[n];
    }
    if (moved < 0.5f) {
        leave(t, m, &a);
        return;
    }
    const float share = a.scale / moved;
    t->x += share * dx;
    t->y += share * dy;
    const float sigma = t->sigma + share * rise;
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
