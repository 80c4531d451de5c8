import type { Sample } from "#core/trace/trace";
import type { Clock } from "#daemon/clock";
import { DaemonError } from "#daemon/errors";
import type { Database, Reader, SqlValue, Writer } from "#daemon/store/database";
import type { PlanStore } from "#daemon/store/plan-store";
import { packSamples, SAMPLES_PER_CHUNK, unpackSamples } from "#daemon/store/sample-chunks";
import type { BakeDetail, BakeSummary } from "#shared/bake";
import { bakeCaseSchema } from "#shared/bake-case";
import { type Comparison, comparisonSchema } from "#shared/comparison";
import type { Grade } from "#shared/grade";
import { type BakeLayer, bakeLayerSchema } from "#shared/layer";
import { type BakePlan, bakePlanSchema } from "#shared/plan";
import { type Probe, probeSchema } from "#shared/probe";
import type { bakeFilterSchema, gradeRequestSchema } from "#shared/requests";
import { type SensorFault, sensorFaultSchema } from "#shared/sensor-fault";

/** Rows in one statement: ten values each stay well below SQLite's limit of 32,766. */
const ROWS_PER_STATEMENT = 500;

/** A sample with what a bake is taken up again by after a restart. */
export interface RecordedSample extends Sample {
  /** The instrument's own time, s; undefined where its lines carry none. */
  readonly instrumentSeconds?: number | undefined;
  readonly receivedAtEpochMilliseconds: number;
}

/** What is known of a bake when it is opened. */
export interface NewBake {
  readonly furnaceId: string;
  readonly plan: BakePlan | null;
  /** Put on before it; none unless they are given. */
  readonly layers?: readonly BakeLayer[] | undefined;
  readonly jobNumber: string | null;
  readonly state: "waiting" | "running";
  /** Then its trace starts with the drying. */
  readonly isBegunByHand: boolean;
  readonly startedAtEpochMilliseconds: number;
  readonly restCelsius: number | null;
  /** The probe that it is measured with; null is that of before probes were kept. */
  readonly probe?: Probe | null | undefined;
}

/** What a bake's samples come to. */
export interface BakeResult {
  readonly lengthSeconds: number;
  readonly peakCelsius: number | null;
  readonly gapSeconds: number;
  readonly comparison: Comparison | null;
  /** What was wrong with the probe; undefined leaves what is kept. */
  readonly sensorFaults?: readonly SensorFault[] | undefined;
}

/** What may change in a bake; what is undefined stays. */
export interface BakeChange {
  readonly state?: "waiting" | "running" | undefined;
  readonly plan?: BakePlan | null | undefined;
  readonly layers?: readonly BakeLayer[] | undefined;
  readonly jobNumber?: string | null | undefined;
  readonly note?: string | null | undefined;
  /** Only while nothing has been measured yet. */
  readonly probe?: Probe | undefined;
  readonly sensorFaults?: readonly SensorFault[] | undefined;
  readonly result?: BakeResult | undefined;
}

/** A bake that was open when the program ended. */
export interface InterruptedBake {
  readonly bake: BakeSummary;
  readonly plan: BakePlan | null;
  readonly layers: readonly BakeLayer[];
  readonly note: string | null;
  readonly isBegunByHand: boolean;
  readonly restCelsius: number | null;
  readonly probe: Probe | null;
  readonly sensorFaults: readonly SensorFault[];
  readonly samples: readonly RecordedSample[];
}

/** Where a recording was taken up again. */
export interface Interruption {
  /** The first sample after the gap. */
  readonly sequence: number;
  readonly gapSeconds: number;
  /** What the gap's length was told by; `bounded`: by a wall clock that cannot be right. */
  readonly toldBy: "instrument" | "wall-clock" | "bounded";
  readonly resumedAtEpochMilliseconds: number;
}

/** Which bakes are looked for. */
export type BakeQuestion =
  /** Finished and compared with a plan, on a furnace; of those before another bake where one is named. */
  | { readonly kind: "compared"; readonly furnaceId: string; readonly beforeBakeId?: number | undefined }
  /** Of a job, its number whole; open ones too. */
  | { readonly kind: "of-job"; readonly jobNumber: string }
  /** Finished and graded, with a material in its card or its layers. */
  | { readonly kind: "graded-of-material"; readonly materialId: number };

/** A filter as `bakeFilterSchema` leaves it. */
export type ParsedBakeFilter = ReturnType<typeof bakeFilterSchema.parse>;
type GradeRequest = ReturnType<typeof gradeRequestSchema.parse>;

interface BakeRow {
  readonly id: number;
  readonly furnace_id: string;
  readonly furnace_name: string;
  readonly plan_id: number | null;
  readonly plan_revision: number | null;
  readonly plan_name: string | null;
  readonly job_number: string | null;
  readonly state: BakeSummary["state"];
  readonly started_epoch_ms: number;
  readonly is_demonstration: number;
  readonly note: string | null;
  readonly is_begun_by_hand: number;
  readonly rest_celsius: number | null;
  readonly length_seconds: number;
  readonly sample_count: number;
  readonly peak_celsius: number | null;
  readonly heat_work_ratio: number | null;
  readonly equivalent_offset_kelvin: number | null;
  readonly gap_seconds: number;
  readonly grade: BakeSummary["grade"];
  readonly bake_case: string | null;
}

interface WholeBakeRow extends BakeRow {
  readonly effective: string | null;
  readonly layers: string | null;
  readonly comparison: string | null;
  readonly probe: string | null;
  readonly sensor_faults: string | null;
}

interface SampleRow {
  readonly sequence: number;
  readonly at_seconds: number;
  readonly celsius: number;
  readonly hectopascals: number | null;
  readonly cold_junction_celsius: number | null;
  readonly heater_duty_fraction: number | null;
  readonly millivolts: number | null;
  readonly instrument_seconds: number | null;
  readonly received_epoch_ms: number;
}

const SUMMARIES = `SELECT bakes.id, bakes.furnace_id, furnaces.name AS furnace_name, bakes.plan_id, bakes.plan_revision,
    json_extract(plan_revisions.plan, '$.name') AS plan_name, bakes.job_number, bakes.state, bakes.started_epoch_ms,
    bakes.is_demonstration, bakes.note, bakes.is_begun_by_hand, bakes.rest_celsius, bakes.heat_work_ratio, bakes.equivalent_offset_kelvin,
    bakes.gap_seconds, bakes.grade, json_extract(bakes.effective, '$.case') AS bake_case,
    CASE bakes.state WHEN 'finished' THEN bakes.sample_count
      ELSE coalesce((SELECT max(sequence) + 1 FROM samples WHERE bake_id = bakes.id), 0) END AS sample_count,
    CASE bakes.state WHEN 'finished' THEN bakes.length_seconds
      ELSE coalesce((SELECT at_seconds FROM samples WHERE bake_id = bakes.id ORDER BY sequence DESC LIMIT 1), 0) END AS length_seconds,
    CASE bakes.state WHEN 'finished' THEN bakes.peak_celsius
      ELSE (SELECT max(celsius) FROM samples WHERE bake_id = bakes.id) END AS peak_celsius`;
const WHOLE = `${SUMMARIES}, bakes.comparison, bakes.probe, bakes.sensor_faults, bakes.effective, bakes.layers`;
const JOINED = `FROM bakes JOIN furnaces ON furnaces.id = bakes.furnace_id
  LEFT JOIN plan_revisions ON plan_revisions.plan_id = bakes.plan_id AND plan_revisions.revision = bakes.plan_revision`;

/** What a bake keeps of the plan that was fitted to it, beside the revision's id. */
const effectiveSchema = bakePlanSchema.pick({ case: true, plan: true, sources: true, material: true });

/** Bakes, what was measured in them, and how they came out. Nothing is ever removed. */
export class BakeStore {
  readonly #database: Database;
  readonly #plans: PlanStore;
  readonly #clock: Clock;

  constructor(database: Database, plans: PlanStore, clock: Clock) {
    this.#database = database;
    this.#plans = plans;
    this.#clock = clock;
  }

  /**
   * Opens a bake.
   * @returns its id, larger than that of any bake before
   * @throws DaemonError `not-found` when the furnace is unknown
   */
  create(bake: NewBake): Promise<number> {
    return this.#database.write(async (writer) => {
      const { newId, changes } = await writer.run(
        `INSERT INTO bakes (furnace_id, plan_id, plan_revision, job_number, state, started_epoch_ms, rest_celsius, is_begun_by_hand, probe, effective, layers, is_demonstration)
         SELECT id, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, is_demonstration FROM furnaces WHERE id = ?`,
        [
          bake.plan?.planId ?? null,
          bake.plan?.revision ?? null,
          bake.jobNumber,
          bake.state,
          Math.round(bake.startedAtEpochMilliseconds),
          bake.restCelsius,
          Number(bake.isBegunByHand),
          bake.probe ? JSON.stringify(bake.probe) : null,
          bake.plan && effectiveJson(bake.plan),
          JSON.stringify(bake.layers ?? []),
          bake.furnaceId,
        ],
      );
      if (changes === 0)
        throw new DaemonError("not-found", `There is no furnace ${bake.furnaceId}. Add it first.`);
      return newId;
    });
  }

  /**
   * Adds samples to an open bake, durable when this resolves; those already there stay as they are.
   * @param interruption where the recording was taken up again in them: kept with them, or neither is
   */
  async appendSamples(
    bakeId: number,
    fromSequence: number,
    samples: readonly RecordedSample[],
    interruption: Interruption | null = null,
  ): Promise<void> {
    await this.#database.write(async (writer) => {
      if (interruption) await insertInterruption(writer, bakeId, interruption);
      for (let start = 0; start < samples.length; start += ROWS_PER_STATEMENT)
        await insertRows(
          writer,
          bakeId,
          fromSequence + start,
          samples.slice(start, start + ROWS_PER_STATEMENT),
        );
    });
  }

  /**
   * The samples of a bake, open or finished, in order.
   * @param afterSequence −1 for all
   * @throws DaemonError `store-failed` when a chunk is damaged
   */
  async samples(bakeId: number, afterSequence = -1, limit = Number.MAX_SAFE_INTEGER): Promise<Sample[]> {
    const chunks = await this.#database.all<{ first_sequence: number; chunk: Uint8Array }>(
      `SELECT first_sequence, chunk FROM sample_chunks
       WHERE bake_id = ? AND first_sequence + sample_count > ? AND first_sequence <= ? ORDER BY first_sequence`,
      [bakeId, afterSequence + 1, Math.min(afterSequence + limit, Number.MAX_SAFE_INTEGER)],
    );
    const first = chunks[0];
    if (!first) return (await liveRows(this.#database, bakeId, afterSequence, limit)).map(sampleOf);
    const skipped = Math.max(0, afterSequence + 1 - first.first_sequence);
    return chunks.flatMap(({ chunk }) => unpackSamples(chunk)).slice(skipped, skipped + limit);
  }

  /**
   * Changes what is known of a bake.
   * @throws DaemonError `not-found` when there is no such bake
   */
  async update(bakeId: number, change: BakeChange): Promise<void> {
    const columns = new Map<string, SqlValue>();
    if (change.state) columns.set("state", change.state);
    if (change.plan !== undefined) {
      columns.set("plan_id", change.plan?.planId ?? null);
      columns.set("plan_revision", change.plan?.revision ?? null);
      columns.set("effective", change.plan && effectiveJson(change.plan));
    }
    if (change.layers !== undefined) columns.set("layers", JSON.stringify(change.layers));
    if (change.jobNumber !== undefined) columns.set("job_number", change.jobNumber);
    if (change.note !== undefined) columns.set("note", change.note);
    if (change.probe !== undefined) columns.set("probe", JSON.stringify(change.probe));
    if (change.sensorFaults !== undefined) columns.set("sensor_faults", JSON.stringify(change.sensorFaults));
    if (change.result) for (const [column, value] of resultColumns(change.result)) columns.set(column, value);
    await this.#database.write((writer) => updateBake(writer, bakeId, columns));
  }

  /**
   * Closes a bake: packs its samples, queues the chunks, writes the verdict. All of it or nothing.
   * @throws DaemonError `conflict` when it is finished already
   */
  async close(bakeId: number, result: BakeResult): Promise<void> {
    await this.#database.write(async (writer) => {
      const open = await writer.first("SELECT id FROM bakes WHERE id = ? AND state <> 'finished'", [bakeId]);
      if (!open) throw new DaemonError("conflict", `Bake ${bakeId} is not open.`);
      const samples = (await liveRows(writer, bakeId)).map(sampleOf);
      for (let start = 0; start < samples.length; start += SAMPLES_PER_CHUNK)
        await insertChunk(
          writer,
          {
            bakeId,
            firstSequence: start,
            queuedAtEpochMilliseconds: Math.round(this.#clock.epochMilliseconds()),
          },
          samples.slice(start, start + SAMPLES_PER_CHUNK),
        );
      await writer.run("DELETE FROM samples WHERE bake_id = ?", [bakeId]);
      await updateBake(
        writer,
        bakeId,
        new Map<string, SqlValue>([
          ["state", "finished"],
          ["sample_count", samples.length],
          ...resultColumns(result),
        ]),
      );
    });
  }

  /**
   * Bakes newest first, by the order of recording: a wall clock that was wrong cannot shuffle them.
   * @returns one page of them, and how many fit the filter in all
   */
  async list(filter: ParsedBakeFilter): Promise<{ bakes: BakeSummary[]; total: number }> {
    const { where, values } = conditions(filter);
    const counted = await this.#database.first<{ total: number }>(
      `SELECT count(*) AS total FROM bakes ${where}`,
      values,
    );
    const rows = await this.#database.all<BakeRow>(`${listSql(where)} LIMIT ? OFFSET ?`, [
      ...values,
      filter.limit,
      filter.offset,
    ]);
    return { bakes: rows.map(summaryOf), total: counted?.total ?? 0 };
  }

  /**
   * How SQLite would answer a list, one line a step.
   * @example await bakes.explainList(bakeFilterSchema.parse({ furnaceId: "one" })) // ["SEARCH bakes USING INDEX bakes_by_furnace (furnace_id=?)", …]
   */
  async explainList(filter: ParsedBakeFilter): Promise<string[]> {
    const { where, values } = conditions(filter);
    const rows = await this.#database.all<{ detail: string }>(`EXPLAIN QUERY PLAN ${listSql(where)}`, values);
    return rows.map((row) => row.detail);
  }

  /** The ids of the newest bakes that are looked for, newest first. */
  async find(question: BakeQuestion, limit: number): Promise<number[]> {
    const { sql, values } = questionSql(question);
    const rows = await this.#database.all<{ id: number }>(`${sql} ORDER BY bakes.id DESC LIMIT ?`, [
      ...values,
      limit,
    ]);
    return rows.map(({ id }) => id);
  }

  /** A bake with its plan, comparison and grades; undefined when there is none of that id. */
  async detail(bakeId: number): Promise<BakeDetail | undefined> {
    const row = await this.#database.first<WholeBakeRow>(`${WHOLE} ${JOINED} WHERE bakes.id = ?`, [bakeId]);
    if (!row) return undefined;
    return {
      bake: summaryOf(row),
      plan: await this.#planOf(row),
      comparison: row.comparison === null ? null : comparisonSchema.parse(JSON.parse(row.comparison)),
      grades: await this.#grades(bakeId),
      note: row.note,
      probe: probeOf(row),
      sensorFaults: sensorFaultsOf(row),
      layers: layersOf(row),
    };
  }

  /** The bakes that are not finished, oldest first, with all that is needed to go on with them. */
  async open(): Promise<InterruptedBake[]> {
    const rows = await this.#database.all<WholeBakeRow>(
      `${WHOLE} ${JOINED} WHERE bakes.state <> 'finished' ORDER BY bakes.id`,
    );
    const open: InterruptedBake[] = [];
    for (const row of rows)
      open.push({
        bake: summaryOf(row),
        plan: await this.#planOf(row),
        layers: layersOf(row),
        note: row.note,
        isBegunByHand: row.is_begun_by_hand === 1,
        restCelsius: row.rest_celsius,
        probe: probeOf(row),
        sensorFaults: sensorFaultsOf(row),
        samples: (await liveRows(this.#database, row.id)).map(recordedSampleOf),
      });
    return open;
  }

  /** Whether a bake was begun by hand, so that its trace starts with the drying. */
  async isBegunByHand(bakeId: number): Promise<boolean> {
    const row = await this.#database.first<{ is_begun_by_hand: number }>(
      "SELECT is_begun_by_hand FROM bakes WHERE id = ?",
      [bakeId],
    );
    return row?.is_begun_by_hand === 1;
  }

  /** Where the recording of a bake was interrupted, in order. */
  async interruptions(bakeId: number): Promise<Interruption[]> {
    const rows = await this.#database.all<{
      sequence: number;
      gap_seconds: number;
      told_by: Interruption["toldBy"];
      resumed_epoch_ms: number;
    }>("SELECT * FROM interruptions WHERE bake_id = ? ORDER BY sequence", [bakeId]);
    return rows.map((row) => ({
      sequence: row.sequence,
      gapSeconds: row.gap_seconds,
      toldBy: row.told_by,
      resumedAtEpochMilliseconds: row.resumed_epoch_ms,
    }));
  }

  /**
   * Adds a grade to a bake; those before it stay.
   * @throws DaemonError `not-found` when there is no such bake
   */
  addGrade(bakeId: number, { grade, note, by }: GradeRequest): Promise<Grade> {
    const gradedAtEpochMilliseconds = Math.round(this.#clock.epochMilliseconds());
    return this.#database.write(async (writer) => {
      await updateBake(writer, bakeId, new Map([["grade", grade]]));
      await writer.run(
        "INSERT INTO grades (bake_id, grade, note, given_by, graded_epoch_ms) VALUES (?, ?, ?, ?, ?)",
        [bakeId, grade, note, by, gradedAtEpochMilliseconds],
      );
      return { bakeId, grade, note, by, gradedAtEpochMilliseconds };
    });
  }

  async #planOf(row: WholeBakeRow): Promise<BakePlan | null> {
    if (row.plan_id === null || row.plan_revision === null) return null;
    const saved = await this.#plans.get(row.plan_id, row.plan_revision);
    if (!saved) return null;
    const { planId, revision, plan, savedAtEpochMilliseconds, isDemonstration } = saved;
    const fitted = row.effective === null ? null : effectiveSchema.parse(JSON.parse(row.effective));
    return {
      planId,
      revision,
      savedAtEpochMilliseconds,
      isDemonstration,
      ...(fitted ?? { case: null, plan, sources: [], material: null }),
    };
  }

  async #grades(bakeId: number): Promise<Grade[]> {
    const rows = await this.#database.all<{
      grade: Grade["grade"];
      note: string | null;
      given_by: string | null;
      graded_epoch_ms: number;
    }>("SELECT * FROM grades WHERE bake_id = ? ORDER BY id", [bakeId]);
    return rows.map(({ grade, note, given_by, graded_epoch_ms }) => ({
      bakeId,
      grade,
      note,
      by: given_by,
      gradedAtEpochMilliseconds: graded_epoch_ms,
    }));
  }
}

async function insertRows(
  writer: Writer,
  bakeId: number,
  fromSequence: number,
  samples: readonly RecordedSample[],
): Promise<void> {
  const places = samples.map(() => "(?, ?, ?, ?, ?, ?, ?, ?, ?, ?)").join(", ");
  await writer.run(
    `INSERT INTO samples (bake_id, sequence, at_seconds, celsius, hectopascals, cold_junction_celsius,
       heater_duty_fraction, millivolts, instrument_seconds, received_epoch_ms) VALUES ${places} ON CONFLICT DO NOTHING`,
    samples.flatMap((sample, index) => [
      bakeId,
      fromSequence + index,
      sample.atSeconds,
      sample.celsius,
      sample.hectopascals ?? null,
      sample.coldJunctionCelsius ?? null,
      sample.heaterDutyFraction ?? null,
      sample.millivolts ?? null,
      sample.instrumentSeconds ?? null,
      Math.round(sample.receivedAtEpochMilliseconds),
    ]),
  );
}

async function insertInterruption(
  writer: Writer,
  bakeId: number,
  { sequence, gapSeconds, toldBy, resumedAtEpochMilliseconds }: Interruption,
): Promise<void> {
  await writer.run(
    `INSERT INTO interruptions (bake_id, sequence, gap_seconds, told_by, resumed_epoch_ms)
     VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING`,
    [bakeId, sequence, gapSeconds, toldBy, Math.round(resumedAtEpochMilliseconds)],
  );
}

async function insertChunk(
  writer: Writer,
  place: {
    readonly bakeId: number;
    readonly firstSequence: number;
    readonly queuedAtEpochMilliseconds: number;
  },
  samples: readonly Sample[],
): Promise<void> {
  const { bakeId, firstSequence, queuedAtEpochMilliseconds } = place;
  const { newId } = await writer.run(
    "INSERT INTO sample_chunks (bake_id, first_sequence, sample_count, chunk) VALUES (?, ?, ?, ?)",
    [bakeId, firstSequence, samples.length, packSamples(samples)],
  );
  await writer.run("INSERT INTO outbox (chunk_id, queued_epoch_ms) VALUES (?, ?)", [
    newId,
    queuedAtEpochMilliseconds,
  ]);
}

async function updateBake(
  writer: Writer,
  bakeId: number,
  columns: ReadonlyMap<string, SqlValue>,
): Promise<void> {
  const assignments = ["id = id", ...[...columns.keys()].map((column) => `${column} = ?`)].join(", ");
  const { changes } = await writer.run(`UPDATE bakes SET ${assignments} WHERE id = ?`, [
    ...columns.values(),
    bakeId,
  ]);
  if (changes === 0) throw new DaemonError("not-found", `There is no bake ${bakeId}.`);
}

function resultColumns({
  lengthSeconds,
  peakCelsius,
  gapSeconds,
  comparison,
  sensorFaults,
}: BakeResult): [string, SqlValue][] {
  return [
    ["length_seconds", lengthSeconds],
    ["peak_celsius", peakCelsius],
    ["gap_seconds", gapSeconds],
    ["comparison", comparison && JSON.stringify(comparison)],
    ["heat_work_ratio", comparison?.heatWork.ratio ?? null],
    ["equivalent_offset_kelvin", comparison?.heatWork.equivalentOffsetKelvin ?? null],
    ...(sensorFaults === undefined
      ? []
      : [["sensor_faults", JSON.stringify(sensorFaults)] satisfies [string, SqlValue]]),
  ];
}

function liveRows(
  reader: Reader,
  bakeId: number,
  afterSequence = -1,
  limit = Number.MAX_SAFE_INTEGER,
): Promise<SampleRow[]> {
  return reader.all<SampleRow>(
    "SELECT * FROM samples WHERE bake_id = ? AND sequence > ? ORDER BY sequence LIMIT ?",
    [bakeId, afterSequence, limit],
  );
}

function sampleOf(row: SampleRow): Sample {
  return {
    atSeconds: row.at_seconds,
    celsius: row.celsius,
    ...(row.hectopascals !== null && { hectopascals: row.hectopascals }),
    ...(row.cold_junction_celsius !== null && { coldJunctionCelsius: row.cold_junction_celsius }),
    ...(row.heater_duty_fraction !== null && { heaterDutyFraction: row.heater_duty_fraction }),
    ...(row.millivolts !== null && { millivolts: row.millivolts }),
  };
}

function probeOf({ probe }: WholeBakeRow): Probe | null {
  return probe === null ? null : probeSchema.parse(JSON.parse(probe));
}

function layersOf({ layers }: WholeBakeRow): BakeLayer[] {
  return bakeLayerSchema.array().parse(JSON.parse(layers ?? "[]"));
}

function effectiveJson({ case: bakeCase, plan, sources, material }: BakePlan): string {
  return JSON.stringify({ case: bakeCase, plan, sources, material });
}

function sensorFaultsOf({ sensor_faults }: WholeBakeRow): SensorFault[] {
  return sensorFaultSchema.array().parse(JSON.parse(sensor_faults ?? "[]"));
}

function recordedSampleOf(row: SampleRow): RecordedSample {
  return {
    ...sampleOf(row),
    ...(row.instrument_seconds !== null && { instrumentSeconds: row.instrument_seconds }),
    receivedAtEpochMilliseconds: row.received_epoch_ms,
  };
}

function questionSql(question: BakeQuestion): { sql: string; values: SqlValue[] } {
  switch (question.kind) {
    case "compared":
      return {
        sql: "SELECT id FROM bakes WHERE furnace_id = ? AND id < ? AND state = 'finished' AND comparison IS NOT NULL",
        values: [question.furnaceId, question.beforeBakeId ?? Number.MAX_SAFE_INTEGER],
      };
    case "of-job":
      return { sql: "SELECT id FROM bakes WHERE job_number = ?", values: [question.jobNumber] };
    case "graded-of-material":
      return {
        sql: `SELECT bakes.id FROM bake_materials JOIN bakes ON bakes.id = bake_materials.bake_id
          WHERE bake_materials.material_id = ? AND bakes.grade IS NOT NULL AND bakes.state = 'finished'`,
        values: [question.materialId],
      };
  }
}

const listSql = (where: string): string => `${SUMMARIES} ${JOINED} ${where} ORDER BY bakes.id DESC`;

function conditions(filter: ParsedBakeFilter): { where: string; values: SqlValue[] } {
  const parts: [string, SqlValue[]][] = [];
  if (filter.furnaceId !== undefined) parts.push(["bakes.furnace_id = ?", [filter.furnaceId]]);
  if (filter.planId !== undefined) parts.push(["bakes.plan_id = ?", [filter.planId]]);
  if (filter.grade === "none") parts.push(["bakes.grade IS NULL", []]);
  else if (filter.grade !== undefined) parts.push(["bakes.grade = ?", [filter.grade]]);
  if (filter.job) parts.push(["instr(lower(bakes.job_number), lower(?)) > 0", [filter.job]]);
  if (filter.fromEpochMilliseconds !== undefined)
    parts.push(["bakes.started_epoch_ms >= ?", [filter.fromEpochMilliseconds]]);
  if (filter.toEpochMilliseconds !== undefined)
    parts.push(["bakes.started_epoch_ms <= ?", [filter.toEpochMilliseconds]]);
  return {
    where: parts.length === 0 ? "" : `WHERE ${parts.map(([condition]) => condition).join(" AND ")}`,
    values: parts.flatMap(([, values]) => values),
  };
}

function summaryOf(row: BakeRow): BakeSummary {
  return {
    id: row.id,
    furnaceId: row.furnace_id,
    furnaceName: row.furnace_name,
    planId: row.plan_id,
    planRevision: row.plan_revision,
    planName: row.plan_name,
    jobNumber: row.job_number,
    state: row.state,
    startedAtEpochMilliseconds: row.started_epoch_ms,
    lengthSeconds: row.length_seconds,
    sampleCount: row.sample_count,
    peakCelsius: row.peak_celsius,
    heatWorkRatio: row.heat_work_ratio,
    equivalentOffsetKelvin: row.equivalent_offset_kelvin,
    gapSeconds: row.gap_seconds,
    grade: row.grade,
    isDemonstration: row.is_demonstration === 1,
    case: row.bake_case === null ? null : bakeCaseSchema.parse(JSON.parse(row.bake_case)),
  };
}
