// Everything at the desk without a mouse: from the first Tab to a kept seam; the focus can be seen and is never lost.

import {browser, check, hold, same, serve, settled, shop, tests} from './support.mjs';

/** What has the focus, said short. @param {import('playwright-core').Page} page */
const focused = page =>
    page.evaluate(() => {
        const {activeElement: at} = document;
        return at && at !== document.body
            ? `${at.tagName.toLowerCase()} ${at.getAttribute('data-focus') ?? at.textContent?.trim().slice(0, 40)}`
            : 'nothing';
    });

/**
 * Presses Tab until something has the focus.
 * @param {import('playwright-core').Page} page
 * @param {RegExp} what
 */
async function tabTo(page, what) {
    const seen = [];
    for (let i = 0; i < 120; i++) {
        await page.keyboard.press('Tab');
        seen.push(await focused(page));
        if (what.test(seen[seen.length - 1])) return;
    }
    throw new Error(`Tab did not reach ${what}; it went over ${seen.join(' | ')}`);
}

await tests(async () => {
    const path = await shop(),
        {address} = await serve(path);
    await settled(address, 'LV-2031');
    const {page, faults} = await browser();

    await check('the first Tab offers to skip the views', async () => {
        await page.goto(address);
        await page.getByRole('heading', {name: 'What is ready'}).waitFor();
        await page.keyboard.press('Tab');
        hold(/Go to the content/.test(await focused(page)), `the first Tab goes to ${await focused(page)}`);
    });
    await check('from what is ready to the job, by Enter', async () => {
        await page.goto(`${address}/jobs`);
        await page.getByRole('table').waitFor();
        await tabTo(page, /LV-2031/);
        await page.keyboard.press('Enter');
        await page.locator('.seam').first().waitFor();
        same(
            await page.evaluate(() => document.activeElement?.id),
            'main',
            'the focus after the view changed',
        );
    });
    await check('a seam is reached, moved, kept and undone', async () => {
        await tabTo(page, /seam-left-0/);
        const seam = page.locator('[data-focus="seam-left-0"]'),
            from = Number(await seam.getAttribute('aria-valuenow'));
        await page.keyboard.press('Shift+ArrowLeft');
        await page.locator('.chosen-place button.main:not([disabled])').waitFor();
        same(await focused(page), 'g seam-left-0', 'the focus while it moves');
        same(Number(await seam.getAttribute('aria-valuenow')), from - 10, 'the seam');
        await tabTo(page, /keep$/);
        await page.keyboard.press('Enter');
        await page.getByText('Seams of left are kept').waitFor();
    });
    await check('a finding is chosen, and its place is shown', async () => {
        await tabTo(page, /finding-/);
        await page.keyboard.press('Enter');
        await page.locator('.finding.chosen').waitFor();
        hold(/finding-/.test(await focused(page)), `the focus is on ${await focused(page)}`);
    });
    await check('whatever has the focus shows it', async () => {
        for (let i = 0; i < 15; i++) {
            await page.keyboard.press('Tab');
            const outline = await page.evaluate(() => {
                const at = document.activeElement,
                    style = getComputedStyle(at);
                return at.classList.contains('seam') || parseFloat(style.outlineWidth) >= 2;
            });
            hold(outline, `${await focused(page)} does not show that it has the focus`);
        }
    });
    await check('nothing was thrown', async () => same(faults, [], 'faults'));
});
