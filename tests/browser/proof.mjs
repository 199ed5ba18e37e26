// The proof on the page: made, read with the customer, signed at the counter, recorded as it came by mail.

import {browser, check, DESK, hold, PHONE, same, serve, settled, shop, tests, until} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const {page, faults} = await browser({viewport: PHONE});
    const approvals = async () =>
        (await (await fetch(`${address}/api/jobs/LV-2031/facts`)).json()).facts.filter(one => one.kind === 'approved');
    const proof = page.locator('#proof'),
        dialog = page.getByRole('dialog');
    let letters = '';

    await check('the proof is made from the page, and its letters are shown', async () => {
        await page.goto(`${address}/jobs/LV-2031`);
        await proof.getByRole('button', {name: 'Make the proof'}).click();
        await proof.locator('.letters').waitFor();
        letters = (await proof.locator('.letters').textContent()).replace(/\s/g, '');
        const made = await (await fetch(`${address}/jobs/LV-2031/files/proof.json`)).json();
        same(letters, made.letters, 'letters');
        await proof.getByText('Not approved yet').waitFor();
        await proof.getByRole('link', {name: 'Fetch proof.pdf'}).waitFor();
    });
    await check('the customer reads lettering and colours, and signs with a pen', async () => {
        await proof.getByRole('button', {name: 'Sign at the counter'}).click();
        for (const words of ['Call 555 0142', 'Thistlemere School']) await dialog.getByText(words).first().waitFor();
        same(await dialog.locator('img').count(), 3, 'pictures');
        same(await dialog.evaluate(one => one.scrollTop), 0, 'it opens where it begins: scrolled by');
        await dialog.getByLabel('Name of who approves').fill('M. Example');
        const canvas = dialog.locator('canvas');
        await canvas.scrollIntoViewIfNeeded();
        const box = await canvas.boundingBox();
        hold(box.x >= 0 && box.x + box.width <= PHONE.width, 'the field to sign in is wider than the phone');
        await page.mouse.move(box.x + 20, box.y + 20);
        await page.mouse.down();
        await page.mouse.move(box.x + 120, box.y + 60, {steps: 5});
        await page.mouse.up();
        await dialog.getByRole('button', {name: 'Approve'}).click();
        await dialog.waitFor({state: 'detached'});
        const [one] = await approvals();
        same([one.letters, one.how, one.who], [letters, 'counter', 'M. Example'], 'on record');
        const picture = await fetch(`${address}${one.photo}`);
        hold(picture.ok && /image/.test(picture.headers.get('content-type') ?? ''), 'the signature is no picture');
        await proof.getByText(`${letters} approved by M. Example, at the counter`).waitFor();
    });
    await check('letters that are of no proof are refused, and what was typed stays', async () => {
        await proof.getByRole('button', {name: 'Record an approval'}).click();
        await dialog.getByLabel('Letters', {exact: true}).fill('ABCDEFGH');
        await dialog.getByLabel('Name of who approves').fill('By Mail');
        await dialog.getByRole('button', {name: 'Record the approval'}).click();
        await dialog.getByText(`its present proof has ${letters}`).waitFor();
        same(await dialog.getByLabel('Name of who approves').inputValue(), 'By Mail', 'name');
        same((await approvals()).length, 1, 'approvals');
    });
    await check('an approval by mail is recorded by keyboard alone', async () => {
        await dialog.getByLabel('Letters', {exact: true}).fill(letters.toLowerCase());
        await dialog.getByLabel('Name of who approves').press('Enter');
        await dialog.waitFor({state: 'detached'});
        await until(async () => (await approvals()).length === 2, 'it is not on record');
        same((await approvals())[0].how, 'mail', 'how');
    });
    for (const viewport of [PHONE, {width: 768, height: 1024}, {width: 1280, height: 800}, DESK])
        await check(`the proof fits ${viewport.width} px`, async () => {
            await page.setViewportSize(viewport);
            await proof.getByRole('button', {name: 'Sign at the counter'}).click();
            const width = () => page.evaluate(() => document.documentElement.scrollWidth);
            await until(async () => (await width()) <= viewport.width, 'the page is wider than the screen');
            const inside = await dialog.evaluate(one => one.scrollWidth <= one.clientWidth);
            hold(inside, 'the dialog scrolls sideways');
            if (process.env.PROOF_PICTURES) await page.screenshot({path: `${process.env.PROOF_PICTURES}/dialog-${viewport.width}.png`});
            await dialog.getByRole('button', {name: 'Close'}).click();
            await proof.scrollIntoViewIfNeeded();
            if (process.env.PROOF_PICTURES) await page.screenshot({path: `${process.env.PROOF_PICTURES}/page-${viewport.width}.png`});
        });
    same(faults, [], 'faults in the console');
});
