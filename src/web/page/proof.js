// The proof of a job: what the customer approves, shown and signed at the counter, or recorded as it came by mail.

import {get, jobAddress, send} from './api.js';
import {openDialog} from './dialog.js';
import {choice, field, fill, h} from './dom.js';
import {mark} from './severity.js';
import {Signature} from './signature.js';
import {number, percent, plural} from './words.js';

const HOW = {mail: 'by mail', signature: 'by signature', counter: 'at the counter'};

/** "ABCD EFGH", which is read out without a slip. @param {string} letters */
const apart = letters => `${letters.slice(0, 4)}\u00a0${letters.slice(4)}`;

/**
 * The proof that was made last, and the last approval on record.
 * @param {import('./job-model.js').JobModel} model
 */
export async function loadProof(model) {
    const file = (model.data.files ?? []).find(one => one.name === 'proof.json');
    const [proof, {facts}] = await Promise.all([file ? get(file.address) : null, get(jobAddress(model.job, 'facts'))]);
    return {proof, approval: facts.find(fact => fact.kind === 'approved' && !fact.withdrawn) ?? null};
}

/** @param {any} proof @param {any} approval */
function standing(proof, approval) {
    if (!approval) return mark('note', 'Not approved yet');
    const words = `${approval.letters} approved by ${approval.who}, ${HOW[approval.how]}, ${approval.at.words}`;
    return approval.letters === proof?.letters ? words : mark('warn', `${words}: this is another proof`);
}

/** @param {any} view the job view @param {{proof: any, approval: any}} shown */
export function drawProof(view, {proof, approval}) {
    const {model, places} = view,
        file = (model.data.files ?? []).find(one => one.name === 'proof.pdf');
    const ask = open => open(view, proof);
    fill(
        places.proof,
        proof
            ? [
                  h('p', {class: 'letters'}, apart(proof.letters)),
                  h('p', null, `Version ${proof.version}. `, standing(proof, approval)),
              ]
            : h('p', {class: 'quiet-words'}, 'The proof shows the customer every surface, all lettering and the colours. It is known by eight letters.'),
        h(
            'p',
            {class: 'actions'},
            model.mayChange &&
                h('button', {'data-focus': 'proof', onclick: () => view.act('proof')}, proof ? 'Make the proof again' : 'Make the proof'),
            file && h('a', {class: 'button', href: file.address, download: true}, 'Fetch proof.pdf'),
            model.mayChange && proof && h('button', {'data-focus': 'sign', onclick: () => ask(signAtCounter)}, 'Sign at the counter'),
            model.mayChange && proof && h('button', {'data-focus': 'by-mail', onclick: () => ask(recordApproval)}, 'Record an approval'),
        ),
    );
}

/* ---- what the customer reads ---- */

/** @param {any} surface of proof.json */
function surfaceWords(surface) {
    const read = surface.lettering.filter(one => one.words).map(one => h('li', null, one.words)),
        drawn = surface.lettering.length - read.length;
    const inks = colour => colour.cmyk_percent.map((value, i) => `${'CMYK'[i]}\u00a0${number(value, 0)}`).join(' ');
    return [
        h('h4', null, 'Lettering: check the spelling'),
        read.length > 0 && h('ul', null, read),
        drawn > 0 && h('p', null, `${plural(drawn, 'line')} drawn as shapes: compare by eye.`),
        !surface.lettering.length && h('p', null, 'No lettering was found in the files; compare pictures by eye.'),
        surface.colours.length > 0 && [
            h('h4', null, 'Colours by their numbers'),
            h('ul', null, surface.colours.map(colour => h('li', null, `${inks(colour)} (${percent(colour.share_percent, 1)})`))),
        ],
        surface.spots.length > 0 && h('p', null, `Spot colours: ${surface.spots.join(', ')}`),
        surface.not_covered.length > 0 && [
            h('h4', null, 'Not covered'),
            h('ul', null, surface.not_covered.map(one => h('li', null, `${one.name}: ${one.why}`))),
        ],
    ];
}

/** @param {import('./job-model.js').JobModel} model @param {any} proof */
const surfacesOf = (model, proof) =>
    proof.surfaces.map(surface => {
        const preview = model.data.surfaces?.find(one => one.name === surface.name)?.preview;
        return h(
            'section',
            {class: 'proof-surface'},
            h('h3', null, `${surface.name}, ${number(surface.width_mm, 0)} x ${number(surface.height_mm, 0)}\u00a0mm`),
            preview && h('img', {src: preview, alt: `The artwork of ${surface.name}`}),
            surface.artwork ? surfaceWords(surface) : h('p', null, 'No artwork: nothing is printed here.'),
        );
    });

/* ---- putting on record ---- */

/**
 * A dialog whose form puts an approval on record.
 * @param {any} view @param {{heading: string, body: import('./dom.js').Child, button: string}} shown
 * @param {(form: HTMLFormElement) => Promise<Record<string, string>>} fieldsOf
 */
function approvalDialog(view, shown, fieldsOf) {
    openDialog({...shown, leave: 'Close'}, async form => {
        const fields = await fieldsOf(form);
        const {kept} = await view.shared.outbox.record(view.model.job, {kind: 'approved', ...fields}, `approval of ${fields.letters}`);
        return () => {
            view.shared.notices.settle();
            if (kept) return view.shared.notices.say(`${kept} This is kept on this device and sent later.`, 'warn');
            return view.refresh();
        };
    });
}

const nameField = () => field('Name of who approves', h('input', {name: 'approver', required: true, maxlength: 64, autocomplete: 'off'}));

/** @param {HTMLFormElement} form */
const approver = form => /** @type {HTMLInputElement} */ (form.elements.namedItem('approver')).value.trim();

/** @param {any} view @param {Blob | null | undefined} picture */
async function keptPicture(view, picture) {
    if (!picture) return {};
    const {photo} = await send('POST', jobAddress(view.model.job, 'photo'), picture);
    return {photo};
}

/** @param {any} view @param {any} proof */
function signAtCounter(view, proof) {
    const signature = new Signature();
    const body = [
        h('p', {class: 'letters'}, apart(proof.letters)),
        h('p', null, 'A screen does not show the colours as they are printed: their numbers count, or a print on the same film.'),
        surfacesOf(view.model, proof),
        nameField(),
        signature.element,
    ];
    approvalDialog(view, {heading: `Proof of ${view.model.job}, version ${proof.version}`, body, button: 'Approve'}, async form => ({
        letters: proof.letters,
        how: 'counter',
        who: approver(form),
        ...(await keptPicture(view, await signature.picture())),
    }));
}

/** @param {any} view @param {any} proof */
function recordApproval(view, proof) {
    const letters = h('input', {name: 'letters', required: true, maxlength: 12, value: proof.letters, autocomplete: 'off'}),
        how = choice('how', [['mail', 'by mail'], ['signature', 'by signature on paper']]),
        scan = h('input', {type: 'file', name: 'scan', accept: 'image/jpeg,image/png'});
    const body = [
        h('p', null, 'Compare the letters with those that the customer quotes.'),
        field('Letters', letters),
        field('How it was approved', how),
        nameField(),
        field('Scan or picture of it', scan),
    ];
    approvalDialog(view, {heading: `Approval of ${view.model.job}`, body, button: 'Record the approval'}, async form => ({
        letters: letters.value.trim(),
        how: how.value,
        who: approver(form),
        ...(await keptPicture(view, scan.files?.[0])),
    }));
}
