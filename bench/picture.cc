// Reading a large PNG picture: time against libpng's own decoding of the same bytes, and peak
// memory against the decoded picture. Prints a table; one run holds both sides of each ratio.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <random>
#include <vector>

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "colour/planes.h"
#include "picture/huge_pages.h"
#include "picture/picture.h"
#include "support/files.h"
#include "support/job.h"
#include "libpng_yardstick.h"

namespace armslength {
namespace {

// A page as illustrators save it: airbrushed ground with grain on its upper part, flat floor,
// figures of flat colours, soft shading and dark outlines, transparent edges at top and bottom.
ImageRgba8 MakePage(int w, int h, double grain) {
  ImageRgba8 page;
  page.width = w;
  page.height = h;
  ResizeHuge(page.pixels, std::size_t{4} * static_cast<std::size_t>(w) * static_cast<std::size_t>(h));
  struct Limb {
    double x0, y0, x1, y1, r;
    int colour[3];
  };
  std::vector<Limb> limbs;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int figure = 0; figure < 6; ++figure) {
    const double cx = 0.12 + 0.15 * figure, top = 0.25 + 0.3 * unit(random), tall = 0.3 + 0.25 * unit(random);
    for (int part = 0; part < 9; ++part) {
      const double t = part / 9.0, side = part % 2 ? 1.0 : -1.0;
      limbs.push_back({cx + 0.03 * side * unit(random), top + tall * t, cx + side * 0.06 * unit(random), top + tall * std::min(1.0, t + 0.3), 0.012 + 0.02 * unit(random),
                       {static_cast<int>(60 + 180 * unit(random)), static_cast<int>(60 + 150 * unit(random)), static_cast<int>(60 + 150 * unit(random))}});
    }
  }
  ParallelFor(h, 0, [&](int y) {
    std::mt19937 noise(static_cast<unsigned>(y) + 1);
    std::normal_distribution<float> normal(0.0f, static_cast<float>(grain));
    const double v = static_cast<double>(y) / h;
    const double aspect = static_cast<double>(h) / w;
    std::vector<Limb> near;  // those that reach this row
    for (const auto& limb : limbs)
      if (v > std::min(limb.y0, limb.y1) - limb.r / aspect && v < std::max(limb.y0, limb.y1) + limb.r / aspect) near.push_back(limb);
    for (int x = 0; x < w; ++x) {
      const double u = static_cast<double>(x) / w;
      const double glow = std::exp(-((u - 0.6) * (u - 0.6) + (v - 0.25) * (v - 0.25)) / 0.12), wave = 4.0 * std::sin(9.0 * u + 5.0 * v);
      double c[3] = {110 + 130 * v + 30 * glow + wave, 150 + 75 * v + 30 * glow + wave, 200 + 35 * v + 30 * glow + wave};
      if (v > 0.8) c[0] = 190, c[1] = 170, c[2] = 150;
      for (const auto& limb : near) {
        if (u < std::min(limb.x0, limb.x1) - limb.r || u > std::max(limb.x0, limb.x1) + limb.r) continue;
        const double dx = limb.x1 - limb.x0, dy = (limb.y1 - limb.y0) * aspect, px = u - limb.x0, py = (v - limb.y0) * aspect;
        const double t = std::clamp((px * dx + py * dy) / (dx * dx + dy * dy), 0.0, 1.0);
        const double d = std::hypot(px - t * dx, py - t * dy);
        if (d < limb.r - 0.001) {
          const double shade = v > 0.3 && v < 0.75 ? 0.85 + 0.15 * std::clamp(wave / 4.0, 0.0, 1.0) : 1.0;
          for (int k = 0; k < 3; ++k) c[k] = limb.colour[k] * shade;
        } else if (d < limb.r) {
          c[0] = c[1] = c[2] = 25;
        }
      }
      std::uint8_t* p = page.At(x, y);
      for (int k = 0; k < 3; ++k) {
        const double value = c[k] + (grain > 0.0 && v < 0.62 ? static_cast<double>(normal(noise)) : 0.0);
        p[k] = static_cast<std::uint8_t>(std::clamp(value + 0.5, 0.0, 255.0));
      }
      const double edge = std::min(v, 1.0 - v) / 0.015;
      p[3] = static_cast<std::uint8_t>(255 * std::min(1.0, edge));
    }
  });
  return page;
}

// Least of the rounds: what disturbs a measurement only ever adds.
Cost Least(const std::vector<Cost>& rounds) {
  Cost least = rounds.front();
  for (const auto& cost : rounds) least = {std::min(least.wall, cost.wall), std::min(least.cpu, cost.cpu)};
  return least;
}

// Peak resident memory, bytes, of `work` in a process of its own.
double PeakBytes(const std::function<void()>& work) {
  int ends[2];
  if (::pipe(ends) != 0) return 0.0;
  const pid_t child = ::fork();
  if (child == 0) {
    work();
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    const double peak = 1024.0 * static_cast<double>(usage.ru_maxrss);
    _exit(::write(ends[1], &peak, sizeof peak) == sizeof peak ? 0 : 1);
  }
  double peak = 0.0;
  ::close(ends[1]);
  if (::read(ends[0], &peak, sizeof peak) != sizeof peak) peak = 0.0;
  ::close(ends[0]);
  ::waitpid(child, nullptr, 0);
  return peak;
}

int Run(int w, int h, double grain, int rounds) {
  const auto path = std::filesystem::temp_directory_path() / fmt::format("armslength_bench_{}.png", ::getpid());
  {
    // Made in a child, so that its memory does not count here.
    const pid_t child = ::fork();
    if (child == 0) {
      const auto png = EncodePng(MakePage(w, h, grain), true, 6);
      _exit(png && WriteFileAtomic(path, *png) ? 0 : 1);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    if (status != 0) return 1;
  }
  // Memory first: a fork starts with what its parent holds.
  const double picture = 4.0 * w * h;
  const double base = PeakBytes([] {});
  const double load_peak = PeakBytes([&] { (void)LoadPicture(path); }) - base;
  const double plain_peak = PeakBytes([&] {
                              std::vector<std::uint8_t> pixels;
                              PlainLibpng(*ReadFile(path), pixels);
                            }) - base;

  const auto bytes = ReadFile(path);
  if (!bytes) return 1;
  std::vector<Cost> plain, load, lightness;
  bool same = true;
  for (int round = 0; round < rounds; ++round) {
    std::vector<std::uint8_t> pixels;
    plain.push_back(Measure([&] { same = PlainLibpng(*bytes, pixels) && same; }));
    Result<Picture> read;
    load.push_back(Measure([&] { read = LoadPicture(path); }));
    same = same && read && read->image.pixels == pixels;
    std::vector<std::uint8_t>().swap(pixels);
    if (!read) break;
    std::vector<std::uint8_t> plane;
    ResizeHuge(plane, static_cast<std::size_t>(w) * static_cast<std::size_t>(h));
    lightness.push_back(Measure([&] { LightnessPlane(read->image.pixels, w, h, plane); }));
  }
  std::filesystem::remove(path);
  const Cost d = Least(plain);
  fmt::print("page {} x {} ({:.1f} megapixels), grain {:g}, file {:.1f} MB, best of {} rounds\n", w, h, w * static_cast<double>(h) / 1e6, grain,
             static_cast<double>(bytes->size()) / 1e6, rounds);
  const auto line = [&](const char* what, const std::vector<Cost>& costs, const char* note) {
    const Cost cost = Least(costs);
    fmt::print("{:<28}{:>7.0f} ms wall, ratio {:.2f}{:>9.0f} ms processor, ratio {:.2f}  {}\n", what, 1e3 * cost.wall, cost.wall / d.wall, 1e3 * cost.cpu,
               cost.cpu / d.cpu, note);
  };
  line("libpng, bytes to rows", plain, "= D");
  line("LoadPicture", load, "file, hash and colours included");
  line("lightness plane", lightness, "");
  fmt::print("{:<28}{:>7.0f} MB, ratio {:.2f} of the decoded picture\n", "peak memory, LoadPicture", load_peak / 1e6, load_peak / picture);
  fmt::print("{:<28}{:>7.0f} MB, ratio {:.2f}\n", "peak memory, libpng", plain_peak / 1e6, plain_peak / picture);
  fmt::print("same pixels: {}\n", same ? "yes" : "NO");
  return same ? 0 : 1;
}

}  // namespace
}  // namespace armslength

int main(int argc, char** argv) {
  CLI::App app{"Reading a large PNG picture against libpng"};
  int width = 5000, height = 7000, rounds = 5;
  double grain = 2.0;
  app.add_option("--width", width, "px")->check(CLI::Range(16, 20000));
  app.add_option("--height", height, "px")->check(CLI::Range(16, 20000));
  app.add_option("--grain", grain, "standard deviation of the brush grain, levels")->check(CLI::Range(0.0, 50.0));
  app.add_option("--rounds", rounds, "rounds")->check(CLI::Range(1, 100));
  CLI11_PARSE(app, argc, argv);
  return armslength::Run(width, height, grain, rounds);
}
