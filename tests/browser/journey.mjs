// A job from new to the final report, as a person would go: typed, uploaded, planned, made, printed, hung, laminated,
// installed, handed over on paper.

import {execFileSync} from 'node:child_process';
import {readFileSync, writeFileSync} from 'node:fs';
import {join} from 'node:path';
import {artwork, browser, check, folder, hold, same, serve, settled, shop, tests} from './support.mjs';

await tests(async () => {
    const path = await shop({van: false}),
        art = artwork(folder('art')),
        {address} = await serve(path);
    const {page, faults} = await browser();
    const job = async () => (await fetch(`${address}/api/jobs/NJ-7`)).json();

    await check('an empty shop says what to do first', async () => {
        await page.goto(address);
        await page.getByRole('link', {name: 'Make the first job'}).click();
        await page.getByRole('heading', {name: 'New job'}).waitFor();
    });
    await check('a new job is typed, its artwork sent, and it is planned', async () => {
        await page.getByLabel('Number').fill('NJ-7');
        await page.getByLabel('Title').fill('Garden library');
        await page.getByLabel('Condition').selectOption('van-cast');
        await page.getByLabel('Name', {exact: true}).fill('left');
        await page.getByLabel('Width').fill('5.6 m');
        await page.getByLabel('Height').fill('2000 mm');
        await page.getByLabel('Artwork').setInputFiles(join(art, 'left.pdf'));
        await page.getByRole('button', {name: 'Make the job and plan it'}).click();
        await page.waitForURL(`${address}/jobs/NJ-7`);
        await page.locator('.seam').first().waitFor({timeout: 600000});
    });
    await check('a feature is drawn by pointing, and a seam keeps away from it', async () => {
        await page.getByRole('button', {name: 'Draw a feature'}).click();
        await page.getByLabel('What it is').selectOption('keep-clear');
        await page.locator('.picture-place').scrollIntoViewIfNeeded();
        const [from, to] = await page.locator('[data-surface=left]').evaluate(frame =>
            [
                [300, 500],
                [700, 900],
            ].map(([x, y]) => {
                const point = new DOMPoint(x, y).matrixTransform(frame.getScreenCTM());
                return [point.x, point.y];
            }),
        );
        await page.mouse.move(from[0], from[1]);
        await page.mouse.down();
        await page.mouse.move(to[0], to[1], {steps: 5});
        await page.mouse.up();
        const width = Number(await page.locator('#features').getByLabel('width', {exact: true}).inputValue());
        hold(Math.abs(width - 400) < 15, `drawn from 300 to 700 mm, and the width is ${width}`);
        await page.getByRole('button', {name: 'Add it'}).click();
        await page.getByText('keep-clear on left is added').waitFor();
        const {surfaces, plan} = await settled(address, 'NJ-7');
        same(
            surfaces[0].features.map(one => one.kind),
            ['keep-clear'],
            'features',
        );
        hold(
            plan.surfaces[0].seams.every(seam => seam.at_mm <= 300 || seam.at_mm >= 700),
            'a seam crosses it',
        );
        await page.getByRole('button', {name: 'Done drawing'}).click();
    });
    await check('the command line reads the folder as the page wrote it', async () => {
        const done = JSON.parse(
            execFileSync(process.argv[3], ['check', join(path, 'NJ-7'), '--json'], {encoding: 'utf8'}),
        );
        hold(!JSON.stringify(done).includes('"severity": "stop"'), 'check finds a stop');
        hold(
            readFileSync(join(path, 'NJ-7/job.yaml'), 'utf8').includes('Garden library'),
            'no title in job.yaml',
        );
    });
    await check('the form says everything else, and refuses what cannot be with a sentence', async () => {
        const overlap = page.locator('#form input[name=overlap]');
        await overlap.fill('900 mm');
        await page.getByRole('button', {name: 'Save what was changed'}).click();
        await page.locator('.notice .mark.stop').waitFor();
        same(await overlap.inputValue(), '900 mm', 'what was typed');
        await overlap.fill('15 mm');
        await page.getByRole('button', {name: 'Save what was changed'}).click();
        await page.getByText('job.yaml is saved').waitFor();
        hold(
            /overlap: 15 mm/.test(readFileSync(join(path, 'NJ-7/job.yaml'), 'utf8')),
            'job.yaml does not say overlap: 15 mm',
        );
    });
    await check('panels are made, and can be fetched', async () => {
        await page.getByRole('button', {name: /^Make panels/}).click({timeout: 600000});
        const file = page.locator('#files a').filter({hasText: 'sheet.pdf'});
        await file.waitFor({timeout: 600000});
        const answer = await fetch(address + (await file.getAttribute('href')));
        same((await answer.text()).slice(0, 5), '%PDF-', 'the job sheet begins with');
    });
    await check('every panel is taken through all its steps', async () => {
        const {panels} = await settled(address, 'NJ-7');
        for (const {panel} of panels) {
            await page.goto(`${address}/P/NJ-7/${panel}`);
            for (
                let steps = 0;
                steps < 8 && (await page.getByRole('heading', {name: /^Next/}).count());
                steps++
            )
                await step(page);
        }
        const states = (await job()).panels.map(one => one.state);
        hold(
            states.every(state => state.installed),
            `not all are installed: ${JSON.stringify(states)}`,
        );
    });
    await check('the report is one PDF', async () => {
        const answer = await fetch(`${address}/jobs/NJ-7/report.pdf`);
        const bytes = Buffer.from(await answer.arrayBuffer());
        same(bytes.subarray(0, 5).toString(), '%PDF-', 'the report begins with');
        const file = join(path, 'report.pdf');
        writeFileSync(file, bytes);
        const words = execFileSync('pdftotext', ['-layout', file, '-'], {encoding: 'utf8'});
        for (const part of ['NJ-7', 'Garden library', 'left-1'])
            hold(words.includes(part), `the report does not say ${part}`);
    });
    await check('nothing was thrown, and the policy kept nothing out', async () =>
        same(faults, [], 'faults'),
    );
});

/**
 * The next step of the panel on the page, with a reason where a gate is shut.
 * @param {import('playwright-core').Page} page
 */
async function step(page) {
    const before = await page.getByRole('heading', {name: /^Next/}).innerText();
    const early = page.getByText('Done anyway'),
        done = page.getByRole('button', {name: /^Done/});
    if ((await early.count()) && !(await done.isVisible())) await early.click(); // it may stand open from before
    await done.click();
    const refused = page.getByRole('heading', {name: 'Not recorded'});
    await page.waitForFunction(
        was =>
            document.querySelector('.refusal') ||
            document.getElementById('next-heading')?.textContent?.trim() !== was,
        before.trim(),
    );
    if (!(await refused.count())) return;
    await page.getByLabel('Why it is done anyway').fill('Tried in a test');
    await page.getByRole('button', {name: 'Record it with this reason'}).click();
    await page.waitForFunction(
        was => document.getElementById('next-heading')?.textContent?.trim() !== was,
        before.trim(),
    );
}
