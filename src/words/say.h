#pragma once
#include <concepts>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <vector>

#include <fmt/format.h>

// Texts that people read, in their language. The English sentence in the source is the key:
//
//   f.title = Say("{} bent too far: {:.0f} degrees", words, degrees);
//
// The catalogue of a language (data/words/NAME.json) gives the sentence for each key. Without
// one, or where a key is missing, English is said. The compiler checks the English pattern
// against its arguments; tests/words checks that every translation takes the same ones.
//
// A translation may take arguments in another order ("{1} {0}") and ask a name for a
// declined form ("{0:dat}"): the catalogue holds the forms of the names it declines. Decimal
// numbers are written as the language writes them.
namespace armslength {

// The languages there are: "en", then every catalogue.
[[nodiscard]] std::vector<std::string_view> Languages();

// Speaks `name` ("de"; "de_AT" finds "de") from now on, in all threads. False, and English, when
// there is no such catalogue. Catalogues are read once and never change, the choice is one
// atomic pointer; what is being made while it changes may mix both, so make it again.
bool SpeakLanguage(std::string_view name);
[[nodiscard]] std::string_view Language();

namespace words {

class Catalogue;

// A name handed to a translation: its spec is a form ("dat") or an ordinary one (">12").
struct Name {
  std::string_view text;
};

// The current catalogue (null: English), its sentence for `key` or an empty one.
[[nodiscard]] const Catalogue* Current();
[[nodiscard]] std::string_view Find(const Catalogue& catalogue, std::string_view key);
[[nodiscard]] std::string Declined(std::string_view text, std::string_view form);
[[nodiscard]] std::string Format(const Catalogue& catalogue, std::string_view said, std::string_view english, fmt::format_args args);

template <class T>
auto Wrapped(const T& value) {
  if constexpr (std::convertible_to<const T&, std::string_view>)
    return Name{value};
  else
    return value;
}

template <class... Args>
std::string Say(std::string_view key, fmt::string_view pattern, const Args&... args) {
  const Catalogue* catalogue = Current();
  if (catalogue == nullptr) return fmt::vformat(pattern, fmt::make_format_args(args...));
  const auto wrapped = std::make_tuple(Wrapped(args)...);
  const std::string_view said = Find(*catalogue, key), english(pattern.data(), pattern.size());
  return std::apply([&](const auto&... w) { return Format(*catalogue, said, english, fmt::make_format_args(w...)); }, wrapped);
}

}  // namespace words

template <class... Args>
[[nodiscard]] std::string Say(fmt::format_string<const Args&...> pattern, const Args&... args) {
  const fmt::string_view text = pattern;
  return words::Say({text.data(), text.size()}, text, args...);
}

// The same English word meaning two things: `context` tells them apart in the catalogue
// ("side|left").
template <class... Args>
[[nodiscard]] std::string SayAs(std::string_view context, fmt::format_string<const Args&...> pattern, const Args&... args) {
  const fmt::string_view text = pattern;
  std::string key(context);
  key += '|';
  key.append(text.data(), text.size());
  return words::Say(key, text, args...);
}

// One thing or several. For languages that, as English does, have one form for 1 and one for all else.
template <class... Args>
[[nodiscard]] std::string SayCount(std::integral auto n, fmt::format_string<const Args&...> one, fmt::format_string<const Args&...> many,
                                   const Args&... args) {
  return n == 1 ? Say<Args...>(one, args...) : Say<Args...>(many, args...);
}

// A fixed text that is looked up later: a row of a table, the name of a point, a title from a data
// file. Later() only marks it in the source for the catalogue's test.
[[nodiscard]] constexpr const char* Later(const char* text) { return text; }
[[nodiscard]] std::string SayLater(std::string_view text);

// First letter upper case; knows the umlauts of UTF-8's second block.
[[nodiscard]] std::string Capital(std::string text);

// "a, b and c".
[[nodiscard]] std::string SayList(const std::vector<std::string>& names);

// A number that stands alone, e.g. from "1.5", with the language's decimal point.
[[nodiscard]] std::string Digits(std::string english);

}  // namespace armslength

template <>
struct fmt::formatter<armslength::words::Name> {
  std::string_view form;
  fmt::formatter<std::string_view> plain;
  constexpr auto parse(fmt::format_parse_context& context) {
    const auto* end = context.begin();
    while (end != context.end() && *end != '}') ++end;
    const std::string_view spec(context.begin(), static_cast<std::size_t>(end - context.begin()));
    if (!spec.empty() && ((spec[0] >= 'a' && spec[0] <= 'z') || (spec[0] >= 'A' && spec[0] <= 'Z')) && spec.size() > 1) {
      form = spec;
      return end;
    }
    return plain.parse(context);
  }
  template <class Context>
  auto format(const armslength::words::Name& name, Context& context) const {
    return form.empty() ? plain.format(name.text, context)
                        : fmt::format_to(context.out(), "{}", armslength::words::Declined(name.text, form));
  }
};
