// SPDX-License-Identifier: MIT
//
// Every kind of page that the desk shows of the demo's book: what the tests look at, and the contact sheets.
export const pages = [
    '/', '/places', '/place/Withy%20Gill', '/place/Kell%20Moss?material=nettle+leaf&on=2027-07-01',
    '/plant/dandelion', '/log', '/harvest/H26-001', '/racks?all=1', '/drying/D26-002', '/jars',
    '/batch/B27-003', '/shelf', '/lot/L26-001', '/lot/L26-004', '/season', '/questions',
    '/recall?of=Fold+Lane&sprayed=2026-05', '/recall', '/reckon',
    '/reckon?what=herb&material=nettle+leaf&preparation=tincture&jar=500mL', '/act/harvest-add',
    '/act/batch-press', '/act/lot-use', '/act/spray-note', '/count', '/help', '/help/desk', '/help/words?find=spray', '/close',
    '/print?what=labels&codes=L26-001&form=yes', '/files', '/plan', '/year', '/look/stand-list',
    '/look/book-info', '/look/liquid-ledger', '/look/recipe-list', '/look/stand-list?asked=yes', '/settings', '/tour', '/tables', '/table/presses', '/table/hazards?like=3',
    '/given?from=2027-05-01&to=2027-06-20', '/ledger?from=2027-01-01', '/labels?all=lots', '/look/harvest-list', '/act/amend', '/act/site-edit',
]
