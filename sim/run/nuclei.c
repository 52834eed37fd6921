/* Darts are thrown one after another; one that lands closer than a least distance to an earlier one is dropped (random
   sequential adsorption [feder1980]). That leaves no clumps and no rows. */
#include "run/nuclei.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/random.h"

#define DARTS 40.0        /* thrown for each spacing^2 */
#define LEAST 0.8         /* least distance over spacing: with so many darts one to spacing^2 stays */
#define LEAST_WIDTH 0.5   /* of the narrowest cell, over the widest */
#define CLEARANCE 0.48    /* radius, at most, over the distance to the next nucleus: cells do not touch */
#define SMALLEST_PART 0.4 /* width of the cells at amount 0, over that at amount 1 */

/* All that the darts leave, before thinning. */
typedef struct board {
    rn_nuclei all;
    double *rank;  /* a nucleus is kept where the amount exceeds it */
    double *width; /* share of the greatest width */
    double least;  /* distance [m] */
    int room;      /* of the lists */
} board;

rn_nuclei_options rn_nuclei_defaults(void)
{
    return (rn_nuclei_options){.amount = 0.5, .seed = 1, .moment = NAN, .spacing = NAN, .size = NAN};
}

void rn_nuclei_free(rn_nuclei *nuclei)
{
    free(nuclei->nucleus);
    free(nuclei->first);
    *nuclei = (rn_nuclei){0};
}

static void board_clear(board *b)
{
    rn_nuclei_free(&b->all);
    free(b->rank);
    free(b->width);
}

static bool board_init(board *b, const rn_panel *panel, double spacing)
{
    *b = (board){.least = LEAST * spacing};
    rn_nuclei *all = &b->all;
    all->bucket = b->least / sqrt(2.0); /* its diagonal is the least distance */
    all->x0 = -0.5 * panel->width;
    all->y0 = -0.5 * panel->height;
    all->columns = (int)ceil(panel->width / all->bucket) + 1;
    all->rows = (int)ceil(panel->height / all->bucket) + 1;
    const size_t buckets = (size_t)all->columns * (size_t)all->rows;
    b->room = (int)(1.5 * panel->width * panel->height / (spacing * spacing)) + 16;
    all->first = malloc(buckets * sizeof *all->first);
    all->nucleus = malloc((size_t)b->room * sizeof *all->nucleus);
    b->rank = malloc((size_t)b->room * sizeof *b->rank);
    b->width = malloc((size_t)b->room * sizeof *b->width);
    for (size_t i = 0; all->first && i < buckets; i++)
        all->first[i] = -1;
    return all->first && all->nucleus && b->rank && b->width;
}

static int column_of(const rn_nuclei *nuclei, double x)
{
    return (int)floor((x - nuclei->x0) / nuclei->bucket);
}

static int row_of(const rn_nuclei *nuclei, double y)
{
    return (int)floor((y - nuclei->y0) / nuclei->bucket);
}

/* Square of the distance to the nearest nucleus other than `self`, or `most` if that is less; two buckets, the root of 2
   times the least distance, is as far as it sees. Stops early below `enough`. */
static double nearest(const rn_nuclei *nuclei, double x, double y, int self, double most, double enough)
{
    static const int reach[5] = {0, -1, 1, -2, 2}; /* from the inside out: most darts are dropped at once */
    const int column = column_of(nuclei, x), row = row_of(nuclei, y);
    for (int b = 0; b < 25; b++) {
        const int i = column + reach[b % 5], j = row + reach[b / 5];
        if (i < 0 || j < 0 || i >= nuclei->columns || j >= nuclei->rows)
            continue;
        const int n = nuclei->first[j * nuclei->columns + i];
        if (n < 0 || n == self)
            continue;
        const double dx = nuclei->nucleus[n].x - x, dy = nuclei->nucleus[n].y - y;
        most = fmin(most, dx * dx + dy * dy);
        if (most < enough)
            break;
    }
    return most;
}

static void throw_darts(board *b, const rn_panel *panel, double spacing, long seed)
{
    rn_random random = rn_random_seeded((uint64_t)seed);
    const double least = b->least * b->least;
    const double darts = DARTS * panel->width * panel->height / (spacing * spacing);
    for (double thrown = 0.0; thrown < darts; thrown += 1.0) {
        const double x = (rn_random_unit(&random) - 0.5) * panel->width;
        const double y = (rn_random_unit(&random) - 0.5) * panel->height;
        const bool off = panel->round && hypot(x, y) > 0.5 * panel->width;
        if (off || b->all.count == b->room || nearest(&b->all, x, y, -1, least, least) < least)
            continue;
        const int n = b->all.count++;
        b->all.nucleus[n] = (rn_nucleus){x, y, 0.0};
        b->rank[n] = rn_random_unit(&random);
        b->width[n] = LEAST_WIDTH + (1.0 - LEAST_WIDTH) * rn_random_unit(&random);
        b->all.first[row_of(&b->all, y) * b->all.columns + column_of(&b->all, x)] = n;
    }
}

void rn_nuclei_keep(rn_nuclei *nuclei, rn_nuclei_wanted *wanted, const void *context)
{
    int kept = 0;
    for (int i = 0; i < nuclei->rows * nuclei->columns; i++)
        nuclei->first[i] = -1;
    for (int n = 0; n < nuclei->count; n++) {
        const rn_nucleus nucleus = nuclei->nucleus[n];
        if (!wanted(context, &nucleus, n))
            continue;
        nuclei->first[row_of(nuclei, nucleus.y) * nuclei->columns + column_of(nuclei, nucleus.x)] = kept;
        nuclei->nucleus[kept++] = nucleus;
    }
    nuclei->count = kept;
}

typedef struct cut {
    const double *rank;
    double amount;
} cut;

static bool ranks_under(const void *context, const rn_nucleus *nucleus, int number)
{
    (void)nucleus;
    const cut *at = context;
    return at->rank[number] < at->amount;
}

/* Radii by the amount, and only those nuclei that it keeps. */
static void thin(board *b, double amount, double size)
{
    rn_nuclei *all = &b->all;
    const double widest = 0.5 * size * (SMALLEST_PART + (1.0 - SMALLEST_PART) * amount);
    for (int n = 0; n < all->count; n++) {
        rn_nucleus *nucleus = &all->nucleus[n];
        const double gap = sqrt(nearest(all, nucleus->x, nucleus->y, n, 2.0 * b->least * b->least, 0.0));
        nucleus->radius = fmin(widest * b->width[n], CLEARANCE * gap);
    }
    const cut by_rank = {b->rank, amount};
    rn_nuclei_keep(all, ranks_under, &by_rank);
}

rn_status rn_nuclei_scatter(rn_nuclei *nuclei, const rn_panel *panel, rn_nuclei_options options, rn_error *err)
{
    const double spacing = options.spacing, size = isnan(options.size) ? 0.9 * spacing : options.size;
    if (!(options.amount >= 0.0 && options.amount <= 1.0))
        return rn_fail(err, RN_E_USAGE, "the amount of cells lies between 0 and 1, not %g", options.amount);
    if (!(spacing > 0.0) || !(size > 0.0))
        return rn_fail(err, RN_E_USAGE, "cells need a spacing and a size greater than 0");
    const double least = sqrt(panel->width * panel->height / RN_NUCLEI_MOST);
    if (spacing < least)
        return rn_fail(err, RN_E_USAGE, "cells %.3g mm apart are too many for this panel: %.3g mm at least",
                       spacing * 1e3, least * 1e3);
    board b;
    if (!board_init(&b, panel, spacing)) {
        board_clear(&b);
        return rn_fail(err, RN_E_MEMORY, "no memory left for the cells");
    }
    throw_darts(&b, panel, spacing, options.seed);
    thin(&b, options.amount, size);
    *nuclei = b.all;
    b.all = (rn_nuclei){0};
    board_clear(&b);
    return RN_OK;
}

int rn_nuclei_at(double *share, const rn_nuclei *nuclei, double x, double y)
{
    const int column = column_of(nuclei, x), row = row_of(nuclei, y);
    /* No radius comes near two buckets (CLEARANCE of them at most), and cells do not overlap. */
    for (int j = row - 2; j <= row + 2; j++)
        for (int i = column - 2; i <= column + 2; i++) {
            if (i < 0 || j < 0 || i >= nuclei->columns || j >= nuclei->rows)
                continue;
            const int n = nuclei->first[j * nuclei->columns + i];
            if (n < 0)
                continue;
            const rn_nucleus *nucleus = &nuclei->nucleus[n];
            const double distance = hypot(nucleus->x - x, nucleus->y - y);
            if (distance <= nucleus->radius) {
                *share = distance / nucleus->radius;
                return n;
            }
        }
    return -1;
}

double rn_nuclei_depth(double share)
{
    return RN_NUCLEI_DEEPEST + (1.0 - RN_NUCLEI_DEEPEST) * share * share;
}
