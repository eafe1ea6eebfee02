#include "reading/body/body_thresholds.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <span>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "support/embedded.h"

namespace armslength {
std::span<const EmbeddedFile> EmbeddedFiles_body_thresholds();
}

namespace armslength::body {
namespace {

using nlohmann::json;
using nlohmann::ordered_json;

Behaviour ReadBehaviour(const json& j) {
  Behaviour b;
  for (std::size_t info = 0; info < kInfoLevels; ++info) {
    const json& level = j.at("information").at(info);
    for (const BoneGroup& group : BoneGroups()) {
      const json& row = level.at("groups").at(std::string(group.id));
      b.mean[info].push_back(row.at(0).get<double>());
      b.width[info].push_back(row.at(1).get<double>());
    }
    b.family[info] = level.at("family").get<std::array<double, 3>>();
    b.mark[info] = level.at("mark").get<std::array<double, 3>>();
    b.partial[info] = level.at("partial").get<double>();
    b.cost_per_mark[info] = level.at("cost_per_mark").get<double>();
  }
  b.view = j.at("view").get<std::array<double, kViewClasses>>();
  return b;
}

double Rounded(double x) { return std::round(x * 1000.0) / 1000.0; }
template <std::size_t N>
ordered_json Rounded(const std::array<double, N>& row) {
  ordered_json out = ordered_json::array();
  for (double x : row) out.push_back(Rounded(x));
  return out;
}

ordered_json WriteBehaviour(const Behaviour& b) {
  ordered_json out;
  out["view"] = Rounded(b.view);
  for (std::size_t info = 0; info < kInfoLevels; ++info) {
    ordered_json level;
    level["family"] = Rounded(b.family[info]);
    level["mark"] = Rounded(b.mark[info]);
    level["partial"] = Rounded(b.partial[info]);
    level["cost_per_mark"] = Rounded(b.cost_per_mark[info]);
    for (std::size_t g = 0; g < BoneGroups().size(); ++g)
      level["groups"][std::string(BoneGroups()[g].id)] = {Rounded(b.mean[info][g]), Rounded(b.width[info][g])};
    out["information"].push_back(level);
  }
  return out;
}

Behaviour LoadEmbedded(std::string_view name) {
  for (const EmbeddedFile& file : EmbeddedFiles_body_thresholds())
    if (file.name == name)
      if (auto behaviour = ParseBehaviour(file.content)) return std::move(*behaviour);
  // The data is part of the program and a test parses it: only a broken build comes here.
  fmt::print(stderr, "armslength: the embedded thresholds {} cannot be read; this build is broken\n", name);
  std::abort();
}

}  // namespace

const BodyThresholds& Thresholds() {
  static const BodyThresholds thresholds{LoadEmbedded("body_declared.json"), LoadEmbedded("body_free.json")};
  return thresholds;
}

Result<Behaviour> ParseBehaviour(std::string_view json_text) {
  try {
    return ReadBehaviour(json::parse(json_text));
  } catch (const json::exception& e) {
    return Fail(ErrorKind::kInternal, "body thresholds", {}, e.what(), "Make them again with calibrate_body");
  }
}

std::string BehaviourToJson(const Behaviour& behaviour, const std::string& made_by) {
  ordered_json out;
  out["format"] = "armslength-body-thresholds";
  out["version"] = 1;
  out["made_by"] = made_by;
  out["sigma_grid"] = Rounded(kSigmaGrid);
  out.update(WriteBehaviour(behaviour));
  return out.dump(1) + "\n";
}

int InfoLevel(const BodyProblem& problem) {
  const auto flags = std::count_if(problem.flag.begin(), problem.flag.end(), [](Flag f) { return f != Flag::kNone; });
  return (flags >= 7 ? 1 : 0) + (problem.head_box ? 2 : 0);
}

bool Partial(const BodyProblem& problem) {
  return std::count(problem.marked.begin(), problem.marked.end(), true) < kBodyPointCount;
}

double AtSigma(const std::array<double, 3>& row, double sigma) {
  const double x = std::log(std::max(sigma, 1e-6));
  for (std::size_t i = 0; i + 1 < row.size(); ++i) {
    const double a = std::log(kSigmaGrid[i]), b = std::log(kSigmaGrid[i + 1]);
    if (x <= a) return row[i];
    if (x < b) return row[i] + (row[i + 1] - row[i]) * (x - a) / (b - a);
  }
  return row.back();
}

double Bonus(const BoneGroup& group) {
  // So that legs, torso and head are found about evenly well. The table showed that they were not; the
  // numbers were then chosen on figures of their own, neither calibration's nor the table's.
  if (group.id == "body.legs.length" || group.id == "body.torso.length") return 2.75;
  if (group.id == "body.head.size" || group.id == "body.arms.length") return 1.1;
  return 0.0;
}

double Standardized(const Behaviour& behaviour, int info, std::size_t g, double evidence) {
  const auto i = static_cast<std::size_t>(info);
  return (evidence - behaviour.mean[i][g]) / behaviour.width[i][g] + Bonus(BoneGroups()[g]);
}

}  // namespace armslength::body
