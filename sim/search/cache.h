/* Outcomes kept between one search and the next, one small file a run, in a folder that may be deleted at any time. Several
   processes may use it at once. An outcome is found only under its whole identity, see search/identity.h; files that are
   damaged, or were not finished, are as good as absent. */
#ifndef RN_SEARCH_CACHE_H
#define RN_SEARCH_CACHE_H

#include "search/outcome.h"

typedef struct rn_cache rn_cache;

/* folder NULL: runnel under $XDG_CACHE_HOME, or under ~/.cache. Made when something is first kept. */
rn_status rn_cache_open(rn_cache **cache, const char *folder, rn_error *err);
void rn_cache_close(rn_cache *cache);
const char *rn_cache_folder(const rn_cache *cache);

/* From any thread. */
bool rn_cache_find(rn_outcome *outcome, const rn_cache *cache, const char *identity);

/* From any thread. Only whole and decided outcomes are kept. RN_E_FILE where it cannot be written: no search depends on
   it. */
rn_status rn_cache_keep(const rn_cache *cache, const char *identity, const rn_outcome *outcome, rn_error *err);

#endif
