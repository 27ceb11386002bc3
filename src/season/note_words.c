/* SPDX-License-Identifier: MIT
 *
 * The words of notes. See season/note_words.h.
 */
#include "season/note_words.h"

#include <string.h>

#include "base/text.h"
#include "core/stage.h"
#include "exchange/note_lines.h"
#include "simpling/record/slip.h"
#include "simpling/record/state.h"

#define PIECES_MOST 8

struct spl_note_names {
    const struct spl_tables *tables;
    GHashTable *spaced; /* pieces with one blank between -> GPtrArray of struct spl_note_name */
    GHashTable *joined; /* without -> GPtrArray of spaced keys, borrowed */
    GHashTable *words;  /* one piece of a name -> GPtrArray of names as they are called */
};

/* One row a meaning: its words, apart by '|'. */
static const struct phrase {
    enum spl_note_word word;
    int value;
    const char *words;
} phrases[] = {
    {SPL_NOTE_DONE, SPL_NOTE_SHOOK, "shaken|shook|shook up"},
    {SPL_NOTE_DONE, SPL_NOTE_TOPPED, "topped up|topped|filled up"},
    {SPL_NOTE_DONE, SPL_NOTE_LOOKED, "looked at|looked into|looked"},
    {SPL_NOTE_DONE, SPL_NOTE_DECANTED, "decanted|poured off the water|poured the water off"},
    {SPL_NOTE_DONE, SPL_NOTE_TURNED, "turned"},
    {SPL_NOTE_DONE, SPL_NOTE_STRAINED,
     "strained|pressed|strained and pressed|strained off|pressed out"},
    {SPL_NOTE_DONE, SPL_NOTE_SPOILT,
     "mouldy|moldy|mould|gone mouldy|gone off|thrown out|threw out|thrown away|threw away|went "
     "off"},
    {SPL_NOTE_DONE, SPL_NOTE_BROKEN,
     "cracked|broken|broke|smashed|leaked|leaking|spilt|spilled|fermented"},
    {SPL_NOTE_DONE, SPL_NOTE_LOST, "lost"},
    {SPL_NOTE_DONE, SPL_NOTE_WEIGHED, "weighed|weighs|weighed in at|now weighs|weight"},
    {SPL_NOTE_DONE, SPL_NOTE_WASHED,
     "washed|cleaned|washed and cleaned|garbled|sorted|washed and sorted"},
    {SPL_NOTE_DONE, SPL_NOTE_HAD, "had|got|given|was given|took home|gave"},
    {SPL_NOTE_DONE, SPL_NOTE_ALLOWED,
     "leave given|gave leave|gives leave|leave to pick|gave permission|permission given|may pick|"
     "allowed|allowed picking|allows picking|said yes|says yes|happy for us to pick|"
     "given leave|has given leave|allowed it"},
    {SPL_NOTE_DONE, SPL_NOTE_TEACHING,
     "leave for teaching|leave to teach|gave leave for teaching|gave leave to teach|gives leave "
     "for "
     "teaching|gives leave to teach|leave given for teaching|leave given to teach|may teach|"
     "allowed teaching|allows teaching|for teaching only"},
    {SPL_NOTE_DONE, SPL_NOTE_FORBIDDEN,
     "leave refused|refused leave|refused|refuses|refused permission|permission refused|said no|"
     "says no|forbade|forbids|forbidden|may not pick|no leave|leave withdrawn"},
    {SPL_NOTE_DONE, SPL_NOTE_NOT_REACHED,
     "not reached|never reached|nobody in|nobody home|no answer|no answer from|did not answer|"
     "didnt answer|not at home|not in|could not reach|couldnt reach|couldnt get hold of|"
     "will ring back|will call back|rings back|ring back"},
    {SPL_NOTE_DONE, SPL_NOTE_MARKED, "marked|found|marked in|found in|stand marked"},
    {SPL_NOTE_DONE, SPL_NOTE_COUNTED, "counted|stand counted"},
    {SPL_NOTE_DONE, SPL_NOTE_CUT, "cut|cut down|was cut|mown|mowed|stand cut|has been cut"},
    {SPL_NOTE_DONE, SPL_NOTE_RESTING,
     "resting|rests|let it rest|to rest|stand rests|stand resting|left to rest"},
    {SPL_NOTE_DONE, SPL_NOTE_REMARKED, "remark|remember|nb|note"},
    {SPL_NOTE_TODO, SPL_NOTE_SHOOK, "shake"},
    {SPL_NOTE_TODO, SPL_NOTE_TOPPED, "top up"},
    {SPL_NOTE_TODO, SPL_NOTE_LOOKED, "look at|look into"},
    {SPL_NOTE_TODO, SPL_NOTE_DECANTED, "decant"},
    {SPL_NOTE_TODO, SPL_NOTE_TURNED, "turn"},
    {SPL_NOTE_TODO, SPL_NOTE_STRAINED, "strain|press|strain and press"},
    {SPL_NOTE_TODO, SPL_NOTE_WEIGHED, "weigh"},
    {SPL_NOTE_TODO, SPL_NOTE_WASHED, "wash"},
    {SPL_NOTE_SPRAY, SPL_SPRAY_UNSPRAYED,
     "unsprayed|not sprayed|never sprayed|never been sprayed|not been sprayed|hasnt been sprayed|"
     "has not been sprayed|has never been sprayed|wasnt sprayed|was not sprayed|isnt sprayed|"
     "is not sprayed|havent sprayed|have not sprayed|hasnt sprayed|has not sprayed|no spraying|"
     "doesnt spray|does not spray|dont spray|do not spray|never sprays|nothing sprayed"},
    {SPL_NOTE_SPRAY, SPL_SPRAY_SPRAYED,
     "sprayed|has sprayed|have sprayed|was sprayed|been sprayed|has been sprayed|got sprayed|"
     "is sprayed"},
    {SPL_NOTE_SPRAY, SPL_SPRAY_PLANNED,
     "spraying|is spraying|will spray|will be spraying|going to spray|is going to spray|"
     "will be sprayed|to be sprayed|plans to spray|wants to spray|means to spray|"
     "planning to spray|spraying planned"},
    {SPL_NOTE_SPRAY, SPL_SPRAY_NOT_DONE,
     "didnt spray|did not spray|spraying not done|not spraying|isnt spraying|is not spraying|"
     "called off the spraying|spraying called off|spraying was called off|spraying is off"},
    {SPL_NOTE_SAYS, 0,
     "says|said|told me|told us|tells me|tells us|rang|rings|phoned|called|writes|wrote|reports|"
     "reported|mailed"},
    {SPL_NOTE_GUARD, 0,
     "no|not|none|without|never|nothing|nobody|planned|plan|will|want|wants|wanted|tomorrow|would|"
     "should|could|cannot|cant|dont|didnt|doesnt|wont|wasnt|isnt|hasnt|havent|couldnt|arent|"
     "werent|maybe|perhaps|probably|if|instead|nearly took|next week|think|i think|hope|guess"},
    {SPL_NOTE_ABOUT, 0,
     "about|ca|circa|approx|approximately|roughly|ish|around|some|nearly|almost|c"},
    {SPL_NOTE_FILLER, 0,
     "the|at|in|of|from|and|a|an|with|to|on|was|were|is|are|here|there|then|also|now|it|its|"
     "for|me|us|we|i|today so|jar|jars|batch|rack|lot|bottle|harvest|picked|gathered|taken|"
     "noted|seen|saw|after all|comma|period|full stop|down|up|so far|left with|down to|that|"
     "he|she|they|has|have|been|plants"},
    {SPL_NOTE_ALL, 0, "all|all jars|all the jars|every jar|everything|all of it|all of them"},
    {SPL_NOTE_EXCEPT, 0, "but|except|apart from|all but|but not|save|bar"},
    {SPL_NOTE_HALF, 0, "half|half of it|a half"},
    {SPL_NOTE_SINCE, 0, "since"},
    {SPL_NOTE_UNTIL, 0, "until|till|up to|to the end of|until the end of"},
    {SPL_NOTE_THIS_YEAR, 0, "this year|this season"},
    {SPL_NOTE_DITTO, 0, "same again|ditto|same|as before|likewise"},
    {SPL_NOTE_STAGE, 39, "before flowering|before it flowers|not yet in flower"},
    {SPL_NOTE_PART, SPL_PART_LEAF, "leaf|leaves|foliage"},
    {SPL_NOTE_PART, SPL_PART_FLOWER, "flower|flowers|blossom|blossoms|bloom|flower heads"},
    {SPL_NOTE_PART, SPL_PART_HERB, "herb|aerial parts|whole herb|flowering herb"},
    {SPL_NOTE_PART, SPL_PART_TOPS, "tops|top|tips|flowering tops|shoots|young shoots"},
    {SPL_NOTE_PART, SPL_PART_ROOT, "root|roots|rhizome|rhizomes|tuber|tubers"},
    {SPL_NOTE_PART, SPL_PART_FRUIT, "fruit|fruits|berry|berries"},
    {SPL_NOTE_PART, SPL_PART_SEED, "seed|seeds"},
    {SPL_NOTE_PART, SPL_PART_BARK, "bark"},
    {SPL_NOTE_PART, SPL_PART_BUD, "bud"},
    {SPL_NOTE_PART, SPL_PART_SPRING_ROOT, "spring root|spring roots"},
    {SPL_NOTE_PART, SPL_PART_WHOLE, "root with herb|herb with root"},
    {SPL_NOTE_PART, SPL_PART_SAP, "sap"},
};

/* Offered where a word is near to one of them. */
static const char *const units[] = {"grams", "kilos", "ounces", "pounds", "bags"};

static void name_free(gpointer data)
{
    struct spl_note_name *name = data;

    g_free(name->text);
    g_free(name);
}

static gboolean is_letter(char c)
{
    return g_ascii_isalpha(c) || (guchar)c >= 0x80;
}

gsize spl_note_piece_end(const char *text, gsize at)
{
    if (g_ascii_isdigit(text[at])) {
        while (g_ascii_isdigit(text[at]))
            at++;
        return at;
    }
    while (is_letter(text[at]) || (text[at] == '\'' && at > 0 && is_letter(text[at + 1])))
        at++;
    return at;
}

/* What may stand between two pieces of one name. */
static gsize gap_end(const char *text, gsize at)
{
    if (text[at] == '.' || text[at] == '/' || text[at] == '_')
        at++;
    while (text[at] == ' ')
        at++;
    if (text[at] == '-' && text[at + 1] != ' ' && text[at + 1] != '-' &&
        (at == 0 || text[at - 1] != ' '))
        at++;
    return at;
}

static void add_piece(GString *key, const char *text, gsize at, gsize end)
{
    for (; at < end; at++) {
        if (text[at] != '\'')
            g_string_append_c(key, text[at]);
    }
}

/* The pieces of a name with `between` between them. */
static char *key_of(const char *name, const char *between)
{
    g_autofree char *text = spl_note_fold(name);
    GString *key = g_string_new(NULL);
    gsize at = 0;

    while (text[at] != '\0') {
        const gsize end = spl_note_piece_end(text, at);

        if (end == at) {
            at++;
            continue;
        }
        if (key->len > 0)
            g_string_append(key, between);
        add_piece(key, text, at, end);
        at = end;
    }
    return g_string_free(key, FALSE);
}

static GPtrArray *list_of(GHashTable *table, const char *key, GDestroyNotify free_item)
{
    GPtrArray *list = g_hash_table_lookup(table, key);

    if (list == NULL) {
        list = g_ptr_array_new_with_free_func(free_item);
        g_hash_table_insert(table, g_strdup(key), list);
    }
    return list;
}

static gboolean has_text(const GPtrArray *list, const char *text)
{
    return g_ptr_array_find_with_equal_func((GPtrArray *)list, text, g_str_equal, NULL);
}

/* By every piece, so that a word that is near to it is offered the whole name. */
static void add_words(struct spl_note_names *names, const char *spaced, const char *called)
{
    g_auto(GStrv) pieces = g_strsplit(spaced, " ", -1);

    for (guint i = 0; pieces[i] != NULL; i++) {
        GPtrArray *list = list_of(names->words, pieces[i], g_free);

        if (strlen(pieces[i]) >= 3 && !has_text(list, called))
            g_ptr_array_add(list, g_strdup(called));
    }
}

static void add(struct spl_note_names *names, const char *called, enum spl_note_word word,
                int value, const char *text)
{
    g_autofree char *spaced = key_of(called, " "), *joined = key_of(called, "");
    GPtrArray *list, *keys;

    if (*spaced == '\0')
        return;
    list = list_of(names->spaced, spaced, name_free);
    for (guint i = 0; i < list->len; i++) {
        const struct spl_note_name *there = g_ptr_array_index(list, i);

        if (there->word == word && there->value == value && g_strcmp0(there->text, text) == 0)
            return;
    }
    struct spl_note_name *name = g_new(struct spl_note_name, 1);
    *name = (struct spl_note_name){word, value, g_strdup(text)};
    g_ptr_array_add(list, name);
    keys = list_of(names->joined, joined, g_free);
    if (!has_text(keys, spaced))
        g_ptr_array_add(keys, g_strdup(spaced));
    /* Of more than one herb the one is offered. */
    if (word == SPL_NOTE_SITE || word == SPL_NOTE_STAGE ||
        (word == SPL_NOTE_HERB && g_strcmp0(called, text) == 0))
        add_words(names, spaced, word == SPL_NOTE_SITE ? text : called);
    else if ((word == SPL_NOTE_DONE || word == SPL_NOTE_PART) && strchr(spaced, ' ') == NULL)
        add_words(names, spaced, called);
}

/* A herb by a name, and by more than one of it. */
static void add_herb(struct spl_note_names *names, const char *called)
{
    if (called == NULL || *called == '\0')
        return;
    add(names, called, SPL_NOTE_HERB, 0, called);
    if (!g_str_has_suffix(called, "s")) {
        g_autofree char *several = g_strconcat(called, "s", NULL);

        add(names, several, SPL_NOTE_HERB, 0, called);
    }
}

static void add_material(struct spl_note_names *names, const struct spl_material *material)
{
    add_herb(names, material->slug);
    add_herb(names, material->spoken);
    add_herb(names, material->pharmacy);
    for (gsize i = 0; material->names[i] != NULL; i++)
        add_herb(names, material->names[i]);
}

static void add_plant(struct spl_note_names *names, const struct spl_plant *plant)
{
    add_herb(names, plant->slug);
    add_herb(names, plant->common);
    add_herb(names, plant->latin);
    for (gsize i = 0; plant->names[i] != NULL; i++)
        add_herb(names, plant->names[i]);
}

/* "vin" is vinegar where nothing else begins so. */
static void add_preparation(struct spl_note_names *names, const struct spl_preparation *preparation)
{
    const char *slug = preparation->slug;

    add(names, slug, SPL_NOTE_PREPARATION, 0, slug);
    add(names, preparation->name, SPL_NOTE_PREPARATION, 0, slug);
    for (gsize n = 3; n < spl_note_piece_end(slug, 0); n++) {
        g_autofree char *begun = g_strndup(slug, n);

        add(names, begun, SPL_NOTE_PREPARATION, 0, slug);
    }
}

static void add_tables(struct spl_note_names *names)
{
    GPtrArray *plants = spl_tables_plants(names->tables);
    GPtrArray *materials = spl_tables_materials(names->tables);
    GPtrArray *preparations = spl_tables_preparations(names->tables);

    for (guint i = 0; i < plants->len; i++)
        add_plant(names, g_ptr_array_index(plants, i));
    for (guint i = 0; i < materials->len; i++)
        add_material(names, g_ptr_array_index(materials, i));
    for (guint i = 0; i < preparations->len; i++)
        add_preparation(names, g_ptr_array_index(preparations, i));
}

static void add_phrases(struct spl_note_names *names)
{
    g_autoptr(GPtrArray) stages = spl_stage_all_words();

    for (gsize i = 0; i < G_N_ELEMENTS(phrases); i++) {
        g_auto(GStrv) words = g_strsplit(phrases[i].words, "|", -1);

        for (guint k = 0; words[k] != NULL; k++)
            add(names, words[k], phrases[i].word, phrases[i].value, NULL);
    }
    for (guint i = 0; i < stages->len; i++) {
        const char *word = g_ptr_array_index(stages, i);
        int code;

        if (spl_stage_parse(word, "stage", &code, NULL))
            add(names, word, SPL_NOTE_STAGE, code, NULL);
    }
}

struct spl_note_names *spl_note_names_new(const struct spl_tables *tables, const GPtrArray *sites)
{
    struct spl_note_names *names = g_new0(struct spl_note_names, 1);

    names->tables = tables;
    names->spaced =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, (GDestroyNotify)g_ptr_array_unref);
    names->joined =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, (GDestroyNotify)g_ptr_array_unref);
    names->words =
        g_hash_table_new_full(g_str_hash, g_str_equal, g_free, (GDestroyNotify)g_ptr_array_unref);
    for (guint i = 0; i < sites->len; i++) {
        const char *site = g_ptr_array_index(sites, i);

        g_autofree char *written = spl_slip_place(site);

        add(names, site, SPL_NOTE_SITE, 0, site);
        if (strcmp(written, site) != 0 && *written != '\0')
            add(names, written, SPL_NOTE_SITE, 0, site);
    }
    for (gsize i = 0; i < G_N_ELEMENTS(units); i++)
        add_words(names, units[i], units[i]);
    add_phrases(names);
    add_tables(names);
    return names;
}

void spl_note_names_free(struct spl_note_names *names)
{
    if (names == NULL)
        return;
    g_hash_table_unref(names->spaced);
    g_hash_table_unref(names->joined);
    g_hash_table_unref(names->words);
    g_free(names);
}

/* Under the pieces with a blank between, else run together where that is one name's alone. */
static const GPtrArray *find(const struct spl_note_names *names, const char *spaced,
                             const char *joined)
{
    const GPtrArray *list = g_hash_table_lookup(names->spaced, spaced), *keys;

    if (list != NULL)
        return list;
    keys = g_hash_table_lookup(names->joined, joined);
    return keys != NULL && keys->len == 1 && strlen(joined) >= 4
               ? g_hash_table_lookup(names->spaced, g_ptr_array_index(keys, 0))
               : NULL;
}

const GPtrArray *spl_note_names_at(const struct spl_note_names *names, const char *text, gsize at,
                                   gsize *end)
{
    g_autoptr(GString) spaced = g_string_new(NULL), joined = g_string_new(NULL);
    const GPtrArray *best = NULL;
    gsize next = at;

    for (int n = 0; n < PIECES_MOST; n++) {
        const gsize stop = spl_note_piece_end(text, next);
        const GPtrArray *list;

        if (stop == next)
            break;
        if (n > 0)
            g_string_append_c(spaced, ' ');
        add_piece(spaced, text, next, stop);
        add_piece(joined, text, next, stop);
        list = find(names, spaced->str, joined->str);
        if (list != NULL) {
            best = list;
            *end = stop;
        }
        next = gap_end(text, stop);
    }
    return best;
}

/* Near names ------------------------------------------------------------------------------------
 */

/* Names this much longer or shorter are not looked at. */
static gboolean is_as_long(const char *a, const char *b, guint most)
{
    const gsize n = strlen(a), m = strlen(b);

    return n <= m + most && m <= n + most;
}

static gint shorter(gconstpointer a, gconstpointer b)
{
    const char *one = *(const char *const *)a, *other = *(const char *const *)b;
    const gsize n = strlen(one), m = strlen(other);

    return n != m ? (n > m) - (n < m) : strcmp(one, other);
}

char *spl_note_names_near(const struct spl_note_names *names, const char *word)
{
    const guint most = strlen(word) >= 6 ? 2 : 1;
    g_autoptr(GPtrArray) near = g_ptr_array_new();
    GString *offer = g_string_new(NULL);
    GHashTableIter iter;
    gpointer key, value;

    for (guint far = 0; far <= most && near->len == 0 && strlen(word) >= 3; far++) {
        g_hash_table_iter_init(&iter, names->words);
        while (g_hash_table_iter_next(&iter, &key, &value)) {
            const GPtrArray *called = value;

            if (!is_as_long(word, key, most) || spl_text_distance(word, key) != far)
                continue;
            for (guint i = 0; i < called->len; i++) {
                if (!has_text(near, g_ptr_array_index(called, i)))
                    g_ptr_array_add(near, g_ptr_array_index(called, i));
            }
        }
    }
    g_ptr_array_sort(near, shorter);
    for (guint i = 0; i < near->len && i < 3; i++)
        g_string_append_printf(offer, "%s'%s'",
                               i == 0                         ? " (did you mean "
                               : i + 1 == near->len || i == 2 ? " or "
                                                              : ", ",
                               (const char *)g_ptr_array_index(near, i));
    if (offer->len > 0)
        g_string_append(offer, "?)");
    return g_string_free(offer, FALSE);
}
