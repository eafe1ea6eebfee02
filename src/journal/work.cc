#include <array>
#include <map>

#include <fmt/format.h>

#include "journal/inside.h"

namespace armslength {
using namespace journal;

namespace journal {
namespace {

constexpr std::array<std::string_view, 3> kNoteKinds = {"wrong", "otherwise", "keep"};
constexpr std::array<std::string_view, 3> kNoteLooks = {"first", "mirrored", "checklist"};
constexpr std::array<std::string_view, 3> kAnswers = {"agree", "not_so", "meant"};

// The tables allow no other words, so the fallback is never met.
template <typename Enum>
Enum FromName(const std::array<std::string_view, 3>& names, std::string_view name) {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == name) return static_cast<Enum>(i);
  return Enum{};
}

}  // namespace

std::string_view Name(NoteKind kind) { return kNoteKinds[static_cast<std::size_t>(kind)]; }
std::string_view Name(NoteLook look) { return kNoteLooks[static_cast<std::size_t>(look)]; }
std::string_view Name(Answer answer) { return kAnswers[static_cast<std::size_t>(answer)]; }
NoteKind NoteKindFromName(std::string_view name) { return FromName<NoteKind>(kNoteKinds, name); }
NoteLook NoteLookFromName(std::string_view name) { return FromName<NoteLook>(kNoteLooks, name); }
Answer AnswerFromName(std::string_view name) { return FromName<Answer>(kAnswers, name); }

}  // namespace journal

namespace {

void BindText(SQLite::Statement& s, int at, std::string_view text) { s.bind(at, std::string(text)); }

void BindReal(SQLite::Statement& s, int at, const std::optional<double>& value) {
  if (value) s.bind(at, *value);
  else s.bind(at);
}

std::optional<double> Real(const SQLite::Column& column) {
  return column.isNull() ? std::nullopt : std::optional(column.getDouble());
}

constexpr std::array<Kind, 5> kKinds = {Kind::kConstruction, Kind::kCanon, Kind::kCraft, Kind::kTaste, Kind::kKeep};
constexpr std::array<Verdict, 3> kVerdicts = {Verdict::kOff, Verdict::kClear, Verdict::kCannotTell};

Error Gone(const std::filesystem::path& file) {
  return BadInput(file.string(), "", "this version is not in the journal any more",
                  "It was removed in another window, or a backup was restored; open the picture again")
      .value();
}

// When each answer was given, for those that stay.
std::map<std::pair<std::string, std::string>, std::pair<Answer, TimeMs>> AnswersOf(SQLite::Database& db, RowId version) {
  std::map<std::pair<std::string, std::string>, std::pair<Answer, TimeMs>> answers;
  SQLite::Statement row(db, "SELECT finding, figure, answer, at_ms FROM judgement WHERE version_id = ?");
  row.bind(1, version);
  while (row.executeStep())
    answers[{row.getColumn(0).getString(), row.getColumn(1).getString()}] = {
        AnswerFromName(row.getColumn(2).getString()), row.getColumn(3).getInt64()};
  return answers;
}

void WriteNotes(SQLite::Database& db, RowId version, const std::vector<JournalNote>& notes) {
  SQLite::Statement clear(db, "DELETE FROM note WHERE version_id = ?");
  clear.bind(1, version);
  clear.exec();
  SQLite::Statement insert(db,
                           "INSERT INTO note (version_id, number, position, text, kind, look, x_px, y_px, width_px, "
                           "height_px, finding) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  int position = 0;
  for (const JournalNote& note : notes) {
    insert.reset();
    insert.bind(1, version);
    insert.bind(2, note.number);
    insert.bind(3, position++);
    BindText(insert, 4, note.text);
    BindText(insert, 5, Name(note.kind));
    BindText(insert, 6, Name(note.look));
    for (int i = 0; i < 4; ++i)
      BindReal(insert, 7 + i, note.where_px ? std::optional((*note.where_px)[static_cast<std::size_t>(i)]) : std::nullopt);
    BindText(insert, 11, note.finding);
    insert.exec();
  }
}

void WriteJudgements(SQLite::Database& db, RowId version, const std::vector<Judgement>& judgements, TimeMs now) {
  const auto before = AnswersOf(db, version);
  SQLite::Statement clear(db, "DELETE FROM judgement WHERE version_id = ?");
  clear.bind(1, version);
  clear.exec();
  SQLite::Statement insert(
      db, "INSERT OR REPLACE INTO judgement (version_id, finding, figure, answer, at_ms) VALUES (?, ?, ?, ?, ?)");
  for (const Judgement& j : judgements) {
    TimeMs at = j.at > 0 ? j.at : now;
    if (const auto it = before.find({j.finding, j.figure}); it != before.end() && it->second.first == j.answer)
      at = it->second.second;
    insert.reset();
    insert.bind(1, version);
    BindText(insert, 2, j.finding);
    BindText(insert, 3, j.figure);
    BindText(insert, 4, Name(j.answer));
    insert.bind(5, at);
    insert.exec();
  }
}

void WriteCharacters(SQLite::Database& db, RowId version, const std::map<std::string, std::string>& characters) {
  SQLite::Statement clear(db, "DELETE FROM piece_character WHERE piece_id = (SELECT piece_id FROM version WHERE id = ?)");
  clear.bind(1, version);
  clear.exec();
  SQLite::Statement insert(
      db, "INSERT INTO piece_character (piece_id, figure, file) SELECT piece_id, ?, ? FROM version WHERE id = ?");
  for (const auto& [figure, file] : characters) {
    insert.reset();
    BindText(insert, 1, figure);
    BindText(insert, 2, file);
    insert.bind(3, version);
    insert.exec();
  }
}

}  // namespace

KeptFinding Keep(const Finding& f) {
  KeptFinding kept{f.id, f.figure, f.title, f.kind, f.verdict, f.stage, f.measured, f.expected, f.tolerance, f.sd,
                   f.unit, f.evidence, f.test, std::nullopt, f.meant, f.remedy.minutes};
  if (const auto step = CertaintyOf(f)) kept.certainty = static_cast<int>(*step);
  return kept;
}

Result<SavedWork> Journal::LoadWork(RowId version) {
  return Guard(in_->path, [&]() -> Result<SavedWork> {
    SQLite::Database& db = *in_->db;
    const SQLite::Transaction snapshot(db);  // one state, even while another window saves
    SavedWork work;
    {
      SQLite::Statement row(db, "SELECT marks_json, stage, revision FROM version WHERE id = ?");
      row.bind(1, version);
      if (!row.executeStep()) return tl::unexpected(Gone(in_->path));
      work.marks_json = row.getColumn(0).getString();
      if (!row.getColumn(1).isNull()) work.stage = StageFromName(row.getColumn(1).getString());
      work.revision = row.getColumn(2).getInt64();
    }
    SQLite::Statement note(db,
                           "SELECT number, text, kind, look, x_px, y_px, width_px, height_px, finding FROM note "
                           "WHERE version_id = ? ORDER BY position");
    note.bind(1, version);
    while (note.executeStep()) {
      JournalNote n;
      n.number = note.getColumn(0).getInt64();
      n.text = note.getColumn(1).getString();
      n.kind = NoteKindFromName(note.getColumn(2).getString());
      n.look = NoteLookFromName(note.getColumn(3).getString());
      if (!note.getColumn(4).isNull())
        n.where_px = {note.getColumn(4).getDouble(), note.getColumn(5).getDouble(), note.getColumn(6).getDouble(),
                      note.getColumn(7).getDouble()};
      n.finding = note.getColumn(8).getString();
      work.notes.push_back(std::move(n));
    }
    for (const auto& [key, answer] : AnswersOf(db, version))
      work.judgements.push_back({key.first, key.second, answer.first, answer.second});
    SQLite::Statement character(db,
                                "SELECT c.figure, c.file FROM piece_character AS c JOIN version AS v ON "
                                "v.piece_id = c.piece_id WHERE v.id = ?");
    character.bind(1, version);
    while (character.executeStep()) work.characters[character.getColumn(0).getString()] = character.getColumn(1).getString();
    return work;
  });
}

Result<std::int64_t> Journal::SaveWork(RowId version, const SavedWork& work) {
  return Guard(in_->path, [&]() -> Result<std::int64_t> {
    SQLite::Database& db = *in_->db;
    auto transaction = in_->Begin();
    {
      SQLite::Statement row(db, "SELECT revision FROM version WHERE id = ?");
      row.bind(1, version);
      if (!row.executeStep()) return tl::unexpected(Gone(in_->path));
      if (row.getColumn(0).getInt64() != work.revision)
        return Fail(ErrorKind::kUsage, in_->path.string(), "",
                    "this version was changed in another window since it was opened here",
                    "Open the picture again to see that work, or keep yours as a new version");
    }
    const TimeMs now = in_->now();
    SQLite::Statement update(
        db, "UPDATE version SET marks_json = ?, stage = ?, revision = revision + 1, changed_ms = ? WHERE id = ?");
    update.bind(1, work.marks_json);
    if (work.stage) BindText(update, 2, armslength::Name(*work.stage));
    else update.bind(2);
    update.bind(3, now);
    update.bind(4, version);
    update.exec();
    WriteNotes(db, version, work.notes);
    WriteJudgements(db, version, work.judgements, now);
    WriteCharacters(db, version, work.characters);
    transaction.commit();
    return work.revision + 1;
  });
}

Result<void> Journal::SaveFindings(RowId version, std::span<const Finding* const> findings) {
  return Guard(in_->path, [&]() -> Result<void> {
    SQLite::Database& db = *in_->db;
    auto transaction = in_->Begin();
    SQLite::Statement exists(db, "SELECT 1 FROM version WHERE id = ?");
    exists.bind(1, version);
    if (!exists.executeStep()) return tl::unexpected(Gone(in_->path));
    SQLite::Statement clear(db, "DELETE FROM finding WHERE version_id = ?");
    clear.bind(1, version);
    clear.exec();
    SQLite::Statement insert(db,
                             "INSERT INTO finding (version_id, position, id, figure, title, kind, verdict, stage, measured, "
                             "expected, tolerance, sd, unit, evidence, test, certainty, meant, minutes) "
                             "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    int position = 0;
    for (const Finding* finding : findings) {
      const KeptFinding f = Keep(*finding);
      insert.reset();
      insert.bind(1, version);
      insert.bind(2, position++);
      BindText(insert, 3, f.id);
      BindText(insert, 4, f.figure);
      BindText(insert, 5, f.title);
      BindText(insert, 6, armslength::Name(f.kind));
      BindText(insert, 7, armslength::Name(f.verdict));
      BindText(insert, 8, armslength::Name(f.stage));
      BindReal(insert, 9, f.measured);
      BindReal(insert, 10, f.expected);
      BindReal(insert, 11, f.tolerance);
      BindReal(insert, 12, f.sd);
      BindText(insert, 13, f.unit);
      BindReal(insert, 14, f.evidence);
      BindText(insert, 15, f.test);
      if (f.certainty) insert.bind(16, *f.certainty);
      else insert.bind(16);
      insert.bind(17, f.meant ? 1 : 0);
      insert.bind(18, f.minutes);
      insert.exec();
    }
    transaction.commit();
    return {};
  });
}

Result<std::vector<KeptFinding>> Journal::Findings(RowId version) {
  return Guard(in_->path, [&]() -> Result<std::vector<KeptFinding>> {
    SQLite::Statement row(*in_->db,
                          "SELECT id, figure, title, kind, verdict, stage, measured, expected, tolerance, sd, unit, "
                          "evidence, test, certainty, meant, minutes FROM finding WHERE version_id = ? ORDER BY position");
    row.bind(1, version);
    std::vector<KeptFinding> findings;
    while (row.executeStep()) {
      KeptFinding f;
      f.id = row.getColumn(0).getString();
      f.figure = row.getColumn(1).getString();
      f.title = row.getColumn(2).getString();
      const std::string kind = row.getColumn(3).getString(), verdict = row.getColumn(4).getString();
      for (const Kind k : kKinds)
        if (armslength::Name(k) == kind) f.kind = k;
      for (const Verdict v : kVerdicts)
        if (armslength::Name(v) == verdict) f.verdict = v;
      f.stage = StageFromName(row.getColumn(5).getString()).value_or(Stage::kConstruction);
      f.measured = Real(row.getColumn(6));
      f.expected = Real(row.getColumn(7));
      f.tolerance = Real(row.getColumn(8));
      f.sd = Real(row.getColumn(9));
      f.unit = row.getColumn(10).getString();
      f.evidence = Real(row.getColumn(11));
      f.test = row.getColumn(12).getString();
      if (!row.getColumn(13).isNull()) f.certainty = row.getColumn(13).getInt();
      f.meant = row.getColumn(14).getInt() != 0;
      f.minutes = row.getColumn(15).getDouble();
      findings.push_back(std::move(f));
    }
    return findings;
  });
}

Result<ArtistRecord> Journal::Record() {
  return Guard(in_->path, [&]() -> Result<ArtistRecord> {
    SQLite::Statement row(*in_->db, R"sql(
      SELECT j.finding, j.answer, count(DISTINCT v.piece_id) FROM judgement AS j JOIN version AS v ON v.id = j.version_id
      WHERE j.answer IN ('agree', 'not_so') GROUP BY j.finding, j.answer)sql");
    ArtistRecord record;
    while (row.executeStep()) {
      FindingAnswers& answers = record[row.getColumn(0).getString()];
      (AnswerFromName(row.getColumn(1).getString()) == Answer::kNotSo ? answers.not_so : answers.agreed) =
          row.getColumn(2).getInt();
    }
    return record;
  });
}

}  // namespace armslength
