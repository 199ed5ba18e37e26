// What the browser tests share: a shop in a folder of its own, its server, a browser with nothing in it, and checks
// said in TAP (Test Anything Protocol, version 13).

import {spawn, execFileSync} from 'node:child_process';
import {createHash} from 'node:crypto';
import {
    cpSync,
    existsSync,
    mkdirSync,
    mkdtempSync,
    readdirSync,
    readFileSync,
    renameSync,
    rmSync,
    statSync,
    symlinkSync,
    writeFileSync,
} from 'node:fs';
import {createServer} from 'node:net';
import {tmpdir} from 'node:os';
import {join} from 'node:path';
import {chromium} from 'playwright-core';

const [LAPSTRAKE, MAKE_ART, MAKE_PROFILE] = process.argv.slice(3);
const DEMO = join(process.env.LAPSTRAKE_SOURCE ?? '.', 'demo');
export const PHONE = {width: 390, height: 844},
    DESK = {width: 1920, height: 1080};
const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
const ALONE = [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
];

let number = 0,
    failed = 0;
/** @type {(() => unknown)[]} */
const undone = [];

/** One check; what it throws is what was wrong. @param {string} name @param {() => Promise<unknown>} body */
export async function check(name, body) {
    try {
        await body();
        console.log(`ok ${++number} - ${name}`);
    } catch (trouble) {
        failed++;
        console.log(`not ok ${++number} - ${name}`);
        const place =
            /[a-z]+\.mjs:\d+/.exec(trouble?.stack?.replaceAll(/support\.mjs/g, '') ?? '')?.[0] ?? '';
        console.log(`${trouble?.message ?? trouble} (${place})`.replace(/^/gm, '# '));
    }
}

/** Runs the tests of a file, clears up, and says how many there were. @param {() => Promise<void>} body */
export async function tests(body) {
    try {
        await body();
    } catch (trouble) {
        await check('the test itself', () => Promise.reject(trouble));
    } finally {
        for (const undo of undone.reverse()) await undo();
    }
    console.log(`1..${number}`);
    process.exit(failed ? 1 : 0);
}

/** A folder that is gone afterwards. @param {string} name */
export function folder(name) {
    const path = mkdtempSync(join(tmpdir(), `lapstrake-${name}-`));
    undone.push(() => rmSync(path, {recursive: true, force: true}));
    return path;
}

/**
 * A shop with the demo's shop file and, unless told otherwise, the library van: planned, printing from now on and due in six
 * weeks, not on the demo's dates.
 * @param {{van?: boolean}} [what]
 */
export async function shop({van = true} = {}) {
    const path = folder('shop');
    if (!van) return openShop(path);
    const kept = await keptShop(),
        art = join('library-van', 'art');
    cpSync(kept, path, {recursive: true, preserveTimestamps: true});
    // What was rendered of a file holds as long as the disk says that it is the same one, which it never says of a copy.
    for (const name of readdirSync(join(kept, art))) {
        rmSync(join(path, art, name));
        symlinkSync(join(kept, art, name), join(path, art, name));
    }
    return path;
}

/** The shop alone. @param {string} path */
function openShop(path) {
    cpSync(join(DEMO, 'library-van/shop.yaml'), join(path, 'shop.yaml'));
    mkdirSync(join(path, 'profiles'));
    execFileSync(MAKE_PROFILE, [
        join(path, 'profiles/van-cast.icc'),
        'Eco-solvent on white cast film, 8 pass',
        '280',
    ]);
    return path;
}

/** @type {string | undefined} */
let own;
/** Where the planned shop stands for every test of a run; for a test started by hand, a folder of its own. */
const keptShops = () => process.env.LAPSTRAKE_KEPT_SHOPS ?? (own ??= folder('kept'));

const HOUR_MS = 3600000;

/** The same for an hour, and for the same programs and demo. */
function keptName() {
    const hash = createHash('sha256');
    const van = ['job.yaml', 'shop.yaml', 'vehicle.yaml', 'surfaces/left.svg', 'surfaces/right.svg'];
    for (const file of [LAPSTRAKE, MAKE_ART, MAKE_PROFILE, ...van.map(name => join(DEMO, 'library-van', name))])
        hash.update(readFileSync(file));
    return `${hash.digest('hex').slice(0, 16)}-${Math.floor(Date.now() / HOUR_MS)}`;
}

/**
 * The planned shop that is copied, made by the first test that needs it. Two that need it at once both make one, and one of
 * them is thrown away.
 */
async function keptShop() {
    const place = keptShops(),
        kept = join(place, keptName());
    if (existsSync(kept)) return kept;
    mkdirSync(place, {recursive: true});
    for (const name of readdirSync(place))
        if (statSync(join(place, name)).mtimeMs < Date.now() - 2 * HOUR_MS)
            rmSync(join(place, name), {recursive: true, force: true});
    const making = mkdtempSync(join(place, 'making-'));
    try {
        libraryVan(openShop(making));
        await untilSettled(join(making, 'library-van/art'));
        const {address, stop} = await serve(making);
        await planned(address, 'LV-2031');
        await stop();
        renameSync(making, kept);
    } catch (trouble) {
        rmSync(making, {recursive: true, force: true});
        if (!existsSync(kept)) throw trouble;
    }
    return kept;
}

/**
 * A file touched within five whole seconds is known by its bytes (art/read.c), later by what the disk says of it: as the
 * tests will find it.
 * @param {string} art
 */
const untilSettled = art =>
    until(
        () => readdirSync(art).every(name => Math.floor(Date.now() / 1000 - 5) * 1000 > statSync(join(art, name)).ctimeMs),
        'the artwork was touched again and again',
    );

/** @param {string} path of the shop */
function libraryVan(path) {
    const job = join(path, 'library-van');
    cpSync(join(DEMO, 'library-van'), job, {
        recursive: true,
        filter: from => !/[/](out|art|profiles)$/.test(from),
    });
    cpSync(join(path, 'profiles'), join(job, 'profiles'), {recursive: true});
    const file = join(job, 'job.yaml');
    const sixWeeks = new Date(Date.now() + 42 * 86400000).toISOString().slice(0, 10);
    writeFileSync(
        file,
        readFileSync(file, 'utf8')
            .replace(/^start:.*\n/m, '')
            .replace(/^due:.*$/m, `due: ${sixWeeks}T17:00`),
    );
    artwork(path);
}

/** The demo's artwork for the van, below DIR/library-van/art. @param {string} path */
export function artwork(path) {
    mkdirSync(join(path, 'library-van'), {recursive: true});
    execFileSync(MAKE_ART, [path, 'library-van'], {stdio: 'ignore'});
    return join(path, 'library-van/art');
}

/**
 * A plain job, as little as the shop needs to know.
 * @param {string} path of the shop
 * @param {string} name
 * @param {string} yaml
 */
export function job(path, name, yaml) {
    mkdirSync(join(path, name));
    writeFileSync(join(path, name, 'job.yaml'), yaml);
}

/** @returns {Promise<number>} a port nobody listens on */
const freePort = () =>
    new Promise((found, lost) => {
        const probe = createServer()
            .on('error', lost)
            .listen(0, '127.0.0.1', () => {
                const {port} = probe.address();
                probe.close(() => found(port));
            });
    });

/**
 * Starts `lapstrake serve` and waits until it answers. The artwork of a shop that was copied lies outside of it.
 * @param {string} path
 */
export async function serve(path) {
    const port = await freePort(),
        address = `http://127.0.0.1:${port}`;
    let words = '';
    const child = spawn(LAPSTRAKE, ['serve', path, '--anywhere', '--port', String(port)], {
        stdio: ['ignore', 'pipe', 'pipe'],
    });
    let wanted = false;
    child.once(
        'exit',
        (code, signal) => wanted || console.log(`# the server ended by itself: ${signal ?? code}: ${words}`),
    );
    for (const stream of [child.stdout, child.stderr]) stream.on('data', data => (words += data));
    const stop = () =>
        new Promise(gone => {
            wanted = true;
            if (child.exitCode !== null || child.signalCode !== null) return gone();
            child.once('exit', gone);
            child.kill('SIGTERM');
        });
    undone.push(stop);
    for (let tries = 0; tries < 600; tries++) {
        if (child.exitCode !== null)
            throw new Error(`lapstrake serve ended with ${child.exitCode}: ${words}`);
        if (
            await fetch(`${address}/api/floor`).then(
                answer => answer.ok,
                () => false,
            )
        )
            return {address, stop, pid: child.pid, words: () => words};
        await new Promise(go => setTimeout(go, 100));
    }
    throw new Error(`lapstrake serve did not answer: ${words}`);
}

/** @type {Promise<import('playwright-core').Browser> | undefined} */
let running;

/** The one Chromium of a test, started when it is first needed. */
async function launched() {
    const one = await chromium.launch({executablePath: CHROMIUM, headless: true, args: ALONE});
    undone.push(() => one.close());
    return one;
}

/**
 * A browser with nothing in it: a context of its own, which shares no storage, cookies or service workers with others.
 * What a page throws, and what its policy keeps out, is a fault of the check that runs.
 * @param {object} [options] of the browser's context
 */
export async function browser(options = {}) {
    const context = await (await (running ??= launched())).newContext({viewport: DESK, locale: 'en-GB', ...options});
    const faults = [];
    context.on('weberror', error => faults.push(error.error().stack));
    context.on(
        'console',
        message => /Content Security Policy|Uncaught/.test(message.text()) && faults.push(message.text()),
    );
    return {context, page: await context.newPage(), faults};
}

/** A form as the page sends it. @param {string} address of the server @param {string} path @param {Record<string, string>} fields */
export const send = (address, path, fields) =>
    fetch(address + path, {
        method: 'POST',
        headers: {'X-Lapstrake': 'page', Origin: address},
        body: new URLSearchParams(fields),
    });

/**
 * Waits until something holds; the words say what did not.
 * @param {() => unknown} true_ @param {string} words @param {number} [within_ms]
 */
export async function until(true_, words, within_ms = 60000) {
    const end = Date.now() + within_ms;
    while (!(await true_())) {
        hold(Date.now() < end, words);
        await new Promise(go => setTimeout(go, 50));
    }
}

/** @param {unknown} true_ @param {string} words what is wrong otherwise */
export function hold(true_, words) {
    if (!true_) throw new Error(words);
}

/** @param {unknown} got @param {unknown} expected @param {string} what */
export function same(got, expected, what) {
    hold(
        JSON.stringify(got) === JSON.stringify(expected),
        `${what}: ${JSON.stringify(got)}, expected ${JSON.stringify(expected)}`,
    );
}

/** Plans a job through the server and waits for it. @param {string} address @param {string} number */
export async function planned(address, number) {
    await fetch(`${address}/api/jobs/${number}/plan`, {
        method: 'POST',
        headers: {'X-Lapstrake': 'page', Origin: address},
    });
    return settled(address, number);
}

/** Waits until nothing is being planned or made. @param {string} address @param {string} number */
export async function settled(address, number) {
    let job;
    await until(
        async () => {
            job = await (await fetch(`${address}/api/jobs/${number}`)).json();
            return job.planned && job.plan && !job.planning && !job.making;
        },
        `${number} was not planned within ten minutes`,
        600000,
    );
    return job;
}
