'use strict'
// The slip's script. What it shows is never milder than the page without it: it narrows the dated rows
// to today's, or covers them. Entries are kept one record each, and handed out as lines of notes.
;(function () {
    const body = document.body
    const slip = body.dataset
    const $ = (id) => document.getElementById(id)
    const all = (selector, root) => Array.from((root || document).querySelectorAll(selector))
    const LETTERS = 'abcdefghjkmnpqrstuvwxyz23456789'
    const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December']
    const WEEKDAYS = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday']

    // ---- days: strings, compared as strings ----

    const two = (n) => (n < 10 ? '0' : '') + n

    function phone_day() {
        const now = new Date()
        return now.getFullYear() + '-' + two(now.getMonth() + 1) + '-' + two(now.getDate())
    }

    // Today where the book is, and what to say when the phone is set to elsewhere.
    function today() {
        let zone = ''
        try {
            zone = Intl.DateTimeFormat().resolvedOptions().timeZone
            if (slip.zone && zone && zone !== slip.zone) {
                const parts = {}
                new Intl.DateTimeFormat('en-US', { timeZone: slip.zone, year: 'numeric', month: '2-digit', day: '2-digit' })
                    .formatToParts(new Date()).forEach((part) => { parts[part.type] = part.value })
                const day = parts.year + '-' + parts.month + '-' + parts.day
                if (/^\d{4}-\d\d-\d\d$/.test(day))
                    return { day, note: day !== phone_day() ? 'Your phone is set to ' + zone + '; days here are those of ' + slip.zone + '.' : '' }
            }
        } catch (_) { /* then by the phone's own zone */ }
        return { day: phone_day(), note: '' }
    }

    function day_words(day) {
        const [y, m, d] = day.split('-').map(Number)
        return WEEKDAYS[new Date(y, m - 1, d).getDay()] + ' ' + d + ' ' + MONTHS[m - 1] + ' ' + y
    }

    // ---- what the page may say today ----

    let state = ''
    let day = ''

    function look() {
        const now = today()
        const before = day
        day = now.day
        state = day < slip.today ? 'wrong' : day > slip.last ? 'over' : day < slip.first ? 'early' : 'in'
        body.classList.toggle('over', state === 'over' || state === 'wrong')
        const box = $('state')
        box.hidden = false
        let words
        if (state === 'wrong')
            words = 'This phone\u2019s clock says ' + day_words(day) + '; this slip was written on ' + day_words(slip.today) + '. Set the clock: until then nothing here is clear. What you pick can be noted.'
        else if (state === 'over')
            words = 'Out of date: it ended on ' + day_words(slip.last) + '. Nothing here is clear any more; ask the book for a new slip. What you pick can be noted.'
        else if (state === 'early')
            words = 'This slip begins on ' + day_words(slip.first) + '. Nothing is said for today, ' + day_words(day) + '.'
        else
            words = 'Taken for: ' + day_words(day)
        words += now.note ? ' ' + now.note : ''
        if (box.textContent !== words) box.textContent = words
        all('li[data-f]').forEach((row) => {
            row.classList.toggle('now', state === 'in' && row.dataset.f <= day && day <= row.dataset.l)
        })
        if ($('f-day-box')) {
            $('f-day-box').hidden = state !== 'wrong'
            if (before !== '' && before !== day && !$('log').hidden) say('The day is now ' + day_words(day) + '.')
            form_changed()
        }
    }

    // The verdict of a class at a place today; whatever is not known to be clear is not clear.
    function verdict(place, klass) {
        if (place.classList.contains('shut-here')) return 'closed'
        if (state !== 'in') return 'unknown'
        const rows = all('ul[data-class="' + klass + '"] li[data-f]', place)
        const row = rows.find((one) => one.dataset.f <= day && day <= one.dataset.l)
        return row ? row.dataset.v : 'unknown'
    }

    // ---- entries: one record each, in IndexedDB; in memory alone where there is none ----

    const prefix = slip.book + '/' + slip.slip + '/'
    let entries = []
    let base = null
    let phone = ''
    let kept_here = false

    function letters(n) {
        const bytes = new Uint8Array(n)
        try { crypto.getRandomValues(bytes) } catch (_) { for (let i = 0; i < n; i++) bytes[i] = Math.random() * 256 }
        return Array.from(bytes, (byte) => LETTERS[byte % LETTERS.length]).join('')
    }

    function open_base() {
        return new Promise((resolve) => {
            let request
            const timer = setTimeout(() => resolve(null), 3000)
            try { request = indexedDB.open('simpling-slips', 1) } catch (_) { resolve(null); return }
            request.onupgradeneeded = () => request.result.createObjectStore('entries', { keyPath: 'key' })
            request.onsuccess = () => { clearTimeout(timer); resolve(request.result) }
            request.onerror = request.onblocked = () => { clearTimeout(timer); resolve(null) }
        })
    }

    function transaction(mode) {
        try { return base.transaction('entries', mode, { durability: 'strict' }) } catch (_) { return base.transaction('entries', mode) }
    }

    const range = () => IDBKeyRange.bound(prefix, prefix + '\uffff')

    // Reads all records; gives the store for more in the same transaction.
    function with_all(mode, then) {
        return new Promise((resolve, reject) => {
            const work = transaction(mode)
            const store = work.objectStore('entries')
            let result
            const request = store.getAll(range())
            request.onsuccess = () => { result = then(request.result, store) }
            work.oncomplete = () => resolve(result)
            work.onerror = work.onabort = () => reject(work.error)
        })
    }

    function take_phone(records, store) {
        const own = records.find((record) => record.key === prefix + 'phone')
        phone = own ? own.phone : phone || letters(2)
        if (!own && store) store.put({ key: prefix + 'phone', phone })
    }

    async function add(entry) {
        const place = (records) => 1 + records.reduce((most, record) => Math.max(most, record.n || 0), 0)
        if (base) {
            try {
                entry = await with_all('readwrite', (records, store) => {
                    take_phone(records, store)
                    const whole = Object.assign(entry, { n: place(records), phone, book: slip.book, slip: slip.slip })
                    whole.key = prefix + phone + '/' + two(whole.n)
                    store.add(whole)
                    return whole
                })
                entries.push(entry)
                return
            } catch (_) { lose_base() }
        }
        phone = phone || letters(2)
        Object.assign(entry, { n: place(entries), phone, book: slip.book, slip: slip.slip })
        entry.key = prefix + phone + '/' + two(entry.n)
        entries.push(entry)
    }

    async function save(entry) {
        if (!base) return
        try {
            await new Promise((resolve, reject) => {
                const work = transaction('readwrite')
                work.objectStore('entries').put(entry)
                work.oncomplete = resolve
                work.onerror = work.onabort = () => reject(work.error)
            })
        } catch (_) { lose_base() }
    }

    function lose_base() {
        base = null
        kept_here = false
        show_keeping()
    }

    function show_keeping() {
        $('keeping').textContent = 'Entries are kept on this phone, in this browser.'
        $('keeping').hidden = !kept_here
        $('unkept').hidden = kept_here
        $('unkept').textContent = kept_here ? '' : 'NOT KEPT: this page can store nothing here. What you note is handed out at once: share or copy it before you close the page.'
    }

    // ---- a line, as simpling/record/slip.h says it ----

    const clean = (words) => words.replace(/[\u0000-\u001f]/g, ' ').replace(/\[/g, '(').replace(/\]/g, ')')

    function line_of(entry) {
        return entry.day + ' ' + (entry.place ? clean(entry.place.replace(/[;:()[\]]/g, ' ')).replace(/ +/g, ' ').trim() + ': ' : '') + clean(entry.what) +
            (entry.remark ? '; ' + clean(entry.remark) : '') + ' [' + entry.slip + '-' + entry.phone + '-' + two(entry.n) +
            (entry.revision > 1 ? '.' + entry.revision : '') + (entry.struck ? ' struck' : '') + ']'
    }

    const notes = () => entries.map(line_of).join('\n') + (entries.length ? '\n' : '')

    // ---- the form ----

    const UNITS = slip.units === 'us' ? { oz: 28.349523125, lb: 453.59237 } : { g: 1, kg: 1000 }
    let unit = Object.keys(UNITS)[0]
    let stage = ''
    let changing = null
    let last_keep = 0
    const seen_kin = {}

    function pick(buttons, chosen, set) {
        buttons.forEach((button) => {
            button.addEventListener('click', () => { set(button.dataset.value); mark(buttons, button.dataset.value); form_changed() })
        })
        mark(buttons, chosen)
    }
    function mark(buttons, chosen) {
        buttons.forEach((button) => button.setAttribute('aria-pressed', String(button.dataset.value === chosen)))
    }

    const name_of = (herb) => herb.querySelector('b').textContent
    const has_kin = (herb) => Boolean(herb && herb.querySelector('a'))
    const place_of = () => $(($('f-place').value) || '')
    function herb_of() {
        const place = place_of()
        return place ? all('.herbs > li', place).find((herb) => name_of(herb) === $('f-what').value) || null : null
    }

    function fill_whats() {
        const place = place_of()
        const list = $('f-what')
        const before = list.value
        list.textContent = ''
        const add_option = (value, words) => {
            const option = document.createElement('option')
            option.value = value
            option.textContent = words
            list.append(option)
        }
        if (place) all('.herbs > li', place).forEach((herb) => add_option(name_of(herb), name_of(herb)))
        if (place) add_option('!other', 'another plant')
        if (place) add_option('!sprayed', 'SPRAYING seen here')
        add_option('!remark', 'a remark')
        if (Array.from(list.options).some((option) => option.value === before)) list.value = before
        fill_stages()
    }

    function fill_stages() {
        const box = $('f-stages')
        const herb = herb_of()
        const stages = herb ? $('stages').children[Number(herb.dataset.s)].textContent.split('|') : ['in leaf', 'in bud', 'full flower', 'ripe']
        all('button', box).forEach((button) => button.remove())
        if (stages.indexOf(stage) < 0) stage = ''
        stages.forEach((word) => {
            const button = document.createElement('button')
            button.type = 'button'
            button.dataset.value = word
            button.textContent = word
            box.append(button)
        })
        pick(all('button', box), stage, (word) => { stage = word })
        form_changed()
    }

    // "1,5" and "1.5" are one and a half; "1,200" is either: null.
    function number_of(text) {
        const words = text.trim()
        if (/^\d+[.,]\d{3}$/.test(words) && unit !== 'kg') return null
        if (!/^(\d+([.,]\d*)?|[.,]\d+)$/.test(words)) return NaN
        return Number(words.replace(',', '.'))
    }

    // What is entered, or what keeps it from being one.
    function entry_now() {
        const what = $('f-what').value
        const place = place_of()
        const herb = herb_of()
        const by = $('f-by').value.trim()
        const remark = $('f-remark').value.trim()
        const kin = has_kin(herb)
        const signs = $('f-signs').value.trim()
        const why = $('f-why').value.trim()
        const time = new Date()
        const entry = {
            day: state === 'wrong' ? $('f-day').value : day,
            time: two(time.getHours()) + ':' + two(time.getMinutes()),
            place: place ? place.dataset.place : '', place_id: place ? place.id : '',
            herb: herb ? name_of(herb) : '', grams: 0, revision: 1, struck: false, handed: false,
        }
        const tail = []
        if (!/^\d{4}-\d\d-\d\d$/.test(entry.day)) return { wrong: 'Say which day it is.' }
        if (what === '!remark' || what === '!sprayed') {
            if (what === '!remark' && !remark) return { wrong: 'Write the remark.' }
            entry.kind = what.slice(1)
            entry.what = what === '!sprayed' ? 'sprayed' : 'remark'
        } else {
            const other = $('f-other').value.trim()
            const name = what === '!other' ? other : what
            if (!name) return { wrong: 'Say which plant and part.' }
            const typed = $('f-amount').value.trim()
            const number = number_of(typed)
            let amount = ''
            if (typed !== '') {
                if (number === null) return { wrong: typed + ': write 1.2 or 1200, without a comma.' }
                if (!(number > 0)) return { wrong: typed + ' is no amount: write a number.' }
                if (unit === 'bags' && number !== Math.floor(number)) return { wrong: 'Bags are counted whole.' }
                amount = ' ' + String(number) + ' ' + (unit === 'bags' && number === 1 ? 'bag' : unit)
                entry.grams = unit === 'bags' ? 0 : number * UNITS[unit]
            }
            if (!stage) return { wrong: 'Touch the stage that you see.' }
            if (amount && kin && !seen_kin[herb.dataset.p]) return { wrong: 'Look at its deadly kin first, and touch that you have.' }
            if (amount && kin && !by) return { wrong: 'Say who names it.' }
            if (amount && kin && !signs) return { wrong: 'Say by which signs you know it.' }
            const ground = place ? verdict(place, herb ? herb.dataset.c : 0) : 'unknown'
            if (amount && ground === 'closed' && !why) return { wrong: 'This ground is CLOSED: say why you pick all the same.' }
            entry.kind = amount ? 'harvest' : 'stage'
            entry.plant = herb ? herb.dataset.p : ''
            entry.what = name + amount + ', ' + stage
            if (amount && ground === 'closed') tail.push('despite: ' + why)
        }
        if (entry.kind === 'sprayed') {
            if (remark) tail.push(remark)
            tail.push('seen' + (by ? ' by ' + by : '') + ' ' + entry.time)
        } else {
            if (by) tail.push('by ' + by)
            if (kin && signs) tail.push('signs: ' + signs)
            tail.push(entry.time)
            if (remark) tail.push(remark)
        }
        entry.remark = tail.map((piece) => piece.replace(/;/g, ',')).join('; ')
        return { entry }
    }

    function form_changed() {
        const what = $('f-what').value
        const plain = what === '!sprayed' || what === '!remark'
        const herb = herb_of()
        const place = place_of()
        const kin = has_kin(herb)
        $('f-other-box').hidden = what !== '!other'
        $('f-amounts').hidden = plain
        $('f-stages').hidden = plain
        $('f-kin').hidden = !kin
        if (kin) {
            $('f-kin-words').textContent = all('p', $('k-' + herb.dataset.p)).map((one) => one.textContent).join(' ')
            $('f-kin-seen').hidden = Boolean(seen_kin[herb.dataset.p])
        }
        const ground = place && !plain ? verdict(place, herb ? herb.dataset.c : 0) : ''
        $('f-why-box').hidden = ground !== 'closed'
        const ground_words = { clear: '', ask: 'Ask first: nobody vouches for this ground today.', closed: 'This ground is CLOSED today.', unknown: 'Nothing says that this ground is clear today.' }
        $('f-ground').textContent = ground_words[ground] || ''
        const now = entry_now()
        const known = changing || { slip: slip.slip, phone: phone || '..', n: 1 + entries.reduce((most, one) => Math.max(most, one.n), 0), revision: 0 }
        $('f-line').textContent = now.entry
            ? line_of(Object.assign({}, now.entry, { slip: known.slip, phone: known.phone, n: known.n, revision: known.revision + 1 }))
            : now.wrong
        $('f-keep').textContent = changing ? 'Keep the change' : 'Keep'
    }

    async function keep() {
        const moment = Date.now()
        if (moment - last_keep < 700) return
        look()
        const now = entry_now()
        if (!now.entry) { say(now.wrong); return }
        last_keep = moment
        const entry = now.entry
        if (changing) {
            Object.assign(changing, entry, { revision: changing.revision + 1 })
            const changed = changing
            changing = null
            await save(changed)
            done(changed)
        } else {
            await add(entry)
            done(entry)
        }
    }

    function done(entry) {
        say((kept_here ? 'Kept: ' : 'NOT KEPT, only shown: ') + line_of(entry))
        $('f-amount').value = ''
        $('f-remark').value = ''
        $('f-why').value = ''
        if (!kept_here) $('notes').open = true
        show_entries()
        form_changed()
    }

    function say(words) {
        $('said').textContent = words
        $('said').hidden = words === ''
    }

    // ---- what the entries do to the page ----

    function mass(grams) {
        if (slip.units === 'us') return grams >= 453.59237 ? (Math.floor(grams / 45.359237) / 10) + ' lb' : (Math.floor(grams / 2.8349523125) / 10) + ' oz'
        return grams >= 1000 ? (Math.floor(grams / 10) / 100) + ' kg' : Math.floor(grams) + ' g'
    }

    // The parts of a plant share one allowance: each gram uses its share of it.
    function show_left(place) {
        const used = {}
        const herbs = all('.herbs > li', place)
        herbs.forEach((herb) => {
            const taken = entries.filter((one) => !one.struck && one.kind === 'harvest' && one.place_id === place.id && one.herb === name_of(herb))
                .reduce((sum, one) => sum + one.grams, 0)
            const left = Number(herb.dataset.left)
            if (herb.dataset.left !== undefined && taken > 0) used[herb.dataset.p] = (used[herb.dataset.p] || 0) + (left > 0 ? taken / left : 1)
        })
        herbs.forEach((herb) => {
            const may = herb.querySelector('i')
            if (!may || herb.dataset.left === undefined) return
            if (!herb.dataset.may) herb.dataset.may = may.textContent
            const share = used[herb.dataset.p]
            may.textContent = share ? 'may still take ' + mass(Math.max(0, 1 - share) * Number(herb.dataset.left)) : herb.dataset.may
        })
    }

    function show_entries() {
        all('.place').forEach((place) => {
            const shut = entries.some((one) => one.kind === 'sprayed' && !one.struck && one.place_id === place.id)
            let words = place.querySelector('.shut')
            place.classList.toggle('shut-here', shut)
            if (shut && !words) {
                words = document.createElement('p')
                words.className = 'shut'
                words.textContent = 'CLOSED by your own note: spraying seen.'
                place.querySelector('h3').after(words)
            } else if (!shut && words) words.remove()
            show_left(place)
        })
        const list = $('entries')
        list.textContent = ''
        entries.forEach((entry) => {
            const item = document.createElement('li')
            const words = document.createElement('p')
            words.className = entry.struck ? 'line struck' : 'line'
            words.textContent = line_of(entry)
            item.append(words)
            const button = (label, act) => {
                const one = document.createElement('button')
                one.type = 'button'
                one.className = 'small'
                one.textContent = label
                one.addEventListener('click', act)
                item.append(one)
            }
            if (!entry.struck) {
                button('Take back ' + entry.what, async () => {
                    entry.struck = true
                    entry.handed = false
                    await save(entry)
                    say('Taken back: ' + entry.what)
                    show_entries()
                })
                if (entry.kind === 'harvest' || entry.kind === 'stage')
                    button('Change ' + entry.what, () => {
                        changing = entry
                        $('f-place').value = entry.place_id
                        fill_whats()
                        if (entry.herb) $('f-what').value = entry.herb
                        fill_stages()
                        location.hash = '#log'
                        $('f-amount').focus()
                    })
            }
            list.append(item)
        })
        const open = entries.filter((one) => !one.handed).length
        $('count').textContent = entries.length === 0 ? 'Nothing noted yet.' : open === 0 ? 'All entries are handed out.' : open + (open === 1 ? ' entry' : ' entries') + ' not yet handed out.'
        $('bar-notes').textContent = 'Notes' + (open ? ' ' + open : '')
        $('out').value = notes()
        all('[data-tick]').forEach((button) => {
            button.disabled = entries.some((one) => one.kind === 'step' && !one.struck && one.tick === button.dataset.tick)
        })
    }

    async function handed() {
        for (const entry of entries)
            if (!entry.handed) { entry.handed = true; await save(entry) }
        show_entries()
    }

    function copy() {
        const text = notes()
        const by_hand = () => {
            $('out').focus()
            $('out').select()
            let ok = false
            try { ok = document.execCommand('copy') } catch (_) { ok = false }
            say(ok ? 'Copied.' : 'Could not copy: the notes are selected, copy them by hand.')
            if (ok) handed()
        }
        try { navigator.clipboard.writeText(text).then(() => { say('Copied.'); handed() }, by_hand) } catch (_) { by_hand() }
    }

    // ---- the nearest ----

    function nearest() {
        let timer = setTimeout(() => say('No position came; the order is as before.'), 20000)
        const off = () => { clearTimeout(timer); timer = 0 }
        try {
            navigator.geolocation.getCurrentPosition((where) => {
                off()
                const here = where.coords
                const far = (place) => {
                    const rad = Math.PI / 180
                    const north = (Number(place.dataset.lat) - here.latitude) * 111195
                    const east = (Number(place.dataset.lon) - here.longitude) * 111195 * Math.cos(here.latitude * rad)
                    return { m: Math.hypot(north, east), to: ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW'][Math.round(Math.atan2(east, north) / (Math.PI / 4) + 8) % 8] }
                }
                const places = all('.place').map((place) => [place, far(place)]).sort((a, b) => a[1].m - b[1].m)
                places.forEach(([place, way]) => {
                    place.parentNode.append(place)
                    const words = place.querySelector('.far')
                    if (words) words.textContent = (way.m < 1000 ? Math.round(way.m / 10) * 10 + ' m ' : (way.m / 1000).toFixed(1) + ' km ') + way.to + ' of you'
                })
                if (places.length) { $('f-place').value = places[0][0].id; fill_whats() }
            }, () => { off(); say('No position: ' + 'the order is as before.') }, { timeout: 15000, maximumAge: 60000, enableHighAccuracy: true })
        } catch (_) { off(); say('No position here; the order is as before.') }
    }

    // ---- beginning ----

    function log_buttons() {
        all('.place').forEach((place) => {
            const button = document.createElement('button')
            button.type = 'button'
            button.textContent = 'Note at ' + place.dataset.place
            button.addEventListener('click', () => { changing = null; $('f-place').value = place.id; fill_whats(); location.hash = '#log' })
            place.querySelector('.herbs, .none').after(button)
        })
    }

    function start_log() {
        const places = $('f-place')
        all('.place').forEach((place) => {
            const option = document.createElement('option')
            option.value = place.id
            option.textContent = place.dataset.place
            places.append(option)
        })
        const units = $('f-units')
        Object.keys(UNITS).concat('bags').forEach((word) => {
            const button = document.createElement('button')
            button.type = 'button'
            button.dataset.value = word
            button.textContent = word
            units.append(button)
        })
        pick(all('button', units), unit, (word) => { unit = word })
        $('f-by').value = slip.who || ''
        places.addEventListener('change', fill_whats)
        $('f-what').addEventListener('change', fill_stages)
        all('#log input').forEach((input) => input.addEventListener('input', form_changed))
        $('f-kin-seen').addEventListener('click', () => { const herb = herb_of(); if (herb) seen_kin[herb.dataset.p] = true; form_changed() })
        $('f-keep').addEventListener('click', keep)
        $('copy').addEventListener('click', copy)
        $('save').addEventListener('click', () => {
            const link = document.createElement('a')
            link.href = URL.createObjectURL(new Blob([notes()], { type: 'text/plain' }))
            link.download = 'notes-' + slip.slip + '-' + phone + '.txt'
            document.body.append(link)
            link.click()
            link.remove()
            handed()
        })
        if (navigator.share) {
            $('share').hidden = false
            $('share').addEventListener('click', () => { navigator.share({ text: notes() }).then(handed, () => say('Not shared.')) })
        }
        if (slip.positions && navigator.geolocation) {
            $('near').hidden = false
            $('near').addEventListener('click', nearest)
        }
        all('[data-tick]').forEach((button) => {
            button.hidden = false
            button.addEventListener('click', async () => {
                look()
                if (state === 'wrong') { say('Set the clock of this phone first.'); return }
                await add({ day, time: '', place: '', place_id: '', herb: '', grams: 0, revision: 1, struck: false, handed: false, kind: 'step', tick: button.dataset.tick, what: button.dataset.tick, remark: '' })
                done(entries[entries.length - 1])
            })
        })
        log_buttons()
        fill_whats()
        $('log').hidden = false
        $('notes').hidden = false
        all('.with-script').forEach((one) => { one.hidden = false })
    }

    async function begin() {
        look()
        if (!$('log')) return
        start_log()
        base = await open_base()
        if (base)
            try {
                const records = await with_all('readwrite', (read, store) => { take_phone(read, store); return read })
                entries = records.filter((record) => record.n).sort((a, b) => a.n - b.n)
                entries.forEach((entry) => { if (entry.plant && entry.kind === 'harvest') seen_kin[entry.plant] = true })
                kept_here = true
            } catch (_) { base = null }
        phone = phone || letters(2)
        show_keeping()
        show_entries()
        form_changed()
        body.dataset.ready = '1'
    }

    document.addEventListener('visibilitychange', look)
    window.addEventListener('pageshow', look)
    window.addEventListener('focus', look)
    setInterval(look, 60000)
    begin()
})()
