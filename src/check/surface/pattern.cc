#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <limits>
#include <optional>
#include <vector>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "check/surface/patch.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;

// 15 degrees between a stripe and the way it would take round the form: common practice, no
// source; default, editable.
constexpr double kTurnTolerance = 15.0 * kDegree;
// A pattern counts as straight when its directions differ by less than this across the part (rms).
constexpr double kStraight = 6.0 * kDegree;
constexpr int kBins = 7;
constexpr double kWidest = 0.80;  // nearer the edge, lines and shadow of the contour rule

struct Bin {
  double u = 0.0;       // place across the part, -1 .. 1
  double angle = 0.0;   // of the stripes against the across direction, (-pi/2, pi/2]
  double weight = 0.0;
  double coherence = 0.0;
};

double Axial(double a) { return std::remainder(a, M_PI); }

// Direction of a stripe laid at `slant` to the ring direction, seen at u.
double Wrapped(double u, double slant, double beta) {
  const double k = std::sqrt(std::max(0.0, 1.0 - beta * beta));
  return std::atan2(k * std::tan(slant) - beta * u, std::sqrt(std::max(1e-6, 1.0 - u * u)));
}

struct Fit {
  double slant = 0.0, beta = 0.0, rms = std::numeric_limits<double>::infinity();
};

double Rms(const std::vector<Bin>& bins, const auto& model) {
  double sum = 0.0, weight = 0.0;
  for (const Bin& b : bins) {
    const double d = Axial(b.angle - model(b.u));
    sum += b.weight * d * d;
    weight += b.weight;
  }
  return std::sqrt(sum / std::max(weight, 1e-12));
}

Fit FitWrapped(const std::vector<Bin>& bins, double beta_low, double beta_high) {
  Fit best;
  for (int i = 0; i <= 8; ++i) {
    const double beta = std::clamp(beta_low + (beta_high - beta_low) * i / 8.0, -0.97, 0.97);
    for (int s = -70; s <= 70; s += 2) {
      const double rms = Rms(bins, [&](double u) { return Wrapped(u, s * kDegree, beta); });
      if (rms < best.rms) best = {s * kDegree, beta, rms};
    }
  }
  return best;
}

struct Read {
  const Area* area = nullptr;
  PartAxis part;
  std::vector<Bin> bins;
  Vec2 across = Vec2::UnitX(), centre = Vec2::Zero();
  double half_width_px = 0.0, length_px = 0.0;
  double along_share = 0.0;    // strength that runs along the part, of all
  double straight = 0.0, straight_rms = 0.0;
  Fit wrapped, nominal;
  double apart = 0.0;          // between straight and wrapped at the edges
  Finding finding;
};

// Stripes' directions across the part. Edges that run along the part (shadow, contour, the other
// half of a check) tell nothing here and are left out.
bool ReadBins(const Picture& picture, Read& r) {
  const auto& outline = r.area->outline;
  double low_t = 1e18, high_t = -1e18, low_x = 1e18, high_x = -1e18;
  r.centre.setZero();
  for (const Vec2& p : outline) r.centre += p / static_cast<double>(outline.size());
  const Vec2 dir = r.part.direction;
  r.across = Vec2(-dir.y(), dir.x());
  for (const Vec2& p : outline) {
    const double t = (p - r.centre).dot(dir), x = (p - r.centre).dot(r.across);
    low_t = std::min(low_t, t);
    high_t = std::max(high_t, t);
    low_x = std::min(low_x, x);
    high_x = std::max(high_x, x);
  }
  r.length_px = high_t - low_t;
  const auto patch = CutPatch(picture.image, outline, std::max(1.0, (high_x - low_x) / 120.0));
  if (!patch || r.length_px < 24) return false;
  // Edges of the outline at each height along the part.
  constexpr int kLevels = 96;
  std::array<double, kLevels> left, right;
  left.fill(1e18);
  right.fill(-1e18);
  for (int level = 0; level < kLevels; ++level) {
    const double t = low_t + (high_t - low_t) * (level + 0.5) / kLevels;
    for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
      const double ta = (outline[j] - r.centre).dot(dir) - t, tb = (outline[i] - r.centre).dot(dir) - t;
      if ((ta < 0) == (tb < 0)) continue;
      const Vec2 cut = outline[j] + (outline[i] - outline[j]) * (ta / (ta - tb));
      const double x = (cut - r.centre).dot(r.across);
      left[static_cast<std::size_t>(level)] = std::min(left[static_cast<std::size_t>(level)], x);
      right[static_cast<std::size_t>(level)] = std::max(right[static_cast<std::size_t>(level)], x);
    }
  }
  std::vector<double> widths;
  for (std::size_t i = 0; i < kLevels; ++i)
    if (right[i] > left[i]) widths.push_back(0.5 * (right[i] - left[i]));
  if (widths.size() < kLevels / 2) return false;
  std::nth_element(widths.begin(), widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2), widths.end());
  r.half_width_px = widths[widths.size() / 2];
  if (r.half_width_px < 10) return false;

  struct Channel {
    cv::Mat gx, gy;
    float weight;
  };
  std::vector<Channel> channels;
  for (const auto& [source, weight] : {std::pair{patch->light, 0.6F}, {patch->ratio_a, 1.0F}, {patch->ratio_b, 0.7F}}) {
    cv::Mat smooth;
    cv::GaussianBlur(source, smooth, cv::Size(0, 0), 1.2);
    Channel c;
    cv::Sobel(smooth, c.gx, CV_32F, 1, 0, 3);
    cv::Sobel(smooth, c.gy, CV_32F, 0, 1, 3);
    c.weight = weight;
    channels.push_back(c);
  }
  std::array<std::complex<double>, kBins> sum{};
  std::array<double, kBins> strength{}, place{};
  double along_strength = 0.0, all_strength = 0.0;
  for (int y = 2; y + 2 < patch->light.rows; ++y)
    for (int x = 2; x + 2 < patch->light.cols; ++x) {
      if (!patch->inside.at<std::uint8_t>(y, x)) continue;
      const Vec2 p = patch->ToPicture(x, y) - r.centre;
      const double t = p.dot(dir), across = p.dot(r.across);
      const auto level = static_cast<std::size_t>(std::clamp((t - low_t) / (high_t - low_t) * kLevels, 0.0, kLevels - 1.0));
      if (right[level] - left[level] < r.half_width_px) continue;
      const double u = 2.0 * (across - left[level]) / (right[level] - left[level]) - 1.0;
      if (std::abs(u) > kWidest) continue;
      const auto bin = static_cast<std::size_t>(std::clamp((u + kWidest) / (2 * kWidest) * kBins, 0.0, kBins - 1.0));
      // Structure tensor over all channels: its leading direction is across the edge.
      double xx = 0, yy = 0, xy = 0;
      for (const Channel& c : channels) {
        const double gx = c.weight * c.gx.at<float>(y, x), gy = c.weight * c.gy.at<float>(y, x);
        xx += gx * gx;
        yy += gy * gy;
        xy += gx * gy;
      }
      const double energy = xx + yy;
      if (energy < 0.02) continue;
      const double normal = 0.5 * std::atan2(2 * xy, xx - yy);
      const Vec2 edge(-std::sin(normal), std::cos(normal));
      const double angle = Axial(std::atan2(edge.dot(dir), edge.dot(r.across)));
      const double w = std::min(energy, 1.0);
      all_strength += w;
      if (std::abs(angle) > 65.0 * kDegree) {
        along_strength += w;
        continue;
      }
      sum[bin] += std::polar(w, 2.0 * angle);
      strength[bin] += w;
      place[bin] += w * u;
    }
  r.along_share = all_strength > 0 ? along_strength / all_strength : 1.0;
  for (std::size_t i = 0; i < kBins; ++i) {
    if (strength[i] < 12.0) continue;
    Bin b;
    b.u = place[i] / strength[i];
    b.angle = 0.5 * std::arg(sum[i]);
    b.coherence = std::abs(sum[i]) / strength[i];
    b.weight = b.coherence * b.coherence;
    if (b.coherence > 0.45) r.bins.push_back(b);
  }
  return true;
}

void Guide(Read& r) {
  const Vec2 dir = r.part.direction;
  const double beta = r.nominal.beta, k = std::sqrt(1.0 - beta * beta);
  for (int i = 0; i < 4; ++i) {
    const double t = (i - 1.5) / 4.0 * r.length_px;
    std::vector<Vec2> curve;
    for (int j = 0; j <= 16; ++j) {
      const double theta = (j / 8.0 - 1.0) * 1.25;
      curve.push_back(r.centre + dir * t + r.half_width_px * (r.across * std::sin(theta) +
                      dir * (k * std::tan(r.nominal.slant) * theta + beta * (std::cos(theta) - 0.7))));
    }
    r.finding.guides.push_back(body_check::Line(GuideShape::Role::kTarget, curve));
  }
  const Vec2 drawn = r.across * std::cos(r.straight) + dir * std::sin(r.straight);
  r.finding.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {r.centre - 0.8 * r.half_width_px * drawn,
                                                                         r.centre + 0.8 * r.half_width_px * drawn}));
}

void Flat(Read& r, const std::string& spoken, std::string why) {
  Finding& f = r.finding;
  f.verdict = Verdict::kOff;
  f.title = body_check::Sentence(spoken) + " pasted flat on the form";
  f.why = std::move(why);
  f.ask.clear();
  f.remedy = {RemedyWay::kWarp, 25.0, "Warp or redraw the pattern along the guide arcs, closer together towards the edges."};
  f.gain = 4.0;
  Guide(r);
}

std::string Spoken(const Area& area) {
  std::string name = area.name.empty() ? "pattern" : area.name;
  if (name.ends_with("_l")) return "left " + name.substr(0, name.size() - 2);
  if (name.ends_with("_r")) return "right " + name.substr(0, name.size() - 2);
  return name;
}

}  // namespace

void CheckPatterns(const BodyFacts& facts, const Picture& picture, std::vector<Finding>& out) {
  std::vector<Read> reads;
  for (const Area& area : facts.Marks().areas) {
    if (area.kind != "pattern" || area.outline.size() < 3) continue;
    Read r;
    r.area = &area;
    const std::string spoken = Spoken(area);
    Finding& f = r.finding;
    f = body_check::Start(facts, "cloth.pattern." + IdPart(area.name), body_check::Sentence(spoken) + " round the form",
                          Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kFlats;
    f.where.outline = area.outline;
    f.unit = "deg";
    f.tolerance = kTurnTolerance / kDegree;
    f.source = "15 degrees off the way round the form: common practice, default, editable";
    f.test = "straight against wrapped, mean distance at the edges";
    Vec2 centre = Vec2::Zero();
    for (const Vec2& p : area.outline) centre += p / static_cast<double>(area.outline.size());
    const auto part = AxisOf(facts, area.on, area.name, centre);
    if (!part) {
      f.why = "The part under the pattern is not solved.";
      f.ask = "Say which bone the outline lies on, and mark both its ends.";
      reads.push_back(std::move(r));
      continue;
    }
    r.part = *part;
    if (!ReadBins(picture, r) || r.bins.size() < 4 || r.along_share > 0.5) {
      r.bins.clear();
      f.why = r.along_share > 0.5 ? "Its lines run along the part, where flat and wrapped look alike."
                                   : "No clear stripes were found under the outline.";
      f.ask = "Outline a piece where the stripes cross the whole part.";
      reads.push_back(std::move(r));
      continue;
    }
    std::complex<double> mean{};
    for (const Bin& b : r.bins) mean += std::polar(b.weight, 2.0 * b.angle);
    r.straight = 0.5 * std::arg(mean);
    r.straight_rms = Rms(r.bins, [&](double) { return r.straight; });
    const double beta_sd = std::hypot(part->along_sight_sd, part->slack_rad * std::sqrt(std::max(0.0, 1.0 - part->along_sight * part->along_sight)));
    const double beta = part->along_sight;
    r.wrapped = FitWrapped(r.bins, beta - 2.0 * beta_sd, beta + 2.0 * beta_sd);
    if (!part->sign_known) {
      const Fit other = FitWrapped(r.bins, -beta - 2.0 * beta_sd, -beta + 2.0 * beta_sd);
      if (other.rms < r.wrapped.rms) r.wrapped = other;
    }
    r.nominal = FitWrapped(r.bins, beta, beta);
    for (const double u : {-0.7, 0.7}) r.apart += 0.5 * std::abs(Axial(Wrapped(u, r.nominal.slant, beta) - r.straight));
    // The wrapped field closest to the drawing that the body still allows.
    double off = 0.0, weight = 0.0;
    for (const Bin& b : r.bins)
      if (std::abs(b.u) > 0.35) {
        off += b.weight * std::abs(Axial(b.angle - Wrapped(b.u, r.wrapped.slant, r.wrapped.beta)));
        weight += b.weight;
      }
    off /= std::max(weight, 1e-9);
    f.measured = off / kDegree;
    f.expected = 0.0;
    f.sd = std::min(r.straight_rms, r.wrapped.rms) / kDegree;
    f.evidence = r.wrapped.rms / std::max(r.straight_rms, 1.0 * kDegree);
    f.where.outline = area.outline;
    const std::string basis = fmt::format("Across the part the stripes keep one direction to {:.0f} degrees; laid round the {} "
                                          "they would turn by {:.0f} degrees towards the edges", r.straight_rms / kDegree,
                                          part->spoken, r.apart / kDegree);
    if (r.straight_rms < kStraight && off > 0.6 * kTurnTolerance && r.wrapped.rms > 1.6 * r.straight_rms &&
        r.apart > kTurnTolerance) {
      Flat(r, spoken, basis + ".");
    } else if (r.wrapped.rms < 5.0 * kDegree && r.straight_rms > 1.5 * r.wrapped.rms && r.straight_rms > kStraight) {
      f.verdict = Verdict::kClear;
      f.title = body_check::Sentence(spoken) + " goes round the form";
      f.why = fmt::format("The stripes follow the form to {:.0f} degrees.", r.wrapped.rms / kDegree);
    } else {
      f.why = basis + fmt::format("; the field that the body allows and that is nearest lies {:.0f} degrees away.", off / kDegree);
      f.ask = "A pattern on a part that points more towards or away from the viewer tells more.";
    }
    reads.push_back(std::move(r));
  }
  // One pattern pasted over several parts keeps its direction in the picture, whatever way they point.
  for (Read& a : reads)
    for (Read& b : reads) {
      if (&a == &b || a.bins.empty() || b.bins.empty() || a.finding.verdict != Verdict::kCannotTell) continue;
      if (a.straight_rms > 1.3 * kStraight || b.straight_rms > 1.3 * kStraight) continue;
      const auto in_picture = [](const Read& r) {
        const Vec2 d = r.across * std::cos(r.straight) + r.part.direction * std::sin(r.straight);
        return std::atan2(d.y(), d.x());
      };
      const double pictures = std::abs(Axial(in_picture(a) - in_picture(b)));
      const double same = std::abs(Axial(a.straight - b.straight)), mirrored = std::abs(Axial(a.straight + b.straight));
      if (pictures < 4.0 * kDegree && same > 1.4 * kTurnTolerance && mirrored > kTurnTolerance) {
        a.finding.measured = same / kDegree;
        Flat(a, Spoken(*a.area),
             fmt::format("The {} and the {} point {:.0f} degrees apart, yet their stripes run the same way across the picture "
                         "to {:.0f} degrees, and straight.", a.part.spoken, b.part.spoken,
                         std::abs(Axial(std::atan2(a.part.direction.y(), a.part.direction.x()) -
                                        std::atan2(b.part.direction.y(), b.part.direction.x()))) / kDegree,
                         pictures / kDegree));
      }
    }
  for (Read& r : reads) {
    body_check::Finish(facts, r.part.rests_on, r.finding);
    out.push_back(std::move(r.finding));
  }
}

}  // namespace armslength::surface_check
