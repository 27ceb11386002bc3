// SPDX-License-Identifier: MIT
//
// A desk for the tests of the browsers: the demo's season in a folder of its own, served by the program
// as a person starts it, with the demo's today.
import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import http from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Runs simpling on the desk's book; its JSON. */
function runner(program, env) {
    return (...words) => {
        const { status, stdout, stderr } = spawnSync(program, [...words, '--json'], { encoding: 'utf8', env })
        if (status !== 0 && status !== 3) throw new Error(`${words.join(' ')}: ${status}\n${stderr}`)
        return JSON.parse(stdout)
    }
}

/**
 * Starts a desk. Gives { fresh(), base, book, today, get(path), post(path, fields), simpling(words),
 * child, end() }: `get` and `post` go through its cookie without a browser.
 */
export async function begin(program, today = '2027-06-20') {
    const folder = mkdtempSync(join(tmpdir(), 'simpling-desk-'))
    const runtime = join(folder, 'runtime')
    const book = join(folder, 'demo', 'book.db')
    const env = { ...process.env, SIMPLING_BOOK: book, SIMPLING_TODAY: today, XDG_RUNTIME_DIR: runtime,
        XDG_CONFIG_HOME: folder, HOME: folder }
    mkdirSync(runtime)
    chmodSync(runtime, 0o700)
    const made = spawnSync(program, ['demo', join(folder, 'demo')], { encoding: 'utf8' })
    if (made.status !== 0) throw new Error(`the demo: ${made.stderr}`)
    const child = spawn(program, ['desk', '--no-browser'], { env, stdio: ['ignore', 'pipe', 'pipe'] })
    const ended = new Promise((resolve) => child.once('exit', (code, signal) => resolve({ code, signal })))
    const address = await new Promise((resolve, reject) => {
        let text = ''
        child.stdout.on('data', (piece) => {
            text += piece
            if (text.includes('\n')) resolve(text.slice(0, text.indexOf('\n')))
        })
        child.once('exit', () => reject(new Error('the desk ended at once')))
    })
    const url = new URL(address)
    const host = url.host
    let cookie = ''
    function ask(method, path, headers = {}, body = undefined) {
        return new Promise((resolve, reject) => {
            const request = http.request({ host: '127.0.0.1', port: url.port, method, path,
                headers: { Host: host, ...(cookie && { Cookie: cookie }), ...headers } }, (answer) => {
                const pieces = []
                answer.on('data', (piece) => pieces.push(piece))
                answer.on('end', () => resolve({ status: answer.statusCode, headers: answer.headers,
                    text: Buffer.concat(pieces).toString() }))
            })
            request.on('error', reject)
            request.end(body)
        })
    }
    /** A fresh address of the same desk, as a second call of the program gives one. */
    function fresh() {
        const again = spawnSync(program, ['desk', '--no-browser'], { encoding: 'utf8', env })
        return again.stdout.split('\n')[0]
    }
    const let_in = await ask('GET', url.pathname + url.search)
    cookie = (let_in.headers['set-cookie'] ?? [''])[0].split(';')[0]
    return {
        fresh, base: url.origin, host, book, today, child, folder, env, ended,
        simpling: runner(program, env),
        get: (path, headers) => ask('GET', path, headers),
        post: (path, fields, headers) => {
            const body = new URLSearchParams(fields).toString()
            return ask('POST', path, { Origin: url.origin, 'Content-Type': 'application/x-www-form-urlencoded',
                'Content-Length': Buffer.byteLength(body), ...headers }, body)
        },
        async end() {
            child.kill('SIGTERM')
            const how = await ended
            rmSync(folder, { recursive: true, force: true })
            return how
        },
        read: () => readFileSync(book),
    }
}
