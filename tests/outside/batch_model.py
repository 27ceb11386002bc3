#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""The batch arithmetic a second time, written apart from the program: it made the expected values in
tests/data/need_worked.csv. Run it to print them again; nothing here calls simpling.

The density is the A row of OIML R 22 (1975), 20 degrees. The herb model: a gram of herb with water w
fills w/0.998 + (1-w)/1.45 mL under liquid (plant solids 1.45 g/mL, from memory)."""
A = [9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
     3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4]


def rho(p):
    return sum(a * p**k for k, a in enumerate(A)) / 1000


def abv(p):
    return p * rho(p) / rho(1)


def mass(q):
    lo, hi = 0.0, 1.0
    for _ in range(200):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if abv(mid) < q else (lo, mid)
    return lo


def room(w):
    return w / 0.998 + (1 - w) / 1.45


def spirit(G, R, w, q, r):
    m1, m2 = R * G * rho(mass(q)), w * G
    p = m1 * mass(q) / (m1 + m2)
    pool = (m1 + m2) / rho(p)
    return abv(p), pool - r * G


def vinegar(G, R, w, a, r):
    pool = R * G + w * G / rho(0)
    return a * R * G / pool, pool - r * G


def oil(G, R, w, _, r):
    return float('nan'), min(R * G, R * G + w * G / rho(0) - r * G)


def oxymel(G, R, w, a, r, honey=0.5):
    pool = R * G + w * G / rho(0)
    h, v = honey * R * G, (1 - honey) * R * G
    return 0.82 * 1.433 * h / (1.433 * h + 1.010 * v + w * G), pool - r * G


def syrup(G, R, w, s, r):
    liquid = R * G + w * G / rho(0) - r * G
    sugar = liquid * rho(0) * s / (1 - s)
    return s, liquid + 550 / 850 * sugar


KIND = {'spirit': spirit, 'vinegar': vinegar, 'glycerol': vinegar, 'oil': oil, 'oxymel': oxymel,
        'syrup': syrup}

CASES = [  # name, liquid, jar to the brim, headspace, ratio, water, strength, kept
    ('dandelion flower, 500 mL jar, drained', 'spirit', 520, 0, 5, .85, .40, 1.6),
    ('dandelion flower, 500 mL jar, by hand', 'spirit', 520, 0, 5, .85, .40, 1.25),
    ('dandelion flower, 500 mL jar, screw press', 'spirit', 520, 0, 5, .85, .40, 0.5),
    ('dandelion flower, 500 mL jar, hydraulic', 'spirit', 520, 0, 5, .85, .40, 0.3),
    ('dandelion flower, 500 mL to the brim', 'spirit', 500, 0, 5, .85, .40, 1.25),
    ('fresh herb 1:2 in strong spirit', 'spirit', 1000, 0, 2, .85, .95, 1.25),
    ('dried root 1:5', 'spirit', 1040, 0.03, 5, .10, .45, 2.0),
    ('hot herb in vinegar', 'vinegar', 1040, 0.05, 5, .85, .05, 1.25),
    ('wilted herb in vinegar', 'vinegar', 1040, 0.05, 3, .60, .06, 1.25),
    ('fresh glycerite 1:3', 'glycerol', 520, 0, 3, .85, 1.0, 1.25),
    ('dried flower in oil 1:10', 'oil', 520, 0, 10, .10, 0, 2.0),
    ('oxymel 1:5', 'oxymel', 520, 0.05, 5, .85, .05, 1.25),
    ('syrup 1:2', 'syrup', 2000, 0.1, 2, .85, .65, 1.25),
]

if __name__ == '__main__':
    print('name,liquid,brimful_ml,headspace,ratio,moisture,strength,kept,herb_g,menstruum_ml,'
          'final_frac,yield_ml,source')
    for name, liquid, jar, head, R, w, q, r in CASES:
        G = jar * (1 - head) / (R + room(w))
        final, out = KIND[liquid](G, R, w, q, r)
        f = '' if final != final else f'{final:.5f}'
        print(f'"{name}",{liquid},{jar},{head},{R},{w},{q},{r},{G:.3f},{R * G:.2f},{f},{out:.2f},'
              'tests/outside/batch_model.py')
