/* SPDX-License-Identifier: MIT
 *
 * The steps of a batch with real dates.
 */
#include "core/steps.h"

static const struct spl_field due_fields[] = {
    SPL_FIELD(spl_step_due, name, SPL_TEXT, "step", "step"),
    SPL_FIELD(spl_step_due, due, SPL_DAY, "due", "due"),
    SPL_FIELD(spl_step_due, done, SPL_DAY, "done", "done"),
    SPL_FIELD(spl_step_due, earliest, SPL_DAY, "earliest", NULL),
    SPL_FIELD(spl_step_due, latest, SPL_DAY, "latest", NULL),
    SPL_FIELD(spl_step_due, repeat_days, SPL_INT, "repeat_days", NULL),
    SPL_FIELD(spl_step_due, last, SPL_DAY, "last", NULL),
    SPL_FIELD(spl_step_due, open, SPL_BOOL, "open", NULL),
    SPL_FIELD(spl_step_due, alarm, SPL_BOOL, "alarm", NULL),
    SPL_FIELD(spl_step_due, words, SPL_TEXT, "words", "what to do"),
};
const struct spl_shape spl_step_due_shape = SPL_SHAPE("step", spl_step_due, due_fields);

static struct spl_day earlier(struct spl_day a, struct spl_day b)
{
    return spl_day_compare(a, b) <= 0 ? a : b;
}

/* Whether a step waits for the herb added last. */
static gboolean waits_for_herb(enum spl_step step)
{
    return step == SPL_STEP_READY || step == SPL_STEP_STRAIN;
}

static struct spl_day base_of(enum spl_step step, const struct spl_steps_ask *ask)
{
    if (waits_for_herb(step) && spl_day_is_set(ask->last_herb) &&
        spl_day_compare(ask->last_herb, ask->started) > 0)
        return ask->last_herb;
    return ask->started;
}

/* The usual day of straining by these rules; unset if no rule says. */
static struct spl_day strain_day(const GPtrArray *rules, const struct spl_steps_ask *ask)
{
    struct spl_day day = SPL_DAY_NONE;

    for (guint i = 0; i < rules->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(rules, i);

        if (rule->step == SPL_STEP_STRAIN)
            day = earlier(day, spl_day_add(base_of(rule->step, ask), rule->usual_days));
    }
    return day;
}

/* When the step was last done, unset if never. */
static struct spl_day last_done(const GArray *done, enum spl_step step)
{
    struct spl_day day = SPL_DAY_NONE;

    for (guint i = 0; done != NULL && i < done->len; i++) {
        const struct spl_step_done *one = &g_array_index(done, struct spl_step_done, i);

        if (one->step == (int)step && (!spl_day_is_set(day) || spl_day_compare(one->on, day) > 0))
            day = one->on;
    }
    return day;
}

/* A repeated step falls due at its interval after the usual day or after it was done last. */
static void settle_repeated(struct spl_step_due *due, const struct spl_step_rule *rule,
                            struct spl_day strain)
{
    due->last = spl_day_is_set(strain) ? spl_day_add(strain, -1) : SPL_DAY_NONE;
    if (!spl_day_is_set(due->done))
        return;
    due->due = spl_day_add(due->done, rule->repeat_days);
    due->earliest = due->latest = due->due;
    due->open = !spl_day_is_set(due->last) || spl_day_compare(due->due, due->last) <= 0;
}

/* The clear liquid is poured off what settled, as long after the pressing as the rules have between
 * their days of straining and of decanting. What was poured off before does not count. */
static void after_pressing(struct spl_step_due *due, const GPtrArray *rules,
                           const struct spl_step_rule *rule, struct spl_day pressed)
{
    int strained = rule->usual_days;

    for (guint i = 0; i < rules->len; i++) {
        const struct spl_step_rule *other = g_ptr_array_index(rules, i);

        if (other->step == SPL_STEP_STRAIN)
            strained = MIN(strained, other->usual_days);
    }
    due->due = spl_day_add(pressed, MAX(1, rule->usual_days - strained));
    due->earliest = pressed;
    due->latest = spl_day_add(due->due, rule->latest_days - rule->usual_days);
    due->open = !spl_day_is_set(due->done) || spl_day_compare(due->done, pressed) < 0;
}

static gint compare_due(gconstpointer a, gconstpointer b)
{
    const struct spl_step_due *left = a, *right = b;
    int by_day = spl_day_compare(left->due, right->due);

    return by_day != 0 ? by_day : left->step - right->step;
}

/* The list clears its elements with itself. */
static void step_clear(gpointer element)
{
    spl_record_clear(&spl_step_due_shape, element);
}

GArray *spl_steps_schedule(const GPtrArray *rules, const struct spl_steps_ask *ask,
                           const GArray *done)
{
    GArray *schedule = spl_list_new(&spl_step_due_shape);
    struct spl_day strain = strain_day(rules, ask);
    gboolean use_by_listed = FALSE;

    g_array_set_clear_func(schedule, step_clear);
    for (guint i = 0; i < rules->len; i++) {
        const struct spl_step_rule *rule = g_ptr_array_index(rules, i);
        struct spl_day base = base_of(rule->step, ask);
        struct spl_step_due due = {.step = (int)rule->step,
                                   .name = g_strdup(spl_step_name(rule->step)),
                                   .earliest = spl_day_add(base, rule->earliest_days),
                                   .due = spl_day_add(base, rule->usual_days),
                                   .latest = spl_day_add(base, rule->latest_days),
                                   .done = last_done(done, rule->step),
                                   .repeat_days = rule->repeat_days,
                                   .last = SPL_DAY_NONE,
                                   .alarm = rule->alarm,
                                   .open = TRUE,
                                   .words = g_strdup(rule->words)};

        if (rule->step == SPL_STEP_USE_BY) {
            use_by_listed = TRUE;
            if (spl_day_is_set(ask->use_by))
                due.earliest = due.due = due.latest = ask->use_by;
        } else if (spl_day_is_set(ask->pressed) && rule->step == SPL_STEP_DECANT) {
            after_pressing(&due, rules, rule, ask->pressed);
        } else if (spl_day_is_set(ask->pressed)) {
            due.open = FALSE;
            if (rule->step == SPL_STEP_STRAIN && !spl_day_is_set(due.done))
                due.done = ask->pressed;
        } else if (rule->repeat_days > 0) {
            settle_repeated(&due, rule, strain);
        } else {
            due.open = !spl_day_is_set(due.done);
        }
        g_array_append_val(schedule, due);
    }
    if (!use_by_listed && spl_day_is_set(ask->use_by)) {
        struct spl_step_due due = {.step = SPL_STEP_USE_BY,
                                   .name = g_strdup(spl_step_name(SPL_STEP_USE_BY)),
                                   .earliest = ask->use_by,
                                   .due = ask->use_by,
                                   .latest = ask->use_by,
                                   .done = SPL_DAY_NONE,
                                   .last = SPL_DAY_NONE,
                                   .alarm = TRUE,
                                   .open = TRUE,
                                   .words = g_strdup("use by this day")};

        g_array_append_val(schedule, due);
    }
    g_array_sort(schedule, compare_due);
    return schedule;
}

GArray *spl_steps_days(const GArray *schedule, struct spl_day from, struct spl_day to)
{
    GArray *days = g_array_new(FALSE, FALSE, sizeof(struct spl_step_done));

    for (guint i = 0; i < schedule->len; i++) {
        const struct spl_step_due *due = &g_array_index(schedule, struct spl_step_due, i);
        struct spl_step_done one = {due->step, due->due};

        if (!due->open)
            continue;
        while (spl_day_is_set(one.on) && spl_day_compare(one.on, to) <= 0 &&
               (due->repeat_days == 0 || !spl_day_is_set(due->last) ||
                spl_day_compare(one.on, due->last) <= 0)) {
            if (spl_day_compare(one.on, from) >= 0)
                g_array_append_val(days, one);
            if (due->repeat_days <= 0)
                break;
            one.on = spl_day_add(one.on, due->repeat_days);
        }
    }
    return days;
}
