#include "matter/paint.h"
#include "film/height.h"
