// SPDX-License-Identifier: MIT
//
// A season's everyday acts through the pages, each by keyboard and mouse as a person does it, with
// scripts on and off, at 360 and 1280 pixels; after each the book holds what the command line writes
// into a second copy of the same demo, field by field (but for identities and stamps).
// Usage: desk_acts.mjs SIMPLING-PROGRAM
import { writeFileSync } from 'node:fs'
import { check, finish, skip_without, start } from './driver.mjs'
import { begin } from './desk_begin.mjs'

skip_without('chromium')
const program = process.argv[2]

// What a person does with a hand: a click or tap, a choice, a field filled. Enter in the field that was
// filled last is none of them.
let touches = 0, fields = 0

/** Counts the touches of one act, which begins on Today. */
async function counted(page, desk, most, what, act) {
    await page.goto(`${desk.base}/`)
    touches = fields = 0
    await act()
    check(touches <= most, `${what}: ${touches} touches, at most ${most}`)
    if (!seen.includes(`${what} ${touches}`)) seen.push(`${what} ${touches}`)
}
const seen = []

/** Fills fields by their names; a tick box takes a touch as well. */
async function fill(page, values, within = 'main') {
    for (const [name, value] of Object.entries(values)) {
        const field = await page.$(`${within} [name="${name}"]`)
        if (!field) {
            check(false, `no field ${name} on ${page.url()}`)
            return
        }
        touches++
        fields++
        const tag = await field.evaluate((element) => element.tagName)
        if (tag === 'SELECT') await field.select(value)
        else {
            await field.evaluate((element) => { element.value = '' })
            await field.type(value)
        }
    }
}

/** Fills fields by their names and presses the form's own button. */
async function send(page, values, button, within) {
    await fill(page, values, within)
    const there = button ?? await page.$(`${within ?? 'main form'} button`)
    touches++
    await there.focus()
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
}

/** Fills one field and sends its form by Enter. */
async function enter(page, name, value, within) {
    await fill(page, { [name]: value }, within)
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
}

/** The link with these words: the first, or that of the row of a table which says `of`. */
async function find_link(page, words, of) {
    for (const link of await page.$$(of ? 'main tr a' : 'main a')) {
        const [text, row] = await link.evaluate((a) => [a.textContent, a.closest('tr')?.innerText ?? ''])
        if (text.trim() === words && (!of || of.every((part) => row.includes(part)))) return link
    }
    check(false, `no link "${words}" on ${page.url()}`)
    return null
}

/** Follows it, by keyboard. */
async function follow(page, words, of) {
    const link = await find_link(page, words, of)
    if (!link) return
    touches++
    await link.focus()
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
}

/** A sheet to print: one more touch, and what comes is a PDF. */
async function printed(page, desk, words) {
    const link = await find_link(page, words)
    if (!link) return
    touches++
    const url = new URL(await link.evaluate((a) => a.href))
    const answer = await desk.get(url.pathname + url.search)
    check(answer.status === 200 && answer.headers['content-type'] === 'application/pdf' && answer.text.startsWith('%PDF-'),
        `${words}: a sheet`, answer.status, answer.headers)
}

/**
 * Goes on by the Tab key alone to what `wanted` (in the page) says yes to. Each stop on the way lies
 * behind the last in the page's own order, can be seen, and says that it has the focus.
 */
async function tab_to(page, what, wanted, ...facts) {
    let before = -1
    for (let i = 0; i < 400; i++) {
        await page.keyboard.press('Tab')
        const at = await page.evaluate(() => {
            const here = document.activeElement
            const box = here.getBoundingClientRect(), style = getComputedStyle(here)
            return {
                name: `${here.tagName} ${here.name ?? here.textContent}`.slice(0, 60),
                order: [...document.querySelectorAll('*')].indexOf(here),
                seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.top < window.innerHeight && box.left >= 0,
                ring: style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2,
            }
        })
        if (at.name.startsWith('BODY')) break // round the whole page
        check(at.seen && at.ring, `${what}: the focus cannot be seen on ${at.name}`, at)
        check(at.order > before, `${what}: ${at.name} stands before what had the focus`)
        before = at.order
        if (await page.evaluate(wanted, ...facts)) return
    }
    check(false, `${what}: the Tab key does not lead there`)
}

const is_field = (name) => document.activeElement.name === name
const is_link = (words, row) => document.activeElement.textContent.trim() === words &&
    (document.activeElement.closest('tr')?.innerText ?? '').includes(row)
const is_button_of = (action) => document.activeElement.tagName === 'BUTTON' &&
    document.activeElement.form.getAttribute('action') === action

async function press(page) {
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
}

/** The everyday acts by keyboard alone: nothing is touched but Tab, letters, blank and Enter. */
async function by_keyboard(page, desk, other) {
    // Past the other pages by the first stop, to the row and into its form.
    await page.goto(`${desk.base}/`)
    await page.keyboard.press('Tab')
    check(await page.evaluate(() => document.activeElement.textContent) === 'To the page', 'the first stop leads past the pages')
    await page.keyboard.press('Enter')
    await tab_to(page, 'a harvest', is_link, 'Log it', 'Hag Bank')
    await press(page)
    for (const [name, value] of [['weight', '210g'], ['stage', 'full flower'], ['named_by', 'Edda'], ['signs', 'small daisies']]) {
        await tab_to(page, `a harvest's ${name}`, is_field, name)
        await page.keyboard.type(value)
    }
    await tab_to(page, 'the button', is_button_of, '/act/harvest-add')
    await press(page)
    await done(page, 'a harvest by keyboard')
    other.simpling('harvest', 'add', 'Hag Bank', 'yarrow/herb', '--weight', '210g', '--stage', 'full flower',
        '--named-by', 'Edda', '--signs', 'small daisies')
    same(desk, other, 'harvest', 'list')
    // Taken back from the page that confirms it.
    await tab_to(page, 'taking it back', is_button_of, '/act/take-back')
    await press(page)
    await done(page, 'taking it back by keyboard')
    other.simpling('strike', '--last')
    same(desk, other, 'harvest', 'list', '--all')
    // A lot counted where it stands: its figure, and Enter.
    await page.goto(`${desk.base}/`)
    await tab_to(page, 'a count', is_field, 'amount')
    await page.keyboard.type('119mL')
    await press(page)
    await done(page, 'a count by keyboard')
    other.simpling('lot', 'count', 'L25-001', '119mL')
    same(desk, other, 'lot', 'show', 'L25-001')
    // What is refused takes the focus to what is wrong, and from there to its field.
    await page.goto(`${desk.base}/act/harvest-weigh?code=${desk.simpling().missing_weights[0].code}`)
    await tab_to(page, 'a weight', is_field, 'weight')
    await page.keyboard.type('a lot')
    await press(page)
    check(await page.evaluate(() => document.activeElement.className === 'summary'), 'the summary has the focus')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    check(await page.evaluate(is_field, 'weight'), 'its link leads to the field')
}

async function done(page, what) {
    const said = await page.$eval('main', (main) => main.innerText)
    check(await page.$('.done') !== null, `${what}: not confirmed`, said.slice(0, 400))
}

/** What a list says, without the identities that every book has of its own. */
function plain(json) {
    return JSON.stringify(json).replace(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g, 'UUID')
}

function same(desk, other, ...words) {
    const here = plain(desk.simpling(...words))
    const there = plain(other.simpling(...words))
    const from = [...here].findIndex((sign, i) => sign !== there[i])
    check(here === there, `${words.join(' ')} differs`, here.slice(from - 60, from + 200), there.slice(from - 60, from + 200))
}

// The second day is that of an outing which the plan keeps.
for (const [width, script, today] of [[360, false, '2027-06-20'], [1280, true, '2027-07-03']]) {
    const desk = await begin(program, today)
    const other = await begin(program, today)
    const there = await start('chromium', { width, height: width > 1000 ? 900 : 740, script })
    const { page } = there
    if (width > 1000)
        for (const one of [desk, other])
            one.simpling('plan', 'outings', '--days', 'sat,sun,wed', '--keep', '--today', '2027-06-20')
    await page.goto(desk.fresh())
    await page.waitForSelector('h1')

    // May I pick? Today says it of each place where something is in season, by itself.
    await counted(page, desk, 0, 'may I pick', async () => {
        const said = await page.$$eval('main tr', (rows) => rows.map((row) => row.innerText))
        for (const one of desk.simpling().gather)
            check(said.some((row) => row.includes(one.site) && row.includes(one.material) && row.includes(one.verdict)),
                `Today says ${one.verdict} of ${one.material} at ${one.site}`)
    })

    // May I pick here, on any day? Nothing is written.
    await page.goto(`${desk.base}/places`)
    await follow(page, 'Withy Gill')
    check(await page.$eval('.verdict', (p) => /^(clear|ask|closed) on/i.test(p.innerText)), 'a verdict in words')

    // A harvest, from what can be gathered: the four fields that are left.
    await counted(page, desk, 6, 'log a harvest', async () => {
        await follow(page, 'Log it', ['Low Croft', 'dandelion/leaf'])
        await send(page, { weight: '130g', stage: 'flowers over', named_by: 'Edda', signs: 'white milk, hairless leaves' })
        await done(page, 'a harvest')
        check(fields === 4, 'four fields of a harvest', fields)
        check(await page.$eval('.done', (p) => /^H27-\d{3}/.test(p.innerText)), 'its code is said')
    })
    other.simpling('harvest', 'add', 'Low Croft', 'dandelion/leaf', '--weight', '130g', '--stage', 'flowers over',
        '--named-by', 'Edda', '--signs', 'white milk, hairless leaves')
    same(desk, other, 'harvest', 'list')
    same(desk, other, 'harvest', 'show', 'H27-007')

    // Logged by mistake: taken back from the page that confirms it.
    await page.goto(`${desk.base}/act/harvest-add?site=Low+Croft&material=dandelion%2Fleaf`)
    await send(page, { weight: '999g', stage: 'flowers over', named_by: 'Edda', signs: 'white milk' })
    await done(page, 'a second harvest')
    await send(page, {})
    await done(page, 'taking it back')
    other.simpling('harvest', 'add', 'Low Croft', 'dandelion/leaf', '--weight', '999g', '--stage', 'flowers over',
        '--named-by', 'Edda', '--signs', 'white milk')
    other.simpling('strike', '--last')
    same(desk, other, 'harvest', 'list', '--all')

    await by_keyboard(page, desk, other)

    // A jar of it, as the last one was made.
    await counted(page, desk, 2, 'a jar as last year', async () => {
        await follow(page, 'A jar as B27-004', ['H27-007'])
        await send(page, {})
        await done(page, 'a jar as the last')
    })
    other.simpling('batch', 'start', 'tincture', '--from', 'H27-007', '--as', 'last')
    same(desk, other, 'batch', 'show', 'B27-005')

    // Onto a rack, weighed there, taken down.
    for (const one of [desk, other])
        one.simpling('harvest', 'add', 'Hag Bank', 'yarrow/herb', '--weight', '400g', '--stage', 'full flower',
            '--named-by', 'Edda', '--signs', 'feathery leaves, small daisies')
    const herb = desk.simpling('harvest', 'list').at(-1).code
    await counted(page, desk, 3, 'onto a rack', async () => {
        await follow(page, 'Onto a rack', [herb])
        await send(page, { rack: '0.5m2' })
        await done(page, 'onto a rack')
    })
    await counted(page, desk, 3, 'weighed on the rack', async () => {
        await follow(page, 'Weigh', ['D27-001'])
        await send(page, { weight: '200g' })
        await done(page, 'weighed')
    })
    await counted(page, desk, 3, 'off the rack', async () => {
        await follow(page, 'Take down', ['D27-001'])
        await send(page, { weight: '95g' })
        await done(page, 'taken down')
    })
    other.simpling('dry', 'start', '--from', herb, '--rack', '0.5m2')
    other.simpling('dry', 'weigh', 'D27-001', '200g')
    other.simpling('dry', 'finish', 'D27-001', '--weight', '95g')
    same(desk, other, 'dry', 'show', 'D27-001')

    // The answer to a call.
    await counted(page, desk, 3, 'the answer to a call', async () => {
        await follow(page, 'What they say of spraying', ['Thrang Lane'])
        await send(page, { since: '2024-01-01' })
        await done(page, 'the answer to a call')
    })
    other.simpling('spray', 'note', 'Thrang Lane', '--kind', 'unsprayed', '--source', 'the parish clerk', '--since', '2024-01-01')
    same(desk, other, 'site', 'show', 'Thrang Lane')

    // Shaken all but one.
    await page.goto(`${desk.base}/`)
    const ticked = await page.$$eval('input[name="steps"]', (all) => all.map((box) => box.value))
    check(ticked.length >= 2, 'steps of today are ticked', ticked)
    const left = ticked[0]
    await counted(page, desk, 1, 'shaken all but one', async () => {
        await send(page, {}, await page.$(`button[name="but"][value="${left}"]`))
        await done(page, 'shaken all but one')
    })
    for (const value of ticked.filter((one) => one !== left)) other.simpling('batch', 'step', ...value.split(' '))
    for (const value of ticked) same(desk, other, 'batch', 'show', value.split(' ')[0])

    // The ticks themselves: two were not done, none was.
    const due = await page.goto(`${desk.base}/`).then(() => page.$$('input[name="steps"]'))
    for (const box of due) {
        await box.focus()
        await page.keyboard.press('Space')
    }
    await send(page, {}, await page.$('form[action="/act/steps-done"] button'))
    check(await page.title().then((title) => title.startsWith('Error: ')), 'nothing ticked is refused')

    // Rained off.
    if (desk.simpling().outing.length > 0) {
        await counted(page, desk, 1, 'rained off', async () => {
            await send(page, {}, await page.$('form[action="/act/outing-move"] button'))
            await done(page, 'rained off')
        })
        other.simpling('outing', 'move', today, '--to', 'reserve')
        for (const words of [['plan', 'list'], []]) same(desk, other, ...words)
    } else check(width === 360, 'an outing to be rained off')

    // A jar, strained, pressed, bottled, labelled.
    await counted(page, desk, 5, 'strained, pressed, bottled, labelled', async () => {
        await follow(page, 'Strain and press', ['B27-002'])
        await send(page, { 'jars.0.yield': '400mL', bottles: '4x100mL' })
        await done(page, 'a pressing')
        await printed(page, desk, 'Its label, to print')
    })
    other.simpling('batch', 'press', 'B27-002', '--yield', '400mL', '--bottles', '4x100mL')
    same(desk, other, 'lot', 'show', 'L27-002')
    same(desk, other, 'batch', 'show', 'B27-002')
    await page.goto(`${desk.base}/act/lot-bottle?code=L27-002`)
    await send(page, { bottles: '8x50mL', at: 'shelf B2' })
    await done(page, 'bottled otherwise')
    other.simpling('lot', 'bottle', 'L27-002', '8x50mL', '--at', 'shelf B2')
    same(desk, other, 'lot', 'show', 'L27-002')

    // A mixture given out, and the same again.
    await counted(page, desk, 6, 'a new mixture given out', async () => {
        await follow(page, 'A new mixture')
        await send(page, { lots: 'L26-001:50mL\nL26-002:2mL', for: '1042', directions: '2 mL in water, three times a day' })
        await done(page, 'given out')
    })
    await counted(page, desk, 3, 'the same again', async () => {
        await send(page, { for: '1042' }, undefined, 'form[action="/act/lot-use"]')
        await done(page, 'the same again')
    })
    other.simpling('lot', 'use', 'L26-001:50mL', 'L26-002:2mL', '--for', '1042', '--directions', '2 mL in water, three times a day')
    other.simpling('lot', 'use', '--again', '--for', '1042')
    same(desk, other, 'lot', 'show', 'L26-001')

    // A lot counted where Today names it; all that stands on one page, of which one line wants a reason.
    await counted(page, desk, 1, 'a lot counted', async () => {
        await enter(page, 'amount', '118mL', 'form[action="/act/lot-count"]')
        await done(page, 'counted')
    })
    other.simpling('lot', 'count', 'L25-001', '118mL')
    await page.goto(`${desk.base}/count`)
    const lines = await page.$$eval('input[name$=".code"]', (all) => all.map((one) => [one.name, one.value]))
    const field = (code) => lines.find(([, value]) => value === code)[0].replace('.code', '')
    await send(page, { [`${field('L26-001')}.counted`]: '570mL', [`${field('L27-001')}.counted`]: '100',
        [`${field('D26-001')}.counted`]: '55g', [`${field('D26-001')}.why`]: 'crumbled' })
    await done(page, 'all counted')
    check(await find_link(page, 'Count L27-001 again, or say why') !== null, 'what was not taken is offered again')
    writeFileSync(`${other.folder}/counted.csv`,
        'code,counted,why\nL26-001,570mL,\nL27-001,100,\nD26-001,55g,crumbled\n')
    other.simpling('lot', 'count', '--all', `${other.folder}/counted.csv`)
    for (const words of [['lot', 'show', 'L26-001'], ['lot', 'show', 'L27-001'], ['lot', 'show', 'L25-001'], ['dry', 'show', 'D26-001']])
        same(desk, other, ...words)

    // Refused: it comes back with what was typed and the reason beside the field, and nothing is written.
    await page.goto(`${desk.base}/act/lot-use`)
    await send(page, { lots: 'L26-001:5000mL', for: 'Mrs Smith' })
    check(await page.title().then((title) => title.startsWith('Error: ')), 'the title says that it was refused')
    check(await page.$eval('[name="lots"]', (area) => area.value) === 'L26-001:5000mL', 'what was typed is there')
    check(await page.$('.summary') !== null, 'a summary leads to the fields')
    same(desk, other, 'lot', 'show', 'L26-001')

    // From "they sprayed" to the recall.
    await page.goto(`${desk.base}/act/spray-note?site=Low+Croft`)
    await send(page, { kind: 'sprayed', source: 'the tenant', on: '2027-06-01' })
    await done(page, 'a spraying')
    other.simpling('spray', 'note', 'Low Croft', '--kind', 'sprayed', '--source', 'the tenant', '--on', '2027-06-01')
    await counted(page, desk, 5, 'from "they sprayed" to the sheet', async () => {
        await send(page, { of: 'Low Croft', sprayed: '2027-06-01' }, undefined, 'form[action="/recall"]')
        await printed(page, desk, 'The sheet, to print')
    })
    await follow(page, 'Withdraw all these lots')
    await send(page, {})
    await done(page, 'a recall')
    await printed(page, desk, 'The sheet, to print')
    other.simpling('trace', 'Low Croft', '--sprayed', '2027-06-01', '--withdraw')
    for (const words of [['lot', 'list', '--all'], ['harvest', 'list'], ['batch', 'list', '--all'], ['questions']])
        same(desk, other, ...words)
    check(there.requests.every((url) => url.startsWith(desk.base) || url.startsWith('data:')), 'asked elsewhere')
    await there.end()
    await desk.end()
    await other.end()
}
finish(`as the command line writes them: ${seen.join(', ')}`)
