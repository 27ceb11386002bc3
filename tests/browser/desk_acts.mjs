// A season's everyday acts through the pages, each by keyboard and mouse as a person does it, with
// scripts on and off, at 360 and 1280 pixels; after each the book holds what the command line writes
// into a second copy of the same demo, field by field (but for identities and stamps).
// Usage: desk_acts.mjs SIMPLING-PROGRAM
import { check, finish, skip_without, start } from './driver.mjs'
import { begin } from './desk_begin.mjs'

skip_without('chromium')
const program = process.argv[2]

/** Fills fields by their names and presses the form's own button. */
async function send(page, fields, button) {
    for (const [name, value] of Object.entries(fields)) {
        const field = await page.$(`[name="${name}"]`)
        if (!field) {
            check(false, `no field ${name} on ${page.url()}`)
            return
        }
        const tag = await field.evaluate((element) => element.tagName)
        if (tag === 'SELECT') await field.select(value)
        else {
            await field.evaluate((element) => { element.value = '' })
            await field.type(value)
        }
    }
    const there = button ?? await page.$('main form button')
    await there.focus()
    await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
}

/** Follows the first link with these words. */
async function follow(page, words) {
    const links = await page.$$('main a')
    for (const link of links)
        if ((await link.evaluate((a) => a.textContent)).trim() === words) {
            await link.focus()
            await Promise.all([page.waitForNavigation(), page.keyboard.press('Enter')])
            return
        }
    check(false, `no link "${words}" on ${page.url()}`)
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

for (const [width, script] of [[360, false], [1280, true]]) {
    const desk = await begin(program)
    const other = await begin(program)
    const there = await start('chromium', { width, height: width > 1000 ? 900 : 740, script })
    const { page } = there
    await page.goto(desk.fresh())
    await page.waitForSelector('h1')

    // May I pick here? Nothing is written.
    await page.goto(`${desk.base}/places`)
    await follow(page, 'Withy Gill')
    check(await page.$eval('.verdict', (p) => /^(clear|ask|closed) on/i.test(p.innerText)), 'a verdict in words')

    // A harvest, from what can be gathered: the four fields that are left.
    await page.goto(`${desk.base}/act/harvest-add?site=Low+Croft&material=dandelion%2Fleaf`)
    await send(page, { weight: '130g', stage: 'flowers over', named_by: 'Edda', signs: 'white milk, hairless leaves' })
    await done(page, 'a harvest')
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

    // The answer to a call.
    await page.goto(`${desk.base}/`)
    await follow(page, 'What they say of spraying')
    await send(page, { since: '2024-01-01', source: 'the commoners' })
    await done(page, 'the answer to a call')
    const call = other.simpling().calls[0]
    other.simpling('spray', 'note', call.site, '--kind', 'unsprayed', '--source', 'the commoners', '--since', '2024-01-01')
    same(desk, other, 'site', 'show', call.site)

    // Shaken all but one.
    await page.goto(`${desk.base}/`)
    const boxes = await page.$$('input[name="steps"]')
    check(boxes.length >= 2, 'steps of today are ticked', boxes.length)
    const left = await boxes[0].evaluate((box) => box.value)
    const ticked = await page.$$eval('input[name="steps"]', (all) => all.map((box) => box.value))
    await boxes[0].focus()
    await page.keyboard.press('Space')
    await send(page, {}, await page.$('form[action="/act/steps-done"] button'))
    await done(page, 'shaken all but one')
    for (const value of ticked.filter((one) => one !== left)) other.simpling('batch', 'step', ...value.split(' '))
    for (const value of ticked) same(desk, other, 'batch', 'show', value.split(' ')[0])

    // A jar, strained, pressed, bottled.
    await page.goto(`${desk.base}/act/batch-press?jars.0.code=B27-003`)
    await send(page, { 'jars.0.yield': '400mL' })
    await done(page, 'a pressing')
    other.simpling('batch', 'press', 'B27-003', '--yield', '400mL')
    await page.goto(`${desk.base}/act/lot-bottle?code=L27-003`)
    await send(page, { bottles: '4x100mL' }).catch(() => check(false, 'bottles'))
    await done(page, 'bottled')
    other.simpling('lot', 'bottle', 'L27-003', '4x100mL')
    same(desk, other, 'lot', 'show', 'L27-003')
    same(desk, other, 'batch', 'show', 'B27-003')

    // Given out, and the same again.
    await page.goto(`${desk.base}/act/lot-use`)
    await send(page, { lots: 'L26-001:50mL', for: '1042' })
    await done(page, 'given out')
    await page.goto(`${desk.base}/act/lot-use?again=yes`)
    await send(page, { for: '1042' })
    await done(page, 'the same again')
    other.simpling('lot', 'use', 'L26-001:50mL', '--for', '1042')
    other.simpling('lot', 'use', '--again', '--for', '1042')
    same(desk, other, 'lot', 'show', 'L26-001')

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
    await page.goto(`${desk.base}/recall?of=Low+Croft&sprayed=2027-06-01`)
    await follow(page, 'Withdraw all these lots')
    await send(page, {})
    await done(page, 'a recall')
    other.simpling('trace', 'Low Croft', '--sprayed', '2027-06-01', '--withdraw')
    for (const words of [['lot', 'list', '--all'], ['harvest', 'list'], ['batch', 'list', '--all'], ['questions']])
        same(desk, other, ...words)
    check(there.requests.every((url) => url.startsWith(desk.base) || url.startsWith('data:')), 'asked elsewhere')
    await there.end()
    await desk.end()
    await other.end()
}
finish('twelve acts at two widths, as the command line writes them')
