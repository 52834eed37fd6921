#include "parts.h"

void side_draw(rv_canvas *canvas)
{
    (void)canvas;
}
