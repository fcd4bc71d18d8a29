/** The usual thermistor of a pack: 10 kΩ at 25 °C, B = 3950 K. Typical, from memory. */
const NOMINAL_OHM = 10e3;
const NOMINAL_K = 298.15;
const B_K = 3950;

/** Resistance of the thermistor at a temperature in °C, by the B equation, ohms. */
export function ntc_ohm(celsius: number): number {
  return NOMINAL_OHM * Math.exp(B_K * (1 / (celsius + 273.15) - 1 / NOMINAL_K));
}
