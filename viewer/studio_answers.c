/* What a studio has answered, let go. */
#include <stdlib.h>

#include "studio.h"

void studio_tale_free(rv_studio_tale *tale)
{
    if (!tale)
        return;
    rn_record_free(tale->record);
    free(tale);
}

void studio_picture_free(rv_studio_picture *picture)
{
    if (!picture)
        return;
    rn_still_free(picture->still);
    rn_strata_free(picture->face);
    if (picture->image)
        cairo_surface_destroy(picture->image);
    free(picture);
}

void studio_core_free(rv_studio_core *core)
{
    if (!core)
        return;
    rn_cut_clear(&core->cut);
    free(core);
}

void studio_section_free(rv_studio_section *section)
{
    if (!section)
        return;
    rn_cut_clear(&section->cut);
    free(section);
}

void studio_pull_free(rv_studio_pull *pull)
{
    if (!pull)
        return;
    rn_stretch_clear(&pull->stretch);
    free(pull);
}
