// SPDX-License-Identifier: MIT
//
// The desk's pages are whole without it: Enter sends their forms. Where things are counted from top to bottom,
// it makes Enter go on to the next field, and from the last to the button; with Shift back.
document.addEventListener('keydown', (event) => {
    const field = event.target
    const form = field instanceof HTMLInputElement && field.type === 'text' ? field.form : null
    if (event.key !== 'Enter' || event.isComposing || event.ctrlKey || form === null) return
    const stops = [...form.querySelectorAll('input[name$=".counted"]')]
    if (stops.length === 0) return
    event.preventDefault()
    stops.push([...form.querySelectorAll('button')].at(-1))
    // From the reason one goes on with the row below.
    const row = field.closest('tr')
    const at = stops.findIndex((stop) => stop === field || (row !== null && row.contains(stop)))
    const next = stops[at + (event.shiftKey ? -1 : 1)]
    if (next === undefined) return
    next.focus()
    next.scrollIntoView({ block: 'center' })
    if (next.select) next.select()
})
