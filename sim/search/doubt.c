/* z: standard deviations off; u: a number of a draw, uniform on 0..1. */
#include "search/doubt.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/physical.h"
#include "base/random.h"
#include "base/text.h"
#include "search/chance.h"

#define COVERAGE_FACTOR 2 /* of "+-", [jcgm2008] */
#define TARGETS_MOST RN_MOVES_MOST
#define TEXT_SIZE 60
#define DEGREE (RN_PI / 180)
#define SLOPE_MOST (30 * DEGREE) /* what the key allows */
#define LEVEL "panel.slope"
#define EDGE 0x1p-54 /* so that no number is quite 0 */

/* A number of the plan that a doubt moves. */
typedef struct target {
    char path[RN_DOUBT_PATH];
    rn_plan_number number;
} target;

/* ---- which numbers ---- */

static bool is_level(const char *path)
{
    return strcmp(path, LEVEL) == 0;
}

static bool number_at(target *found, const rn_plan *plan, const char *path)
{
    if (strlen(path) >= sizeof found->path || rn_plan_number_at(&found->number, plan, path, NULL))
        return false;
    memcpy(found->path, path, strlen(path) + 1);
    return !found->number.whole && !isnan(found->number.value);
}

/* A list that a plan has. */
typedef struct entries {
    const char *word;
    int count;
} entries;

/* The list of the plan whose word is text[length]; count -1: there is none. */
static entries list_of(const rn_plan *plan, const char *text, size_t length)
{
    const entries lists[] = {{"paints", plan->paint_count},
                             {"base", plan->base_count},
                             {"pours", plan->pour_count},
                             {"moves", plan->move_count}};
    for (int i = 0; i < 4; i++)
        if (strlen(lists[i].word) == length && strncmp(lists[i].word, text, length) == 0)
            return lists[i];
    return (entries){NULL, -1};
}

/* "moves.spin" with every move that spins; 0 where the path is none of that kind or nothing has the key. */
static int targets_of_list(target targets[TARGETS_MOST], const rn_plan *plan, const char *path)
{
    const char *key = strchr(path, '.');
    int count = 0;
    if (!key || strchr(key + 1, '.'))
        return 0;
    const entries all = list_of(plan, path, (size_t)(key - path));
    for (int i = 0; i < all.count; i++) {
        char one[RN_DOUBT_PATH];
        snprintf(one, sizeof one, "%s.%d%.60s", all.word, i + 1, key);
        count += number_at(&targets[count], plan, one);
    }
    return count;
}

static int targets_of(target targets[TARGETS_MOST], const rn_plan *plan, const char *path)
{
    return number_at(&targets[0], plan, path) ? 1 : targets_of_list(targets, plan, path);
}

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

/* Narrows z to what the number's key allows; what has no least of its own stays above zero. */
static void bound(double *low, double *high, const rn_doubt *doubt, const rn_plan_number *number)
{
    const double deviation = deviation_of(doubt, number), size = size_of(number);
    double least = isnan(number->least) ? 0 : number->least, most = number->most;
    if (is_bearing(number) || !(deviation > 0))
        return;
    if (number->dimension == RN_DIM_RATE) {
        most = number->value < 0 ? -least : most;
        least = 0;
    }
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

static double moved(const rn_doubt *doubt, const rn_plan_number *number, double z)
{
    const double value = size_of(number) + z * deviation_of(doubt, number);
    if (is_bearing(number))
        return value - 2 * RN_PI * floor(value / (2 * RN_PI));
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

static rn_status set(settings *s, const char *path, double value, rn_dimension dimension, rn_error *err)
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
    rn_units_round(s->items[s->count++].text, TEXT_SIZE, value, dimension, NULL, RN_DOUBT_DIGITS);
    return RN_OK;
}

/* Small slopes add as arrows do. */
static rn_status draw_level(settings *s, double *readings, const rn_doubt *doubt, const rn_plan *plan,
                            const double *numbers, rn_error *err)
{
    const double deviation = doubt->half / COVERAGE_FACTOR, slope = plan->panel.slope, toward = plan->panel.downhill;
    const double right = slope * cos(toward) + deviation * rn_normal_at(numbers[0]);
    const double back = slope * sin(toward) + deviation * rn_normal_at(numbers[1]);
    const double size = fmin(hypot(right, back), SLOPE_MOST), bearing = atan2(back, right);
    rn_status status = set(s, LEVEL, size, RN_DIM_ANGLE, err);
    if (status == RN_OK)
        status = set(s, "panel.downhill", bearing < 0 ? bearing + 2 * RN_PI : bearing, RN_DIM_ANGLE, err);
    readings[0] = size;
    readings[1] = right;
    readings[2] = back;
    return status;
}

static rn_status draw_numbers(settings *s, double *reading, const rn_doubt *doubt, const rn_plan *plan, double u,
                              rn_error *err)
{
    target targets[TARGETS_MOST];
    const int count = targets_of(targets, plan, doubt->path);
    double low = -INFINITY, high = INFINITY;
    rn_status status = RN_OK;
    for (int i = 0; i < count; i++)
        bound(&low, &high, doubt, &targets[i].number);
    const double z = deviate(u, low, high);
    for (int i = 0; i < count && status == RN_OK; i++)
        status = set(s, targets[i].path, moved(doubt, &targets[i].number, z), targets[i].number.dimension, err);
    *reading = count == 1 ? moved(doubt, &targets[0].number, z) : z * doubt->half / COVERAGE_FACTOR;
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
    return is_level(doubt->path) ? 2 : 1;
}

static int readings_of(const rn_doubt *doubt)
{
    return is_level(doubt->path) ? 3 : 1;
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
        if (goes_first(doubt) == first && is_level(doubt->path))
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
    target targets[TARGETS_MOST];
    int count = 0;
    for (int i = 0; i < doubts->count; i++) {
        const rn_doubt *doubt = &doubts->items[i];
        const bool change = targets_of(targets, plan, doubt->path) > 1;
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

/* ---- what is in doubt ---- */

void rn_doubt_text(char *text, int size, const rn_doubt *doubt)
{
    char value[TEXT_SIZE];
    rn_units_round(value, sizeof value, doubt->half, doubt->share ? RN_DIM_SHARE : doubt->dimension, NULL,
                   RN_DOUBT_DIGITS);
    snprintf(text, (size_t)size, "+-%s", value);
}

/* "+-5%" -> 0.05 of the value, "+-0.2 deg" -> [rad]. */
static rn_status read_half(rn_doubt *doubt, const char *text, rn_error *err)
{
    char plain[TEXT_SIZE], quoted[RN_QUOTE_SIZE];
    rn_error own = {0};
    double half;
    rn_text_quote(quoted, text);
    if (!rn_units_plain(plain, sizeof plain, text) || strncmp(plain, "+-", 2) != 0)
        return rn_fail(err, RN_E_PLAN, "'%s' says not how far; write for example '+-5%%' or '+-%s'", quoted,
                       rn_dimension_example(doubt->dimension));
    const char *figure = plain + 2 + strspn(plain + 2, " ");
    const size_t length = strlen(figure);
    doubt->share = doubt->dimension != RN_DIM_SHARE && length > 0 && figure[length - 1] == '%';
    if (strcmp(figure, "0") == 0)
        half = 0;
    else if (rn_units_read(&half, NULL, figure, doubt->share ? RN_DIM_SHARE : doubt->dimension, 0, &own))
        return rn_fail(err, RN_E_PLAN, "%s", own.message);
    if (!(half >= 0) || (doubt->share && half > 1))
        return rn_fail(err, RN_E_PLAN, "'%s' is no doubt: it goes from +-0 to %s", quoted,
                       doubt->share ? "+-100 %" : "as much as the key allows");
    doubt->half = half;
    return RN_OK;
}

static rn_status make(rn_doubt *doubt, const rn_plan *plan, const char *path, const char *text, rn_error *err)
{
    target targets[TARGETS_MOST];
    rn_doubt made = {.half = 0};
    rn_plan_number number;
    char quoted[RN_QUOTE_SIZE];
    bool any = false;
    rn_text_quote(quoted, path);
    const int count = strlen(path) < sizeof made.path ? targets_of(targets, plan, path) : 0;
    if (count == 0) {
        const char *key = strchr(path, '.');
        if (key && !strchr(key + 1, '.') && list_of(plan, path, (size_t)(key - path)).count >= 0)
            return rn_fail(err, RN_E_PLAN, "%s: nothing in that list has such a number", quoted);
        const rn_status status = rn_plan_number_at(&number, plan, path, err);
        return status ? status
                      : rn_fail(err, RN_E_PLAN, "%s: %s cannot be off by some", quoted,
                                number.whole ? "a whole number" : "what is not given");
    }
    memcpy(made.path, path, strlen(path) + 1);
    made.dimension = targets[0].number.dimension;
    rn_error own = {0};
    const rn_status status = read_half(&made, text, &own);
    if (status)
        return rn_fail(err, status, "%s: %s", quoted, own.message);
    for (int i = 0; i < count; i++)
        any = any || targets[i].number.value != 0;
    if (made.share && (!any || is_level(path)))
        return rn_fail(err, RN_E_PLAN, "%s: a share of it says nothing here; write for example '+-%s'", quoted,
                       is_level(path) ? "0.2 deg" : rn_dimension_example(made.dimension));
    if (is_level(path) && made.half > RN_SLOPE_DOUBT_MOST * DEGREE)
        return rn_fail(err, RN_E_PLAN, "%s: a bench is level to +-%g deg at least", quoted, RN_SLOPE_DOUBT_MOST);
    *doubt = made;
    return RN_OK;
}

/* ---- doubts that speak of the same ---- */

/* The entries of the plan behind a doubt: of the volume all places of stacks, of the consistency all viscosities. */
static int entries_of(target behind[TARGETS_MOST], const rn_plan *plan, const rn_doubt *doubt)
{
    int count = 0;
    char path[RN_DOUBT_PATH];
    if (strcmp(doubt->path, "consistency") == 0)
        return targets_of_list(behind, plan, "paints.viscosity");
    if (is_level(doubt->path))
        return number_at(&behind[0], plan, LEVEL) + number_at(&behind[1], plan, "panel.downhill");
    if (strcmp(doubt->path, "poured") != 0)
        return targets_of(behind, plan, doubt->path);
    for (int i = 0; i < plan->pour_count; i++)
        for (int k = 0; k < plan->pours[i].layer_count && count < TARGETS_MOST; k++) {
            snprintf(path, sizeof path, "pours.%d.stack.%d", i + 1, k + 1);
            count += number_at(&behind[count], plan, path);
        }
    return count;
}

/* Whether a draw of one changes what is behind the other. */
static bool moves(const rn_doubt *one, const rn_doubt *other, const rn_plan *plan)
{
    static const double tries[] = {0.9, 0.1}; /* one of the two may make no plan */
    const rn_doubts alone = {.count = 1, .items = {*one}};
    target behind[TARGETS_MOST];
    const int count = entries_of(behind, plan, other);
    for (int t = 0; t < 2; t++) {
        rn_plan *drawn = NULL;
        double readings[3];
        target now;
        bool changed = false;
        if (rn_doubts_draw(&drawn, readings, &alone, plan, (const double[]){tries[t], tries[t]}, NULL))
            continue;
        for (int i = 0; i < count; i++)
            changed = changed || !number_at(&now, drawn, behind[i].path) || now.number.value != behind[i].number.value;
        rn_plan_free(drawn);
        return changed;
    }
    return false;
}

static bool alike(const rn_doubt *one, const rn_doubt *other, const rn_plan *plan)
{
    return strcmp(one->path, other->path) == 0 || moves(one, other, plan) || moves(other, one, plan);
}

static void drop(rn_doubts *doubts, int at)
{
    doubts->count--;
    memmove(&doubts->items[at], &doubts->items[at + 1], (size_t)(doubts->count - at) * sizeof doubts->items[0]);
}

static rn_status put(rn_doubts *doubts, const rn_plan *plan, const rn_doubt *doubt, rn_error *err)
{
    rn_doubt probe = *doubt;
    if (!(probe.half > 0)) { /* "+-0": only what it speaks of counts */
        probe.share = false;
        probe.half = is_level(probe.path) ? DEGREE : 0;
    }
    for (int i = doubts->count - 1; i >= 0; i--) {
        if (!alike(&probe, &doubts->items[i], plan))
            continue;
        if (!doubts->items[i].usual)
            return rn_fail(err, RN_E_PLAN, "%s: '%s' is given as well and speaks of the same", doubt->path,
                           doubts->items[i].path);
        drop(doubts, i);
    }
    if (!(doubt->half > 0))
        return RN_OK;
    if (doubts->count == RN_DOUBTS_MOST)
        return rn_fail(err, RN_E_PLAN, "there are too many doubts: at most %d", RN_DOUBTS_MOST);
    doubts->items[doubts->count++] = *doubt;
    return RN_OK;
}

/* "paints.*.viscosity" -> "paints.kelp.viscosity": by name where entries have one. */
static void name_entry(char path[RN_DOUBT_PATH], const rn_plan *plan, const entries *all, int at, const char *rest)
{
    const char *name = "";
    if (strcmp(all->word, "paints") == 0)
        name = plan->paints[at].name;
    else if (strcmp(all->word, "pours") == 0)
        name = plan->pours[at].name;
    if (*name)
        snprintf(path, RN_DOUBT_PATH, "%s.%s%.40s", all->word, name, rest);
    else
        snprintf(path, RN_DOUBT_PATH, "%s.%d%.40s", all->word, at + 1, rest);
}

static rn_status add_each(rn_doubts *doubts, const rn_plan *plan, const char *path, const char *star, const char *text,
                          rn_error *err)
{
    char quoted[RN_QUOTE_SIZE], one[RN_DOUBT_PATH];
    const entries all = star > path ? list_of(plan, path, (size_t)(star - path) - 1) : (entries){NULL, -1};
    int found = 0;
    rn_text_quote(quoted, path);
    if (all.count < 0 || star[1] != '.' || strchr(star + 1, '*'))
        return rn_fail(err, RN_E_PLAN, "%s: a star stands for a name or number: write for example paints.*.viscosity",
                       quoted);
    for (int i = 0; i < all.count; i++) {
        target known;
        rn_doubt made;
        name_entry(one, plan, &all, i, star + 1);
        if (!number_at(&known, plan, one))
            continue;
        rn_status status = make(&made, plan, one, text, err);
        if (status == RN_OK)
            status = put(doubts, plan, &made, err);
        if (status)
            return status;
        found++;
    }
    return found > 0 ? RN_OK : rn_fail(err, RN_E_PLAN, "%s: nothing in that list has such a number", quoted);
}

rn_status rn_doubts_add(rn_doubts *doubts, const rn_plan *plan, const char *path, const char *text, rn_error *err)
{
    rn_doubts added = *doubts;
    rn_doubt made;
    const char *star = strchr(path, '*');
    rn_status status;
    if (star) {
        status = add_each(&added, plan, path, star, text, err);
    } else {
        status = make(&made, plan, path, text, err);
        if (status == RN_OK)
            status = put(&added, plan, &made, err);
    }
    if (status == RN_OK)
        *doubts = added;
    return status;
}

rn_doubts rn_doubts_usual(const rn_plan *plan)
{
    static const struct {
        const char *path, *text;
    } usual[] = {
        {"consistency", "+-10 %"},                          /* common practice, no source; so with the others */
        {"poured", "+-3 %"},                                /* what stays in cups, and their marks */
        {"moves.spin", "+-5 %"},      {LEVEL, "+-0.2 deg"}, /* each way, by a small bubble level */
        {"panel.advance", "+-5 deg"},
    };
    rn_doubts doubts = {.count = 0};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        if (strcmp(usual[i].path, "panel.advance") == 0 && !(plan->panel.advance > 0))
            continue; /* the front runs freely, by choice */
        if (make(&doubts.items[doubts.count], plan, usual[i].path, usual[i].text, NULL) == RN_OK)
            doubts.items[doubts.count++].usual = true;
    }
    return doubts;
}
