// Runs one test of the page in a browser, or says why it cannot be run here.
//
//     run.mjs NAME LAPSTRAKE MAKE_DEMO_ART MAKE_DEMO_PROFILE

import {existsSync} from 'node:fs';

// Server and page have the clock's time, and the jobs are dated by it.
delete process.env.SOURCE_DATE_EPOCH;

const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
const modules = await import('playwright-core').then(
    () => true,
    () => false,
);

if (!CHROMIUM) console.log('1..0 # SKIP there is no Chromium here');
else if (!modules)
    console.log('1..0 # SKIP playwright-core is not there: npm ci in tests/browser fetches it');
else await import(`./${process.argv[2]}.mjs`);
