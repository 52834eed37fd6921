#include "parts.h"

void level_draw(rv_canvas *canvas)
{
    (void)canvas;
}
