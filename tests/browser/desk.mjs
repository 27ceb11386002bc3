// SPDX-License-Identifier: MIT
//
// Every page of the desk on the demo's book, in a browser: at 360 and 1280 pixels, on a desk that the
// test starts. No page scrolls sideways, throws, asks anywhere else, breaks the HTML standard or what
// axe-core knows of WCAG 2.2; the same in the dark; each links only to pages that are there. Forms that
// were filled in wrong are pages too.
// Usage: desk.mjs SIMPLING-PROGRAM [FOLDER for pictures of the pages]
import { join } from 'node:path'
import { axe, check, finish, skip_without, start, validate } from './driver.mjs'
import { begin } from './desk_begin.mjs'
import { pages } from './desk_pages.mjs'

skip_without('chromium')
const pictures = process.argv[3]
const wrong_pages = [
    ['/nothing-here', 404], ['/place/Nowhere', 404], ['/lot/L26-999', 404], ['/lot/never', 400],
    ['/reckon?what=herb&material=moon', 422], ['/print?what=labels&codes=L26-001&sheet=nine', 422], ['/place/Withy%20Gill?on=31+February', 400],
]

// Rows that are laid out as blocks on a narrow page lose their roles to some readers, so they are said.
const said_roles = { 'no-redundant-role': 'off' }

async function look(there, desk, path, status, width) {
    const name = `${path.replace(/\W+/g, '_')}-${width}`
    const { page } = there
    const before = there.requests.length
    const answer = await page.goto(desk.base + path, { waitUntil: 'load' })
    check(answer.status() === status, `${name}: status`, answer.status())
    const wide = await page.evaluate(() => document.scrollingElement.scrollWidth - window.innerWidth)
    check(wide <= 0, `${name}: scrolls sideways by`, wide)
    check(there.requests.slice(before).every((url) => url.startsWith(desk.base) || url.startsWith('data:')),
        `${name}: asked elsewhere`, there.requests.slice(before))
    if (pictures) await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true })
    // What axe-core says is of the narrow page, and of the wide one in the dark.
    if (width < 1000) for (const line of await axe(page)) check(false, `${name}: ${line}`)
    if (width > 1000) {
        for (const line of await validate(await answer.text(), { 'void-style': 'off', 'no-inline-style': 'error', ...said_roles }))
            check(false, `${name}: ${line}`)
        await page.emulateMediaFeatures([{ name: 'prefers-color-scheme', value: 'dark' }])
        for (const line of await axe(page)) check(false, `${name}, dark: ${line}`)
        if (pictures) await page.screenshot({ path: join(pictures, `${name}-dark.png`) })
        await page.emulateMediaFeatures([])
        if (pictures) await page.pdf({ path: join(pictures, `${name}.pdf`), format: 'A4' })
        return page.evaluate(() => [...document.querySelectorAll('a[href]')].map((a) => new URL(a.getAttribute('href'), document.baseURI).href))
    }
    return []
}

const desk = await begin(process.argv[2])
const links = new Set()
for (const width of [360, 1280]) {
    const there = await start('chromium', { width, height: width > 1000 ? 900 : 740 })
    await there.page.goto(desk.fresh())
    await there.page.waitForFunction(() => location.search === '' && document.querySelector('h1'))
    for (const path of pages) for (const link of await look(there, desk, path, 200, width)) links.add(link)
    check(there.problems.length === 0, `${width}: the pages complain`, there.problems)
    for (const [path, status] of wrong_pages) await look(there, desk, path, status, width)
    await there.end()
}
// Each place can be touched on the map where its mark stands; the keyboard reaches it.
{
    const there = await start('chromium', { width: 1280, height: 900 })
    const { page } = there
    await page.goto(desk.fresh())
    await page.waitForFunction(() => location.search === '' && document.querySelector('h1'))
    await page.goto(`${desk.base}/places`, { waitUntil: 'load' })
    const places = desk.simpling('site', 'list')
    const spots = await page.$$eval('figure.map a', (all) => all.map((a) => {
        const box = a.getBoundingClientRect()
        return { site: a.getAttribute('aria-label'), x: box.x + box.width / 2, y: box.y + box.height / 2, wide: box.width }
    }))
    check(spots.length === places.length, `${spots.length} of ${places.length} places on the map`)
    check(spots.every((spot) => spot.wide >= 24), 'a finger hits them', spots.map((spot) => spot.wide))
    // North is up and east is right, as in the book.
    for (const a of places)
        for (const b of places) {
            const [one, two] = [a, b].map((place) => spots.find((spot) => spot.site === place.name))
            if (a.lat - b.lat > 0.003) check(one.y < two.y, `${a.name} lies north of ${b.name}`)
            if (a.lon - b.lon > 0.005) check(one.x > two.x, `${a.name} lies east of ${b.name}`)
        }
    const kell = spots.find((spot) => spot.site === 'Kell Moss')
    await Promise.all([page.waitForNavigation(), page.mouse.click(kell.x, kell.y)])
    check(await page.$eval('h1', (h1) => h1.innerText) === 'Kell Moss', 'touched on the map')
    // A plant's parts stand beside each other at every place, in the order of the year.
    await page.goto(`${desk.base}/plant/dandelion`)
    const first = await page.$$eval('ul.almanac', (lists) => lists.map((list) => [...list.querySelectorAll('strong')].map((part) => part.innerText)))
    check(first.length === places.length, 'every place', first.length)
    for (const parts of first)
        for (const part of ['flower', 'leaf, food', 'leaf, medicine', 'root'])
            check(parts.some((one) => one.startsWith(part)), `${part} at every place`, parts)
    const said = await page.$eval('main', (main) => main.innerText)
    for (const words of [/DEADLY LOOK-ALIKES: Foxglove/, /What each part makes/, /Taraxacum/])
        check(words.test(said), `a plant's page says ${words}`)
    // On A4 a list is a table still, and what is counted on paper has its lines.
    await page.setViewport({ width: 680, height: 900 })
    for (const path of ['/shelf', '/count']) {
        await page.goto(desk.base + path)
        await page.emulateMediaType('print')
        const display = await page.$$eval('main table, main td', (all) => [...new Set(all.map((one) => getComputedStyle(one).display))])
        check(display.every((one) => ['table', 'table-cell', 'none'].includes(one)) && display.includes('table-cell'),
            `${path} on paper`, display)
        await page.emulateMediaType(null)
    }
    await page.setViewport({ width: 1280, height: 900 })
    // A sheet begins on its first page: the picture stands whole on page 1 with the heading.
    for (const path of ['/places', '/season']) {
        await page.goto(desk.base + path, { waitUntil: 'load' })
        await page.emulateMediaType('print')
        const bottom = await page.$eval('figure img', (img) => img.getBoundingClientRect().bottom)
        check(bottom < 1000, `${path}: its picture ends on the first page, at`, bottom)
        await page.emulateMediaType(null)
    }
    // On the season page each line leads to its windows: the links lie where the picture says, in its own
    // hidden words, that the line lies.
    await page.goto(`${desk.base}/season`, { waitUntil: 'load' })
    await page.waitForSelector('figure.map a')
    const drawn = await page.evaluate(async () => {
        const svg = new DOMParser().parseFromString(await (await fetch('/season.svg')).text(), 'image/svg+xml').documentElement
        const [, , wide] = svg.getAttribute('viewBox').split(' ').map(Number)
        const shares = ['x', 'y', 'width', 'height']
        const of = (rect, unit) => shares.map((share) => Number(rect.getAttribute(share)) * unit)
        const lines = [...svg.querySelectorAll('g[role=img]')].filter((g) => /; may begin/.test(g.textContent))
            .map((g) => ({ words: g.textContent, box: of(g.querySelector('rect'), 1000 / wide) }))
        const links = [...document.querySelectorAll('figure.map a')].map((a) => ({ href: decodeURIComponent(a.getAttribute('href')), box: of(a.querySelector('rect'), 1) }))
        return { lines, links }
    })
    check(drawn.lines.length > 20 && drawn.lines.length === drawn.links.length, `${drawn.links.length} links on ${drawn.lines.length} lines`)
    for (const line of drawn.lines) {
        const link = drawn.links.find((one) => one.box.every((at, i) => Math.abs(at - line.box[i]) < 1.2))
        const [, place] = /^[^;]*?, ([^,;]*), (?:clear|ask|closed);/.exec(line.words) ?? []
        check(link !== undefined && place !== undefined && link.href.startsWith(`/place/${place}?material=`), 'a line leads to its place', line, link)
    }
    const lime = await page.$('figure.map a[href*="lime"] rect')
    await Promise.all([page.waitForNavigation(), lime.click()])
    check(await page.$eval('h1', (h1) => h1.innerText) === 'Scarth Wood' && /lime\/flower/.test(await page.$eval('.verdict', (p) => p.innerText)),
        'touched on the season page', page.url())
    // Stock-taking: Enter goes from shelf to shelf, with Shift back, from a reason to the row below, at last to
    // the button, and sends nothing on the way.
    await page.goto(`${desk.base}/count`, { waitUntil: 'load' })
    const at = () => page.evaluate(() => document.activeElement.name || document.activeElement.tagName)
    const enter = async () => { await page.keyboard.press('Enter'); return at() }
    const last = await page.$$eval('input[name$=".counted"]', (all) => all.length - 1)
    await page.focus('[name="lines.0.counted"]')
    await page.keyboard.type('110')
    check(await enter() === 'lines.1.counted', 'Enter goes on to the next', await at())
    await page.keyboard.down('Shift')
    check(await enter() === 'lines.0.counted', 'with Shift back', await at())
    await page.keyboard.up('Shift')
    check(await page.evaluate(() => document.activeElement.value) === '110', 'what was typed stays')
    await page.focus('[name="lines.2.why"]')
    check(await enter() === 'lines.3.counted', 'from a reason to the row below', await at())
    await page.focus(`[name="lines.${last}.counted"]`)
    check(await enter() === 'BUTTON' && page.url() === `${desk.base}/count`, 'from the last to the button', await at(), page.url())
    await there.end()
}
// Without the script the same page is a plain form: Enter sends it, and what was filled in is counted.
{
    const there = await start('chromium', { width: 1280, height: 900 })
    const { page } = there
    await page.goto(desk.fresh())
    await page.waitForFunction(() => location.search === '' && document.querySelector('h1'))
    await page.setJavaScriptEnabled(false)
    await page.goto(`${desk.base}/count`, { waitUntil: 'load' })
    await page.type('[name="lines.0.counted"]', '112')
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
    check(page.url().startsWith(`${desk.base}/act/written`), 'counted without a script', page.url())
    await there.end()
}
// Every page that these lead to, once.
let seen = 0
for (const link of links) {
    const url = new URL(link)
    if (url.hash !== '' || url.protocol === 'data:') continue
    const answer = await desk.get(url.pathname + url.search)
    check(answer.status === 200, `${url.pathname}${url.search}: ${answer.status}`)
    seen++
}
check(seen > 100, `only ${seen} links were found`)
// Closed from a page: it says so, the desk ends by itself, and nothing else can close it.
check((await desk.post('/close', {}, { Origin: 'http://other.example' })).status === 403, 'a foreign page closes nothing')
check((await desk.get('/close')).status === 200, 'to look at the page closes nothing')
const closed = await desk.post('/close', {})
check(closed.status === 200 && /The desk is closed/.test(closed.text), 'it says that it is closed', closed.status)
const ended = await Promise.race([desk.ended, new Promise((resolve) => setTimeout(resolve, 10000, 'it does not end'))])
check(ended.code === 0, 'the desk ends by itself', ended)
await desk.end()
finish(`${pages.length + wrong_pages.length} pages at two widths, ${seen} links`)
