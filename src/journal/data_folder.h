#pragma once
#include <filesystem>

namespace armslength {

// Where this artist's data lives: $ARMSLENGTH_DATA when set, else $XDG_DATA_HOME/armslength, else
// ~/.local/share/armslength. Relative values are ignored, as the XDG Base Directory
// Specification 0.8 asks. Nothing is made on disk.
[[nodiscard]] std::filesystem::path DataFolder();

// The one file everything is kept in: DataFolder() / "journal.sqlite".
[[nodiscard]] std::filesystem::path JournalPath();

}  // namespace armslength
