// One surface to be lettered, as a person enters it: its size or drawing, where the front is, its artwork.

import {choice, field, h} from './dom.js';
import {asYaml} from './job-form.js';
import {watched} from './progress.js';
import {Upload} from './upload.js';
import {quoted} from './words.js';

const FRONTS = [
    ['left', 'left'],
    ['right', 'right'],
    ['up', 'up (seen from above)'],
    ['down', 'down (seen from above)'],
    ['away', 'away (this is the rear)'],
    ['towards', 'towards you (front face)'],
];
const PLACINGS = [
    ['bleed', 'fill outline and bleed'],
    ['outline', 'fill the outline'],
    ['scale', 'own size, at its scale'],
];

/** The YAML of one artwork. @param {string} file @param {string} placing @param {string} scale */
export const artworkYaml = (file, placing, scale) =>
    placing === 'scale'
        ? `{file: ${quoted(file)}, scale: ${asYaml(scale || '1')}}`
        : `{file: ${quoted(file)}, fit: ${placing}}`;

/** A surface's YAML with its artwork in it. @param {string} surface @param {string} artwork */
export const withArtwork = (surface, artwork) => `${surface.slice(0, -1)}, artwork: [${artwork}]}`;

/** File, placing and scale of an artwork. */
export class ArtworkFields {
    /** Where the file that was sent lies in the job folder; empty: none was. */
    #sent = '';

    constructor() {
        this.file = h('input', {type: 'file', accept: '.pdf,.tif,.tiff,.jpg,.jpeg,.png'});
        this.placing = choice('placing', /** @type {[string, string][]} */ (PLACINGS));
        this.scale = h('input', {name: 'scale', inputmode: 'decimal', value: '10'});
        const scaleField = field('Drawn at 1 to', this.scale);
        const update = () => (scaleField.hidden = this.placing.value !== 'scale');
        this.placing.addEventListener('change', update);
        update();
        this.progress = h('div', {role: 'status'});
        this.elements = [
            field('Artwork', this.file, 'PDF, TIFF, JPEG or PNG, at most 2 GB.'),
            field('Placed to', this.placing),
            scaleField,
        ];
    }

    /** Sends the file; its YAML, or null when none was picked. @param {string} job */
    async send(job) {
        const file = this.file.files?.[0];
        if (!file) return null;
        this.#sent = (await watched(this.progress, new Upload(job, file))).file;
        this.file.value = '';
        return this.yaml;
    }

    /** Of the file that was sent last, with what the fields say now; null when none was. */
    get yaml() {
        return this.#sent ? artworkYaml(this.#sent, this.placing.value, this.scale.value.trim()) : null;
    }
}

export class SurfaceRow {
    /** The drawing that was sent, and where it lies. @type {{file: File, path: string} | null} */
    #sent = null;

    /** @param {string} name suggested @param {import('./words.js').Units} units @param {(row: SurfaceRow) => void} remove */
    constructor(name, units, remove) {
        this.units = units;
        this.name = h('input', {required: true, value: name, maxlength: 60, pattern: '[A-Za-z0-9 _\\-]+'});
        this.width = h('input', {inputmode: 'decimal', placeholder: units.inches ? '212 in or 17.7 ft' : '5400 mm or 5.4 m'});
        this.height = h('input', {inputmode: 'decimal', placeholder: units.inches ? '75 in' : '1900 mm'});
        this.drawing = h('input', {type: 'file', accept: '.svg'});
        this.scale = h('input', {inputmode: 'decimal', value: '10'});
        this.front = choice(
            'front',
            /** @type {[string, string][]} */ (FRONTS),
            name === 'right' ? 'right' : name === 'rear' ? 'away' : 'left',
        );
        this.artwork = new ArtworkFields();
        this.drawingProgress = h('div', {role: 'status'});
        this.element = h(
            'fieldset',
            {class: 'surface-row'},
            h('legend', null, 'Surface'),
            h(
                'div',
                {class: 'fields'},
                field('Name', this.name),
                field(units.inches ? 'Width, in' : 'Width', this.width),
                field(units.inches ? 'Height, in' : 'Height', this.height),
                field('Vehicle\u2019s front is', this.front),
                this.artwork.elements,
            ),
            h(
                'details',
                null,
                h('summary', null, 'It has a drawing instead of a size'),
                h(
                    'div',
                    {class: 'fields'},
                    field(
                        'Drawing',
                        this.drawing,
                        'SVG; the shape of class `outline` is the surface, `opening`, `gap`, `handle` ... its features.',
                    ),
                    field('Drawn at 1 to', this.scale),
                ),
                this.drawingProgress,
            ),
            this.artwork.progress,
            h(
                'button',
                {type: 'button', class: 'quiet', onclick: () => remove(this)},
                'Take this surface off',
            ),
        );
    }

    get hasShape() {
        return Boolean(this.drawing.files?.length || (this.width.value.trim() && this.height.value.trim()));
    }

    /** The surface's YAML without artwork, its drawing sent. @param {string} job */
    async yaml(job) {
        const drawing = this.drawing.files?.[0];
        if (drawing && this.#sent?.file !== drawing)
            this.#sent = {
                file: drawing,
                path: (await watched(this.drawingProgress, new Upload(job, drawing))).file,
            };
        const shape = drawing
            ? `drawing: {file: ${quoted(this.#sent.path)}, scale: ${asYaml(this.scale.value.trim() || '1')}}`
            : `size: [${asYaml(this.units.withUnit(this.width.value))}, ${asYaml(this.units.withUnit(this.height.value))}]`;
        return `{name: ${quoted(this.name.value.trim())}, ${shape}, front: ${this.front.value}}`;
    }
}
