#include "plan/plan_keys.h"

#include "base/memory_stream.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A default times as much or as little is usual: less than from mm to cm, and from s to min. */
#define LENGTHS_ROUND 9.0
#define TIMES_ROUND 12.0

static const char *const edge_words[] = {"clean", "wrapped", "walls", "open", NULL};
static const char *const ground_words[] = {"primed", "sealed", NULL};
static const char *const from_words[] = {"rim", "cup", NULL};
static const char *const frame_words[] = {"panel", "room", NULL};
static const char *const rest_words[] = {"yes", NULL};

/* Row makers, so that a row shows what is its own: name, field, range, default, otherwise, line of doc. */
#define QUANTITY(name, type, field, dimension, least, most, fallback, otherwise, doc)                                  \
    {                                                                                                                  \
        name, RN_KEY_QUANTITY, dimension, offsetof(type, field), least, most, fallback, otherwise, NULL, 0, doc,       \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define USUAL(name, type, field, dimension, least, most, fallback, otherwise, from, to, example, doc)                  \
    {                                                                                                                  \
        name, RN_KEY_QUANTITY, dimension, offsetof(type, field), least, most, fallback, otherwise, NULL, 0, doc,       \
        {                                                                                                              \
            from, to, example                                                                                          \
        }                                                                                                              \
    }
#define COUNT(name, type, field, least, most, fallback, doc)                                                           \
    {                                                                                                                  \
        name, RN_KEY_COUNT, RN_DIM_COUNT, offsetof(type, field), least, most, fallback, NULL, NULL, 0, doc,            \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define WORD(name, type, field, kind, words, fallback, doc)                                                            \
    {                                                                                                                  \
        name, kind, RN_DIM_PLAIN, offsetof(type, field), NULL, NULL, fallback, NULL, words, 0, doc,                    \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define OTHER(name, type, field, kind, fallback, otherwise, doc)                                                       \
    {                                                                                                                  \
        name, kind, RN_DIM_PLAIN, offsetof(type, field), NULL, NULL, fallback, otherwise, NULL, 0, doc,                \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define AMOUNT(name, which, dimension, least, most, doc)                                                               \
    {                                                                                                                  \
        name, RN_KEY_AMOUNT, dimension, offsetof(rn_move, amount), least, most, NULL, "one of rest, turn, tilt, spin", \
            NULL, which, doc,                                                                                          \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define SECTION(name, otherwise, doc)                                                                                  \
    {                                                                                                                  \
        name, RN_KEY_SECTION, RN_DIM_PLAIN, 0, NULL, NULL, NULL, otherwise, NULL, 0, doc,                              \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }

/* Sections stand in the order in which they are read: what others refer to comes first. */
static const rn_key plan_keys[] = {
    {"plan",
     RN_KEY_VERSION,
     RN_DIM_COUNT,
     0,
     "1",
     "1",
     NULL,
     NULL,
     NULL,
     0,
     "Version of the format, the first line of a plan: `plan: 1`.",
     {NULL}},
    OTHER("title", rn_plan, title, RN_KEY_TITLE, NULL, "no title", "A line of text, shown over the forecast."),
    SECTION("panel", NULL, "What is poured on."),
    QUANTITY("cover", rn_plan, cover, RN_DIM_LENGTH, "0.001 mm", "10 mm", "0.15 mm", NULL,
             "Least wet depth that counts as covered."),
    SECTION("paints", NULL, "Paints by name."),
    SECTION("base", "no base coat", "Base coats, a list."),
    SECTION("pours", "nothing is poured", "Releases, a list."),
    SECTION("moves", "the panel rests", "What hands and table do, a list."),
    SECTION("limits", "the defaults", "What is not to be exceeded."),
    USUAL("end", rn_plan, end, RN_DIM_TIME, "0.1 s", "24 h", NULL, "60 s after the last pour and move", "20 s", "1 h",
          "180 s", "When the forecast ends."),
    SECTION("expect", "nothing is judged", "What `runnel check` is to judge."),
};

static const rn_key panel_keys[] = {
    {"size",
     RN_KEY_SIZE,
     RN_DIM_LENGTH,
     offsetof(rn_plan, panel),
     "20 mm",
     "3 m",
     NULL,
     "give size or across",
     NULL,
     0,
     "Width (left to right) x height (front to back) of a rectangle: `12 in x 16 in`.",
     {RN_SIDE_USUAL}},
    {"across",
     RN_KEY_ROUND,
     RN_DIM_LENGTH,
     offsetof(rn_plan, panel),
     "20 mm",
     "3 m",
     NULL,
     "give size or across",
     NULL,
     0,
     "Diameter of a round panel.",
     {RN_SIDE_USUAL}},
    WORD("edges", rn_plan, panel.edges, RN_KEY_WORD, edge_words, "clean",
         "clean: taped, paint hangs on the edge and then drops off; wrapped: the sides are to be covered; walls: "
         "nothing leaves; open: no hold."),
    QUANTITY("side", rn_plan, panel.side, RN_DIM_LENGTH, "1 mm", "100 mm", "0.75 in", NULL,
             "Height of the sides; wrapped edges only."),
    WORD("ground", rn_plan, panel.ground, RN_KEY_WORD, ground_words, "primed",
         "The dry face: primed, or sealed (varnished)."),
    QUANTITY("advance", rn_plan, panel.advance, RN_DIM_ANGLE, "0 deg", "90 deg", NULL,
             "25 deg on primed, 35 deg on sealed ground",
             "Advancing contact angle of paint on the dry face; 0 deg lets the front run freely, as does "
             "paint without tension."),
    USUAL("slope", rn_plan, panel.slope, RN_DIM_ANGLE, "0 deg", "30 deg", "0 deg", NULL, "0.02 deg", "5 deg", "0.2 deg",
          "How far the bench is out of level."),
    OTHER("downhill", rn_plan, panel.downhill, RN_KEY_BEARING, "back", NULL,
          "Toward where the bench slopes down, in the room."),
};

static const rn_key paint_keys[] = {
    OTHER("colour", rn_paint, colour, RN_KEY_COLOUR, NULL, "one of twelve quiet colours, by order",
          "Six hexadecimal digits, red green blue (sRGB), quoted if they begin with `#`."),
    OTHER(
        "consistency", rn_paint, law, RN_KEY_CONSISTENCY, NULL, "castor oil, unless viscosity is given",
        "A word of the ladder: sugar syrup, olive oil, maple syrup, thinned glycerine, castor oil, warm honey, honey."),
    QUANTITY("viscosity", rn_paint, law.consistency, RN_DIM_VISCOSITY, "0.0001 Pa s", "10000 Pa s", NULL,
             "from consistency", "Viscosity, or the consistency K of a power law (`2 Pa s^n`)."),
    QUANTITY("power", rn_paint, law.power, RN_DIM_PLAIN, "0.1", "2", "1", NULL,
             "Power n of the law: below 1 the paint thins when it moves."),
    QUANTITY("yield", rn_paint, law.yield, RN_DIM_STRESS, "0 Pa", "1000 Pa", "0 Pa", NULL,
             "Yield stress: below it the paint does not flow."),
    QUANTITY("density", rn_paint, density, RN_DIM_DENSITY, "0.5 g/ml", "5 g/ml", "1.2 g/ml", NULL,
             "Weight per volume."),
    QUANTITY("tension", rn_paint, tension, RN_DIM_TENSION, "0 mN/m", "200 mN/m", "33 mN/m", NULL,
             "Surface tension; 0 only with edges walls or open."),
    QUANTITY("solids", rn_paint, solids, RN_DIM_SHARE, "0 %", "100 %", "35 %", NULL,
             "Share of the volume that stays when dry."),
    QUANTITY("price", rn_paint, price, RN_DIM_PRICE, "0 per ml", "1000 per ml", NULL, "not counted",
             "Money per volume, in any currency: `0.04 per ml`."),
};

static const rn_key base_keys[] = {
    OTHER("paint", rn_base, paint, RN_KEY_PAINT, NULL, NULL, "Which paint, by name."),
    USUAL("depth", rn_base, depth, RN_DIM_LENGTH, "0.001 mm", "50 mm", NULL, "give depth or volume", "0.05 mm",
          "2.5 mm", "0.3 mm", "Wet depth of the coat."),
    QUANTITY("volume", rn_base, volume, RN_DIM_VOLUME, "0.001 ml", "20 l", NULL, "give depth or volume",
             "Volume in all (four corner puddles share it)."),
    OTHER("at", rn_base, at, RN_KEY_PUDDLE, NULL, "over the whole face",
          "corners: a puddle in each; or a place: one puddle there."),
    QUANTITY("across", rn_base, across, RN_DIM_LENGTH, "1 mm", "3 m", "40 mm", NULL, "Diameter of a puddle."),
    OTHER("along", rn_base, at, RN_KEY_STRIP, NULL, "no strip",
          "A strip along an edge: `front edge`; not on round panels."),
    QUANTITY("width", rn_base, width, RN_DIM_LENGTH, "1 mm", "3 m", "20 mm", NULL,
             "Of the strip, from the edge inward."),
};

static const rn_key pour_keys[] = {
    OTHER("name", rn_pour, name, RN_KEY_NAME, NULL, "known by its number", "To address it in a path."),
    WORD("from", rn_pour, cup, RN_KEY_FLAG, from_words, "rim",
         "rim: under a lifted rim, through the film's depth; cup: laid on top."),
    OTHER("at", rn_pour, at, RN_KEY_PLACE, "centre", NULL,
          "Where its centre lies; at an edge or corner it touches from inside."),
    QUANTITY("across", rn_pour, across, RN_DIM_LENGTH, "1 mm", "3 m", "70 mm", NULL,
             "Diameter of the rim, or of a cup's disc."),
    QUANTITY("width", rn_pour, width, RN_DIM_LENGTH, "0.1 mm", "1 m", "10 mm", NULL,
             "Of the ring that the rim lets out."),
    QUANTITY("start", rn_pour, start, RN_DIM_TIME, "0 s", "24 h", "0 s", NULL, "When the first burst begins."),
    COUNT("lifts", rn_pour, lifts, "1", "200", "1", "Number of bursts."),
    QUANTITY("every", rn_pour, every, RN_DIM_TIME, "0 s", "24 h", "5 s", NULL,
             "From the start of one burst to the next."),
    QUANTITY("open", rn_pour, open, RN_DIM_TIME, "0 s", "24 h", "2 s", NULL,
             "How long each burst lasts; 0 s is instant."),
    OTHER("sizes", rn_pour, sizes, RN_KEY_SIZES, NULL, "equal",
          "Shares of the bursts, a list as long as lifts; or the word equal."),
    QUANTITY("uneven", rn_pour, uneven, RN_DIM_SHARE, "0 %", "100 %", "0 %", NULL,
             "How much more leaves on one side of the rim than the mean (first harmonic)."),
    {"seed",
     RN_KEY_SEED,
     RN_DIM_COUNT,
     offsetof(rn_pour, seed),
     "0",
     "1000000000",
     "1",
     NULL,
     NULL,
     0,
     "Draws the bearing of the unevenness; the same seed gives the same bearing.",
     {NULL}},
    COUNT("repeat", rn_pour, repeat, "1", "100", "1",
          "How many times the order of the stack is laid; volumes stay totals."),
    OTHER("stack", rn_pour, stack, RN_KEY_STACK, NULL, NULL,
          "Paints with volumes, first out first: `[slate 20 ml, kelp 30 ml]`."),
};

static const rn_key move_keys[] = {
    QUANTITY("start", rn_move, start, RN_DIM_TIME, "0 s", "24 h", NULL, NULL,
             "When it begins, on the clock of the pours."),
    QUANTITY("for", rn_move, duration, RN_DIM_TIME, "0.05 s", "24 h", NULL, NULL, "How long it lasts, ramps included."),
    {"rest",
     RN_KEY_REST,
     RN_DIM_PLAIN,
     offsetof(rn_move, kind),
     NULL,
     NULL,
     NULL,
     "one of rest, turn, tilt, spin",
     rest_words,
     0,
     "`rest: yes`: nothing is done, the paint has time.",
     {NULL}},
    AMOUNT("turn", RN_MOVE_TURN, RN_DIM_RATE, "-60 rpm", "60 rpm",
           "A slow turn; + is counter-clockwise seen from above."),
    AMOUNT("tilt", RN_MOVE_TILT, RN_DIM_ANGLE, "0 deg", "90 deg", "A tilt, so far out of level."),
    AMOUNT("spin", RN_MOVE_SPIN, RN_DIM_RATE, "-3000 rpm", "3000 rpm",
           "A spin; + is counter-clockwise seen from above."),
    QUANTITY("ramp", rn_move, ramp, RN_DIM_TIME, "0 s", "1 h", NULL,
             "0.5 s for a tilt, 1 s for a turn or spin, at most half of it",
             "Smooth beginning and ending, each this long, inside the duration."),
    OTHER("toward", rn_move, toward, RN_KEY_BEARING, NULL, "a tilt needs it",
          "Downhill: a side, a corner, or degrees counter-clockwise from right."),
    WORD("frame", rn_move, room_frame, RN_KEY_FLAG, frame_words, "panel",
         "Whether toward is a place of the panel or of the room; a turning panel swings a tilt of the room."),
};

static const rn_key limits_keys[] = {
    QUANTITY("spin", rn_plan, limits.spin, RN_DIM_RATE, "0 rpm", "3000 rpm", NULL, "no limit",
             "The fastest the turntable may go."),
    QUANTITY("stretch", rn_plan, limits.stretch, RN_DIM_PLAIN, "1", "100", "2", NULL,
             "The greatest stretch at which the design keeps its shape."),
    QUANTITY("deepest", rn_plan, limits.deepest, RN_DIM_LENGTH, "0.01 mm", "50 mm", "4 mm", NULL,
             "Wet depth from which cracking is a usual caution (common practice, no source)."),
};

#define TABLE(keys) keys, (int)(sizeof(keys) / sizeof(keys)[0])

static const struct {
    const rn_key *keys;
    int count;
    const char *word, *path, *doc;
} sections[RN_SECTIONS] = {
    [RN_SECTION_PLAN] = {TABLE(plan_keys), "", "", "The top level"},
    [RN_SECTION_PANEL] = {TABLE(panel_keys), "panel", "panel", "The panel"},
    [RN_SECTION_PAINT] = {TABLE(paint_keys), "paints", "paints.NAME", "A paint"},
    [RN_SECTION_BASE] = {TABLE(base_keys), "base", "base.NUMBER", "A base coat"},
    [RN_SECTION_POUR] = {TABLE(pour_keys), "pours", "pours.NUMBER", "A pour"},
    [RN_SECTION_MOVE] = {TABLE(move_keys), "moves", "moves.NUMBER", "A move"},
    [RN_SECTION_LIMITS] = {TABLE(limits_keys), "limits", "limits", "Limits"},
};

const rn_key *rn_plan_keys(int *count, rn_section section)
{
    *count = sections[section].count;
    return sections[section].keys;
}

const rn_key *rn_plan_key(rn_section section, const char *name)
{
    for (int i = 0; i < sections[section].count; i++)
        if (!strcmp(sections[section].keys[i].name, name))
            return &sections[section].keys[i];
    return NULL;
}

const char *rn_section_path(rn_section section)
{
    return sections[section].path;
}

const char *rn_section_doc(rn_section section)
{
    return sections[section].doc;
}

const char *rn_section_word(rn_section section)
{
    return sections[section].word;
}

static double value_of(const char *text, rn_dimension dimension)
{
    double value = NAN;
    rn_units_read(&value, NULL, text, dimension, 0, NULL);
    return value;
}

rn_usual rn_key_usual(const rn_key *key)
{
    rn_usual usual = rn_units_usual(key->dimension);
    const double fallback = key->fallback && key->kind == RN_KEY_QUANTITY ? value_of(key->fallback, key->dimension) : 0;
    if (key->usual[0])
        return (rn_usual){value_of(key->usual[0], key->dimension), value_of(key->usual[1], key->dimension),
                          key->usual[2]};
    if (!(fallback > 0))
        return usual;
    usual.example = key->fallback;
    /* A film's depth, a ring's width and a panel's side are far apart, as are a burst and a pour. */
    const double times = key->dimension == RN_DIM_LENGTH ? LENGTHS_ROUND : TIMES_ROUND;
    if (key->dimension == RN_DIM_LENGTH || key->dimension == RN_DIM_TIME) {
        usual.least = fallback / times;
        usual.most = fallback * times;
    }
    return usual;
}

void rn_key_range_text(char *text, int size, const rn_key *key)
{
    text[0] = '\0';
    if (key->least && key->most) {
        snprintf(text, (size_t)size, strcmp(key->least, key->most) ? "%s to %s" : "%s", key->least, key->most);
        return;
    }
    for (int i = 0, used = 0; key->words && key->words[i] && used < size; i++)
        used += snprintf(text + used, (size_t)(size - used), "%s%s", i ? ", " : "", key->words[i]);
}

const char *rn_key_default_text(const rn_key *key)
{
    return key->fallback ? key->fallback : key->otherwise ? key->otherwise : "must be given";
}

/* ---- the reference ---- */

static void write_rows(FILE *out, rn_section section)
{
    fprintf(out, "\n### %s\n\n| key | range | if left out | what it says |\n|---|---|---|---|\n",
            sections[section].doc);
    const char *path = sections[section].path;
    for (int i = 0; i < sections[section].count; i++) {
        const rn_key *key = &sections[section].keys[i];
        char range[200];
        rn_key_range_text(range, sizeof range, key);
        fprintf(out, "| `%s%s%s` | %s | %s | %s |\n", path, path[0] ? "." : "", key->name, range,
                rn_key_default_text(key), key->doc);
    }
}

char *rn_plan_keys_markdown(void)
{
    rn_memory_stream out;
    if (!rn_memory_stream_open(&out))
        return NULL;
    for (rn_section section = RN_SECTION_PLAN; section < RN_SECTIONS; section++)
        write_rows(out.stream, section);
    return rn_memory_stream_close(&out, NULL);
}
