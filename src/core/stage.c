/* SPDX-License-Identifier: MIT
 *
 * The stage scale as one table: codes, meanings in own words, and the words that people say. The
 * codes are those of the general scale as the PEP725 phase list gives them, and three that only
 * crop scales have (66, 68, 92).
 */
#include "core/stage.h"

#include <string.h>

#include "base/text.h"
#include "simpling/error.h"

struct stage {
    int code;
    const char *word;  /* the first word for it; NULL: said by number only */
    const char *also;  /* other words, separated by '|' */
    const char *about; /* the meaning */
};

static const struct stage stages[] = {
    {0, "dormant", "winter rest|resting|dry seed", "winter rest, or dry seed"},
    {1, "buds swelling", "bud swell|swelling", "buds begin to swell, or seed to soak"},
    {3, NULL, NULL, "buds fully swollen, or seed soaked through"},
    {5, NULL, NULL, "first root out of the seed, or new roots on old stocks"},
    {6, NULL, NULL, "the first root lengthens"},
    {7, "buds breaking", "bud break|sprouting", "buds break, or the shoot starts"},
    {8, NULL, NULL, "the shoot grows toward the surface"},
    {9, "shoots showing", "emerging|green tips|coming up", "green tips show"},
    {10, NULL, NULL, "seed leaves open, or first leaves part"},
    {11, "first leaves", "first leaf|leafing out", "first leaf, pair or whorl open"},
    {12, NULL, NULL, "2 leaves, pairs or whorls open"},
    {13, "young leaves", "young leaf|three leaves", "3 leaves, pairs or whorls open"},
    {14, NULL, NULL, "4 leaves, pairs or whorls open"},
    {15, NULL, NULL, "5 leaves, pairs or whorls open"},
    {16, NULL, NULL, "6 leaves, pairs or whorls open"},
    {17, NULL, NULL, "7 leaves, pairs or whorls open"},
    {18, NULL, NULL, "8 leaves, pairs or whorls open"},
    {19, "in leaf", "leafy|full leaf", "9 or more leaves, pairs or whorls open"},
    {21, "first side shoots", "branching", "first side shoot shows"},
    {22, NULL, NULL, "2 side shoots show"},
    {23, NULL, NULL, "3 side shoots show"},
    {24, NULL, NULL, "4 side shoots show"},
    {25, NULL, NULL, "5 side shoots show"},
    {26, NULL, NULL, "6 side shoots show"},
    {27, NULL, NULL, "7 side shoots show"},
    {28, NULL, NULL, "8 side shoots show"},
    {29, NULL, NULL, "9 or more side shoots show"},
    {30, NULL, NULL, "growth in height begins"},
    {31, "shooting", "stem growing|young rosette", "stem or rosette at 10 % of its final size"},
    {32, NULL, NULL, "stem or rosette at 20 % of its final size"},
    {33, NULL, NULL, "stem or rosette at 30 % of its final size"},
    {34, NULL, NULL, "stem or rosette at 40 % of its final size"},
    {35, "half grown", "knee high", "stem or rosette at 50 % of its final size"},
    {36, NULL, NULL, "stem or rosette at 60 % of its final size"},
    {37, NULL, NULL, "stem or rosette at 70 % of its final size"},
    {38, NULL, NULL, "stem or rosette at 80 % of its final size"},
    {39, "rosette", "full rosette|full grown", "stem or rosette at its final size"},
    {40, NULL, NULL, "the root or other part that is dug begins to fill"},
    {41, NULL, NULL, "the root or other part that is dug at 10 % of its size"},
    {43, NULL, NULL, "the root or other part that is dug at 30 % of its size"},
    {45, NULL, NULL, "the root or other part that is dug at 50 % of its size"},
    {47, NULL, NULL, "the root or other part that is dug at 70 % of its size"},
    {48, NULL, NULL, "the root or other part that is dug near its greatest weight"},
    {49, "root full", "full root", "the root or other part that is dug at its final size"},
    {50, NULL, NULL, "flower buds there, still wrapped in leaves"},
    {51, "in bud", "budding|buds|buds visible", "flower buds to be seen"},
    {52, NULL, NULL, "20 % of the flower head out"},
    {53, NULL, NULL, "30 % of the flower head out"},
    {54, NULL, NULL, "40 % of the flower head out"},
    {55, "fat buds", "separate buds", "single flowers to be seen, still shut"},
    {56, NULL, NULL, "60 % of the flower head out"},
    {57, NULL, NULL, "70 % of the flower head out"},
    {58, NULL, NULL, "80 % of the flower head out"},
    {59, "buds opening", "first petals|petals showing", "petals show, flowers still shut"},
    {60, "first flowers", "first flower", "a flower open here and there"},
    {61, "early flower", "beginning to flower|start of flowering|coming into flower",
     "10 % of the flowers open"},
    {62, NULL, NULL, "20 % of the flowers open"},
    {63, NULL, NULL, "30 % of the flowers open"},
    {64, NULL, NULL, "40 % of the flowers open"},
    {65, "full flower", "in flower|flowering|in full flower|full bloom|in bloom|bloom|blooming",
     "half of the flowers open, first petals may fall"},
    {66, NULL, NULL, "60 % of the flowers open (some crop scales)"},
    {67, "going over", "fading|flowers fading", "most petals fallen or dry"},
    {68, NULL, NULL, "80 % of the flowers over (some crop scales)"},
    {69, "flowers over", "over|after flowering|fruit set", "flowering over, fruit set to be seen"},
    {71, "young fruit", "young seed", "fruit at 10 % of its size or number"},
    {72, NULL, NULL, "fruit at 20 % of its size or number"},
    {73, NULL, NULL, "fruit at 30 % of its size or number"},
    {74, NULL, NULL, "fruit at 40 % of its size or number"},
    {75, "green fruit", "green seed|green berries", "fruit at half of its size or number"},
    {76, NULL, NULL, "fruit at 60 % of its size or number"},
    {77, NULL, NULL, "fruit at 70 % of its size or number"},
    {78, NULL, NULL, "fruit at 80 % of its size or number"},
    {79, "in seed", "seeding|gone to seed|full size fruit", "nearly all fruit or seed full-sized"},
    {80, NULL, NULL, "fruit begins to lose its green (olive)"},
    {81, "turning", "colouring|coloring|first colour", "ripening or colouring begins"},
    {83, NULL, NULL, "ripening under way (grasses: early dough)"},
    {85, "ripening", "well coloured", "ripening or colouring well on"},
    {87, "ripe", "soft ripe|ripe for picking", "fruit begins to soften, ripe for picking"},
    {89, "fully ripe", "dead ripe|full ripe", "full ripe colour, fruit or seed begins to drop"},
    {91, "growth finished", "end of growth", "shoots full grown, leaves still green"},
    {92, "yellowing", "leaves turning|autumn colour", "leaves discolour (some crop scales)"},
    {93, "leaf fall begins", "dying back|leaves falling", "leaf fall begins"},
    {95, "half bare", "half died back", "half of the leaves fallen"},
    {97, "died back", "dead back|bare|dieback", "leaf fall over, all above ground dead or at rest"},
    {99, "gathered", "harvested", "harvested"},
};

static const struct stage *stage_of(int code)
{
    for (gsize i = 0; i < G_N_ELEMENTS(stages); i++)
        if (stages[i].code == code)
            return &stages[i];
    return NULL;
}

gboolean spl_stage_is_valid(int code)
{
    return stage_of(code) != NULL;
}

const char *spl_stage_word(int code)
{
    const char *word = "";

    if (code < 0)
        return "";
    for (gsize i = 0; i < G_N_ELEMENTS(stages) && stages[i].code <= code; i++)
        if (stages[i].word != NULL)
            word = stages[i].word;
    return word;
}

const char *spl_stage_about(int code)
{
    const struct stage *stage = stage_of(code);

    return stage != NULL ? stage->about : "";
}

char *spl_stage_format(int code)
{
    if (code == SPL_STAGE_NONE)
        return g_strdup("");
    return g_strdup_printf("%s (%02d)", spl_stage_word(code), code);
}

gboolean spl_stage_in(int code, int from, int to)
{
    if (code < 0 || from < 0 || to < 0)
        return FALSE;
    if (from <= to)
        return code >= from && code <= to;
    return code >= from || code <= to;
}

GPtrArray *spl_stage_words(void)
{
    GPtrArray *words = g_ptr_array_new();

    for (gsize i = 0; i < G_N_ELEMENTS(stages); i++)
        if (stages[i].word != NULL)
            g_ptr_array_add(words, (gpointer)stages[i].word);
    return words;
}

GPtrArray *spl_stage_all_words(void)
{
    GPtrArray *words = g_ptr_array_new_with_free_func(g_free);

    for (gsize i = 0; i < G_N_ELEMENTS(stages); i++) {
        g_auto(GStrv) also = g_strsplit(stages[i].also != NULL ? stages[i].also : "", "|", -1);

        if (stages[i].word != NULL)
            g_ptr_array_add(words, g_strdup(stages[i].word));
        for (guint k = 0; also[k] != NULL; k++)
            g_ptr_array_add(words, g_strdup(also[k]));
    }
    return words;
}

static gboolean word_is(const struct stage *stage, const char *key)
{
    if (stage->word == NULL)
        return FALSE;
    if (strcmp(stage->word, key) == 0)
        return TRUE;
    if (stage->also == NULL)
        return FALSE;
    g_auto(GStrv) also = g_strsplit(stage->also, "|", -1);
    return g_strv_contains((const char *const *)also, key);
}

/* One or two digits and nothing else. */
static gboolean is_code(const char *text)
{
    return g_ascii_isdigit(text[0]) &&
           (text[1] == '\0' || (g_ascii_isdigit(text[1]) && text[2] == '\0'));
}

static gboolean refuse_code(const char *what, const char *text, int code, GError **error)
{
    int below = code, above = code;

    while (below > 0 && !spl_stage_is_valid(below))
        below--;
    while (above < 99 && !spl_stage_is_valid(above))
        above++;
    g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID,
                "%s: '%s' is not a code of the BBCH scale; the nearest are %02d (%s) and %02d (%s)",
                what, text, below, spl_stage_about(below), above, spl_stage_about(above));
    return FALSE;
}

static gboolean refuse_word(const char *what, const char *text, GError **error)
{
    g_autoptr(GPtrArray) words = spl_stage_words();
    g_autofree char *shown = g_utf8_substring(text, 0, MIN(g_utf8_strlen(text, -1), 60));
    g_autofree char *clean = spl_text_scrub(shown, FALSE);
    g_autofree char *offer = spl_names_offer(clean, words);
    g_set_error(
        error, SPL_ERROR, SPL_ERROR_INVALID,
        "%s: '%s' is no growth stage; say rosette, in bud, first flowers, full flower, going "
        "over, in seed, ripe, died back …, or a BBCH code from 00 to 99%s",
        what, clean, offer);
    return FALSE;
}

gboolean spl_stage_parse(const char *text, const char *what, int *code, GError **error)
{
    if (!g_utf8_validate(text, -1, NULL)) {
        g_set_error(error, SPL_ERROR, SPL_ERROR_INVALID, "%s: is not valid UTF-8", what);
        return FALSE;
    }
    g_autofree char *bare = g_strstrip(g_strdup(text));
    g_autofree char *key = spl_name_key(text);
    if (is_code(bare)) {
        int number = (int)g_ascii_strtoll(bare, NULL, 10);
        if (!spl_stage_is_valid(number))
            return refuse_code(what, bare, number, error);
        *code = number;
        return TRUE;
    }
    for (gsize i = 0; i < G_N_ELEMENTS(stages); i++) {
        if (word_is(&stages[i], key)) {
            *code = stages[i].code;
            return TRUE;
        }
    }
    return refuse_word(what, text, error);
}

gboolean spl_stage_range_parse(const char *text, const char *what, int *from, int *to,
                               GError **error)
{
    g_autofree char *first = NULL, *last = NULL;
    const char *to_word = strstr(text, " to ");
    const char *dash = strchr(text, '-');

    if (to_word != NULL) {
        first = g_strndup(text, (gsize)(to_word - text));
        last = g_strdup(to_word + 4);
    } else if (g_ascii_isdigit(text[0]) && dash != NULL) {
        first = g_strndup(text, (gsize)(dash - text));
        last = g_strdup(dash + 1);
    } else {
        first = g_strdup(text);
        last = g_strdup(text);
    }
    int a = 0, b = 0;
    if (!spl_stage_parse(first, what, &a, error) || !spl_stage_parse(last, what, &b, error))
        return FALSE;
    *from = a;
    *to = b;
    return TRUE;
}
