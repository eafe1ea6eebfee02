#pragma once
#include <cstdlib>
#include <filesystem>
#include <string>

#include "journal/journal.h"

namespace armslength::test {

// A folder of its own that goes away with the test.
class TempFolder {
 public:
  TempFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "armslength-journal-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;
  ~TempFolder() {
    std::error_code code;
    std::filesystem::remove_all(path_, code);
  }
  [[nodiscard]] const std::filesystem::path& Path() const { return path_; }
  [[nodiscard]] std::filesystem::path File() const { return path_ / "data" / "journal.sqlite"; }

 private:
  std::filesystem::path path_;
};

// Opens with a clock that goes on by one second a look.
inline Result<Journal> OpenAt(const std::filesystem::path& file, int busy_timeout_ms = 5000) {
  static TimeMs clock = 1'773'478'800'000;  // 2026-03-14 09:00 UTC
  JournalOptions options;
  options.path = file;
  options.busy_timeout_ms = busy_timeout_ms;
  options.now = [] { return clock += 1000; };
  return Journal::Open(options);
}

inline PictureRef Ref(const std::string& path, const std::string& sha256 = "aa") { return {path, sha256, 1200, 1600}; }

}  // namespace armslength::test
