// A panel's page without script: where it goes, the next step, the gate with its reason, damage, reprint, correction.

import {browser, check, hold, PHONE, same, serve, settled, shop, tests, until} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const {page} = await browser({javaScriptEnabled: false, viewport: PHONE});
    const url = `${address}/P/LV-2031/left-1`;
    const state = async () =>
        (await (await fetch(`${address}/api/jobs/LV-2031`)).json()).panels.find(one => one.panel === 'left-1')
            .state;
    const floor = async () => (await fetch(`${address}/api/floor`)).json();
    const next = () => page.getByRole('heading', {name: /^Next/}).innerText();
    const press = name => page.getByRole('button', {name}).click();
    // Where printing has to wait it stands behind "Done anyway".
    const done = async () => {
        const early = page.getByText('Done anyway');
        if (await early.count()) await early.click();
        await press(/^Done:/);
    };

    await check('it says which panel, where it goes and what lies over what', async () => {
        await page.goto(url);
        const words = await page.locator('main').innerText();
        for (const part of [/left-1/, /Mobile library van/, /no\. 4 of 4/, /front/, /left-2/])
            hold(part.test(words), `no ${part} in: ${words}`);
        hold(
            (await page.locator('.where svg .panel.this').count()) === 1,
            'the panel is not filled in its picture',
        );
    });
    await check('label addresses in capitals lead there too', async () => {
        const answer = await page.goto(`${address}/P/LV-2031/LEFT-1`);
        same(answer.status(), 200, 'status');
    });
    await check('printing and hanging are recorded with the big button', async () => {
        await page.goto(url);
        await done();
        await page.getByText('Recorded:').waitFor();
        hold((await state()).printed, 'the panel is not printed');
        await done();
        hold((await state()).hung, 'the panel is not hung');
    });
    await check('while it dries, the time left stands large', async () => {
        await page.goto(url);
        hold(/\d+\u00a0h/.test(await page.locator('.wait').innerText()), 'no time left to wait');
        const size = await page
            .locator('.wait')
            .evaluate(node => parseFloat(getComputedStyle(node).fontSize));
        hold(size >= 40, `the time left is ${size} pixels high`);
    });
    await check('a shut gate says why, and goes on with a reason only', async () => {
        const before = await state();
        await page.getByText('Done anyway').click();
        await press(/^Done/);
        await page.getByRole('heading', {name: 'Not recorded'}).waitFor();
        same(await state(), before, 'the state after a refusal');
        await page.getByLabel('Why it is done anyway').fill('A test piece beside it is dry');
        await press('Record it with this reason');
        await page.getByText('Recorded:').waitFor();
        same((await state()).overrides, 1, 'overrides');
    });
    await check('damage and printing again start the panel anew', async () => {
        await page.getByText('It is damaged').click();
        await page.getByLabel('What happened').fill('Scratched by the squeegee');
        await press('Record the damage');
        hold((await state()).damaged, 'it is not damaged');
        await page.getByText('Print it again').click();
        await page.getByLabel('Why', {exact: true}).fill('Scratched');
        await press('Start it again');
        const now = await state();
        same([now.damaged, now.reprints, now.printed], [false, 1, null], 'after the reprint');
        hold(/print/i.test(await next()), `next is ${await next()}`);
    });
    await check('what was not so is corrected, and stays on the record', async () => {
        await done();
        const {printed} = await state();
        hold(printed, 'the panel is not printed');
        // What is taken back within 12 s was a slip and is not shown; this is a correction.
        await until(
            async () => (await floor()).now.s >= printed.s + 14,
            'the clock of the server stands',
            30000,
        );
        await page.locator('.fact').first().getByText('It was not so').click();
        await page
            .getByLabel(/^Why entry/)
            .first()
            .fill('Another panel was printed');
        await page.getByRole('button', {name: 'Record the correction'}).first().click();
        same((await state()).printed, null, 'printed');
        await page.getByText('corrected: it was not so').first().waitFor();
    });
});
