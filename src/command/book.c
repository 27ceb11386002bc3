/* SPDX-License-Identifier: MIT
 *
 * simpling book …: make, describe, set, copy and verify the book.
 */
#include <string.h>

#include "command/rows.h"
#include "simpling/trust.h"

static int run_init(struct spl_call *call, GError **error)
{
    const struct spl_book_words *words = call->said;
    struct spl_book_info info;

    if (!spl_book_make(call->where, words->mark, &info, error))
        return -1;
    spl_call_print(call, &info);
    spl_record_clear(&spl_book_info_shape, &info);
    return 0;
}

static int run_info(struct spl_call *call, GError **error)
{
    struct spl_book_info info;

    if (!spl_book_describe(call->house, &info, error))
        return -1;
    spl_call_print(call, &info);
    spl_record_clear(&spl_book_info_shape, &info);
    return 0;
}

/* For people the one setting, as it is kept now; programs get the whole book. */
static int run_set(struct spl_call *call, GError **error)
{
    const struct spl_setting_words *words = call->said;
    struct spl_book_info info;

    if (!spl_book_set(call->house, words, error))
        return -1;
    if (call->json)
        return run_info(call, error);
    if (!spl_book_describe(call->house, &info, error))
        return -1;
    for (guint i = 0; i < info.settings->len; i++) {
        const struct spl_setting_line *line =
            &g_array_index(info.settings, struct spl_setting_line, i);

        if (strcmp(line->key, words->key) == 0)
            fprintf(call->out, "%s  %s\n", line->key, line->value != NULL ? line->value : "");
    }
    spl_record_clear(&spl_book_info_shape, &info);
    return 0;
}

/* What a copy or a check has to say. */
struct report {
    char *path;
    gboolean ok;
    GPtrArray *findings;
};

static const struct spl_field report_fields[] = {
    SPL_FIELD(report, path, SPL_TEXT, "path", "book"),
    SPL_FIELD(report, ok, SPL_BOOL, "ok", "sound"),
    SPL_FIELD(report, findings, SPL_TEXTS, "findings", "findings"),
};
static const struct spl_shape report_shape = SPL_SHAPE("book_report", report, report_fields);

static int run_backup(struct spl_call *call, GError **error)
{
    const struct spl_book_place *to = call->said;
    struct report report = {(char *)to->path, TRUE, NULL};

    if (!spl_book_copy(call->house, to->path, error))
        return -1;
    return spl_call_print(call, &report);
}

static int run_restore(struct spl_call *call, GError **error)
{
    struct spl_book_restored restored;

    if (!spl_book_go_back(call->where, &restored, error))
        return -1;
    spl_call_print(call, &restored);
    spl_record_clear(&spl_book_restored_shape, &restored);
    return 0;
}

static int run_check(struct spl_call *call, GError **error)
{
    struct report report = {.path = (char *)call->where->book};

    report.findings = spl_book_examine(call->house, error);
    if (report.findings == NULL)
        return -1;
    report.ok = report.findings->len == 0;
    spl_call_print(call, &report);
    if (!report.ok)
        g_set_error(
            error, SPL_ERROR, SPL_ERROR_CORRUPT,
            "%s: %u fault%s found; 'simpling book repair' mends what can be made again; for the "
            "rest look at each, or take the last backup",
            report.path, report.findings->len, report.findings->len == 1 ? "" : "s");
    g_ptr_array_unref(report.findings);
    return report.ok ? 0 : -1;
}

static int run_repair(struct spl_call *call, GError **error)
{
    struct spl_repaired repaired;
    guint left;

    if (!spl_book_repair(call->house, &repaired, error))
        return -1;
    left = repaired.left->len;
    spl_call_print(call, &repaired);
    if (left > 0)
        g_set_error(error, SPL_ERROR, SPL_ERROR_CORRUPT,
                    "%s: %u fault%s cannot be derived and %s left to you; take the last backup, or "
                    "look at each",
                    repaired.path, left, left == 1 ? "" : "s", left == 1 ? "is" : "are");
    spl_record_clear(&spl_repaired_shape, &repaired);
    return left == 0 ? 0 : -1;
}

static int run_trust(struct spl_call *call, GError **error)
{
    struct spl_trust trust;

    if (!spl_trust_say(call->house, call->said, &trust, error))
        return -1;
    return spl_call_tell(call, &trust, NULL);
}

static int run_lend(struct spl_call *call, GError **error)
{
    struct spl_lent lent;

    if (!spl_book_lend(call->house, call->said, &lent, error))
        return -1;
    return spl_call_tell(call, &lent, NULL);
}

const struct spl_command spl_command_book_lend = {
    .words = "book lend",
    .summary = "Make a copy of the book for a second machine, which writes under a mark of its own",
    .inputs = &spl_lend_inputs,
    .at = "file",
    .about = "Two copies that write under one mark give the same codes to different things; so the "
             "copy gets its\nown, and each of the two trusts the other: what was corrected or "
             "settled on one counts on both. 'book\nmerge FILE' brings home what was written on "
             "it, and the other way round; it is lent once and then\nonly merged. 'book trust "
             "MARK --no' ends it.",
    .examples = (const char *const[]){"simpling book lend laptop.db --mark ANL",
                                      "simpling book merge laptop.db", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_lent_shape,
    .run = run_lend,
};

const struct spl_command spl_command_book_init = {
    .words = "book init",
    .summary = "Make a new book",
    .inputs = &spl_book_inputs,
    .about = "The book is one file. It can be copied, mailed and kept on a stick; 'book backup' "
             "copies it\nsafely while it is in use.",
    .examples = (const char *const[]){"simpling book init --mark ANN --book new.db", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_book_info_shape,
    .run = run_init,
};

const struct spl_command spl_command_book_info = {
    .words = "book info",
    .summary = "What the book holds, and its settings",
    .places = "",
    .examples = (const char *const[]){"simpling book info", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_book_info_shape,
    .run = run_info,
};

const struct spl_command spl_command_book_set = {
    .words = "book set",
    .summary = "Say where home is, who you are, which press, jars and spirits you own",
    .inputs = &spl_setting_inputs,
    .at = "key value",
    .runs_on = TRUE,
    .about = "'book info' lists the settings and how to write them.",
    .examples = (const char *const[]){"simpling book set press hand",
                                      "simpling book set spirits 40% 70% 96%",
                                      "simpling book set home 54.5903,-2.6021", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_book_info_shape,
    .run = run_set,
};

const struct spl_command spl_command_book_backup = {
    .words = "book backup",
    .summary = "Copy the book, also while it is in use, and check the copy",
    .inputs = &spl_book_copy_inputs,
    .at = "file",
    .examples = (const char *const[]){"simpling book backup copy-of-the-book.db", NULL},
    .needs = SPL_NEEDS_BOOK,
    .as_it_is = TRUE,
    .shape = &report_shape,
    .run = run_backup,
};

const struct spl_command spl_command_book_restore = {
    .words = "book restore",
    .summary = "Go back to the copy kept before an upgrade",
    .places = "",
    .about = "A newer simpling that first writes in the book keeps a copy of it as it was beside "
             "it. This puts\nthat copy in the book's place; the present book stays beside it under "
             "another name, with all that\nwas written since. The next writing of this simpling "
             "upgrades it again.",
    .examples = (const char *const[]){"simpling book restore", NULL},
    .needs = SPL_NEEDS_NOTHING,
    .shape = &spl_book_restored_shape,
    .run = run_restore,
};

const struct spl_command spl_command_book_check = {
    .words = "book check",
    .summary = "Verify the book: the file, its references, its balances and dates",
    .places = "",
    .about = "Reads the whole file, then looks at what must hold between the records: nothing "
             "gave more\nthan it weighed, no lot more than was bottled, dates are in order, every "
             "name leads to its site\nand every hazard lies on the map where its shape says. Each "
             "fault is named with what to do;\nit changes nothing.",
    .examples = (const char *const[]){"simpling book check", NULL},
    .needs = SPL_NEEDS_BOOK,
    .as_it_is = TRUE,
    .shape = &report_shape,
    .run = run_check,
};

const struct spl_command spl_command_book_repair = {
    .words = "book repair",
    .summary = "Rebuild the lists and the hazard map from the records",
    .places = "",
    .about =
        "Mends the list of site names, the keys of other names, the map of hazards, the bounds "
        "of layers,\nand tables, views and indexes that are not as simpling makes them, after "
        "keeping a copy beside\nthe book. A row that is no record (a strike of nothing, a "
        "stamp that no clock gives) goes into a\nfile beside the book, with its reason. "
        "Records are never changed: what is wrong with one is\nlisted, for you to amend or "
        "strike. A sound book is left as it is.",
    .examples = (const char *const[]){"simpling book repair", NULL},
    .needs = SPL_NEEDS_WRITE,
    .as_it_is = TRUE,
    .shape = &spl_repaired_shape,
    .run = run_repair,
};

const struct spl_command spl_command_book_trust = {
    .words = "book trust",
    .summary = "Say whose corrections of other people's records count in this book",
    .inputs = &spl_trust_inputs,
    .at = "mark",
    .about = "A merge brings in every row, and what warns (sprayed, refused, held) counts at once, "
             "whoever wrote it.\nWhat a colleague strikes or corrects of somebody else's records "
             "waits: it counts when that one\nagrees, when you trust the colleague, or when you "
             "settle it yourself ('questions', 'answer'). Until\nthen the worse reading counts. It "
             "holds for what was brought in before, too, and is taken back with\n--no. 'book info' "
             "shows whom the book trusts.",
    .examples =
        (const char *const[]){"simpling book trust ANN", "simpling book trust ANN --no", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_trust_shape,
    .run = run_trust,
};
