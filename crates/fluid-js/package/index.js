const REASONS = ['', 'not-a-number', 'solid', 'below-triple-pressure', 'above-critical-temperature',
  'above-critical-pressure', 'too-hot', 'pressure-too-high', 'quality-out-of-range', 'two-liquids', 'unstable',
  'not-converged', 'unknown-refrigerant'];
const PHASES = ['liquid', 'vapour', 'two-phase', 'supercritical'];

export class NoAnswer extends Error {
  constructor(reason) {
    super(`no answer: ${reason}`);
    this.reason = reason;
  }
}

async function beside() {
  const url = new URL('./fluid_js.wasm', import.meta.url);
  if (url.protocol !== 'file:') return (await fetch(url)).arrayBuffer();
  const { readFile } = await import('node:fs/promises');
  return readFile(url);
}

export async function load(bytes) {
  const { instance } = await WebAssembly.instantiate(bytes ?? await beside(), {});
  const w = instance.exports;
  const text = (byte, refrigerant) => {
    let out = '';
    for (let at = 0, code; (code = byte(refrigerant, at)) > 0; at += 1) out += String.fromCharCode(code);
    return out;
  };
  const numbers = new Map();
  for (let k = 0; k < w.known(); k += 1) numbers.set(text(w.name_byte, k), k);

  const answered = (status) => {
    if (status !== 0) throw new NoAnswer(REASONS[status]);
  };
  const point = () => ({
    temperatureK: w.value(1), pressurePa: w.value(2), densityKgM3: w.value(3),
    enthalpyJKg: w.value(4), entropyJKgK: w.value(5),
  });
  const state = () => {
    const out = { phase: PHASES[w.value(0)], ...point() };
    ['cpJKgK', 'cvJKgK', 'speedOfSoundMS', 'quality'].forEach((key, k) => {
      const own = w.value(6 + k);
      if (!Number.isNaN(own)) out[key] = own;
    });
    return out;
  };

  const find = (designation) => {
    const r = numbers.get(designation);
    if (r === undefined) return undefined;
    const ask = (question, shape) => (a, b = 0) => {
      answered(w.ask(r, question, a, b));
      return shape();
    };
    const table = (line) => (kelvin) => {
      const p = w.table_pressure(r, line, kelvin);
      return Number.isNaN(p) ? undefined : p;
    };
    return {
      designation,
      grade: text(w.grade_byte, r),
      bubbleAtTemperature: ask(0, point),
      dewAtTemperature: ask(1, point),
      bubbleAtPressure: ask(2, point),
      dewAtPressure: ask(3, point),
      stateAtPressureTemperature: ask(4, state),
      stateAtPressureEnthalpy: ask(5, state),
      stateAtPressureEntropy: ask(6, state),
      tableBubblePressure: table(0),
      tableDewPressure: table(1),
      afterLeak(kelvin, from, lost, vapourAtStart = NaN) {
        answered(w.after_leak(r, kelvin, from === 'liquid' ? 1 : 0, lost, vapourAtStart));
        const massFractions = [];
        for (let k = 10; !Number.isNaN(w.value(k)); k += 1) massFractions.push(w.value(k));
        return { ...state(), massFractions };
      },
    };
  };
  return { designations: [...numbers.keys()], find };
}
