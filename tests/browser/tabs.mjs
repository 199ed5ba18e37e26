// Many tabs of one browser share one stream of events: a browser gives a server six connections (RFC 9112, section 9.4,
// leaves the number to the client; Chromium takes six for HTTP/1.1), and each stream would hold one.

import {browser, check, hold, same, send, serve, settled, shop, tests, until} from './support.mjs';

const TABS = 12;

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const {context, page: first, faults} = await browser();
    // As on http in a shop's network, where neither is there.
    await context.addInitScript(() => {
        delete Navigator.prototype.locks;
        delete globalThis.SharedWorker;
    });
    const streams = new Set();
    const isStream = request => new URL(request.url()).pathname === '/api/live';
    context.on('request', request => isStream(request) && streams.add(request));
    for (const end of ['requestfinished', 'requestfailed'])
        context.on(end, request => streams.delete(request));
    const facts = async () => (await (await fetch(`${address}/api/jobs/LV-2031/facts`)).json()).facts;
    const note = (words, key) =>
        send(address, '/api/jobs/LV-2031/facts', {kind: 'note', panels: 'left-1', words, key});
    const tabs = [first];
    /** Every tab shows these words soon; who does not is named. */
    const allShow = async words => {
        let silent = tabs;
        const look = async () => {
            const counts = await Promise.all(tabs.map(tab => tab.getByText(words).count()));
            silent = tabs.filter((_, i) => !counts[i]);
            return !silent.length;
        };
        await until(look, '', 15000).catch(() =>
            hold(false, `${words} is not seen by: ${silent.map(tab => `${tabs.indexOf(tab)} ${tab.url()}`).join(', ')}`),
        );
    };

    await check(`${TABS} tabs load`, async () => {
        while (tabs.length < TABS) tabs.push(await context.newPage());
        for (const [i, tab] of tabs.entries()) {
            await tab.goto(`${address}${i ? '/P/LV-2031/left-1' : '/jobs/LV-2031'}`, {timeout: 15000});
            await tab.getByRole('heading', {level: 1}).waitFor({timeout: 15000});
        }
    });
    await check('they hold one stream', () => until(() => streams.size === 1, `${streams.size} streams`));
    await check('a note in the last tab is sent at once', async () => {
        const tab = tabs[TABS - 1];
        await tab.getByText('Write a note').click();
        await tab.getByLabel('Note', {exact: true}).fill('From the last tab');
        await tab.getByRole('button', {name: 'Record the note'}).click();
        await until(
            async () => (await facts()).some(one => one.words === 'From the last tab'),
            'the note is not on record',
            5000,
        );
    });
    await check('every tab hears of it', () => allShow('From the last tab'));
    await check('when the tab that listens is closed, another listens', async () => {
        for (let closed = 0; closed < 3; closed++) {
            const leader = tabs.findIndex(tab => [...streams].some(stream => stream.frame().page() === tab));
            hold(leader >= 0, 'nobody listens');
            await tabs[leader].close();
            tabs.splice(leader, 1);
            for (const stream of [...streams]) if (stream.frame().page().isClosed()) streams.delete(stream);
            await until(() => streams.size === 1, `${streams.size} streams after a tab was closed`);
            await note(`After ${closed + 1}`, `after-closing-${closed}`);
            await allShow(`After ${closed + 1}`);
        }
    });
    await check('hidden tabs hold none, and read themselves again when they are seen', async () => {
        const hide = hidden =>
            Promise.all(
                tabs.map(tab =>
                    tab.evaluate(is => {
                        Object.defineProperty(document, 'hidden', {value: is, configurable: true});
                        document.dispatchEvent(new Event('visibilitychange'));
                    }, hidden),
                ),
            );
        await hide(true);
        await until(() => streams.size === 0, `${streams.size} streams of hidden tabs`);
        await note('While hidden', 'while-hidden-1');
        await hide(false);
        await allShow('While hidden');
        await until(() => streams.size === 1, `${streams.size} streams`);
    });
    await check('nothing was thrown', async () => same(faults, [], 'faults'));
});
