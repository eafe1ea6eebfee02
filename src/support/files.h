#pragma once
#include <filesystem>
#include <string>
#include <string_view>

#include "support/error.h"

namespace armslength {

// Whole file as bytes. Errors: missing, not a regular file, unreadable, larger
// than `max_bytes` (default 2 GiB) - all kInput with the path and a way out.
[[nodiscard]] Result<std::string> ReadFile(const std::filesystem::path& path,
                                           std::uintmax_t max_bytes = std::uintmax_t{2} << 30);

// Writes beside the target, flushes to disk and renames, so a reader sees the old
// file or the new one and never half of either. Creates missing parent folders; keeps the
// permissions of a file it replaces, and writes through a symbolic link.
// Errors: kInput when the place cannot be written (with the system's reason).
[[nodiscard]] Result<void> WriteFileAtomic(const std::filesystem::path& path, std::string_view bytes);

// Lower-case hex SHA-256 (FIPS 180-4) of `bytes`, 64 characters.
[[nodiscard]] std::string Sha256Hex(std::string_view bytes);

// RFC 4648 base64 with padding, one line.
[[nodiscard]] std::string Base64(std::string_view bytes);

}  // namespace armslength
