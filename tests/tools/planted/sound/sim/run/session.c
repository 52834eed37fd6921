#include "film/height.h"
#include "plan/plan.h"
#include <stdio.h>
