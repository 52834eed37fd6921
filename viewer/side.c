#include "parts.h"

void side_draw(canvas *canvas)
{
    (void)canvas;
}
