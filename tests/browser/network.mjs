// The network goes away in the middle of the shop's day, and two people work at once: nothing typed is lost, nothing
// is recorded twice, and each sees what the other did.

import {browser, check, hold, PHONE, same, serve, settled, shop, tests} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const facts = async () =>
        (await (await fetch(`${address}/api/jobs/LV-2031/facts`)).json()).facts.filter(
            one => one.kind !== 'planned',
        );
    const phone = await browser({viewport: PHONE}),
        desk = await browser();

    await check(
        'an entry made while the network is away is kept, said so, and sent once when it is back',
        async () => {
            await phone.page.goto(`${address}/P/LV-2031/rear-1`);
            await phone.page.getByRole('button', {name: /^Done/}).waitFor();
            await phone.context.setOffline(true);
            await phone.page.getByRole('button', {name: /^Done/}).click();
            await phone.page.getByText('Kept on this device and sent later').waitFor();
            await phone.page.getByText('1 entry kept to be sent').waitFor();
            same((await facts()).length, 0, 'facts on record while it was away');
            await phone.context.setOffline(false);
            await phone.page
                .getByText('1 entry kept to be sent')
                .waitFor({state: 'detached', timeout: 20000});
            same(
                (await facts()).map(one => `${one.kind} ${one.panel}`),
                ['printed rear-1'],
                'facts on record',
            );
        },
    );
    await check('the same entry sent twice is recorded once', async () => {
        const fields = {kind: 'note', panels: 'rear-1', words: 'Twice', key: 'twice-twice-twice'};
        for (let i = 0; i < 2; i++)
            await desk.page.request.post(`${address}/api/jobs/LV-2031/facts`, {
                form: fields,
                headers: {'X-Lapstrake': 'page', Origin: address},
            });
        same((await facts()).filter(one => one.words === 'Twice').length, 1, 'notes');
    });
    await check('what one person records the other sees without asking', async () => {
        await desk.page.goto(`${address}/jobs/LV-2031`);
        await desk.page.locator('.panels tr', {hasText: 'rear-2'}).waitFor();
        await phone.page.goto(`${address}/P/LV-2031/rear-2`);
        await phone.page.getByRole('button', {name: /^Done/}).click();
        await desk.page.locator('#record li', {hasText: 'rear-2'}).waitFor({timeout: 5000});
    });
    await check(
        'two changes of one job file: the second is told, sees what is there now, and loses nothing',
        async () => {
            const other = await browser();
            for (const {page} of [desk, other]) await page.goto(`${address}/jobs/LV-2031`);
            const title = page => page.locator('#form input[name=title]');
            const save = page => page.getByRole('button', {name: 'Save what was changed'}).click();
            await title(other.page).waitFor();
            await title(desk.page).fill('Library van, second title');
            await title(other.page).fill('Library van, third title');
            await save(desk.page);
            await desk.page.getByText('job.yaml is saved').waitFor();
            // The other page has read the new file by itself; what was typed there stands.
            same(await title(other.page).inputValue(), 'Library van, third title', 'what the other typed');
            await save(other.page);
            const again = other.page.getByRole('button', {name: 'Write mine anyway'}),
                saved = other.page.getByText('job.yaml is saved');
            await again.or(saved).first().waitFor();
            if (await again.count()) await again.click();
            await saved.waitFor();
            same(
                (await (await fetch(`${address}/api/jobs/LV-2031/written`)).json()).tree.title,
                'Library van, third title',
                'the title',
            );
        },
    );
    await check('a view that was open while the network was away is read again', async () => {
        await desk.page.goto(address);
        await desk.page.getByRole('heading', {name: 'What is ready'}).waitFor();
        await desk.context.setOffline(true);
        await desk.page.getByText('The network is away').waitFor();
        await desk.context.setOffline(false);
        await desk.page.getByText('The network is away').waitFor({state: 'detached', timeout: 20000});
        hold(
            (await desk.page.getByRole('heading', {name: 'What is ready'}).count()) === 1,
            'the view is gone',
        );
    });
    await check('nothing was thrown', async () => same([...phone.faults, ...desk.faults], [], 'faults'));
});
