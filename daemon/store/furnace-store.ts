import type { Database } from "#daemon/store/database";
import type { Furnace } from "#shared/furnace";
import { UNKNOWN_PROBE } from "#shared/probe";

interface FurnaceRow {
  readonly id: string;
  readonly name: string;
  readonly port: string | null;
  readonly baud_rate: number;
  readonly format: string;
  readonly is_demonstration: number;
}

/** The furnaces of the lab, as kept. */
export class FurnaceStore {
  readonly #database: Database;

  constructor(database: Database) {
    this.#database = database;
  }

  /** All of them, by id. */
  async list(): Promise<Furnace[]> {
    return (await this.#database.all<FurnaceRow>("SELECT * FROM furnaces ORDER BY id")).map(furnaceOf);
  }

  /** One of them; undefined when there is none of that id. */
  async get(id: string): Promise<Furnace | undefined> {
    const row = await this.#database.first<FurnaceRow>("SELECT * FROM furnaces WHERE id = ?", [id]);
    return row && furnaceOf(row);
  }

  /** Adds a furnace, or replaces what is known of it. */
  async save(furnace: Furnace): Promise<void> {
    const { id, name, port, baudRate, format, isDemonstration } = furnace;
    await this.#database.write((writer) =>
      writer.run(
        `INSERT INTO furnaces (id, name, port, baud_rate, format, is_demonstration) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, port = excluded.port,
           baud_rate = excluded.baud_rate, format = excluded.format, is_demonstration = excluded.is_demonstration`,
        [id, name, port, baudRate, format, Number(isDemonstration)],
      ),
    );
  }
}

function furnaceOf(row: FurnaceRow): Furnace {
  const { id, name, port, format } = row;
  return {
    id,
    name,
    port,
    baudRate: row.baud_rate,
    framing: "8N1",
    format,
    probe: UNKNOWN_PROBE,
    checkDueEpochMilliseconds: null,
    isDemonstration: row.is_demonstration === 1,
  };
}
