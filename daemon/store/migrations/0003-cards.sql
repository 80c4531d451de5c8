-- Plan cards, materials, and what a bake was fitted to.

-- Not offered for new bakes any more; its bakes keep it.
ALTER TABLE plans ADD COLUMN is_retired INTEGER NOT NULL DEFAULT 0 CHECK (is_retired IN (0, 1));
-- Adaptations, limits and the material's id beside the base plan; null: a plan alone.
ALTER TABLE plan_revisions ADD COLUMN card TEXT CHECK (json_valid(card));

CREATE TABLE materials (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  is_demonstration INTEGER NOT NULL CHECK (is_demonstration IN (0, 1)),
  is_retired INTEGER NOT NULL DEFAULT 0 CHECK (is_retired IN (0, 1))
) STRICT;

CREATE TABLE material_revisions (
  material_id INTEGER NOT NULL REFERENCES materials (id),
  revision INTEGER NOT NULL CHECK (revision >= 1),
  material TEXT NOT NULL CHECK (json_valid(material)),
  saved_epoch_ms INTEGER NOT NULL,
  PRIMARY KEY (material_id, revision)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER material_revisions_are_never_edited BEFORE UPDATE ON material_revisions
BEGIN SELECT RAISE(ABORT, 'a material revision is never edited'); END;

CREATE TRIGGER material_revisions_are_never_removed BEFORE DELETE ON material_revisions
BEGIN SELECT RAISE(ABORT, 'a material revision is never removed'); END;

-- The plan as it was fitted: case, effective plan, where its numbers come from, and the material of then.
-- Null: the bake ran its revision's base plan as saved, or none.
ALTER TABLE bakes ADD COLUMN effective TEXT CHECK (json_valid(effective));
-- Put on before the bake, each with its material of then.
ALTER TABLE bakes ADD COLUMN layers TEXT CHECK (json_valid(layers));

-- Which bakes a material went through, by card or by layer: found without reading whole bakes.
CREATE TABLE bake_materials (
  material_id INTEGER NOT NULL,
  bake_id INTEGER NOT NULL REFERENCES bakes (id),
  PRIMARY KEY (material_id, bake_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX bake_materials_by_bake ON bake_materials (bake_id);

CREATE TRIGGER bake_materials_of_new_bake AFTER INSERT ON bakes
BEGIN
  INSERT OR IGNORE INTO bake_materials (material_id, bake_id)
    SELECT json_extract(value, '$.material.materialId'), NEW.id FROM json_each(coalesce(NEW.layers, '[]'));
  INSERT OR IGNORE INTO bake_materials (material_id, bake_id)
    SELECT json_extract(NEW.effective, '$.material.materialId'), NEW.id
    WHERE json_extract(NEW.effective, '$.material.materialId') IS NOT NULL;
END;

CREATE TRIGGER bake_materials_of_changed_bake AFTER UPDATE OF effective, layers ON bakes
BEGIN
  DELETE FROM bake_materials WHERE bake_id = NEW.id;
  INSERT OR IGNORE INTO bake_materials (material_id, bake_id)
    SELECT json_extract(value, '$.material.materialId'), NEW.id FROM json_each(coalesce(NEW.layers, '[]'));
  INSERT OR IGNORE INTO bake_materials (material_id, bake_id)
    SELECT json_extract(NEW.effective, '$.material.materialId'), NEW.id
    WHERE json_extract(NEW.effective, '$.material.materialId') IS NOT NULL;
END;

