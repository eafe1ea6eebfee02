#include <algorithm>

#include <fmt/format.h>

#include "journal/inside.h"

namespace armslength {
namespace fs = std::filesystem;
using namespace journal;

namespace {

constexpr const char* kVersionColumns =
    "id, piece_id, number, picture_path, picture_sha256, width_px, height_px, created_ms, changed_ms";

VersionInfo ReadVersion(SQLite::Statement& row, int at = 0) {
  VersionInfo v;
  v.id = row.getColumn(at).getInt64();
  v.piece = row.getColumn(at + 1).getInt64();
  v.number = row.getColumn(at + 2).getInt();
  v.picture = {row.getColumn(at + 3).getString(), row.getColumn(at + 4).getString(), row.getColumn(at + 5).getInt(),
               row.getColumn(at + 6).getInt()};
  v.created = row.getColumn(at + 7).getInt64();
  v.changed = row.getColumn(at + 8).getInt64();
  return v;
}

std::optional<VersionInfo> FindVersion(SQLite::Database& db, RowId id) {
  SQLite::Statement row(db, fmt::format("SELECT {} FROM version WHERE id = ?", kVersionColumns));
  row.bind(1, id);
  return row.executeStep() ? std::optional(ReadVersion(row)) : std::nullopt;
}

VersionInfo InsertVersion(SQLite::Database& db, RowId piece, const PictureRef& picture, TimeMs now) {
  SQLite::Statement insert(db,
                           "INSERT INTO version (piece_id, number, picture_path, picture_sha256, width_px, height_px, "
                           "created_ms, changed_ms) VALUES (?1, (SELECT coalesce(max(number), 0) + 1 FROM version "
                           "WHERE piece_id = ?1), ?2, ?3, ?4, ?5, ?6, ?6)");
  insert.bind(1, piece);
  insert.bind(2, picture.path);
  insert.bind(3, picture.sha256);
  insert.bind(4, picture.width);
  insert.bind(5, picture.height);
  insert.bind(6, now);
  insert.exec();
  return *FindVersion(db, db.getLastInsertRowid());
}

Result<void> Changed(int rows, const fs::path& file, const char* what) {
  if (rows > 0) return {};
  return BadInput(file.string(), "", fmt::format("this {} is not in the journal any more", what),
                  "It was removed in another window, or a backup was restored; open the picture again");
}

Result<void> Sound(const PictureRef& picture) {
  if (!picture.path.empty() && picture.width > 0 && picture.height > 0) return {};
  return Fail(ErrorKind::kInternal, picture.path, "", "a version needs the picture's path and size", "Report this");
}

}  // namespace

Result<Journal::Opened> Journal::OpenPicture(const PictureRef& picture) {
  if (auto sound = Sound(picture); !sound) return tl::unexpected(sound.error());
  return Guard(in_->path, [&]() -> Result<Opened> {
    SQLite::Database& db = *in_->db;
    auto transaction = in_->Begin();
    Opened out;
    std::optional<VersionInfo> found;
    {
      SQLite::Statement row(db, fmt::format("SELECT {} FROM version WHERE picture_path = ? ORDER BY number DESC, id DESC",
                                            kVersionColumns));
      row.bind(1, picture.path);
      if (row.executeStep()) found = ReadVersion(row);
    }
    if (!found && !picture.sha256.empty()) {
      SQLite::Statement row(db, fmt::format("SELECT {} FROM version WHERE picture_sha256 = ? ORDER BY changed_ms DESC",
                                            kVersionColumns));
      row.bind(1, picture.sha256);
      std::error_code code;
      while (!found && row.executeStep()) {
        const VersionInfo other = ReadVersion(row);
        if (!fs::exists(other.picture.path, code)) found = other;  // a copy keeps its own work
      }
      out.moved = found.has_value();
    }
    if (found) {
      out.changed = !out.moved && found->picture.sha256 != picture.sha256;
      SQLite::Statement update(
          db, "UPDATE version SET picture_path = ?, picture_sha256 = ?, width_px = ?, height_px = ? WHERE id = ?");
      update.bind(1, picture.path);
      update.bind(2, picture.sha256);
      update.bind(3, picture.width);
      update.bind(4, picture.height);
      update.bind(5, found->id);
      update.exec();
      out.version = *FindVersion(db, found->id);
    } else {
      const TimeMs now = in_->now();
      SQLite::Statement piece(db, "INSERT INTO piece (title, created_ms) VALUES (?, ?)");
      piece.bind(1, fs::path(picture.path).stem().string());
      piece.bind(2, now);
      piece.exec();
      out.version = InsertVersion(db, db.getLastInsertRowid(), picture, now);
      out.is_new = true;
    }
    transaction.commit();
    return out;
  });
}

Result<VersionInfo> Journal::AddVersion(RowId piece, const PictureRef& picture, RowId copy_work_of) {
  if (auto sound = Sound(picture); !sound) return tl::unexpected(sound.error());
  return Guard(in_->path, [&]() -> Result<VersionInfo> {
    SQLite::Database& db = *in_->db;
    auto transaction = in_->Begin();
    SQLite::Statement exists(db, "SELECT 1 FROM piece WHERE id = ?");
    exists.bind(1, piece);
    if (!exists.executeStep()) return tl::unexpected(Changed(0, in_->path, "piece").error());
    const VersionInfo made = InsertVersion(db, piece, picture, in_->now());
    if (copy_work_of > 0) {
      SQLite::Statement work(db,
                             "UPDATE version SET marks_json = old.marks_json, stage = old.stage FROM version AS old "
                             "WHERE old.id = ? AND version.id = ?");
      work.bind(1, copy_work_of);
      work.bind(2, made.id);
      if (work.exec() == 0) return tl::unexpected(Changed(0, in_->path, "version").error());
      SQLite::Statement notes(db,
                              "INSERT INTO note SELECT ?, number, position, text, kind, look, x_px, y_px, width_px, "
                              "height_px, finding FROM note WHERE version_id = ?");
      notes.bind(1, made.id);
      notes.bind(2, copy_work_of);
      notes.exec();
    }
    transaction.commit();
    return made;
  });
}

Result<void> Journal::SetTitle(RowId piece, const std::string& title) {
  return Guard(in_->path, [&]() -> Result<void> {
    SQLite::Statement update(*in_->db, "UPDATE piece SET title = ? WHERE id = ?");
    update.bind(1, title);
    update.bind(2, piece);
    return Changed(update.exec(), in_->path, "piece");
  });
}

Result<void> Journal::SetThumbnail(RowId piece, std::string_view png) {
  constexpr std::size_t kMost = std::size_t{256} << 10;
  if (png.size() > kMost)
    return Fail(ErrorKind::kInternal, in_->path.string(), "", "the thumbnail is larger than 256 KiB", "Make it smaller");
  return Guard(in_->path, [&]() -> Result<void> {
    SQLite::Statement update(*in_->db, "UPDATE piece SET thumbnail_png = ? WHERE id = ?");
    update.bind(1, png.data(), static_cast<int>(png.size()));
    update.bind(2, piece);
    return Changed(update.exec(), in_->path, "piece");
  });
}

Result<void> Journal::RemovePiece(RowId piece) {
  return Guard(in_->path, [&]() -> Result<void> {
    SQLite::Statement remove(*in_->db, "DELETE FROM piece WHERE id = ?");
    remove.bind(1, piece);
    return Changed(remove.exec(), in_->path, "piece");
  });
}

Result<std::vector<PieceInfo>> Journal::RecentPieces(int limit) {
  return Guard(in_->path, [&]() -> Result<std::vector<PieceInfo>> {
    // The latest version is the one last worked on.
    SQLite::Statement row(*in_->db, R"sql(
      SELECT v.id, v.piece_id, v.number, v.picture_path, v.picture_sha256, v.width_px, v.height_px, v.created_ms,
             v.changed_ms, p.title, p.created_ms, p.thumbnail_png,
             (SELECT count(*) FROM version AS w WHERE w.piece_id = p.id),
             (SELECT coalesce(sum(s.active_s), 0) FROM session AS s JOIN version AS w ON w.id = s.version_id
               WHERE w.piece_id = p.id)
      FROM piece AS p JOIN version AS v ON v.id = (SELECT w.id FROM version AS w WHERE w.piece_id = p.id
        ORDER BY w.changed_ms DESC, w.number DESC LIMIT 1)
      ORDER BY v.changed_ms DESC, p.id DESC LIMIT ?)sql");
    row.bind(1, std::max(0, limit));
    std::vector<PieceInfo> pieces;
    while (row.executeStep()) {
      PieceInfo piece;
      piece.latest = ReadVersion(row);
      piece.id = piece.latest.piece;
      piece.title = row.getColumn(9).getString();
      piece.created = row.getColumn(10).getInt64();
      piece.thumbnail_png = row.getColumn(11).getString();
      piece.versions = row.getColumn(12).getInt();
      piece.minutes = row.getColumn(13).getDouble() / 60.0;
      pieces.push_back(std::move(piece));
    }
    return pieces;
  });
}

Result<std::vector<VersionInfo>> Journal::Versions(RowId piece) {
  return Guard(in_->path, [&]() -> Result<std::vector<VersionInfo>> {
    SQLite::Statement row(*in_->db,
                          fmt::format("SELECT {} FROM version WHERE piece_id = ? ORDER BY number", kVersionColumns));
    row.bind(1, piece);
    std::vector<VersionInfo> versions;
    while (row.executeStep()) versions.push_back(ReadVersion(row));
    return versions;
  });
}

Result<RowId> Journal::BeginSession(RowId version, const std::string& place) {
  return Guard(in_->path, [&]() -> Result<RowId> {
    const TimeMs now = in_->now();
    SQLite::Statement insert(*in_->db,
                             "INSERT INTO session (version_id, place, began_ms, last_ms) SELECT id, ?, ?, ? FROM version "
                             "WHERE id = ?");
    insert.bind(1, place);
    insert.bind(2, now);
    insert.bind(3, now);
    insert.bind(4, version);
    if (insert.exec() == 0) return tl::unexpected(Changed(0, in_->path, "version").error());
    return in_->db->getLastInsertRowid();
  });
}

Result<void> Journal::Tick(RowId session, double seconds) {
  constexpr double kLongest = 600.0;
  return Guard(in_->path, [&]() -> Result<void> {
    SQLite::Statement update(*in_->db, "UPDATE session SET active_s = active_s + ?, last_ms = ? WHERE id = ?");
    update.bind(1, seconds > 0.0 ? std::min(seconds, kLongest) : 0.0);
    update.bind(2, in_->now());
    update.bind(3, session);
    return Changed(update.exec(), in_->path, "session");
  });
}

Result<std::vector<TimeShare>> Journal::Times(RowId piece) {
  return Guard(in_->path, [&]() -> Result<std::vector<TimeShare>> {
    SQLite::Statement row(*in_->db,
                          "SELECT s.place, sum(s.active_s) FROM session AS s JOIN version AS v ON v.id = s.version_id "
                          "WHERE v.piece_id = ? GROUP BY s.place ORDER BY 2 DESC, 1");
    row.bind(1, piece);
    std::vector<TimeShare> times;
    while (row.executeStep()) times.push_back({row.getColumn(0).getString(), row.getColumn(1).getDouble() / 60.0});
    return times;
  });
}

}  // namespace armslength
