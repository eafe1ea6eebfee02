#include <chrono>
#include <cstring>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <SQLiteCpp/Backup.h>
#include <fmt/format.h>

#include "journal/inside.h"

namespace armslength {
namespace fs = std::filesystem;
using namespace journal;

namespace {

TimeMs SystemNow() {
  using namespace std::chrono;
  return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

Result<void> MakeFolder(const fs::path& folder) {
  std::error_code code;
  if (fs::is_directory(folder, code)) return {};
  fs::create_directories(folder, code);
  if (code)
    return BadInput(folder.string(), "", fmt::format("the journal's folder cannot be made ({})", code.message()),
                    "Set ARMSLENGTH_DATA to a folder you may write to");
  fs::permissions(folder, fs::perms::owner_all, code);  // ours alone, as it is new
  return {};
}

Result<void> OwnerOnly(const fs::path& path) {
  const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (fd < 0)
    return BadInput(path.string(), "", fmt::format("it cannot be opened for writing ({})", std::strerror(errno)),
                    "Give yourself the right to write to the file and its folder");
  struct stat now {};
  if (::fstat(fd, &now) == 0 && (now.st_mode & 077) != 0) ::fchmod(fd, 0600);
  ::close(fd);
  return {};
}

tl::unexpected<Error> Refuse(const fs::path& path, const Examined& seen) {
  switch (seen.state) {
    case FileState::kForeign:
      return BadInput(path.string(), "", seen.why, "Move it elsewhere, or set ARMSLENGTH_DATA to another folder");
    case FileState::kNewer:
      return BadInput(path.string(), "", seen.why, "Update the program, or set ARMSLENGTH_DATA to another folder");
    default:
      return BadInput(path.string(), "", fmt::format("it cannot be used ({})", seen.why),
                      "Check that you may read and write it and that no other program holds it");
  }
}

}  // namespace

Journal::Journal(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}
Journal::Journal(Journal&&) noexcept = default;
Journal& Journal::operator=(Journal&&) noexcept = default;
Journal::~Journal() = default;
const JournalOpening& Journal::Opening() const { return in_->opening; }
const fs::path& Journal::Path() const { return in_->path; }

Result<Journal> Journal::Open(const JournalOptions& options) {
  if (options.path.empty() || options.busy_timeout_ms < 0)
    return Fail(ErrorKind::kUsage, options.path.string(), "", "a journal needs a path and a timeout of at least 0 ms",
                "Use JournalPath()");
  auto in = std::make_unique<Inside>();
  in->path = fs::absolute(options.path);
  in->busy_timeout_ms = options.busy_timeout_ms;
  in->now = options.now ? options.now : SystemNow;
  if (auto made = MakeFolder(in->path.parent_path()); !made) return tl::unexpected(made.error());

  const OpenLock lock(in->path);
  Examined seen = Examine(in->path, false, in->busy_timeout_ms);
  if (seen.state == FileState::kDamaged) {
    auto aside = SetAside(in->path, in->now());
    if (!aside) return tl::unexpected(aside.error());
    in->opening.set_aside = *aside;
    in->opening.message = fmt::format(
        "The journal was damaged ({}). It was moved to {} untouched, and a new one was begun. A backup can be restored.",
        seen.why, aside->string());
    seen = {};
  } else if (seen.state != FileState::kNew && seen.state != FileState::kGood) {
    return Refuse(in->path, seen);
  }
  in->opening.created = seen.state == FileState::kNew;
  if (auto own = OwnerOnly(in->path); !own) return tl::unexpected(own.error());

  return Guard(in->path, [&]() -> Result<Journal> {
    in->db = std::make_unique<SQLite::Database>(in->path.string(), SQLite::OPEN_READWRITE, in->busy_timeout_ms);
    Configure(*in->db, in->busy_timeout_ms);
    in->opening.kept_old = Migrate(*in->db, in->path, Steps(), in->now());
    if (!in->opening.kept_old.empty())
      in->opening.message = fmt::format("The journal was brought up to date; the old one is kept as {}.",
                                        in->opening.kept_old.string());
    return Journal(std::move(in));
  });
}

Result<void> CheckJournalFile(const fs::path& path) {
  const Examined seen = Examine(path, true, 5000);
  switch (seen.state) {
    case FileState::kGood: return {};
    case FileState::kNewer:
      return BadInput(path.string(), "", seen.why, "Update the program first");
    case FileState::kDamaged:
      return BadInput(path.string(), "", fmt::format("it is damaged: {}", seen.why), "Use another backup");
    default:
      return BadInput(path.string(), "", fmt::format("it is no journal: {}", seen.why), "Choose a backup made by this program");
  }
}

Result<void> Journal::BackUp(const fs::path& given) {
  const fs::path to = fs::absolute(given);
  std::error_code code;
  if (fs::equivalent(to, in_->path, code) && !code)
    return Fail(ErrorKind::kUsage, given.string(), "", "this is the journal itself", "Choose another name");
  if (fs::exists(fs::symlink_status(to, code))) {
    if (const auto there = CheckJournalFile(to); !there)
      return BadInput(given.string(), "", "there is already a file of that name, and it is no journal",
                      "Choose another name");
  }
  if (!fs::is_directory(to.parent_path(), code))
    return BadInput(given.string(), "", "there is no such folder", "Choose a folder that exists");
  const fs::path part = to.parent_path() / fmt::format(".{}.{}.part", to.filename().string(), ::getpid());
  fs::remove(part, code);
  const auto written = Guard(to, [&]() -> Result<void> {
    CopyInto(*in_->db, part);
    return {};
  });
  auto done = written;
  if (done) done = CheckJournalFile(part);  // a backup that cannot be read back is none
  if (done) {
    fs::rename(part, to, code);
    if (code)
      done = BadInput(given.string(), "", fmt::format("it cannot be put in place ({})", code.message()),
                      "Choose another name or folder");
  }
  for (const char* side : {"", "-wal", "-shm", "-journal"}) fs::remove(part.string() + side, code);
  return done;
}

Result<fs::path> Journal::RestoreFrom(const fs::path& backup) {
  std::error_code code;
  if (fs::equivalent(backup, in_->path, code) && !code)
    return Fail(ErrorKind::kUsage, backup.string(), "", "this is the journal itself", "Choose a backup");
  if (auto sound = CheckJournalFile(backup); !sound) return tl::unexpected(sound.error());
  const OpenLock lock(in_->path);
  return Guard(in_->path, [&]() -> Result<fs::path> {
    const fs::path kept = BesidePath(in_->path, "before-restore", in_->now());
    CopyInto(*in_->db, kept);
    {
      SQLite::Database from(backup.string(), SQLite::OPEN_READONLY, in_->busy_timeout_ms);
      SQLite::Backup copy(*in_->db, from);
      copy.executeStep(-1);
    }
    Configure(*in_->db, in_->busy_timeout_ms);
    Migrate(*in_->db, in_->path, Steps(), in_->now());
    return kept;
  });
}

}  // namespace armslength
