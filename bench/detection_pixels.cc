// How often the picture checks find a fault of known size, and how often they cry wolf. Two sets of
// drawings, all invented and seeded: rounded forms drawn here (every size under control), and the
// project's own drawn figures. Seeds start at --seed; use ones that nothing was tuned on.
#include <CLI/CLI.hpp>

#include "bench/pixel_figures.h"
#include "bench/pixel_forms.h"
#include "bench/pixel_lights.h"

int main(int argc, char** argv) {
  CLI::App app("Detection of picture faults of known size");
  armslength::bench::RowOptions options;
  app.add_option("--count", options.count, "drawings of rounded forms per row");
  app.add_option("--figures", options.figures, "drawn figures per row; 0: none");
  app.add_option("--seed", options.seed, "first seed");
  app.add_option("--only", options.only, "only rows whose finding id holds this");
  app.add_option("--show", options.show, "write one drawing of each row into this folder");
  CLI11_PARSE(app, argc, argv);
  unsigned seed = armslength::bench::RowsOfForms(options);
  if (options.figures <= 0) return 0;
  seed = armslength::bench::RowsOfFigures(options, seed);
  armslength::bench::RowsOfLights(options, seed);
  return 0;
}
