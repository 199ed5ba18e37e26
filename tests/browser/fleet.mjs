// A fleet's table as a person pastes it from a spreadsheet: mistakes at their places and nothing kept, then the file beside the
// job, the job's word for it, and the vehicles with their prints.

import {existsSync, readFileSync} from 'node:fs';
import {join} from 'node:path';
import {PHONE, browser, check, hold, job, planned, same, serve, shop, tests, until} from './support.mjs';

const YAML = `job: FL-1
title: Three doors
shop: ../shop.yaml
drying: hung
print: {condition: van-cast, bleed: 20 mm}
surfaces:
  - name: door
    size: [1200, 600]
    text: [{words: "Unit", at: [100, 200], height: 120}]
`;
const TABLE = 'unit\tdepot\n201\tnorth\n202\t"north, gate 2"\n203\tsouth\n';

await tests(async () => {
    const path = await shop({van: false});
    job(path, 'FL-1', YAML);
    const {address} = await serve(path);
    await planned(address, 'FL-1');
    const file = () => readFileSync(join(path, 'FL-1/job.yaml'), 'utf8'),
        table = join(path, 'FL-1/fleet.csv');
    const {page, faults} = await browser();
    const fleet = page.locator('#fleet'),
        words = page.locator('[data-focus=fleet-words]');
    /** Pasted: all at once, as from the clipboard. @param {string} text */
    const paste = async text => {
        await words.fill('');
        await words.focus();
        await page.keyboard.insertText(text);
        await fleet.getByRole('button', {name: 'Keep the table'}).click();
    };
    await page.goto(`${address}/jobs/FL-1`);
    await words.waitFor();

    await check('a number that stands twice is told at its place, and nothing is kept', async () => {
        await paste('unit\tdepot\n201\tnorth\n201\tsouth\n,x\n');
        await fleet.getByText('fleet.csv:3:1').waitFor();
        hold((await fleet.getByRole('alert').innerText()).includes('`201` is there already in line 2'), 'the sentence');
        same(await fleet.getByRole('alert').locator('li').count(), 2, 'mistakes');
        hold(!existsSync(table) && !file().includes('vehicles'), 'something was kept');
        same((await words.inputValue()).split('\n').length, 5, 'what was typed stays: lines');
    });
    await check('the table is kept as it was pasted, and the job names it', async () => {
        await paste(TABLE);
        await until(() => file().includes('vehicles: fleet.csv'), 'job.yaml does not name the table');
        same(readFileSync(table, 'utf8'), TABLE, 'the file');
        await until(async () => (await fleet.locator('tbody tr').count()) === 3, 'the vehicles are not shown', 20000);
        same(await fleet.locator('tbody tr').nth(1).locator('td').first().innerText(), 'north, gate 2', 'a quoted cell');
    });
    await check('without a column that a text needs, the table before stays', async () => {
        const answer = await page.evaluate(async () => {
            const {fingerprint} = await (await fetch('/api/jobs/FL-1/written')).json();
            const body = new URLSearchParams([['fingerprint', fingerprint], ['path', 'surfaces.door.text.0.words'], ['value', '"Unit {unit}"']]);
            return (await fetch('/api/jobs/FL-1/edit', {method: 'POST', body})).status;
        });
        same(answer, 200, 'the text takes a field');
        await until(async () => (await fleet.innerText()).includes('page 3 of'), 'three prints of their own', 20000);
        await paste('number;depot\n301;north\n');
        await fleet.getByText('job.yaml:').first().waitFor();
        same(readFileSync(table, 'utf8'), TABLE, 'the file');
        await paste('unit;depot\n301;north\n302;south\n');
        await until(async () => (await fleet.locator('tbody tr').count()) === 2, 'the new vehicles are not shown', 20000);
        same(readFileSync(table, 'utf8'), 'unit;depot\n301;north\n302;south\n', 'the file anew');
    });
    await check('on a phone nothing is wider than the screen', async () => {
        const {page: phone} = await browser({viewport: PHONE});
        await phone.goto(`${address}/jobs/FL-1`);
        await phone.locator('#fleet tbody tr').first().waitFor();
        const over = await phone.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        hold(over <= 0, `${over} px too wide`);
        if (process.env.LAPSTRAKE_SHOTS) {
            await phone.locator('#fleet').screenshot({path: join(process.env.LAPSTRAKE_SHOTS, 'fleet-390.png')});
            for (const width of [768, 1280, 1920]) {
                await page.setViewportSize({width, height: 900});
                await page.locator('#fleet').screenshot({path: join(process.env.LAPSTRAKE_SHOTS, `fleet-${width}.png`)});
            }
        }
    });
    await check('no script fails', async () => same(faults.filter(one => !one.includes('422')), [], 'faults'));
});
