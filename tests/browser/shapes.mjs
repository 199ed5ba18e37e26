// Pieces and covered regions: seen in place with the line they are cut along, moved by keys and by pointer, drawn, kept in the job
// file and undone; at the desk and on a phone.

import {readFileSync, writeFileSync} from 'node:fs';
import {join} from 'node:path';
import {PHONE, browser, check, hold, job, same, planned, serve, settled, shop, tests, until} from './support.mjs';

/** A page of 100 x 100 pt with a house of straight lines: 10 to 90 across and up. */
function house(path) {
    const content = '0 0.8 0.8 0 k 10 10 m 90 10 l 90 50 l 50 90 l 10 50 l f';
    const objects = [
        '<</Type/Catalog/Pages 2 0 R>>',
        '<</Type/Pages/Kids[3 0 R]/Count 1>>',
        '<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]/Contents 4 0 R>>',
        `<</Length ${content.length}>>stream\n${content}\nendstream`,
    ];
    let pdf = '%PDF-1.4\n';
    const at = objects.map((body, i) => {
        const place = pdf.length;
        pdf += `${i + 1} 0 obj${body}endobj\n`;
        return place;
    });
    const rows = at.map(place => `${String(place).padStart(10, '0')} 00000 n \n`).join('');
    writeFileSync(
        path,
        `${pdf}xref\n0 5\n0000000000 65535 f \n${rows}trailer<</Size 5/Root 1 0 R>>\nstartxref\n${pdf.length}\n%%EOF\n`,
    );
}

/** Where the middle of a shape is on the screen, and pixels a millimetre; in one go, as the picture is drawn again. */
const middle = (page, selector) =>
    page.evaluate(selector => {
        const one = document.querySelector(selector);
        one.scrollIntoView({block: 'center'});
        const {x, y, width, height} = one.getBoundingClientRect();
        return [x + width / 2, y + height / 2, document.querySelector('[data-surface=left]').getScreenCTM().a];
    }, selector);

const YAML = `job: SH-1
title: A house on a van
shop: ../shop.yaml
drying: hung
print: {condition: van-cast, bleed: 20 mm}
surfaces:
  - name: left
    size: [2400, 1200]
    front: left
    cover: {behind: 1500}
    features:
      - {kind: handle, box: [200, 1000, 150, 60]}
      - {kind: handle, box: [1900, 100, 150, 60]}
    artwork: [{file: house.pdf, fit: bleed}]
    pieces:
      - {name: house, artwork: {file: house.pdf, scale: 10}, at: [300, 200], cut: {silhouette: 5 mm}, other-side: right}
  - {name: right, size: [2400, 1200], front: right}
`;

await tests(async () => {
    const path = await shop({van: false});
    job(path, 'SH-1', YAML);
    house(join(path, 'SH-1/house.pdf'));
    const {address} = await serve(path);
    await planned(address, 'SH-1');
    const file = () => readFileSync(join(path, 'SH-1/job.yaml'), 'utf8');
    const kept = (words, what) => until(() => file().includes(words), `${what}: job.yaml does not say ${words}`);
    const {page, faults} = await browser();
    const piece = page.locator('[data-piece="left house"]'),
        line = page.locator('.cover-line');
    const keep = page.locator('[data-focus=keep]');
    await page.goto(`${address}/jobs/SH-1`);
    await piece.waitFor();

    await check('a piece lies on what it lies on, with the line along which it is cut in dashes', async () => {
        same(await page.locator('.heading .name').allTextContents(), ['left', 'right'], 'surfaces of the picture');
        same(await page.locator('[data-surface=left] .piece .cut-line').count(), 1, 'cut lines on left');
        hold(
            (await piece.locator('.cut-line').evaluate(one => getComputedStyle(one).strokeDasharray)) !== 'none',
            'the cut line is not dashed',
        );
        // 80 pt at 1 to 10 are 282.2 mm, 5 mm more on both sides.
        const wide = await piece.locator('.cut-line').evaluate(path => path.getBBox().width);
        hold(Math.abs(wide - (800 / 72 * 25.4 + 10)) < 0.3, `the cut line is ${wide} mm wide`);
    });
    await check('what the lines mean stands below, and each is dashed in its own way', async () => {
        same(await page.locator('.legend li').allTextContents(), ['cut line', 'edge of the cover'], 'the legend');
        const dashes = name =>
            page.locator(`[data-surface=left] .${name}`).first().evaluate(one => getComputedStyle(one).strokeDasharray);
        hold((await dashes('cut-line')) !== (await dashes('cover-edge')), 'cut line and edge of the cover look alike');
        // The cover ends film at x = 1500 alone; its other sides are the surface's own.
        const edge = await page.locator('[data-surface=left] .cover-edge').evaluate(path => {
            const {x, width, height} = path.getBBox();
            return [x, width, height];
        });
        same(edge, [1500, 0, 1200], 'the edge of the cover');
    });
    await check('a piece is in the list too, and a touch there shows it', async () => {
        const row = page.locator('table.pieces tbody tr').first();
        same(await page.locator('table.pieces th button').allTextContents(), ['left house', 'right house'], 'pieces listed');
        hold(/300.*200.*292/.test((await row.innerText()).replace(/\s+/g, ' ')), `the list says ${await row.innerText()}`);
        await row.getByRole('button', {name: 'left house'}).click();
        await page.locator('[data-piece="left house"].chosen').waitFor();
    });
    await check('a feature off the cover is there too, and another one is taken out rightly', async () => {
        const row = page.locator('.features-place li', {hasText: '100'}).filter({hasText: /1\s900/});
        same(await page.locator('[data-surface=left] .feature.handle').count(), 2, 'handles on left');
        await row.getByRole('button', {name: 'Take out'}).click();
        await until(() => !file().includes('1900, 100'), 'nothing is taken out');
        hold(file().includes('[200, 1000, 150, 60]'), 'the other handle is taken out');
        await page.locator('.job-head').getByRole('button', {name: 'Undo'}).click();
        await kept('[1900, 100, 150, 60]', 'undone');
        await settled(address, 'SH-1');
    });
    await check('arrow keys move a piece, and its figures too; kept, it stands in the job file', async () => {
        await piece.focus();
        for (const key of ['ArrowRight', 'ArrowRight', 'Shift+ArrowUp']) await page.keyboard.press(key);
        const figure = page.locator('[data-focus=shape-figure-0]');
        await until(async () => (await figure.inputValue()) === '302', 'the figure does not follow the keys');
        same(await page.locator('[data-focus=shape-figure-1]').inputValue(), '210', 'up');
        await figure.fill('340');
        await figure.press('Enter');
        await keep.click();
        await kept('at: [340, 210]', 'kept');
        await until(async () => !(await keep.count()), 'Keep stays after keeping');
    });
    await check('the last change is undone', async () => {
        await page.locator('.job-head').getByRole('button', {name: 'Undo'}).click();
        await kept('at: [300, 200]', 'undone');
    });
    await check('the line where the cover begins moves by keys, no further than the surface', async () => {
        await line.focus();
        for (const key of ['Shift+ArrowLeft', 'ArrowRight']) await page.keyboard.press(key);
        await until(async () => (await line.getAttribute('aria-valuenow')) === '1491', 'the line does not follow the keys');
        await keep.click();
        await kept('cover: {behind: 1491}', 'kept');
    });
    await check('on a phone the line follows the finger, and is undone', async () => {
        await settled(address, 'SH-1');
        const {page: phone, context} = await browser({viewport: PHONE});
        await phone.goto(`${address}/jobs/SH-1`);
        await phone.locator('.cover-line .line').waitFor({state: 'attached'});
        const [x, y, scale] = await middle(phone, '.cover-line .line');
        await phone.mouse.move(x, y);
        await phone.mouse.down();
        await phone.mouse.move(x - 12, y, {steps: 4});
        await phone.mouse.up();
        await phone.locator('[data-focus=keep]').click();
        await until(() => !file().includes('behind: 1491'), 'nothing is kept');
        const at = Number(file().match(/behind: (\d+)/)[1]);
        hold(Math.abs(at - 1491 + 12 / scale) < 3, `kept at ${at}, dragged 12 pixels of ${1 / scale} mm from 1491`);
        await phone.locator('.job-head').getByRole('button', {name: 'Undo'}).click();
        await kept('behind: 1491', 'undone');
        await context.close();
    });
    await check('what is covered is drawn, corner by corner', async () => {
        await settled(address, 'SH-1');
        await until(async () => !(await page.getByRole('button', {name: 'Stop'}).count()), 'the page still plans');
        await page.getByRole('button', {name: 'Say what is covered'}).click();
        await page.locator('select[name=covered]').selectOption('outline');
        await page.locator('.drawing-sheet').waitFor();
        /* In one go: the picture is drawn again at every corner. */
        const place = () =>
            page.evaluate(() => {
                const sheet = document.querySelector('.drawing-sheet');
                sheet.scrollIntoView({block: 'center'});
                const {x, y, width, height} = sheet.getBoundingClientRect();
                return {x, y, width, height};
            });
        for (const [x, y] of [[0.5, 0.9], [0.9, 0.9], [0.9, 0.1]]) {
            const box = await place();
            const there = await page.locator('.corner').count();
            await page.mouse.click(box.x + box.width * x, box.y + box.height * y);
            await until(async () => (await page.locator('.corner').count()) === there + 1, 'a touch is no corner', 10000);
        }
        await page.getByRole('button', {name: 'Cover it so'}).click();
        await until(() => /cover: \{outline: \[\[/.test(file()), 'no outline is kept');
        const corners = file().match(/outline: (\[\[.*\]\])\}/)[1];
        for (const [i, [x, y]] of JSON.parse(corners).entries()) {
            const [a, b] = [[1200, 120], [2160, 120], [2160, 1080]][i];
            hold(Math.abs(x - a) < 8 && Math.abs(y - b) < 8, `corner ${i} is ${x}, ${y}, pointed at ${a}, ${b}`);
        }
    });
    await check('on a phone a piece follows the finger', async () => {
        await settled(address, 'SH-1');
        const {page: phone} = await browser({viewport: PHONE});
        await phone.goto(`${address}/jobs/SH-1`);
        await phone.locator('[data-piece="left house"]').waitFor();
        const [x, y, scale] = await middle(phone, '[data-piece="left house"]');
        await phone.mouse.move(x, y);
        await phone.mouse.down();
        await phone.mouse.move(x + 10, y + 5, {steps: 4});
        await phone.mouse.up();
        await phone.locator('[data-focus=keep]').click();
        await until(() => !file().includes('at: [300, 200]'), 'nothing is kept');
        const [, a, b] = file().match(/at: \[(-?\d+), (-?\d+)\]/);
        hold(Math.abs(Number(a) - 300 - 10 / scale) < 3 && Math.abs(Number(b) - 200 + 5 / scale) < 3, `kept at ${a}, ${b}`);
    });
    await check('nothing went wrong on the page', async () => same(faults, [], 'faults'));
});
