// SPDX-License-Identifier: MIT
//
// Two browsers for the tests that look at pages: Debian's Chromium and Firefox, without a window, on
// profiles of their own, with a clock and a zone that the test sets, no way to the net, and a note of
// every request. Beside them the two validators: axe-core (WCAG) and html-validate (the HTML standard).
//
//     import { browsers, skip_without, start } from './driver.mjs'
//     skip_without('chromium')
//     const there = await start('chromium', { width: 360, height: 640, now: '2027-07-14T10:00:00Z' })
//     await there.page.goto('file:///…/slip.html')
//     …
//     await there.end()
//
// NODE_MODULES names the folder that tests/run.sh installs the npm packages into. What is missing ends
// the test with 77, skipped.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const require = createRequire(join(process.env.NODE_MODULES ?? 'build/node', 'node_modules', 'x.js'))
const programs = { chromium: ['/usr/bin/chromium'], firefox: ['/usr/bin/firefox-esr', '/usr/bin/firefox'] }
export const browsers = ['chromium', 'firefox']

function program_of(kind) {
    return programs[kind].find((path) => existsSync(path))
}

/** Ends with 77 when one of the browsers or a package is not there. */
export function skip_without(...kinds) {
    for (const kind of kinds)
        if (!program_of(kind)) {
            console.log(`${kind} is not installed`)
            process.exit(77)
        }
    for (const name of ['puppeteer-core', 'axe-core', 'html-validate'])
        try {
            require.resolve(name)
        } catch {
            console.log(`the npm package ${name} is not installed; NODE_MODULES names its folder`)
            process.exit(77)
        }
}

// Runs in each page before its own script: the clock that the test set, which goes on from there.
// `window.__clock(iso)` sets it anew, as a night or a frozen page does.
function set_clock(iso) {
    const Real = Date
    const begun = performance.now()
    let from = Real.parse(iso)
    let since = begun
    const now = () => Math.floor(from + performance.now() - since)
    class Then extends Real {
        constructor(...words) {
            if (words.length === 0) super(now())
            else super(...words)
        }
        static now() {
            return now()
        }
    }
    globalThis.Date = Then
    Object.defineProperty(globalThis, '__clock', {
        value(other) {
            from = Real.parse(other)
            since = performance.now()
        },
    })
}

/**
 * Starts a browser.
 *   width, height  of the page in CSS pixels
 *   now            ISO instant that its pages take for the present; none: the machine's
 *   zone           IANA name
 *   script         false: pages run none
 *   profile        folder kept by the caller, so that a browser can be killed and started again
 *   insecure       accept any certificate
 * Gives { kind, browser, page, requests, problems, end(), kill(), another() }: `requests` the addresses
 * asked for, `problems` what pages threw or wrote as errors.
 */
export async function start(kind, options = {}) {
    const { default: puppeteer } = await import(require.resolve('puppeteer-core'))
    const { width = 360, height = 640, now, zone, script = true, insecure = false } = options
    const own = options.profile === undefined
    const profile = own ? mkdtempSync(join(tmpdir(), `simpling-${kind}-`)) : options.profile
    const launch = {
        browser: kind === 'firefox' ? 'firefox' : 'chrome',
        executablePath: program_of(kind),
        headless: true,
        userDataDir: profile,
        acceptInsecureCerts: insecure,
        protocolTimeout: 120000,
        timeout: 120000,
        env: { ...process.env, HOME: profile, MOZ_DISABLE_CONTENT_SANDBOX: '1', ...(zone ? { TZ: zone } : {}) },
    }
    if (kind === 'chromium') {
        launch.args = ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--no-first-run',
            '--disable-background-networking', '--disable-component-update', '--disable-sync',
            '--disable-extensions', '--proxy-server=127.0.0.1:9', '--proxy-bypass-list=127.0.0.1;localhost;*.localhost',
            '--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost, EXCLUDE *.localhost']
    } else {
        launch.extraPrefsFirefox = {
            'javascript.enabled': script,
            'network.proxy.type': 1, 'network.proxy.http': '127.0.0.1', 'network.proxy.http_port': 9,
            'network.proxy.ssl': '127.0.0.1', 'network.proxy.ssl_port': 9,
            'network.proxy.no_proxies_on': 'localhost, 127.0.0.1, .localhost',
            'network.dns.native-is-localhost': true,
        }
    }
    const browser = await puppeteer.launch(launch)
    const requests = []
    const problems = []
    async function prepare(page) {
        page.setDefaultTimeout(60000)
        if (kind === 'chromium') {
            await page.setViewport({ width, height, isMobile: true, hasTouch: true, deviceScaleFactor: 2 })
            if (zone) await page.emulateTimezone(zone)
            if (!script) await page.setJavaScriptEnabled(false)
        } else {
            await page.setViewport({ width, height })
        }
        if (now && script) await page.evaluateOnNewDocument(set_clock, now)
        page.on('request', (request) => requests.push(request.url()))
        page.on('pageerror', (error) => problems.push(String(error)))
        page.on('console', (message) => {
            if (message.type() === 'error') problems.push(message.text())
        })
        return page
    }
    const [first] = await browser.pages()
    const page = await prepare(kind === 'chromium' && first ? first : await browser.newPage())
    const gone = () => {
        if (own) rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 })
    }
    return {
        kind, browser, page, requests, problems,
        async another() {
            return prepare(await browser.newPage())
        },
        async end() {
            await browser.close()
            gone()
        },
        /** As when the power goes. */
        async kill() {
            const child = browser.process()
            const ended = new Promise((resolve) => child.once('exit', resolve))
            child.kill('SIGKILL')
            await ended
            gone()
        },
    }
}

/** Asks a page for what axe-core finds against WCAG 2.2 AA and its best practices: a list of texts. */
export async function axe(page) {
    const { source } = require('axe-core')
    await page.evaluate(source)
    const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }))
    return violations.flatMap((violation) => violation.nodes.map((node) =>
        `${violation.id}: ${violation.help}: ${node.target.join(' ')}: ${node.html.slice(0, 160)}`))
}

/** What html-validate finds against the HTML standard in a page's own text: a list of texts. */
export async function validate(text, rules = {}) {
    const { HtmlValidate } = require('html-validate')
    const validator = new HtmlValidate({
        root: true,
        extends: ['html-validate:standard', 'html-validate:a11y'],
        rules: { 'require-sri': 'off', ...rules },
    })
    const report = await validator.validateString(text)
    return report.results.flatMap((result) => result.messages.map((message) =>
        `${message.line}:${message.column} ${message.ruleId}: ${message.message}`))
}

let failures = 0

/** Notes a failure and goes on. */
export function check(right, what, ...facts) {
    if (right) return
    failures++
    console.log(`WRONG: ${what}`, ...facts.map((fact) => (typeof fact === 'string' ? fact : JSON.stringify(fact))))
}

/** The end of a test. */
export function finish(what) {
    if (failures > 0) {
        console.log(`${failures} wrong`)
        process.exit(1)
    }
    console.log(what)
}

/** Runs a program; its output, or an error with what it said. */
export function run(program, ...words) {
    const { status, stdout, stderr } = spawnSync(program, words, { encoding: 'utf8', maxBuffer: 64 << 20 })
    if (status !== 0) throw new Error(`${program} ${words.join(' ')}: ${status}\n${stderr}`)
    return stdout
}
