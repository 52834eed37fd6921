#include "parts.h"

void start_draw(canvas *canvas)
{
    (void)canvas;
}
