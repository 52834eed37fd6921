#include "run/telling.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FOUND_MOST (RN_POURS_MOST + 1 + RN_CORNERS + RN_MOVES_MOST + 1) /* one each, an edge, and the end */
#define APART 0.012                                                     /* of the whole time: nearer moments are one */
#define RESTING 0.3                                                     /* what a gap at rest counts for */
#define AT_START 0.5 /* an edge or corner that is wet so early was so from the start [s] */

typedef struct found {
    double time;
    int weight; /* the heavier stays when there are too many */
    char words[RN_TELLING_SIZE];
} found;

typedef struct finds {
    int count;
    found list[FOUND_MOST];
} finds;

static void note(finds *all, double time, int weight, const char *words)
{
    if (!(time > 0))
        return;
    found *made = &all->list[all->count++];
    made->time = time;
    made->weight = weight;
    snprintf(made->words, sizeof made->words, "%s", words);
}

static void note_pours(finds *all, const rn_plan *plan, double end)
{
    for (int p = 0; p < plan->pour_count; p++) {
        char words[RN_TELLING_SIZE];
        const double time = rn_pour_end(&plan->pours[p]);
        if (time > end)
            continue;
        if (plan->pour_count == 1)
            snprintf(words, sizeof words, "release ends");
        else if (plan->pours[p].name[0])
            snprintf(words, sizeof words, "%s is out", plan->pours[p].name);
        else
            snprintf(words, sizeof words, "pour %d is out", p + 1);
        note(all, time, 3, words);
    }
}

/* Which side a cell of the outermost rows and columns lies on; -1 inside. A disc's rim is told by the bearing. */
static int side_of(const rn_record *record, bool round, int i, int j)
{
    const rn_grid *grid = &record->grid;
    if (round) {
        const double x = rn_grid_x(grid, i), y = rn_grid_y(grid, j);
        if (hypot(x, y) < 0.5 * grid->nx * grid->dx - 1.5 * grid->dx)
            return -1;
        return fabs(y) >= fabs(x) ? (y < 0 ? RN_FRONT : RN_BACK) : (x > 0 ? RN_RIGHT : RN_LEFT);
    }
    return j == 0 ? RN_FRONT : j == grid->ny - 1 ? RN_BACK : i == 0 ? RN_LEFT : i == grid->nx - 1 ? RN_RIGHT : -1;
}

/* Puddles of a base coat creep to edges and corners by themselves; that is not what is asked. What is reached before this
   does not count [s]. */
static double earliest(const rn_plan *plan)
{
    double first = INFINITY;
    if (plan->base_count == 0 || plan->pour_count == 0)
        return AT_START;
    for (int p = 0; p < plan->pour_count; p++)
        first = fmin(first, rn_pour_end(&plan->pours[p]));
    return fmax(first, AT_START);
}

/* When a cell of the rim was reached, if paint came to it from within: what creeps along an edge, from a puddle that lies
   there, has reached a neighbour on the rim before. */
static double reached_from_within(const rn_record *record, bool round, int i, int j)
{
    const rn_grid *grid = &record->grid;
    const double here = (double)record->arrival[(long)j * grid->nx + i];
    for (int b = j - 1; b <= j + 1; b++)
        for (int a = i - 1; a <= i + 1; a++) {
            if (a < 0 || a >= grid->nx || b < 0 || b >= grid->ny || !record->inside[(long)b * grid->nx + a])
                continue;
            if (side_of(record, round, a, b) >= 0 && (double)record->arrival[(long)b * grid->nx + a] < here)
                return NAN;
        }
    return here;
}

static void note_edge(finds *all, const rn_plan *plan, const rn_record *record)
{
    const double from = earliest(plan);
    double first = INFINITY;
    int side = -1;
    for (int j = 0; j < record->grid.ny; j++)
        for (int i = 0; i < record->grid.nx; i++) {
            const bool inside = record->inside[(long)j * record->grid.nx + i];
            const int here = inside ? side_of(record, plan->panel.round, i, j) : -1;
            const double time = here < 0 ? NAN : reached_from_within(record, plan->panel.round, i, j);
            if (!(time > from && time < first))
                continue;
            first = time;
            side = here;
        }
    if (side < 0)
        return;
    char words[RN_TELLING_SIZE];
    snprintf(words, sizeof words, "%s edge reached", rn_side_names[side]);
    note(all, first, 2, words);
}

static void note_corners(finds *all, const rn_plan *plan, const rn_record *record)
{
    const double from = earliest(plan);
    for (int c = 0; c < RN_CORNERS; c++)
        for (int m = 0; m < record->moment_count; m++) {
            char words[RN_TELLING_SIZE];
            if (!(record->moments[m].corner[c] >= plan->cover))
                continue;
            if (record->moments[m].time < from)
                break;
            snprintf(words, sizeof words, "%s %s reached", rn_corner_names[c],
                     plan->panel.round ? "quarter" : "corner");
            if (record->moments[m].time > AT_START)
                note(all, record->moments[m].time, 2, words);
            break;
        }
}

static void note_spins(finds *all, const rn_plan *plan, double end)
{
    for (int m = 0; m < plan->move_count; m++) {
        const double time = plan->moves[m].start + plan->moves[m].duration;
        if (plan->moves[m].kind == RN_MOVE_SPIN && time <= end)
            note(all, time, 3, "spin ends");
    }
}

static void sort(finds *all)
{
    for (int a = 1; a < all->count; a++)
        for (int b = a; b > 0 && all->list[b].time < all->list[b - 1].time; b--) {
            const found kept = all->list[b];
            all->list[b] = all->list[b - 1];
            all->list[b - 1] = kept;
        }
}

static void drop(finds *all, int index)
{
    for (int k = index; k + 1 < all->count; k++)
        all->list[k] = all->list[k + 1];
    all->count--;
}

/* Two moments become the heavier's, with both their words where there is room. */
static void join(finds *all, int first)
{
    found *a = &all->list[first], *b = &all->list[first + 1];
    char words[2 * RN_TELLING_SIZE + 4];
    const found *kept = b->weight >= a->weight ? b : a;
    snprintf(words, sizeof words, "%s, %s", a->words, b->words);
    const double time = kept->time;
    const int weight = kept->weight;
    if (strlen(words) < RN_TELLING_SIZE)
        memcpy(a->words, words, strlen(words) + 1);
    else if (kept == b)
        memcpy(a->words, b->words, sizeof a->words);
    a->time = time;
    a->weight = weight;
    drop(all, first + 1);
}

/* Near is near to the first of those that are one: a long row of them must not end up as its last. */
static void join_near(finds *all, double apart)
{
    double first = all->count > 0 ? all->list[0].time : 0;
    for (int k = 0; k + 1 < all->count;)
        if (all->list[k + 1].time - first < apart)
            join(all, k);
        else
            first = all->list[++k].time;
}

/* Too many: the two that lie nearest to each other become one. */
static void thin(finds *all)
{
    while (all->count > RN_TELLING_MOST) {
        int nearest = 0;
        double least = INFINITY;
        for (int k = 0; k + 1 < all->count; k++)
            if (all->list[k + 1].time - all->list[k].time < least) {
                least = all->list[k + 1].time - all->list[k].time;
                nearest = k;
            }
        drop(all, all->list[nearest].weight <= all->list[nearest + 1].weight ? nearest : nearest + 1);
    }
}

/* What goes on between the moments, and how much there is to see of it. */
static const char *doing_at(double *worth, const rn_plan *plan, double time)
{
    *worth = 1;
    for (int p = 0; p < plan->pour_count; p++)
        if (time > plan->pours[p].start && time < rn_pour_end(&plan->pours[p]))
            return "pouring";
    for (int m = 0; m < plan->move_count; m++) {
        static const char *const words[] = {"at rest", "turning", "tilted", "spinning"};
        const rn_move *move = &plan->moves[m];
        if (move->kind != RN_MOVE_REST && time >= move->start && time < move->start + move->duration)
            return words[move->kind];
    }
    *worth = RESTING;
    return "at rest";
}

/* Too few: the middle of the widest gap, where a rest counts as shorter than it is. */
static void fill(finds *all, const rn_plan *plan)
{
    while (all->count > 0 && all->count < RN_TELLING_LEAST) {
        found best = {.weight = 1};
        double most = 0;
        for (int k = 0; k < all->count; k++) {
            const double before = k > 0 ? all->list[k - 1].time : 0, gap = all->list[k].time - before;
            double worth;
            const char *doing = doing_at(&worth, plan, before + 0.5 * gap);
            if (!(worth * gap > most))
                continue;
            most = worth * gap;
            best.time = before + 0.5 * gap;
            snprintf(best.words, sizeof best.words, "%s", doing);
        }
        if (!(most > 0))
            return;
        all->list[all->count++] = best;
        sort(all);
    }
}

int rn_telling_find(rn_telling telling[RN_TELLING_MOST], const rn_plan *plan, const rn_record *record)
{
    finds all = {0};
    note_pours(&all, plan, record->end);
    note_edge(&all, plan, record);
    note_corners(&all, plan, record);
    note_spins(&all, plan, record->end);
    note(&all, record->end, 4, record->complete ? "end" : "stopped here");
    sort(&all);
    join_near(&all, APART * record->end);
    thin(&all);
    fill(&all, plan);
    for (int k = 0; k < all.count; k++) {
        telling[k].time = all.list[k].time;
        memcpy(telling[k].words, all.list[k].words, sizeof telling[k].words);
    }
    return all.count;
}
