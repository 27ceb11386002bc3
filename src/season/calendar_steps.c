/* SPDX-License-Identifier: MIT
 *
 * Steps of batches and the use-by days of lots as calendar entries. See season/calendar_gather.h.
 */
#include <math.h>
#include <string.h>

#include "base/amount.h"
#include "base/text.h"
#include "season/batch_private.h"
#include "season/calendar_gather.h"
#include "season/state.h"
#include "simpling/batch.h"
#include "simpling/error.h"

/* "dandelion/flower, dandelion/leaf" as "Dandelion flower, dandelion leaf". */
static char *materials_of(const struct spl_calendar_gather *gather, const char *slugs,
                          gboolean begins)
{
    g_auto(GStrv) parts = g_strsplit(slugs != NULL ? slugs : "", ", ", -1);
    g_autoptr(GString) words = g_string_new(NULL);

    for (guint i = 0; parts[i] != NULL; i++) {
        const struct spl_material *row =
            spl_tables_material_by_slug(gather->house->tables, parts[i]);

        g_string_append_printf(words, "%s%s", i > 0 ? ", " : "",
                               row != NULL ? row->spoken : parts[i]);
    }
    if (begins && words->len > 0)
        words->str[0] = g_ascii_toupper(words->str[0]);
    return g_string_free(g_steal_pointer(&words), FALSE);
}

/* "top-up" as "Top up". */
static char *step_words(const char *step)
{
    char *words = g_strdelimit(g_strdup(step), "-_", ' ');

    *words = g_ascii_toupper(*words);
    return words;
}

static const char *preparation_name(const struct spl_calendar_gather *gather, const char *slug)
{
    const struct spl_preparation *preparation =
        spl_tables_preparation_by_slug(gather->house->tables, slug);

    return preparation != NULL ? preparation->name : slug;
}

static void add_day(GString *text, const char *before, struct spl_day day)
{
    if (spl_day_is_set(day)) {
        g_autofree char *words = spl_day_words(day);

        g_string_append(text, before);
        g_string_append_c(text, ' ');
        g_string_append(text, words);
        g_string_append(text, ".\n");
    }
}

/* A batch in the words that all its steps share. */
struct saying {
    struct spl_calendar_gather *gather;
    const struct spl_batch *batch;
    char *title; /* "B27-001: Nettle leaf, tincture" */
    char *about;
};

static void saying_init(struct saying *saying, struct spl_calendar_gather *gather,
                        const struct spl_batch *batch)
{
    const char *preparation = preparation_name(gather, batch->preparation);
    g_autofree char *materials = materials_of(gather, batch->materials, FALSE);
    g_autofree char *capital = materials_of(gather, batch->materials, TRUE);
    g_autofree char *started = spl_day_words(batch->started);
    g_autoptr(GString) about = g_string_new(NULL);
    gboolean held = batch->held != NULL && batch->state == SPL_BATCH_STANDS;

    g_string_append_printf(about, "%s: %s of %s, started %s.\n", batch->code, preparation,
                           materials, started);
    if (!isnan(batch->jar_ml)) {
        g_autofree char *jar = spl_volume_format(batch->jar_ml);

        g_string_append_printf(about, "Jar: %s.\n", jar);
    }
    if (batch->menstruum != NULL)
        g_string_append_printf(about, "Liquid: %s.\n", batch->menstruum);
    if (held)
        g_string_append_printf(about, "HELD: %s. Work on it goes on, nothing of it goes out.\n",
                               batch->held);
    *saying = (struct saying){
        .gather = gather,
        .batch = batch,
        .title =
            g_strconcat(batch->code, held ? " (HELD): " : ": ", capital, ", ", preparation, NULL),
        .about = g_string_free(g_steal_pointer(&about), FALSE),
    };
}

static gboolean is_use_by(const struct spl_batch_step *step)
{
    return strcmp(step->step, "use-by") == 0;
}

static char *step_text(const struct saying *saying, const struct spl_batch_step *step)
{
    g_autoptr(GString) text = g_string_new(saying->about);

    if (step->words != NULL && *step->words != '\0') {
        g_string_append(text, step->words);
        g_string_append(text, g_str_has_suffix(step->words, ".") ? "\n" : ".\n");
    }
    if (is_use_by(step)) {
        add_day(text, "The last day on which it may stand unpressed is", step->due);
    } else {
        add_day(text, "Not before", step->earliest);
        if (step->latest.n != step->due.n)
            add_day(text, "At the latest", step->latest);
    }
    if (step->repeat_days > 0) {
        g_string_append_printf(text, "Again every %d %s", step->repeat_days,
                               step->repeat_days == 1 ? "day" : "days");
        if (spl_day_is_set(step->last)) {
            g_autofree char *last = spl_day_words(step->last);

            g_string_append_printf(text, " until %s", last);
        }
        g_string_append(text, ".\n");
    }
    add_day(text, "Done on", step->open ? SPL_DAY_NONE : step->done);
    return g_strchomp(g_string_free(g_steal_pointer(&text), FALSE));
}

/* The step in front of another that stands in the calendar. */
struct before {
    char *key, *uid; /* NULL: there is none */
};

static void before_set(struct before *before, const char *key, const char *uid)
{
    g_free(before->key);
    g_free(before->uid);
    before->key = g_strdup(key);
    before->uid = g_strdup(uid);
}

/* This step takes the place of the one before it. */
static gboolean take_step(const struct saying *saying, const struct spl_batch_step *step,
                          struct before *before, GError **error)
{
    struct spl_calendar_gather *gather = saying->gather;
    const struct spl_batch *batch = saying->batch;
    gboolean done = !step->open && spl_day_is_set(step->done);
    struct spl_day day = done ? step->done : step->due;
    struct spl_calendar_item item;
    g_autofree char *words = NULL;

    if (spl_day_is_set(step->dropped)) { /* it stands there as called off */
        g_autofree char *key = g_strconcat("step;", batch->uuid, ";", step->step, NULL);
        g_autofree char *uid = spl_uuid_v5(gather->space, key);

        before_set(before, key, uid);
    }
    /* What was over before this season began is no longer in the calendar. */
    if (spl_day_is_set(step->dropped) || (!done && !step->open) || !spl_day_is_set(day) ||
        (done && day.n < gather->first.n))
        return TRUE;
    if (!spl_calendar_item_begin(gather, &item,
                                 g_strconcat("step;", batch->uuid, ";", step->step, NULL), error))
        return FALSE;
    words = step_words(step->step);
    item.done = done;
    item.code = batch->code;
    item.since = batch->started;
    item.in_book = !is_use_by(step);
    item.before = g_steal_pointer(&before->key);
    item.before_uid = g_steal_pointer(&before->uid);
    before_set(before, item.key, item.entry.uid);
    item.entry.first = day;
    spl_day_to_ymd(day, &item.year, NULL, NULL);
    item.entry.summary = g_strconcat(words, " ", saying->title, NULL);
    item.entry.description = step_text(saying, step);
    item.entry.category = g_strdup("steps");
    /* Of all its days the one after which it is to be thrown away must not go by unseen. */
    return spl_calendar_remind(gather, &item, step->alarm || is_use_by(step), error);
}

static gboolean take_batch(const struct spl_batch *batch, gpointer data, GError **error)
{
    struct saying saying;
    struct before before = {NULL, NULL};
    gboolean ok = TRUE;

    if (batch->struck != NULL || batch->state == SPL_BATCH_DISCARDED)
        return TRUE;
    saying_init(&saying, data, batch);
    for (guint i = 0; ok && batch->steps != NULL && i < batch->steps->len; i++)
        ok = take_step(&saying, &g_array_index(batch->steps, struct spl_batch_step, i), &before,
                       error);
    before_set(&before, NULL, NULL);
    g_free(saying.title);
    g_free(saying.about);
    return ok;
}

static gboolean take_lot(const struct spl_lot *lot, gpointer data, GError **error)
{
    struct spl_calendar_gather *gather = data;
    struct spl_calendar_item item;
    g_autofree char *materials = NULL;
    g_autofree char *capital = NULL;
    g_autofree char *made = NULL;
    gboolean held = lot->state == SPL_STATE_IS_HELD;

    /* Of what is out of date nothing is reminded but that it is. */
    if (!spl_day_is_set(lot->use_by) || lot->struck != NULL || lot->use_by.n < gather->first.n ||
        lot->state == SPL_STATE_WITHDRAWN || lot->state == SPL_STATE_DESTROYED ||
        lot->state == SPL_STATE_USED_UP)
        return TRUE;
    if (!spl_calendar_item_begin(gather, &item, g_strdup_printf("lot;%s", lot->uuid), error))
        return FALSE;
    materials = materials_of(gather, lot->materials, FALSE);
    capital = materials_of(gather, lot->materials, TRUE);
    made = spl_day_words(lot->made);
    item.code = lot->code;
    item.entry.first = lot->use_by;
    spl_day_to_ymd(lot->use_by, &item.year, NULL, NULL);
    item.entry.summary = g_strdup_printf("Use by %s%s: %s, %s", lot->code, held ? " (HELD)" : "",
                                         capital, preparation_name(gather, lot->preparation));
    item.entry.description =
        g_strdup_printf("%s: %s of %s, made %s. This is the last day on which it may go out.%s%s",
                        lot->code, preparation_name(gather, lot->preparation), materials, made,
                        held ? " It is HELD, and nothing of it goes out: " : "",
                        held && lot->why != NULL ? lot->why : "");
    item.entry.category = g_strdup("steps");
    return spl_calendar_remind(gather, &item, TRUE, error);
}

gboolean spl_calendar_gather_steps(struct spl_calendar_gather *gather, GError **error)
{
    g_autoptr(spl_standings) standings = spl_standings_load(gather->house, error);

    return standings != NULL &&
           spl_batch_each_steps(gather->house, standings, take_batch, gather, error) &&
           spl_shelf_each_in(gather->house, standings, FALSE, take_lot, gather, error);
}
