#pragma once
#include <filesystem>
#include <span>
#include <string>
#include <utility>

#include <SQLiteCpp/SQLiteCpp.h>

#include "journal/records.h"
#include "support/error.h"

// What the journal does with SQLite below its tables. Not for use outside the module and its tests.
namespace armslength::journal {

inline constexpr int kApplicationId = 0x41726d4c;  // "ArmL"; PRAGMA application_id

// Step i brings a file of format i (PRAGMA user_version) to i + 1. Steps are only ever added.
[[nodiscard]] std::span<const char* const> Steps();

// An SQLite error in the artist's words.
[[nodiscard]] Error TroubleOf(const SQLite::Exception& exception, const std::filesystem::path& file);

// Runs `body`; exceptions of SQLite become errors.
template <typename Body>
auto Guard(const std::filesystem::path& file, Body&& body) -> decltype(body()) {
  try {
    return body();
  } catch (const SQLite::Exception& exception) {
    return tl::unexpected(TroubleOf(exception, file));
  }
}

// How a file looks before we work with it.
enum class FileState : std::uint8_t {
  kNew,       // missing, empty, or a database nothing was put into yet
  kGood,
  kDamaged,   // no database, or one that fails its checks
  kForeign,   // a sound database of another program
  kNewer,     // a journal of a newer Armslength
  kUnreadable // cannot be opened or is locked: says nothing about its content
};
struct Examined {
  FileState state = FileState::kNew;
  std::string why;
  int format = 0;  // user_version
};
// `read_only`: leaves no side files where it can.
[[nodiscard]] Examined Examine(const std::filesystem::path& path, bool read_only, int busy_timeout_ms);

// WAL, full synchronisation, foreign keys.
void Configure(SQLite::Database& db, int busy_timeout_ms);

// Brings `db` up to date. A file that holds something is copied beside itself first; the copy's path
// is returned (empty: no copy was needed). Each step is one transaction: a step that fails leaves
// the file as the step before left it, and throws.
std::filesystem::path Migrate(SQLite::Database& db, const std::filesystem::path& path,
                              std::span<const char* const> steps, TimeMs now);

// Copies the whole database into one new file, 0600, flushed. REQUIRES: `to` does not exist.
void CopyInto(SQLite::Database& db, const std::filesystem::path& to);

// Moves the database and its side files aside; the new path, with the time in its name.
[[nodiscard]] Result<std::filesystem::path> SetAside(const std::filesystem::path& path, TimeMs now);

// "20260314-091500", UTC.
[[nodiscard]] std::string Stamp(TimeMs at);
// "DIR/STEM-WHAT-STAMP.sqlite", with "-2" and so on when taken.
[[nodiscard]] std::filesystem::path BesidePath(const std::filesystem::path& path, const std::string& what, TimeMs now);

// Held while a file is opened or replaced, so that two windows do not both do it.
class OpenLock {
 public:
  explicit OpenLock(const std::filesystem::path& path);
  OpenLock(const OpenLock&) = delete;
  OpenLock& operator=(const OpenLock&) = delete;
  ~OpenLock();

 private:
  int fd_ = -1;
};

}  // namespace armslength::journal
