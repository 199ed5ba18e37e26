// Entries from the page: each has its own key, who and when; for ten seconds its button says Undo; what was typed and
// chosen stays while others work.

import {execFileSync} from 'node:child_process';
import {readFileSync} from 'node:fs';
import {join} from 'node:path';
import {browser, check, hold, PHONE, same, send, serve, settled, shop, tests, until} from './support.mjs';

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const {page, context, faults} = await browser({viewport: PHONE});
    const facts = async () =>
        (await (await fetch(`${address}/api/jobs/LV-2031/facts`)).json()).facts
            .filter(one => one.kind !== 'planned')
            .reverse();
    const standing = async () => (await facts()).filter(one => !one.withdrawn && one.kind !== 'withdrawn');
    const open = panel => page.goto(`${address}/P/LV-2031/${panel}`);
    const note = page.getByLabel('Note', {exact: true}),
        recordNote = page.getByRole('button', {name: 'Record the note'}),
        undo = page.getByRole('button', {name: /^Undo/});

    await check('two notes written without a network are two entries, each with its key', async () => {
        await open('left-1');
        await page.getByText('Write a note').click();
        await context.setOffline(true);
        for (const words of ['First without a network', 'Second without a network']) {
            await note.fill(words);
            await recordNote.click();
            await page.getByText(`Kept on this device and sent later`).first().waitFor();
            same(await note.inputValue(), '', 'the field after the entry was kept');
        }
        await page.getByText('2 entries kept to be sent').waitFor();
        await context.setOffline(false);
        await until(async () => (await facts()).length === 2, 'not both were sent');
        const sent = await facts();
        same(
            sent.map(one => one.words),
            ['First without a network', 'Second without a network'],
            'notes',
        );
        hold(sent[0].key !== sent[1].key, 'both have one key');
    });
    await check('without a network, Undo takes the entry out of what waits', async () => {
        await open('left-2');
        await context.setOffline(true);
        await page.getByRole('button', {name: /^Done/}).click();
        await page.getByText('1 entry kept to be sent').waitFor();
        await undo.click();
        await page.getByText('1 entry kept to be sent').waitFor({state: 'detached'});
        await context.setOffline(false);
        await page.getByText('The network is away').waitFor({state: 'detached'});
        await note.count();
        same((await facts()).length, 2, 'entries on record');
    });
    /** The server hears the first entry that is sent; its answer is lost. */
    const loseOne = () =>
        page.route(
            '**/facts',
            async route => {
                await route.fetch();
                await route.abort();
            },
            {times: 1},
        );
    await check('an entry whose answer was lost is kept, sent again and recorded once', async () => {
        await open('left-3');
        await page.getByText('Write a note').click();
        await loseOne();
        await note.fill('Its answer was lost');
        await recordNote.click();
        await page.getByText('1 entry kept to be sent').waitFor();
        await page.getByText('1 entry kept to be sent').waitFor({state: 'detached'});
        same((await facts()).filter(one => one.words === 'Its answer was lost').length, 1, 'entries');
    });
    await check('undone before it is known whether the server heard, it is found and withdrawn', async () => {
        await open('left-3');
        await page.getByText('Write a note').click();
        await loseOne();
        await note.fill('Heard and undone');
        await recordNote.click();
        await page.getByText('1 entry kept to be sent').waitFor();
        await undo.click();
        await until(
            async () => (await facts()).some(one => one.words === 'Heard and undone' && one.withdrawn),
            'it stands on the record',
        );
        same((await facts()).filter(one => one.kind === 'withdrawn').length, 1, 'withdrawals');
    });
    await check('for ten seconds an entry has an Undo, which withdraws it', async () => {
        const before = (await facts()).length;
        await page.getByRole('button', {name: /^Done/}).click();
        await undo.click();
        await page.getByText(/^Undone: /).waitFor();
        const [printed, withdrawn] = (await facts()).slice(before);
        same(
            [printed.kind, printed.withdrawn, withdrawn.kind, withdrawn.withdraws],
            ['printed', true, 'withdrawn', printed.number],
            'the entry and its withdrawal',
        );
        hold(/print/i.test(await page.getByRole('heading', {name: /^Next/}).innerText()), 'print is not next');
    });
    await check('Undo goes after ten seconds', async () => {
        await page.clock.install();
        await page.getByRole('button', {name: /^Done/}).click();
        await undo.waitFor();
        await page.clock.runFor(9000);
        same(await undo.count(), 1, 'Undo after nine seconds');
        await page.clock.runFor(3000);
        same(await undo.count(), 0, 'Undo after twelve seconds');
    });
    await check('all panels of a step are undone as one', async () => {
        await page.goto(address);
        const all = page.getByRole('button', {name: /^print: all \d+ done/}).first();
        const count = Number(/\d+/.exec(await all.innerText())[0]),
            before = (await standing()).length;
        await all.click();
        await undo.waitFor();
        same((await standing()).length, before + count, 'entries');
        await undo.click();
        await until(async () => (await standing()).length === before, 'not all were withdrawn');
    });
    await check('who is chosen once and remembered; when is now, or typed', async () => {
        await open('rear-1');
        await page.getByLabel('Who').first().fill('Night shift');
        await page.locator('.records .signed summary').first().click();
        await page.getByLabel('At another time').first().fill('2026-03-04T10:40');
        await page.getByRole('button', {name: /^Done/}).click();
        await undo.waitFor();
        await open('rear-2');
        same(await page.getByLabel('Who').first().inputValue(), 'Night shift', 'who on another panel');
        same(await page.getByLabel('At another time').first().inputValue(), '', 'when on another panel');
        await page.getByRole('button', {name: /^Done/}).click();
        await undo.waitFor();
        const [typed, now] = (await facts()).slice(-2);
        same([typed.who, now.who], ['Night shift', 'Night shift'], 'who');
        // The demo shop's zone is Europe/Lisbon, UTC in March before the clocks change (IANA time zone data).
        same(typed.at.s, Date.UTC(2026, 2, 4, 10, 40) / 1000, 'when it was done');
        hold(Math.abs(now.at.s - now.recorded.s) <= 5, 'what says no time is of another time');
    });
    await check('a chosen roll and typed words stay while others record', async () => {
        const shopFile = readFileSync(join(path, 'shop.yaml'), 'utf8');
        const film = /film: ([\w-]+)/.exec(shopFile)[1];
        for (const batch of ['A1', 'B2'])
            await send(address, '/api/stock', {
                what: 'film',
                of: film,
                batch,
                width_mm: '1370',
                length_mm: '50000',
                key: `roll-of-batch-${batch}`,
            });
        await open('right-1');
        await page.getByLabel('Roll', {exact: true}).selectOption('R2');
        await page.getByText('Write a note').click();
        await note.fill('Half a sentence');
        await send(address, '/api/jobs/LV-2031/facts', {
            kind: 'note',
            panels: 'right-1',
            words: 'From elsewhere',
            key: 'from-elsewhere-1',
        });
        await page.getByText('From elsewhere').waitFor();
        same(await page.getByLabel('Roll', {exact: true}).inputValue(), 'R2', 'the roll');
        same(await note.inputValue(), 'Half a sentence', 'the note');
    });
    await check('leaving with something typed asks', async () => {
        const asked = [];
        page.on('dialog', dialog => (asked.push(dialog.type()), dialog.dismiss()));
        await page.getByRole('link', {name: 'Ready'}).click();
        await until(() => asked.length === 1, 'it did not ask');
        hold(page.url().endsWith('/right-1'), `it went to ${page.url()}`);
        page.removeAllListeners('dialog');
        page.on('dialog', dialog => dialog.accept());
        await page.goto(`${address}/new`);
        await page.getByLabel('Title').fill('Half a title');
        page.removeAllListeners('dialog');
        page.once('dialog', dialog => (asked.push(dialog.type()), dialog.dismiss()));
        await page.getByRole('link', {name: 'Jobs', exact: true}).click();
        same(asked.length, 2, 'questions');
        same(await page.getByLabel('Title').inputValue(), 'Half a title', 'what was typed');
    });
    await check('on a new job, what is typed after a refusal counts', async () => {
        await page.getByLabel('Number').fill('NJ-11');
        await page.getByLabel('Width').fill('wide');
        await page.getByLabel('Height').fill('2 m');
        const make = page.getByRole('button', {name: 'Make the job and plan it'});
        await make.click();
        await page.getByText('The job NJ-11 is there').waitFor();
        await page.getByLabel('Title').fill('A whole title');
        await page.getByLabel('Vehicle', {exact: true}).fill('A second thought');
        await page.getByLabel('Width').fill('5,4 m');
        await make.click();
        await page.waitForURL(`${address}/jobs/NJ-11`);
        const yaml = readFileSync(join(path, 'NJ-11/job.yaml'), 'utf8');
        for (const words of ['A whole title', 'A second thought'])
            hold(yaml.includes(words), `job.yaml does not say ${words}: ${yaml}`);
    });
    await check('an off-cut is kept, and the roll has what is left', async () => {
        await page.goto(`${address}/stock`);
        await page.getByLabel('Cut from').selectOption('R2');
        await page.getByLabel('Width of the off-cut').fill('1370');
        await page.getByLabel('Length of the off-cut').fill('8000');
        await page.getByRole('button', {name: 'Keep it'}).click();
        const row = name => page.getByRole('row').filter({has: page.getByRole('rowheader', {name, exact: true})});
        await row('R3').getByText('off-cut of R2').waitFor();
        same(await row('R3').locator('[data-label="Batch"]').textContent(), 'B2', 'the batch of the off-cut');
        hold((await row('R2').locator('[data-label="Left"]').textContent()).startsWith('42'), 'the roll is not shorter');
    });
    await check("the job shows where it lies on the shop's rolls, and what to buy", async () => {
        await page.goto(`${address}/jobs/LV-2031`);
        await page.getByText('Not laid yet').waitFor();
        const lay = () => {
            try {
                execFileSync(process.argv[3], ['rolls', join(path, 'library-van'), '--quiet'], {stdio: 'ignore'});
                return true;
            } catch (trouble) {
                return trouble.status === 1; // 3: the server plans the job at this moment
            }
        };
        await until(lay, 'the rolls cannot be laid');
        await page.reload();
        await page.getByText(/^new 1: /).first().waitFor();
        await page.getByRole('heading', {name: 'To buy'}).waitFor();
        await until(
            () => page.locator('img.laid').first().evaluate(one => one.naturalWidth > 0),
            'the picture of the roll is not shown',
        );
    });
    await check('nothing was thrown', async () => same(faults, [], 'faults'));
});
