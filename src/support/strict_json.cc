#include "support/strict_json.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "support/text.h"

namespace armslength {
namespace {

using nlohmann::json;

// Someone else's text inside our messages: short, one line, whole characters.
std::string Shown(std::string_view text, std::size_t max_bytes = 60) {
  std::string out;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (out.size() >= max_bytes && (byte & 0xC0) != 0x80) return out + "...";
    if (byte < 0x20 || byte == 0x7F)
      out += fmt::format("\\x{:02x}", byte);
    else
      out += c;
  }
  return out;
}

std::string PointerToken(std::string_view key) {
  std::string out;
  for (const char c : Shown(key)) {
    if (c == '~')
      out += "~0";
    else if (c == '/')
      out += "~1";
    else
      out += c;
  }
  return out;
}

// "line 3, column 14" of a byte offset; columns count characters, both start at 1.
std::string LineAndColumn(std::string_view text, std::size_t offset) {
  offset = std::min(offset, text.size());
  std::size_t line = 1, column = 1;
  for (std::size_t i = 0; i < offset; ++i) {
    if (text[i] == '\n') {
      ++line;
      column = 1;
    } else if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) {
      ++column;
    }
  }
  return fmt::format("line {}, column {}", line, column);
}

// The library's sentence without its head, and with a bounded tail.
std::string SyntaxCause(std::string_view what) {
  if (const auto at = what.find(": "); at != std::string_view::npos && what.find("column") < at) what.remove_prefix(at + 2);
  else if (const auto close = what.find("] "); close != std::string_view::npos) what.remove_prefix(close + 2);
  return "this is not JSON here: " + Shown(what, 160);
}

class Builder final : public nlohmann::json_sax<json> {
 public:
  Builder(std::string_view text, const std::string& file, const StrictJsonLimits& limits)
      : text_(text), file_(file), limits_(limits) {}

  bool null() override { return Add(nullptr); }
  bool boolean(bool v) override { return Add(v); }
  bool number_integer(number_integer_t v) override { return Add(v); }
  bool number_unsigned(number_unsigned_t v) override { return Add(v); }
  bool number_float(number_float_t v, const string_t&) override { return Add(v); }
  bool string(string_t& v) override { return Add(std::move(v)); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override { return Open(json::object()); }
  bool start_array(std::size_t) override { return Open(json::array()); }
  bool end_object() override { return Close(); }
  bool end_array() override { return Close(); }
  bool key(string_t& v) override {
    if (stack_.back().value.contains(v)) {
      stack_.back().key = std::move(v);
      trouble = Error{ErrorKind::kInput, file_, Pointer(),
                      fmt::format("the field '{}' is there twice", Shown(stack_.back().key)), "Keep one of them"};
      return false;
    }
    stack_.back().key = std::move(v);
    return true;
  }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception& e) override {
    const std::string what = e.what();
    const bool range = what.find("out_of_range") != std::string::npos;
    trouble = Error{ErrorKind::kInput, file_, LineAndColumn(text_, position == 0 ? 0 : position - 1),
                    range ? "this number is too large for any computer arithmetic" : SyntaxCause(what),
                    range ? "Give a finite number" : "Mend the file there, or save it again from the program that made it"};
    return false;
  }

  json root;
  std::optional<Error> trouble;

 private:
  struct Frame {
    json value;
    std::string key;
  };

  bool Add(json v) {
    if (++count_ > limits_.max_values) {
      trouble = Error{ErrorKind::kInput, file_, Pointer(),
                      fmt::format("the file has more than {} values", limits_.max_values), "Give a smaller file"};
      return false;
    }
    if (stack_.empty()) {
      root = std::move(v);
    } else if (auto& top = stack_.back(); top.value.is_array()) {
      top.value.push_back(std::move(v));
    } else {
      top.value[top.key] = std::move(v);
    }
    return true;
  }
  bool Open(json v) {
    if (static_cast<int>(stack_.size()) >= limits_.max_depth) {
      trouble = Error{ErrorKind::kInput, file_, Pointer(),
                      fmt::format("lists and objects lie more than {} deep in each other", limits_.max_depth),
                      "No file of ours is that deep; save it again from the program that made it"};
      return false;
    }
    stack_.push_back({std::move(v), {}});
    return true;
  }
  bool Close() {
    json done = std::move(stack_.back().value);
    stack_.pop_back();
    return Add(std::move(done));
  }
  std::string Pointer() const {
    std::string p;
    for (const auto& frame : stack_)
      p += frame.value.is_array() ? fmt::format("/{}", frame.value.size()) : "/" + PointerToken(frame.key);
    return p;
  }

  std::string_view text_;
  const std::string& file_;
  const StrictJsonLimits& limits_;
  std::vector<Frame> stack_;
  std::size_t count_ = 0;
};

}  // namespace

std::optional<std::size_t> FirstInvalidUtf8(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  for (std::size_t i = 0; i < text.size();) {
    const unsigned char b = byte(i);
    if (b < 0x80) {
      ++i;
      continue;
    }
    // RFC 3629 section 4: allowed first bytes, and the narrower range of some second bytes.
    std::size_t length = 0;
    unsigned char low = 0x80, high = 0xBF;
    if (b >= 0xC2 && b <= 0xDF) length = 2;
    if (b >= 0xE0 && b <= 0xEF) length = 3;
    if (b >= 0xF0 && b <= 0xF4) length = 4;
    if (b == 0xE0) low = 0xA0;
    if (b == 0xED) high = 0x9F;
    if (b == 0xF0) low = 0x90;
    if (b == 0xF4) high = 0x8F;
    if (length == 0 || i + length > text.size()) return i;
    if (byte(i + 1) < low || byte(i + 1) > high) return i;
    for (std::size_t k = 2; k < length; ++k)
      if ((byte(i + k) & 0xC0) != 0x80) return i;
    i += length;
  }
  return std::nullopt;
}

Result<JsonDocument> JsonDocument::Parse(std::string_view text, std::string file, const StrictJsonLimits& limits) {
  if (text.size() > limits.max_bytes)
    return BadInput(std::move(file), "",
                    fmt::format("the file has {} bytes; more than {} are not read", text.size(), limits.max_bytes),
                    "Give a smaller file");
  if (text.empty()) return BadInput(std::move(file), "", "the file is empty", "Save it again");
  if (text.starts_with("\x89PNG") || text.starts_with("\xFF\xD8\xFF") || text.starts_with("RIFF") || text.starts_with("PK\x03\x04"))
    return BadInput(std::move(file), "", "this is a picture or an archive, not a text file", "Give the file that goes with it");
  const auto first = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0x20; };
  const bool utf16 = (first(0) == 0xFF && first(1) == 0xFE) || (first(0) == 0xFE && first(1) == 0xFF) ||
                     first(0) == 0 || first(1) == 0;
  if (utf16)
    return BadInput(std::move(file), "", "the text is UTF-16 or UTF-32, or not text at all", "Save it as UTF-8");
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (const auto bad = FirstInvalidUtf8(text))
    return BadInput(std::move(file), LineAndColumn(text, *bad), "this byte is not valid UTF-8", "Save the file as UTF-8");

  JsonDocument document;
  document.state_->file = std::move(file);
  Builder builder(text, document.state_->file, limits);
  const bool whole = json::sax_parse(text.begin(), text.end(), &builder);
  if (builder.trouble) return tl::unexpected(std::move(*builder.trouble));
  if (!whole)
    return BadInput(document.state_->file, "", "this is not JSON", "Save the file again from the program that made it");
  document.state_->value = std::move(builder.root);
  return document;
}

JsonPlace JsonDocument::Root() const { return {state_.get(), &state_->value, ""}; }

const json& JsonPlace::Value() const {
  static const json kNull;
  return value_ ? *value_ : kNull;
}

void JsonPlace::Trouble(std::string cause, std::string remedy) const {
  if (!value_ || state_->trouble) return;  // a missing value has been reported where it was looked for
  state_->trouble = Error{ErrorKind::kInput, state_->file, pointer_.empty() ? "the top level" : pointer_,
                          std::move(cause), std::move(remedy)};
}

std::string JsonPlace::Found() const {
  const json& v = Value();
  switch (v.type()) {
    case json::value_t::null: return "null";
    case json::value_t::boolean: return v.get<bool>() ? "true" : "false";
    case json::value_t::object: return "an object";
    case json::value_t::array: return fmt::format("a list of {}", v.size());
    case json::value_t::string: return "the text '" + Shown(v.get_ref<const std::string&>()) + "'";
    default: return "the number " + v.dump();
  }
}

bool JsonPlace::IsObject() const {
  if (Value().is_object()) return true;
  Trouble("an object { } is expected here, found " + Found(), "Give an object");
  return false;
}

bool JsonPlace::IsObjectOf(std::span<const std::string_view> fields) const {
  if (!IsObject()) return false;
  for (const auto& [key, v] : Value().items())
    if (std::find(fields.begin(), fields.end(), key) == fields.end()) {
      JsonPlace(state_, &v, pointer_ + "/" + PointerToken(key))
          .Trouble(fmt::format("there is no field '{}' here", Shown(key)), SuggestName(key, fields));
      return false;
    }
  return true;
}

JsonPlace JsonPlace::At(std::string_view key) const {
  if (auto found = Find(key)) return *found;
  if (Value().is_object()) Trouble(fmt::format("the field '{}' is missing", key), "Add it");
  return {state_, nullptr, pointer_ + "/" + PointerToken(key)};
}

std::optional<JsonPlace> JsonPlace::Find(std::string_view key) const {
  if (!IsObject()) return std::nullopt;
  const auto it = Value().find(key);
  if (it == Value().end()) return std::nullopt;
  return JsonPlace(state_, &*it, pointer_ + "/" + PointerToken(key));
}

std::vector<std::pair<std::string, JsonPlace>> JsonPlace::Members() const {
  std::vector<std::pair<std::string, JsonPlace>> members;
  if (!IsObject()) return members;
  for (const auto& [key, v] : Value().items())
    members.emplace_back(key, JsonPlace(state_, &v, pointer_ + "/" + PointerToken(key)));
  return members;
}

std::vector<JsonPlace> JsonPlace::Items(std::size_t min_count, std::size_t max_count) const {
  std::vector<JsonPlace> items;
  if (!Value().is_array()) {
    Trouble("a list [ ] is expected here, found " + Found(), "Give a list");
    return items;
  }
  if (Value().size() < min_count || Value().size() > max_count) {
    Trouble(fmt::format("the list has {} entries, {} to {} are expected", Value().size(), min_count, max_count),
            Value().size() < min_count ? "Add the missing ones" : "Leave some out");
    return items;
  }
  items.reserve(Value().size());
  for (std::size_t i = 0; i < Value().size(); ++i)
    items.push_back(JsonPlace(state_, &Value()[i], fmt::format("{}/{}", pointer_, i)));
  return items;
}

std::string JsonPlace::Text(std::size_t max_bytes) const {
  if (!Value().is_string()) {
    Trouble("text in quotes is expected here, found " + Found(), "Give a text");
    return {};
  }
  const auto& text = Value().get_ref<const std::string&>();
  if (text.size() > max_bytes) {
    Trouble(fmt::format("the text has {} bytes, at most {} are taken", text.size(), max_bytes), "Shorten it");
    return {};
  }
  for (const char c : text)
    if ((static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\n') || c == 0x7F) {
      Trouble(fmt::format("the text holds the control character U+{:04X}", static_cast<unsigned>(c)), "Take it out");
      return {};
    }
  return text;
}

std::string JsonPlace::NonEmptyText(std::size_t max_bytes) const {
  std::string text = Text(max_bytes);
  if (Value().is_string() && text.find_first_not_of(" \t\n") == std::string::npos)
    Trouble("the text is empty", "Give a name");
  return text;
}

double JsonPlace::Number(double low, double high) const {
  if (!Value().is_number()) {
    Trouble("a number is expected here, found " + Found(), "Give a number");
    return 0.0;
  }
  const double v = Value().get<double>();
  if (!std::isfinite(v) || v < low || v > high) {
    Trouble(fmt::format("{} is outside {} to {}", Value().dump(), low, high), "Give a number in that range");
    return 0.0;
  }
  return v;
}

int JsonPlace::Integer(int low, int high) const {
  const double v = Number(low, high);
  if (v != std::floor(v)) {
    Trouble("a whole number is expected here, found " + Found(), "Give a whole number");
    return low;
  }
  return static_cast<int>(v);
}

bool JsonPlace::Bool() const {
  if (!Value().is_boolean()) {
    Trouble("true or false is expected here, found " + Found(), "Give true or false");
    return false;
  }
  return Value().get<bool>();
}

std::size_t JsonPlace::OneOf(std::span<const std::string_view> words, std::string_view what) const {
  if (!Value().is_string()) {
    Trouble("text in quotes is expected here, found " + Found(), "Give a text");
    return 0;
  }
  const auto& word = Value().get_ref<const std::string&>();
  const auto it = std::find(words.begin(), words.end(), word);
  if (it == words.end()) {
    Trouble(fmt::format("'{}' is no {}", Shown(word), what), SuggestName(word, words));
    return 0;
  }
  return static_cast<std::size_t>(it - words.begin());
}

void CheckFormat(const JsonPlace& root, std::string_view format, int version) {
  if (!root.IsObject()) return;
  const auto declared = root.Find("format");
  if (!declared) {
    root.Trouble(fmt::format("the field 'format' is missing; a file of this kind says \"format\": \"{}\"", format),
                 "Check that this is the right file");
    return;
  }
  if (!declared->Value().is_string() || declared->Value().get_ref<const std::string&>() != format) {
    declared->Trouble(fmt::format("this file's format is {}, not '{}'",
                                  declared->Value().is_string()
                                      ? "'" + Shown(declared->Value().get_ref<const std::string&>()) + "'"
                                      : Shown(declared->Value().dump()),
                                  format),
                      "Give a file of that format");
    return;
  }
  const JsonPlace v = root.At("version");
  if (!v.Value().is_number()) {
    v.Trouble("the version is not a number", fmt::format("Versions start at 1; this program reads up to {}", version));
    return;
  }
  const double number = v.Value().get<double>();
  if (number > version)
    v.Trouble(fmt::format("the file has version {}, newer than this program knows ({})", v.Value().dump(), version),
              "Update the program");
  else if (number != std::floor(number) || number < 1)
    v.Trouble(fmt::format("there is no version {}", v.Value().dump()),
              fmt::format("Versions start at 1; this program reads up to {}", version));
}

std::string JsonQuoted(std::string_view text) {
  return json(std::string(text)).dump(-1, ' ', false, json::error_handler_t::replace);
}

std::string JsonNumber(double value) {
  // Whole numbers without ".0", and never a negative zero.
  return fmt::format("{}", value == 0.0 ? 0.0 : value);
}

std::string JsonNumber(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

}  // namespace armslength
