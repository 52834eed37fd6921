#include "parts.h"

void slip_draw(rv_canvas *canvas)
{
    (void)canvas;
}
