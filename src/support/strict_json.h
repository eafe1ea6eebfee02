#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "support/error.h"

namespace armslength {

struct StrictJsonLimits {
  std::size_t max_bytes = std::size_t{16} << 20;
  int max_depth = 32;                    // nested arrays and objects; our own files use seven
  std::size_t max_values = 4'000'000;    // bounds memory to a few hundred megabytes
};

class JsonPlace;

// A JSON text (RFC 8259) read strictly: UTF-8 only (a byte order mark is skipped, UTF-16 is
// refused by name), no doubled keys in an object, bounded depth and size. The first trouble met
// while going through the values is kept, so reading code stays linear and checks once at the end.
class JsonDocument {
 public:
  // Errors: kInput; the place is "line 3, column 14" for syntax, a JSON pointer for doubled keys.
  [[nodiscard]] static Result<JsonDocument> Parse(std::string_view text, std::string file,
                                                  const StrictJsonLimits& limits = {});

  [[nodiscard]] JsonPlace Root() const;
  // Nothing while all is well.
  [[nodiscard]] const std::optional<Error>& Trouble() const { return state_->trouble; }
  [[nodiscard]] const std::string& File() const { return state_->file; }

 private:
  friend class JsonPlace;
  struct State {
    std::string file;
    nlohmann::json value;
    std::optional<Error> trouble;
  };
  std::unique_ptr<State> state_ = std::make_unique<State>();
};

// One value and its JSON pointer (RFC 6901). Valid while its document lives. Every getter that
// meets something else than it promises records the trouble and returns an empty value.
class JsonPlace {
 public:
  // Object with no other fields than these; else the nearest valid name is suggested.
  bool IsObjectOf(std::span<const std::string_view> fields) const;
  bool IsObject() const;
  // A field that must be there.
  [[nodiscard]] JsonPlace At(std::string_view key) const;
  // A field that may be missing.
  [[nodiscard]] std::optional<JsonPlace> Find(std::string_view key) const;
  // Fields of an object by name, in alphabetical order.
  [[nodiscard]] std::vector<std::pair<std::string, JsonPlace>> Members() const;
  [[nodiscard]] std::vector<JsonPlace> Items(std::size_t min_count = 0, std::size_t max_count = 1'000'000) const;

  // Text without control characters other than tab and newline, at most `max_bytes` long.
  [[nodiscard]] std::string Text(std::size_t max_bytes = 4096) const;
  // Like Text, but at least one character that is no space.
  [[nodiscard]] std::string NonEmptyText(std::size_t max_bytes = 200) const;
  // Finite and within [low, high].
  [[nodiscard]] double Number(double low, double high) const;
  [[nodiscard]] int Integer(int low, int high) const;
  [[nodiscard]] bool Bool() const;
  // One of `words`, as its index; the nearest is suggested.
  [[nodiscard]] std::size_t OneOf(std::span<const std::string_view> words, std::string_view what) const;

  // Records trouble here unless there was some before.
  void Trouble(std::string cause, std::string remedy) const;
  [[nodiscard]] const std::string& Pointer() const { return pointer_; }
  [[nodiscard]] const nlohmann::json& Value() const;

 private:
  friend class JsonDocument;
  JsonPlace(JsonDocument::State* state, const nlohmann::json* value, std::string pointer)
      : state_(state), value_(value), pointer_(std::move(pointer)) {}
  [[nodiscard]] std::string Found() const;  // "a list of 3", "the text 'abc'"

  JsonDocument::State* state_;
  const nlohmann::json* value_;  // null: missing, trouble already recorded
  std::string pointer_;
};

// The head that all our files share: "format" must be `format` and "version" `version`. Says which
// file it is when it is another of ours, and that the program is too old for a newer version.
void CheckFormat(const JsonPlace& root, std::string_view format, int version);

// `text` as a JSON string with quotes; bytes that are not UTF-8 become U+FFFD.
[[nodiscard]] std::string JsonQuoted(std::string_view text);
// Shortest decimal that reads back as the same double; with `decimals`, rounded to so many first.
[[nodiscard]] std::string JsonNumber(double value);
[[nodiscard]] std::string JsonNumber(double value, int decimals);

// Byte offset of the first byte that is not valid UTF-8 (RFC 3629); nothing when all is.
[[nodiscard]] std::optional<std::size_t> FirstInvalidUtf8(std::string_view text);

}  // namespace armslength
