#include "reading/head/head_thresholds.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <stdexcept>

#include <nlohmann/json.hpp>

#include "support/embedded.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_head_thresholds();

namespace {

constexpr double kLeastEvidence = 4.0;   // 2 sd: less would be no finding whatever the view
constexpr double kPlainEvidence = 16.0;  // 4 sd: enough whatever the view
constexpr double kBowEvidence = 25.0;
constexpr double kFaultSpread = 4.0;  // of the sizes of faults, tolerances

std::string_view Embedded(std::string_view name) {
  for (const EmbeddedFile& f : EmbeddedFiles_head_thresholds())
    if (f.name == name) return f.content;
  return {};
}

std::array<HeadTolerance, kHeadFaultCount> LoadTolerances() {
  const auto json = nlohmann::json::parse(Embedded("head.json"));
  std::array<HeadTolerance, kHeadFaultCount> out;
  for (int k = 0; k < kHeadFaultCount; ++k) {
    const auto& row = json.at("tolerances").at(std::string(FindingId(static_cast<HeadFaultKind>(k))));
    out[static_cast<std::size_t>(k)] = {row.at("value").get<double>(), row.at("source").get<std::string>()};
  }
  return out;
}

using Table = std::array<std::array<std::array<HeadCalibration, kSigmaClassCount>, kMarkClassCount>, kYawBandCount>;

Table LoadCalibration() {
  Table table;
  for (auto& bands : table)
    for (auto& classes : bands)
      for (HeadCalibration& c : classes) {
        c.log_factor.fill(1.5);  // until calibrated
        c.sd_factor.fill(1.2);
      }
  const std::string_view text = Embedded("head_calibration.json");
  if (text.empty()) return table;
  const auto json = nlohmann::json::parse(text);
  for (const auto& row : json.at("strata")) {
    HeadCalibration& c = table.at(row.at("yaw_band").get<std::size_t>())
                             .at(row.at("mark_class").get<std::size_t>())
                             .at(row.at("sigma_class").get<std::size_t>());
    for (int k = 0; k < kHeadFaultCount; ++k) {
      const auto& f = row.at("faults").at(std::string(FindingId(static_cast<HeadFaultKind>(k))));
      c.log_factor[static_cast<std::size_t>(k)] = f.at(0).get<double>();
      c.sd_factor[static_cast<std::size_t>(k)] = f.at(1).get<double>();
    }
  }
  return table;
}

}  // namespace

const HeadTolerance& ToleranceOf(HeadFaultKind kind) {
  static const auto kTolerances = LoadTolerances();
  return kTolerances[static_cast<std::size_t>(kind)];
}

const HeadCalibration& CalibrationFor(double yaw_rad, int marks, double sigma) {
  static const Table kTable = LoadCalibration();
  return kTable[static_cast<std::size_t>(YawBand(yaw_rad))][static_cast<std::size_t>(MarkClass(marks))]
               [static_cast<std::size_t>(SigmaClass(sigma))];
}

double EvidenceNeeded(HeadFaultKind kind, double log_factor, double sd) {
  if (kind == HeadFaultKind::kFeaturesTilt) return kBowEvidence;
  const double spread = kFaultSpread * ToleranceOf(kind).value / sd, g = spread * spread;
  return std::clamp((2.0 * log_factor + std::log1p(g)) * (1.0 + 1.0 / g), kLeastEvidence, kPlainEvidence);
}

int YawBand(double yaw_rad) {
  const double deg = std::abs(yaw_rad) * 180 / M_PI;
  for (int b = 0; b < kYawBandCount; ++b)
    if (deg < kYawBandsDeg[static_cast<std::size_t>(b) + 1]) return b;
  return kYawBandCount - 1;
}

int MarkClass(int marks) { return marks <= 9 ? 0 : marks <= 16 ? 1 : 2; }
int SigmaClass(double sigma) { return sigma <= 0.007 ? 0 : sigma <= 0.014 ? 1 : 2; }

}  // namespace armslength
