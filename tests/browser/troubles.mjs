// Each trouble has its own sentence and its next step; entries made meanwhile are kept and sent once.

import {browser, check, hold, PHONE, same, send, serve, settled, shop, tests, until} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address, pid} = await serve(path);
    await settled(address, 'LV-2031');
    const {page, context, faults} = await browser({viewport: PHONE});
    const facts = async () =>
        (await page.request.get(`${address}/api/jobs/LV-2031/facts`).then(answer => answer.json())).facts.filter(
            one => one.kind !== 'planned',
        );
    const done = page.getByRole('button', {name: /^Done/});
    /** Requests of entries and lists that the page has given up: after twenty seconds, and it is to speak long before that. */
    let givenUp = 0;
    page.on('requestfailed', request => /[/](facts|jobs)$/.test(request.url()) && givenUp++);
    /** What the page does while its server hangs. @param {() => Promise<unknown>} body */
    const hanging = async body => {
        process.kill(pid, 'SIGSTOP');
        givenUp = 0;
        try {
            await body();
            same(givenUp, 0, 'requests given up before a word was said');
        } finally {
            process.kill(pid, 'SIGCONT');
        }
    };

    await check('a server that hangs is said while the page still waits; the entry is sent once it goes on', async () => {
        await page.goto(`${address}/P/LV-2031/left-1`);
        await done.waitFor();
        await hanging(async () => {
            await done.click();
            await page.getByText('The server does not answer').first().waitFor();
            await page.getByText('Kept on this device').waitFor();
        });
        await until(async () => (await facts()).length === 1, 'the entry is not on record');
        await page.getByText('kept to be sent').waitFor({state: 'detached'});
        same((await facts()).length, 1, 'entries');
    });
    await check('the floor says so too, and the network is called away only when it is', async () => {
        await page.goto(address);
        await page.getByRole('heading', {name: 'What is ready'}).waitFor();
        await hanging(async () => {
            await page.getByRole('link', {name: 'Jobs', exact: true}).click();
            await page.getByText('The server does not answer').first().waitFor();
            same(await page.getByText('network is away').count(), 0, 'words of the network');
        });
        await page.getByRole('heading', {name: 'Jobs'}).waitFor();
    });
    for (const [status, sentence] of /** @type {[number, string][]} */ ([
        [507, 'The disk is full. Make room, then send it again.'],
        [503, 'The server is busy. Wait a few seconds.'],
        [429, 'Too many requests at once. Wait a second.'],
    ]))
        await check(`a ${status} is told in the server's words, and the entry is kept`, async () => {
            await page.goto(`${address}/P/LV-2031/left-2`);
            const before = (await facts()).length;
            const refuse = route =>
                route.fulfill({status, contentType: 'application/json', body: JSON.stringify({error: sentence})});
            await page.route('**/facts', refuse);
            await page.getByText('Write a note').click();
            await page.getByLabel('Note', {exact: true}).fill(`While it answered ${status}`);
            await page.getByRole('button', {name: 'Record the note'}).click();
            await page.locator('.undo').getByText(sentence).waitFor();
            same(await page.getByText('network is away').count(), 0, 'words of the network');
            await page.unroute('**/facts', refuse);
            await until(async () => (await facts()).length === before + 1, 'the note is not on record');
        });
    await check('a key that is on record with other content is shown, not swallowed', async () => {
        await page.goto(`${address}/P/LV-2031/left-3`);
        await done.waitFor();
        await context.setOffline(true);
        await done.click();
        await page.getByText('1 entry kept to be sent').waitFor();
        const refuse = route =>
            route.fulfill({
                status: 409,
                contentType: 'application/json',
                body: JSON.stringify({error: 'This key is on record with other content.'}),
            });
        await page.route('**/facts', refuse);
        await context.setOffline(false);
        await page.getByText('This key is on record with other content.').first().waitFor();
        await page.unroute('**/facts', refuse);
        await page.getByRole('button', {name: /^Discard/}).click();
        await until(async () => !(await page.getByText('not recorded').count()), 'a refused entry stays');
    });
    await check('an old red notice goes when something succeeds', async () => {
        const refuse = route =>
            route.fulfill({status: 422, contentType: 'application/json', body: '{"error": "This is refused."}'});
        await page.goto(`${address}/P/LV-2031/left-3`);
        await page.route('**/facts', refuse);
        await done.click();
        await page.getByText('This is refused.').waitFor();
        await page.unroute('**/facts', refuse);
        await done.click();
        await page.getByText(/^On record: /).waitFor();
        await until(async () => !(await page.getByText('This is refused.').count()), 'the red notice stays');
    });
    await check('a label whose job is gone leads to a page to read, with a link', async () => {
        const answer = await page.goto(`${address}/P/LV-1999/left-1`);
        same(answer.status(), 404, 'status');
        const words = await page.locator('body').innerText();
        hold(!words.includes(path), `the page says where the server's folder is: ${words}`);
        const size = await page.locator('main p').first().evaluate(one => parseFloat(getComputedStyle(one).fontSize));
        hold(size >= 16, `its text is ${size} pixels high`);
        await page.getByRole('link', {name: /ready/i}).click();
        await page.getByRole('heading', {name: 'What is ready'}).waitFor();
    });
    const signIn = async name => {
        await page.getByLabel('Name').fill(name);
        await page.getByLabel('Password').fill('a few unrelated words');
        await page.getByRole('button', {name: 'Sign in'}).click();
    };
    await check('an ended session asks to sign in, and the entry is sent after that', async () => {
        for (const [name, role] of [
            ['night-shift', 'shop'],
            ['front-desk', 'viewer'],
        ]) {
            if (role === 'viewer') {
                await page.goto(`${address}/P/LV-2031/rear-1`);
                await signIn('night-shift');
                await done.waitFor();
            }
            const answer = await page.request.post(`${address}/api/people`, {
                form: {name, role, password: 'a few unrelated words'},
                headers: {'X-Lapstrake': 'page', Origin: address},
            });
            same(answer.status(), 200, `entering ${name}`);
        }
        await context.clearCookies();
        await done.click();
        await page.getByText('Your sign-in has ended').first().waitFor();
        same(await page.getByText('network is away').count(), 0, 'words of the network');
        await page.getByRole('link', {name: 'Sign in again'}).first().click();
        await signIn('night-shift');
        await done.waitFor();
        await until(
            async () => (await facts()).some(one => one.panel === 'rear-1' && one.kind === 'printed'),
            'the entry is not on record',
        );
    });
    await check('who may only look sees nothing to be changed', async () => {
        await page.getByRole('button', {name: /^Done/}).waitFor();
        await page.goto(address);
        await page.getByRole('button', {name: 'Sign out night-shift'}).click();
        await signIn('front-desk');
        await page.getByRole('heading', {name: 'What is ready'}).waitFor();
        const none = async (where, names) => {
            for (const name of names)
                same(await page.getByRole('button', {name}).count(), 0, `${where}: buttons ${name}`);
            same(await page.locator('main form').count(), 0, `${where}: forms`);
        };
        await none('floor', [/done$/, /^Undo/]);
        await page.goto(`${address}/jobs/LV-2031`);
        // Without its grip a seam is a line, and a line has no box to be seen by.
        await page.locator('.seam').first().waitFor({state: 'attached'});
        await none('job', [/^Make/, /^Plan/, 'Undo', /^Correct/, /Save/, /^Add/, 'Look']);
        same(await page.getByRole('slider').count(), 0, 'seams to be moved');
        await page.locator('.seam').first().focus();
        await page.keyboard.press('ArrowRight');
        same(await page.getByText(/may look, but|answered 403/).allTextContents(), [], 'refusals');
        await page.goto(`${address}/stock`);
        await page.getByRole('heading', {name: 'Rolls and batches'}).waitFor();
        await none('stock', [/used up/, 'Enter it']);
        await page.goto(`${address}/P/LV-2031/rear-1`);
        await page.getByRole('heading', {name: 'rear-1'}).waitFor();
        await none('panel', [/^Done/, /^Record/]);
    });
    await check('nothing was thrown', async () => same(faults, [], 'faults'));
});
