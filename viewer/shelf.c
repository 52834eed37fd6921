#include "parts.h"

void shelf_draw(canvas *canvas)
{
    (void)canvas;
}
