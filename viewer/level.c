#include "parts.h"

void level_draw(canvas *canvas)
{
    (void)canvas;
}
