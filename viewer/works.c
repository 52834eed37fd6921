#include "parts.h"

void works_draw(canvas *canvas)
{
    (void)canvas;
}
