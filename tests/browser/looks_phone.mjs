// The views on a phone's screen (looks.mjs).

import {looked} from './looks.mjs';
import {PHONE, tests} from './support.mjs';

await tests(() => looked(PHONE));
