#include "window.h"

#include <SDL.h>
#include <stdlib.h>

#include "base/monotonic.h"
#include "sdl_input.h"

#define LEAST_WIDTH 900
#define LEAST_HEIGHT 600

struct rv_window {
    SDL_Window *window;
    SDL_Renderer *renderer;
    SDL_Texture *texture;
    int width, height; /* of the texture */
    Uint32 wake;
};

double window_clock(void)
{
    return rn_monotonic_now();
}

rn_status window_open(rv_window **window, int width, int height, rn_error *err)
{
    SDL_SetHint(SDL_HINT_VIDEO_ALLOW_SCREENSAVER, "1");
    SDL_SetHint(SDL_HINT_TOUCH_MOUSE_EVENTS, "0");
    SDL_SetHint(SDL_HINT_VIDEO_X11_NET_WM_BYPASS_COMPOSITOR, "0");
    if (SDL_Init(SDL_INIT_VIDEO) != 0)
        return rn_fail(err, RN_E_FILE, "there is no screen to open a window on: %s", SDL_GetError());
    rv_window *made = calloc(1, sizeof *made);
    if (!made)
        return rn_fail(err, RN_E_MEMORY, "no memory for a window");
    const Uint32 flags = SDL_WINDOW_RESIZABLE | SDL_WINDOW_ALLOW_HIGHDPI;
    made->window = SDL_CreateWindow("runnel", SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED, width, height, flags);
    if (made->window)
        made->renderer = SDL_CreateRenderer(made->window, -1, SDL_RENDERER_PRESENTVSYNC);
    if (made->window && !made->renderer)
        made->renderer = SDL_CreateRenderer(made->window, -1, SDL_RENDERER_SOFTWARE);
    if (!made->renderer) {
        const rn_status status = rn_fail(err, RN_E_FILE, "no window could be opened: %s", SDL_GetError());
        window_close(made);
        return status;
    }
    SDL_SetWindowMinimumSize(made->window, LEAST_WIDTH, LEAST_HEIGHT);
    SDL_EventState(SDL_DROPFILE, SDL_ENABLE);
    SDL_StartTextInput();
    made->wake = SDL_RegisterEvents(1);
    *window = made;
    return RN_OK;
}

void window_close(rv_window *window)
{
    if (window && window->texture)
        SDL_DestroyTexture(window->texture);
    if (window && window->renderer)
        SDL_DestroyRenderer(window->renderer);
    if (window && window->window)
        SDL_DestroyWindow(window->window);
    free(window);
    SDL_Quit();
}

void window_size(const rv_window *window, int *width, int *height, double *ratio)
{
    int w = 1, h = 1;
    SDL_GetWindowSize(window->window, &w, &h);
    if (SDL_GetRendererOutputSize(window->renderer, width, height) != 0) {
        *width = w;
        *height = h;
    }
    *ratio = w > 0 ? (double)*width / w : 1;
}

void window_title(rv_window *window, const char *title)
{
    SDL_SetWindowTitle(window->window, title);
}

void window_full(rv_window *window)
{
    const bool full = SDL_GetWindowFlags(window->window) & SDL_WINDOW_FULLSCREEN_DESKTOP;
    SDL_SetWindowFullscreen(window->window, full ? 0 : SDL_WINDOW_FULLSCREEN_DESKTOP);
}

bool window_next(rv_window *window, rv_input *input, double wait)
{
    SDL_Event event;
    int width, height;
    double ratio;
    while (wait > 0 ? SDL_WaitEventTimeout(&event, (int)(1e3 * wait + 0.5)) : SDL_PollEvent(&event)) {
        wait = 0;
        if (event.type == window->wake)
            return false;
        window_size(window, &width, &height, &ratio);
        if (!input_from_event(input, &event, ratio, width, height))
            continue;
        input->now = window_clock();
        return true;
    }
    return false;
}

void window_wake(void *context)
{
    const rv_window *window = context;
    SDL_Event event = {.type = window->wake};
    SDL_PushEvent(&event);
}

rn_status window_show(rv_window *window, cairo_surface_t *image, rn_error *err)
{
    const int width = cairo_image_surface_get_width(image), height = cairo_image_surface_get_height(image);
    if (!window->texture || window->width != width || window->height != height) {
        if (window->texture)
            SDL_DestroyTexture(window->texture);
        window->texture =
            SDL_CreateTexture(window->renderer, SDL_PIXELFORMAT_RGB888, SDL_TEXTUREACCESS_STREAMING, width, height);
        window->width = width;
        window->height = height;
        if (!window->texture)
            return rn_fail(err, RN_E_MEMORY, "the screen takes no picture of %d x %d: %s", width, height,
                           SDL_GetError());
    }
    SDL_UpdateTexture(window->texture, NULL, cairo_image_surface_get_data(image),
                      cairo_image_surface_get_stride(image));
    SDL_RenderCopy(window->renderer, window->texture, NULL, NULL);
    SDL_RenderPresent(window->renderer);
    return RN_OK;
}
