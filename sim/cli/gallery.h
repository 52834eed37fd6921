/* What a forecast draws from the layers of a film: its face, cuts, sheets of moments, animations, figures of the design. */
#ifndef RN_CLI_GALLERY_H
#define RN_CLI_GALLERY_H

#include "cli/cmd.h"
#include "run/pattern.h"
#include "run/session.h"

typedef struct rn_gallery {
    const rn_plan *plan;
    const rn_session *session; /* with its history */
    const rn_record *record;
    const rn_pattern *pattern; /* of the still; NULL if not needed */
    const rn_still *still;     /* at the moment asked for */
    const rn_arguments *arguments;
    rn_team *team;
    FILE *standard; /* where "-" goes */
    FILE *words;    /* progress */
} rn_gallery;

/* Whether the arguments ask for anything that needs the layers. */
bool rn_gallery_asked(const rn_arguments *arguments);

/* Whether some of that needs the pattern: the report's second screen, the design, cells. */
bool rn_gallery_needs_pattern(const rn_arguments *arguments);

/* Finds out before the work begins that an argument makes no sense. */
rn_status rn_gallery_check(const rn_arguments *arguments, const rn_plan *plan, rn_error *err);

/* What the arguments say about the pattern. */
rn_pattern_options rn_gallery_pattern_options(const rn_arguments *arguments);

/* Each draws one thing and writes it; "-" goes to `standard`. RN_E_STOPPED where a stop was asked for by hand: nothing is
   written then, as part of a sheet or an animation would be taken for the whole. */
rn_status rn_gallery_face(rn_gallery *gallery, const char *path, rn_error *err);
rn_status rn_gallery_cut(rn_gallery *gallery, const char *path, rn_error *err);
rn_status rn_gallery_design(rn_gallery *gallery, const char *path, rn_error *err);
rn_status rn_gallery_moments(rn_gallery *gallery, const char *path, rn_error *err);
rn_status rn_gallery_animation(rn_gallery *gallery, const char *path, rn_error *err); /* of .webp, or a folder */

#endif
