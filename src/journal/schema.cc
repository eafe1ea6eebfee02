#include "journal/database.h"

namespace armslength::journal {
namespace {

// Format 1. Times are milliseconds since 1970 UTC. Words are those of the marks and critique files.
constexpr const char* kFormat1 = R"sql(
CREATE TABLE piece (
  id INTEGER PRIMARY KEY,
  title TEXT NOT NULL,
  created_ms INTEGER NOT NULL,
  thumbnail_png BLOB
);
CREATE TABLE version (
  id INTEGER PRIMARY KEY,
  piece_id INTEGER NOT NULL REFERENCES piece(id) ON DELETE CASCADE,
  number INTEGER NOT NULL CHECK (number >= 1),
  picture_path TEXT NOT NULL,
  picture_sha256 TEXT NOT NULL,
  width_px INTEGER NOT NULL,
  height_px INTEGER NOT NULL,
  created_ms INTEGER NOT NULL,
  changed_ms INTEGER NOT NULL,
  stage TEXT,
  marks_json TEXT NOT NULL DEFAULT '',
  revision INTEGER NOT NULL DEFAULT 0,
  UNIQUE (piece_id, number)
);
CREATE INDEX version_path ON version(picture_path);
CREATE INDEX version_sha256 ON version(picture_sha256);
CREATE TABLE note (
  version_id INTEGER NOT NULL REFERENCES version(id) ON DELETE CASCADE,
  number INTEGER NOT NULL,
  position INTEGER NOT NULL,
  text TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('wrong', 'otherwise', 'keep')),
  look TEXT NOT NULL CHECK (look IN ('first', 'mirrored', 'checklist')),
  x_px REAL, y_px REAL, width_px REAL, height_px REAL,
  finding TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (version_id, number)
) WITHOUT ROWID;
CREATE TABLE judgement (
  version_id INTEGER NOT NULL REFERENCES version(id) ON DELETE CASCADE,
  finding TEXT NOT NULL,
  figure TEXT NOT NULL DEFAULT '',
  answer TEXT NOT NULL CHECK (answer IN ('agree', 'not_so', 'meant')),
  at_ms INTEGER NOT NULL,
  PRIMARY KEY (version_id, finding, figure)
) WITHOUT ROWID;
CREATE INDEX judgement_finding ON judgement(finding);
CREATE TABLE finding (
  version_id INTEGER NOT NULL REFERENCES version(id) ON DELETE CASCADE,
  position INTEGER NOT NULL,
  id TEXT NOT NULL,
  figure TEXT NOT NULL,
  title TEXT NOT NULL,
  kind TEXT NOT NULL,
  verdict TEXT NOT NULL,
  stage TEXT NOT NULL,
  measured REAL, expected REAL, tolerance REAL, sd REAL,
  unit TEXT NOT NULL,
  evidence REAL,
  test TEXT NOT NULL,
  certainty INTEGER,
  meant INTEGER NOT NULL,
  minutes REAL NOT NULL,
  PRIMARY KEY (version_id, position)
) WITHOUT ROWID;
CREATE INDEX finding_id ON finding(id);
CREATE TABLE session (
  id INTEGER PRIMARY KEY,
  version_id INTEGER NOT NULL REFERENCES version(id) ON DELETE CASCADE,
  place TEXT NOT NULL,
  began_ms INTEGER NOT NULL,
  last_ms INTEGER NOT NULL,
  active_s REAL NOT NULL DEFAULT 0
);
CREATE INDEX session_version ON session(version_id);
)sql";

// Format 2: the learned heads that the figures of a piece are judged against, for all its versions.
constexpr const char* kFormat2 = R"sql(
CREATE TABLE piece_character (
  piece_id INTEGER NOT NULL REFERENCES piece(id) ON DELETE CASCADE,
  figure TEXT NOT NULL,
  file TEXT NOT NULL,
  PRIMARY KEY (piece_id, figure)
) WITHOUT ROWID;
)sql";

constexpr const char* kSteps[] = {kFormat1, kFormat2};

}  // namespace

std::span<const char* const> Steps() { return kSteps; }

}  // namespace armslength::journal
