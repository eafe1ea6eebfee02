// How often the surface checks find a fault of known size, and how often they cry wolf: drawn figures
// of known truth in all poses and views, joints marked with an error of 1 % of stature, strokes with
// 0.2 %. Seeds start at --seed; use ones that nothing was tuned on.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>
#include <mutex>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "check/surface/surface_checks.h"
#include "picture/picture.h"
#include "reading/body/body_reading.h"
#include "support/files.h"
#include "support/job.h"
#include "synth/drawing.h"
#include "synth/random.h"

namespace {

using namespace armslength;

struct Case {
  FigureMarks marks;
  BodyReading reading;
  Picture picture;
};

using Change = std::function<void(FigureDrawing&, SynthRandom&)>;

Case Make(unsigned seed, const Change& change, double sigma) {
  SynthFigureOptions options;
  options.seed = seed;
  options.sigma = sigma;
  const SynthFigure figure = MakeFigure(options);
  FigureDrawing drawing = RandomDrawing(options);
  SynthRandom choice(seed, 88);
  change(drawing, choice);
  DrawnFigure drawn = DrawFigure(drawing);
  Case c;
  c.marks = figure.marks;
  SynthRandom random(seed, 77);
  const double stroke_px = 0.002 * figure.camera.scale_px;
  const auto moved = [&](const Vec2& p) -> Vec2 {
    const double x = random.Normal(), y = random.Normal();
    return p + stroke_px * Vec2(x, y);
  };
  c.marks.rings = drawn.truth.rings;
  for (Ring& ring : c.marks.rings)
    for (Vec2& p : ring.points) p = moved(p);
  c.marks.centre_front = drawn.truth.centre_front;
  for (NamedPoint& p : c.marks.centre_front) p.at = moved(p.at);
  c.marks.areas = drawn.truth.areas;
  c.picture.image = std::move(drawn.image);
  BodyReadingOptions reading;
  reading.scan_hypotheses = false;
  reading.find_helpful_mark = false;
  if (auto read = ReadBody(c.marks, nullptr, reading)) c.reading = *read;
  return c;
}

struct Tally {
  int off = 0, clear = 0, cannot = 0;
  [[nodiscard]] int All() const { return off + clear + cannot; }
};

struct Row {
  std::string kind, size, id;  // id: prefix of the findings that count
  bool fault = true, at_double = false;
  Change change;
  bool per_figure = false;     // off anywhere counts once
};

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Detection of surface faults of known size");
  int count = 60;
  unsigned seed = 700001;
  double sigma = 0.01;
  std::string only, show, dump;
  app.add_option("--count", count, "drawn figures a row");
  app.add_option("--seed", seed, "first seed");
  app.add_option("--sigma", sigma, "error of the joints' marks, parts of stature, one sd");
  app.add_option("--only", only, "only rows whose kind holds this");
  app.add_option("--show", show, "write the first drawing of each row into this folder");
  app.add_option("--dump", dump, "print the findings whose verdict is this: off, clear, cannot_tell, all");
  CLI11_PARSE(app, argc, argv);

  const auto cloth = [](double slant, bool check, bool flat) {
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
  };
  const auto faults = [](std::function<void(DrawingFaults&)> set) {
    return [set = std::move(set)](FigureDrawing& d, SynthRandom&) { set(d.faults); };
  };
  std::vector<Row> rows;
  const Change sound = [](FigureDrawing&, SynthRandom&) {};
  for (const auto& [name, slant, check] : {std::tuple{"rings", 0.0, false}, {"slanting", 40.0, false}, {"along", 90.0, false}, {"checks", 20.0, true}})
    rows.push_back({"pattern wrapped", name, "cloth.pattern", false, false, cloth(slant, check, false)});
  for (const auto& [name, slant, check] : {std::tuple{"level", 0.0, false}, {"slanting", 40.0, false}, {"upright", 90.0, false}, {"checks", 20.0, true}})
    rows.push_back({"pattern flat", name, "cloth.pattern", true, true, cloth(slant, check, true)});
  rows.push_back({"sound", "folds", "cloth.folds", false, false, sound});
  rows.push_back({"folds parallel", "", "cloth.folds", true, true, faults([](DrawingFaults& f) { f.parallel_folds = true; })});
  rows.push_back({"sound", "rings", "cloth.ring", false, false, sound});
  rows.push_back({"rings", "straight", "cloth.ring", true, true, faults([](DrawingFaults& f) { f.ring_bow["all"] = 0.0; })});
  rows.push_back({"rings", "wrong way", "cloth.ring", true, true, faults([](DrawingFaults& f) { f.ring_bow["all"] = -1.0; })});
  rows.push_back({"sound", "centre front", "cloth.centre_front", false, false, sound});
  for (const double shift : {0.04, 0.08, 0.12})
    rows.push_back({"centre front", std::to_string(static_cast<int>(100 * shift + 0.5)) + " %", "cloth.centre_front", true, shift == 0.08,
                    [shift](FigureDrawing& d, SynthRandom& random) { d.faults.button_shift = random.Sign() * shift; }});
  rows.push_back({"sound", "shoes", "foot.shape", false, false, sound});
  rows.push_back({"shoes", "bricks", "foot.shape", true, true, faults([](DrawingFaults& f) { f.block_shoes = true; })});
  rows.push_back({"sound", "limbs", "limb.", false, false, sound});
  for (const double girth : {0.85, 0.7})
    rows.push_back({"limb thin", std::to_string(girth).substr(0, 4) + " left leg", "limb.thickness.pair.leg", true, girth < 0.8,
                    faults([girth](DrawingFaults& f) { f.leg_girth[0] = girth; })});
  for (const double girth : {0.85, 0.7})
    rows.push_back({"limb thin", std::to_string(girth).substr(0, 4) + " left arm", "limb.thickness.pair.arm", true, girth < 0.8,
                    faults([girth](DrawingFaults& f) { f.arm_girth[0] = girth; })});
  std::printf("%d drawn figures a row, seeds from %u, joints marked to %.1f %% of stature; * size of the tolerance doubled\n",
              count, seed, 100 * sigma);
  std::printf("%-20s %-16s %6s %6s %7s %12s | %s\n", "kind", "size", "asked", "off", "clear", "cannot tell", "off of told");
  unsigned at = seed;
  for (const Row& row : rows) {
    const unsigned first = at;
    at += 1000;
    const bool wanted = only.empty() || row.kind.find(only) != std::string::npos || (row.kind == "sound" && row.size.find(only) != std::string::npos) ||
                        row.id.find(only) != std::string::npos;
    if (!wanted) continue;
    std::vector<std::vector<Finding>> found(static_cast<std::size_t>(count));
    ParallelFor(count, 0, [&](int i) {
      const Case c = Make(first + static_cast<unsigned>(i), row.change, sigma);
      if (i == 0 && !show.empty())
        if (const auto png = EncodePng(c.picture.image, false, 1))
          (void)WriteFileAtomic(show + "/" + row.kind + "_" + row.size + ".png", *png);
      for (Finding& f : CheckSurface(c.marks, c.reading, &c.picture))
        if (f.id.starts_with(row.id)) found[static_cast<std::size_t>(i)].push_back(std::move(f));
    });
    Tally t;
    for (std::size_t i = 0; i < found.size(); ++i)
      for (const Finding& f : found[i]) {
        (f.verdict == Verdict::kOff ? t.off : f.verdict == Verdict::kClear ? t.clear : t.cannot)++;
        if (!dump.empty() && (dump == "all" || dump == Name(f.verdict)))
          std::printf("  %u %s %s %.3g sd %.3g ev %.3g: %s\n", first + static_cast<unsigned>(i), f.id.c_str(),
                      std::string(Name(f.verdict)).c_str(), f.measured.value_or(NAN), f.sd.value_or(NAN), f.evidence.value_or(NAN), f.why.c_str());
      }
    const double all = std::max(1, t.All());
    std::printf("%-20s %-15s%s %6d %4.0f %% %5.0f %% %10.0f %% | ", row.kind.c_str(), row.size.c_str(), row.at_double ? "*" : " ",
                t.All(), 100 * t.off / all, 100 * t.clear / all, 100 * t.cannot / all);
    if (t.off + t.clear > 0) std::printf("%.0f %%%s\n", 100.0 * t.off / (t.off + t.clear), row.fault ? "" : " (false alarms)");
    else std::printf("none told\n");
    std::fflush(stdout);
  }
  return 0;
}
