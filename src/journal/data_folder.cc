#include "journal/data_folder.h"

#include <cstdlib>

#include <pwd.h>
#include <unistd.h>

namespace armslength {
namespace fs = std::filesystem;
namespace {

// The variable as an absolute path; empty otherwise.
fs::path Absolute(const char* variable) {
  const char* value = std::getenv(variable);
  if (!value || !*value) return {};
  const fs::path path(value);
  return path.is_absolute() ? path : fs::path();
}

}  // namespace

fs::path DataFolder() {
  if (const fs::path own = Absolute("ARMSLENGTH_DATA"); !own.empty()) return own;
  if (const fs::path xdg = Absolute("XDG_DATA_HOME"); !xdg.empty()) return xdg / "armslength";
  fs::path home = Absolute("HOME");
  if (home.empty())
    if (const passwd* entry = ::getpwuid(::getuid()); entry && entry->pw_dir) home = entry->pw_dir;
  return home / ".local" / "share" / "armslength";
}

fs::path JournalPath() { return DataFolder() / "journal.sqlite"; }

}  // namespace armslength
