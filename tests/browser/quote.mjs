// A quote on the job's page: made before there is artwork, read line by line, fetched as a file, and told what changed.

import {readFileSync} from 'node:fs';
import {join} from 'node:path';
import {browser, check, hold, job, same, serve, shop, tests} from './support.mjs';

await tests(async () => {
    const path = await shop({van: false});
    job(
        path,
        'Q-1',
        'job: Q-1\ntitle: Van before artwork\nshop: ../shop.yaml\ncondition: van-cast\ndrying: hung\nsurfaces:\n  - {name: left, size: [4000, 1500], covered: 50 %}\n',
    );
    const {address} = await serve(path);
    const {page, faults} = await browser();
    const part = page.locator('#quote');
    const quote = () => JSON.parse(readFileSync(join(path, 'Q-1/out/quote.json'), 'utf8'));
    const words = async () => (await part.innerText()).replace(/[\u202f\u00a0]/g, ' ');

    await check('a job of a vehicle alone has a price and a date', async () => {
        await page.goto(`${address}/jobs/Q-1`);
        await part.getByText('There is no quote yet.').waitFor();
        await part.getByRole('button', {name: 'Make the quote'}).click();
        await part.getByText('Total with tax').waitFor({timeout: 60000});
        const seen = await words();
        for (const line of quote().lines) {
            hold(seen.includes(line.what), `${line.what} is not shown`);
            hold(seen.replace(/ /g, '').includes(line.amount), `${line.amount} is not shown`);
        }
        hold(seen.includes(quote().finished_words), 'no date is shown');
        same(quote().missing.length > 0, seen.includes('This quote is not complete.'), 'what is missing');
    });
    await check('the job has one price, that of the quote', async () => {
        const price = page.locator('dt', {hasText: /^Price$/}).first().locator('xpath=following-sibling::dd');
        hold((await price.innerText()).replace(/[^\d.]/g, '') === quote().net, `${await price.innerText()}, quoted ${quote().net}`);
    });
    await check('the shop gets its breakdown', async () => {
        const [download] = await Promise.all([
            page.waitForEvent('download'),
            part.getByRole('link', {name: 'Download the breakdown'}).click(),
        ]);
        same(download.suggestedFilename(), 'quote-shop.pdf', 'its name');
    });
    await check('the customer gets a file', async () => {
        const [download] = await Promise.all([
            page.waitForEvent('download'),
            part.getByRole('link', {name: 'Download the quote'}).click(),
        ]);
        same(download.suggestedFilename(), 'quote.pdf', 'its name');
        same(readFileSync(await download.path()).subarray(0, 5).toString(), '%PDF-', 'its first bytes');
    });
    await check('more vehicles are quoted, and what changed is told', async () => {
        await part.getByLabel('Vehicles').fill('3');
        await part.getByRole('button', {name: 'Make the quote'}).click();
        await part.getByText('Changed since quote-1.json').waitFor({timeout: 60000});
        same(quote().vehicles, 3, 'vehicles');
        hold((await words()).includes('3 vehicles.'), 'the number of vehicles is not shown');
    });
    await check('a number of vehicles that cannot be is refused with a sentence', async () => {
        await part.getByLabel('Vehicles').fill('0');
        await part.getByRole('button', {name: 'Make the quote'}).click();
        await page.getByText('Vehicles must be a whole number from 1 to 500.').waitFor();
    });
    await check('nothing went wrong on the page', async () => same(faults, [], 'faults'));
});
