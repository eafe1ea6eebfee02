#include "reading/head/character_file.h"

#include <algorithm>
#include <cmath>
#include <set>

#include <Eigen/Cholesky>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/files.h"
#include "support/text.h"

namespace armslength {
namespace {

using Json = nlohmann::json;

tl::unexpected<Error> Bad(const std::string& file, std::string place, std::string cause, std::string remedy) {
  return BadInput(file, std::move(place), std::move(cause), std::move(remedy));
}

const std::array<std::string_view, kHeadParamCount>& ParamNames() {
  static const auto kNames = [] {
    std::array<std::string_view, kHeadParamCount> n;
    for (int i = 0; i < kHeadParamCount; ++i) n[static_cast<std::size_t>(i)] = Name(static_cast<HeadParam>(i));
    return n;
  }();
  return kNames;
}

}  // namespace

Result<HeadProfile> ParseCharacter(std::string_view text, const std::string& file) {
  Json json;
  try {
    json = Json::parse(text);
  } catch (const Json::parse_error& e) {
    return Bad(file, fmt::format("byte {}", e.byte), "this is not valid JSON", "save it again, or take the last good copy");
  }
  if (!json.is_object() || json.value("format", Json()) != "armslength-character")
    return Bad(file, "/format", "this is not a character file", "give a file whose \"format\" is \"armslength-character\"");
  if (json.value("version", Json()) != 1)
    return Bad(file, "/version", "this version of the character file is not known", "update the program, or save the file as version 1");
  static constexpr std::array<std::string_view, 9> kFields = {"format", "version", "name", "drawings", "unit", "shape", "correlation", "features", "note"};
  for (const auto& [key, value] : json.items())
    if (std::find(kFields.begin(), kFields.end(), key) == kFields.end())
      return Bad(file, "/" + key, "unknown field", SuggestName(key, kFields));
  HeadProfile p;
  if (!json.contains("name") || !json["name"].is_string() || json["name"].get<std::string>().empty())
    return Bad(file, "/name", "the name is missing or not a text", "give the character a name");
  p.name = json["name"];
  if (!json.contains("drawings") || !json["drawings"].is_number_integer() || json["drawings"] < 1 || json["drawings"] > 100000)
    return Bad(file, "/drawings", "must be a whole number from 1", "say how many drawings it was learned from");
  p.drawings = json["drawings"];
  if (json.value("unit", Json()) != "head")
    return Bad(file, "/unit", "must be \"head\"", "lengths are in head heights, chin to top of the skull");
  if (!json.contains("shape") || !json["shape"].is_object()) return Bad(file, "/shape", "must be an object of values", "give {\"mean\", \"sd\"} for each value");
  for (const auto& [key, value] : json["shape"].items()) {
    const std::string place = "/shape/" + key;
    const auto param = HeadParamFromName(key);
    if (!param) return Bad(file, place, "unknown value", SuggestName(key, ParamNames()));
    if (!value.is_object() || value.size() != 2 || !value.contains("mean") || !value.contains("sd") || !value["mean"].is_number() || !value["sd"].is_number())
      return Bad(file, place, "must be {\"mean\": number, \"sd\": number}", "see the character schema");
    const double mean = value["mean"], sd = value["sd"];
    if (!std::isfinite(mean) || std::abs(mean) > 10) return Bad(file, place + "/mean", "is out of range", "values are in head heights, within 10");
    if (!(sd > 0 && sd <= 10)) return Bad(file, place + "/sd", "must be above 0 and at most 10", "an sd of 0 would forbid any change");
    const int k = static_cast<int>(*param);
    p.mean[k] = mean;
    p.covariance(k, k) = sd * sd;
  }
  for (std::string_view name : ParamNames())
    if (!json["shape"].contains(std::string(name))) return Bad(file, fmt::format("/shape/{}", name), "is missing", "a character file gives all values; learn it again from the drawings");
  HeadProfile::Vector sd = p.covariance.diagonal().cwiseSqrt();
  p.covariance = HeadProfile::Matrix(p.covariance.diagonal().asDiagonal());
  if (json.contains("correlation")) {
    const Json& rows = json["correlation"];
    if (!rows.is_array() || rows.size() != kHeadParamCount) return Bad(file, "/correlation", fmt::format("must have {} rows", kHeadParamCount), "leave it out, or learn the file again");
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (!rows[i].is_array() || rows[i].size() != i) return Bad(file, fmt::format("/correlation/{}", i), fmt::format("must have {} numbers (the triangle below the diagonal)", i), "leave it out, or learn the file again");
      for (std::size_t j = 0; j < i; ++j) {
        if (!rows[i][j].is_number() || std::abs(rows[i][j].get<double>()) > 1) return Bad(file, fmt::format("/correlation/{}/{}", i, j), "must be a number from -1 to 1", "leave the correlations out, or learn the file again");
        const auto a = static_cast<int>(i), b = static_cast<int>(j);
        p.covariance(a, b) = p.covariance(b, a) = rows[i][j].get<double>() * sd[a] * sd[b];
      }
    }
    const HeadProfile::Matrix scaled = sd.cwiseInverse().asDiagonal() * p.covariance * sd.cwiseInverse().asDiagonal();
    const Eigen::LLT<HeadProfile::Matrix> test(scaled);
    if (test.info() != Eigen::Success) return Bad(file, "/correlation", "these correlations contradict each other", "leave them out, or learn the file again");
  }
  if (json.contains("features")) {
    if (!json["features"].is_array()) return Bad(file, "/features", "must be a list of names", "give [\"scar\", \"ear ring\"]");
    std::set<std::string> seen;
    for (std::size_t i = 0; i < json["features"].size(); ++i) {
      const Json& f = json["features"][i];
      if (!f.is_string() || f.get<std::string>().empty()) return Bad(file, fmt::format("/features/{}", i), "must be a name", "give a short text");
      if (!seen.insert(f.get<std::string>()).second) return Bad(file, fmt::format("/features/{}", i), "stands twice in the list", "delete one of the two");
      p.features.push_back(f.get<std::string>());
    }
  }
  return p;
}

Result<HeadProfile> LoadCharacter(const std::filesystem::path& path) {
  Result<std::string> text = ReadFile(path, std::uintmax_t{16} << 20);
  if (!text) return tl::unexpected(text.error());
  return ParseCharacter(*text, path.string());
}

std::string CharacterToJson(const HeadProfile& p) {
  nlohmann::ordered_json json;
  json["format"] = "armslength-character";
  json["version"] = 1;
  json["name"] = p.name;
  json["drawings"] = p.drawings;
  json["unit"] = "head";
  const auto tidy = [](double v) { return std::round(v * 1e7) / 1e7; };
  for (int k = 0; k < kHeadParamCount; ++k) {
    const auto param = static_cast<HeadParam>(k);
    json["shape"][std::string(Name(param))] = {{"mean", tidy(p.mean[k])}, {"sd", std::max(1e-7, tidy(p.Sd(param)))}};
  }
  auto rows = nlohmann::ordered_json::array();
  for (int i = 0; i < kHeadParamCount; ++i) {
    auto row = nlohmann::ordered_json::array();
    for (int j = 0; j < i; ++j) row.push_back(tidy(p.covariance(i, j) / std::sqrt(p.covariance(i, i) * p.covariance(j, j))));
    rows.push_back(row);
  }
  json["correlation"] = rows;
  if (!p.features.empty()) json["features"] = p.features;
  // One row a line keeps the file short and its changes readable.
  std::string text = json.dump(1);
  std::string out;
  bool inside = false;
  int depth = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text.compare(i, 14, "\"correlation\":") == 0) inside = true;
    if (inside && text[i] == '[') ++depth;
    if (inside && depth >= 2 && (text[i] == '\n' || (text[i] == ' ' && i > 0 && (text[i - 1] == '\n' || text[i - 1] == ' ')))) continue;
    out += text[i];
    if (inside && text[i] == ']' && --depth == 0) inside = false;
  }
  return out + "\n";
}

Result<void> SaveCharacter(const HeadProfile& profile, const std::filesystem::path& path) {
  const std::string text = CharacterToJson(profile);
  if (Result<HeadProfile> check = ParseCharacter(text, path.string()); !check) return tl::unexpected(check.error());
  return WriteFileAtomic(path, text);
}

}  // namespace armslength
