#pragma once
#include <filesystem>
#include <string>
#include <string_view>

#include "reading/head/head_profile.h"
#include "support/error.h"

namespace armslength {

// Character files (format "armslength-character", version 1; data/schemas/character.schema.json):
// the learned head of one character or of one artist's heads, with conventions and the artist's
// own list of features. Head heights, chin to top of skull = 1; far_eye_convention has no unit.
// Errors: kInput with file and JSON place; unknown fields and values are errors, and so are
// spreads that contradict each other.
[[nodiscard]] Result<HeadProfile> LoadCharacter(const std::filesystem::path& path);
[[nodiscard]] Result<HeadProfile> ParseCharacter(std::string_view json_text, const std::string& file_name);
// ParseCharacter gives the same profile back to about 1e-6.
[[nodiscard]] std::string CharacterToJson(const HeadProfile& profile);
[[nodiscard]] Result<void> SaveCharacter(const HeadProfile& profile, const std::filesystem::path& path);

}  // namespace armslength
