-- SPDX-License-Identifier: MIT
--
-- For big_book.c: 120 jars of what was picked in spring and summer of 2026, pressed into a bottle each, and 40
-- jars of the next spring that stand; as many uses of the bottles since as the setting `test_uses` says. Days
-- are counted from 1970.
CREATE TEMP TABLE k AS
    SELECT i, h, day, material, weight_g, (SELECT max(id) FROM thing) AS base FROM (
        SELECT row_number() OVER (ORDER BY id) AS i, id AS h, day, material, weight_g FROM
            (SELECT * FROM harvest WHERE day BETWEEN 20570 AND 20700 ORDER BY id LIMIT 120)
        UNION ALL
        SELECT 120 + row_number() OVER (ORDER BY id), id, day, material, weight_g FROM
            (SELECT * FROM harvest WHERE day BETWEEN 20905 AND 20930 ORDER BY id LIMIT 40));
CREATE TEMP TABLE n AS SELECT CAST(value AS INTEGER) AS uses FROM setting WHERE key = 'test_uses';
CREATE TEMP TABLE u AS
    WITH RECURSIVE c (j) AS (SELECT 0 UNION ALL SELECT j + 1 FROM c, n WHERE j + 1 < uses)
    SELECT j, base, 1 + j % 120 AS i, 20800 + j * 180 / uses AS day FROM c, n JOIN k ON k.i = 1 + j % 120;

INSERT INTO thing (id, uuid, kind, mark, year, number, at)
    SELECT base + i, printf('00000000-0000-4000-8000-%012d', base + i), 'B', 'BIG', iif(i > 120, 2027, 2026), i, 10 FROM k
    UNION ALL SELECT base + 1000 + i, printf('00000000-0000-4000-8000-%012d', base + 1000 + i), 'L', 'BIG', 2026, i, 10
        FROM k WHERE i <= 120
    UNION ALL SELECT base + 3000 + j, printf('00000000-0000-4000-8005-%012d', j), 'U', 'BIG', 2027, j + 1, 40 FROM u;
INSERT INTO batch (id, preparation, day, jars, jar_ml, brimful_ml, outside, keeping)
    SELECT base + i, 'tincture', day, 1, 3000, 3100, 0, '[]' FROM k;
INSERT INTO draw (id, uuid, taker_id, source_id, day, grams, at)
    SELECT base + i, printf('00000000-0000-4000-8001-%012d', i), base + i, h, day, weight_g, 20 FROM k;
INSERT INTO charge (uuid, batch_id, draw_id, kind, day, material, state, grams, moisture_frac, volume_ml_per_g,
                    kept, kept_low, kept_high, at)
    SELECT printf('00000000-0000-4000-8002-%012d', i), base + i, d.id, 'herb', k.day, material, 'fresh', weight_g, 0.8,
           0.9, 0.5, 0.4, 0.6, 20
    FROM k JOIN draw d ON d.taker_id = base + i;
INSERT INTO charge (uuid, batch_id, kind, day, ml, strength_frac, mass_g, ethanol_g, acid_g, glycerol_ml, sugar_g,
                    words, at)
    SELECT printf('00000000-0000-4000-8003-%012d', i), base + i, 'liquid', day, 2000, 0.6, 1800, 950, 0, 0, 0,
           'spirit 60%', 20 FROM k;
INSERT INTO lot (id, preparation, materials, day, unit, amount, use_by, ratio, mass_g, ethanol_g, acid_g, glycerol_ml,
                 sugar_g, outside)
    SELECT base + 1000 + i, 'tincture', material, day + 30, 'mL', 2100, day + 2000, 2, 0.93, 0.35, 0, 0, 0, 0
    FROM k WHERE i <= 120;
INSERT INTO draw (id, uuid, taker_id, source_id, day, grams, ml, at)
    SELECT base + 1000 + i, printf('00000000-0000-4000-8004-%012d', i), base + 1000 + i, base + i, day + 30, weight_g,
           2100, 30 FROM k WHERE i <= 120;
INSERT INTO use (id, day, ref, by) SELECT base + 3000 + j, day, CAST(1000 + j % 300 AS TEXT), 'Edda' FROM u;
INSERT INTO lot_use (uuid, lot_id, call, day, amount, ref, by, at, use_id)
    SELECT printf('00000000-0000-4000-8006-%012d', j), base + 1000 + i, printf('00000000-0000-4000-8005-%012d', j), day,
           20, CAST(1000 + j % 300 AS TEXT), 'Edda', 40, base + 3000 + j FROM u;
DROP TABLE k;
DROP TABLE u;
DROP TABLE n;
DELETE FROM setting WHERE key = 'test_uses';
