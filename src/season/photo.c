/* SPDX-License-Identifier: MIT
 *
 * Photos that go with entries. See simpling/photo.h and season/photo.h.
 */
#include "season/photo.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/digest.h"
#include "base/file.h"
#include "base/text.h"
#include "book/code.h"
#include "book/photo.h"
#include "book/site.h"
#include "core/geodesic.h"
#include "simpling/entry.h"
#include "simpling/error.h"

/* What a photo may be off and still be of the place: a stand is not a point. */
#define NEAR_M 100.0

static const struct spl_input photo_rows[] = {
    SPL_INPUT(spl_photo_words, file, FILE, "photo", "the photo: JPEG, PNG or HEIC", .needed = 1),
    SPL_INPUT(spl_photo_words, code, CODE, "code",
              "the entry that it goes with (else its file alone is put back)", .words = "HPDBLNU"),
};
const struct spl_inputs spl_photo_inputs = SPL_INPUTS("photo", spl_photo_words, photo_rows);

static const struct spl_input question_rows[] = {
    SPL_INPUT(spl_photo_question, code, CODE, "code", "of one entry", .words = "HPDBLNU"),
};
const struct spl_inputs spl_photo_question_inputs =
    SPL_INPUTS("photo_question", spl_photo_question, question_rows);

static const struct spl_input file_rows[] = {
    SPL_INPUT(spl_photo_file, path, FILE, "photo", "the photo", .needed = 1),
};
const struct spl_inputs spl_photo_file_inputs = SPL_INPUTS("photo_file", spl_photo_file, file_rows);

static const struct spl_field offer_fields[] = {
    SPL_FIELD(spl_photo_offer, file, SPL_TEXT, "file", "photo"),
    SPL_FIELD(spl_photo_offer, kind, SPL_WORD, "kind", "kind", .names = spl_photo_kind_names),
    SPL_FIELD(spl_photo_offer, width, SPL_INT, "width", "width"),
    SPL_FIELD(spl_photo_offer, height, SPL_INT, "height", "height"),
    SPL_FIELD(spl_photo_offer, day, SPL_DAY, "taken", "taken on"),
    SPL_FIELD(spl_photo_offer, time, SPL_TEXT, "time", "at"),
    SPL_FIELD_NUM(spl_photo_offer, lat, 6, "lat", "latitude"),
    SPL_FIELD_NUM(spl_photo_offer, lon, 6, "lon", "longitude"),
    SPL_FIELD_NUM(spl_photo_offer, accuracy_m, 0, "accuracy_m", "exact to m"),
    SPL_FIELD(spl_photo_offer, site, SPL_TEXT, "site", "nearest place"),
    SPL_FIELD_NUM(spl_photo_offer, distance_m, 0, "distance_m", "distance m"),
    SPL_FIELD(spl_photo_offer, unseen, SPL_TEXT, "unseen", "not shown"),
    SPL_FIELD(spl_photo_offer, of, SPL_TEXTS, "of", "goes with"),
};
const struct spl_shape spl_photo_offer_shape =
    SPL_SHAPE("photo_offer", spl_photo_offer, offer_fields);

/* Picking up and keeping ------------------------------------------------------------------------
 */

gboolean spl_photo_pick_up(struct spl_house *house, const char *path, struct spl_photo_hand *hand,
                           GError **error)
{
    g_autofree char *program =
        g_build_filename(house->helpers != NULL ? house->helpers : "", "simpling-photo", NULL);
    g_autoptr(spl_digest) digest = NULL;

    *hand = (struct spl_photo_hand){0};
    spl_photo_facts_clear(&hand->facts);
    if (path == NULL)
        return TRUE;
    hand->bytes = spl_file_read(path, SPL_PHOTO_BYTES_MOST, &hand->size, error);
    if (hand->bytes == NULL || !spl_photo_ask(program, path, &hand->facts, error)) {
        spl_error_about(error, "photo");
        spl_photo_put_down(hand, TRUE);
        return FALSE;
    }
    digest = spl_digest_new();
    spl_digest_add(digest, hand->bytes, hand->size);
    hand->hash = spl_digest_hex(digest);
    return TRUE;
}

void spl_photo_put_down(struct spl_photo_hand *hand, gboolean ok)
{
    if (!ok && hand->placed != NULL)
        g_unlink(hand->placed);
    spl_photo_facts_clear(&hand->facts);
    g_free(hand->hash);
    g_free(hand->bytes);
    g_free(hand->placed);
    *hand = (struct spl_photo_hand){0};
}

static char *clock_of(const struct spl_photo_facts *facts)
{
    return facts->minute < 0 ? NULL
                             : g_strdup_printf("%02d:%02d", facts->minute / 60, facts->minute % 60);
}

static double metres_from(const struct spl_photo_facts *facts, double lat, double lon)
{
    return spl_geodesic_inverse((struct spl_position){facts->lon, facts->lat},
                                (struct spl_position){lon, lat}, NULL, NULL);
}

/* The place of the book that lies nearest to where the photo says it was taken. */
struct nearest {
    const struct spl_photo_facts *facts;
    char *site;
    double m;
};

static gboolean compare(const struct spl_site *site, gpointer data, GError **error)
{
    struct nearest *nearest = data;
    const double m = metres_from(nearest->facts, site->lat, site->lon);

    (void)error;
    if (isnan(nearest->m) || m < nearest->m) {
        nearest->m = m;
        g_free(nearest->site);
        nearest->site = g_strdup(site->name);
    }
    return TRUE;
}

static gboolean find_nearest(struct spl_house *house, const struct spl_photo_facts *facts,
                             struct nearest *nearest, GError **error)
{
    *nearest = (struct nearest){.facts = facts, .m = NAN};
    return isnan(facts->lat) || spl_site_each(house->book, compare, nearest, error);
}

static void say_place(GString *says, const struct spl_photo_facts *facts,
                      const struct spl_site *site, const struct nearest *nearest)
{
    const double m = site != NULL ? metres_from(facts, site->lat, site->lon) : NAN;
    g_autofree char *distance = spl_length_format(isnan(m) ? nearest->m : m);

    if (site == NULL && nearest->site != NULL)
        g_string_append_printf(says, ", %s from %s", distance, nearest->site);
    if (site == NULL)
        return;
    g_string_append_printf(says, ", %s from %s", distance, site->name);
    if (m > NEAR_M + (isnan(facts->accuracy_m) ? 0 : facts->accuracy_m) && nearest->m < m) {
        g_autofree char *nearer = spl_length_format(nearest->m);

        g_string_append_printf(says, " (nearest is %s, %s)", nearest->site, nearer);
    }
}

/* What the file says of itself, beside the entry's own. NULL: nothing. Free with g_free. */
static char *words_of(const struct spl_photo_facts *facts, const struct spl_site *site,
                      struct spl_day day, const struct nearest *nearest)
{
    GString *says = g_string_new("taken");

    if (!spl_day_is_set(facts->day) && isnan(facts->lat)) {
        g_string_free(says, TRUE);
        return NULL;
    }
    if (spl_day_is_set(facts->day)) {
        g_autofree char *time = clock_of(facts), *on = spl_day_words(facts->day);

        g_string_append_printf(says, " on %s%s%s", on, time != NULL ? " at " : "",
                               time != NULL ? time : "");
        if (spl_day_is_set(day) && day.n != facts->day.n) {
            g_autofree char *own = spl_day_words(day);

            g_string_append_printf(says, ", another day than the entry's %s", own);
        }
    }
    if (!isnan(facts->lat))
        say_place(says, facts, site, nearest);
    g_string_append(says, "; none of it was taken over");
    return g_string_free(says, FALSE);
}

/* The entry's photos as they stand; that of this hash says `says`, which is taken over. */
static gboolean take_out(struct spl_house *house, const char *subject, const char *hash, char *says,
                         GArray **photos, GError **error)
{
    g_autofree char *own = says;
    GArray *all = spl_photo_list(house->book, subject, FALSE, error);

    for (guint i = 0; all != NULL && i < all->len; i++) {
        struct spl_photo *photo = &g_array_index(all, struct spl_photo, i);

        if (strcmp(photo->hash, hash) == 0)
            photo->says = g_steal_pointer(&own);
    }
    *photos = all;
    return all != NULL;
}

gboolean spl_photo_keep(struct spl_house *house, struct spl_photo_hand *hand, const char *subject,
                        const struct spl_site *site, struct spl_day day, GArray **photos,
                        GError **error)
{
    struct nearest nearest = {0};
    struct spl_photo photo;
    gboolean fresh, ok;

    if (hand->bytes == NULL)
        return TRUE;
    photo = (struct spl_photo){
        .hash = hand->hash,
        .kind = hand->facts.kind,
        .bytes = (gint64)hand->size,
        .width = hand->facts.width,
        .height = hand->facts.height,
        .small = hand->facts.small,
        .unseen = hand->facts.unseen,
        .subject = (char *)subject,
    };
    ok = find_nearest(house, &hand->facts, &nearest, error) &&
         spl_photo_put(house->book, photo.hash, photo.kind, hand->bytes, hand->size, &fresh, error);
    if (ok && fresh)
        hand->placed = spl_photo_path(spl_book_path(house->book), photo.hash, photo.kind);
    if (ok)
        ok = spl_photo_add(house->book, &photo, error) &&
             take_out(house, subject, photo.hash, words_of(&hand->facts, site, day, &nearest),
                      photos, error);
    g_free(nearest.site);
    return ok;
}

/* Later -----------------------------------------------------------------------------------------
 */

/* The thing of any code that an entry may have. */
static gboolean find_entry(struct spl_house *house, const char *code, struct spl_thing *thing,
                           GError **error)
{
    if (spl_code_find(house->book, code, "HPDBLNU", "an entry", thing, error))
        return TRUE;
    spl_error_about(error, "code");
    return FALSE;
}

static gboolean add_to(struct spl_house *house, const char *code, struct spl_photo_hand *hand,
                       struct spl_photo *photo, GError **error)
{
    struct spl_thing thing;
    GArray *photos = NULL;
    gboolean ok;

    if (!find_entry(house, code, &thing, error))
        return FALSE;
    ok = spl_thing_stands(house->book, &thing, error) &&
         spl_photo_keep(house, hand, thing.uuid, NULL, SPL_DAY_NONE, &photos, error);
    for (guint i = 0; ok && photos != NULL && i < photos->len; i++) {
        if (strcmp(g_array_index(photos, struct spl_photo, i).hash, hand->hash) == 0)
            spl_record_copy(&spl_photo_shape, &g_array_index(photos, struct spl_photo, i), photo);
    }
    spl_list_free(&spl_photo_shape, photos);
    spl_thing_clear(&thing);
    return ok;
}

static gboolean put_back(struct spl_house *house, struct spl_photo_hand *hand,
                         struct spl_photo *photo, GError **error)
{
    GError *failed = NULL;
    enum spl_photo_kind kind;
    GArray *all;
    gboolean fresh;

    if (!spl_photo_is_known(house->book, hand->hash, &kind, &failed)) {
        if (failed != NULL)
            g_propagate_error(error, failed);
        else
            spl_error_set_input(error, SPL_ERROR_NOT_FOUND, "code",
                                "is missing: no entry has this photo yet; say with which it goes");
        return FALSE;
    }
    if (!spl_photo_put(house->book, hand->hash, kind, hand->bytes, hand->size, &fresh, error) ||
        (all = spl_photo_list(house->book, NULL, FALSE, error)) == NULL)
        return FALSE;
    for (guint i = 0; i < all->len; i++) {
        const struct spl_photo *one = &g_array_index(all, struct spl_photo, i);

        if (strcmp(one->hash, hand->hash) == 0) {
            spl_record_copy(&spl_photo_shape, one, photo);
            break;
        }
    }
    spl_list_free(&spl_photo_shape, all);
    return TRUE;
}

gboolean spl_photo_take_in(struct spl_house *house, const struct spl_photo_words *said,
                           struct spl_photo *photo, GError **error)
{
    struct spl_photo_words words;
    struct spl_photo_hand hand;
    struct spl_photo taken = {0};
    gboolean ok;

    if (!spl_entry_take(house, &spl_photo_inputs, said, &words, error))
        return FALSE;
    ok = spl_photo_pick_up(house, words.file, &hand, error);
    if (ok) {
        ok = spl_book_begin(house->book, error) &&
             spl_book_finish(house->book,
                             words.code != NULL ? add_to(house, words.code, &hand, &taken, error)
                                                : put_back(house, &hand, &taken, error),
                             error);
        spl_photo_put_down(&hand, ok);
    }
    spl_inputs_clear(&spl_photo_inputs, &words);
    if (ok)
        *photo = taken;
    else
        spl_record_clear(&spl_photo_shape, &taken);
    return ok;
}

GArray *spl_photos(struct spl_house *house, const struct spl_photo_question *said, GError **error)
{
    struct spl_photo_question question;
    struct spl_thing thing = {0};
    GArray *list = NULL;

    if (!spl_entry_take(house, &spl_photo_question_inputs, said, &question, error))
        return NULL;
    if (question.code == NULL || find_entry(house, question.code, &thing, error))
        list = spl_photo_list(house->book, thing.uuid, FALSE, error);
    spl_thing_clear(&thing);
    spl_inputs_clear(&spl_photo_question_inputs, &question);
    return list;
}

/* Before ----------------------------------------------------------------------------------------
 */

static gboolean gather_entries(struct spl_house *house, const char *hash, GPtrArray *of,
                               GError **error)
{
    GArray *all = spl_photo_list(house->book, NULL, FALSE, error);

    for (guint i = 0; all != NULL && i < all->len; i++) {
        const struct spl_photo *photo = &g_array_index(all, struct spl_photo, i);

        if (strcmp(photo->hash, hash) == 0)
            g_ptr_array_add(of, g_strdup(photo->of));
    }
    if (all == NULL)
        return FALSE;
    spl_list_free(&spl_photo_shape, all);
    return TRUE;
}

gboolean spl_photo_look_at(struct spl_house *house, const struct spl_photo_file *said,
                           struct spl_photo_offer *offer, GError **error)
{
    g_autoptr(GPtrArray) of = g_ptr_array_new_with_free_func(g_free);
    struct nearest nearest = {0};
    struct spl_photo_file words;
    struct spl_photo_hand hand;
    gboolean ok;

    if (!spl_entry_take(house, &spl_photo_file_inputs, said, &words, error))
        return FALSE;
    ok = spl_photo_pick_up(house, words.path, &hand, error);
    if (ok) {
        ok = find_nearest(house, &hand.facts, &nearest, error) &&
             gather_entries(house, hand.hash, of, error);
        if (ok) {
            g_autofree char *name = g_path_get_basename(words.path);

            *offer = (struct spl_photo_offer){
                .file = spl_text_scrub(name, FALSE),
                .kind = hand.facts.kind,
                .width = hand.facts.width,
                .height = hand.facts.height,
                .day = hand.facts.day,
                .time = clock_of(&hand.facts),
                .lat = hand.facts.lat,
                .lon = hand.facts.lon,
                .accuracy_m = hand.facts.accuracy_m,
                .site = g_steal_pointer(&nearest.site),
                .distance_m = nearest.m,
                .unseen = g_steal_pointer(&hand.facts.unseen),
                .of = g_steal_pointer(&of),
            };
        }
        g_free(nearest.site);
        spl_photo_put_down(&hand, TRUE);
    }
    spl_inputs_clear(&spl_photo_file_inputs, &words);
    return ok;
}
