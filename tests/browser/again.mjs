// A panel printed again from its view: why it cannot be, the file when it can, what goes on record; and what was planned
// against what was used.

import {execFileSync} from 'node:child_process';
import {createHash} from 'node:crypto';
import {cpSync, readFileSync, writeFileSync} from 'node:fs';
import {join} from 'node:path';
import {artwork, browser, check, folder, hold, job, planned, same, serve, shop, tests} from './support.mjs';

const NUMBER = 'AG-1';
const written = more => `job: ${NUMBER}
shop: ../shop.yaml
print: {condition: van-cast, format: tiff, resolution: 20}
drying: hung
surfaces:
  - {name: left, size: [2600, 1900], front: left, panels: upright, artwork: [{file: left.pdf, fit: bleed}]${more}}
`;
const sha = bytes => createHash('sha256').update(bytes).digest('hex');

await tests(async () => {
    const path = await shop({van: false});
    job(path, NUMBER, written(''));
    cpSync(join(artwork(folder('art')), 'left.pdf'), join(path, NUMBER, 'left.pdf'));
    const lapstrake = (...args) => execFileSync(process.argv[3], args, {encoding: 'utf8'});
    const {address} = await serve(path);
    await planned(address, NUMBER);
    const {page, faults} = await browser();
    const state = async () =>
        (await (await fetch(`${address}/api/jobs/${NUMBER}`)).json()).panels.find(one => one.panel === 'left-1').state;
    const ask = async (why, pieces = false) => {
        await page.locator('#panels').getByRole('button', {name: 'left-1'}).click();
        await page.getByRole('button', {name: 'Print again'}).click();
        await page.getByLabel('Why').fill(why);
        if (pieces) await page.getByLabel('repair pieces').check();
        await page.getByRole('button', {name: 'Make the print file'}).click();
    };
    const link = page.getByRole('link', {name: /Fetch the print file of left-1/}),
        pieces = page.getByRole('link', {name: /Fetch the repair pieces of left-1/});

    await check('a panel that was never made is not printed again, and the page says so', async () => {
        await page.goto(`${address}/jobs/${NUMBER}`);
        await ask('torn');
        await page.getByText('this panel was never made').waitFor({timeout: 60000});
        same(await link.count() + (await pieces.count()), 0, 'links to a file');
    });
    await check('one that was printed is made as it was, and starts again on record', async () => {
        lapstrake('make', join(path, NUMBER), '--quiet');
        lapstrake('record', 'add', join(path, NUMBER), 'printed', '--panels', 'left-1,left-2', '--who', 'Printing');
        hold((await state()).printed, 'it is not printed');
        await page.goto(`${address}/jobs/${NUMBER}`);
        await ask('torn at the sill', true);
        await link.waitFor({timeout: 60000});
        await pieces.waitFor({timeout: 60000});
        if (process.env.AGAIN_PICTURE) await page.screenshot({path: process.env.AGAIN_PICTURE, fullPage: true});
        const [download] = await Promise.all([page.waitForEvent('download'), link.click()]);
        const original = readFileSync(join(path, NUMBER, 'out/panels', `${NUMBER}_left_1.tif`));
        same(sha(readFileSync(await download.path())), sha(original), 'the file fetched');
        const [second] = await Promise.all([page.waitForEvent('download'), pieces.click()]);
        same(second.suggestedFilename(), `${NUMBER}_left-1-patches.tif`, 'the name of the repair pieces');
        const now = await state();
        same([now.printed, now.reprints], [null, 1], 'printed and reprints');
        await page.locator('#record').getByText('torn at the sill').first().waitFor();
    });
    await check('what changed is said, and it is made anyway when a person wants it', async () => {
        writeFileSync(join(path, NUMBER, 'job.yaml'), written(', seams: [1270]'));
        await page.goto(`${address}/jobs/${NUMBER}`);
        await page.locator('#panels').getByRole('button', {name: 'left-2'}).waitFor({timeout: 60000});
        await ask('scratched');
        await page.getByText(/left-1 covered x/).waitFor({timeout: 60000});
        await link.waitFor({state: 'detached', timeout: 60000}); // the file of before is gone
        await page.getByRole('button', {name: 'Make it anyway'}).click();
        await link.waitFor({timeout: 60000});
    });
    await check('planned and used stand beside each other', async () => {
        lapstrake('record', 'add', join(path, NUMBER), 'used', '--what', 'installing', '--amount', '7 h 30 min');
        await page.goto(`${address}/jobs/${NUMBER}`);
        const row = page.locator('#used tr', {hasText: 'installing'});
        await row.waitFor();
        hold(/7\.5/.test(await row.innerText()), `not what was put on record: ${await row.innerText()}`);
    });
    await check('nothing went wrong in the page', async () => same(faults, [], 'faults'));
});
