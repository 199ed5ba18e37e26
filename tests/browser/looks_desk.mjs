// The views on the desk's screen (looks.mjs); what is seen there together, in inches, and of every finding.

import {appendFileSync} from 'node:fs';
import {join} from 'node:path';
import {changed, everyFinding, looked, open} from './looks.mjs';
import {browser, check, DESK, hold, planned, same, serve, shop, tests} from './support.mjs';

/** @param {string} address */
async function desk(address) {
    await check('at the desk picture, findings, clock and panels are seen together', async () => {
        const {page, context} = await browser();
        await open(page, `${address}/jobs/LV-2031`);
        for (const part of ['.picture', '#findings', '#clock svg', '#panels']) {
            const box = await page.locator(part).boundingBox();
            hold(
                box && box.y >= 0 && box.y + box.height <= DESK.height && box.x + box.width <= DESK.width,
                `${part} reaches from ${box?.y} to ${box && box.y + box.height}`,
            );
        }
        await context.close();
    });
    await check('inches are shown on request, and stay', async () => {
        const {page, context} = await browser();
        await open(page, `${address}/jobs/LV-2031`);
        await page.getByRole('button', {name: 'Show inches'}).click();
        // 5600 mm / 25.4 mm = 220.47 in, 2000 mm = 78.74 in
        await page
            .getByText(/220\.47 x 78\.74\sin/)
            .first()
            .waitFor();
        await page.reload();
        await page.getByRole('button', {name: 'Show millimetres'}).waitFor();
        await context.close();
    });
    await check('a shop in inches reads inches in every view', async () => {
        const own = await shop();
        appendFileSync(join(own, 'library-van/shop.yaml'), '\nunits: inches\n');
        const there = await serve(own);
        await planned(there.address, 'LV-2031');
        const {page, context} = await browser();
        for (const view of ['/', '/jobs', '/jobs/LV-2031', '/stock', '/conditions', '/P/LV-2031/left-1']) {
            await open(page, there.address + view);
            for (const summary of await page.locator('summary:visible').all()) await summary.click();
            // What job.yaml says stands as it is written, in whatever unit.
            const words = await page.evaluate(() => {
                document.getElementById('form')?.remove();
                return document.body.innerText;
            });
            const metric = /[^\n]*\d[\s\u00a0\u202f]*(mm|m2|m2\/h|m)\b[^\n]*|, mm\b/.exec(words);
            same(metric?.[0] ?? '', '', `${view}: metric`);
        }
        await context.close();
        await there.stop();
    });
    await check('every finding of doc/findings.md is shown with its remedy', async () => {
        const {page, context} = await browser();
        await changed(context, '/api/jobs/LV-2031', body => ({
            ...body,
            plan: {...body.plan, findings: everyFinding()},
        }));
        await open(page, `${address}/jobs/LV-2031`);
        const words = await page.locator('#findings').innerText();
        hold(everyFinding().length > 40, 'doc/findings.md was not read');
        for (const finding of everyFinding())
            hold(words.includes(finding.code) && words.includes(finding.do), `${finding.code} is not shown`);
        await context.close();
    });
}

await tests(() => looked(DESK, desk));
