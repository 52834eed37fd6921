#include "hand.h"

#include <math.h>
#include <stdio.h>

bool hand_find(rn_box *box, const painter *hand, rv_part part, int a, int b)
{
    for (int k = hand->view->handles.count - 1; k >= 0; k--) {
        const rv_handle *handle = &hand->view->handles.list[k];
        if (handle->what.part == part && handle->what.a == a && handle->what.b == b) {
            *box = handle->box;
            return true;
        }
    }
    return false;
}

static void send(painter *hand, rv_input input)
{
    input.now = hand->now;
    view_apply(hand->view, &input);
}

void hand_move(painter *hand, double x, double y)
{
    const double scale = hand->view->layout.scale;
    hand->now += 0.02;
    send(hand, (rv_input){.kind = INPUT_MOVE, .x = x * scale, .y = y * scale});
}

void hand_shift(painter *hand, double dx, double dy)
{
    const double x = hand->view->pointer_x, y = hand->view->pointer_y;
    for (int k = 1; k <= 5; k++) /* a hand does not jump */
        hand_move(hand, x + dx * k / 5, y + dy * k / 5);
}

void hand_take(painter *hand, rv_part part, int a, int b)
{
    rn_box box = {0};
    hand_find(&box, hand, part, a, b);
    const double x = box.x + 0.5 * box.width, y = box.y + 0.5 * box.height, scale = hand->view->layout.scale;
    hand_move(hand, x, y);
    hand->now += 0.02;
    send(hand, (rv_input){.kind = INPUT_PRESS, .x = x * scale, .y = y * scale, .clicks = 1});
}

void hand_lift(painter *hand)
{
    const double scale = hand->view->layout.scale;
    hand->now += 0.02;
    send(hand, (rv_input){.kind = INPUT_LIFT, .x = hand->view->pointer_x * scale, .y = hand->view->pointer_y * scale});
}

void hand_press(painter *hand, rv_part part, int a, int b)
{
    hand_take(hand, part, a, b);
    hand_lift(hand);
}

void hand_drag(painter *hand, rv_part part, int a, int b, double dx, double dy)
{
    hand_take(hand, part, a, b);
    hand_shift(hand, dx, dy);
    hand_lift(hand);
}

void hand_key(painter *hand, int key, unsigned mods)
{
    hand->now += 0.05;
    send(hand, (rv_input){.kind = INPUT_KEY, .key = key, .mods = mods});
}

void hand_type(painter *hand, const char *text)
{
    rv_input input = {.kind = INPUT_TEXT};
    snprintf(input.text, sizeof input.text, "%s", text);
    hand->now += 0.05;
    send(hand, input);
}

void hand_wait(painter *hand, double seconds)
{
    for (double left = seconds; left > 0; left -= 1.0 / 60) {
        hand->now += fmin(left, 1.0 / 60);
        send(hand, (rv_input){.kind = INPUT_TICK});
    }
}
