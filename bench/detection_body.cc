// Detection table of the body reading on synthetic figures that nothing was tuned on:
//   bench_detection_body --figures 300 --seed 9000000
// Prints markdown. Rates carry their own spread: at 300 figures about +-3 points (one sd).
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <mutex>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "reading/body/body_reading.h"
#include "support/job.h"
#include "synth/figure.h"
#include "synth/measured_people.h"
#include "synth/random.h"

using namespace armslength;

namespace {

struct Row {
  std::string title;
  std::vector<std::pair<BoneId, double>> faults;
  std::string right;       // the id that names the fault
  bool flags = true, box = true;
  double sigma = 0.01;
  bool declared = true;
  bool displaced = false;  // one mark 6 % of stature away
  bool measured = false;   // natural lengths of measured people
  bool missing = false;    // one arm or leg hidden
  bool wide = false;       // the canon is declared with the spread of measured people
};

struct Tally {
  int figures = 0, off = 0, right = 0, mark = 0, right_mark = 0;
  std::array<int, 5> view_figures{}, view_off{};
  std::vector<double> factor_error;
  int covered = 0;
  std::map<std::string, int> called;  // what was called off, false or true
};

Tally Count(const Row& row, int figures, unsigned seed, int threads, const Canon& average,
            const std::vector<std::array<double, kBoneCount>>& people) {
  Tally tally;
  std::mutex mutex;
  ParallelFor(figures, threads, [&](int i) {
    SynthFigureOptions options;
    options.seed = seed + static_cast<unsigned>(i);
    options.canon = &average;
    options.faults = row.faults;
    options.depth_flags = row.flags;
    options.head_box = row.box;
    options.sigma = row.sigma;
    SynthRandom random(options.seed, 99);
    if (!row.declared) options.canon = &BuiltInCanons()[static_cast<std::size_t>(random.Below(static_cast<int>(BuiltInCanons().size())))];
    if (row.measured) options.natural = people[static_cast<std::size_t>(random.Below(static_cast<int>(people.size())))];
    const auto moved = static_cast<PointId>(random.Below(kBodyPointCount));
    if (row.displaced) options.displaced = {{moved, 0.06}};
    SynthFigure figure = MakeFigure(options);
    if (row.missing) {
      const int side = random.Below(2);
      const bool arm = random.Chance(0.5);
      for (PointId id : arm ? std::array{PointId::kElbowL, PointId::kWristL, PointId::kHandTipL}
                            : std::array{PointId::kKneeL, PointId::kAnkleL, PointId::kToeL})
        figure.marks.points.erase(static_cast<PointId>(static_cast<int>(id) + side));
    }
    BodyReadingOptions reading_options;
    reading_options.find_helpful_mark = false;
    const auto reading = ReadBody(figure.marks, row.declared ? &average : nullptr, reading_options);
    const std::lock_guard lock(mutex);
    ++tally.figures;
    const auto view = static_cast<std::size_t>(figure.view);
    ++tally.view_figures[view];
    if (!reading || !reading->usable) return;
    const LengthHypothesis* off = nullptr;  // the strongest one called off
    bool right = false;
    for (const LengthHypothesis& h : reading->hypotheses) {
      if (h.off && off == nullptr) off = &h;
      if (h.off && h.id == row.right) {
        right = true;
        off = &h;
      }
    }
    if (off != nullptr || reading->misplaced) {
      ++tally.off;
      ++tally.view_off[view];
      ++tally.called[off != nullptr ? off->id : "body.marks.misplaced"];
    }
    if (reading->misplaced) {
      ++tally.mark;
      tally.right_mark += row.displaced && reading->misplaced->point == moved;
    }
    if (right) {
      ++tally.right;
      const double truth = row.faults.front().second;
      tally.factor_error.push_back(std::abs(off->factor / truth - 1.0));
      tally.covered += off->factor_low <= truth && truth <= off->factor_high;
    }
  });
  return tally;
}

std::string MostOften(const std::map<std::string, int>& called) {
  std::vector<std::pair<int, std::string>> order;
  for (const auto& [id, count] : called) order.emplace_back(count, id);
  std::sort(order.rbegin(), order.rend());
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, order.size()); ++i)
    text += fmt::format("{}{} {}", i == 0 ? "" : ", ", order[i].second, order[i].first);
  return text;
}

double Percent(int part, int whole) { return whole > 0 ? 100.0 * part / whole : 0.0; }

}  // namespace

int main(int argc, char** argv) {
  int figures = 300, nulls = 600, threads = 0;
  unsigned seed = 9000000;
  std::string only, part = "all";
  std::string people_file = "tests/data/body/ansur2_sample200.csv";
  CLI::App app("Prints the body reading's detection table");
  app.add_option("--figures", figures, "figures per fault");
  app.add_option("--nulls", nulls, "figures per row with nothing wrong");
  app.add_option("--seed", seed, "first seed; never one that calibrate_body used");
  app.add_option("--threads", threads, "0: all cores");
  app.add_option("--only", only, "only rows whose title holds this");
  app.add_option("--part", part, "nulls, faults or all")->check(CLI::IsMember({"nulls", "faults", "all"}));
  app.add_option("--people", people_file, "measured people (CSV)");
  CLI11_PARSE(app, argc, argv);
  const auto people = MeasuredPeople(people_file);
  if (!people) {
    fmt::print(stderr, "{}\n", people.error().Text());
    return 3;
  }
  const Canon average = *FindCanon("adult-average");
  // The same lengths with the spreads of measured people.
  const Canon wide = *FindCanon("people-measured");

  using B = BoneId;
  const auto legs = [](double k) {
    return std::vector<std::pair<B, double>>{{B::kThighL, k}, {B::kThighR, k}, {B::kShinL, k}, {B::kShinR, k}};
  };
  const std::vector<Row> nothing_wrong = {
      {.title = "flags + head box", .faults = {}, .right = {}},
      {.title = "bare marks", .faults = {}, .right = {}, .flags = false, .box = false},
      {.title = "flags only", .faults = {}, .right = {}, .box = false},
      {.title = "flags + head box, 2 % marks", .faults = {}, .right = {}, .sigma = 0.02},
      {.title = "flags + head box, 0.5 % marks", .faults = {}, .right = {}, .sigma = 0.005},
      {.title = "flags + head box, a limb hidden", .faults = {}, .right = {}, .missing = true},
      {.title = "measured people, canon people-measured", .faults = {}, .right = {}, .measured = true, .wide = true},
      {.title = "measured people, plain canon", .faults = {}, .right = {}, .measured = true},
      {.title = "no canon declared, flags + head box", .faults = {}, .right = {}, .declared = false},
      {.title = "no canon declared, bare marks", .faults = {}, .right = {}, .flags = false, .box = false, .declared = false},
  };
  fmt::print("Made by: `bench_detection_body --figures {} --nulls {} --seed {}`\n\n", figures, nulls, seed);
  fmt::print("Nothing wrong: share of figures with a false alarm, %\n\n");
  fmt::print("| marks | all | front | 3/4 | side | back | high/low | of them \"a mark is misplaced\" | most often |\n|---|---|---|---|---|---|---|---|---|\n");
  unsigned block = 0;
  for (const Row& row : nothing_wrong) {
    ++block;
    if (part == "faults" || (!only.empty() && row.title.find(only) == std::string::npos)) continue;
    const Tally t = Count(row, nulls, seed + block * 100000, threads, row.wide ? wide : average, *people);
    fmt::print("| {} | {:.1f} |", row.title, Percent(t.off, t.figures));
    for (std::size_t v = 0; v < 5; ++v) fmt::print(" {:.1f} |", Percent(t.view_off[v], t.view_figures[v]));
    fmt::print(" {} of {} | {} |\n", t.mark, t.off, MostOften(t.called));
    std::fflush(stdout);
  }

  const std::vector<Row> faults = {
      {.title = "legs x1.20, flags + head box", .faults = legs(1.2), .right = "body.legs.length"},
      {.title = "legs x1.20, bare", .faults = legs(1.2), .right = "body.legs.length", .flags = false, .box = false},
      {.title = "legs x1.35, flags + head box", .faults = legs(1.35), .right = "body.legs.length"},
      {.title = "legs x0.85, flags + head box", .faults = legs(0.85), .right = "body.legs.length"},
      {.title = "head x1.15, flags + head box", .faults = {{B::kHead, 1.15}}, .right = "body.head.size"},
      {.title = "head x1.15, bare", .faults = {{B::kHead, 1.15}}, .right = "body.head.size", .flags = false, .box = false},
      {.title = "head x1.30, flags + head box", .faults = {{B::kHead, 1.3}}, .right = "body.head.size"},
      {.title = "torso x1.15, flags + head box", .faults = {{B::kTrunk, 1.15}}, .right = "body.torso.length"},
      {.title = "shoulders x1.20, flags + head box", .faults = {{B::kShoulderWidth, 1.2}}, .right = "body.shoulders.width"},
      {.title = "left forearm x1.30, flags + head box", .faults = {{B::kForearmL, 1.3}}, .right = "body.forearm_l.length"},
      {.title = "left arm x1.25, flags + head box", .faults = {{B::kUpperArmL, 1.25}, {B::kForearmL, 1.25}}, .right = "body.arm_l.length"},
      {.title = "left leg x1.15, no canon declared", .faults = {{B::kThighL, 1.15}, {B::kShinL, 1.15}}, .right = "body.leg_l.length", .declared = false},
      {.title = "one mark 6 % off, flags + head box", .faults = {}, .right = {}, .displaced = true},
      {.title = "legs x1.20, measured people, canon people-measured", .faults = legs(1.2), .right = "body.legs.length", .measured = true, .wide = true},
      {.title = "legs x1.35, measured people, canon people-measured", .faults = legs(1.35), .right = "body.legs.length", .measured = true, .wide = true},
  };
  fmt::print("\nOne fault: found (anything said), %; named right and named as a mark, % of the found; factor error, median of the named right\n\n");
  fmt::print("| fault | found | named right | called a mark | factor error | 95 % interval holds truth | front | 3/4 | side | back | high/low |\n"
             "|---|---|---|---|---|---|---|---|---|---|---|\n");
  for (const Row& row : faults) {
    ++block;
    if (part == "nulls" || (!only.empty() && row.title.find(only) == std::string::npos)) continue;
    Tally t = Count(row, figures, seed + block * 100000, threads, row.wide ? wide : average, *people);
    std::sort(t.factor_error.begin(), t.factor_error.end());
    fmt::print("| {} | {:.0f} | {:.0f} | {:.0f}{} |", row.title, Percent(t.off, t.figures), Percent(t.right, t.off),
               Percent(t.mark, t.off), row.displaced ? fmt::format(" (the right one {:.0f})", Percent(t.right_mark, t.off)) : "");
    if (t.factor_error.empty()) fmt::print(" - | - |");
    else fmt::print(" {:.1f} | {:.0f} |", 100.0 * t.factor_error[t.factor_error.size() / 2], Percent(t.covered, t.right));
    for (std::size_t v = 0; v < 5; ++v) fmt::print(" {:.0f} |", Percent(t.view_off[v], t.view_figures[v]));
    fmt::print("\n");
    std::fflush(stdout);
  }
  return 0;
}
