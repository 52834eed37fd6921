#include "parts.h"

void works_draw(rv_canvas *canvas)
{
    (void)canvas;
}
