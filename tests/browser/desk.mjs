// Every page of the desk on the demo's book, in a browser: at 360 and 1280 pixels, on a desk that the
// test starts. No page scrolls sideways, throws, asks anywhere else, breaks the HTML standard or what
// axe-core knows of WCAG 2.2; the same in the dark; each links only to pages that are there. Forms that
// were filled in wrong are pages too.
// Usage: desk.mjs SIMPLING-PROGRAM [FOLDER for pictures of the pages]
import { join } from 'node:path'
import { axe, check, finish, skip_without, start, validate } from './driver.mjs'
import { begin } from './desk_begin.mjs'

skip_without('chromium')
const pictures = process.argv[3]
const pages = [
    '/', '/places', '/place/Withy%20Gill', '/place/Kell%20Moss?material=nettle+leaf&on=2027-07-01',
    '/plant/dandelion', '/log', '/harvest/H26-001', '/racks?all=1', '/drying/D26-002', '/jars',
    '/batch/B27-003', '/shelf', '/lot/L26-001', '/lot/L26-004', '/season', '/questions',
    '/recall?of=Fold+Lane&sprayed=2026-05', '/recall', '/reckon',
    '/reckon?what=herb&material=nettle+leaf&preparation=tincture&jar=500mL', '/act/harvest-add',
    '/act/batch-press', '/act/lot-use', '/act/spray-note',
]
const wrong_pages = [
    ['/nothing-here', 404], ['/place/Nowhere', 404], ['/lot/L26-999', 404], ['/lot/never', 400],
    ['/reckon?what=herb&material=moon', 422], ['/place/Withy%20Gill?on=31+February', 400],
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
        return page.evaluate(() => [...document.querySelectorAll('a[href]')].map((a) => a.href))
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
await desk.end()
finish(`${pages.length + wrong_pages.length} pages at two widths, ${seen} links`)
