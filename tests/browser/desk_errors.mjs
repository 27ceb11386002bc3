// SPDX-License-Identifier: MIT
//
// What goes wrong, as pages: each says what happened and that nothing was written, holds what was typed,
// and passes axe-core and html-validate. The book is held by another program, newer, damaged, taken away,
// of an older schema, replaced by another book; the desk serves on when it is right again. So do the pages of
// the upgrade and of files that come in.
// Usage: desk_errors.mjs SIMPLING-PROGRAM
import { spawn, spawnSync } from 'node:child_process'
import { copyFileSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { axe, check, finish, skip_without, start, validate } from './driver.mjs'
import { begin } from './desk_begin.mjs'

skip_without('chromium')
const source = join(dirname(fileURLToPath(import.meta.url)), '../..')
const desk = await begin(process.argv[2])
const there = await start('chromium', { width: 360, height: 740 })
const { page } = there
await page.goto(desk.fresh())
await page.waitForSelector('h1')
const kept = `${desk.folder}/kept.db`
copyFileSync(desk.book, kept)

function sql(text) {
    const { status, stderr } = spawnSync('sqlite3', [desk.book], { encoding: 'utf8', input: text })
    if (status !== 0) throw new Error(stderr)
}

async function sound(name, answer, status, words) {
    check(answer.status() === status, `${name}: status`, answer.status())
    const said = await page.$eval('main', (main) => main.innerText)
    check(words.test(said), `${name}: says`, said.slice(0, 400))
    for (const line of await axe(page)) check(false, `${name}: ${line}`)
    for (const line of await validate(await answer.text(), { 'void-style': 'off', 'no-redundant-role': 'off' }))
        check(false, `${name}: ${line}`)
}

/** Fills in a harvest while all is well, then makes it go wrong, then sends it. */
async function post(before) {
    await page.goto(`${desk.base}/act/harvest-add?site=Low+Croft&material=dandelion%2Fleaf`)
    await page.type('[name="weight"]', '130g')
    await page.type('[name="stage"]', 'flowers over')
    await page.type('[name="named_by"]', 'Edda "the younger" <e>')
    await page.type('[name="signs"]', 'white milk')
    await before()
    const [answer] = await Promise.all([page.waitForNavigation({ timeout: 60000 }), page.click('main form button')])
    return answer
}

async function typed(name) {
    check(await page.$eval('[name="named_by"]', (field) => field.value) === 'Edda "the younger" <e>', `${name}: what was typed`)
    check(await page.$eval('[name="weight"]', (field) => field.value) === '130g', `${name}: what was typed`)
}

const count = () => desk.simpling('harvest', 'list').length
const entries = count()

// Another program writes, and does not end.
let holder
let answer = await post(async () => {
    holder = spawn('sqlite3', [desk.book], { stdio: ['pipe', 'pipe', 'ignore'] })
    holder.stdin.write('BEGIN IMMEDIATE; SELECT 1;\n')
    await new Promise((resolve) => holder.stdout.once('data', resolve))
})
await sound('held', answer, 503, /another|busy|locked|holds/i)
await typed('held')
holder.stdin.end('ROLLBACK;\n')
await new Promise((resolve) => holder.once('exit', resolve))
check(count() === entries, 'held: nothing was written')
// The same form, sent again when it is free.
;[answer] = await Promise.all([page.waitForNavigation(), page.click('main form button')])
check(await page.$('.done') !== null, 'free again: it is written')
check(count() === entries + 1, 'once')

// A newer book.
answer = await post(async () => sql('PRAGMA user_version = 999'))
await sound('newer', answer, 500, /newer/i)
await typed('newer')
answer = await page.goto(`${desk.base}/jars`)
await sound('newer, read', answer, 500, /newer/i)
copyFileSync(kept, desk.book)

// Damaged.
answer = await post(async () => writeFileSync(desk.book, 'no book of ours at all, but some other file'.repeat(200)))
check(answer.status() === 500, 'damaged: status', answer.status())
await typed('damaged')
answer = await page.goto(`${desk.base}/`)
check(answer.status() >= 400, 'damaged, read: status', answer.status())
for (const line of await axe(page)) check(false, `damaged: ${line}`)
copyFileSync(kept, desk.book)

// Taken away: the questions that make one, and back again.
renameSync(desk.book, `${desk.book}.away`)
answer = await page.goto(`${desk.base}/`)
await sound('no book', answer, 200, /There is no book at/)
await page.type('[name="mark"]', '1')
;[answer] = await Promise.all([page.waitForNavigation(), page.click('main form button')])
await sound('a mark that is none', answer, 422, /mark/)
await page.$eval('[name="mark"]', (field) => { field.value = 'NEW' })
;[answer] = await Promise.all([page.waitForNavigation(), page.click('main form button')])
await sound('a new book', answer, 200, /NEW/)
check(desk.simpling('book', 'info').mark === 'NEW', 'the answers made a book')
answer = await page.goto(`${desk.base}/`)
await sound('the new book', answer, 200, /Nothing is due/)

// Sent to a book that was put in the other's place meanwhile: that one does not know the place.
answer = await post(async () => undefined)
await sound('another book', answer, 422, /Low Croft/)
await typed('another book')
copyFileSync(kept, desk.book)
answer = await page.goto(`${desk.base}/shelf`)
await sound('right again', answer, 200, /Shelf/)

// The book of an earlier version: its upgrade is offered first, and done by one touch.
const dumps = readdirSync(join(source, 'tests/book/schemas')).sort()
rmSync(desk.book)
sql(readFileSync(join(source, 'tests/book/schemas', dumps.at(-2)), 'utf8'))
answer = await page.goto(`${desk.base}/jars`)
await sound('earlier version', answer, 200, /earlier version/)
;[answer] = await Promise.all([page.waitForNavigation(), page.click('main form button')])
check(answer.status() === 200 && /^Jars/.test(await page.title()), 'brought up by one touch', answer.status(), await page.title())
copyFileSync(kept, desk.book)

/** The processes beside the desk that make its long pages. */
function helpers() {
    return spawnSync('pgrep', ['-f', 'libexec/simpling/simpling-page'], { encoding: 'utf8' }).stdout.split('\n').filter((pid) => {
        try {
            return pid && readFileSync(`/proc/${pid}/environ`, 'utf8').includes(desk.folder)
        } catch {
            return false
        }
    }).map(Number)
}

/** Gives a file to a page of uploads; what comes of it. `held`: it takes long, and the page says so. */
async function give(kind, name, text, held) {
    writeFileSync(join(desk.folder, name), text)
    await page.goto(`${desk.base}/files/${kind}`)
    await (await page.$('input[type="file"]')).uploadFile(join(desk.folder, name))
    const sent = Promise.all([page.waitForNavigation(), page.click('main form button')])
    let found = []
    for (let i = 0; held && found.length === 0 && i < 500; i++) {
        found = helpers()
        for (const pid of found) process.kill(pid, 'SIGSTOP')
        await new Promise((resolve) => setTimeout(resolve, 1))
    }
    let [response] = await sent
    if (held) await sound('worked on', response, 200, /being worked on/)
    const done = page.url().includes('/work/') ? page.waitForNavigation() : null
    for (const pid of found) process.kill(pid, 'SIGCONT')
    if (done) response = await done
    while (page.url().includes('/work/') && /being worked on/.test(await page.$eval('main', (main) => main.innerText)))
        response = await page.waitForNavigation()
    return response
}

// Files: what was read of notes, what is refused, what is taken.
answer = await give('notes', 'notes.txt', '2027-06-19 Low Croft: dandelion leaf 300 g, flowers over\nnobody can read this line\n', true)
await sound('notes', answer, 200, /300 g dandelion\/leaf[^]*such a line is not taken/)
answer = await give('weather', 'weather.csv', 'this is no table of days')
await sound('a file that is none', answer, 422, /weather\.csv/)
answer = await give('places', 'places.gpx', '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">' +
    '<wpt lat="54.61" lon="-2.58"><name>Far <b> "End"</name></wpt></gpx>'.replace('<b>', '&lt;b&gt;'))
await sound('places', answer, 200, /Taken into the book/)
await Promise.all([page.waitForNavigation(), page.evaluate(() => [...document.querySelectorAll('main a')].find((a) => a.innerText === 'To the places').click())])
check((await page.$eval('main', (main) => main.innerText)).includes('Far <b> "End"'), 'the place that came in is on the page that is next')
await there.end()
const how = await desk.end()
check(how.code === 0, 'the desk ends well', how)
finish('six states in which nothing was lost')
