// A gigabyte of artwork: it is streamed with progress, goes on after the network was away, can be stopped, and more
// than the limit is refused before a byte is sent.

import {closeSync, ftruncateSync, openSync, statSync, writeSync} from 'node:fs';
import {join} from 'node:path';
import {browser, check, folder, hold, job, same, serve, shop, tests} from './support.mjs';

const JOB = `job: UP-1
title: A large picture
shop: ../shop.yaml
condition: van-cast
surfaces:
  - {name: left, size: [5000, 2000]}
`;

/** One field of a TIFF directory (TIFF 6.0, section 2): tag, type 4 (LONG) or 3 (SHORT), one value. */
function tiffField(tag, type, value) {
    const bytes = Buffer.alloc(12);
    bytes.writeUInt16LE(tag, 0);
    bytes.writeUInt16LE(type, 2);
    bytes.writeUInt32LE(1, 4);
    bytes.writeUInt32LE(value, 8);
    return bytes;
}

/**
 * A TIFF of one grey strip, white, of `side` times `side` pixels; sparse on disk.
 * @param {string} path
 * @param {number} side
 */
function tiff(path, side) {
    const fields = [
        [256, 4, side],
        [257, 4, side],
        [258, 3, 8],
        [259, 3, 1],
        [262, 3, 0],
        [273, 4, 4096],
        [277, 3, 1],
        [278, 4, side],
        [279, 4, side * side],
    ];
    const head = Buffer.alloc(10);
    head.write('II*\0');
    head.writeUInt32LE(8, 4);
    head.writeUInt16LE(fields.length, 8);
    const file = openSync(path, 'w');
    writeSync(file, Buffer.concat([head, ...fields.map(one => tiffField(...one)), Buffer.alloc(4)]));
    ftruncateSync(file, 4096 + side * side);
    closeSync(file);
    return path;
}

await tests(async () => {
    const path = await shop({van: false}),
        files = folder('files'),
        {address} = await serve(path);
    job(path, 'up-1', JOB);
    const {page, context, faults} = await browser();
    const send = async file => {
        await page.locator('#setup input[type=file]').first().setInputFiles(file);
        await page.getByRole('button', {name: 'Add the artwork'}).click();
    };
    await page.goto(`${address}/jobs/UP-1`);

    await check('1 GB arrives whole, with progress, though the network goes away in the middle', async () => {
        const file = tiff(join(files, 'large.tif'), 32768),
            from = Date.now();
        await send(file);
        await page.waitForFunction(
            () => (document.querySelector('#setup progress')?.value ?? 0) > 0.1,
            null,
            {timeout: 60000},
        );
        await context.setOffline(true);
        await page.getByText('Then this goes on').waitFor({timeout: 30000});
        await context.setOffline(false);
        await page.getByText('large.tif is there').waitFor({timeout: 180000});
        console.log(`# 1 GB in ${((Date.now() - from) / 1000).toFixed(1)} s, a break in between`);
        same(statSync(join(path, 'up-1/art/large.tif')).size, statSync(file).size, 'bytes');
    });
    await check('it can be stopped; then nothing is there', async () => {
        await send(tiff(join(files, 'stopped.tif'), 20000));
        await page.locator('#setup .progress').getByRole('button', {name: 'Stop'}).click();
        await page.getByText('stopped, nothing was kept').waitFor();
        hold(
            !statSync(join(path, 'up-1/art/stopped.tif'), {throwIfNoEntry: false}),
            'the stopped file is in the job folder',
        );
    });
    await check('more than 2 GB is refused with a sentence, at once', async () => {
        await send(tiff(join(files, 'huge.tif'), 47000));
        await page
            .getByText(/at most 2/)
            .last()
            .waitFor({timeout: 5000});
    });
    await check('nothing was thrown', async () => same(faults, [], 'faults'));
});
