// How the views stand at a size of screen, in bright and dark rooms, and crowded: nothing cut off, nothing too small for a
// glove, and what axe finds by the rules of WCAG 2.2, levels A and AA. looks_phone.mjs and looks_desk.mjs run it.

import {readFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {join} from 'node:path';
import {browser, check, PHONE, same, serve, settled, shop} from './support.mjs';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const VIEWS = [
    '/',
    '/jobs',
    '/jobs/LV-2031',
    '/new',
    '/stock',
    '/conditions',
    '/people',
    '/P/LV-2031/left-1',
    '/sign-in',
    '/jobs/NOT-THERE',
];
const LONG =
    'Verkehrsbetriebsfahrzeugbeschriftungserneuerungsauftrag für die Kreisbüchereifahrbibliotheksfahrzeugflotte, zweiter Bauabschnitt';
const FINDINGS = readFileSync(join(process.env.LAPSTRAKE_SOURCE ?? '.', 'doc/findings.md'), 'utf8');

/** @param {import('playwright-core').Page} page @param {string} url */
export async function open(page, url) {
    await page.goto(url);
    await page.locator('h1').first().waitFor();
    if (url.endsWith('/LV-2031')) await page.locator('.picture').waitFor();
}

/** Whatever reaches beyond the right edge. @param {import('playwright-core').Page} page */
const tooWide = page =>
    page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/**
 * What can be touched and is lower or narrower than 48 pixels; links within a sentence are excepted, as in
 * WCAG 2.5.8.
 */
const tooSmall = page =>
    page.evaluate(() =>
        [
            ...document.querySelectorAll(
                'button, a.button, input:not([type=hidden]), select, summary, nav a, .grip-reach',
            ),
        ].flatMap(node => {
            const {width, height} = node.getBoundingClientRect();
            const small = width && (height < 47.5 || (width < 47.5 && node.tagName !== 'SUMMARY'));
            return small
                ? [
                      `${node.tagName.toLowerCase()} ${(node.textContent || node.getAttribute('class') || node.id).trim().slice(0, 30)} ${width.toFixed(0)} x ${height.toFixed(0)}`,
                  ]
                : [];
        }),
    );

/** What reads as a place for words and was left so: "${...}", "{{...}}", "undefined". @param {import('playwright-core').Page} page */
const raw = page =>
    page.evaluate(() => document.body.innerText.match(/[^\n]{0,30}(\$\{|\{\{|\bundefined\b|\bNaN\b)[^\n]{0,20}/g) ?? []);

/** Text smaller than 16 pixels; numbers in the picture's badges are marks. */
const smallText = page =>
    page.evaluate(() => {
        const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT),
            found = [];
        for (let text = walker.nextNode(); text; text = walker.nextNode()) {
            const {parentElement: at} = text;
            if (
                text.data.trim() &&
                !at.closest('.badge, noscript, script, title') &&
                parseFloat(getComputedStyle(at).fontSize) < 15.9
            )
                found.push(text.data.trim().slice(0, 30));
        }
        return found;
    });

/** @param {import('playwright-core').Page} page */
async function axe(page) {
    await page.evaluate(AXE);
    const {violations} = await page.evaluate(() =>
        window.axe.run({
            resultTypes: ['violations'],
            runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
        }),
    );
    return violations.map(
        one =>
            `${one.id}: ${one.help}: ${one.nodes
                .slice(0, 3)
                .map(node => node.target.join(' '))
                .join(', ')}`,
    );
}

/**
 * The real answer of the server, changed on its way.
 * @param {import('playwright-core').BrowserContext} context
 * @param {string} path
 * @param {(body: any) => any} change
 */
export const changed = (context, path, change) =>
    context.route(
        address => address.pathname === path,
        async route => {
            const answer = await route.fetch();
            await route.fulfill({response: answer, json: change(await answer.json())});
        },
    );

/** Every finding there is, as doc/findings.md lists them. */
export const everyFinding = () =>
    [...FINDINGS.matchAll(/^\| ([a-z-]+) \| (stop|warn|note) \| (.*?) \| (.*?) \|$/gm)].map(
        ([, code, severity, text, remedy]) => ({
            code,
            severity,
            where: 'left',
            text,
            do: remedy,
            box_mm: [100, 100, 900, 900],
        }),
    );

/** A surface in sixty panels. @param {any} body the job */
function sixty(body) {
    const surface = body.plan.surfaces[0],
        panel = surface.panels[0],
        seam = surface.seams[0],
        width = surface.width_mm / 60;
    surface.panels = Array.from({length: 60}, (_, i) => ({
        ...panel,
        id: `left-${i + 1}`,
        order: i + 1,
        visible_mm: [i * width, 0, (i + 1) * width, surface.height_mm],
    }));
    surface.seams = Array.from({length: 59}, (_, i) => ({
        ...seam,
        at_mm: (i + 1) * width,
        between: [`left-${i + 1}`, `left-${i + 2}`],
        over: `left-${i + 1}`,
        under: `left-${i + 2}`,
    }));
    body.panels = surface.panels.map(({id, order}) => ({...body.panels[0], panel: id, order}));
    return body;
}

const CROWDED = [
    ['a long German title', '/jobs/LV-2031', '/api/jobs/LV-2031', body => ({...body, title: LONG})],
    [
        'every finding fired',
        '/jobs/LV-2031',
        '/api/jobs/LV-2031',
        body => ({...body, plan: {...body.plan, findings: everyFinding()}}),
    ],
    ['60 panels on one surface', '/jobs/LV-2031', '/api/jobs/LV-2031', sixty],
    [
        'a long title in what is ready',
        '/',
        '/api/floor',
        body => ({...body, ready: body.ready.map(step => ({...step, title: LONG}))}),
    ],
];

/**
 * Every view at one size of screen, and the crowded ones; calls `more` with the address of the shop's server.
 * @param {{width: number, height: number}} viewport
 * @param {(address: string, path: string) => Promise<void>} [more]
 */
export async function looked(viewport, more = async () => {}) {
    const path = await shop(),
        {address} = await serve(path),
        size = `${viewport.width} x ${viewport.height}`;
    await settled(address, 'LV-2031');
    for (const colorScheme of /** @type {('light' | 'dark')[]} */ (['light', 'dark'])) {
        const {page, context} = await browser({
            viewport,
            colorScheme,
            hasTouch: viewport === PHONE,
            isMobile: viewport === PHONE,
            bypassCSP: true,
        });
        for (const view of VIEWS)
            await check(`${view} at ${size}, ${colorScheme}`, async () => {
                await open(page, address + view);
                same(await tooWide(page), 0, 'pixels beyond the right edge');
                same(await smallText(page), [], 'text under 16 pixels');
                same(await raw(page), [], 'words that a program was to fill in');
                if (viewport === PHONE) same(await tooSmall(page), [], 'too small to touch');
                same(await axe(page), [], 'axe');
            });
        await context.close();
    }
    for (const [what, view, answer, change] of CROWDED)
        await check(`${what}, ${viewport.width} pixels wide`, async () => {
            const {page, context, faults} = await browser({viewport, bypassCSP: true});
            await changed(context, answer, change);
            await open(page, address + view);
            same(await tooWide(page), 0, 'pixels beyond the right edge');
            same(await axe(page), [], 'axe');
            same(faults, [], 'faults');
            await context.close();
        });
    await more(address, path);
}
