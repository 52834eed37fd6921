#include "search/seal.h"

#include <glib.h>
#include <string.h>

bool rn_seal_sum(char sum[RN_SEAL_SIZE], const char *text, size_t size)
{
    char *made = g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)text, size);
    const bool right = made && strlen(made) == RN_SEAL_SIZE - 1;
    if (right)
        memcpy(sum, made, RN_SEAL_SIZE);
    g_free(made);
    return right;
}

bool rn_seal_holds(size_t *inner, const char *text, size_t size)
{
    char sum[RN_SEAL_SIZE];
    if (size < RN_SEAL_SIZE + 1 || strlen(text) != size || text[size - 1] != '\n')
        return false;
    *inner = size - RN_SEAL_SIZE;
    return text[*inner - 1] == '\n' && rn_seal_sum(sum, text, *inner) &&
           strncmp(sum, text + *inner, RN_SEAL_SIZE - 1) == 0;
}
