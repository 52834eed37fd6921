#include "parts.h"

void film_draw(rv_canvas *canvas)
{
    (void)canvas;
}

void dipstick_draw(rv_canvas *canvas)
{
    (void)canvas;
}
