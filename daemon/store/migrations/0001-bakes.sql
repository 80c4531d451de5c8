-- Furnaces, plans, bakes and what was measured. Never edited once released: a change is the next file.
-- Booleans are 0 or 1; *_epoch_ms is the wall clock, a label; seconds are the bake's own.

CREATE TABLE furnaces (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 40),
  name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 40),
  port TEXT,
  baud_rate INTEGER NOT NULL CHECK (baud_rate > 0),
  format TEXT NOT NULL,
  is_demonstration INTEGER NOT NULL CHECK (is_demonstration IN (0, 1))
) STRICT, WITHOUT ROWID;

CREATE TABLE plans (
  id INTEGER PRIMARY KEY,
  is_demonstration INTEGER NOT NULL CHECK (is_demonstration IN (0, 1))
) STRICT;

CREATE TABLE plan_revisions (
  plan_id INTEGER NOT NULL REFERENCES plans (id),
  revision INTEGER NOT NULL CHECK (revision >= 1),
  plan TEXT NOT NULL CHECK (json_valid(plan)),
  saved_epoch_ms INTEGER NOT NULL,
  PRIMARY KEY (plan_id, revision)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER plan_revisions_are_never_edited BEFORE UPDATE ON plan_revisions
BEGIN SELECT RAISE(ABORT, 'a plan revision is never edited'); END;

CREATE TRIGGER plan_revisions_are_never_removed BEFORE DELETE ON plan_revisions
BEGIN SELECT RAISE(ABORT, 'a plan revision is never removed'); END;

CREATE TABLE bakes (
  -- Rising in the order of recording, also on a machine whose wall clock is wrong.
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  furnace_id TEXT NOT NULL REFERENCES furnaces (id),
  plan_id INTEGER,
  plan_revision INTEGER,
  job_number TEXT CHECK (length(job_number) BETWEEN 1 AND 40),
  state TEXT NOT NULL CHECK (state IN ('waiting', 'running', 'finished')),
  started_epoch_ms INTEGER NOT NULL,
  is_demonstration INTEGER NOT NULL CHECK (is_demonstration IN (0, 1)),
  note TEXT CHECK (length(note) <= 500),
  -- 1: begun by hand, before the drying; 0: opened by its climb.
  is_begun_by_hand INTEGER NOT NULL CHECK (is_begun_by_hand IN (0, 1)),
  -- Where the furnace rested before the bake, °C: what its end is told by after a restart.
  rest_celsius REAL,
  -- Written at the close, and again when another plan is given afterwards.
  length_seconds REAL NOT NULL DEFAULT 0 CHECK (length_seconds >= 0),
  sample_count INTEGER NOT NULL DEFAULT 0 CHECK (sample_count >= 0),
  peak_celsius REAL,
  heat_work_ratio REAL,
  equivalent_offset_kelvin REAL,
  gap_seconds REAL NOT NULL DEFAULT 0 CHECK (gap_seconds >= 0),
  -- The comparison that the verdict stands on, with its model version and activation energy inside.
  comparison TEXT CHECK (json_valid(comparison)),
  -- The newest of its grades.
  grade TEXT CHECK (grade IN ('raw', 'milky', 'right', 'glassy', 'slumped')),
  FOREIGN KEY (plan_id, plan_revision) REFERENCES plan_revisions (plan_id, revision),
  CHECK ((plan_id IS NULL) = (plan_revision IS NULL))
) STRICT;

CREATE INDEX bakes_by_furnace ON bakes (furnace_id);
CREATE INDEX bakes_by_plan ON bakes (plan_id);
CREATE INDEX bakes_by_grade ON bakes (grade);
CREATE INDEX bakes_by_start ON bakes (started_epoch_ms);
CREATE INDEX bakes_by_job ON bakes (job_number) WHERE job_number IS NOT NULL;
CREATE INDEX bakes_open ON bakes (id) WHERE state <> 'finished';

-- The samples of open bakes; packed into chunks at the close.
CREATE TABLE samples (
  bake_id INTEGER NOT NULL REFERENCES bakes (id),
  sequence INTEGER NOT NULL CHECK (sequence >= 0),
  at_seconds REAL NOT NULL CHECK (at_seconds >= 0),
  celsius REAL NOT NULL CHECK (celsius BETWEEN -300 AND 5000),
  hectopascals REAL,
  cold_junction_celsius REAL,
  heater_duty_fraction REAL,
  -- By these two a bake goes on after a restart: the instrument's own time, and the wall clock.
  instrument_seconds REAL,
  received_epoch_ms INTEGER NOT NULL,
  PRIMARY KEY (bake_id, sequence)
) STRICT, WITHOUT ROWID;

-- The samples of finished bakes: sample-chunks.md.
CREATE TABLE sample_chunks (
  id INTEGER PRIMARY KEY,
  bake_id INTEGER NOT NULL REFERENCES bakes (id),
  first_sequence INTEGER NOT NULL CHECK (first_sequence >= 0),
  sample_count INTEGER NOT NULL CHECK (sample_count > 0),
  chunk BLOB NOT NULL CHECK (length(chunk) > 5),
  UNIQUE (bake_id, first_sequence)
) STRICT;

-- Where a recording was taken up again after the program had stopped.
CREATE TABLE interruptions (
  bake_id INTEGER NOT NULL REFERENCES bakes (id),
  -- The first sample after it.
  sequence INTEGER NOT NULL CHECK (sequence >= 0),
  gap_seconds REAL NOT NULL CHECK (gap_seconds >= 0),
  -- What the length of the gap was told by; 'bounded': by a wall clock that cannot be right.
  told_by TEXT NOT NULL CHECK (told_by IN ('instrument', 'wall-clock', 'bounded')),
  resumed_epoch_ms INTEGER NOT NULL,
  PRIMARY KEY (bake_id, sequence)
) STRICT, WITHOUT ROWID;

CREATE TABLE grades (
  id INTEGER PRIMARY KEY,
  bake_id INTEGER NOT NULL REFERENCES bakes (id),
  grade TEXT NOT NULL CHECK (grade IN ('raw', 'milky', 'right', 'glassy', 'slumped')),
  note TEXT CHECK (length(note) <= 500),
  given_by TEXT CHECK (length(given_by) <= 40),
  graded_epoch_ms INTEGER NOT NULL
) STRICT;

CREATE INDEX grades_by_bake ON grades (bake_id);

CREATE TRIGGER grades_are_never_edited BEFORE UPDATE ON grades
BEGIN SELECT RAISE(ABORT, 'a grade is never edited'); END;

CREATE TRIGGER grades_are_never_removed BEFORE DELETE ON grades
BEGIN SELECT RAISE(ABORT, 'a grade is never removed'); END;

-- Chunks that are ready to be sent on; nothing reads it yet.
CREATE TABLE outbox (
  id INTEGER PRIMARY KEY,
  chunk_id INTEGER NOT NULL UNIQUE REFERENCES sample_chunks (id),
  queued_epoch_ms INTEGER NOT NULL
) STRICT;
