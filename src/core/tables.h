/* SPDX-License-Identifier: MIT
 *
 * The data tables in memory: plants, materials, preparations with their steps and keeping, jars,
 * presses, hazard methods, protected plants.
 *
 * One struct spl_tables is built once (exchange/table_files.h reads it from data and the person's
 * own rows, core/tables_build.h makes one by hand), then never changes: it may be shared by all
 * rooms and is freed once. Every text and every row in it is borrowed and lives as long as it does.
 *
 * A figure keeps where it is from ("USDA 11207", "memory"), so that every answer can say it.
 * Shares and strengths are fractions 0..1; amounts are grams, millilitres, metres and days.
 */
#ifndef SPL_CORE_TABLES_H
#define SPL_CORE_TABLES_H

#include <glib.h>

#include "core/stage.h"
#include "simpling/day.h"

struct spl_tables;
typedef struct spl_tables spl_tables; /* the name that g_autoptr needs */

/* A number of a table with its range and source. A figure that a row does not give is all NAN with
 * a NULL source; a range that is not given is the value itself. */
struct spl_figure {
    double value;
    double low;
    double high;
    const char *source;
    gboolean from_memory; /* nobody has published or measured it: its source says "memory" */
};

/* TRUE if the row gives this figure. */
gboolean spl_figure_is_set(struct spl_figure figure);

/* ---- parts --------------------------------------------------------------------------------- */

enum spl_part {
    SPL_PART_ANY, /* in rules: whatever the part */
    SPL_PART_LEAF,
    SPL_PART_FLOWER,
    SPL_PART_HERB, /* all that stands above ground */
    SPL_PART_TOPS, /* young tips, or flowering tips with their leaves */
    SPL_PART_ROOT, /* and rhizome: anything that must be dug */
    SPL_PART_FRUIT,
    SPL_PART_SEED,
    SPL_PART_BARK,
    SPL_PART_BUD,
    SPL_PART_SPRING_ROOT, /* where it differs much from that of autumn, which is SPL_PART_ROOT */
    SPL_PART_WHOLE,       /* the root with the herb */
    SPL_PART_SAP
};
#define SPL_PARTS 13

/* A root or what has one: it is dug, and the plant ends. What holds of roots holds of it. */
gboolean spl_part_is_dug(enum spl_part part);

/* "leaf", "fruit" …; "any" for SPL_PART_ANY. */
const char *spl_part_name(enum spl_part part);

/* Reads "leaf", "leaves", "berries", "blossom", "rhizome" …; SPL_ERROR_INVALID lists the parts. */
gboolean spl_part_parse(const char *text, const char *what, enum spl_part *part, GError **error);

/* ---- plants -------------------------------------------------------------------------------- */

enum spl_habit {
    SPL_HABIT_ANNUAL,
    SPL_HABIT_BIENNIAL, /* a rosette in the first year, flowers in the second */
    SPL_HABIT_PERENNIAL,
    SPL_HABIT_CLIMBER,
    SPL_HABIT_SHRUB,
    SPL_HABIT_TREE
};
const char *spl_habit_name(enum spl_habit habit);

struct spl_plant {
    const char *slug;         /* "dandelion" */
    const char *common;       /* "dandelion" as it is written in a text */
    const char *latin;        /* "Taraxacum officinale" */
    const char *const *names; /* other names, NULL at the end; never NULL itself */
    const char *family;       /* "Asteraceae" */
    enum spl_habit habit;
    gboolean water_plant;      /* stands in or at water: grazed or foul water concerns it */
    gboolean deadly_lookalike; /* a batch needs the harvest's "named by" and signs */
    /* The day from which the tables say so: what was logged before is asked about, not held. Not
     * set: they always did. */
    struct spl_day gated_since;
    const char *lookalikes; /* in words, with the telling signs; "" if none worth naming */
    const char *picking;    /* what its picker must know, and its taker need not; "" */
    /* What its taker must know; "": not enough is known, which core/care.h says. */
    const char *pregnancy;         /* and breast-feeding */
    const char *children;          /* from which age, or not */
    const char *contraindications; /* with which illness it is not taken; "" if none known */
    const char *not_with;          /* with which other medicines */
    const char *cautions;          /* what else; "" if nothing */
    const char *status;            /* protection and abundance in words; "" */
    const char *sources;           /* of the texts */
    const char *namesake;          /* slug of the plant whose names this one has too; "" none */
    const char *country;           /* where people call it so: "US" holds in "US-VT" too */
};

/* ---- materials ----------------------------------------------------------------------------- */

struct spl_material {
    const char *slug; /* "nettle/leaf" */
    const struct spl_plant *plant;
    enum spl_part part;
    const char *spoken;       /* as people say it: "nettle leaf", "elderflower", "haws" */
    const char *pharmacy;     /* Latin pharmaceutical name "Urticae folium"; "" if none in use */
    const char *const *names; /* other spoken forms, NULL at the end; never NULL itself */

    struct spl_figure moisture_frac;   /* water in the fresh, cleaned material */
    struct spl_figure trim_frac;       /* lost between basket and jar */
    struct spl_figure bulk_g_per_ml;   /* chopped, as it falls into a jar */
    struct spl_figure volume_ml_per_g; /* room that it takes under liquid; often unset: the model
                                          then reckons it from the moisture */
    struct spl_figure piece_g;         /* one head, leaf, root, umbel … */
    const char *piece;                 /* what the piece is: "flower head"; "" */
    struct spl_figure picking_g_per_h; /* one person */
    struct spl_figure share_frac;      /* of what a stand bears that may be taken */
    struct spl_figure return_years;    /* a stand of which it was taken rests so long; often
                                          unset: every year */
    struct spl_figure fresh_per_dry;   /* g fresh for 1 g air-dry */
    struct spl_figure stages;          /* usual stage; low..high = from..to (BBCH codes) */
    int stage_from, stage_to;          /* the same as whole codes; stage_from may be greater than
                                          stage_to for roots (93..11: over the winter) */
    gboolean outside_only;             /* not for inside use (comfrey) */
    gboolean must_cook;   /* poisons raw (elderberries): heated or dried, or answered for */
    gboolean fresh_oil;   /* the traditional exception: put up fresh in oil (St John's wort) */
    const char *picking;  /* of this part, beside the plant's: what its picker must know; "" */
    const char *cautions; /* and its taker; "" */
    const char *sources;  /* the source column as written */
};

/* ---- preparations -------------------------------------------------------------------------- */

/* What draws, and with it the arithmetic that applies. */
enum spl_liquid {
    SPL_LIQUID_NONE,     /* dried herb */
    SPL_LIQUID_SPIRIT,   /* strength: ethanol by volume */
    SPL_LIQUID_VINEGAR,  /* strength: g acid in 1 mL */
    SPL_LIQUID_OIL,      /* no strength */
    SPL_LIQUID_GLYCEROL, /* strength: glycerol by volume */
    SPL_LIQUID_OXYMEL,   /* honey and vinegar; strength: the vinegar's acid, g in 1 mL */
    SPL_LIQUID_SYRUP,    /* water and sugar; strength: sugar by mass of the finished syrup */
    SPL_LIQUID_HONEY,    /* strength: all of it that is not water, by mass */
    SPL_LIQUID_WATER,    /* infusion, decoction; no strength */
    SPL_LIQUID_SALVE     /* oil, then wax; strength: wax by mass of the finished salve */
};
#define SPL_LIQUIDS 10
const char *spl_liquid_name(enum spl_liquid liquid);
/* TRUE of what takes up no water: damp herb breeds under it. */
gboolean spl_liquid_is_oil(enum spl_liquid liquid);

struct spl_preparation {
    const char *slug; /* "tincture" "infused-oil" */
    const char *name; /* "infused oil" */
    enum spl_liquid liquid;
    const char *menstruum; /* "spirit, 40 % vol" in words; "" for dried herb */
    gboolean takes_fresh, takes_dried;
    gboolean inside_only;  /* made to be swallowed: never for outside, nor of what is (syrup) */
    gboolean outside_only; /* made for the skin: never to be swallowed (salve) */
    gboolean frozen;       /* the herb is kept frozen, as it is, neither fresh nor dried */
    gboolean cooks;        /* its making heats the herb long enough for fruit that must be cooked */
    struct spl_figure ratio_fresh_ml_per_g; /* mL poured on 1 g */
    struct spl_figure ratio_dry_ml_per_g;
    struct spl_figure strength_frac;      /* of what is poured */
    struct spl_figure fill_frac;          /* how full of herb a household jar is put; often unset */
    struct spl_figure headspace_frac;     /* of the jar left empty; 0: to the brim */
    struct spl_figure poured_floor_frac;  /* weaker liquid is refused; unset: no such rule */
    struct spl_figure final_floor_frac;   /* a weaker result is refused; unset: no such rule */
    struct spl_figure final_caution_frac; /* a weaker result is cautioned; unset: no such rule */
    struct spl_figure honey_ml_per_ml;    /* oxymel: honey for 1 mL vinegar */
    struct spl_figure juice_ml_per_g; /* succus: juice from a gram of fresh herb, pressed before it
                                         is mixed; its ratio counts the spirit on that gram */
    struct spl_figure sugar_g_per_ml; /* syrup: sugar for 1 mL strained liquid */
    const char *storage;
    const char *cautions; /* for who makes it */
    const char *label;    /* for who takes it; "" */
    const char *lid;      /* "parchment under a metal lid"; "" */
    const char *sources;
};

enum spl_state { SPL_STATE_ANY, SPL_STATE_FRESH, SPL_STATE_DRIED };

/* What a strength is the strength of. */
enum spl_strength_means {
    SPL_STRENGTH_POURED, /* what is poured on */
    SPL_STRENGTH_FINAL   /* what it ends at, the herb's own water in */
};

/* How one material is usually put up, where that differs from the preparation's own figures. The
 * state tells of which herb the strength is said: pharmacopoeias and monographs pour theirs on
 * dried drug, whose water (about a tenth) thins it by a point or two, so that it is the final
 * strength too. */
struct spl_making {
    const struct spl_material *material; /* NULL: any */
    const struct spl_preparation *preparation;
    enum spl_state drug_state;
    enum spl_strength_means strength_means;
    struct spl_figure ratio_fresh_ml_per_g;
    struct spl_figure ratio_dry_ml_per_g;
    struct spl_figure strength_frac;
    struct spl_figure fill_frac;
    const char *note;
    const char *sources;
};

enum spl_step {
    SPL_STEP_TOP_UP,
    SPL_STEP_SHAKE,
    SPL_STEP_LOOK,   /* open, look for mould or gas, wipe the cloth */
    SPL_STEP_DECANT, /* pour off the water under the oil */
    SPL_STEP_TURN,   /* a rack */
    SPL_STEP_READY,  /* may be strained from */
    SPL_STEP_STRAIN, /* strain and press by */
    SPL_STEP_USE_BY
};
#define SPL_STEPS 8
/* "top-up", "shake", "look", "decant", "turn", "ready", "strain", "use-by". */
const char *spl_step_name(enum spl_step step);
gboolean spl_step_parse(const char *text, const char *what, enum spl_step *step, GError **error);

struct spl_step_rule {
    const struct spl_preparation *preparation;
    const struct spl_material *material; /* NULL: any */
    enum spl_part part;                  /* SPL_PART_ANY: any */
    enum spl_state state;
    enum spl_step step;
    int earliest_days, usual_days, latest_days; /* after the batch was started */
    int repeat_days;                            /* again every so many days; 0: once */
    gboolean alarm;                             /* worth a reminder */
    const char *words;                          /* what to do, one sentence */
    const char *source;
};

/* How long a lot keeps. */
struct spl_keeping {
    const char
        *custom; /* "table": the defaults; else the name of a custom that a book may choose */
    const struct spl_preparation *preparation;
    const struct spl_material *material; /* NULL: any */
    enum spl_part part;                  /* SPL_PART_ANY: any */
    enum spl_state state;
    gboolean from_start;              /* its days count from when it was put up, not pressed */
    struct spl_figure pressed_days;   /* after pressing (dried herb: after drying) */
    struct spl_figure unpressed_days; /* left standing on the herb, after start; may be unset */
    const char *storage;
    const char *note;
    const char *sources;
};

#define SPL_KEEPING_TABLE "table"

struct spl_jar {
    double nominal_ml;
    double brimful_ml;
    const char *note;
    const char *source;
};

/* A word that tells what a liquid is. */
enum spl_menstruum_meaning {
    SPL_MENSTRUUM_DENATURED, /* spirit that must not be drunk */
    SPL_MENSTRUUM_HOME_MADE, /* of one's own making: nobody has measured it */
    SPL_MENSTRUUM_BOUGHT,    /* a shop's own: bought, whatever else the words say */
    SPL_MENSTRUUM_MEANINGS
};
struct spl_menstruum_word {
    const char *word;     /* as it is written, several words with blanks: "white spirit" */
    const char *language; /* "en" */
    enum spl_menstruum_meaning meaning;
    const char *source;
};

/* A press: what the marc keeps. */
struct spl_press {
    const char *slug; /* "drained" "hand" "screw" "hydraulic" */
    const char *name; /* "by hand through a cloth" */
    struct spl_figure
        retained_fresh_ml_per_g; /* liquid kept in 1 g of fresh herb, its own water in */
    struct spl_figure retained_dry_ml_per_g; /* in 1 g of dried herb */
    const char *sources;
};

/* ---- ground -------------------------------------------------------------------------------- */

/* How ground is fouled. Distances are from the edge of the hazard; 0 m: only on the ground itself.
 */
struct spl_method {
    const char *slug;    /* "boom" "airblast" "road" */
    const char *name;    /* "field boom" */
    gboolean lasting;    /* a road, a tip: no date */
    gboolean water_only; /* concerns water plants alone */
    double closed_m;     /* nearer is closed */
    double ask_m;        /* nearer is to be asked about */
    int hold_on_days;    /* after a spraying on the site; 0 for lasting ones */
    int hold_near_days;  /* after a spraying beside it; 0 for lasting ones */
    const char *source;
    const char *note;
};

#define SPL_METHOD_UNKNOWN "unknown"

enum spl_protection {
    SPL_PROTECTION_CAUTION, /* say it */
    SPL_PROTECTION_LEAVE,   /* only with the leave that the rule names */
    SPL_PROTECTION_REFUSE   /* not to be taken */
};
const char *spl_protection_name(enum spl_protection protection);

struct spl_protected {
    const char *country;           /* ISO 3166-1 or 3166-2: "GB", "US-VT"; "EU": every member */
    const char *latin;             /* "Arnica montana"; "*": every wild plant */
    const struct spl_plant *plant; /* NULL when the plant is in no table, or for "*" */
    enum spl_part part;            /* SPL_PART_ANY: any part */
    enum spl_protection rule;
    const char *words; /* the rule in own words */
    const char *source;
};

/* ---- look-ups ------------------------------------------------------------------------------ */

void spl_tables_free(struct spl_tables *tables); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_tables, spl_tables_free)

/*
 * Each finds its row by slug, by common, Latin or other name, by any spoken form; case, accents,
 * '-' and '_' are forgiven. SPL_ERROR_NOT_FOUND names what was wanted and the nearest names,
 * SPL_ERROR_AMBIGUOUS the rows that match ("dandelion" where leaf, flower and root are known).
 */
gboolean spl_tables_plant(const struct spl_tables *tables, const char *name,
                          const struct spl_plant **plant, GError **error);
/* Both as they are called in a country (NULL: not known): a name that means one plant elsewhere and
 * may mean another there is SPL_ERROR_AMBIGUOUS, but for slugs and Latin names. */
gboolean spl_tables_plant_in(const struct spl_tables *tables, const char *name, const char *country,
                             const struct spl_plant **plant, GError **error);
gboolean spl_tables_material_in(const struct spl_tables *tables, const char *name,
                                const char *country, const struct spl_material **material,
                                GError **error);
/* "nettle/leaf" "nettle leaves" "elderflower" "haws" "Urtica dioica leaf" "Urticae folium". */
gboolean spl_tables_material(const struct spl_tables *tables, const char *name,
                             const struct spl_material **material, GError **error);
gboolean spl_tables_preparation(const struct spl_tables *tables, const char *name,
                                const struct spl_preparation **preparation, GError **error);
gboolean spl_tables_method(const struct spl_tables *tables, const char *name,
                           const struct spl_method **method, GError **error);
gboolean spl_tables_press(const struct spl_tables *tables, const char *name,
                          const struct spl_press **press, GError **error);

/* By slug only, for what is stored in a book; NULL when the tables no longer know it. */
const struct spl_plant *spl_tables_plant_by_slug(const struct spl_tables *tables, const char *slug);
const struct spl_material *spl_tables_material_by_slug(const struct spl_tables *tables,
                                                       const char *slug);
const struct spl_preparation *spl_tables_preparation_by_slug(const struct spl_tables *tables,
                                                             const char *slug);
const struct spl_method *spl_tables_method_by_slug(const struct spl_tables *tables,
                                                   const char *slug);

/* The jar of this nominal volume (within 0.5 %), NULL when none is listed. */
const struct spl_jar *spl_tables_jar(const struct spl_tables *tables, double nominal_ml);

/*
 * The figures for putting `material` (NULL: any) up as `preparation`, dried or fresh: the
 * material's own makings where they give them, else those of any material, else the preparation's.
 * A strength in spirit that is known of the dried drug alone comes for fresh herb as what it is to
 * end at (SPL_STRENGTH_FINAL). Texts are borrowed. Never fails.
 */
struct spl_making spl_tables_making(const struct spl_tables *tables,
                                    const struct spl_material *material,
                                    const struct spl_preparation *preparation, gboolean dried);

/*
 * The step rules that hold for such a batch, one a step (several of a kind stay only in equally
 * close rules), in order of usual day: a rule for the material before one for the part before one
 * for any; a rule for the state before one for any. `material` may be NULL (mixed). The list holds
 * borrowed const struct spl_step_rule *; free with g_ptr_array_unref.
 */
GPtrArray *spl_tables_steps(const struct spl_tables *tables,
                            const struct spl_preparation *preparation,
                            const struct spl_material *material, gboolean dried);

/*
 * How long it keeps by `custom` (NULL: SPL_KEEPING_TABLE); a custom that has no row for it falls
 * back to the table. NULL when the tables have nothing.
 */
const struct spl_keeping *spl_tables_keeping(const struct spl_tables *tables, const char *custom,
                                             const struct spl_preparation *preparation,
                                             enum spl_part part, gboolean dried);

/* The same for one material (NULL: mixed), whose own row comes before those of its part. */
const struct spl_keeping *spl_tables_keeping_material(const struct spl_tables *tables,
                                                      const char *custom,
                                                      const struct spl_preparation *preparation,
                                                      const struct spl_material *material,
                                                      gboolean dried);

/* TRUE if some keeping row bears this custom; else SPL_ERROR_NOT_FOUND with those there are. */
gboolean spl_tables_custom_check(const struct spl_tables *tables, const char *custom,
                                 GError **error);

/*
 * The rules of `country` ("GB", "US-VT": its "US" rules hold too, and of a member those of "EU")
 * for taking `part` of `plant`, strictest first. The list holds borrowed const struct spl_protected
 * *; g_ptr_array_unref it.
 */
GPtrArray *spl_tables_protected(const struct spl_tables *tables, const char *country,
                                const struct spl_plant *plant, enum spl_part part);

/* Whether any rule of this country or of a part of it is known, those of the Union apart. */
gboolean spl_tables_law_known(const struct spl_tables *tables, const char *country);

/* Why rows of a person's own tables were left out, a line each (const char *); empty: none was.
 * Borrowed. */
GPtrArray *spl_tables_left_out(const struct spl_tables *tables);

/* All rows in the order of the files; borrowed arrays of const struct pointers. */
GPtrArray *spl_tables_plants(const struct spl_tables *tables);
GPtrArray *spl_tables_materials(const struct spl_tables *tables);
GPtrArray *spl_tables_preparations(const struct spl_tables *tables);
GPtrArray *spl_tables_makings(const struct spl_tables *tables);
GPtrArray *spl_tables_step_rules(const struct spl_tables *tables);
GPtrArray *spl_tables_keepings(const struct spl_tables *tables);
GPtrArray *spl_tables_jars(const struct spl_tables *tables);
GPtrArray *spl_tables_presses(const struct spl_tables *tables);
GPtrArray *spl_tables_menstruum_words(const struct spl_tables *tables);
GPtrArray *spl_tables_methods(const struct spl_tables *tables);
GPtrArray *spl_tables_protections(const struct spl_tables *tables);

#endif
