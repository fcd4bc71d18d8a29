/** Temperature from the resistance of a sensor. All temperatures in °C, resistances in ohms. */

const ICE_POINT_K = 273.15;

/** NTC by its beta: 1/T = 1/T25 + ln(R/R25)/β, good near 25 °C. */
export function ntcByBeta(resistance_ohm: number, r25_ohm: number, beta_K: number): number {
  const inverse = 1 / (25 + ICE_POINT_K) + Math.log(resistance_ohm / r25_ohm) / beta_K;
  return 1 / inverse - ICE_POINT_K;
}

export function ntcResistance(temperature_degC: number, r25_ohm: number, beta_K: number): number {
  const inverse = 1 / (temperature_degC + ICE_POINT_K) - 1 / (25 + ICE_POINT_K);
  return r25_ohm * Math.exp(beta_K * inverse);
}

export interface SteinhartHart {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** NTC by Steinhart and Hart (1968): 1/T = A + B·ln R + C·(ln R)³. */
export function ntcBySteinhartHart(resistance_ohm: number, { a, b, c }: SteinhartHart): number {
  const log = Math.log(resistance_ohm);
  return 1 / (a + b * log + c * log ** 3) - ICE_POINT_K;
}

/** Callendar–Van Dusen coefficients of IEC 60751:2008. */
const [A, B, C] = [3.9083e-3, -5.775e-7, -4.183e-12];

/** Pt100 by IEC 60751, −200 to 850 °C; NaN outside. */
export function pt100Resistance(temperature_degC: number): number {
  if (temperature_degC < -200 || temperature_degC > 850) return Number.NaN;
  return pt100Polynomial(temperature_degC);
}

function pt100Polynomial(t: number): number {
  const cold = t < 0 ? C * (t - 100) * t ** 3 : 0;
  return 100 * (1 + A * t + B * t * t + cold);
}

/** The inverse: in closed form above the ice point, by Newton's method below; NaN outside. */
export function pt100Temperature(resistance_ohm: number): number {
  // The ends as the table prints them, to hundredths, count.
  const [least, most] = [pt100Resistance(-200) - 0.005, pt100Resistance(850) + 0.005];
  if (!(resistance_ohm >= least && resistance_ohm <= most)) return Number.NaN;
  const root = A * A - 4 * B * (1 - resistance_ohm / 100);
  let t = (-A + Math.sqrt(root)) / (2 * B);
  for (let n = 0; n < 20 && resistance_ohm < 100; n++) {
    const slope = 100 * (A + 2 * B * t + C * (4 * t ** 3 - 300 * t * t));
    t -= (pt100Polynomial(t) - resistance_ohm) / slope;
  }
  return t;
}

/** NIST ITS-90 reference function of the type K thermocouple (Monograph 175), mV from °C. */
const TYPE_K_COLD = [
  0, 0.039450128025, 2.3622373598e-5, -3.2858906784e-7, -4.9904828777e-9, -6.7509059173e-11,
  -5.7410327428e-13, -3.1088872894e-15, -1.0451609365e-17, -1.9889266878e-20, -1.6322697486e-23,
];
const TYPE_K_HOT = [
  -0.017600413686, 0.038921204975, 1.8558770032e-5, -9.9457592874e-8, 3.1840945719e-10,
  -5.6072844889e-13, 5.6075059059e-16, -3.2020720003e-19, 9.7151147152e-23, -1.2104721275e-26,
];
const TYPE_K_BUMP = { size: 0.1185976, rate: -0.0001183432, centre: 126.9686 };

/** Thermoelectric voltage in mV against 0 °C, −200 to 1372 °C; NaN outside. */
export function typeKVoltage(temperature_degC: number): number {
  const t = temperature_degC;
  if (t < -200 || t > 1372) return Number.NaN;
  if (t < 0) return polynomial(TYPE_K_COLD, t);
  const { size, rate, centre } = TYPE_K_BUMP;
  return polynomial(TYPE_K_HOT, t) + size * Math.exp(rate * (t - centre) ** 2);
}

/** Temperature of the hot junction from its voltage in mV, the terminals at `cold_degC`. */
export function typeKTemperature(voltage_mV: number, cold_degC = 0): number {
  const whole = voltage_mV + typeKVoltage(cold_degC);
  let low = -200;
  let high = 1372;
  // The function is 0 at 0 °C to its last digit only: a microvolt either way.
  const [least, most] = [typeKVoltage(low) - 1e-3, typeKVoltage(high) + 1e-3];
  if (!(whole >= least && whole <= most)) return Number.NaN;
  // The function only rises: halving finds the root to a microdegree.
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    if (typeKVoltage(middle) < whole) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, c) => sum * x + c, 0);
}
