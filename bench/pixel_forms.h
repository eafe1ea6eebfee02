#pragma once
#include <algorithm>
#include <cstdio>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "bench/pixel_rows.h"
#include "bench/pixel_sketch.h"
#include "support/files.h"

namespace armslength::bench {

// Prints the rows of rounded forms, seeds from options.seed on; the first seed for others. A row draws the same when it runs alone.
inline unsigned RowsOfForms(const RowOptions& options) {
  struct Row {
    std::string name, id, size;
    bool at_double;  // the row that counts: the tolerance doubled (twice the fault, half the distance)
    Spec fault, null;
  };
  std::vector<Row> rows;
  const auto row = [&](std::string name, std::string id, std::string size, bool at_double, const std::function<void(Spec&)>& fault,
                       const std::function<void(Spec&)>& base) {
    Row r{std::move(name), std::move(id), std::move(size), at_double, {}, {}};
    base(r.fault);
    base(r.null);
    fault(r.fault);
    rows.push_back(std::move(r));
  };
  const auto plain = [](Spec&) {};
  const auto line = [](Spec& s) { s.coloured = false; };
  for (const int px : {2, 3, 4, 6, 8})
    row(
        "gap, line drawing", "line.gaps", std::to_string(px) + " px", px == 2, [&](Spec& s) { s.gap_px = px; }, line);
  for (const int px : {2, 4, 8})
    row(
        "gap, coloured", "line.gaps", std::to_string(px) + " px", false, [&](Spec& s) { s.gap_px = px; }, plain);
  for (const double w : {0.2, 0.75, 1.2})
    row(
        "kissing edges", "composition.tangents", std::to_string(w).substr(0, 4) + " w", w == 0.75,
        [&](Spec& s) { s.kiss_w = w, s.overlap_w = -1; }, [](Spec& s) { s.overlap_w = 6; });
  for (const double share : {0.3, 0.6, 0.9})
    row(
        "doubled line", "line.doubled", std::to_string(1 + share).substr(0, 3) + " strokes", share == 0.6,
        [&](Spec& s) { s.doubled = share; }, plain);
  for (const double w : {0.25, 0.5, 0.75})
    row(
        "wobble", "line.wobble", std::to_string(w).substr(0, 4) + " w", w == 0.5, [&](Spec& s) { s.wobble_w = w; }, plain);
  for (const int n : {2, 4, 8})
    row(
        "stray marks", "line.strays", std::to_string(n), n == 4, [&](Spec& s) { s.strays = n; }, plain);
  for (const bool soft : {false, true})
    for (const int deg : {70, 120, 160})
      row(
          soft ? "two lights, soft" : "two lights, cel", "value.light", std::to_string(deg) + " deg", deg == 120,
          [&](Spec& s) { s.lights_deg = deg; }, [soft](Spec& s) { s.soft = soft; });
  for (const bool soft : {false, true})
    for (const double l : {0.15, 0.3, 0.45})
      row(
          soft ? "pillow, soft" : "pillow, band", "value.pillow", std::to_string(l).substr(0, 4), l == 0.3,
          [&](Spec& s) { s.pillow_l = l; }, [soft](Spec& s) { s.soft = soft; });
  for (const bool soft : {false, true})
    for (const int n : {40, 80})
      row(
          soft ? "broken shadows, soft" : "broken shadows", "value.shadow_shapes", std::to_string(n) + " spots", n == 80,
          [&](Spec& s) { s.specks = n; }, [soft](Spec& s) { s.soft = soft; });

  for (const double l : {8.0, 5.0})
    row(
        "edge lost, no line", "value.separation", std::to_string(static_cast<int>(l)) + " L*", l == 5.0, [&](Spec& s) { s.ground_l = l; },
        [](Spec& s) { s.ground_l = 20; });

  std::printf("rounded forms, %d drawings a row, seeds from %u; * marks the size of the tolerance doubled\n", options.count, options.seed);
  std::printf("%-20s %-14s %10s %12s\n", "fault", "size", "found", "false alarms");
  std::string last;
  double alarms = 0;
  unsigned at = options.seed - 1000;
  for (const Row& r : rows) {
    at += 1000;
    if (!options.Wanted(r.id)) continue;
    const auto make = [](Spec s) {
      return [s](unsigned k) {
        Spec one = s;
        one.seed = k;
        return Sketch(one).Draw();
      };
    };
    if (!options.show.empty()) {
      const auto png = EncodePng(make(r.fault)(at), false, 1);
      if (png)
        (void)WriteFileAtomic(options.show + "/" + r.id + "_" + r.size +
                                  (r.fault.soft       ? "_soft"
                                   : r.fault.coloured ? ""
                                                      : "_line") +
                                  ".png",
                              *png);
    }
    if (last != r.name) alarms = Share(options.count, at + 100000, r.id, make(r.null));
    const double found = Share(options.count, at, r.id, make(r.fault));
    std::printf("%-20s %-13s%s %9.0f %% %10.0f %%\n", r.name.c_str(), r.size.c_str(), r.at_double ? "*" : " ", 100 * found, 100 * alarms);
    std::fflush(stdout);
    last = r.name;
  }
  return at + 2000;  // one block of seeds stays free
}

}  // namespace armslength::bench
