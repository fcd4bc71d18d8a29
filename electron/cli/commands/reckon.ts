import type { Command } from "commander";
import { guessPack } from "../../../workbench/measurement/trade/cells.js";
import { choppedFromAverage, dutyFromRms } from "../../../workbench/measurement/trade/chopped.js";
import {
  awgSection_mm2,
  leadResistance,
  soundLeadMost_ohm,
  windingTemperature,
} from "../../../workbench/measurement/trade/copper.js";
import { nulled } from "../../../workbench/measurement/trade/lead-null.js";
import { motorConstants } from "../../../workbench/measurement/trade/motor.js";
import { stateOfRest } from "../../../workbench/measurement/trade/rest.js";
import {
  ntcByBeta,
  ntcBySteinhartHart,
  ntcResistance,
  pt100Resistance,
  pt100Temperature,
  typeKTemperature,
} from "../../../workbench/measurement/trade/temperature.js";
import { twoLoadResistance } from "../../../workbench/measurement/sag/resistance.js";
import type { CommandContext, Register } from "../command.js";
import { EXIT } from "../io.js";
import { readTrace } from "../trace-file.js";
import { positive } from "./sag.js";

/** The trade's small sums, each as one JSON object; the formula's source is in its help text. */
export const registerReckon: Register = (program, context) => {
  const reckon = program.command("reckon").description("small sums of the trade, as JSON");
  addCopper(reckon, context);
  addTemperature(reckon, context);
  addThermocouple(reckon, context);
  addSources(reckon, context);
};

function answer({ io, done }: CommandContext, result: unknown): void {
  io.out(JSON.stringify(result));
  done(EXIT.done);
}

function notBelowZero(text: string): number {
  return Number(text) === 0 ? 0 : positive(text);
}

const exact = (value: number) => ({ value, u: 0 });

function addCopper(reckon: Command, context: CommandContext): void {
  reckon
    .command("lead <metres>")
    .description("what a copper lead should measure (IEC 60028, IEC 60228, ASTM B258)")
    .option("--mm2 <section>", "section", positive)
    .option("--awg <number>", "American wire gauge", Number)
    .option("--at <degC>", "temperature", Number, 20)
    .action((metres: string, { mm2, awg, at }: { mm2?: number; awg?: number; at: number }) => {
      const section = mm2 ?? awgSection_mm2(awg ?? Number.NaN);
      const length = positive(metres);
      answer(context, {
        section_mm2: section,
        ideal_ohm: leadResistance(length, section, at),
        most_flexible_ohm: soundLeadMost_ohm(length, section, "flexible", at),
        most_fixed_ohm: soundLeadMost_ohm(length, section, "fixed", at),
      });
    });
  reckon
    .command("winding <coldOhm> <hotOhm>")
    .description("winding temperature from its resistance (IEC 60034-1)")
    .option("--from <degC>", "temperature of the cold winding", Number, 20)
    .option("--aluminium", "aluminium, not copper")
    .action((cold: string, hot: string, options: { from: number; aluminium?: true }) => {
      const start = { resistance: exact(positive(cold)), temperature_degC: exact(options.from) };
      const metal = options.aluminium ? "aluminium" : "copper";
      const { value } = windingTemperature(start, exact(positive(hot)), metal);
      answer(context, { temperature_degC: value, rise_K: value - options.from });
    });
  reckon
    .command("null <ohm> <together...>")
    .description("low ohms less the leads: a reading, then readings with the probes together")
    .option("--resolution <ohm>", "the value of one count", positive, 0.1)
    .action((ohm: string, together: string[], { resolution }: { resolution: number }) => {
      const leads = { together_ohm: together.map(Number), resolution_ohm: resolution };
      const { value, u } = nulled(Number(ohm), leads);
      answer(context, { resistance_ohm: value, u });
    });
}

function addTemperature(reckon: Command, context: CommandContext): void {
  reckon
    .command("ntc <ohm>")
    .description("thermistor temperature by beta, or by Steinhart and Hart")
    .option("--r25 <ohm>", "resistance at 25 °C", positive, 10_000)
    .option("--beta <kelvin>", "beta", positive, 3950)
    .option("--abc <coefficients...>", "Steinhart–Hart coefficients A B C")
    .action((text: string, options: { r25: number; beta: number; abc?: string[] }) => {
      const ohm = positive(text);
      const [a, b, c] = (options.abc ?? []).map(Number);
      const known = a !== undefined && b !== undefined && c !== undefined;
      const temperature_degC = known
        ? ntcBySteinhartHart(ohm, { a, b, c })
        : ntcByBeta(ohm, options.r25, options.beta);
      const at0_ohm = ntcResistance(0, options.r25, options.beta);
      answer(context, known ? { temperature_degC } : { temperature_degC, at0_ohm });
    });
  reckon
    .command("pt100 <ohm>")
    .description("temperature of a Pt100 (IEC 60751); --at tells the resistance instead")
    .option("--at", "the number is a temperature, °C")
    .action((text: string, { at }: { at?: true }) => {
      const number = Number(text);
      answer(
        context,
        at
          ? { resistance_ohm: pt100Resistance(number) }
          : { temperature_degC: pt100Temperature(number) },
      );
    });
}

function addThermocouple(reckon: Command, context: CommandContext): void {
  reckon
    .command("typek <millivolts>")
    .description("temperature of a type K thermocouple (NIST ITS-90)")
    .option("--cold <degC>", "temperature of the terminals", Number, 20)
    .action((text: string, { cold }: { cold: number }) => {
      answer(context, { temperature_degC: typeKTemperature(Number(text), cold) });
    });
}

function addSources(reckon: Command, context: CommandContext): void {
  reckon
    .command("pack <volts>")
    .description("which cells in series an open-circuit voltage fits: a ranked guess")
    .option("--marked <volts>", "the voltage printed on the pack", positive)
    .action((volts: string, { marked }: { marked?: number }) => {
      answer(context, guessPack(positive(volts), marked ?? null));
    });
  reckon
    .command("two-loads <volts1> <amperes1> <volts2> <amperes2>")
    .description("DC resistance of a pack from two loads (IEC 61960-3, IEC 61951)")
    .action((volts1: string, amperes1: string, volts2: string, amperes2: string) => {
      const light = { voltage_V: positive(volts1), current_A: notBelowZero(amperes1) };
      const heavy = { voltage_V: positive(volts2), current_A: notBelowZero(amperes2) };
      const { value, note } = twoLoadResistance(light, heavy);
      answer(context, { resistance_ohm: value, ...(note !== undefined && { note }) });
    });
  reckon
    .command("rest <file>")
    .description("whether a pack is at rest, from a trace at no load")
    .action(async (file: string) => {
      const { time_s, voltage_V, resolution_V } = await readTrace(file);
      const [t, v] = [Float64Array.from(time_s), Float64Array.from(voltage_V)];
      answer(context, stateOfRest(t, v, resolution_V ?? 0));
    });
  reckon
    .command("motor <volts> <ohm> <noLoadAmperes> <noLoadRpm>")
    .description("constants of a brushed motor with permanent magnets")
    .action((volts: string, ohm: string, amperes: string, rpm: string) => {
      const readings = {
        supply_V: exact(positive(volts)),
        resistance_ohm: exact(positive(ohm)),
        noLoadCurrent_A: exact(positive(amperes)),
        noLoadSpeed_rad_s: exact((positive(rpm) * 2 * Math.PI) / 60),
      };
      const found = Object.entries(motorConstants(readings));
      answer(context, Object.fromEntries(found.map(([name, { value }]) => [name, value])));
    });
  reckon
    .command("chopped <volts> <supplyVolts>")
    .description("duty of a chopped supply from the average, or with --rms from the r.m.s.")
    .option("--rms", "the reading is true r.m.s. of AC + DC")
    .action((volts: string, supply: string, { rms }: { rms?: true }) => {
      const [reading, full] = [positive(volts), positive(supply)];
      const average = rms ? dutyFromRms(reading, full) * full : reading;
      answer(context, choppedFromAverage(average, full));
    });
}
