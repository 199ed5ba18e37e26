// A shop of many jobs: how soon its list is there. Nothing else of the suite runs beside it, as a clock judges.

import {browser, check, hold, job, same, serve, settled, shop, tests} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    await check('300 jobs are listed and found within a second', async () => {
        for (let i = 0; i < 299; i++)
            job(
                path,
                `bulk-${i}`,
                `job: BK-${1000 + i}\ntitle: Job number ${i}\nshop: ../shop.yaml\ncondition: van-cast\nsurfaces:\n  - {name: left, size: [3000, 1500]}\n`,
            );
        const {page} = await browser(),
            from = Date.now();
        await page.goto(`${address}/jobs`);
        await page.getByText('300 jobs').waitFor();
        const took = Date.now() - from;
        await page.getByLabel('Find').fill('number 217');
        same(await page.locator('tbody tr').count(), 1, 'jobs found');
        console.log(`# 300 jobs: ${took} ms to be seen`);
        hold(took < 3000, `300 jobs took ${took} ms`);
    });
});
