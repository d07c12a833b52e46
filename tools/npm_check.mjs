// Tries the package of the engine under node: answers, refusals, size and time per call. `cargo xtask npm` runs it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { brotliCompressSync, constants } from 'node:zlib';
import { pathToFileURL } from 'node:url';

const folder = pathToFileURL(`${process.argv[2]}/`);
const { load, NoAnswer } = await import(new URL('index.js', folder));
const engine = await load();
assert.ok(engine.designations.length > 140);
assert.equal(engine.find('R-9999'), undefined);

const near = (own, wanted, within) => assert.ok(Math.abs(own / wanted - 1) < within, `${own} for ${wanted}`);
// Tillner-Roth, Baehr, J. Phys. Chem. Ref. Data 23 (1994) 657, table 8, by way of another program's tests.
const pure = engine.find('R-134a');
near(pure.bubbleAtTemperature(300).pressurePa, 0.70282e6, 1e-4);
near(pure.bubbleAtTemperature(300).densityKgM3, 1199.7, 1e-4);
// Lemmon, Int. J. Thermophys. 24 (2003) 991, table V, by way of another program's tests.
const blend = engine.find('R-404A');
near(blend.bubbleAtTemperature(300).pressurePa, 1.3169e6, 3e-4);
near(blend.dewAtTemperature(300).pressurePa, 1.3034e6, 3e-4);
assert.equal(pure.grade, 'pure');

// There and back, and what is absent.
const r = engine.find('R-448A');
const dew = r.dewAtTemperature(263.15);
const gas = r.stateAtPressureTemperature(dew.pressurePa, 283.15);
assert.equal(gas.phase, 'vapour');
assert.ok(!('quality' in gas) && gas.cpJKgK > 0);
near(r.stateAtPressureEnthalpy(dew.pressurePa, gas.enthalpyJKg).temperatureK, 283.15, 1e-9);
near(r.stateAtPressureEntropy(dew.pressurePa, gas.entropyJKgK).temperatureK, 283.15, 1e-9);
const wet = r.stateAtPressureEnthalpy(dew.pressurePa, 250e3);
assert.equal(wet.phase, 'two-phase');
assert.ok(wet.quality > 0 && wet.quality < 1 && !('cpJKgK' in wet));
near(r.tableDewPressure(263.15), dew.pressurePa, 1e-5);
assert.equal(r.tableDewPressure(1000), undefined);
const remains = r.afterLeak(298.15, 'vapour', 0.3);
assert.equal(remains.massFractions.length, 5);
near(remains.massFractions.reduce((sum, part) => sum + part), 1, 1e-9);
// The most volatile part leaves first: R-32 is the first component.
assert.ok(remains.massFractions[0] < r.afterLeak(298.15, 'vapour', 0).massFractions[0]);
assert.throws(() => r.bubbleAtTemperature(400), (why) => why instanceof NoAnswer && why.reason === 'above-critical-temperature');
assert.throws(() => r.stateAtPressureTemperature(NaN, 300), (why) => why.reason === 'not-a-number');

const wasm = readFileSync(new URL('fluid_js.wasm', folder));
const packed = (bytes) => brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }).length;
const kB = (bytes) => `${(bytes / 1000).toFixed(0)} kB`;
console.log(`size: ${kB(wasm.length)}, ${kB(packed(wasm))} in brotli`);
// The engine apart from what it knows: section 11 of a module holds its data (WebAssembly 1.0, 5.5), each section after a
// byte for its kind and a length of seven bits a byte.
const DATA = 11;
const [engineParts, knowledge] = [[wasm.subarray(0, 8)], []];
for (let at = 8; at < wasm.length;) {
  let [length, shift, start] = [0, 0, at + 1];
  for (let more = true; more; shift += 7, start += 1) {
    length += (wasm[start] & 127) * 2 ** shift;
    more = wasm[start] > 127;
  }
  (wasm[at] === DATA ? knowledge : engineParts).push(wasm.subarray(at, start + length));
  at = start + length;
}
assert.ok(knowledge.length > 0);
console.log(`engine ${kB(packed(Buffer.concat(engineParts)))}, coefficients and compositions ${kB(packed(Buffer.concat(knowledge)))} in brotli`);
const time = (name, rounds, call) => {
  let best = Infinity;
  for (let k = 0; k < 40; k += 1) {
    const start = process.hrtime.bigint();
    for (let n = 0; n < rounds; n += 1) call(n);
    best = Math.min(best, Number(process.hrtime.bigint() - start) / rounds);
  }
  console.log(`${name}: ${best < 1000 ? `${best.toFixed(0)} ns` : `${(best / 1000).toFixed(1)} us`}`);
};
time('table, dew pressure R-448A', 2000, (n) => r.tableDewPressure(250 + (n % 40)));
time('full model, bubble R-448A', 20, () => r.bubbleAtTemperature(263.15));
time('full model, dew R-448A', 20, () => r.dewAtTemperature(263.15));
time('full model, state by p and h R-448A', 20, () => r.stateAtPressureEnthalpy(dew.pressurePa, gas.enthalpyJKg));
time('full model, bubble R-404A', 20, () => blend.bubbleAtTemperature(263.15));
