#include "parts.h"

void lanes_draw(rv_canvas *canvas)
{
    (void)canvas;
}
