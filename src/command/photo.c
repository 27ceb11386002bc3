/* SPDX-License-Identifier: MIT
 *
 * simpling photo …: photos that go with entries as evidence.
 */
#include "simpling/photo.h"
#include "command/rows.h"

static int run_add(struct spl_call *call, GError **error)
{
    struct spl_photo photo;

    if (!spl_photo_take_in(call->house, call->said, &photo, error))
        return -1;
    return spl_call_tell(call, &photo, NULL);
}

static int run_list(struct spl_call *call, GError **error)
{
    GArray *list = spl_photos(call->house, call->said, error);

    if (list == NULL)
        return -1;
    spl_call_print_list(call, list, "no photos yet");
    spl_list_free(&spl_photo_shape, list);
    return 0;
}

static int run_look(struct spl_call *call, GError **error)
{
    struct spl_photo_offer offer;

    if (!spl_photo_look_at(call->house, call->said, &offer, error))
        return -1;
    return spl_call_tell(call, &offer, NULL);
}

const struct spl_command spl_command_photo_add = {
    .words = "photo add",
    .summary = "Let a photo go with an entry, or put its file back",
    .inputs = &spl_photo_inputs,
    .at = "photo code?",
    .about =
        "An entry takes its photo by --photo when it is made; this adds one to an entry that is "
        "there. The file is\nkept beside the book, named by its SHA-256, and the book has a "
        "small picture of it that says neither\nplace nor day. Without CODE the file of a "
        "photo that is in the book is put back where it belongs, as\nafter a merge, which "
        "brings the small picture alone.",
    .examples = (const char *const[]){"simpling photo add leaf-base.jpg H27-001",
                                      "simpling photo add leaf-base.jpg", NULL},
    .needs = SPL_NEEDS_WRITE,
    .shape = &spl_photo_shape,
    .run = run_add,
};

const struct spl_command spl_command_photo_list = {
    .words = "photo list",
    .summary = "Photos that go with entries, and whether their files are there",
    .inputs = &spl_photo_question_inputs,
    .at = "code?",
    .examples = (const char *const[]){"simpling photo list", "simpling photo list H27-001", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_photo_shape,
    .array = TRUE,
    .run = run_list,
};

const struct spl_command spl_command_photo_look = {
    .words = "photo look",
    .summary = "What a photo says of its day and place; writes nothing",
    .inputs = &spl_photo_file_inputs,
    .at = "photo",
    .about = "The day is that of the camera's clock, the place what the telephone measured, where "
             "the file has kept\nthem: messengers and browsers take them out. Say them with the "
             "entry if they are right; nothing is taken\nover by itself.",
    .examples = (const char *const[]){"simpling photo look leaf-base.jpg", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_photo_offer_shape,
    .run = run_look,
};
