-- Probes, what was wrong with them, and checks against something known.

ALTER TABLE furnaces ADD COLUMN framing TEXT NOT NULL DEFAULT '8N1'
  CHECK (framing IN ('8N1', '8N2', '8E1', '8O1', '7E1', '7O1'));
-- Thermocouple and adapter as somebody set them; the correction stands in corrections. Null: nobody said.
ALTER TABLE furnaces ADD COLUMN probe TEXT CHECK (json_valid(probe));
ALTER TABLE furnaces ADD COLUMN check_due_epoch_ms INTEGER;

-- The probe that a bake runs with, its correction inside; null for a bake of before probes were kept.
ALTER TABLE bakes ADD COLUMN probe TEXT CHECK (json_valid(probe));
-- Counted while it was recorded.
ALTER TABLE bakes ADD COLUMN sensor_faults TEXT CHECK (json_valid(sensor_faults));

ALTER TABLE samples ADD COLUMN millivolts REAL;

CREATE TABLE checks (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  furnace_id TEXT NOT NULL REFERENCES furnaces (id),
  checked_epoch_ms INTEGER NOT NULL,
  -- The thermocouple that was checked; its correction is none for another type.
  thermocouple_type TEXT CHECK (thermocouple_type IN ('B', 'E', 'J', 'K', 'N', 'R', 'S', 'T')),
  request TEXT NOT NULL CHECK (json_valid(request)),
  result TEXT NOT NULL CHECK (json_valid(result))
) STRICT;

CREATE INDEX checks_by_furnace ON checks (furnace_id);

CREATE TRIGGER checks_are_never_edited BEFORE UPDATE ON checks
BEGIN SELECT RAISE(ABORT, 'a check is never edited'); END;

CREATE TRIGGER checks_are_never_removed BEFORE DELETE ON checks
BEGIN SELECT RAISE(ABORT, 'a check is never removed'); END;

-- Every change of what is added to a furnace's readings; the newest row of a furnace is in force.
CREATE TABLE corrections (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  furnace_id TEXT NOT NULL REFERENCES furnaces (id),
  changed_epoch_ms INTEGER NOT NULL,
  -- 'type-changed': withdrawn because the furnace was given another type of thermocouple.
  kind TEXT NOT NULL CHECK (kind IN ('accepted', 'withdrawn', 'type-changed')),
  -- The check that was accepted, or whose correction ended.
  check_id INTEGER NOT NULL REFERENCES checks (id),
  changed_by TEXT CHECK (length(changed_by) <= 40),
  -- In force from then on; null: nothing is added.
  correction TEXT CHECK (json_valid(correction)),
  CHECK ((kind = 'accepted') = (correction IS NOT NULL))
) STRICT;

CREATE INDEX corrections_by_furnace ON corrections (furnace_id);
CREATE INDEX corrections_by_check ON corrections (check_id);

CREATE TRIGGER corrections_are_never_edited BEFORE UPDATE ON corrections
BEGIN SELECT RAISE(ABORT, 'a change of a correction is never edited'); END;

CREATE TRIGGER corrections_are_never_removed BEFORE DELETE ON corrections
BEGIN SELECT RAISE(ABORT, 'a change of a correction is never removed'); END;
