#include "parts.h"

void sheets_draw(rv_canvas *canvas)
{
    (void)canvas;
}

void core_draw(rv_canvas *canvas)
{
    (void)canvas;
}
