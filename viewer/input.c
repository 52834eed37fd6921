#include "sdl_input.h"

#include <stdio.h>
#include <string.h>

static int key_of(SDL_Keycode code)
{
    static const struct {
        SDL_Keycode code;
        int key;
    } named[] = {
        {SDLK_RETURN, KEY_ENTER},   {SDLK_KP_ENTER, KEY_ENTER},
        {SDLK_ESCAPE, KEY_ESCAPE},  {SDLK_TAB, KEY_TAB},
        {SDLK_SPACE, KEY_SPACE},    {SDLK_BACKSPACE, KEY_BACKSPACE},
        {SDLK_DELETE, KEY_DELETE},  {SDLK_INSERT, KEY_INSERT},
        {SDLK_LEFT, KEY_LEFT},      {SDLK_RIGHT, KEY_RIGHT},
        {SDLK_UP, KEY_UP},          {SDLK_DOWN, KEY_DOWN},
        {SDLK_HOME, KEY_HOME},      {SDLK_END, KEY_END},
        {SDLK_PAGEUP, KEY_PAGE_UP}, {SDLK_PAGEDOWN, KEY_PAGE_DOWN},
        {SDLK_KP_PLUS, '='},        {SDLK_KP_MINUS, '-'},
        {SDLK_PLUS, '='},
    };
    for (size_t k = 0; k < sizeof named / sizeof *named; k++)
        if (named[k].code == code)
            return named[k].key;
    if (code >= SDLK_F1 && code <= SDLK_F12)
        return KEY_F1 + (int)(code - SDLK_F1);
    if (code >= SDLK_KP_1 && code <= SDLK_KP_9)
        return '1' + (int)(code - SDLK_KP_1);
    if (code == SDLK_KP_0)
        return '0';
    return code > 32 && code < 127 ? (int)code : 0;
}

static unsigned mods_of(int state)
{
    return (state & KMOD_SHIFT ? MOD_SHIFT : 0u) | (state & KMOD_CTRL ? MOD_CTRL : 0u) |
           (state & KMOD_ALT ? MOD_ALT : 0u);
}

static bool button(rv_input *input, const SDL_MouseButtonEvent *event, double ratio)
{
    if (event->which == SDL_TOUCH_MOUSEID)
        return false; /* comes as a finger */
    input->x = ratio * event->x;
    input->y = ratio * event->y;
    input->clicks = event->clicks;
    if (event->button == SDL_BUTTON_LEFT)
        input->kind = event->type == SDL_MOUSEBUTTONDOWN ? INPUT_PRESS : INPUT_LIFT;
    else if (event->button == SDL_BUTTON_RIGHT && event->type == SDL_MOUSEBUTTONDOWN)
        input->kind = INPUT_MENU;
    return input->kind != INPUT_NONE;
}

static bool finger(rv_input *input, const SDL_TouchFingerEvent *event, int width, int height)
{
    input->kind = event->type == SDL_FINGERDOWN ? INPUT_PRESS : event->type == SDL_FINGERUP ? INPUT_LIFT : INPUT_MOVE;
    input->x = (double)event->x * width;
    input->y = (double)event->y * height;
    input->clicks = 1;
    input->touch = true;
    return true;
}

static bool window_event(rv_input *input, const SDL_WindowEvent *event, double ratio, int width, int height)
{
    switch (event->event) {
    case SDL_WINDOWEVENT_SIZE_CHANGED:
    case SDL_WINDOWEVENT_EXPOSED:
        input->kind = INPUT_SIZE;
        input->width = width;
        input->height = height;
        input->ratio = ratio;
        return true;
    case SDL_WINDOWEVENT_LEAVE: input->kind = INPUT_LEAVE; return true;
    case SDL_WINDOWEVENT_CLOSE: input->kind = INPUT_CLOSE; return true;
    default: return false;
    }
}

bool input_from_event(rv_input *input, const SDL_Event *event, double ratio, int width, int height)
{
    memset(input, 0, sizeof *input);
    input->mods = mods_of((int)SDL_GetModState());
    switch (event->type) {
    case SDL_QUIT: input->kind = INPUT_CLOSE; return true;
    case SDL_WINDOWEVENT: return window_event(input, &event->window, ratio, width, height);
    case SDL_MOUSEMOTION:
        if (event->motion.which == SDL_TOUCH_MOUSEID)
            return false;
        input->kind = INPUT_MOVE;
        input->x = ratio * event->motion.x;
        input->y = ratio * event->motion.y;
        return true;
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP: return button(input, &event->button, ratio);
    case SDL_MOUSEWHEEL:
        input->kind = INPUT_WHEEL;
        input->wheel = (double)event->wheel.preciseY * (event->wheel.direction == SDL_MOUSEWHEEL_FLIPPED ? -1 : 1);
        return true;
    case SDL_FINGERDOWN:
    case SDL_FINGERUP:
    case SDL_FINGERMOTION: return finger(input, &event->tfinger, width, height);
    case SDL_KEYDOWN:
        input->kind = INPUT_KEY;
        input->key = key_of(event->key.keysym.sym);
        input->mods = mods_of(event->key.keysym.mod); /* as they were when it was pressed, not now */
        input->held = event->key.repeat != 0;
        return input->key != 0;
    case SDL_TEXTINPUT:
        input->kind = INPUT_TEXT;
        snprintf(input->text, sizeof input->text, "%s", event->text.text);
        return true;
    case SDL_DROPFILE:
        input->kind = INPUT_DROP;
        snprintf(input->text, sizeof input->text, "%s", event->drop.file);
        SDL_free(event->drop.file);
        return true;
    default: return false;
    }
}
