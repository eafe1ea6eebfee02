#include "journal/database.h"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <fstream>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fmt/format.h>
#include <sqlite3.h>

namespace armslength::journal {
namespace fs = std::filesystem;
namespace {

constexpr std::string_view kMagic{"SQLite format 3\0", 16};

void Flush(const fs::path& path, int flags) {
  if (const int fd = ::open(path.c_str(), flags | O_CLOEXEC); fd >= 0) {
    ::fsync(fd);
    ::close(fd);
  }
}

bool Damage(int code) { return code == SQLITE_CORRUPT || code == SQLITE_NOTADB || code == SQLITE_FORMAT; }

std::string FirstLine(SQLite::Database& db, const char* pragma) {
  SQLite::Statement statement(db, pragma);
  return statement.executeStep() ? statement.getColumn(0).getString() : "";
}

}  // namespace

Error TroubleOf(const SQLite::Exception& exception, const fs::path& file) {
  std::string cause, remedy = "Nothing was changed; try again";
  switch (exception.getErrorCode() & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      cause = "another window is busy with the journal";
      remedy = "Try again in a moment; nothing was changed";
      break;
    case SQLITE_FULL:
      cause = "the disk is full";
      remedy = "Free some space; what was saved before is safe";
      break;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      cause = "it may not be written to";
      remedy = "Give yourself the right to write to the file and its folder";
      break;
    case SQLITE_CANTOPEN:
      cause = "it cannot be opened";
      remedy = "Check that the folder exists and that you may read and write there";
      break;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      cause = fmt::format("the journal is damaged ({})", exception.what());
      remedy = "Close all windows and open the program again: it sets the file aside and begins a new one";
      break;
    default:
      cause = fmt::format("the journal could not be used ({})", exception.what());
  }
  return Error{ErrorKind::kInput, file.string(), "", std::move(cause), std::move(remedy)};
}

Examined Examine(const fs::path& path, bool read_only, int busy_timeout_ms) {
  std::error_code code;
  const auto status = fs::status(path, code);
  if (!fs::exists(status)) return {FileState::kNew, "there is no such file", 0};
  if (!fs::is_regular_file(status)) return {FileState::kUnreadable, "this is not a regular file", 0};
  if (fs::file_size(path, code) == 0 && !code) return {FileState::kNew, "the file is empty", 0};
  {
    std::ifstream in(path, std::ios::binary);
    if (!in) return {FileState::kUnreadable, fmt::format("it cannot be opened ({})", std::strerror(errno)), 0};
    std::string head(kMagic.size(), '\0');
    in.read(head.data(), static_cast<std::streamsize>(head.size()));
    if (in.gcount() != static_cast<std::streamsize>(head.size()) || head != kMagic)
      return {FileState::kDamaged, "it does not begin like a journal", 0};
  }
  try {
    SQLite::Database db(path.string(), read_only ? SQLite::OPEN_READONLY : SQLite::OPEN_READWRITE, busy_timeout_ms);
    const int owner = db.execAndGet("PRAGMA application_id").getInt();
    const int format = db.execAndGet("PRAGMA user_version").getInt();
    const int tables = db.execAndGet("SELECT count(*) FROM sqlite_schema").getInt();
    if (owner == 0 && format == 0 && tables == 0) return {FileState::kNew, "nothing is in it yet", 0};
    if (owner != kApplicationId) return {FileState::kForeign, "it is a database of another program", format};
    if (format > static_cast<int>(Steps().size()))
      return {FileState::kNewer, fmt::format("it was made by a newer Armslength (format {})", format), format};
    if (const std::string found = FirstLine(db, "PRAGMA integrity_check(1)"); found != "ok")
      return {FileState::kDamaged, fmt::format("its integrity check says: {}", found), format};
    SQLite::Statement loose(db, "PRAGMA foreign_key_check");
    if (loose.executeStep())
      return {FileState::kDamaged, fmt::format("a row of '{}' belongs to nothing", loose.getColumn(0).getString()), format};
    return {FileState::kGood, "", format};
  } catch (const SQLite::Exception& exception) {
    const bool damaged = Damage(exception.getErrorCode() & 0xff);
    return {damaged ? FileState::kDamaged : FileState::kUnreadable, exception.what(), 0};
  }
}

void Configure(SQLite::Database& db, int busy_timeout_ms) {
  db.setBusyTimeout(busy_timeout_ms);
  db.exec("PRAGMA journal_mode = WAL");
  db.exec("PRAGMA synchronous = FULL");
  db.exec("PRAGMA foreign_keys = ON");
  db.exec("PRAGMA trusted_schema = OFF");
}

fs::path Migrate(SQLite::Database& db, const fs::path& path, std::span<const char* const> steps, TimeMs now) {
  const int format = db.execAndGet("PRAGMA user_version").getInt();
  const int wanted = static_cast<int>(steps.size());
  fs::path kept;
  if (format > 0 && format < wanted) {
    kept = BesidePath(path, fmt::format("format-{}", format), now);
    CopyInto(db, kept);
  }
  for (int step = format; step < wanted; ++step) {
    SQLite::Transaction transaction(db, SQLite::TransactionBehavior::IMMEDIATE);
    db.exec(steps[static_cast<std::size_t>(step)]);
    db.exec(fmt::format("PRAGMA application_id = {}", kApplicationId));
    db.exec(fmt::format("PRAGMA user_version = {}", step + 1));
    transaction.commit();
  }
  return kept;
}

void CopyInto(SQLite::Database& db, const fs::path& to) {
  // Made first, so that nobody else may read it for a moment. VACUUM INTO takes an empty file.
  if (const int fd = ::open(to.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600); fd >= 0) ::close(fd);
  SQLite::Statement copy(db, "VACUUM INTO ?");
  copy.bind(1, to.string());
  copy.exec();
  Flush(to, O_RDONLY);
  Flush(to.has_parent_path() ? to.parent_path() : fs::path("."), O_RDONLY | O_DIRECTORY);
}

std::string Stamp(TimeMs at) {
  const std::time_t seconds = static_cast<std::time_t>(at / 1000);
  std::tm utc{};
  ::gmtime_r(&seconds, &utc);
  char text[32];
  std::strftime(text, sizeof text, "%Y%m%d-%H%M%S", &utc);
  return text;
}

fs::path BesidePath(const fs::path& path, const std::string& what, TimeMs now) {
  const std::string base = fmt::format("{}-{}-{}", path.stem().string(), what, Stamp(now));
  std::error_code code;
  for (int i = 1;; ++i) {
    const fs::path beside = path.parent_path() / (base + (i == 1 ? "" : fmt::format("-{}", i)) + ".sqlite");
    if (!fs::exists(fs::symlink_status(beside, code))) return beside;
  }
}

Result<fs::path> SetAside(const fs::path& path, TimeMs now) {
  const fs::path aside = BesidePath(path, "damaged", now);
  // The side files hold the newest changes of a damaged file too: they go with it.
  for (const char* side : {"", "-wal", "-shm"}) {
    const fs::path from = path.string() + side, to = aside.string() + side;
    std::error_code code;
    if (!fs::exists(from, code)) continue;
    // BesidePath has seen that nothing is there, and OpenLock keeps other windows away.
    if (std::rename(from.c_str(), to.c_str()) != 0)
      return BadInput(path.string(), "", fmt::format("it is damaged and cannot be set aside ({})", std::strerror(errno)),
                      "Move the file elsewhere yourself and open the program again");
  }
  return aside;
}

OpenLock::OpenLock(const fs::path& path) {
  fd_ = ::open((path.string() + ".lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (fd_ >= 0)
    while (::flock(fd_, LOCK_EX) != 0 && errno == EINTR) {
    }
}

OpenLock::~OpenLock() {
  if (fd_ >= 0) ::close(fd_);
}

}  // namespace armslength::journal
