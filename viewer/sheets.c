#include "parts.h"

void sheets_draw(canvas *canvas)
{
    (void)canvas;
}

void core_draw(canvas *canvas)
{
    (void)canvas;
}
