// Where each surface stands in the picture: side by side to one scale, as large as the place allows.

/** @typedef {{name: string, width_mm: number, height_mm: number}} Sized */
/** @typedef {{x: number, y: number}} Place upper left corner of the surface, pixels */

/** Room around each surface, pixels: its heading above, seam handles below. */
export const HEAD = 30,
    FOOT = 34,
    SIDE = 16;

/**
 * Rows of surfaces, in order, none wider than `most_mm`.
 * @param {Sized[]} surfaces
 * @param {number} most_mm
 */
function rowsWithin(surfaces, most_mm) {
    /** @type {{surfaces: Sized[], width_mm: number, height_mm: number}[]} */
    const rows = [];
    for (const surface of surfaces) {
        const row = rows[rows.length - 1];
        if (row && row.width_mm + surface.width_mm <= most_mm) {
            row.surfaces.push(surface);
            row.width_mm += surface.width_mm;
            row.height_mm = Math.max(row.height_mm, surface.height_mm);
        } else {
            rows.push({surfaces: [surface], width_mm: surface.width_mm, height_mm: surface.height_mm});
        }
    }
    return rows;
}

/** Pixels a millimetre, so that these rows fit. */
function scaleOf(rows, width, height) {
    const across = Math.min(...rows.map(row => (width - SIDE * (row.surfaces.length + 1)) / row.width_mm));
    if (!height) return across;
    const tall = rows.reduce((sum, row) => sum + row.height_mm, 0);
    return Math.min(across, (height - rows.length * (HEAD + FOOT)) / tall);
}

/**
 * @param {Sized[]} surfaces @param {number} width of the place, pixels @param {number | null} height null: as needed
 * @returns {{scale: number, width: number, height: number, places: Map<string, Place>}} scale: pixels a millimetre
 */
export function layOut(surfaces, width, height) {
    let best = null;
    for (let from = 0; from < surfaces.length; from++)
        for (let to = from + 1, sum = 0; to <= surfaces.length; to++) {
            sum += surfaces[to - 1].width_mm;
            const rows = rowsWithin(surfaces, Math.max(sum, ...surfaces.map(surface => surface.width_mm)));
            const scale = scaleOf(rows, width, height);
            if (
                !best ||
                scale > best.scale + 1e-9 ||
                (scale > best.scale - 1e-9 && rows.length < best.rows.length)
            )
                best = {scale, rows};
        }
    const {scale, rows} = best ?? {scale: 0.1, rows: []};
    const places = new Map();
    let y = 0;
    for (const row of rows) {
        let x = (width - row.width_mm * scale - SIDE * (row.surfaces.length - 1)) / 2;
        for (const surface of row.surfaces) {
            places.set(surface.name, {x, y: y + HEAD + (row.height_mm - surface.height_mm) * scale});
            x += surface.width_mm * scale + SIDE;
        }
        y += HEAD + FOOT + row.height_mm * scale;
    }
    return {scale, width, height: Math.max(y, 1), places};
}
