// Adding a surface, or artwork to a surface that is there.

import {field, fill, h} from './dom.js';
import {surfaceChange} from './job-model.js';
import {mark} from './severity.js';
import {ArtworkFields, SurfaceRow, withArtwork} from './surface-row.js';

/** @typedef {import('./job-model.js').JobModel} JobModel */

export class SetupForm {
    /** @param {HTMLElement} container @param {JobModel} model @param {import('./words.js').Units} units @param {import('./features.js').Save} save */
    constructor(container, model, units, save) {
        this.container = container;
        this.model = model;
        this.units = units;
        this.save = save;
        this.artwork = new ArtworkFields();
        this.surface = h('select', {name: 'surface'});
        this.said = h('div', {role: 'alert'});
        this.add = h('div', null, h('button', {onclick: () => this.#openSurface()}, 'Add a surface'));
        this.artworkForm = h(
            'form',
            {onsubmit: event => (event.preventDefault(), this.#guarded(() => this.#sendArtwork()))},
            h('div', {class: 'fields'}, field('Surface', this.surface), this.artwork.elements),
            this.artwork.progress,
            h('button', {class: 'main'}, 'Add the artwork'),
        );
        fill(container, this.artworkForm, this.said, this.add);
    }

    draw() {
        const names = this.model.surfaceNames;
        this.artworkForm.hidden = !names.length;
        if ([...this.surface.options].map(option => option.value).join() !== names.join())
            fill(
                this.surface,
                names.map(name => h('option', {value: name}, name)),
            );
    }

    /** Says what went wrong; what was typed stays. @param {() => Promise<void>} act */
    async #guarded(act) {
        fill(this.said);
        try {
            await act();
        } catch (trouble) {
            if (/** @type {Error} */ (trouble).name !== 'AbortError')
                fill(this.said, mark('stop', /** @type {Error} */ (trouble).message));
        }
    }

    async #sendArtwork() {
        const yaml = await this.artwork.send(this.model.job),
            name = this.surface.value,
            tree = this.model.written;
        if (!yaml) return fill(this.said, mark('warn', 'Pick a file first.'));
        const there = tree.surfaces?.find?.(one => one.name === name)?.artwork;
        const change = Array.isArray(there)
            ? [`surfaces.${name}.artwork.+`, yaml]
            : surfaceChange(tree, name, 'artwork', `[${yaml}]`);
        await this.save(
            [/** @type {[string, string]} */ (change)],
            `${name} has new artwork, over what was there`,
        );
    }

    #openSurface() {
        const close = () =>
            fill(this.add, h('button', {onclick: () => this.#openSurface()}, 'Add a surface'));
        const row = new SurfaceRow('surface', this.units, close);
        const send = async () => {
            const yaml = await row.yaml(this.model.job),
                tree = this.model.written,
                artwork = await row.artwork.send(this.model.job);
            const whole = artwork ? withArtwork(yaml, artwork) : yaml;
            if (
                await this.save(
                    [Array.isArray(tree.surfaces) ? ['surfaces.+', whole] : ['surfaces', `[${whole}]`]],
                    `${row.name.value} is added`,
                )
            )
                close();
        };
        fill(
            this.add,
            h(
                'form',
                {onsubmit: event => (event.preventDefault(), this.#guarded(send))},
                row.element,
                h('button', {class: 'main'}, 'Add it'),
            ),
        );
    }
}
