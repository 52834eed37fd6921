/* All that an outcome depends on, as text: two runs with the same identity have the same outcome to the last bit. */
#ifndef RN_SEARCH_IDENTITY_H
#define RN_SEARCH_IDENTITY_H

#include "plan/plan.h"
#include "search/study.h"

/* Of the plan everything but titles, names, colours, prices and expectations, and limits where no pattern is asked for,
   every number with all its bits; of the run its grid, its pattern and its goal; the model's name (NULL: sessions); and the
   stamp of the program, which is another one after any change of what sessions are made of. *text is malloc'd, owned by
   the caller. */
rn_status rn_identity_write(char **text, const rn_run *run, const char *model_name, rn_error *err);

/* The stamp alone. */
const char *rn_identity_stamp(void);

#endif
