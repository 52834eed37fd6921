#include "same.h"

#include <string.h>

#include "check.h"

#define SAME(a, b)                                                                                                     \
    do {                                                                                                               \
        if (!(isnan(a) && isnan(b)))                                                                                   \
            check_close((a), (b), 1e-12);                                                                              \
    } while (0)

static void same_place(const rn_place *a, const rn_place *b)
{
    assert_int_equal(a->point, b->point);
    assert_int_equal(a->side_x, b->side_x);
    assert_int_equal(a->side_y, b->side_y);
    SAME(a->x, b->x);
    SAME(a->y, b->y);
}

static void same_paint(const rn_paint *a, const rn_paint *b)
{
    assert_string_equal(a->name, b->name);
    assert_memory_equal(a->colour, b->colour, 3);
    SAME(a->density, b->density);
    SAME(a->tension, b->tension);
    SAME(a->law.consistency, b->law.consistency);
    SAME(a->law.power, b->law.power);
    SAME(a->law.yield, b->law.yield);
    SAME(a->solids, b->solids);
    SAME(a->price, b->price);
}

static void same_base(const rn_base *a, const rn_base *b)
{
    assert_int_equal(a->paint, b->paint);
    assert_int_equal(a->kind, b->kind);
    SAME(a->volume, b->volume);
    SAME(a->depth, b->depth);
    same_place(&a->at, &b->at);
    SAME(a->across, b->across);
    SAME(a->width, b->width);
}

static void same_pour(const rn_pour *a, const rn_pour *b)
{
    assert_string_equal(a->name, b->name);
    assert_int_equal(a->cup, b->cup);
    same_place(&a->at, &b->at);
    SAME(a->across, b->across);
    SAME(a->width, b->width);
    SAME(a->start, b->start);
    assert_int_equal(a->lifts, b->lifts);
    SAME(a->every, b->every);
    SAME(a->open, b->open);
    assert_int_equal(a->size_count, b->size_count);
    for (int i = 0; i < a->size_count; i++)
        SAME(a->sizes[i], b->sizes[i]);
    SAME(a->uneven, b->uneven);
    assert_int_equal(a->seed, b->seed);
    assert_int_equal(a->repeat, b->repeat);
    assert_int_equal(a->layer_count, b->layer_count);
    for (int i = 0; i < a->layer_count; i++) {
        assert_int_equal(a->stack[i].paint, b->stack[i].paint);
        SAME(a->stack[i].volume, b->stack[i].volume);
    }
}

static void same_move(const rn_move *a, const rn_move *b)
{
    assert_int_equal(a->kind, b->kind);
    SAME(a->start, b->start);
    SAME(a->duration, b->duration);
    SAME(a->amount, b->amount);
    SAME(a->ramp, b->ramp);
    SAME(a->toward, b->toward);
    assert_int_equal(a->room_frame, b->room_frame);
}

static void same_expect(const rn_expect *a, const rn_expect *b)
{
    assert_int_equal(a->kind, b->kind);
    assert_int_equal(a->relation, b->relation);
    SAME(a->value, b->value);
    SAME(a->tolerance, b->tolerance);
    assert_int_equal(a->share, b->share);
    assert_int_equal(a->one_side, b->one_side);
    assert_int_equal(a->side_x, b->side_x);
    assert_int_equal(a->side_y, b->side_y);
}

static void same_panel(const rn_panel *a, const rn_panel *b)
{
    assert_int_equal(a->round, b->round);
    SAME(a->width, b->width);
    SAME(a->height, b->height);
    assert_int_equal(a->edges, b->edges);
    SAME(a->side, b->side);
    assert_int_equal(a->ground, b->ground);
    SAME(a->advance, b->advance);
    SAME(a->slope, b->slope);
    SAME(a->downhill, b->downhill);
}

void check_same_plan(const rn_plan *a, const rn_plan *b)
{
    assert_string_equal(a->title, b->title);
    same_panel(&a->panel, &b->panel);
    SAME(a->cover, b->cover);
    SAME(a->limits.spin, b->limits.spin);
    SAME(a->limits.stretch, b->limits.stretch);
    SAME(a->limits.deepest, b->limits.deepest);
    SAME(a->end, b->end);
    assert_int_equal(a->end_given, b->end_given);
    assert_int_equal(a->paint_count, b->paint_count);
    assert_int_equal(a->base_count, b->base_count);
    assert_int_equal(a->pour_count, b->pour_count);
    assert_int_equal(a->move_count, b->move_count);
    assert_int_equal(a->expect_count, b->expect_count);
    for (int i = 0; i < a->paint_count; i++)
        same_paint(&a->paints[i], &b->paints[i]);
    for (int i = 0; i < a->base_count; i++)
        same_base(&a->bases[i], &b->bases[i]);
    for (int i = 0; i < a->pour_count; i++)
        same_pour(&a->pours[i], &b->pours[i]);
    for (int i = 0; i < a->move_count; i++)
        same_move(&a->moves[i], &b->moves[i]);
    for (int i = 0; i < a->expect_count; i++)
        same_expect(&a->expects[i], &b->expects[i]);
}
