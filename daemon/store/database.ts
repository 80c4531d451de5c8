import sqlite3 from "sqlite3";
import { DaemonError } from "#daemon/errors";
import { migrate } from "#daemon/store/migrate";

/** Set before WAL, for ever: room for a chunk of samples on one page or two. */
const PAGE_BYTES = 8192;
/** How long a write waits for another program's, ms. */
const BUSY_MILLISECONDS = 5000;

/** What may be bound. sqlite3 itself would store anything else, and NaN, silently as NULL. */
export type SqlValue = number | string | Uint8Array | null;

/** Asks one connection. */
export interface Reader {
  all<Row>(sql: string, values?: readonly SqlValue[]): Promise<Row[]>;
  first<Row>(sql: string, values?: readonly SqlValue[]): Promise<Row | undefined>;
}

/** Changes the database inside one transaction, and sees its own changes. */
export interface Writer extends Reader {
  run(sql: string, values?: readonly SqlValue[]): Promise<{ newId: number; changes: number }>;
}

/**
 * An SQLite file: one connection that writes, one that reads.
 * Writes come strictly one after another, each in a transaction of its own, so that none can join or undo
 * another's. Every commit is synced to the disk (WAL, synchronous FULL).
 */
export class Database implements Reader {
  readonly path: string;
  readonly #reading: Connection;
  readonly #writing: Connection;
  #lastWrite: Promise<unknown> = Promise.resolve();

  private constructor(path: string, writing: Connection, reading: Connection) {
    this.path = path;
    this.#writing = writing;
    this.#reading = reading;
  }

  /**
   * Opens or makes the file and brings its tables up to date.
   * @throws DaemonError `store-failed` when it cannot be opened, is damaged, or a newer program wrote it
   */
  static async open(path: string, busyMilliseconds = BUSY_MILLISECONDS): Promise<Database> {
    const writing = await Connection.open(path, busyMilliseconds);
    try {
      await writing.exec(`PRAGMA page_size = ${PAGE_BYTES}`);
      const mode = await writing.first<{ journal_mode: string }>("PRAGMA journal_mode = WAL");
      if (mode?.journal_mode !== "wal")
        throw new DaemonError(
          "store-failed",
          `${path}: this disk cannot keep a write-ahead log. Put the data folder on a local disk.`,
        );
      await writing.exec(
        "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA journal_size_limit = 8388608",
      );
      await migrate(writing, path);
      const reading = await Connection.open(path, busyMilliseconds);
      await reading.exec("PRAGMA query_only = ON");
      return new Database(path, writing, reading);
    } catch (error) {
      await writing.close();
      throw error;
    }
  }

  all<Row>(sql: string, values: readonly SqlValue[] = []): Promise<Row[]> {
    return this.#reading.all<Row>(sql, values);
  }

  first<Row>(sql: string, values: readonly SqlValue[] = []): Promise<Row | undefined> {
    return this.#reading.first<Row>(sql, values);
  }

  /**
   * Runs `change` as one transaction, after every write asked for earlier has ended.
   * When it throws, nothing of it is kept, and the next write goes on unharmed.
   */
  write<T>(change: (writer: Writer) => Promise<T>): Promise<T> {
    const write = this.#lastWrite.then(() => this.#transaction(change));
    this.#lastWrite = write.catch(() => undefined);
    return write;
  }

  /** What is wrong with the file, in SQLite's words; empty when it is sound. */
  async integrityCheck(): Promise<string[]> {
    const rows = await this.all<{ integrity_check: string }>("PRAGMA integrity_check");
    return rows.map((row) => row.integrity_check).filter((line) => line !== "ok");
  }

  /** Waits for the writes in the queue, then closes. */
  async close(): Promise<void> {
    await this.#lastWrite;
    await this.#reading.close();
    await this.#writing.close();
  }

  async #transaction<T>(change: (writer: Writer) => Promise<T>): Promise<T> {
    await this.#writing.exec("BEGIN IMMEDIATE");
    try {
      const result = await change(this.#writing);
      await this.#writing.exec("COMMIT");
      return result;
    } catch (error) {
      // A full disk has undone the transaction already; then there is nothing left to roll back.
      await this.#writing.exec("ROLLBACK").catch(() => undefined);
      throw error;
    }
  }
}

/** One sqlite3 connection as promises; every call has a callback, or a failure would end the process. */
export class Connection implements Writer {
  readonly #path: string;
  readonly #sqlite: sqlite3.Database;

  private constructor(path: string, sqlite: sqlite3.Database) {
    this.#path = path;
    this.#sqlite = sqlite;
  }

  static open(path: string, busyMilliseconds = BUSY_MILLISECONDS): Promise<Connection> {
    return new Promise((resolve, reject) => {
      const sqlite = new sqlite3.Database(path, (error) => {
        if (error) return reject(storeFailed(path, error));
        sqlite.configure("busyTimeout", busyMilliseconds);
        resolve(new Connection(path, sqlite));
      });
    });
  }

  all<Row>(sql: string, values: readonly SqlValue[] = []): Promise<Row[]> {
    checkValues(sql, values);
    return new Promise((resolve, reject) => {
      this.#sqlite.all<Row>(sql, [...values], (error, rows) => {
        if (error) reject(storeFailed(this.#path, error));
        else resolve(rows);
      });
    });
  }

  async first<Row>(sql: string, values: readonly SqlValue[] = []): Promise<Row | undefined> {
    return (await this.all<Row>(sql, values))[0];
  }

  run(sql: string, values: readonly SqlValue[] = []): Promise<{ newId: number; changes: number }> {
    checkValues(sql, values);
    const path = this.#path;
    return new Promise((resolve, reject) => {
      this.#sqlite.run(sql, [...values], function (error) {
        if (error) reject(storeFailed(path, error));
        else resolve({ newId: this.lastID, changes: this.changes });
      });
    });
  }

  /** Statements without values, several perhaps. */
  exec(sql: string): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#sqlite.exec(sql, (error) => (error ? reject(storeFailed(this.#path, error)) : resolve()));
    });
  }

  close(): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#sqlite.close((error) => (error ? reject(storeFailed(this.#path, error)) : resolve()));
    });
  }
}

function checkValues(sql: string, values: readonly unknown[]): void {
  const places = sql.split("?").length - 1;
  if (places !== values.length)
    throw new RangeError(`a statement requires ${places} values, got ${values.length}: ${sql}`);
  for (const [index, value] of values.entries()) {
    if (value === null || typeof value === "string" || value instanceof Uint8Array) continue;
    if (typeof value !== "number" || !Number.isFinite(value))
      throw new RangeError(
        `value ${index + 1} requires a finite number, text, bytes or null, got ${typeof value} ${String(value)}`,
      );
  }
}

function storeFailed(path: string, error: Error): DaemonError {
  return new DaemonError("store-failed", `${path}: ${storeFailedWords(error)}`, error);
}

function storeFailedWords(error: Error & { errno?: number }): string {
  switch (error.errno) {
    case sqlite3.FULL:
      return "the disk is full. Free some space on it; what is measured waits in memory until then.";
    case sqlite3.BUSY:
    case sqlite3.LOCKED:
      return "another program keeps the file locked. Close it; what is measured waits in memory until then.";
    case sqlite3.CORRUPT:
    case sqlite3.NOTADB:
      return "the file is damaged or not a database. Move it away, keep it, and start again with a backup or none.";
    case sqlite3.CANTOPEN:
      return "the file cannot be opened. Check that its folder exists and that this user may write there.";
    case sqlite3.READONLY:
      return "the file may not be written. Give this user the right to write it and its folder.";
    default:
      return `${error.message}. Check the disk and the rights of its folder.`;
  }
}
