#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/form.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;

// 15 degrees between a stripe and the way it would take round the form, or a fifth of its spacing:
// common practice, no source; default, editable.
constexpr double kTurnTolerance = 15.0 * kDegree;
constexpr double kSpacingTolerance = 0.20;
// What one reading must explain better than the other, as the log of the unexplained, and how evenly
// over the windows. Set on figures with seeds from 1500001; counted by bench/detection_surface on others.
constexpr double kFlatRatio = 0.18, kFormRatio = 0.16, kEven = 0.8;
// Lines along the part are told by a handful of places across it alone.
constexpr double kAlong = 1.2, kAlongRatio = 0.35;
// So far apart, what is measured between the readings matters whatever the strongest lines alone say: the crossing
// lines of checks turn and close up where those do not.
constexpr double kPlain = 0.45;
// A reading that explains less of the texture than this is none, however bad the other.
// Nothing flat turns or narrows, so a print pasted on reads nearly whole.
constexpr double kReads = 0.50, kReadsFlat = 0.70;
// Where the field is compared: seven tenths of the way to the edge.
constexpr double kEdge = 0.7;
// One print pasted over two parts keeps direction and spacing in the picture to about this; one cloth
// cut for both keeps them on the form, more loosely. Defaults.
constexpr double kSamePrint = 3.0 * kDegree, kSameCut = 8.0 * kDegree;
constexpr double kSameSpacing = 0.04, kSeenSpacing = 0.25;
// Parts must point this far apart in the picture for the comparison to say anything.
constexpr double kPartsApart = 18.0 * kDegree;
// Weight of one part's own log ratio against the comparison's (nats), and what both must reach.
constexpr double kOwnWeight = 9.0, kTogether = 3.0, kLeast = 0.35;

double Axial(double a) { return std::remainder(a, M_PI); }

struct Read {
  const Area* area = nullptr;
  std::optional<PartAxis> part;
  std::optional<Tubular> shape;
  std::optional<WaveReading> waves;
  double form_bow = 0.0;         // bulge of a ring as the body has it
  double bow = 0.0, bow_sd = 0.0;  // the same, of the lean that the waves were read with
  double straight = 0.0;  // direction of the lines read flat, against across
  double apart = 0.0;     // to the way round the form, mean at both edges
  double squeeze = 0.0;   // how much closer the lines come at the edges when laid round
  double together = 0.0;  // nats for one flat print over this and another part
  const Read* other = nullptr;
  Finding finding;
};

// The wave of a form at place u across it, from its wave at the middle.
Wave At(const Wave& wave, double bow, double u) {
  return {wave.along, (wave.along * bow * u + wave.across) / std::sqrt(1.0 - u * u), wave.share};
}

void Guide(Read& r) {
  const Tubular& p = *r.shape;
  const Wave& wave = r.waves->wrapped.front();
  const double half = p.half_width_px, slope = std::abs(wave.along) > 1e-9 ? wave.across / wave.along : 0.0;
  // As the body has it: what a flat print would wrap to best says nothing about the form.
  const double bow = r.form_bow;
  for (int i = 0; i < 4; ++i) {
    const double t = p.low_px + (p.high_px - p.low_px) * (i + 0.5) / 4.0;
    const double middle = 0.5 * (p.Left(t) + p.Right(t)), own = 0.5 * (p.Right(t) - p.Left(t));
    std::vector<Vec2> curve;
    for (int j = 0; j <= 16; ++j) {
      const double angle = (j / 8.0 - 1.0) * 1.25;
      const double along = t + bow * own * (std::cos(angle) - 0.7) - std::clamp(slope, -1.5, 1.5) * half * angle;
      curve.push_back(p.centre + p.dir * along + p.across * (middle + own * std::sin(angle)));
    }
    r.finding.guides.push_back(body_check::Line(GuideShape::Role::kTarget, curve));
  }
  const Vec2 drawn = p.across * std::cos(r.straight) + p.dir * std::sin(r.straight);
  const double reach = std::min(0.8 * half / std::max(0.3, std::abs(std::cos(r.straight))), 1.6 * half);
  r.finding.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {p.centre - reach * drawn, p.centre + reach * drawn}));
}

void Flat(Read& r, const std::string& spoken, std::string why) {
  Finding& f = r.finding;
  f.verdict = Verdict::kOff;
  f.title = Say("{} pasted flat on the form", body_check::Sentence(spoken));
  f.why = std::move(why);
  f.ask.clear();
  f.remedy = {RemedyWay::kWarp, 25.0, Say("Warp or redraw the pattern along the guide arcs, closer together towards the edges.")};
  f.gain = 4.0;
  Guide(r);
}

std::string Spoken(const Area& area) {
  const std::string name = area.name.empty() ? Say("pattern") : area.name;
  if (name.ends_with("_l")) return Say("left {}", name.substr(0, name.size() - 2));
  if (name.ends_with("_r")) return Say("right {}", name.substr(0, name.size() - 2));
  return name;
}

// Log of a bell of this width against an even spread over all directions, with room for surprises.
double Bell(double off, double width) {
  return std::log(0.85 * std::exp(-0.5 * off * off / (width * width)) * M_PI / (width * std::sqrt(2 * M_PI)) + 0.15);
}

double InPicture(const Read& r) {
  const Vec2 d = r.shape->across * std::cos(r.straight) + r.shape->dir * std::sin(r.straight);
  return std::atan2(d.y(), d.x());
}

// Nats for "one flat print over both" against "the same cloth laid round each".
std::optional<double> OnePrint(const Read& a, const Read& b) {
  const double parts = std::abs(Axial(std::atan2(a.shape->dir.y(), a.shape->dir.x()) - std::atan2(b.shape->dir.y(), b.shape->dir.x())));
  if (parts < kPartsApart) return std::nullopt;
  const Wave &fa = a.waves->flat.front(), &fb = b.waves->flat.front();
  if (std::min(fa.share, fb.share) < 0.3) return std::nullopt;
  const double slant_a = a.waves->wrapped.front().LineAngle(), slant_b = b.waves->wrapped.front().LineAngle();
  const double cut = std::min(std::abs(Axial(slant_a - slant_b)), std::abs(Axial(slant_a + slant_b)));
  const double spacing = std::log(std::hypot(fa.along, fa.across) / std::hypot(fb.along, fb.across));
  const double alike = std::exp(-0.5 * spacing * spacing / (kSameSpacing * kSameSpacing)) / kSameSpacing,
               seen = std::exp(-0.5 * spacing * spacing / (kSeenSpacing * kSeenSpacing)) / kSeenSpacing;
  return Bell(Axial(InPicture(a) - InPicture(b)), kSamePrint) - Bell(cut, kSameCut) + std::log((alike + 0.1) / (seen + 0.1));
}

// Reads the cloth on the form that the body puts under it.
void Look(const ImageRgba8& image, const std::optional<Form>& form, Read& r) {
  const Area& area = *r.area;
  Finding& f = r.finding;
  if (!form) {
    f.why = Say("The part under the pattern is not solved.");
    f.ask = Say("Say which bone the outline lies on, and mark both its ends.");
    return;
  }
  r.part = form->part;
  const PartAxis& part = *r.part;
  r.bow = r.form_bow = form->bow;
  r.bow_sd = form->bow_sd;
  if (std::abs(part.along_sight) > 0.90) {
    f.why = Say("The {} points straight at the viewer or away, so too little of its length shows.", part.spoken);
    f.ask = Say("Look at the pattern where the part lies more across the view.");
    return;
  }
  r.shape = form->shape;
  const auto read = [&](double bow) {
    return ReadWaves(image, area.outline, *r.shape, std::max(-0.97, bow - 1.6 * r.bow_sd), std::min(0.97, bow + 1.6 * r.bow_sd));
  };
  if (r.shape) r.waves = read(r.bow);
  if (r.waves && !part.sign_known && std::abs(r.bow) > 0.05) {
    // Without a depth flag the part may as well lean the other way; the one that wraps better counts.
    const auto other = read(-r.bow);
    if (other && other->log_ratio > r.waves->log_ratio) {
      r.waves = other;
      r.bow = -r.bow;
    }
  }
  if (!r.waves) {
    f.why = Say("No stripes or checks were found under the outline.");
    f.ask = Say("Outline a piece where the pattern shows clearly, from edge to edge of the part.");
    return;
  }
  const WaveReading& w = *r.waves;
  const Wave& flat = w.flat.front();
  r.straight = flat.LineAngle();
  const auto departs = [&](const Wave& wave) {
    const double base = std::max(std::hypot(wave.along, wave.across), 1e-9);
    double apart = 0.0, closer = -1.0;
    for (const double u : {-kEdge, kEdge}) {
      const Wave there = At(wave, r.bow, u);
      apart += 0.5 * std::abs(Axial(there.LineAngle() - wave.LineAngle()));
      closer += 0.5 * std::hypot(there.along, there.across) / base;
    }
    r.apart = std::max(r.apart, apart);
    r.squeeze = std::max(r.squeeze, closer);
  };
  departs(flat);
  // Of checks, the lines that show it more.
  if (w.crossing) departs(*w.crossing);
}

void Judge(std::vector<Read>& reads) {
  for (Read& a : reads)
    for (const Read& b : reads) {
      if (&a == &b || !a.waves || !b.waves) continue;
      const auto nats = OnePrint(a, b);
      if (nats && (!a.other || *nats > a.together)) {
        a.together = *nats;
        a.other = &b;
      }
    }
  for (Read& r : reads) {
    if (!r.waves) continue;
    Finding& f = r.finding;
    const WaveReading& w = *r.waves;
    const std::string spoken = Spoken(*r.area);
    f.measured = r.apart / kDegree;
    f.expected = 0.0;
    f.evidence = w.log_ratio;
    const std::string shares = Say("Read as a flat print {:.0f} % of the texture is explained, read as laid round the {} {:.0f} %",
                                   100 * (1 - w.flat_rest), r.part->spoken, 100 * (1 - w.wrapped_rest));
    const bool matters = std::abs(w.log_ratio) > kPlain || r.apart > 0.6 * kTurnTolerance || r.squeeze > kSpacingTolerance;
    const double nats = -kOwnWeight * w.log_ratio + r.together;
    const double flat_share = 1.0 - w.flat_rest, form_share = 1.0 - w.wrapped_rest;
    const double least_ratio = std::abs(r.straight) > kAlong && !w.crossing ? kAlongRatio : kFlatRatio;
    if (w.log_ratio < -least_ratio && w.agreement < -kEven && matters && nats > kLeast && flat_share > kReadsFlat) {
      Flat(r, spoken,
           Say("{}; towards the edges its lines should turn by {:.0f} degrees and come {:.0f} % closer.", shares, r.apart / kDegree,
               100 * r.squeeze));
    } else if (r.other && r.together > 2.0 && nats > kTogether && w.log_ratio < 0.12) {
      Flat(r, spoken,
           Say("{}. The lines keep one direction and spacing in the picture over the {} and the {}, which point "
               "different ways.",
               shares, r.part->spoken, r.other->part->spoken));
    } else if (w.log_ratio > kFormRatio && w.agreement > kEven && r.together < 2.0 && form_share > kReads && matters) {
      f.verdict = Verdict::kClear;
      f.title = Say("{} goes round the form", body_check::Sentence(spoken));
      f.why = shares + ".";
    } else {
      f.why = shares + Say(": too close to tell.");
      f.ask = Say("A part that points more towards or away from the viewer, or lines aslant to it or along it, tell more.");
    }
  }
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
    f = body_check::Start(facts, "cloth.pattern." + IdPart(area.name), Say("{} round the form", body_check::Sentence(spoken)),
                          Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kFlats;
    f.where.outline = area.outline;
    f.unit = "deg";
    f.tolerance = kTurnTolerance / kDegree;
    f.source = Say("15 degrees off the way round the form: common practice, default, editable");
    f.test = "ln of what a flat reading leaves unexplained over what a wrapped one leaves";
    Look(picture.image, FormUnder(facts, area), r);
    reads.push_back(std::move(r));
  }
  Judge(reads);
  for (Read& r : reads) {
    body_check::Finish(facts, r.part ? std::span<const PointId>(r.part->rests_on) : std::span<const PointId>(), r.finding);
    out.push_back(std::move(r.finding));
  }
}

}  // namespace armslength::surface_check
