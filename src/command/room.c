/* SPDX-License-Identifier: MIT
 *
 * simpling room: racks, freezer and jars.
 */
#include "simpling/room.h"
#include "command/rows.h"

static int run(struct spl_call *call, GError **error)
{
    GArray *rooms = spl_rooms(call->house, error);

    if (rooms == NULL)
        return -1;
    spl_call_print_list(call, rooms,
                        "nobody has said what racks, freezer and jars there are: book set racks "
                        "3m2, book set freezer 20kg, book set jars 8x1L,12x500mL");
    spl_list_free(&spl_room_shape, rooms);
    return 0;
}

const struct spl_command spl_command_room = {
    .words = "room",
    .summary = "Racks, freezer and jars: what is taken, what is free",
    .places = "",
    .about = "How much there is, is said once: 'book set racks 3m2', 'book set freezer 20kg', "
             "'book set jars 8x1L,12x500mL'. What does not fit on the racks or into the freezer is "
             "refused; when the last jar of a size is filled, that is said.",
    .examples =
        (const char *const[]){"simpling book set jars 8x1L,12x500mL", "simpling room", NULL},
    .needs = SPL_NEEDS_BOOK,
    .shape = &spl_room_shape,
    .array = TRUE,
    .run = run,
};
