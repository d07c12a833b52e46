/** Why there is no answer. */
export type Reason =
  | 'not-a-number' | 'solid' | 'below-triple-pressure' | 'above-critical-temperature' | 'above-critical-pressure'
  | 'too-hot' | 'pressure-too-high' | 'quality-out-of-range' | 'two-liquids' | 'unstable' | 'not-converged'
  | 'unknown-refrigerant';

/** Thrown where there is no answer. */
export declare class NoAnswer extends Error {
  readonly reason: Reason;
}

export type Phase = 'liquid' | 'vapour' | 'two-phase' | 'supercritical';

/** A point of the bubble or dew line; SI units, enthalpy and entropy on the reference of the composition. */
export interface LinePoint {
  temperatureK: number;
  pressurePa: number;
  densityKgM3: number;
  enthalpyJKg: number;
  entropyJKgK: number;
}

/** A state; what does not exist in two phases, or in one, is absent. */
export interface State extends LinePoint {
  phase: Phase;
  cpJKgK?: number;
  cvJKgK?: number;
  speedOfSoundMS?: number;
  quality?: number;
}

/** What a leak leaves. */
export interface Remains extends State {
  massFractions: number[];
}

export interface Refrigerant {
  readonly designation: string;
  /** How well the mixing model is founded. */
  readonly grade: 'pure' | 'A' | 'A-' | 'B' | 'anchored' | 'C';
  bubbleAtTemperature(kelvin: number): LinePoint;
  dewAtTemperature(kelvin: number): LinePoint;
  bubbleAtPressure(pascal: number): LinePoint;
  dewAtPressure(pascal: number): LinePoint;
  stateAtPressureTemperature(pascal: number, kelvin: number): State;
  stateAtPressureEnthalpy(pascal: number, jouleKg: number): State;
  stateAtPressureEntropy(pascal: number, jouleKgK: number): State;
  /** Pressure of the bubble line from a table, good to 1e-5; absent beyond the table's ends. */
  tableBubblePressure(kelvin: number): number | undefined;
  /** Pressure of the dew line from a table, good to 1e-5; absent beyond the table's ends. */
  tableDewPressure(kelvin: number): number | undefined;
  /**
   * What a leak of a part of the charge leaves, `lost` between 0 and 0.98, at a temperature. `vapourAtStart` is the share of
   * the mass that is vapour at the start, in a room that stays; without it liquid alone, the larger change.
   */
  afterLeak(kelvin: number, from: 'vapour' | 'liquid', lost: number, vapourAtStart?: number): Remains;
}

export interface Engine {
  readonly designations: string[];
  /** Absent where the designation is not known. */
  find(designation: string): Refrigerant | undefined;
}

/** Loads the engine; without bytes, from the file beside this one. */
export declare function load(bytes?: BufferSource): Promise<Engine>;
