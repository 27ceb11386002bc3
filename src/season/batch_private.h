/* SPDX-License-Identifier: MIT
 *
 * What the use cases of batches share: a batch loaded with all that went in and reckoned, lots as
 * sources, jars by the tables.
 */
#ifndef SPL_SEASON_BATCH_PRIVATE_H
#define SPL_SEASON_BATCH_PRIVATE_H

#include "book/batch.h"
#include "core/charge.h"
#include "core/keeping.h"
#include "core/vessel.h"
#include "season/house_private.h"
#include "simpling/batch.h"

#define SPL_CRUMB 0.05         /* mL or g that nobody measures */
#define SPL_MEASURED_MORE 1.02 /* two measuring jugs differ; more than this was never in it */

struct spl_standings;

/* A batch as the book has it, with what follows. */
struct spl_brew {
    struct spl_batch_row row;
    GArray *charges;                           /* struct spl_charge_row */
    GArray *done;                              /* struct spl_step_done */
    GArray *moves;                             /* struct spl_batch_move */
    const struct spl_preparation *preparation; /* NULL: the tables no longer know it */
    const struct spl_material *material;       /* NULL: none, several, or unknown */
    enum spl_liquid liquid;
    gboolean dried; /* nothing fresh or wilted in it */
    struct spl_charge sum;
    double sugar_frac;                /* syrup: that it is brought to; salve: its wax */
    double dissolve_g;                /* of it, in what is strained, as expected; else NAN */
    double lot_herb_g;                /* that the lots in it were made of */
    struct spl_day first_on, last_on; /* of what went in */
    struct spl_day earliest_use_by;   /* of the lots that went in */
};
void spl_brew_clear(struct spl_brew *brew);

gboolean spl_brew_load(struct spl_house *house, const char *code, struct spl_brew *brew,
                       GError **error);
/* The same from a row that was read; takes the row over, even on failure. */
gboolean spl_brew_load_row(struct spl_house *house, struct spl_batch_row *row,
                           struct spl_brew *brew, GError **error);

/* Reckons again after charges were added to the list. */
gboolean spl_brew_reckon(struct spl_house *house, struct spl_brew *brew, GError **error);

/* "stands", "pressed", "discarded", "struck". */
enum spl_batch_state spl_brew_state(const struct spl_brew *brew);

/* SPL_ERROR_REFUSED unless it stands; `doing` for the message ("pressed again"). */
gboolean spl_brew_stands(const struct spl_brew *brew, const char *doing, GError **error);

/* SPL_ERROR_REFUSED when so much (mL, or g of dried herb) cannot have come out of it. */
gboolean spl_brew_can_give(const struct spl_brew *brew, double yield, GError **error);

/* Materials of all charges, each once, joined with ", ". Free with g_free. */
char *spl_brew_materials(struct spl_house *house, const struct spl_brew *brew, GError **error);

/* The liquids in words, each once. NULL: none. Free with g_free. */
char *spl_brew_menstruum(const struct spl_brew *brew);

/* How long it keeps, by the custom that the batch follows; NULL: the tables have nothing. */
const struct spl_keeping *spl_brew_keeping(struct spl_house *house, const struct spl_brew *brew);

/* When the person dropped the step, unset: they did not, or it was done since. `done`: when last.
 */
struct spl_day spl_brew_dropped(const struct spl_brew *brew, int step, struct spl_day done);

/* The steps with their days: GArray of struct spl_step_due. */
GArray *spl_brew_schedule(struct spl_house *house, const struct spl_brew *brew,
                          struct spl_day *use_by);

/* The steps of every batch, pressed ones too, for calendars: `held` of those that stand; `from`,
 * `lots` and `because` stay NULL. */
gboolean spl_batch_each_steps(struct spl_house *house, const struct spl_standings *standings,
                              gboolean (*each)(const struct spl_batch *batch, gpointer data,
                                               GError **error),
                              gpointer data, GError **error);

/* Fills the record that people see, but for `held`, `because`, `from` and `lots`. */
gboolean spl_brew_tell(struct spl_house *house, struct spl_brew *brew, struct spl_batch *batch,
                       GError **error);

/* Fills the record that people see; _in: of one among many, whose standings were read once. */
gboolean spl_brew_record(struct spl_house *house, struct spl_brew *brew, struct spl_batch *batch,
                         GError **error);
gboolean spl_brew_record_in(struct spl_house *house, const struct spl_standings *standings,
                            struct spl_brew *brew, struct spl_batch *batch, GError **error);

/* What the keeping rules say of it, as cautions; FALSE when they refuse and `hold` is NULL. */
gboolean spl_brew_judge(struct spl_house *house, const struct spl_brew *brew, int days_since_picked,
                        const char *hold, GPtrArray *cautions, GError **error);

/* Refuses a day before the batch was started. */
gboolean spl_brew_check_day(const struct spl_brew *brew, struct spl_day on, GError **error);

/* A jar of the tables, or one of that name a little over. */
struct spl_vessel spl_house_vessel(const struct spl_tables *tables, double nominal_ml, int count);

/* A lot that may go out, or (`work`) into a batch, where held ones may, on `on`: SPL_ERROR_REFUSED
 * for its state, for more than is left (`amount` mL or g; NAN: all). */
gboolean spl_lot_may_go(const struct spl_lot *lot, gboolean work, double ml, double g,
                        struct spl_day on, double *amount, GError **error);

/* It was made by `on` and is neither struck nor destroyed; SPL_ERROR_REFUSED, SPL_ERROR_INVALID. */
gboolean spl_lot_stands_on(const struct spl_lot *lot, struct spl_day on, GError **error);

/* Under what a lot goes out: a number, never a name (digits, with at most four letters and - / .
 * between); NULL is fine. */
gboolean spl_lot_ref_check(const char *ref, GError **error);

#endif
