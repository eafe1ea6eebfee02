#pragma once
#include <cstdint>
#include <string>

#include <tl/expected.hpp>

namespace armslength {

// What kind of trouble it is; the command line turns it into an exit code.
enum class ErrorKind : std::uint8_t {
  kUsage,      // the call itself is wrong: exit code 2
  kInput,      // a file or value the person gave is wrong: exit code 3
  kCancelled,  // the person stopped it: exit code 4
  kInternal    // we broke a promise of our own, or the machine failed us: exit code 5
};

// Trouble a person can act on. Every field is plain English; `file` and `place`
// may be empty when they do not apply.
struct Error {
  ErrorKind kind = ErrorKind::kInternal;
  std::string file;    // path as the person gave it
  std::string place;   // JSON place such as "/figures/0/points/elbow_l", a layer, a byte offset
  std::string cause;   // what is wrong
  std::string remedy;  // what to do about it

  // "FILE, at PLACE: CAUSE. REMEDY." in one line.
  [[nodiscard]] std::string Text() const;
};

template <typename T>
using Result = tl::expected<T, Error>;

[[nodiscard]] inline tl::unexpected<Error> Fail(ErrorKind kind, std::string file, std::string place,
                                                std::string cause, std::string remedy) {
  return tl::unexpected(
      Error{kind, std::move(file), std::move(place), std::move(cause), std::move(remedy)});
}

[[nodiscard]] inline tl::unexpected<Error> BadInput(std::string file, std::string place, std::string cause,
                                                    std::string remedy) {
  return Fail(ErrorKind::kInput, std::move(file), std::move(place), std::move(cause), std::move(remedy));
}

// 2, 3, 4 or 5; see ErrorKind.
[[nodiscard]] int ExitCode(ErrorKind kind);

}  // namespace armslength
