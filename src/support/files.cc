#include "support/files.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <fstream>

#include <fmt/format.h>

namespace armslength {
namespace fs = std::filesystem;

Result<std::string> ReadFile(const fs::path& path, std::uintmax_t max_bytes) {
  std::error_code code;
  const auto status = fs::status(path, code);
  if (!fs::exists(status))
    return BadInput(path.string(), "", "there is no such file", "Check the name and the folder");
  if (!fs::is_regular_file(status))
    return BadInput(path.string(), "", "this is not a regular file", "Give the path of a file");
  const auto size = fs::file_size(path, code);
  if (!code && size > max_bytes)
    return BadInput(path.string(), "", fmt::format("the file has {} bytes, more than the limit of {}", size, max_bytes),
                    "Give a smaller file");
  std::ifstream in(path, std::ios::binary);
  if (!in) return BadInput(path.string(), "", fmt::format("it cannot be opened ({})", std::strerror(errno)),
                           "Check that you may read it");
  std::string bytes(static_cast<std::size_t>(code ? 0 : size), '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (in.gcount() != static_cast<std::streamsize>(bytes.size()))
    return BadInput(path.string(), "", "reading stopped before the end", "Check the disk and try again");
  return bytes;
}

namespace {

Result<void> WriteAll(int fd, std::string_view bytes, const fs::path& path) {
  while (!bytes.empty()) {
    const ssize_t n = ::write(fd, bytes.data(), bytes.size());
    if (n < 0) {
      if (errno == EINTR) continue;
      return BadInput(path.string(), "", fmt::format("writing failed ({})", std::strerror(errno)),
                      "Free some space or choose another folder");
    }
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
  return {};
}

}  // namespace

Result<void> WriteFileAtomic(const fs::path& given, std::string_view bytes) {
  std::error_code code;
  // A link stays a link: what it leads to is replaced.
  fs::path path = given;
  if (fs::is_symlink(fs::symlink_status(given, code)))
    if (fs::path target = fs::weakly_canonical(given, code); !code) path = std::move(target);
  const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
  fs::create_directories(folder, code);
  if (code)
    return BadInput(path.string(), "", fmt::format("the folder cannot be made ({})", code.message()),
                    "Choose another folder");
  static std::atomic<unsigned> counter{0};
  const fs::path beside = folder / fmt::format(".{}.{}.{}.part", path.filename().string(), ::getpid(), counter++);
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
  if (fd < 0)
    return BadInput(path.string(), "", fmt::format("it cannot be written ({})", std::strerror(errno)),
                    "Choose a folder you may write to");
  struct stat old {};
  if (::stat(path.c_str(), &old) == 0) ::fchmod(fd, old.st_mode & 07777);
  auto written = WriteAll(fd, bytes, path);
  if (written && ::fsync(fd) != 0)
    written = BadInput(path.string(), "", fmt::format("flushing failed ({})", std::strerror(errno)),
                       "Check the disk and try again");
  ::close(fd);
  if (written && ::rename(beside.c_str(), path.c_str()) != 0)
    written = BadInput(path.string(), "", fmt::format("it cannot be put in place ({})", std::strerror(errno)),
                       "Choose another name or folder");
  if (!written) {
    ::unlink(beside.c_str());
    return written;
  }
  // The rename itself is only safe once the folder is on disk.
  if (const int dir = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC); dir >= 0) {
    ::fsync(dir);
    ::close(dir);
  }
  return {};
}

std::string Sha256Hex(std::string_view bytes) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned int length = 0;
  EVP_Digest(bytes.data(), bytes.size(), digest, &length, EVP_sha256(), nullptr);
  std::string hex;
  for (unsigned int i = 0; i < length; ++i) hex += fmt::format("{:02x}", digest[i]);
  return hex;
}

std::string Base64(std::string_view bytes) {
  std::string out(4 * ((bytes.size() + 2) / 3) + 1, '\0');
  const int n = EVP_EncodeBlock(reinterpret_cast<unsigned char*>(out.data()),
                                reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<int>(bytes.size()));
  out.resize(static_cast<std::size_t>(n));
  return out;
}

}  // namespace armslength
