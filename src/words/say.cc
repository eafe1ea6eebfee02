#include "words/say.h"

#include <array>
#include <atomic>
#include <cctype>
#include <locale>
#include <map>
#include <span>
#include <unordered_map>
#include <utility>

#include <nlohmann/json.hpp>

#include "support/embedded.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_words();

namespace words {
namespace {

// Decimal point of the language, no grouping: "1234,5".
class Decimal : public std::numpunct<char> {
 public:
  explicit Decimal(char point) : point_(point) {}

 protected:
  char do_decimal_point() const override { return point_; }
  char do_thousands_sep() const override { return ' '; }
  std::string do_grouping() const override { return {}; }

 private:
  char point_;
};

// "{:.2f}" to "{:.2Lf}": numbers with decimals take the language's point.
std::string Localised(std::string_view pattern) {
  std::string out;
  out.reserve(pattern.size() + 8);
  bool inside = false;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    const char c = pattern[i], next = i + 1 < pattern.size() ? pattern[i + 1] : '\0';
    if (!inside && (c == '{' || c == '}') && next == c) {
      out += c;
      ++i;
    } else if (c == '{' || c == '}') {
      inside = c == '{';
    } else if (inside && c == 'f' && next == '}') {
      out += 'L';
    }
    out += c;
  }
  return out;
}

}  // namespace

class Catalogue {
 public:
  Catalogue(std::string_view file, std::string_view text) : name(file.substr(0, file.find('.'))) {
    const auto json = nlohmann::json::parse(text);
    const std::string point = json.at("decimal_point");
    locale = std::locale(std::locale::classic(), new Decimal(point.at(0)));
    for (const auto& [key, said] : json.at("texts").items()) texts.emplace(key, Localised(said.get<std::string>()));
    for (const auto& [plain, row] : json.at("forms").items())
      for (const auto& [form, said] : row.items()) forms[form].emplace(plain, said.get<std::string>());
    and_ = json.at("texts").value(" and ", " and ");
  }

  std::string name;
  std::locale locale;
  std::unordered_map<std::string, std::string> texts;
  std::map<std::string, std::unordered_map<std::string, std::string>, std::less<>> forms;
  std::string and_;

  // One name, or several as SayList joins them.
  std::string Declined(std::string_view text, std::string_view form) const {
    const auto table = forms.find(form);
    if (table == forms.end()) return std::string(text);
    if (const auto it = table->second.find(std::string(text)); it != table->second.end()) return it->second;
    for (const std::string_view joint : {std::string_view(and_), std::string_view(", ")})
      if (const std::size_t at = text.find(joint); at != std::string_view::npos)
        return Declined(text.substr(0, at), form) + std::string(joint) + Declined(text.substr(at + joint.size()), form);
    return std::string(text);
  }
};

namespace {

// Read on first use and never freed: what speaks while the process ends still finds its words.
const std::vector<Catalogue>& All() {
  static const auto* const all = [] {
    auto* made = new std::vector<Catalogue>;
    for (const EmbeddedFile& file : EmbeddedFiles_words()) made->emplace_back(file.name, file.content);
    return made;
  }();
  return *all;
}

std::atomic<const Catalogue*> current{nullptr};

}  // namespace

const Catalogue* Current() { return current.load(std::memory_order_acquire); }

std::string_view Find(const Catalogue& catalogue, std::string_view key) {
  const auto it = catalogue.texts.find(std::string(key));
  return it == catalogue.texts.end() ? std::string_view{} : std::string_view(it->second);
}

std::string Declined(std::string_view text, std::string_view form) {
  const Catalogue* catalogue = Current();
  if (catalogue == nullptr || text.empty()) return std::string(text);
  // "Dat" asks for "dat" with a capital; a name with a capital keeps it.
  std::string asked(form);
  const bool capital = std::isupper(static_cast<unsigned char>(asked[0])) != 0;
  asked[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(asked[0])));
  std::string said = catalogue->Declined(text, asked);
  return capital ? Capital(std::move(said)) : said;
}

std::string Format(const Catalogue& catalogue, std::string_view said, std::string_view english, fmt::format_args args) {
  std::string out;
  const std::string own = said.empty() ? Localised(english) : std::string();
  if (said.empty()) said = own;
  fmt::vformat_to(std::back_inserter(out), catalogue.locale, fmt::string_view(said.data(), said.size()), args);
  return out;
}

}  // namespace words

std::vector<std::string_view> Languages() {
  std::vector<std::string_view> names{"en"};
  for (const words::Catalogue& c : words::All()) names.emplace_back(c.name);
  return names;
}

bool SpeakLanguage(std::string_view name) {
  const std::string_view base = name.substr(0, name.find_first_of("_-."));
  for (const words::Catalogue& c : words::All())
    if (c.name == base) {
      words::current.store(&c, std::memory_order_release);
      return true;
    }
  words::current.store(nullptr, std::memory_order_release);
  return base == "en";
}

std::string_view Language() {
  const words::Catalogue* c = words::Current();
  return c == nullptr ? std::string_view("en") : std::string_view(c->name);
}

std::string SayLater(std::string_view text) {
  const words::Catalogue* catalogue = words::Current();
  if (catalogue == nullptr) return std::string(text);
  const std::string_view said = words::Find(*catalogue, text);
  return std::string(said.empty() ? text : said);
}

std::string Capital(std::string text) {
  if (text.empty()) return text;
  const auto first = static_cast<unsigned char>(text[0]);
  if (first < 0x80) {
    text[0] = static_cast<char>(std::toupper(first));
  } else if (first == 0xC3 && text.size() > 1) {  // U+00E0..U+00FE, apart from the division sign
    const auto second = static_cast<unsigned char>(text[1]);
    if (second >= 0xA0 && second <= 0xBE && second != 0xB7) text[1] = static_cast<char>(second - 0x20);
  }
  return text;
}

std::string SayList(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) out += i + 1 == names.size() ? Say(" and ") : std::string(", ");
    out += names[i];
  }
  return out;
}

std::string Digits(std::string english) {
  if (const words::Catalogue* catalogue = words::Current()) {
    const char point = std::use_facet<std::numpunct<char>>(catalogue->locale).decimal_point();
    if (const std::size_t at = english.find('.'); at != std::string::npos) english[at] = point;
  }
  return english;
}

}  // namespace armslength
