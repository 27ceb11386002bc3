-- Fills a new book: 10,000 sites, 100,000 harvests, 20,000 batches and 20,000 lots, mixed six deep.
-- Things: harvests 1 to 100,000, batches from 100,001, lots from 120,001. Batch i draws on five harvests
-- of its own; unless it begins a chain of six, also on lot i - 1 and on lot i - 7.
-- tests/bench/run.sh takes a tenth of all by its digits: keep the numbers multiples of 10,000 (and 100001).
PRAGMA foreign_keys = OFF;
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 10000) INSERT INTO site (id, uuid,
    name, lat, lon, at) SELECT i, printf('s%d', i), printf('Place %05d', i), 50 + i / 10000.0, -2 - i /
    10000.0, 1 FROM n;
INSERT INTO site_key SELECT printf('place %05d', id), id FROM site;
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 100000) INSERT INTO thing (id, uuid,
    kind, mark, year, number, at) SELECT i, printf('h%d', i), 'H', 'ANN', 2026, i, 1 FROM n;
INSERT INTO harvest (id, site_id, material, stage, day, weight_g, verdict, reasons) SELECT id, 1 + id % 10000,
    'nettle/leaf', 41, 20600 + id % 300, 100, 'clear', '[]' FROM thing;
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000) INSERT INTO thing (id, uuid,
    kind, mark, year, number, at) SELECT 100000 + i, printf('b%d', i), 'B', 'ANN', 2027, i, 2 FROM n;
INSERT INTO batch (id, preparation, day, outside, keeping) SELECT id, 'tincture', 20950, 0, 'table' FROM thing
    WHERE kind = 'B';
WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000) INSERT INTO thing (id, uuid,
    kind, mark, year, number, at) SELECT 120000 + i, printf('l%d', i), 'L', 'ANN', 2027, i, 3 FROM n;
INSERT INTO lot (id, preparation, materials, day, unit, amount, outside) SELECT id, 'tincture', 'nettle/leaf',
    20960, 'mL', 400, 0 FROM thing WHERE kind = 'L';
INSERT INTO draw (uuid, taker_id, source_id, day, grams, at) SELECT printf('dh%d', id), 100001 + (id - 1) / 5,
    id, 20950, 10, 2 FROM thing WHERE kind = 'H';
INSERT INTO draw (uuid, taker_id, source_id, day, ml, at) SELECT printf('dl%d', id), id + 20000, id, 20960,
    400, 3 FROM thing WHERE kind = 'B';
INSERT INTO draw (uuid, taker_id, source_id, day, ml, at) SELECT printf('dm%d', id), id, id + 20000 - 1,
    20950, 5, 4 FROM thing WHERE kind = 'B' AND number % 6 <> 1;
INSERT INTO draw (uuid, taker_id, source_id, day, ml, at) SELECT printf('dn%d', id), id, id + 20000 - 7,
    20950, 5, 4 FROM thing WHERE kind = 'B' AND number % 6 <> 1 AND number > 7;
