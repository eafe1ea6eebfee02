#pragma once
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "check/finding.h"

namespace armslength {

using RowId = std::int64_t;
using TimeMs = std::int64_t;  // milliseconds since 1970-01-01 UTC

enum class NoteKind : std::uint8_t { kWrong, kOtherwise, kKeep };
enum class NoteLook : std::uint8_t { kFirst, kMirrored, kChecklist };

// The artist's own remark.
struct JournalNote {
  std::int64_t number = 0;  // the artist's numbering; unique in a version
  std::string text;
  NoteKind kind = NoteKind::kWrong;
  NoteLook look = NoteLook::kFirst;
  std::optional<std::array<double, 4>> where_px;  // x, y, width, height; a spot has no size
  std::string finding;                            // id of a finding it is about; may be empty
};

enum class Answer : std::uint8_t { kAgree, kNotSo, kMeant };

// The artist's answer to one finding.
struct Judgement {
  std::string finding;  // id
  std::string figure;   // name; empty: the whole picture
  Answer answer = Answer::kAgree;
  TimeMs at = 0;        // when it was given; kept while the answer stays
};

// Everything the artist made on one version.
struct SavedWork {
  std::string marks_json;  // as MarksToJson writes it; "" before the first mark
  std::optional<Stage> stage;
  std::vector<JournalNote> notes;
  std::vector<Judgement> judgements;
  // Character file by figure name. Belongs to the piece: all its versions share it, the last save counts.
  std::map<std::string, std::string> characters;
  std::int64_t revision = 0;  // grows by one with each save; set by the journal
};

// The picture file behind a version, at the time of its last opening.
struct PictureRef {
  std::string path;    // absolute
  std::string sha256;  // of the file's bytes
  int width = 0, height = 0;  // px
};

struct VersionInfo {
  RowId id = 0, piece = 0;
  int number = 1;  // 1, 2, ... within the piece
  PictureRef picture;
  TimeMs created = 0, changed = 0;
};

struct PieceInfo {
  RowId id = 0;
  std::string title;
  TimeMs created = 0;
  int versions = 0;
  VersionInfo latest;
  double minutes = 0.0;        // time spent on all its versions
  std::string thumbnail_png;   // bytes; may be empty
};

// A finding of the last critique of a version, as far as it is worth keeping.
struct KeptFinding {
  std::string id, figure, title;
  Kind kind = Kind::kConstruction;
  Verdict verdict = Verdict::kCannotTell;
  Stage stage = Stage::kConstruction;
  std::optional<double> measured, expected, tolerance, sd;
  std::string unit;
  std::optional<double> evidence;
  std::string test;
  std::optional<int> certainty;  // CertaintyStep as a number; nothing when not known
  bool meant = false;
  double minutes = 0.0;          // of the remedy
};
[[nodiscard]] KeptFinding Keep(const Finding& finding);

// Time spent, by place of the bench ("look", "mark", "critique").
struct TimeShare {
  std::string place;
  double minutes = 0.0;
};

}  // namespace armslength
