#include "parts.h"

void keys_draw(canvas *canvas)
{
    (void)canvas;
}
