import { createWriteStream } from "node:fs";
import { open } from "node:fs/promises";
import { finished } from "node:stream/promises";
import { once } from "node:events";
import type { WriteStream } from "node:fs";
import { ByteWriter, ParquetWriter, schemaFromColumnData } from "hyparquet-writer";
import type { ColumnSource } from "hyparquet-writer";
import type { TimedReading } from "../../protocols/reading.js";
import { COLUMNS, CSV_HEADER, csvLine } from "./readings-csv.js";

/**
 * Writes readings as CSV and as Parquet, in one pass and in pieces: memory does not grow with the
 * trace. Resolves with their number.
 */
export async function exportReadings(
  readings: AsyncIterable<TimedReading>,
  csvPath: string,
  parquetPath: string,
): Promise<number> {
  const csv = createWriteStream(csvPath);
  const parquet = new ParquetFile();
  let count = 0;
  let rows: TimedReading[] = [];
  csv.write(CSV_HEADER);
  for await (const reading of readings) {
    rows.push(reading);
    count += 1;
    if (rows.length < ROWS_AT_ONCE) continue;
    await writeRows(csv, rows);
    parquet.add(rows);
    rows = [];
  }
  await writeRows(csv, rows);
  parquet.add(rows);
  csv.end();
  await finished(csv);
  await parquet.save(parquetPath);
  return count;
}

const ROWS_AT_ONCE = 50_000;

async function writeRows(csv: WriteStream, rows: readonly TimedReading[]): Promise<void> {
  if (!csv.write(rows.map(csvLine).join(""))) await once(csv, "drain");
}

/** Encoded row groups stay in memory (some bytes a reading), the rows do not. */
class ParquetFile {
  readonly #bytes = new ByteWriter();
  readonly #writer = new ParquetWriter({
    writer: this.#bytes,
    schema: schemaFromColumnData({ columnData: columnsOf([]) }),
    createdBy: "Leadhand",
  });

  add(rows: readonly TimedReading[]): void {
    if (rows.length === 0) return;
    void this.#writer.write({ columnData: columnsOf(rows), rowGroupSize: ROWS_AT_ONCE });
  }

  async save(path: string): Promise<void> {
    void this.#writer.finish();
    const file = await open(path, "w");
    try {
      await file.writeFile(this.#bytes.getBytes());
    } finally {
      await file.close();
    }
  }
}

function columnsOf(rows: readonly TimedReading[]): ColumnSource[] {
  return COLUMNS.map(({ name, datatype, required, of }) => ({
    name,
    data: rows.map(of),
    type: datatype === "double" ? "DOUBLE" : "STRING",
    nullable: !required,
  }));
}
