#include "jobs/file_set.h"

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>

#include "support/files.h"

namespace armslength {
namespace fs = std::filesystem;
namespace {

tl::unexpected<Error> CannotWrite(const fs::path& where, const std::string& reason) {
  return BadInput(where.string(), "", "cannot write here: " + reason,
                  "Choose another output folder, or make this one writable");
}

}  // namespace

Result<FileSet> FileSet::Open(const fs::path& folder) {
  FileSet set;
  set.folder_ = folder.empty() ? fs::path(".") : folder;
  std::error_code error;
  // The topmost folder that does not exist yet, to be taken away again on failure.
  fs::path missing;
  for (fs::path p = fs::absolute(set.folder_, error).lexically_normal(); !p.empty(); p = p.parent_path()) {
    if (!p.has_filename()) {
      if (p == p.parent_path()) break;
      continue;
    }
    if (fs::exists(p, error)) break;
    missing = p;
  }
  fs::create_directories(set.folder_, error);
  if (error) return CannotWrite(set.folder_, error.message());
  set.made_ = missing;
  if (!fs::is_directory(set.folder_, error)) return CannotWrite(set.folder_, "it is not a folder");
  std::string name = (set.folder_ / ".armslength-XXXXXX").string();
  if (!mkdtemp(name.data())) return CannotWrite(set.folder_, std::strerror(errno));
  set.hidden_ = name;
  return set;
}

FileSet::FileSet(FileSet&& other) noexcept
    : folder_(std::move(other.folder_)),
      hidden_(std::exchange(other.hidden_, {})),
      made_(std::exchange(other.made_, {})),
      names_(std::move(other.names_)) {}

FileSet::~FileSet() {
  std::error_code error;
  if (!hidden_.empty()) fs::remove_all(hidden_, error);
  if (made_.empty()) return;
  // Only folders that are still empty, from the deepest we made upwards.
  for (fs::path p = fs::absolute(folder_, error).lexically_normal();; p = p.parent_path()) {
    if (p.has_filename() && (!fs::is_empty(p, error) || error || !fs::remove(p, error))) break;
    if (p == made_ || p == p.parent_path()) break;
  }
}

Result<void> FileSet::Add(const std::string& name, std::string_view bytes) {
  if (auto done = WriteFileAtomic(hidden_ / name, bytes); !done) {
    Error error = done.error();
    error.file = (folder_ / name).string();  // the hidden folder means nothing to the reader
    return tl::unexpected(std::move(error));
  }
  names_.push_back(name);
  return {};
}

Result<std::vector<fs::path>> FileSet::Commit(const std::vector<std::string>& obsolete) {
  const fs::path old = hidden_ / "old";
  std::error_code error;
  fs::create_directory(old, error);
  if (error) return CannotWrite(folder_, error.message());
  std::vector<std::pair<fs::path, fs::path>> moves;  // done, to be undone in reverse
  const auto move = [&](const fs::path& from, const fs::path& to) {
    fs::rename(from, to, error);
    if (!error) moves.emplace_back(from, to);
    return !error;
  };
  const auto undo = [&](const fs::path& where) -> tl::unexpected<Error> {
    const std::string reason = error.message();
    for (auto m = moves.rbegin(); m != moves.rend(); ++m) fs::rename(m->second, m->first, error);
    return CannotWrite(where, reason);
  };
  const auto set_aside = [&](const fs::path& target, const std::string& name) {
    if (!fs::exists(fs::symlink_status(target, error))) return true;
    if (fs::is_directory(target, error)) {
      error = std::make_error_code(std::errc::is_a_directory);
      return false;
    }
    return move(target, old / name);
  };
  for (const std::string& name : obsolete)
    if (std::find(names_.begin(), names_.end(), name) == names_.end() && !set_aside(folder_ / name, name))
      return undo(folder_ / name);
  std::vector<fs::path> placed;
  for (const std::string& name : names_) {
    const fs::path target = folder_ / name;
    if (!set_aside(target, name) || !move(hidden_ / name, target)) return undo(target);
    placed.push_back(target);
  }
  made_.clear();  // the folder stays
  fs::remove_all(hidden_, error);
  hidden_.clear();
  return placed;
}

}  // namespace armslength
