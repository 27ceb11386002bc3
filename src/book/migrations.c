/* SPDX-License-Identifier: MIT
 *
 * The schema, as the steps that made it. Days are days since 1970-01-01; stamps microseconds since
 * 1970 UTC; amounts grams, millilitres, metres, degrees; shares 0..1.
 *
 * To add one: append a row, leave its dump (sh tests/book/dump_schema.sh BUILD), and give what is
 * new to last_stamp (stamp.c), the merge (merge.c) and the check (check.c) where it concerns them.
 * Foreign keys are off while it runs and looked at behind it, so that a table may be made anew.
 */
#include "book/migrations.h"

/* The last amendment of a column of table alias t, else the row's own value: before rows could be
 * struck. See NOW in book/migration_views.h. */
#define LATEST(field)                                                                              \
    " coalesce((SELECT a.value FROM amendment a WHERE a.subject = t.uuid AND a.field = '" #field   \
    "' ORDER BY a.at DESC, a.uuid DESC LIMIT 1), t." #field ") AS " #field

static const char season[] =
    /* What the person says of themselves and their ways: home, who, press … */
    "CREATE TABLE setting ("
    "  key TEXT PRIMARY KEY,"
    "  value TEXT NOT NULL"
    ") STRICT, WITHOUT ROWID;"

    /* Corrections: one row a corrected value. The latest by (at, uuid) holds. */
    "CREATE TABLE amendment ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  subject TEXT NOT NULL," /* uuid of any row */
    "  field TEXT NOT NULL,"
    "  value ANY,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  by TEXT,"
    "  why TEXT NOT NULL"
    ") STRICT;"
    "CREATE INDEX amendment_subject ON amendment (subject, field, at, uuid);"

    /* Records taken back: the row stays, nothing may draw on it. */
    "CREATE TABLE strike ("
    "  subject TEXT PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  by TEXT,"
    "  why TEXT NOT NULL"
    ") STRICT, WITHOUT ROWID;"

    /* Everything with a code: H harvest, P purchase, D drying, B batch, L lot, N note. */
    "CREATE TABLE thing ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  kind TEXT NOT NULL CHECK (kind IN ('H', 'P', 'D', 'B', 'L', 'N')),"
    "  mark TEXT NOT NULL," /* of the book that made it */
    "  year INTEGER NOT NULL CHECK (year BETWEEN 1 AND 9999),"
    "  number INTEGER NOT NULL CHECK (number >= 1),"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  UNIQUE (kind, mark, year, number)"
    ") STRICT;"

    "CREATE TABLE site ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  name TEXT NOT NULL,"
    "  lat REAL NOT NULL CHECK (lat BETWEEN -90 AND 90),"
    "  lon REAL NOT NULL CHECK (lon BETWEEN -180 AND 180),"
    "  elevation_m REAL CHECK (elevation_m BETWEEN -500 AND 9000),"
    "  accuracy_m REAL CHECK (accuracy_m BETWEEN 0 AND 100000),"
    "  outline BLOB," /* exact geometry; NULL: the point alone */
    "  own INTEGER NOT NULL DEFAULT 0 CHECK (own IN (0, 1)),"
    "  contaminated TEXT,"
    "  contaminated_on INTEGER,"
    "  remark TEXT,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    /* Derived: which site answers to a name now. Rebuilt from site and amendment. */
    "CREATE TABLE site_key ("
    "  name_key TEXT PRIMARY KEY,"
    "  site_id INTEGER NOT NULL UNIQUE REFERENCES site (id)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE VIEW site_now AS SELECT t.id, t.uuid," LATEST(name) "," LATEST(lat) "," LATEST(lon) "," LATEST(elevation_m) "," LATEST(accuracy_m) "," LATEST(outline) "," LATEST(own) "," LATEST(contaminated) "," LATEST(contaminated_on) "," LATEST(
        remark) ", t.at"
                " FROM site t WHERE NOT EXISTS (SELECT 1 FROM strike s WHERE s.subject = t.uuid);"

                /* Who allowed or refused gathering. The last by (day, at) holds. */
                "CREATE TABLE permission ("
                "  id INTEGER PRIMARY KEY,"
                "  uuid TEXT NOT NULL UNIQUE,"
                "  site_id INTEGER NOT NULL REFERENCES site (id),"
                "  given INTEGER NOT NULL CHECK (given IN (0, 1)),"
                "  by TEXT NOT NULL,"
                "  day INTEGER NOT NULL,"
                "  until INTEGER CHECK (until >= day),"
                "  written INTEGER NOT NULL CHECK (written IN (0, 1)),"
                "  parts TEXT NOT NULL DEFAULT ''," /* part names with commas; '': all that need no
                                                       digging */
                "  amount TEXT,"                    /* in words, as it was allowed */
                "  at INTEGER NOT NULL CHECK (at > 0)"
                ") STRICT;"
                "CREATE INDEX permission_site ON permission (site_id, day, at);"

                /* What was said or seen about a site's spraying. */
                "CREATE TABLE spray_note ("
                "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
                "  site_id INTEGER NOT NULL REFERENCES site (id),"
                "  kind TEXT NOT NULL CHECK (kind IN ('unsprayed', 'sprayed', 'planned')),"
                "  day INTEGER," /* of the word; of the spraying, NULL: at an unknown time */
                "  since INTEGER,"
                "  until INTEGER,"
                "  source TEXT NOT NULL,"
                "  method TEXT,"
                "  product TEXT"
                ") STRICT;"
                "CREATE INDEX spray_note_site ON spray_note (site_id, day);"

                /* A growth stage seen at a site. */
                "CREATE TABLE stage_note ("
                "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
                "  site_id INTEGER NOT NULL REFERENCES site (id),"
                "  material TEXT NOT NULL," /* slug; the plant's stage as seen on this part */
                "  stage INTEGER NOT NULL CHECK (stage BETWEEN 0 AND 99),"
                "  day INTEGER NOT NULL,"
                "  by TEXT,"
                "  remark TEXT"
                ") STRICT;"
                "CREATE INDEX stage_note_site ON stage_note (site_id, material, day);"

                /* The log. */
                "CREATE TABLE harvest ("
                "  id INTEGER PRIMARY KEY REFERENCES thing (id),"
                "  site_id INTEGER NOT NULL REFERENCES site (id),"
                "  material TEXT NOT NULL," /* slug */
                "  stage INTEGER NOT NULL CHECK (stage BETWEEN 0 AND 99),"
                "  day INTEGER NOT NULL,"
                "  weight_g REAL NOT NULL CHECK (weight_g > 0 AND weight_g <= 1000000),"
                "  garbled_g REAL CHECK (garbled_g > 0 AND garbled_g <= weight_g),"
                "  by TEXT,"
                "  named_by TEXT,"
                "  signs TEXT,"
                "  weather TEXT,"
                "  remark TEXT,"
                "  verdict TEXT NOT NULL CHECK (verdict IN ('clear', 'ask', 'closed'))," /* of that
                                                                                            day */
                "  reasons TEXT NOT NULL," /* of that verdict, as JSON */
                "  held TEXT"              /* why no batch may draw on it; NULL: free */
                ") STRICT;"
                "CREATE INDEX harvest_site ON harvest (site_id, day);"
                "CREATE INDEX harvest_material ON harvest (material, day);"

                /* Letting a held record out again, with evidence. */
                "CREATE TABLE release ("
                "  id INTEGER PRIMARY KEY,"
                "  uuid TEXT NOT NULL UNIQUE,"
                "  thing_id INTEGER NOT NULL REFERENCES thing (id),"
                "  day INTEGER NOT NULL,"
                "  by TEXT,"
                "  evidence TEXT NOT NULL,"
                "  at INTEGER NOT NULL CHECK (at > 0)"
                ") STRICT;"
                "CREATE INDEX release_thing ON release (thing_id);"

                /* What one thing took from another: a batch from a harvest, a lot from a batch. The
                   trace. */
                "CREATE TABLE draw ("
                "  id INTEGER PRIMARY KEY,"
                "  uuid TEXT NOT NULL UNIQUE,"
                "  taker_id INTEGER NOT NULL REFERENCES thing (id),"
                "  source_id INTEGER NOT NULL REFERENCES thing (id) CHECK (source_id <> taker_id),"
                "  day INTEGER NOT NULL,"
                "  grams REAL CHECK (grams > 0 AND grams <= 1000000),"
                "  ml REAL CHECK (ml > 0 AND ml <= 1000000),"
                "  at INTEGER NOT NULL CHECK (at > 0),"
                "  CHECK (grams IS NOT NULL OR ml IS NOT NULL)"
                ") STRICT;"
                "CREATE INDEX draw_taker ON draw (taker_id);"
                "CREATE INDEX draw_source ON draw (source_id);"

                /* Lost to mould, a broken jar, a rack gone brown. */
                "CREATE TABLE discard ("
                "  id INTEGER PRIMARY KEY,"
                "  uuid TEXT NOT NULL UNIQUE,"
                "  thing_id INTEGER NOT NULL REFERENCES thing (id),"
                "  day INTEGER NOT NULL,"
                "  grams REAL CHECK (grams > 0 AND grams <= 1000000),"
                "  ml REAL CHECK (ml > 0 AND ml <= 1000000),"
                "  why TEXT NOT NULL,"
                "  by TEXT,"
                "  at INTEGER NOT NULL CHECK (at > 0),"
                "  CHECK (grams IS NOT NULL OR ml IS NOT NULL)"
                ") STRICT;"
                "CREATE INDEX discard_thing ON discard (thing_id);"

                "CREATE VIEW harvest_now AS SELECT t.id, t.uuid, t.kind, t.mark, t.year, t.number, "
                "t.at,"
                " t.site_id, t.material," LATEST(stage) "," LATEST(day) "," LATEST(weight_g) "," LATEST(garbled_g) "," LATEST(by) "," LATEST(named_by) "," LATEST(signs) "," LATEST(weather) "," LATEST(
                    remark) ","
                            " t.verdict, t.reasons,"
                            " CASE WHEN EXISTS (SELECT 1 FROM hold x WHERE "
                            "x.thing_id = t.id AND x.at > coalesce((SELECT "
                            "max(r.at) FROM release r WHERE r.thing_id = t.id), "
                            "0))"
                            " THEN (SELECT x.why FROM hold x WHERE x.thing_id = "
                            "t.id ORDER BY x.at DESC LIMIT 1)"
                            " WHEN EXISTS (SELECT 1 FROM release r WHERE "
                            "r.thing_id = t.id) THEN NULL ELSE t.held END"
                            "   AS held,"
                            " (SELECT s.why FROM strike s WHERE s.subject = "
                            "t.uuid) AS struck,"
                            " (SELECT total(d.grams) FROM draw d WHERE "
                            "d.source_id = t.id AND NOT EXISTS (SELECT 1 FROM "
                            "thing k JOIN strike s ON s.subject = k.uuid WHERE "
                            "k.id = d.taker_id)) AS drawn_g,"
                            " (SELECT total(d.grams) FROM discard d WHERE "
                            "d.thing_id = t.id) AS discarded_g"
                            " FROM (SELECT * FROM harvest JOIN thing USING (id)) "
                            "t;"

                            "CREATE VIEW spray_note_now AS SELECT t.id, t.uuid, "
                            "t.mark, t.year, t.number, t.at, t.site_id,"
                            " t.kind_of AS kind," LATEST(day) "," LATEST(since) "," LATEST(until) "," LATEST(source) "," LATEST(
                                method) "," LATEST(product) ","
                                                            " (SELECT s.why FROM strike s WHERE "
                                                            "s.subject = t.uuid) AS struck"
                                                            " FROM (SELECT n.id, h.uuid, h.mark, "
                                                            "h.year, h.number, h.at, n.site_id, "
                                                            "n.kind AS kind_of,"
                                                            "   n.day, n.since, n.until, n.source, "
                                                            "n.method, n.product"
                                                            "   FROM spray_note n JOIN thing h "
                                                            "USING "
                                                            "(id)) t;"

                                                            "CREATE VIEW stage_note_now AS SELECT "
                                                            "t.id, t.uuid, t.mark, t.year, "
                                                            "t.number, "
                                                            "t.at, t.site_id,"
                                                            " t.material," LATEST(stage) "," LATEST(day) "," LATEST(
                                                                by) "," LATEST(remark) ","
                                                                                       " ("
                                                                                       "SEL"
                                                                                       "ECT"
                                                                                       " s."
                                                                                       "why"
                                                                                       " FR"
                                                                                       "OM "
                                                                                       "str"
                                                                                       "ike"
                                                                                       " s "
                                                                                       "WHE"
                                                                                       "RE "
                                                                                       "s."
                                                                                       "sub"
                                                                                       "jec"
                                                                                       "t "
                                                                                       "= "
                                                                                       "t."
                                                                                       "uui"
                                                                                       "d) "
                                                                                       "AS "
                                                                                       "str"
                                                                                       "uck"
                                                                                       " FR"
                                                                                       "OM "
                                                                                       "(SE"
                                                                                       "LEC"
                                                                                       "T "
                                                                                       "* "
                                                                                       "FRO"
                                                                                       "M "
                                                                                       "sta"
                                                                                       "ge_"
                                                                                       "not"
                                                                                       "e "
                                                                                       "JOI"
                                                                                       "N "
                                                                                       "thi"
                                                                                       "ng "
                                                                                       "USI"
                                                                                       "NG "
                                                                                       "(id"
                                                                                       ")) "
                                                                                       "t;";

static const char weather[] =
    /* Where temperatures were measured. */
    "CREATE TABLE station ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  name TEXT NOT NULL,"
    "  name_key TEXT NOT NULL UNIQUE,"
    "  lat REAL CHECK (lat BETWEEN -90 AND 90),"
    "  lon REAL CHECK (lon BETWEEN -180 AND 180),"
    "  elevation_m REAL CHECK (elevation_m BETWEEN -500 AND 9000),"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((lat IS NULL) = (lon IS NULL))"
    ") STRICT;"
    "CREATE TABLE weather_day ("
    "  station_id INTEGER NOT NULL REFERENCES station (id),"
    "  day INTEGER NOT NULL,"
    "  tmin_c REAL NOT NULL CHECK (tmin_c BETWEEN -95 AND 60),"
    "  tmax_c REAL NOT NULL CHECK (tmax_c BETWEEN tmin_c AND 60),"
    "  PRIMARY KEY (station_id, day)"
    ") STRICT, WITHOUT ROWID;"
    "CREATE TABLE weather_normal ("
    "  station_id INTEGER NOT NULL REFERENCES station (id),"
    "  month INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12),"
    "  mean_c REAL NOT NULL CHECK (mean_c BETWEEN -60 AND 50),"
    "  range_c REAL CHECK (range_c BETWEEN 0 AND 60),"
    "  PRIMARY KEY (station_id, month)"
    ") STRICT, WITHOUT ROWID;"
    /* Almanacs that the person added; the days are those that the calendar writes. */
    "CREATE TABLE almanac ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  name TEXT NOT NULL,"
    "  name_key TEXT NOT NULL UNIQUE,"
    "  at INTEGER NOT NULL CHECK (at > 0)"
    ") STRICT;"
    "CREATE TABLE almanac_row ("
    "  almanac_id INTEGER NOT NULL REFERENCES almanac (id),"
    "  uid TEXT NOT NULL,"
    "  material TEXT NOT NULL,"
    "  use TEXT NOT NULL,"
    "  flush INTEGER NOT NULL CHECK (flush >= 1),"
    "  start INTEGER NOT NULL,"
    "  end INTEGER NOT NULL CHECK (end >= start),"
    "  stage_from REAL CHECK (stage_from BETWEEN 0 AND 99),"
    "  stage_to REAL CHECK (stage_to BETWEEN 0 AND 99),"
    "  every_days INTEGER NOT NULL CHECK (every_days >= 0),"
    "  source TEXT,"
    "  lat REAL CHECK (lat BETWEEN -90 AND 90),"
    "  lon REAL CHECK (lon BETWEEN -180 AND 180),"
    "  elevation_m REAL CHECK (elevation_m BETWEEN -500 AND 9000),"
    "  normals TEXT," /* twelve numbers */
    "  PRIMARY KEY (almanac_id, uid)"
    ") STRICT, WITHOUT ROWID;"
    /* Days that the person set for a window; the last by (at, uuid) holds. */
    "CREATE TABLE window_fix ("
    "  id INTEGER PRIMARY KEY,"
    "  uuid TEXT NOT NULL UNIQUE,"
    "  site_id INTEGER NOT NULL REFERENCES site (id),"
    "  material TEXT NOT NULL,"
    "  use TEXT NOT NULL,"
    "  flush INTEGER NOT NULL CHECK (flush >= 1),"
    "  year INTEGER NOT NULL CHECK (year BETWEEN 1 AND 9999),"
    "  start INTEGER," /* NULL: let go again */
    "  end INTEGER CHECK (end >= start),"
    "  at INTEGER NOT NULL CHECK (at > 0),"
    "  CHECK ((start IS NULL) = (end IS NULL))"
    ") STRICT;"
    "CREATE INDEX window_fix_year ON window_fix (year, at, uuid);"
    "CREATE INDEX stage_note_material ON stage_note (material, day);";

const struct spl_migration spl_migrations[] = {
    {"a season: sites, notes, the log", season},
    {"weather, almanacs, fixed windows", weather},
    {"other sources: purchases, dryings", spl_migration_sources},
    {"calendars: what was written, and where", spl_migration_calendar},
    {"stands and the season's plan", spl_migration_plan},
    {"batches, lots", spl_migration_batches},
    {"hazards: map layers, figures of methods", spl_migration_hazards},
    {"weather that comes by itself, the years of an almanac", spl_migration_weather_follow},
    {"facts: whose each row is, strikes of any row, uses, answers", spl_migration_facts},
    {"calendars: what the person made of an entry there", spl_migration_calendar_theirs},
    {"which harvests have anything against their ground", spl_migration_judged},
    {"a yield can be corrected", spl_migration_yield},
    {"planned batches: dried herb, ratio, strength", spl_migration_plan_making},
    {"care: herb frozen, heated, shown to be dry; titrated acid, raw fruit", spl_migration_care},
    /* Each verdict asks them for their neighbours: without it all notes would be walked. */
    {"places that were ever sprayed, by index",
     "CREATE INDEX spray_note_sprayed ON spray_note (site_id) WHERE kind = 'sprayed';"},
    {"recipes of one's own", spl_migration_recipes},
    {"whose corrections of whose rows count here", spl_migration_trust},
    {"liquids: spirit, vinegar and the like as they come in", spl_migration_liquids},
    {"which strikes stand, what was corrected to what", spl_migration_live},
    {"which lots and jars are over", spl_migration_over},
    {"planned batches: by which recipe", spl_migration_plan_recipe},
    {"which lines of notes were taken", spl_migration_notes},
    {"of which ground a layer speaks: its neighbours are judged again", spl_migration_judged_area},
    {"handfuls, many hands, what others took, why an outing moved", spl_migration_week},
    {"what two books made of one drying reads alike in both", spl_migration_between},
    {"photos that go with entries", spl_migration_photos},
};
const int spl_n_migrations = G_N_ELEMENTS(spl_migrations);
