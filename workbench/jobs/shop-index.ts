import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { toLeadhandError } from "../../protocols/error.js";
import { nodeDisk } from "../job/disk.js";
import { takeLock } from "../job/lock.js";
import { openDatabase, type Database } from "./database.js";
import type { JobFilter } from "./job-filter.js";
import { JobIndex, type JobList, type Refreshed } from "./job-index.js";
import { packResistance, whatFailsMost } from "./questions.js";
import type { FailureCount, OfTool, ResistancePoint } from "./questions.js";

export interface IndexPlace {
  /** Folder that holds one folder a job. */
  readonly jobs: string;
  /** Name of this bench where several share a server. */
  readonly bench: string;
  /** PostgreSQL server; null: kept beside the jobs. */
  readonly url: string | null;
}

export interface ShopJobs extends JobList {
  readonly unreadable: Refreshed["unreadable"];
  /** Why the index is not the usual one, in words; null: it is. */
  readonly warning: string | null;
}

/** What lists and plots ask. Every answer has first read what changed in the folders. */
export interface JobQuestions {
  list(filter: JobFilter): Promise<ShopJobs>;
  failures(): Promise<FailureCount[]>;
  resistance(of: OfTool): Promise<ResistancePoint[]>;
  close(): Promise<void>;
}

interface Opened {
  readonly database: Database;
  readonly index: JobIndex;
  readonly warning: string | null;
  readonly release: () => Promise<void>;
}

/**
 * The index where a shop keeps it: on its server, or beside its jobs, opened at the first question.
 * Where that cannot be had, one in memory, made from the folders: nobody is kept from a job by its
 * index. One question after the other.
 */
export class ShopIndex implements JobQuestions {
  readonly #place: IndexPlace;
  #opened: Opened | null = null;
  #queue: Promise<unknown> = Promise.resolve();

  constructor(place: IndexPlace) {
    this.#place = place;
  }

  list(filter: JobFilter): Promise<ShopJobs> {
    return this.#ask(async ({ index, warning }, { unreadable }) => ({
      ...(await index.list(filter)),
      unreadable,
      warning,
    }));
  }

  failures(): Promise<FailureCount[]> {
    return this.#ask(({ database }) => whatFailsMost(database));
  }

  resistance(of: OfTool): Promise<ResistancePoint[]> {
    return this.#ask(({ database }) => packResistance(database, of));
  }

  close(): Promise<void> {
    return this.#next(() => this.#forget());
  }

  #ask<T>(question: (opened: Opened, refreshed: Refreshed) => Promise<T>): Promise<T> {
    return this.#next(async () => {
      try {
        return await this.#answer(question);
      } catch {
        // A server that went away meanwhile: once more, from the beginning.
        await this.#forget();
        return await this.#answer(question);
      }
    });
  }

  async #answer<T>(question: (opened: Opened, refreshed: Refreshed) => Promise<T>): Promise<T> {
    const opened = (this.#opened ??= await open(this.#place));
    return question(opened, await opened.index.refresh());
  }

  #next<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#queue.then(work);
    this.#queue = done.catch(() => undefined);
    return done;
  }

  async #forget(): Promise<void> {
    const opened = this.#opened;
    this.#opened = null;
    await opened?.database.close().catch(() => undefined);
    await opened?.release().catch(() => undefined);
  }
}

async function open(place: IndexPlace): Promise<Opened> {
  try {
    return place.url === null ? await openBeside(place) : await openOnServer(place, place.url);
  } catch (thrown) {
    const { what } = toLeadhandError(thrown);
    const warning = `${what} The list was made from this bench's own folders instead.`;
    return openWith(place, await openDatabase(null, null), warning, nothing);
  }
}

const nothing = (): Promise<void> => Promise.resolve();

async function openOnServer(place: IndexPlace, url: string): Promise<Opened> {
  return openWith(place, await openDatabase(url, null), null, nothing);
}

/** One process at a time: the engine beside the jobs stands no second one. */
async function openBeside(place: IndexPlace): Promise<Opened> {
  const folder = join(place.jobs, "shop", "index");
  await mkdir(folder, { recursive: true });
  const lock = await takeLock(nodeDisk, folder);
  try {
    return await openKept(place, join(folder, "pg"), () => lock.release());
  } catch (thrown) {
    await lock.release();
    throw thrown;
  }
}

/** What cannot be opened any more is thrown away: the folders of the jobs make it again. */
async function openKept(
  place: IndexPlace,
  folder: string,
  release: () => Promise<void>,
): Promise<Opened> {
  try {
    return await openWith(place, await openDatabase(null, folder), null, release);
  } catch {
    await rm(folder, { recursive: true, force: true });
    return await openWith(place, await openDatabase(null, folder), null, release);
  }
}

async function openWith(
  { bench, jobs }: IndexPlace,
  database: Database,
  warning: string | null,
  release: () => Promise<void>,
): Promise<Opened> {
  try {
    return { database, index: await JobIndex.open(database, bench, jobs), warning, release };
  } catch (thrown) {
    await database.close().catch(() => undefined);
    throw thrown;
  }
}
