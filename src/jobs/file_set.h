#pragma once
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "support/error.h"

namespace armslength {

// Several files that appear in a folder together or not at all. They are written into a
// hidden folder inside the target folder (one file system, so the last step is renames);
// Commit puts them in place and takes back what it did when a rename fails. Without
// Commit the destructor removes everything it made, a folder made for it included.
class FileSet {
 public:
  // Makes `folder` and the hidden one. Errors: kInput with the folder and the reason.
  [[nodiscard]] static Result<FileSet> Open(const std::filesystem::path& folder);
  FileSet(FileSet&& other) noexcept;
  FileSet& operator=(FileSet&&) = delete;
  FileSet(const FileSet&) = delete;
  ~FileSet();

  // `name` is a plain file name. Errors: kInput when the disk is full or the like.
  [[nodiscard]] Result<void> Add(const std::string& name, std::string_view bytes);
  // Also removes `obsolete` (plain names; missing ones are fine) as part of the same step.
  // Returns the paths in the order they were added.
  [[nodiscard]] Result<std::vector<std::filesystem::path>> Commit(const std::vector<std::string>& obsolete = {});

 private:
  FileSet() = default;
  std::filesystem::path folder_, hidden_, made_;  // made_: topmost folder we created, or empty
  std::vector<std::string> names_;
};

}  // namespace armslength
