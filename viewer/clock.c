#include "parts.h"

void clock_draw(rv_canvas *canvas)
{
    (void)canvas;
}
