// How often the surface checks find a fault of known size, and how often they cry wolf: drawn figures
// of known truth in all poses and views, joints marked with an error of 1 % of stature, strokes with
// 0.2 %. Seeds start at --seed; use ones that nothing was tuned on. One run prints the whole table.
//
// Not every fault is a fault in every view: a print pasted flat on a limb seen square on looks nearly as a wrapped
// one does. "shown" counts those whose true size is twice the tolerance or more and which this view shows, by the true
// joints and by what the fault does to the drawn outline (surface_shown.h), whatever the checks say.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "surface_shown.h"
#include "surface_truth.h"
#include "check/surface/families.h"
#include "support/files.h"
#include "support/job.h"
#include "synth/hand_outlines.h"
#include "synth/worn.h"

namespace {

using namespace armslength;
using Change = std::function<void(FigureDrawing&, SynthRandom&)>;
// The same figure drawn otherwise, in the order a page asks for it.
using Others = std::vector<WornFigure>;
// True size of the fault under a finding, in tolerances; for sound drawings, of the fault it could be mistaken for.
using Size = std::function<double(const WornFigure&, const Others&, const Finding&)>;
using Shown = std::function<bool(const WornFigure&, const Others&, const Finding&)>;
using HandShown = std::function<bool(const HandView&)>;

enum Family : unsigned {
  kRings = 1,
  kCentre = 2,
  kPatterns = 4,
  kFolds = 8,
  kLimbs = 16,
  kShoes = 32,
  kLines = 64,
  kGirth = 128,
  kHands = 256
};
constexpr std::array<std::pair<Family, const char*>, 9> kFamilies{{{kRings, "rings"},
                                                                   {kCentre, "centre front"},
                                                                   {kPatterns, "pattern"},
                                                                   {kFolds, "folds"},
                                                                   {kLimbs, "limbs"},
                                                                   {kShoes, "shoes"},
                                                                   {kLines, "lines"},
                                                                   {kGirth, "girth"},
                                                                   {kHands, "hands"}}};

struct Row {
  std::string kind, size, id;  // id: prefix of the findings that count
  bool fault = true;
  Size truth;
  Shown shown = {};     // empty: wherever the size is large
  HandShown hand = {};  // beside: what the view shows of a traced hand
};

// One drawing a seed serves all rows that look at it.
struct Page {
  Change change;
  double size = 1.0;           // WearOptions::size
  std::vector<Change> others;  // further drawings of the same figure, for the truth
  std::vector<Row> rows;
  unsigned families = 0;
  std::optional<HandOutlines> hand = {};  // traced on the drawing, its fault and all
  bool declared = false;                  // the artist declared the canon the figures follow
  std::vector<std::string> without = {};  // rings and areas left out of the marks
  double toes_pulled = 0.0;               // toe marks inside the shoe, parts of the way back to the ankle
};

struct Tally {
  int asked = 0, off = 0, clear = 0;
  void Add(Verdict v) {
    ++asked;
    off += v == Verdict::kOff;
    clear += v == Verdict::kClear;
  }
};

class Clock {
 public:
  template <typename Work>
  void Time(const char* what, const Work& work) {
    const auto from = std::chrono::steady_clock::now();
    work();
    const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - from).count();
    const std::scoped_lock hold(lock_);
    ms_[what].push_back(ms);
  }
  void Print() {
    std::printf("\n%-22s %7s %9s %9s\n", "ms a figure", "times", "p50", "p95");
    for (auto& [what, ms] : ms_) {
      std::sort(ms.begin(), ms.end());
      std::printf("%-22s %7zu %9.2f %9.2f\n", what.c_str(), ms.size(), ms[ms.size() / 2], ms[ms.size() * 95 / 100]);
    }
  }

 private:
  std::map<std::string, std::vector<double>> ms_;
  std::mutex lock_;
};

std::vector<Finding> Check(const WornFigure& worn, unsigned families, Clock& clock) {
  namespace sc = surface_check;
  std::vector<Finding> out;
  if (!worn.reading.usable) return out;
  const body_check::BodyFacts facts(worn.marks, worn.reading);
  const Picture* picture = worn.picture.image.width > 0 ? &worn.picture : nullptr;
  std::optional<sc::Silhouette> silhouette;
  if (families & (kCentre | kLimbs | kShoes | kLines | kGirth))
    clock.Time("contour", [&] { silhouette = sc::Silhouette::Of(facts, picture); });
  if (families & kRings) clock.Time("rings", [&] { sc::CheckRings(facts, out); });
  if (families & kCentre) clock.Time("centre front", [&] { sc::CheckCentreFront(facts, silhouette ? &*silhouette : nullptr, out); });
  if (silhouette && families & kLimbs) clock.Time("limbs", [&] { sc::CheckLimbThickness(facts, *silhouette, out); });
  if (silhouette && families & kLines) clock.Time("limb lines", [&] { sc::CheckLimbLine(facts, *silhouette, out); });
  if (silhouette && families & kGirth) clock.Time("girth", [&] { sc::CheckGirth(facts, *silhouette, out); });
  if (silhouette && families & kShoes) clock.Time("shoes", [&] { sc::CheckFeetShape(facts, *silhouette, out); });
  if (families & kHands) clock.Time("hands", [&] { sc::CheckHands(facts, out); });
  if (picture && families & kPatterns) clock.Time("pattern", [&] { sc::CheckPatterns(facts, *picture, out); });
  if (picture && families & kFolds) clock.Time("folds", [&] { sc::CheckFolds(facts, *picture, out); });
  return out;
}

Change Cloth(double slant, bool check, bool flat) {
  return [=](FigureDrawing& d, SynthRandom& random) {
    ClothPattern p;
    p.slant_deg = slant + random.Uniform(-6, 6);
    p.spacing = random.Uniform(0.020, 0.040);
    p.phase = random.Uniform(0, 1);
    p.check = check;
    p.colour = d.costume.stripe;
    d.costume.sleeve.light = d.costume.sleeve.light.Towards(d.costume.tunic.light, random.Uniform(0, 0.3));
    for (const char* part : {"sleeves", "legs", "trunk", "skirt"}) d.costume.patterns[part] = p;
    d.faults.flat_pattern = flat;
  };
}

Change Faults(std::function<void(DrawingFaults&)> set) {
  return [set = std::move(set)](FigureDrawing& d, SynthRandom&) { set(d.faults); };
}

std::vector<Page> Pages() {
  std::vector<Page> pages;
  for (const bool flat : {false, true})
    for (const auto& [name, slant, check] : {std::tuple{flat ? "level" : "rings", 0.0, false},
                                             {"slanting", 40.0, false},
                                             {flat ? "upright" : "along", 90.0, false},
                                             {"checks", 20.0, true}})
      pages.push_back({Cloth(slant, check, flat),
                       1.0,
                       {},
                       {{flat ? "pattern flat" : "pattern wrapped", name, "cloth.pattern", flat,
                         [flat, slant, check](const WornFigure& w, const Others&, const Finding& f) {
                           return bench::PrintSize(w, f, slant, check, flat);
                         },
                         [](const WornFigure& w, const Others&, const Finding& f) { return bench::PrintShown(w, f); }}},
                       kPatterns});
  const Size constant = [](const WornFigure&, const Others&, const Finding&) { return 2.0; };
  pages.push_back({{}, 1.0, {}, {{"folds", "sound", "cloth.folds", false, constant}}, kFolds});
  pages.push_back(
      {Faults([](DrawingFaults& f) { f.parallel_folds = true; }),
       1.0,
       {Change{}},
       {{"folds", "parallel", "cloth.folds", true, constant,
         [](const WornFigure& w, const Others& sound, const Finding& f) { return bench::FoldsShown(w, sound[0], f); }}},
       kFolds});
  // All fastenings together, not one against the others.
  const Size together = [](const WornFigure&, const Others&, const Finding& f) { return f.id.ends_with(".line") ? -1.0 : 2.0; };
  const auto ring = [](double part) {
    return [part](const WornFigure& w, const Others& sound, const Finding& f) {
      return part * bench::TrueBow(sound.empty() ? w : sound[0], f) / f.tolerance.value_or(1.0);
    };
  };
  const auto ring_shown = [](double part) {
    return [part](const WornFigure& w, const Others& sound, const Finding& f) { return bench::RingShown(w, sound[0], f, part); };
  };
  const std::vector<Change> sound{Change{}};
  pages.push_back(
      {{},
       0.5,
       {},
       {{"rings", "sound", "cloth.ring", false, ring(1.0)},
        {"centre front", "sound", "cloth.centre_front", false, together},
        {"shoes", "sound", "foot.shape", false, constant},
        {"limbs", "sound", "limb.thickness.pair", false, constant},
        {"limb lines", "sound", "limb.continuity", false, constant},
        {"girth", "sound", "limb.thickness.legs", false, constant},
        {"neck, waist", "sound", "limb.thickness.", false,
         [](const WornFigure&, const Others&, const Finding& f) { return f.id.ends_with("neck") || f.id.ends_with("waist") ? 2.0 : -1.0; }},
        {"taper", "sound", "limb.taper", false, constant}},
       kRings | kCentre | kShoes | kLimbs | kLines | kGirth});
  for (const char* which : {"all", "collar", "belt"}) {
    const std::string all = which, id = all == "all" ? "cloth.ring" : "cloth.ring." + all, only = all == "all" ? "" : " " + all;
    pages.push_back({Faults([all](DrawingFaults& f) { f.ring_bow[all] = 0.0; }),
                     0.25,
                     sound,
                     {{"rings", "straight" + only, id, true, ring(1.0), ring_shown(1.0)}},
                     kRings});
    pages.push_back({Faults([all](DrawingFaults& f) { f.ring_bow[all] = -1.0; }),
                     0.25,
                     sound,
                     {{"rings", "wrong way" + only, id, true, ring(2.0), ring_shown(2.0)}},
                     kRings});
  }
  // Canons of drawn figures spread by 3 %; undeclared, built-in ones differ by a tenth in the widths of shoulders and hips.
  const auto fastened = [&](double shift, const std::string& by, bool declared, std::vector<std::string> without) {
    const std::string percent = std::to_string(static_cast<int>(100 * shift + 0.5)) + " % off" + by;
    const auto has = [&](const char* name) { return std::find(without.begin(), without.end(), name) == without.end(); };
    const bool collar = has("collar"), belt = has("belt");
    const auto seen = [=](const WornFigure& w, const Others& o, const Finding&) {
      return (belt || bench::TrunkOwnOutline(w)) && bench::FrontShown(w, o[0], shift, declared ? bench::kLengthSpread : 0.10, collar);
    };
    const Size size = [shift](const WornFigure&, const Others&, const Finding& f) { return f.id.ends_with(".line") ? -1.0 : shift / 0.04; };
    Page page{[shift](FigureDrawing& d, SynthRandom& random) { d.faults.button_shift = random.Sign() * shift; }, 0.5, sound, {}, kCentre};
    page.rows.push_back({"centre front", percent, "cloth.centre_front", true, size, seen});
    page.declared = declared;
    page.without = std::move(without);
    return page;
  };
  for (const double shift : {0.04, 0.08, 0.12}) pages.push_back(fastened(shift, "", false, {}));
  pages.push_back(
      {Faults([](DrawingFaults& f) { f.block_shoes = true; }),
       0.5,
       sound,
       {{"shoes", "bricks", "foot.shape", true, constant,
         [](const WornFigure& w, const Others& o, const Finding& f) { return bench::ShoeChange(w, o[0], f.id.ends_with("left")) > 0.22; }}},
       kShoes});
  // Sideways, parts of the drawn width there (a boot's top 0.08, a cuff 0.05 of stature); the tolerance is a fifth.
  const auto thin = [](double leg, double arm) {
    return Faults([leg, arm](DrawingFaults& f) {
      f.leg_girth = {leg, leg};
      f.arm_girth = {arm, arm};
    });
  };
  constexpr double kOwn = 0.8;  // a little thinner, to see whose outline it is
  for (const double part : {0.2, 0.4, 0.6}) {
    // As it shows from here.
    const Size size = [part](const WornFigure& w, const Others&, const Finding& f) {
      const Axes& axes = f.id.ends_with("shin_l") ? w.truth.body.foot[0] : w.truth.body.hand[0];
      return f.id.ends_with("_l") ? part * axes.col(0).head<2>().norm() / 0.2 : -1.0;
    };
    const auto moved = [](double by, bool boot) {
      return [by, boot](const WornFigure& w, const Others& o, const Finding&) {
        const Axes& axes = boot ? w.truth.body.foot[0] : w.truth.body.hand[0];
        const Vec3 at = bench::TrueJoint(w, boot ? PointId::kAnkleL : PointId::kWristL);
        // The sign was drawn at random.
        for (const double sign : {1.0, -1.0}) {
          const Vec2 shift = w.truth.camera.Project(at + sign * by * axes.col(0)) - w.truth.camera.Project(at);
          if (boot ? bench::ShiftShown(w, o[0], o[1], BoneId::kShinL, std::log(kOwn), shift, 0.45, 0.80, 0.10, 0.30)
                   : bench::ShiftShown(w, o[0], o[1], BoneId::kForearmL, std::log(kOwn), shift, 0.92, 1.10, 0.40, 0.75))
            return true;
        }
        return false;
      };
    };
    pages.push_back({[part](FigureDrawing& d, SynthRandom& random) { d.faults.boot_shift = random.Sign() * part * 0.080; },
                     0.5,
                     {Change{}, thin(kOwn, kOwn)},
                     {{"boot beside", std::to_string(part).substr(0, 3), "limb.continuity.shin_l", true, size, moved(part * 0.080, true)}},
                     kLines});
    pages.push_back(
        {[part](FigureDrawing& d, SynthRandom& random) { d.faults.hand_shift = random.Sign() * part * 0.050; },
         0.5,
         {Change{}, thin(kOwn, kOwn)},
         {{"hand beside", std::to_string(part).substr(0, 3), "limb.continuity.forearm_l", true, size, moved(part * 0.050, false)}},
         kLines});
  }
  for (const double girth : {0.6, 0.5, 0.4})
    pages.push_back({thin(girth, 1.0),
                     0.5,
                     sound,
                     {{"thin legs", std::to_string(girth).substr(0, 4), "limb.thickness.legs", true,
                       [girth](const WornFigure& w, const Others& o, const Finding&) {
                         return std::log(std::min(1.0, bench::TrueLegs(w, o[0], std::log(girth)))) / std::log(0.75);
                       }}},
                     kGirth});
  const auto pair = [](double factor, const char* limb) {
    return [factor, limb](const WornFigure&, const Others& o, const Finding& f) {
      const bool leg = std::string(limb) == "leg";
      const BoneId upper = leg ? BoneId::kThighL : BoneId::kUpperArmL, lower = leg ? BoneId::kShinL : BoneId::kForearmL;
      const BoneId bone = f.id.ends_with("thigh") || f.id.ends_with("upper") ? upper : lower;
      return bench::OwnOutline(o[1], o[0], bone, std::log(factor)) > 0.7 &&
             bench::OwnOutline(o[1], o[0], On(1, bone), std::log(factor)) > 0.7;
    };
  };
  for (const double girth : {0.85, 0.7}) {
    const Size size = [girth](const WornFigure&, const Others&, const Finding&) { return -std::log(girth) / std::log(1.12); };
    pages.push_back({Faults([girth](DrawingFaults& f) { f.leg_girth[0] = girth; }),
                     0.5,
                     {Change{}, thin(girth, 1.0)},
                     {{"left leg", std::to_string(girth).substr(0, 4), "limb.thickness.pair.leg", true, size, pair(girth, "leg")}},
                     kLimbs});
    pages.push_back({Faults([girth](DrawingFaults& f) { f.arm_girth[0] = girth; }),
                     0.5,
                     {Change{}, thin(1.0, girth)},
                     {{"left arm", std::to_string(girth).substr(0, 4), "limb.thickness.pair.arm", true, size, pair(girth, "arm")}},
                     kLimbs});
  }
  // Traced fingers of the left hand, whatever the drawing's own hand looks like; tolerances 15 %.
  const auto traced = [&](std::vector<Row> rows, const HandOutlines& hand) {
    pages.push_back({{}, 0.25, {}, std::move(rows), kHands, hand});
  };
  const auto times = [](double factor) {
    return [factor](const WornFigure&, const Others&, const Finding& f) {
      return f.id.ends_with("left") ? std::abs(std::log(factor)) / std::log(1.15) : -1.0;
    };
  };
  const HandShown flat = [](const HandView& v) { return v.facing > 0.5 && v.along > 0.7; };
  std::vector<Row> unharmed;
  for (const auto& [kind, id] : {std::pair{"hand fingers", "hand.shape.fingers"},
                                 {"hand palm", "hand.shape.palm"},
                                 {"hand side", "hand.shape.side"},
                                 {"hand arc", "hand.shape.arc"},
                                 {"hand size", "hand.size"}})
    unharmed.push_back({kind, "sound", id, false, times(1.33)});
  traced(unharmed, {});
  for (const double factor : {1.33, 1.6, 0.62}) {
    const std::string size = std::to_string(factor).substr(0, 4);
    HandOutlines hand;
    hand.ring_finger = factor;
    traced({{"hand fingers", "ring " + size, "hand.shape.fingers", true, times(factor), {}, flat}}, hand);
    if (factor > 1.0) {
      hand = {};
      hand.fingers = factor;
      traced({{"hand palm", "fingers " + size, "hand.shape.palm", true, times(factor), {}, flat}}, hand);
    }
    hand = {};
    hand.size = factor;
    // Foreshortened by a fifth a hand a third too long is within the tolerance; too short it only shows flat.
    const HandShown seen = [factor](const HandView& v) { return factor > 1.0 ? factor * v.along > 1.32 : v.along > 0.97; };
    traced({{"hand size", size, "hand.size", true, times(factor), {}, seen}}, hand);
  }
  HandOutlines other, thumb, rake;
  other.other_hand = thumb.thumb_by_little = rake.rake = true;
  traced({{"hand side", "of the other", "hand.shape.side", true, times(1.33), {}, flat}}, other);
  traced({{"hand side", "thumb moved", "hand.shape.side", true, times(1.33), {}, flat}}, thumb);
  traced({{"hand arc", "rake", "hand.shape.arc", true, times(1.33), {}, flat}}, rake);
  // Fastenings by what tells the trunk's turn and its edges. At the end: the rows before keep their figures.
  pages.push_back(fastened(0.16, "", false, {}));
  for (const auto& [by, without] : std::vector<std::pair<std::string, std::vector<std::string>>>{
           {", canon", {}}, {", belt", {"collar", "figure"}}, {", collar", {"belt"}}, {", contour", {"collar", "belt"}}}) {
    Page page{{}, 0.5, {}, {{"centre front", "sound" + by, "cloth.centre_front", false, together}}, kCentre};
    page.declared = true;
    page.without = without;
    pages.push_back(page);
    for (const double shift : {0.04, 0.08, 0.12, 0.16})
      if (without.empty() || shift > 0.10) pages.push_back(fastened(shift, by, true, without));
  }
  // Toe marks inside the shoe: a fault of marking, none of the drawing.
  for (const bool bricks : {false, true})
    for (const double pulled : {0.15, 0.30}) {
      Page page{bricks ? Faults([](DrawingFaults& f) { f.block_shoes = true; }) : Change{}, 0.5, {}, {}, kShoes};
      page.rows.push_back({"shoes", std::string(bricks ? "bricks" : "sound") + ", toe -" + (pulled < 0.2 ? "15" : "30"), "foot.shape", bricks, constant});
      page.toes_pulled = pulled;
      pages.push_back(page);
    }
  // One fastening beside the line of the others.
  pages.push_back({{}, 0.5, {}, {{"centre front", "one: sound", "cloth.centre_front.line", false, constant}}, kCentre});
  for (const bool buckle : {true, false})
    for (const double shift : {0.08, 0.12, 0.16}) {
      const Size size = [shift](const WornFigure&, const Others&, const Finding&) { return shift / 0.04; };
      const auto seen = [](const WornFigure& w, const Others& o, const Finding&) { return bench::OneShown(w, o[0]); };
      const Change stray = [shift, buckle](FigureDrawing& d, SynthRandom& random) {
        d.faults.stray = buckle ? "buckle" : "button_" + std::to_string(2 + random.Below(3));
        d.faults.stray_shift = random.Sign() * shift;
      };
      const std::string name = std::string(buckle ? "one: buckle " : "one: button ") + std::to_string(static_cast<int>(100 * shift + 0.5)) + " %";
      pages.push_back({stray, 0.5, sound, {{"centre front", name, "cloth.centre_front.line", true, size, seen}}, kCentre});
    }
  return pages;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Detection of surface faults of known size");
  int count = 30, threads = 0;
  unsigned seed = 700001;
  double sigma = 0.01;
  std::string only, show, dump;
  app.add_option("--count", count, "drawn figures a row");
  app.add_option("--seed", seed, "first seed");
  app.add_option("--sigma", sigma, "error of the joints' marks, parts of stature, one sd");
  app.add_option("--threads", threads, "0: all cores");
  app.add_option("--only", only, "only rows whose kind or finding holds this");
  app.add_option("--show", show, "write the first drawing of each kind into this folder");
  app.add_option("--dump", dump, "print the findings whose verdict is this: off, clear, cannot_tell, all");
  CLI11_PARSE(app, argc, argv);

  std::printf(
      "%d drawn figures a row, seeds from %u, joints marked to %.1f %% of stature; large: twice the tolerance or more; shown: large, "
      "and this view shows it\n%-16s %-16s | %6s %6s %7s %12s | %6s %6s | %6s %6s %7s\n",
      count, seed, 100 * sigma, "kind", "size", "asked", "off", "clear", "cannot tell", "large", "off", "shown", "off", "clear");
  const Canon average = *FindCanon("adult-average");  // as the figures are drawn
  Clock clock;
  unsigned at = seed;
  for (const Page& page : Pages()) {
    const unsigned first = at;
    at += 1000;
    if (!only.empty() && std::none_of(page.rows.begin(), page.rows.end(), [&](const Row& row) {
          return (row.kind + " " + row.size).find(only) != std::string::npos || row.id.find(only) != std::string::npos;
        }))
      continue;
    struct Told {
      Finding finding;
      double size = 0.0;
      bool shown = false;
    };
    std::vector<std::vector<std::vector<Told>>> told(page.rows.size(), std::vector<std::vector<Told>>(static_cast<std::size_t>(count)));
    ParallelFor(count, threads, [&](int i) {
      WearOptions options;
      options.seed = first + static_cast<unsigned>(i);
      options.sigma = sigma;
      options.size = page.size;
      options.change = page.change;
      if (page.toes_pulled > 0.0) options.misplace = [&page](FigureMarks& marks) { PullToes(marks, page.toes_pulled); };
      if (page.declared) options.canon = &average;
      WornFigure worn;
      clock.Time(page.size < 1.0 ? "(drawing a small one)" : "(drawing)", [&] { worn = Wear(options); });
      HandView view;
      for (const std::string& name : page.without) {
        std::erase_if(worn.marks.rings, [&](const Ring& ring) { return ring.name == name; });
        std::erase_if(worn.marks.areas, [&](const Area& area) { return area.kind == name; });
      }
      if (page.hand) view = OutlineHand(worn, *page.hand, options.seed);
      Others others;
      for (const Change& change : page.others) {
        options.change = change;
        others.push_back(Wear(options));
      }
      if (i == 0 && !show.empty() && worn.picture.image.width > 0)
        if (const auto png = EncodePng(worn.picture.image, false, 1))
          (void)WriteFileAtomic(show + "/" + page.rows[0].kind + "_" + page.rows[0].size + ".png", *png);
      for (Finding& f : Check(worn, page.families, clock))
        for (std::size_t r = 0; r < page.rows.size(); ++r) {
          const Row& row = page.rows[r];
          if (!f.id.starts_with(row.id)) continue;
          const double size = row.truth(worn, others, f);
          if (size < 0.0) continue;  // another question
          told[r][static_cast<std::size_t>(i)].push_back(
              {f, size, size >= 2.0 && (!row.shown || row.shown(worn, others, f)) && (!row.hand || row.hand(view))});
        }
    });
    for (std::size_t r = 0; r < page.rows.size(); ++r) {
      const Row& row = page.rows[r];
      Tally all, large, shown;
      int figures = 0, alarmed = 0;
      for (std::size_t i = 0; i < told[r].size(); ++i) {
        bool alarm = false;
        for (const auto& [f, size, seen] : told[r][i]) {
          all.Add(f.verdict);
          if (size >= 2.0) large.Add(f.verdict);
          if (seen) shown.Add(f.verdict);
          alarm = alarm || f.verdict == Verdict::kOff;
          if (!dump.empty() && (dump == "all" || dump == Name(f.verdict)))
            std::printf("  %u %s %s size %.2f%s measured %.3g expected %.3g sd %.3g ev %.3g: %s\n", first + static_cast<unsigned>(i),
                        f.id.c_str(), std::string(Name(f.verdict)).c_str(), size, seen ? " shown" : "", f.measured.value_or(NAN),
                        f.expected.value_or(NAN), f.sd.value_or(NAN), f.evidence.value_or(NAN), f.why.c_str());
        }
        figures += !told[r][i].empty();
        alarmed += alarm;
      }
      const auto share = [](int part, int whole) { return 100.0 * part / std::max(1, whole); };
      std::printf("%-16s %-16s | %6d %4.0f %% %5.0f %% %10.0f %% |", row.kind.c_str(), row.size.c_str(), all.asked,
                  share(all.off, all.asked), share(all.clear, all.asked), share(all.asked - all.off - all.clear, all.asked));
      if (row.fault)
        std::printf(" %6d %4.0f %% | %6d %4.0f %% %5.0f %%\n", large.asked, share(large.off, large.asked), shown.asked,
                    share(shown.off, shown.asked), share(shown.clear, shown.asked));
      else
        std::printf(" false alarms in %d of %d figures\n", alarmed, figures);
    }
    std::fflush(stdout);
  }
  clock.Print();
  return 0;
}
