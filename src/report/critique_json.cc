#include "report/critique_json.h"

#include <cmath>
#include <cstdlib>
#include <numbers>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "words/say.h"

namespace armslength {
namespace {

using Json = nlohmann::ordered_json;

double Rounded(double value, int digits) { return std::strtod(fmt::format("{:.{}g}", value, digits).c_str(), nullptr); }

// Measures: four significant digits say more than any reading of a drawing knows.
void Put(Json& to, const char* key, std::optional<double> value, int digits = 4) {
  if (value && std::isfinite(*value)) to[key] = Rounded(*value, digits);
}
void Put(Json& to, const char* key, const std::string& text) {
  if (!text.empty()) to[key] = text;
}

double Pixel(double value) { return std::isfinite(value) ? std::round(value * 100.0) / 100.0 : 0.0; }
bool Finite(const Vec2& p) { return p.allFinite(); }
Json Place(const Vec2& p) { return Json::array({Pixel(p.x()), Pixel(p.y())}); }
Json Places(const std::vector<Vec2>& points) {
  Json list = Json::array();
  for (const Vec2& p : points)
    if (Finite(p)) list.push_back(Place(p));
  return list;
}

double Degrees(double rad) { return rad * 180.0 / std::numbers::pi; }

Json ToJson(const Where& where) {
  Json out = Json::object();
  if (!where.points.empty()) out["points"] = Places(where.points);
  if (where.box) {
    bool finite = true;
    for (double v : *where.box) finite = finite && std::isfinite(v);
    if (finite) out["box"] = Json::array({Pixel((*where.box)[0]), Pixel((*where.box)[1]), Pixel((*where.box)[2]), Pixel((*where.box)[3])});
  }
  if (!where.outline.empty()) out["outline"] = Places(where.outline);
  return out;
}

Json ToJson(const Remedy& remedy) {
  Json out = Json::object();
  out["way"] = Name(remedy.way);
  out["minutes"] = std::isfinite(remedy.minutes) ? Rounded(remedy.minutes, 4) : 0.0;
  out["detail"] = remedy.detail;
  return out;
}

Json ToJson(const Finding& f, std::string_view covered_by, bool in_first) {
  Json out = Json::object();
  out["id"] = f.id;
  out["title"] = f.title;
  out["kind"] = Name(f.kind);
  out["verdict"] = Name(f.verdict);
  out["figure"] = f.figure;
  out["where"] = ToJson(f.where);
  Put(out, "measured", f.measured);
  Put(out, "expected", f.expected);
  Put(out, "tolerance", f.tolerance);
  Put(out, "unit", f.unit);
  Put(out, "sd", f.sd);
  Put(out, "evidence", f.evidence);
  Put(out, "test", f.test);
  Put(out, "smallest_visible", f.smallest_visible);
  out["stage"] = Name(f.stage);
  out["remedy"] = ToJson(f.remedy);
  out["why"] = f.why;
  Put(out, "ask", f.ask);
  Put(out, "source", f.source);
  Put(out, "gain", f.gain);
  if (in_first) out["first"] = true;
  if (f.meant) out["meant"] = true;
  if (!covered_by.empty()) out["covered_by"] = covered_by;
  return out;
}

Json Findings(const Critique& critique) {
  Json list = Json::array();
  std::size_t at = 0;
  for (const Finding* f : critique.All()) list.push_back(ToJson(*f, critique.ParentOf(*f), at++ < critique.first.size()));
  return list;
}

Json ToJson(const CanonInUse& used) {
  Json out = Json::object();
  out["name"] = used.canon.name;
  Put(out, "title", SayLater(used.canon.title));
  out["declared"] = used.declared;
  Put(out, "heads", used.heads);
  Put(out, "heads_sd", used.heads_sd);
  Put(out, "how_to_change", used.how_to_change);
  return out;
}

Json ToJson(const StandingBody& body) {
  Json levels = Json::object();
  for (int i = 0; i < kStandingLevelCount; ++i) {
    const auto at = static_cast<std::size_t>(i);
    Json level = Json::object();
    Put(level, "height", body.level[at]);
    Put(level, "sd", body.level_sd[at]);
    levels[std::string(Name(static_cast<StandingLevel>(i)))] = std::move(level);
  }
  return levels;
}

Json ToJson(const HeadReading& head) {
  Json out = Json::object();
  out["usable"] = head.usable;
  if (!head.usable) {
    Put(out, "why_not", head.why_not);
    Put(out, "ask", head.ask);
    return out;
  }
  Put(out, "yaw_deg", Degrees(head.pose.yaw_rad));
  Put(out, "yaw_sd_deg", Degrees(head.yaw_sd_rad));
  Put(out, "pitch_deg", Degrees(head.pose.pitch_rad));
  Put(out, "pitch_sd_deg", Degrees(head.pitch_sd_rad));
  Put(out, "roll_deg", Degrees(head.pose.roll_rad));
  Put(out, "roll_sd_deg", Degrees(head.roll_sd_rad));
  Put(out, "scale_px", head.pose.scale_px);
  Put(out, "sigma_px", head.sigma_px);
  out["marks_used"] = head.marks_used;
  Json faults = Json::array();
  for (int k = 0; k < kHeadFaultCount; ++k) {
    const HeadFault& fault = head.Fault(static_cast<HeadFaultKind>(k));
    if (!fault.tested) continue;
    Json row = Json::object();
    row["id"] = FindingId(static_cast<HeadFaultKind>(k));
    Put(row, "amount", fault.amount);
    Put(row, "sd", fault.sd);
    Put(row, "evidence", fault.evidence);
    Put(row, "threshold", fault.threshold);
    faults.push_back(std::move(row));
  }
  out["faults"] = std::move(faults);
  return out;
}

Json ToJson(const StandingFigure& standing) {
  Json out = Json::object();
  out["usable"] = standing.usable;
  if (!standing.usable) {
    Put(out, "why_not", standing.why_not);
    return out;
  }
  Put(out, "note", standing.note);
  out["unit"] = "heads";
  Put(out, "heads_drawn", standing.heads_drawn);
  Put(out, "heads_low", standing.heads_low);
  Put(out, "heads_high", standing.heads_high);
  Put(out, "heads_canon", standing.heads_canon);
  out["drawn"] = ToJson(standing.drawn);
  out["canon"] = ToJson(standing.canon);
  return out;
}

Json ToJson(const BodyReading& r) {
  Json out = Json::object();
  out["usable"] = r.usable;
  if (!r.usable) {
    Put(out, "why_not", r.why_not);
    return out;
  }
  out["view"] = Name(r.view);
  Put(out, "turn_deg", Degrees(r.turn_rad));
  Json camera = Json::object();
  Put(camera, "scale_px", r.camera.scale_px);
  Put(camera, "inverse_distance", r.camera.inverse_distance);
  Put(camera, "elevation_deg", Degrees(r.camera.elevation_rad));
  if (Finite(r.camera.origin_px)) camera["origin_px"] = Place(r.camera.origin_px);
  out["camera"] = std::move(camera);
  Put(out, "sigma_px", r.sigma_px);
  Put(out, "sigma_estimated_px", r.sigma_estimated_px);
  out["canon"] = ToJson(r.canon);

  Json joints = Json::object();
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto at = static_cast<std::size_t>(i);
    const auto id = static_cast<PointId>(i);
    if (!r.joints[at].allFinite() || !Finite(r.JointPx(id))) continue;
    Json joint = Json::object();
    joint["marked"] = r.marked[at];
    joint["at"] = Json::array({Rounded(r.joints[at].x(), 5), Rounded(r.joints[at].y(), 5), Rounded(r.joints[at].z(), 5)});
    joint["px"] = Place(r.JointPx(id));
    const Vec3 variance = r.joint_cov[at].diagonal();
    if (variance.allFinite() && variance.minCoeff() >= 0.0)
      joint["sd"] = Json::array({Rounded(std::sqrt(variance.x()), 3), Rounded(std::sqrt(variance.y()), 3),
                                 Rounded(std::sqrt(variance.z()), 3)});
    joints[std::string(Name(id))] = std::move(joint);
  }
  out["joints"] = std::move(joints);

  Json lengths = Json::object();
  for (int i = 0; i < kBoneCount; ++i) {
    const auto at = static_cast<std::size_t>(i);
    if (!(std::isfinite(r.length[at]) && r.length[at] > 0.0)) continue;
    Json length = Json::object();
    Put(length, "statures", r.length[at]);
    Put(length, "relative_sd", r.length_log_sd[at]);
    lengths[std::string(Name(static_cast<BoneId>(i)))] = std::move(length);
  }
  out["lengths"] = std::move(lengths);

  if (r.misplaced) {
    Json mark = Json::object();
    mark["point"] = Name(r.misplaced->point);
    Put(mark, "evidence", r.misplaced->evidence);
    Put(mark, "distance_px", r.misplaced->distance_px);
    if (Finite(r.misplaced->better_px)) mark["better_px"] = Place(r.misplaced->better_px);
    out["misplaced"] = std::move(mark);
  }
  Json helpful = Json::array();
  for (const HelpfulMark& h : r.helpful) {
    Json mark = Json::object();
    mark["what"] = h.what;
    mark["how"] = h.how;
    Put(mark, "finding", h.finding);
    Put(mark, "gain", h.gain);
    helpful.push_back(std::move(mark));
  }
  out["helpful"] = std::move(helpful);

  Json hypotheses = Json::array();
  for (const LengthHypothesis& h : r.hypotheses) {
    if (!std::isfinite(h.evidence) || !std::isfinite(h.factor)) continue;
    Json question = Json::object();
    question["id"] = h.id;
    Json bones = Json::array();
    for (const BoneId bone : h.bones) bones.push_back(Name(bone));
    question["bones"] = std::move(bones);
    Put(question, "evidence", h.evidence);
    Put(question, "standardized", h.standardized);
    Put(question, "factor", h.factor);
    Put(question, "factor_low", h.factor_low);
    Put(question, "factor_high", h.factor_high);
    question["off"] = h.off;
    question["cleared"] = h.cleared;
    Put(question, "smallest_long", h.smallest_long);
    Put(question, "smallest_short", h.smallest_short);
    hypotheses.push_back(std::move(question));
  }
  if (!hypotheses.empty()) out["hypotheses"] = std::move(hypotheses);
  return out;
}

Json Figures(const Critique& critique) {
  Json list = Json::array();
  for (const FigureCritique& figure : critique.figures) {
    Json out = Json::object();
    out["name"] = figure.marks.name;
    Put(out, "note", figure.marks.note);
    Json reading = Json::object();
    if (figure.body) reading["body"] = ToJson(*figure.body);
    if (figure.standing) reading["standing"] = ToJson(*figure.standing);
    if (figure.head) reading["head"] = ToJson(*figure.head);
    out["reading"] = std::move(reading);
    list.push_back(std::move(out));
  }
  return list;
}

Json ToJson(const PictureFacts& p) {
  Json out = Json::object();
  out["file"] = p.file;
  out["format"] = p.format;
  out["width"] = p.width;
  out["height"] = p.height;
  out["bit_depth"] = p.bit_depth;
  out["channels"] = p.channels;
  out["has_alpha"] = p.has_alpha;
  out["orientation"] = p.orientation;
  out["profile_embedded"] = p.profile_embedded;
  out["profile"] = p.profile;
  out["sha256"] = p.sha256;
  out["bytes"] = p.bytes;
  out["notes"] = p.notes;
  return out;
}

// Bad UTF-8 in names must not throw half-way.
std::string Dump(const Json& json, int indent) {
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace

std::string CritiqueToJson(const Critique& critique) {
  Json out = Json::object();
  out["format"] = "armslength-critique";
  out["version"] = 1;
  out["picture"] = ToJson(critique.picture);
  Put(out, "marks", critique.marks_file);
  if (critique.gate) out["stage"] = Name(*critique.gate);
  if (critique.held_back > 0) out["held_back"] = critique.held_back;
  out["figures"] = Figures(critique);
  out["findings"] = Findings(critique);
  return Dump(out, 1) + "\n";
}

std::string ReadingLine(const std::string& file, const Critique& critique) {
  Json out = Json::object();
  out["file"] = file;
  out["figures"] = Figures(critique);
  out["findings"] = Findings(critique);
  return Dump(out, -1);
}

}  // namespace armslength
