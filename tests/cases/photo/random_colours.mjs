// How random_colours.bin and opposite_hues.csv were made: `npm install colorjs.io@0.7.1 culori@4.0.2`, then
// `node random_colours.mjs`. Both libraries are under the MIT licence; only their figures are kept here.
//
// L*a*b* (D50, Bradford) is colorjs.io's, whose primaries and whites are exact (D65 x, y 0.3127 0.3290, D50 0.3457 0.3585);
// the other rounds its Bradford matrix and differs from it by up to 5e-5 for that reason alone. CIEDE2000 is culori's,
// worked out on the L*a*b* as written (rounded to 1e-7); colorjs.io agrees to 1e-12 on every one of the 10,000 pairs.
// random_colours.bin: for each pair seven 32-bit integers, low byte first, in units of 1e-7: L*, a*, b* of an sRGB
// colour, L*, a*, b* of a Display P3 colour, CIEDE2000. The encoded colours come from the generator below.
import fs from 'fs';
import Color from 'colorjs.io';
import { differenceCiede2000 } from 'culori';

let seed = 20261126;
const next = () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return (seed >>> 8) / 16777216;
};
const rounded = v => Math.round(v * 1e7) / 1e7;
const lab = (space, rgb) => new Color(space, rgb).to('lab').coords.map(rounded);
const difference = differenceCiede2000();
const de00 = (p, q) => difference({ mode: 'lab65', l: p[0], a: p[1], b: p[2] }, { mode: 'lab65', l: q[0], a: q[1], b: q[2] });

let widest = 0;
const bytes = new DataView(new ArrayBuffer(10000 * 7 * 4));
for (let i = 0; i < 10000; ++i) {
    const first = lab('srgb', [next(), next(), next()]);
    const second = lab('p3', [next(), next(), next()]);
    const de = de00(first, second);
    widest = Math.max(widest, Math.abs(de - new Color('lab', first).deltaE(new Color('lab', second), '2000')));
    [...first, ...second, de].forEach((v, k) => bytes.setInt32(4 * (7 * i + k), Math.round(v * 1e7), true));
}
console.log('the two libraries differ by up to', widest);
fs.writeFileSync('random_colours.bin', Buffer.from(bytes.buffer));

// Hues exactly opposite: the mean hue is one of two, and the figure jumps. Both branches, by turning the second colour
// by a ten-millionth to either side.
const lines = ['# CIEDE2000 where two hues are exactly opposite: the figure jumps there, so that libraries may give either value',
    '# made by random_colours.mjs with culori 4.0.2 (MIT licence); one and other: the second colour turned by 1e-7 to either side',
    'L1,a1,b1,L2,a2,b2,one,other'];
for (let i = 0; i < 24; ++i) {
    const a = Math.round(80 * (2 * next() - 1)), b = Math.round(80 * (2 * next() - 1)), s = 0.5 + Math.round(4 * next()) / 4;
    const p = [40 + i, a, b], q = [70 - i, -s * a, -s * b];
    const turned = t => [q[0], q[1] - t * q[2], q[2] + t * q[1]];
    lines.push([...p, ...q, de00(p, turned(1e-7)).toFixed(5), de00(p, turned(-1e-7)).toFixed(5)].join(','));
}
fs.writeFileSync('opposite_hues.csv', lines.join('\n') + '\n');
