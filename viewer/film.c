#include "parts.h"

void film_draw(canvas *canvas)
{
    (void)canvas;
}

void dipstick_draw(canvas *canvas)
{
    (void)canvas;
}
