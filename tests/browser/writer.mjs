// SPDX-License-Identifier: MIT
//
// What src/desk/html.c writes from hostile texts, read by two browsers: each text is still the text, in
// an element, a title, a textarea and an attribute; nothing runs and nothing is asked for.
// Usage: writer.mjs WRITE_HOSTILE, the program that prints the page
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { browsers, check, finish, run, skip_without, start } from './driver.mjs'

skip_without(...browsers)
const folder = mkdtempSync(join(tmpdir(), 'simpling-writer-'))
const file = join(folder, 'page.html')
const page_text = run(process.argv[2])
writeFileSync(file, page_text)
// The texts as JSON stand in the page too, by another way of escaping.
for (const kind of browsers) {
    const there = await start(kind)
    await there.page.goto(pathToFileURL(file).href)
    const seen = await there.page.evaluate(() => ({
        wanted: JSON.parse(document.getElementById('texts').textContent),
        p: [...document.querySelectorAll('p')].map((p) => p.textContent),
        area: [...document.querySelectorAll('textarea')].map((area) => area.value),
        value: [...document.querySelectorAll('p')].map((p) => p.getAttribute('data-text')),
        title: document.title,
        ran: globalThis.ran === true,
        elements: document.querySelectorAll('*').length,
        href: [...document.querySelectorAll('a')].map((a) => a.protocol),
    }))
    check(seen.wanted.length > 20, `${kind}: the texts are there`)
    for (const [i, text] of seen.wanted.entries()) {
        check(seen.p[i] === text, `${kind}: text ${i} in an element`, text, seen.p[i])
        check(seen.area[i] === text, `${kind}: text ${i} in a textarea`, text, seen.area[i])
        check(seen.value[i] === text, `${kind}: text ${i} in an attribute`, text, seen.value[i])
    }
    check(seen.title === seen.wanted[6], `${kind}: the title`, seen.title)
    check(!seen.ran, `${kind}: a text ran`)
    // html, head, meta, title, script, body, and per text p, textarea, a.
    check(seen.elements === 6 + 3 * seen.wanted.length, `${kind}: ${seen.elements} elements`)
    check(seen.href.every((protocol) => protocol === 'file:'), `${kind}: an address leads elsewhere`, seen.href)
    check(there.requests.every((url) => url.startsWith('file:')), `${kind}: asked for`, there.requests)
    await there.end()
}
rmSync(folder, { recursive: true })
finish('hostile texts stay texts in both browsers')
