// SPDX-License-Identifier: MIT
//
// Contact sheets of the desk's pages on the demo's book: on a telephone's width, on a table's, and as they
// are printed (the first page of each). Made by hand when pages have changed, to be looked at:
//
//     NODE_MODULES=build/node node tests/browser/desk_sheets.mjs build/bin/simpling tests/browser/sheets
//
// What was found by looking stands in sheets/looked.md.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { check, finish, skip_without, start } from './driver.mjs'
import { begin } from './desk_begin.mjs'
import { pages } from './desk_pages.mjs'

skip_without('chromium')
const [, , program, out] = process.argv
const desk = await begin(resolve(program))
const work = mkdtempSync(join(tmpdir(), 'simpling-sheets-'))
const there = await start('chromium', { width: 1280, height: 900 })
const { page } = there
await page.goto(desk.fresh())
await page.waitForFunction(() => location.search === '' && document.querySelector('h1'))

/** The first two heights of a page, as a picture in text. */
async function on_screen(path, width, height) {
    await page.setViewport({ width, height, deviceScaleFactor: width > 1000 ? 0.5 : 1 })
    await page.goto(desk.base + path, { waitUntil: 'load' })
    const whole = await page.evaluate(() => document.documentElement.scrollHeight)
    return page.screenshot({ encoding: 'base64', captureBeyondViewport: true,
        clip: { x: 0, y: 0, width, height: Math.min(whole, 2 * height) } })
}

async function on_paper(path) {
    const pdf = join(work, 'page.pdf')
    await page.setViewport({ width: 1280, height: 900 })
    await page.goto(desk.base + path, { waitUntil: 'load' })
    writeFileSync(pdf, await page.pdf({ format: 'A4', margin: { top: '15mm', bottom: '15mm', left: '15mm', right: '15mm' } }))
    const { status } = spawnSync('pdftoppm', ['-r', '60', '-f', '1', '-l', '1', '-singlefile', '-png', pdf, join(work, 'page')])
    check(status === 0, `${path}: pdftoppm`)
    return readFileSync(join(work, 'page.png')).toString('base64')
}

/** All of them below their addresses, on one picture. */
async function write_sheet(name, shots, wide, columns) {
    const cells = shots.map(([path, png]) => `<figure><figcaption>${decodeURI(path).replace(/[&<]/g, ' ').slice(0, 40)}</figcaption>
        <img src="data:image/png;base64,${png}"></figure>`)
    const sheet = await there.another() // not under the desk's own policy, which forbids styles in a page
    await sheet.setViewport({ width: columns * (wide + 8) + 8, height: 900, deviceScaleFactor: 1 })
    await sheet.setContent(`<style>body { margin: 4px; display: flex; flex-wrap: wrap; align-items: start; background: #888 }
        figure { margin: 4px; width: ${wide}px } figcaption { font: 11px sans-serif; background: #fff } img { width: 100%; display: block }</style>${cells.join('')}`)
    await sheet.screenshot({ path: join(out, `${name}.webp`), type: 'webp', quality: 40, fullPage: true })
    await sheet.close()
}

for (const [name, take, wide, columns] of [
    ['desk-360', (path) => on_screen(path, 360, 740), 180, 10],
    ['desk-1280', (path) => on_screen(path, 1280, 900), 330, 6],
    ['desk-print', on_paper, 280, 7],
]) {
    const shots = []
    for (const path of pages) shots.push([path, await take(path)])
    await write_sheet(name, shots, wide, columns)
}
rmSync(work, { recursive: true, force: true })
await there.end()
await desk.end()
finish(`${pages.length} pages, three sheets`)
