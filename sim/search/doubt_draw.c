/* z: standard deviations off; u: a number of a draw, uniform on 0..1. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "search/chance.h"
#include "search/doubt.h"
#include "search/doubt_target.h"

#define COVERAGE_FACTOR 2 /* of "+-", [jcgm2008] */
#define TEXT_SIZE 60
#define EDGE 0x1p-54 /* so that no number is quite 0 */

/* ---- how far ---- */

static bool is_bearing(const rn_plan_number *number)
{
    return number->dimension == RN_DIM_ANGLE && isnan(number->least) && isnan(number->most);
}

/* One standard deviation, in the number's unit. */
static double deviation_of(const rn_doubt *doubt, const rn_plan_number *number)
{
    return doubt->half * (doubt->share ? fabs(number->value) : 1) / COVERAGE_FACTOR;
}

/* Turns and spins are taken by their speed, whichever way round. */
static double size_of(const rn_plan_number *number)
{
    return number->dimension == RN_DIM_RATE ? fabs(number->value) : number->value;
}

/* What the number's key allows, by its size; what has no least of its own stays above zero. NaN: no bound. */
static void allowed(double *least, double *most, const rn_plan_number *number)
{
    *least = isnan(number->least) ? 0 : number->least;
    *most = number->most;
    if (number->dimension == RN_DIM_RATE) {
        *most = number->value < 0 ? -*least : *most;
        *least = 0;
    }
}

/* Narrows z to that. */
static void bound(double *low, double *high, const rn_doubt *doubt, const rn_plan_number *number)
{
    const double deviation = deviation_of(doubt, number), size = size_of(number);
    double least, most;
    if (is_bearing(number) || !(deviation > 0))
        return;
    allowed(&least, &most, number);
    *low = fmax(*low, (least - size) / deviation);
    if (!isnan(most))
        *high = fmin(*high, (most - size) / deviation);
}

/* A normal deviation, cut to low..high. */
static double deviate(double u, double low, double high)
{
    const double from = rn_normal_below(low), to = rn_normal_below(high);
    return fmin(fmax(rn_normal_at(from + u * (to - from)), low), high);
}

/* change: a share of it, or in its unit, as the doubt is. */
static double moved(const rn_doubt *doubt, const rn_plan_number *number, double change)
{
    double value = size_of(number) + change * (doubt->share ? fabs(number->value) : 1), least, most;
    if (is_bearing(number))
        return value - 2 * RN_PI * floor(value / (2 * RN_PI));
    allowed(&least, &most, number);
    value = fmax(value, least); /* digits of the change are not to lead past it */
    if (!isnan(most))
        value = fmin(value, most);
    return number->dimension == RN_DIM_RATE && number->value < 0 ? -value : value;
}

/* ---- one draw ---- */

/* What a draw sets, in its order. */
typedef struct settings {
    int count, room;
    struct {
        char path[RN_DOUBT_PATH], text[TEXT_SIZE];
    } * items;
} settings;

/* With the digits it is drawn with, and as whoever reads those has it. */
static double rounded(char text[TEXT_SIZE], double value, rn_dimension dimension)
{
    double read = value;
    rn_units_round(text, TEXT_SIZE, value, dimension, NULL, RN_DOUBT_DIGITS);
    rn_units_read(&read, NULL, text, dimension, 0, NULL);
    return read;
}

/* *value becomes what is set, with its digits. */
static rn_status set(settings *s, double *value, const char *path, rn_dimension dimension, rn_error *err)
{
    if (s->count == s->room) {
        const int room = s->room ? 2 * s->room : 32;
        void *items = realloc(s->items, (size_t)room * sizeof *s->items);
        if (!items)
            return rn_fail(err, RN_E_MEMORY, "no memory left");
        s->items = items;
        s->room = room;
    }
    memcpy(s->items[s->count].path, path, strlen(path) + 1); /* of a target, or a word */
    *value = rounded(s->items[s->count++].text, *value, dimension);
    return RN_OK;
}

/* Small slopes add as arrows do. */
static rn_status draw_level(settings *s, double *readings, const rn_doubt *doubt, const rn_plan *plan,
                            const double *numbers, rn_error *err)
{
    const double deviation = doubt->half / COVERAGE_FACTOR, slope = plan->panel.slope, toward = plan->panel.downhill;
    rn_plan_number number;
    rn_status status = rn_plan_number_at(&number, plan, RN_DOUBT_LEVEL, err);
    if (status)
        return status;
    const double right = slope * cos(toward) + deviation * rn_normal_at(numbers[0]);
    const double back = slope * sin(toward) + deviation * rn_normal_at(numbers[1]);
    double size = fmin(hypot(right, back), number.most), bearing = rn_doubt_bearing(right, back);
    status = set(s, &size, RN_DOUBT_LEVEL, RN_DIM_ANGLE, err);
    if (status == RN_OK)
        status = set(s, &bearing, RN_DOUBT_DOWNHILL, RN_DIM_ANGLE, err);
    readings[0] = size;
    readings[1] = size * cos(bearing);
    readings[2] = size * sin(bearing);
    return status;
}

/* What several numbers are off alike is rounded first, so that it tells each of them. */
static rn_status draw_numbers(settings *s, double *reading, const rn_doubt *doubt, const rn_plan *plan, double u,
                              rn_error *err)
{
    rn_target targets[RN_TARGETS_MOST];
    const int count = rn_targets_of(targets, plan, doubt->path);
    double low = -INFINITY, high = INFINITY, value = NAN;
    char text[TEXT_SIZE];
    rn_status status = RN_OK;
    for (int i = 0; i < count; i++)
        bound(&low, &high, doubt, &targets[i].number);
    double change = deviate(u, low, high) * doubt->half / COVERAGE_FACTOR;
    if (count > 1)
        change = rounded(text, change, doubt->share ? RN_DIM_SHARE : doubt->dimension);
    for (int i = 0; i < count && status == RN_OK; i++) {
        value = moved(doubt, &targets[i].number, change);
        status = set(s, &value, targets[i].path, targets[i].number.dimension, err);
    }
    *reading = count == 1 ? value : change;
    return status;
}

static rn_status apply(rn_plan **drawn, const settings *s, const rn_plan *plan, rn_error *err)
{
    rn_setting *list = malloc(((size_t)s->count + 1) * sizeof *list);
    rn_plan *made = list ? rn_plan_copy(plan) : NULL;
    if (!made) {
        free(list);
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    }
    for (int i = 0; i < s->count; i++)
        list[i] = (rn_setting){s->items[i].path, s->items[i].text};
    const rn_status status = rn_plan_set_all(made, list, s->count, err);
    free(list);
    if (status == RN_OK)
        *drawn = made;
    else
        rn_plan_free(made);
    return status;
}

static int numbers_of(const rn_doubt *doubt)
{
    return rn_doubt_is_level(doubt->path) ? 2 : 1;
}

static int readings_of(const rn_doubt *doubt)
{
    return rn_doubt_is_level(doubt->path) ? 3 : 1;
}

/* The consistency of the mixture is set while the volumes are still those that it was read with. */
static bool goes_first(const rn_doubt *doubt)
{
    return strcmp(doubt->path, "consistency") == 0;
}

static rn_status draw_in_turn(settings *s, double *readings, bool first, const rn_doubts *doubts, const rn_plan *plan,
                              const double *numbers, rn_error *err)
{
    rn_status status = RN_OK;
    for (int i = 0; i < doubts->count && status == RN_OK; i++) {
        const rn_doubt *doubt = &doubts->items[i];
        if (goes_first(doubt) == first && rn_doubt_is_level(doubt->path))
            status = draw_level(s, readings, doubt, plan, numbers, err);
        else if (goes_first(doubt) == first)
            status = draw_numbers(s, readings, doubt, plan, numbers[0], err);
        numbers += numbers_of(doubt);
        readings += readings_of(doubt);
    }
    return status;
}

rn_status rn_doubts_draw(rn_plan **drawn, double *readings, const rn_doubts *doubts, const rn_plan *plan,
                         const double *numbers, rn_error *err)
{
    settings s = {0};
    rn_status status = draw_in_turn(&s, readings, true, doubts, plan, numbers, err);
    if (status == RN_OK)
        status = draw_in_turn(&s, readings, false, doubts, plan, numbers, err);
    if (status == RN_OK && drawn)
        status = apply(drawn, &s, plan, err);
    free(s.items);
    return status;
}

int rn_doubts_readings(rn_reading *readings, const rn_doubts *doubts, const rn_plan *plan)
{
    static const char *const parts[] = {"", " right", " back"};
    rn_target targets[RN_TARGETS_MOST];
    int count = 0;
    for (int i = 0; i < doubts->count; i++) {
        const rn_doubt *doubt = &doubts->items[i];
        const bool change = rn_targets_of(targets, plan, doubt->path) > 1;
        for (int k = 0; k < readings_of(doubt); k++) {
            rn_reading *reading = &readings[count++];
            *reading = (rn_reading){
                .dimension = change && doubt->share ? RN_DIM_SHARE : doubt->dimension, .change = change, .doubt = i};
            snprintf(reading->name, sizeof reading->name, "%s%s", doubt->path, parts[k]);
        }
    }
    return count;
}

/* ---- random numbers ---- */

static uint64_t stirred(uint64_t state, uint64_t with)
{
    rn_random random = rn_random_seeded(state ^ with);
    return rn_random_bits(&random);
}

/* Where the numbers of one part of a doubt come from. */
static uint64_t stream_of(uint64_t seed, const rn_doubt *doubt, int part)
{
    uint64_t state = stirred(0, seed);
    for (const char *c = doubt->path; *c; c++)
        state = stirred(state, (unsigned char)*c);
    return stirred(state, (uint64_t)part);
}

int rn_doubts_numbers(const rn_doubts *doubts)
{
    int count = 0;
    for (int i = 0; i < doubts->count; i++)
        count += numbers_of(&doubts->items[i]);
    return count;
}

void rn_doubts_random(double *numbers, const rn_doubts *doubts, uint64_t seed, int draw)
{
    for (int i = 0; i < doubts->count; i++)
        for (int part = 0; part < numbers_of(&doubts->items[i]); part++) {
            const uint64_t state = stirred(stream_of(seed, &doubts->items[i], part), (uint64_t)draw);
            rn_random random = rn_random_seeded(state);
            *numbers++ = rn_random_unit(&random) + EDGE;
        }
}

/* A number from 0 to count - 1; the bias of some 2^-40 is of no account. */
static int random_place(rn_random *random, int count)
{
    return (int)(rn_random_unit(random) * count);
}

rn_status rn_doubts_even(double *numbers, const rn_doubts *doubts, uint64_t seed, int draws, rn_error *err)
{
    int *parts = malloc(((size_t)draws + 1) * sizeof *parts);
    const int width = rn_doubts_numbers(doubts);
    if (!parts)
        return rn_fail(err, RN_E_MEMORY, "no memory left");
    for (int i = 0, column = 0; i < doubts->count; i++)
        for (int part = 0; part < numbers_of(&doubts->items[i]); part++, column++) {
            rn_random random = rn_random_seeded(stirred(stream_of(seed, &doubts->items[i], part), UINT64_MAX));
            for (int k = 0; k < draws; k++)
                parts[k] = k;
            for (int k = draws - 1; k > 0; k--) {
                const int other = random_place(&random, k + 1), kept = parts[k];
                parts[k] = parts[other];
                parts[other] = kept;
            }
            for (int k = 0; k < draws; k++)
                numbers[(long)k * width + column] = (parts[k] + rn_random_unit(&random)) / draws + EDGE;
        }
    free(parts);
    return RN_OK;
}
