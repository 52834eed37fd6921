#include "parts.h"

void shelf_draw(rv_canvas *canvas)
{
    (void)canvas;
}
