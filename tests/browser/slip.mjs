// SPDX-License-Identifier: MIT
//
// The demo's slip as two browsers show it, opened as a file: with and without its script, on its second
// day, after its last, with the phone's clock a year back, over midnight; what is noted outlives a killed
// browser and is handed out as lines; nothing is asked of any net.
// Usage: slip.mjs SIMPLING [FOLDER]: screenshots go to FOLDER when it is named
import { spawnSync } from 'node:child_process'
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { axe, browsers, check, finish, run, skip_without, start, validate } from './driver.mjs'

skip_without(...browsers)
const [simpling, shots] = process.argv.slice(2)
const folder = mkdtempSync(join(tmpdir(), 'simpling-slip-'))
const demo = join(folder, 'demo')
run(simpling, 'demo', demo)
process.env.SIMPLING_BOOK = join(demo, 'book.db')
process.env.SIMPLING_TODAY = '2027-06-20'
const file = join(folder, 'slip.html')
run(simpling, 'slip', 'write', '--out', file)
const group = join(folder, 'walk.html')
run(simpling, 'slip', 'write', '--out', group, '--site', 'Withy Gill', '--group')
// Of the first outing that the demo keeps: what it wants stands beside what may be taken.
const kept = spawnSync(simpling, ['slip', 'write', '--out', join(folder, 'none.html'), '--outing', '2027-01-01'], { encoding: 'utf8' })
const [outing_day] = /kept are .*/.exec(kept.stderr)[0].match(/2027-\d\d-\d\d/g).filter((day) => day >= '2027-06-20')
const outing = join(folder, 'outing.html')
run(simpling, 'slip', 'write', '--out', outing, '--outing', outing_day, '--without-places')
const outing_text = readFileSync(outing, 'utf8')
check(/; wanted \d+/.test(outing_text) && outing_text.includes('Slip: <bdi>the outing of '), 'an outing without what it wants')
check(!/data-l(at|on)=/.test(outing_text), 'coordinates on a slip without places')
check(outing_text.match(/data-first="([-0-9]+)"/)[1] <= outing_day && outing_day <= outing_text.match(/data-last="([-0-9]+)"/)[1], 'a slip that does not reach its outing')
const page_text = readFileSync(file, 'utf8')
const address = pathToFileURL(file).href
if (shots) mkdirSync(shots, { recursive: true })

const zone = 'Europe/London'
const second_day = '2027-06-21T10:00:00Z'

check(/^[\x00-\x7f]*$/.test(page_text), 'the page is ASCII')
for (const [name, text] of [['the slip', page_text], ['an outing\u2019s slip', outing_text], ['a group\u2019s slip', readFileSync(group, 'utf8')]]) {
    const found = await validate(text, {
        // No part of the standard: a long title is cut by who shows it; the document is one file.
        'long-title': 'off', 'no-inline-style': 'off',
    })
    check(found.length === 0, `html-validate of ${name}`, found.slice(0, 10))
}
const group_text = readFileSync(group, 'utf8').replace(/<script>[\s\S]*<\/script>/, '')
for (const word of ['the tenant', 'Corin', 'id="log"', 'data-lat', 'leave given'])
    check(!group_text.includes(word), `a group's slip says "${word}"`)

async function shot(there, name) {
    if (shots) await there.page.screenshot({ path: join(shots, `${there.kind}-${name}.png`) })
}

// What can be seen of the page.
const visible = (page) => page.evaluate(() => document.body.innerText)
// Each verdict's row as it is written, whether it is shown or not.
const rows = (page) => page.evaluate(() =>
    [...document.querySelectorAll('li[data-f]')].map((row) => row.closest('.place').dataset.place + ': ' + row.textContent))

// "clear" stands nowhere but behind its days, and where it is said what it means.
function undated(text) {
    return text.split('\n').filter((line) => /\bclear\b/i.test(line) &&
        !/^(Today: )?[A-Z][a-z]{2} \d+( [A-Z][a-z]+)?( to [A-Z][a-z]{2} \d+ [A-Z][a-z]+)?: clear\b/i.test(line) &&
        !/nothing here is clear|Clear means that nothing is known|NOTHING HERE IS CLEAR/i.test(line))
}

async function small_targets(page) {
    return page.evaluate(() => [...document.querySelectorAll('button, summary, input, select, textarea, nav a')]
        .filter((one) => one.offsetParent !== null || getComputedStyle(one).position === 'fixed')
        .map((one) => [one.id || one.textContent.slice(0, 30), one.getBoundingClientRect()])
        .filter(([, box]) => box.width > 0 && (box.height < 47.5 || box.width < 47.5))
        .map(([name, box]) => `${name} ${box.width}x${box.height}`))
}

const ready = (page) => page.waitForFunction(() => document.body.dataset.ready === '1')

// As a finger does it.
async function note(page, { place, what, amount, unit, stage, why, remark, signs, by, day }) {
    await page.evaluate((said) => {
        const $ = (id) => document.getElementById(id)
        const choose = (id, value) => { $(id).value = value; $(id).dispatchEvent(new Event('change')) }
        const type = (id, value) => { $(id).value = value; $(id).dispatchEvent(new Event('input')) }
        const press = (box, word) => [...$(box).querySelectorAll('button')].find((one) => one.textContent === word).click()
        choose('f-place', [...document.querySelectorAll('.place')].find((one) => one.dataset.place === said.place).id)
        choose('f-what', said.what)
        if (said.day) type('f-day', said.day)
        if (said.stage) press('f-stages', said.stage)
        if (said.unit) press('f-units', said.unit)
        type('f-amount', said.amount || '')
        type('f-remark', said.remark || '')
        type('f-why', said.why || '')
        type('f-by', said.by || '')
        type('f-signs', said.signs || '')
    }, { place, what, amount, unit, stage, why, remark, signs, by, day })
}
// Whether it was kept. The page says at once what became of it, kept or not.
const last_kept = new WeakMap()
async function keep(page) {
    // A second press within 0.7 s of an entry is rain.
    const since = Date.now() - (last_kept.get(page) ?? 0)
    if (since < 750) await new Promise((resolve) => setTimeout(resolve, 750 - since))
    const before = await page.evaluate(() => {
        const notes = document.getElementById('out').value
        document.getElementById('said').textContent = ''
        document.getElementById('f-keep').click()
        return notes
    })
    await page.waitForFunction(() => document.getElementById('said').textContent !== '', { timeout: 3000 }).catch(() => {})
    if (await notes(page) === before) return false
    last_kept.set(page, Date.now())
    return true
}
const said = (page) => page.evaluate(() => document.getElementById('said').textContent)
const notes = (page) => page.evaluate(() => document.getElementById('out').value)

for (const kind of browsers) {
    // ---- without script ----
    let there
    if (shots || kind === 'chromium') {
        there = await start(kind, { script: false, zone })
        await there.page.goto(address)
        await shot(there, 'no-script')
    }
    if (kind !== 'chromium') {
        // Firefox answers no questions about a page whose scripts are off.
        if (there) await there.end()
    } else {
        const text = await visible(there.page)
        check(undated(text).length === 0, `${kind}: an undated "clear" without script`, undated(text))
        check(/Good for Sun 20 to Tue 29 June 2027/.test(text), `${kind}: its days are not said`)
        check(/Sun 20 to Tue 29 June: clear/i.test(text) && /: closed/i.test(text) && /: ask first/i.test(text), `${kind}: verdicts without script`)
        check(/shows the slip without its script/.test(text), `${kind}: it does not say that there is no script`)
        check(await there.page.$eval('#log', (log) => log.hidden), `${kind}: a form that does nothing`)
        await there.end()
        // axe-core is a script itself: it looks at the page out of which ours was cut.
        const bare = join(folder, 'bare.html')
        writeFileSync(bare, readFileSync(new URL(address), 'utf8').replace(/<script[^]*?<\/script>/g, ''))
        there = await start(kind, { zone })
        await there.page.goto(pathToFileURL(bare).href)
        check(await there.page.$eval('#log', (log) => log.hidden), `${kind}: the cut page runs its script`)
        const without = await axe(there.page)
        check(without.length === 0, `${kind}: axe without script`, without)
        await there.end()
    }

    // ---- the second day ----
    const profile = mkdtempSync(join(tmpdir(), `simpling-profile-${kind}-`))
    there = await start(kind, { zone, now: second_day, profile })
    let { page } = there
    await page.goto(address)
    await ready(page)
    check((await page.$eval('#state', (state) => state.textContent)) === 'Taken for: Monday 21 June 2027', `${kind}: the day`)
    check((await page.$$('.now')).length > 8, `${kind}: today's rows are not marked`)
    check(undated(await visible(page)).length === 0, `${kind}: an undated "clear"`, undated(await visible(page)))
    await shot(there, 'second-day')
    let found = await axe(page)
    check(found.length === 0, `${kind}: axe on the second day`, found)
    check((await small_targets(page)).length === 0, `${kind}: small targets`, await small_targets(page))
    check(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${kind}: wider than the phone`)
    const written = page_text.match(/<li data-f=[\s\S]*?<\/li>/g).length
    const shown = await rows(page)
    check(shown.length === written, `${kind}: the script changed the rows`)

    // Four entries: grams of what has deadly kin, bags, spraying seen, closed ground with why.
    await note(page, { place: 'Withy Gill', what: 'dandelion leaf', amount: '600', stage: 'in seed', by: 'Corin', signs: 'hollow stalk, milk' })
    check(!(await keep(page)) && /deadly kin/.test(await said(page)), `${kind}: kept without a look at its deadly kin`, await said(page))
    check(await page.$eval('#f-kin-words', (words) => /foxglove/i.test(words.textContent)), `${kind}: the signs of its kin`)
    await shot(there, 'kin')
    await page.evaluate(() => document.getElementById('f-kin-seen').click())
    check(await keep(page), `${kind}: not kept`, await said(page))
    check(await page.evaluate(() => [...[...document.querySelectorAll('.place')].find((one) => one.dataset.place === 'Withy Gill')
        .querySelectorAll('.herbs li')].find((herb) => herb.querySelector('b').textContent === 'dandelion leaf').querySelector('i').textContent) === 'may still take 3.15 kg', `${kind}: the stand does not count down`)
    await note(page, { place: 'Withy Gill', what: 'nettle leaf', amount: '2', unit: 'bags', stage: 'young leaves' })
    check(await keep(page), `${kind}: bags are not kept`, await said(page))
    await note(page, { place: 'Withy Gill', what: 'nettle leaf', amount: '1,200', unit: 'g', stage: 'young leaves' })
    check(!(await keep(page)) && /1\.2 or 1200/.test(await said(page)), `${kind}: 1,200 is taken`, await said(page))
    await note(page, { place: 'Scarth Wood', what: '!sprayed', remark: 'man with a tank' })
    check(await keep(page), `${kind}: spraying seen is not kept`, await said(page))
    check(await page.evaluate(() => {
        const place = [...document.querySelectorAll('.place')].find((one) => one.dataset.place === 'Scarth Wood')
        return place.innerText.includes('CLOSED by your own note') && !/\bclear\b/i.test(place.innerText)
    }), `${kind}: spraying seen does not close the place`)
    await note(page, { place: 'Scarth Wood', what: 'lime flower', amount: '1,5', unit: 'kg', stage: 'early flower' })
    check(!(await keep(page)) && /CLOSED/.test(await said(page)), `${kind}: closed ground without why`, await said(page))
    await note(page, { place: 'Scarth Wood', what: 'lime flower', amount: '1,5', unit: 'kg', stage: 'early flower', why: 'picked before he came', by: 'Corin' })
    check(await keep(page), `${kind}: closed ground with why`, await said(page))
    const lines = (await notes(page)).trim().split('\n')
    const id = page_text.match(/data-slip="([a-z2-9]{4})"/)[1]
    const form = new RegExp(`^2027-06-21 (Withy Gill|Scarth Wood): .+ \\[${id}-[a-z2-9]{2}-0[1-4]\\]$`)
    check(lines.length === 4 && lines.every((line) => form.test(line)), `${kind}: the lines`, lines)
    check(/^2027-06-21 Withy Gill: dandelion leaf 600 g, in seed; by Corin; signs: hollow stalk, milk; \d\d:\d\d \[/.test(lines[0]) &&
        /^2027-06-21 Withy Gill: nettle leaf 2 bags, young leaves; /.test(lines[1]) &&
        /^2027-06-21 Scarth Wood: sprayed; man with a tank; seen \d\d:\d\d \[/.test(lines[2]) &&
        /^2027-06-21 Scarth Wood: lime flower 1\.5 kg, early flower; despite: picked before he came; by Corin; \d\d:\d\d \[/.test(lines[3]),
    `${kind}: the words of the lines`, lines)
    await page.evaluate(() => { document.getElementById('notes').open = true; location.hash = '#log' })
    await shot(there, 'log')
    found = await axe(page)
    check(found.length === 0, `${kind}: axe with entries`, found)
    check((await small_targets(page)).length === 0, `${kind}: small targets in the log`, await small_targets(page))
    check(there.problems.length === 0, `${kind}: the page complains`, there.problems)

    // ---- the browser dies ----
    await there.kill()
    there = await start(kind, { zone, now: '2027-06-21T22:58:00Z', profile })
    page = there.page
    await page.goto(address)
    await ready(page)
    check((await notes(page)).trim() === lines.join('\n'), `${kind}: entries after the kill`, await notes(page))
    check(/4 entries not yet handed out/.test(await page.$eval('#count', (count) => count.textContent)), `${kind}: the count`)
    // Read at home: the book is as if each had been entered, and nothing is taken twice.
    if (kind === 'chromium') {
        const home = { SIMPLING_BOOK: join(folder, 'home.db'), SIMPLING_TODAY: '2027-06-22' }
        copyFileSync(process.env.SIMPLING_BOOK, home.SIMPLING_BOOK)
        writeFileSync(join(folder, 'notes.txt'), await notes(page))
        const ask = (...words) => JSON.parse(spawnSync(simpling, [...words, '--json'], { encoding: 'utf8', env: { ...process.env, ...home }, maxBuffer: 64 << 20 }).stdout)
        const read = ask('slip', 'read', join(folder, 'notes.txt'), '--apply')
        check(read.length === 4 && read.every((row) => row.state === 'written'), 'lines of the slip are not read', read.map((row) => [row.state, row.reason]))
        const again = ask('slip', 'read', join(folder, 'notes.txt'), '--apply')
        check(again.every((row) => row.state === 'again'), 'lines are taken twice', again.map((row) => row.state))
        const log = ask('harvest', 'list').filter((one) => one.date === '2027-06-21')
        check(log.length === 3, `${log.length} harvests of that day`)
        const shown = read.filter((row) => row.kind === 'harvest').map((row) => ask('harvest', 'show', row.code))
        check(shown[0].material === 'dandelion/leaf' && shown[0].weight_g === 600 && shown[0].signs === 'hollow stalk, milk' && shown[0].named_by === 'Corin',
            'the harvest with deadly kin', shown[0])
        check(shown[1].material === 'nettle/leaf' && shown[1].weight_g === null, 'the harvest in bags', shown[1])
        check(shown[2].weight_g === 1500 && shown[2].verdict === 'closed' && shown[2].held !== null, 'the harvest of closed ground', shown[2])
        check(ask('check', 'Scarth Wood', '--on', '2027-06-22').verdict === 'closed', 'the spraying seen does not close the place at home')
    }
    // Changed and taken back: revision and strike keep the identity.
    await page.evaluate(() => [...document.querySelectorAll('#entries button')].find((one) => /^Change dandelion/.test(one.textContent)).click())
    await note(page, { place: 'Withy Gill', what: 'dandelion leaf', amount: '650', unit: 'g', stage: 'in seed', by: 'Corin', signs: 'hollow stalk, milk' })
    check(await keep(page), `${kind}: a change is not kept`, await said(page))
    await page.evaluate(() => [...document.querySelectorAll('#entries button')].find((one) => /^Take back nettle/.test(one.textContent)).click())
    await page.waitForFunction(() => / struck\]/.test(document.getElementById('out').value))
    const changed = (await notes(page)).trim().split('\n')
    check(/650 g.*-01\.2\]$/.test(changed[0]) && /-02 struck\]$/.test(changed[1]) && changed.length === 4, `${kind}: changed and struck`, changed)

    // ---- over midnight, which in London is at 23:00 UTC ----
    check(/Monday 21 June/.test(await page.$eval('#state', (state) => state.textContent)), `${kind}: before midnight`)
    await page.evaluate(() => { globalThis.__clock('2027-06-21T23:00:20Z'); dispatchEvent(new Event('focus')) })
    check(/Tuesday 22 June/.test(await page.$eval('#state', (state) => state.textContent)), `${kind}: after midnight`)
    check(/The day is now Tuesday 22 June/.test(await said(page)), `${kind}: the form does not say that the day is another`)
    await page.evaluate(() => { globalThis.__clock('2027-06-29T23:00:20Z'); document.dispatchEvent(new Event('visibilitychange')) })
    check(/^Out of date/.test(await page.$eval('#state', (state) => state.textContent)), `${kind}: past midnight of the last day`)

    // ---- after its last day ----
    const over = await visible(page)
    check(!/: clear/i.test(over) && !/may (still )?take/.test(over), `${kind}: something is clear after the last day`)
    await note(page, { place: 'Hag Bank', what: 'yarrow', amount: '90', unit: 'g', stage: 'full flower', by: 'Corin', signs: 'feathery leaf' })
    await page.evaluate(() => document.getElementById('f-kin-seen').click())
    check(await keep(page), `${kind}: nothing can be noted after the last day`, await said(page))
    await page.evaluate(() => scrollTo(0, 0))
    await shot(there, 'after')
    check((await axe(page)).length === 0, `${kind}: axe after the last day`)
    check(there.requests.every((url) => /^(file|blob|data|about):/.test(url)), `${kind}: asked for`, there.requests)
    await there.end()
    rmSync(profile, { recursive: true, force: true })

    // ---- the clock a year back ----
    there = await start(kind, { zone, now: '2026-06-21T10:00:00Z' })
    page = there.page
    await page.goto(address)
    await ready(page)
    check(/clock says Sunday 21 June 2026/.test(await page.$eval('#state', (state) => state.textContent)), `${kind}: the wrong clock is not said`)
    check(!/: clear/i.test(await visible(page)), `${kind}: something is clear by a wrong clock`)
    check((await page.$$('.now')).length === 0, `${kind}: a wrong today`)
    await note(page, { place: 'Withy Gill', what: 'nettle leaf', amount: '90', stage: 'young leaves' })
    check(!(await keep(page)) && /which day/.test(await said(page)), `${kind}: noted on a wrong day`)
    await note(page, { place: 'Withy Gill', what: 'nettle leaf', amount: '90', stage: 'young leaves', day: '2027-06-21' })
    check(await keep(page), `${kind}: nothing can be noted by a wrong clock`, await said(page))
    await page.evaluate(() => scrollTo(0, 0))
    await shot(there, 'wrong-clock')
    check((await axe(page)).length === 0, `${kind}: axe with a wrong clock`)
    await there.end()

    // ---- another zone: Auckland is a day ahead of London at noon UTC ----
    there = await start(kind, { zone: 'Pacific/Auckland', now: '2027-06-21T13:00:00Z' })
    await there.page.goto(address)
    await ready(there.page)
    const where = await there.page.$eval('#state', (state) => state.textContent)
    check(/Monday 21 June/.test(where) && /Pacific\/Auckland/.test(where), `${kind}: days of another zone`, where)
    await there.end()
}

// ---- a page that may store nothing says so, and shows the notes at once ----
{
    const there = await start('chromium', { zone, now: second_day })
    await there.page.goto(`data:text/html;base64,${Buffer.from(page_text).toString('base64')}`)
    await ready(there.page)
    check(await there.page.$eval('#unkept', (words) => /^NOT KEPT/.test(words.textContent) && words.getBoundingClientRect().bottom < innerHeight), 'a page without storage does not say so on its first screen')
    check((await axe(there.page)).length === 0, 'axe without storage')
    await note(there.page, { place: 'Withy Gill', what: 'nettle leaf', amount: '90', stage: 'young leaves' })
    check(await keep(there.page), 'a page without storage takes no entry', await said(there.page))
    check(/nettle leaf 90 g/.test(await notes(there.page)) && await there.page.$eval('#notes', (box) => box.open), 'the notes are not shown at once')
    await shot(there, 'not-kept')
    await there.end()
}

// ---- how soon it is seen, at a quarter of the speed: a note, no test ----
{
    const there = await start('chromium', { zone, now: second_day })
    await there.page.emulateCPUThrottling(4)
    const painted = () => there.page.evaluate(() => new Promise((resolve) => {
        new PerformanceObserver((list) => resolve(Math.round(list.getEntriesByName('first-contentful-paint')[0].startTime)))
            .observe({ type: 'paint', buffered: true })
    }))
    const bare = join(folder, 'bare.html')
    writeFileSync(bare, '<!DOCTYPE html><html lang="en"><title>bare</title><p>bare')
    await there.page.goto(pathToFileURL(bare).href)
    const least = await painted()
    await there.page.goto(address)
    await ready(there.page)
    console.log(`first paint at a quarter of the speed: ${await painted()} ms (a page of one word: ${least} ms); ${page_text.length} bytes`)
    await there.end()
}
rmSync(folder, { recursive: true })
finish('the slip in both browsers')
