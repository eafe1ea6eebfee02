// How often the surface checks find a fault of known size, and how often they cry wolf: drawn figures
// of known truth in all poses and views, joints marked with an error of 1 % of stature, strokes with
// 0.2 %. Seeds start at --seed; use ones that nothing was tuned on. One run prints the whole table.
//
// Not every fault is a fault in every view: a print pasted flat on a limb seen square on looks nearly as a wrapped
// one does. "large" counts those whose true size on the true form is twice the tolerance or more.
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

#include "surface_truth.h"
#include "check/surface/families.h"
#include "support/files.h"
#include "support/job.h"
#include "synth/worn.h"

namespace {

using namespace armslength;
using Change = std::function<void(FigureDrawing&, SynthRandom&)>;
// True size of the fault under a finding, in tolerances; for sound drawings, of the fault it could be mistaken for.
using Size = std::function<double(const WornFigure&, const WornFigure* sound, const Finding&)>;

enum Family : unsigned { kRings = 1, kCentre = 2, kPatterns = 4, kFolds = 8, kLimbs = 16, kShoes = 32, kLines = 64, kGirth = 128 };
constexpr std::array<std::pair<Family, const char*>, 8> kFamilies{{{kRings, "rings"}, {kCentre, "centre front"}, {kPatterns, "pattern"},
                                                                   {kFolds, "folds"}, {kLimbs, "limbs"}, {kShoes, "shoes"},
                                                                   {kLines, "lines"}, {kGirth, "girth"}}};

struct Row {
  std::string kind, size, id;  // id: prefix of the findings that count
  bool fault = true;
  Size truth;
};

// One drawing a seed serves all rows that look at it.
struct Page {
  Change change;
  double size = 1.0;      // WearOptions::size
  bool beside = false;    // also the sound drawing of the same figure
  std::vector<Row> rows;
  unsigned families = 0;
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
  if (families & (kCentre | kLimbs | kShoes | kLines | kGirth)) clock.Time("contour", [&] { silhouette = sc::Silhouette::Of(facts, picture); });
  if (families & kRings) clock.Time("rings", [&] { sc::CheckRings(facts, out); });
  if (families & kCentre) clock.Time("centre front", [&] { sc::CheckCentreFront(facts, silhouette ? &*silhouette : nullptr, out); });
  if (silhouette && families & kLimbs) clock.Time("limbs", [&] { sc::CheckLimbThickness(facts, *silhouette, out); });
  if (silhouette && families & kLines) clock.Time("limb lines", [&] { sc::CheckLimbLine(facts, *silhouette, out); });
  if (silhouette && families & kGirth) clock.Time("girth", [&] { sc::CheckGirth(facts, *silhouette, out); });
  if (silhouette && families & kShoes) clock.Time("shoes", [&] { sc::CheckFeetShape(facts, *silhouette, out); });
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
    for (const auto& [name, slant, check] : {std::tuple{flat ? "level" : "rings", 0.0, false}, {"slanting", 40.0, false},
                                             {flat ? "upright" : "along", 90.0, false}, {"checks", 20.0, true}})
      pages.push_back({Cloth(slant, check, flat), 1.0, false,
                        {{flat ? "pattern flat" : "pattern wrapped", name, "cloth.pattern", flat,
                          [flat, slant, check](const WornFigure& w, const WornFigure*, const Finding& f) {
                            return bench::PrintSize(w, f, slant, check, flat);
                          }}},
                        kPatterns});
  const Size constant = [](const WornFigure&, const WornFigure*, const Finding&) { return 2.0; };
  pages.push_back({{}, 1.0, false, {{"folds", "sound", "cloth.folds", false, constant}}, kFolds});
  pages.push_back({Faults([](DrawingFaults& f) { f.parallel_folds = true; }), 1.0, false,
                    {{"folds", "parallel", "cloth.folds", true, constant}}, kFolds});
  const auto ring = [](double part) {
    return [part](const WornFigure& w, const WornFigure* sound, const Finding& f) {
      return part * bench::TrueBow(sound ? *sound : w, f) / f.tolerance.value_or(1.0);
    };
  };
  pages.push_back({{}, 0.5, false,
                    {{"rings", "sound", "cloth.ring", false, ring(1.0)},
                     {"centre front", "sound", "cloth.centre_front", false, constant},
                     {"shoes", "sound", "foot.shape", false, constant},
                     {"limbs", "sound", "limb.thickness.pair", false, constant},
                     {"limb lines", "sound", "limb.continuity", false, constant},
                     {"girth", "sound", "limb.thickness.legs", false, constant},
                     {"neck, waist", "sound", "limb.thickness.", false, [](const WornFigure&, const WornFigure*, const Finding& f) { return f.id.ends_with("legs") ? 0.0 : 2.0; }},
                     {"taper", "sound", "limb.taper", false, constant}},
                    kRings | kCentre | kShoes | kLimbs | kLines | kGirth});
  pages.push_back({Faults([](DrawingFaults& f) { f.ring_bow["all"] = 0.0; }), 0.25, true, {{"rings", "straight", "cloth.ring", true, ring(1.0)}}, kRings});
  pages.push_back({Faults([](DrawingFaults& f) { f.ring_bow["all"] = -1.0; }), 0.25, true, {{"rings", "wrong way", "cloth.ring", true, ring(2.0)}}, kRings});
  for (const double shift : {0.04, 0.08, 0.12})
    pages.push_back({[shift](FigureDrawing& d, SynthRandom& random) { d.faults.button_shift = random.Sign() * shift; }, 0.5, false,
                      {{"centre front", std::to_string(static_cast<int>(100 * shift + 0.5)) + " % off", "cloth.centre_front", true,
                        [shift](const WornFigure&, const WornFigure*, const Finding&) { return shift / 0.04; }}},
                      kCentre});
  pages.push_back({Faults([](DrawingFaults& f) { f.block_shoes = true; }), 0.5, false, {{"shoes", "bricks", "foot.shape", true, constant}}, kShoes});
  // Sideways, parts of the drawn width there (a boot's top 0.08, a cuff 0.05 of stature); the tolerance is a fifth.
  for (const double part : {0.2, 0.4, 0.6}) {
    // As it shows from here.
    const Size size = [part](const WornFigure& w, const WornFigure*, const Finding& f) {
      const Axes& axes = f.id.ends_with("shin_l") ? w.truth.body.foot[0] : w.truth.body.hand[0];
      return f.id.ends_with("_l") ? part * axes.col(0).head<2>().norm() / 0.2 : 0.0;
    };
    pages.push_back({[part](FigureDrawing& d, SynthRandom& random) { d.faults.boot_shift = random.Sign() * part * 0.080; }, 0.5, false,
                      {{"boot beside", std::to_string(part).substr(0, 3), "limb.continuity.shin_l", true, size}}, kLines});
    pages.push_back({[part](FigureDrawing& d, SynthRandom& random) { d.faults.hand_shift = random.Sign() * part * 0.050; }, 0.5, false,
                      {{"hand beside", std::to_string(part).substr(0, 3), "limb.continuity.forearm_l", true, size}}, kLines});
  }
  for (const double girth : {0.6, 0.5})
    pages.push_back({Faults([girth](DrawingFaults& f) { f.leg_girth = {girth, girth}; }), 0.5, false,
                      {{"thin legs", std::to_string(girth).substr(0, 4), "limb.thickness.legs", true, constant}}, kGirth});
  for (const double girth : {0.85, 0.7}) {
    pages.push_back({Faults([girth](DrawingFaults& f) { f.leg_girth[0] = girth; }), 0.5, false,
                      {{"left leg", std::to_string(girth).substr(0, 4), "limb.thickness.pair.leg", true, constant}}, kLimbs});
    pages.push_back({Faults([girth](DrawingFaults& f) { f.arm_girth[0] = girth; }), 0.5, false,
                      {{"left arm", std::to_string(girth).substr(0, 4), "limb.thickness.pair.arm", true, constant}}, kLimbs});
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

  std::printf("%d drawn figures a row, seeds from %u, joints marked to %.1f %% of stature; large: twice the tolerance or more on the "
              "true form\n%-16s %-10s | %6s %6s %7s %12s | %6s %6s %7s\n",
              count, seed, 100 * sigma, "kind", "size", "asked", "off", "clear", "cannot tell", "large", "off", "clear");
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
    };
    std::vector<std::vector<std::vector<Told>>> told(page.rows.size(), std::vector<std::vector<Told>>(static_cast<std::size_t>(count)));
    ParallelFor(count, threads, [&](int i) {
      WearOptions options;
      options.seed = first + static_cast<unsigned>(i);
      options.sigma = sigma;
      options.size = page.size;
      options.change = page.change;
      WornFigure worn;
      clock.Time(page.size < 1.0 ? "(drawing a small one)" : "(drawing)", [&] { worn = Wear(options); });
      std::optional<WornFigure> sound;
      if (page.beside) {
        options.change = {};
        sound = Wear(options);
      }
      if (i == 0 && !show.empty() && worn.picture.image.width > 0)
        if (const auto png = EncodePng(worn.picture.image, false, 1))
          (void)WriteFileAtomic(show + "/" + page.rows[0].kind + "_" + page.rows[0].size + ".png", *png);
      for (Finding& f : Check(worn, page.families, clock))
        for (std::size_t r = 0; r < page.rows.size(); ++r) {
          if (!f.id.starts_with(page.rows[r].id)) continue;
          const double size = page.rows[r].truth(worn, sound ? &*sound : nullptr, f);
          told[r][static_cast<std::size_t>(i)].push_back({f, size});
        }
    });
    for (std::size_t r = 0; r < page.rows.size(); ++r) {
      const Row& row = page.rows[r];
      Tally all, large;
      for (std::size_t i = 0; i < told[r].size(); ++i)
        for (const auto& [f, size] : told[r][i]) {
          all.Add(f.verdict);
          if (size >= 2.0) large.Add(f.verdict);
          if (!dump.empty() && (dump == "all" || dump == Name(f.verdict)))
            std::printf("  %u %s %s size %.2f measured %.3g expected %.3g sd %.3g ev %.3g: %s\n", first + static_cast<unsigned>(i), f.id.c_str(),
                        std::string(Name(f.verdict)).c_str(), size, f.measured.value_or(NAN), f.expected.value_or(NAN), f.sd.value_or(NAN),
                        f.evidence.value_or(NAN), f.why.c_str());
        }
      const auto share = [](int part, int whole) { return 100.0 * part / std::max(1, whole); };
      std::printf("%-16s %-10s | %6d %4.0f %% %5.0f %% %10.0f %% | %6d %4.0f %% %5.0f %%%s\n", row.kind.c_str(), row.size.c_str(), all.asked,
                  share(all.off, all.asked), share(all.clear, all.asked), share(all.asked - all.off - all.clear, all.asked), large.asked,
                  share(large.off, large.asked), share(large.clear, large.asked), row.fault ? "" : "   (off: false alarms)");
    }
    std::fflush(stdout);
  }
  clock.Print();
  return 0;
}
