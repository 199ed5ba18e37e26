// A seam is dragged and moved with keys; what follows is the planner's answer; it can be put back, kept and undone.

import {readFileSync} from 'node:fs';
import {join} from 'node:path';
import {browser, check, hold, same, serve, settled, shop, tests, until} from './support.mjs';

const seam = page => page.locator('[data-focus="seam-left-0"]');
const at = async page => {
    await page.evaluate(
        () => new Promise(drawn => requestAnimationFrame(() => requestAnimationFrame(drawn))),
    );
    return Number(await seam(page).getAttribute('aria-valuenow'));
};
/** The middle of its grip; asked for in one go, as the picture is drawn anew at every change. */
const grip = page =>
    page.evaluate(() => {
        const {x, y, width, height} = document
            .querySelector('[data-focus="seam-left-0"] .grip')
            .getBoundingClientRect();
        return [x + width / 2, y + height / 2];
    });
/** The planner has answered about the seams as they stand. */
const answered = page => page.locator('.chosen-place button.main:not([disabled])').waitFor();

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path),
        before = await settled(address, 'LV-2031');
    const {page, faults} = await browser();
    await page.goto(`${address}/jobs/LV-2031`);
    await seam(page).waitFor();
    const start = await at(page);

    await check(
        'a dragged seam follows the pointer, and the planner says widths, price and findings',
        async () => {
            const [x, y] = await grip(page);
            const scale = await page.locator('[data-surface=left]').evaluate(frame => frame.getScreenCTM().a);
            await page.mouse.move(x, y);
            await page.mouse.down();
            for (let step = 1; step <= 10; step++) await page.mouse.move(x + step * 0.5, y);
            await page.mouse.up();
            await answered(page);
            const moved = await at(page);
            hold(
                Math.abs(moved - (start + 5 / scale)) <= 2,
                `dragged 5 pixels of ${1 / scale} mm from ${start}: stands at ${moved}`,
            );
            const asked = await (
                await fetch(`${address}/api/jobs/LV-2031/try`, {
                    method: 'POST',
                    headers: {'X-Lapstrake': 'page', Origin: address},
                    body: new URLSearchParams({
                        surface: 'left',
                        seams: [
                            moved,
                            ...before.plan.surfaces[0].seams.slice(1).map(one => one.at_mm),
                        ].join(),
                    }),
                })
            ).json();
            const head = async () => (await page.locator('.job-head').innerText()).replace(/\u00a0/g, ' ');
            hold(asked.price !== null, 'the planner says no price');
            // The answer to the last step of the drag may still be on its way.
            await until(
                async () => (await head()).includes(asked.price.replace(/\u00a0/g, ' ')),
                `the head does not show the planner's price ${asked.price}`,
            );
        },
    );
    await check('arrow keys move it by 1 mm, with shift by 10 mm', async () => {
        const from = await at(page);
        await seam(page).focus();
        await page.keyboard.press('ArrowRight');
        await page.keyboard.press('ArrowRight');
        await page.keyboard.press('ArrowLeft');
        same(await at(page), from + 1, 'right, right, left');
        await page.keyboard.press('Shift+ArrowLeft');
        same(await at(page), from - 9, 'and ten back');
    });
    await check('where no film reaches across, that is said, and the seam stays in the hand', async () => {
        const [x, y] = await grip(page);
        await page.mouse.move(x, y);
        await page.mouse.down();
        await page.mouse.move(x + 90, y, {steps: 10});
        await page.locator('.chosen-place .mark.stop', {hasText: 'cannot be made like this'}).waitFor();
        await page.locator('#findings .finding.stop').first().waitFor();
        await page.mouse.move(x, y, {steps: 10});
        await page.mouse.up();
        await answered(page);
    });
    await check('it snaps into a door gap that is near', async () => {
        await answered(page);
        const [x, y] = await grip(page),
            frame = page.locator('[data-surface=left]');
        const gap = await frame.evaluate(
            node => new DOMPoint(1800, 0).matrixTransform(node.getScreenCTM()).x,
        );
        await page.mouse.move(x, y);
        await page.mouse.down();
        await page.mouse.move(gap + 4, y, {steps: 6});
        await page.mouse.up();
        same(await at(page), 1800, 'four pixels beside the gap at 1800 mm');
    });
    await check('Escape puts it back', async () => {
        await seam(page).focus();
        await page.keyboard.press('Escape');
        same(await at(page), start, 'after Escape');
    });
    await check('kept seams are in job.yaml, its comments too, and undo takes them out', async () => {
        const file = join(path, 'library-van/job.yaml'),
            written = readFileSync(file, 'utf8');
        await seam(page).focus();
        await page.keyboard.press('Shift+ArrowLeft');
        await answered(page);
        await page.getByRole('button', {name: 'Keep', exact: true}).click();
        await page.getByText('Seams of left are kept').waitFor();
        const kept = readFileSync(file, 'utf8');
        hold(
            new RegExp(`seams: \\[${start - 10},`).test(kept),
            `job.yaml does not say seams: [${start - 10}, ...`,
        );
        for (const comment of written.match(/#.*$/gm))
            hold(kept.includes(comment), `the comment "${comment}" is gone`);
        await page.locator('.notice').getByRole('button', {name: 'Undo'}).click();
        await page.getByText('The last change to job.yaml is undone.').waitFor();
        same(readFileSync(file, 'utf8'), written, 'job.yaml after undo');
    });
    await check('nothing was thrown, and the policy kept nothing out', async () =>
        same(faults, [], 'faults'),
    );
});
