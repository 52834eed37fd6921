#include "show/seam.h"

#include <math.h>
#include <stdlib.h>

#define ROUNDS 40 /* a seam is straightened over some root of twice as many points */
#define STEP 0.75f
#define LEAST_RUN 0.2f
#define NEAREST 0.03f /* to either point that a seam crosses their link */

/* One crossing: its link, its neighbours along the seam (-1: none, it stays). */
typedef struct crossing {
    long point;
    bool toward_back;
    float at, next_at;
    long neighbour[2];
} crossing;

typedef struct seams {
    crossing *list;
    long count;
    long *index; /* 2 per point: of its right and of its back link; -1 where they hold */
    int nx, ny;
} seams;

static bool gather(seams *all, const unsigned char *links)
{
    const long points = (long)all->nx * all->ny;
    all->index = malloc(2 * (size_t)points * sizeof *all->index);
    long count = 0;
    for (long p = 0; p < points; p++)
        count += !(links[p] & RN_LINK_RIGHT) + !(links[p] & RN_LINK_BACK);
    all->list = malloc((size_t)(count + 1) * sizeof *all->list);
    if (!all->index || !all->list)
        return false;
    for (long p = 0; p < points; p++)
        for (int way = 0; way < 2; way++) {
            const bool broken = !(links[p] & (way ? RN_LINK_BACK : RN_LINK_RIGHT));
            all->index[2 * p + way] = broken ? all->count : -1;
            if (broken)
                all->list[all->count++] = (crossing){.point = p, .toward_back = way, .at = 0.5f, .neighbour = {-1, -1}};
        }
    return true;
}

/* In a cell that just two crossings enter, they are neighbours. */
static void join_neighbours(seams *all)
{
    for (int j = 0; j < all->ny - 1; j++)
        for (int i = 0; i < all->nx - 1; i++) {
            const long p = (long)j * all->nx + i;
            const long around[4] = {all->index[2 * p], all->index[2 * (p + 1) + 1], all->index[2 * (p + all->nx)],
                                    all->index[2 * p + 1]};
            long found[4];
            int count = 0;
            for (int e = 0; e < 4; e++)
                if (around[e] >= 0)
                    found[count++] = around[e];
            for (int e = 0; count == 2 && e < 2; e++) {
                crossing *one = &all->list[found[e]];
                one->neighbour[one->neighbour[0] >= 0] = found[1 - e];
            }
        }
}

static void place_of(float place[2], const seams *all, const crossing *one)
{
    place[0] = (float)(one->point % all->nx) + (one->toward_back ? 0.0f : one->at);
    place[1] = (float)(one->point / all->nx) + (one->toward_back ? one->at : 0.0f);
}

/* Every crossing moves along its link toward the straight line between its neighbours. */
static void straighten(seams *all)
{
    for (long c = 0; c < all->count; c++) {
        crossing *one = &all->list[c];
        one->next_at = one->at;
        if (one->neighbour[0] < 0 || one->neighbour[1] < 0)
            continue;
        float before[2], after[2];
        place_of(before, all, &all->list[one->neighbour[0]]);
        place_of(after, all, &all->list[one->neighbour[1]]);
        const int axis = one->toward_back;
        const long whole[2] = {one->point % all->nx, one->point / all->nx};
        const float run = after[1 - axis] - before[1 - axis];
        float share = 0.5f; /* of the way between them; midway where they lie along the link */
        if (fabsf(run) > LEAST_RUN)
            share = fminf(fmaxf(((float)whole[1 - axis] - before[1 - axis]) / run, 0.0f), 1.0f);
        const float line = before[axis] + share * (after[axis] - before[axis]) - (float)whole[axis];
        one->next_at = fminf(fmaxf(one->at + STEP * (line - one->at), NEAREST), 1.0f - NEAREST);
    }
    for (long c = 0; c < all->count; c++)
        all->list[c].at = all->list[c].next_at;
}

bool rn_seam_settle(float *right, float *back, const unsigned char *links, int nx, int ny)
{
    seams all = {.nx = nx, .ny = ny};
    const bool good = gather(&all, links);
    if (good) {
        join_neighbours(&all);
        for (int round = 0; round < ROUNDS; round++)
            straighten(&all);
        for (long p = 0; p < (long)nx * ny; p++) {
            right[p] = all.index[2 * p] >= 0 ? all.list[all.index[2 * p]].at : 0.5f;
            back[p] = all.index[2 * p + 1] >= 0 ? all.list[all.index[2 * p + 1]].at : 0.5f;
        }
    }
    free(all.index);
    free(all.list);
    return good;
}

void rn_seam_cell_at(rn_seam_cell *cell, const float *right, const float *back, const unsigned char *links, int nx,
                     long point)
{
    const long p = point;
    const bool holds[4] = {links[p] & RN_LINK_RIGHT, links[p + 1] & RN_LINK_BACK, links[p + nx] & RN_LINK_RIGHT,
                           links[p] & RN_LINK_BACK};
    const float places[4][2] = {{right[p], 0.0f}, {1.0f, back[p + 1]}, {right[p + nx], 1.0f}, {0.0f, back[p]}};
    cell->broken = 0;
    for (int e = 0; e < 4; e++)
        if (!holds[e]) {
            cell->crossing[cell->broken][0] = places[e][0];
            cell->crossing[cell->broken][1] = places[e][1];
            cell->before[cell->broken++] = e;
        }
}

float rn_seam_sides(rn_seam_side *here, rn_seam_side *there, const rn_seam_cell *cell, float u, float v)
{
    const int n = cell->broken;
    float hub[2] = {0.0f, 0.0f};
    for (int e = 0; e < n; e++)
        for (int a = 0; a < 2; a++)
            hub[a] += cell->crossing[e][a] / (float)n;
    const float x = u - hub[0], y = v - hub[1];
    int sector = 0, nearest = 0;
    float least = INFINITY;
    for (int e = 0; e < n; e++) {
        const float *from = cell->crossing[e], *to = cell->crossing[(e + 1) % n];
        const float from_x = from[0] - hub[0], from_y = from[1] - hub[1], to_x = to[0] - hub[0], to_y = to[1] - hub[1];
        const bool after = from_x * y - from_y * x >= 0.0f, before = to_x * y - to_y * x < 0.0f;
        const bool wide = from_x * to_y - from_y * to_x <= 0.0f; /* more than half a turn */
        if (wide ? after || before : after && before)
            sector = e;
        const float length2 = from_x * from_x + from_y * from_y;
        const float along = fminf(fmaxf((from_x * x + from_y * y) / fmaxf(length2, 1e-12f), 0.0f), 1.0f);
        const float away_x = x - along * from_x, away_y = y - along * from_y;
        const float away = away_x * away_x + away_y * away_y;
        if (away < least) {
            least = away;
            nearest = e;
        }
    }
    if (n == 2)
        nearest = sector; /* one straight line: either end will do */
    /* The seam `nearest` lies between sectors nearest - 1 and nearest. */
    const int other = nearest == sector ? (sector + n - 1) % n : nearest;
    for (int side = 0; side < 2; side++) {
        const int s = side ? other : sector;
        const int first = cell->before[s] + 1, end = cell->before[(s + 1) % n] + 1;
        *(side ? there : here) = (rn_seam_side){first % 4, (end - first + 4) % 4};
    }
    return sqrtf(least);
}
