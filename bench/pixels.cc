// How long the whole pixel pass takes, as a ratio to what nobody can save: decoding the same PNG with
// libpng. Also peak memory over the decoded picture, and the exponent of cost against pixels.
// The page is drawn here (invented, seeded): a soft background with brush grain above, a flat floor,
// inked and filled figures in several sizes, airbrushed shadow over part of them, faded edges.
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <cairo.h>

#include "check/pixels/picture_checks.h"
#include "picture/picture.h"
#include "support/files.h"
#include "libpng_yardstick.h"

namespace {

using armslength::Cost, armslength::ImageRgba8, armslength::Measure, armslength::PlainLibpng;

long Status(const char* key) {  // kB
  std::ifstream in("/proc/self/status");
  std::string line;
  while (std::getline(in, line))
    if (line.rfind(key, 0) == 0) return std::atol(line.c_str() + std::strlen(key) + 1);
  return 0;
}
void ResetPeak() {
  std::ofstream out("/proc/self/clear_refs");
  out << "5";
}

// One inked figure: rounded parts with outline, hair strokes, folds. h: its height in px.
void Figure(cairo_t* c, double cx, double foot, double h, std::mt19937& rng) {
  const auto u = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(rng); };
  const double w = 0.0028 * h;
  const auto ink = [&](double scale) {
    cairo_set_source_rgb(c, 0.10, 0.07, 0.10);
    cairo_set_line_width(c, w * scale);
    cairo_set_line_cap(c, CAIRO_LINE_CAP_ROUND);
    cairo_stroke(c);
  };
  const auto part = [&](double x, double y, double rx, double ry, double angle, double r, double g, double b) {
    cairo_save(c);
    cairo_translate(c, cx + x * h, foot - y * h);
    cairo_rotate(c, angle);
    cairo_scale(c, rx * h, ry * h);
    cairo_arc(c, 0, 0, 1, 0, 2 * std::numbers::pi);
    cairo_restore(c);
    cairo_set_source_rgb(c, r, g, b);
    cairo_fill_preserve(c);
    ink(1.4);
    // The shadow side, one flat tone.
    cairo_save(c);
    cairo_translate(c, cx + x * h, foot - y * h);
    cairo_rotate(c, angle);
    cairo_scale(c, rx * h, ry * h);
    cairo_arc(c, 0, 0, 0.94, -0.9, 1.6);
    cairo_arc_negative(c, -0.25, -0.05, 0.86, 1.4, -0.7);
    cairo_close_path(c);
    cairo_restore(c);
    cairo_set_source_rgb(c, 0.72 * r, 0.68 * g, 0.75 * b);
    cairo_fill(c);
  };
  const double r = u(0.3, 0.95), g = u(0.3, 0.9), b = u(0.3, 0.9);
  for (const int side : {-1, 1}) {
    part(side * 0.06, 0.25, 0.045, 0.25, side * 0.06, 0.35, 0.35, 0.5);
    part(side * 0.07, 0.03, 0.07, 0.03, 0, 0.4, 0.25, 0.2);
    part(side * 0.15, 0.62, 0.035, 0.17, -side * 0.5, r, g, b);
    part(side * 0.22, 0.47, 0.03, 0.04, 0, 0.95, 0.8, 0.7);
  }
  part(0, 0.62, 0.11, 0.19, 0, r, g, b);
  part(0, 0.90, 0.06, 0.08, 0, 0.95, 0.8, 0.7);
  for (int i = 0; i < 60; ++i) {  // hair and folds
    const bool hair = i < 40;
    const double x = hair ? u(-0.06, 0.06) : u(-0.09, 0.09), y = hair ? u(0.93, 0.98) : u(0.5, 0.75);
    cairo_move_to(c, cx + x * h, foot - y * h);
    cairo_rel_curve_to(c, u(-0.02, 0.02) * h, 0.02 * h, u(-0.03, 0.03) * h, 0.05 * h, u(-0.03, 0.03) * h, u(0.04, 0.09) * h);
    ink(u(0.4, 1.0));
  }
}

ImageRgba8 MakePage(int w, int h, double grain, unsigned seed) {
  std::mt19937 rng(seed);
  ImageRgba8 page;
  page.width = w;
  page.height = h;
  page.pixels.resize(4 * static_cast<std::size_t>(w) * static_cast<std::size_t>(h));
  // Cairo's pixels are B G R A in memory here; turned round at the end.
  std::normal_distribution<float> noise(0.0f, static_cast<float>(grain));
  std::vector<float> table(1 << 16);
  for (float& v : table) v = noise(rng);
  for (int y = 0; y < h; ++y) {
    std::uint8_t* p = page.At(0, y);
    const double v = static_cast<double>(y) / h;
    for (int x = 0; x < w; ++x) {
      const double s = static_cast<double>(x) / w, glow = 30 * std::exp(-((s - 0.6) * (s - 0.6) + (v - 0.25) * (v - 0.25)) / 0.12);
      const std::uint32_t k = static_cast<std::uint32_t>(x) * 2654435761u ^ static_cast<std::uint32_t>(y) * 40503u;
      for (int c = 0; c < 3; ++c) {
        const double top = c == 0 ? 110 : c == 1 ? 150 : 200, bottom = c == 0 ? 240 : c == 1 ? 225 : 235;
        double value = top * (1 - v) + bottom * v + glow;
        if (v < 0.62 && grain > 0) value += static_cast<double>(table[(k >> 7 ^ static_cast<std::uint32_t>(c) * 977u) & 0xffff]);
        if (v > 0.8) value = c == 0 ? 190 : c == 1 ? 170 : 150;
        p[4 * x + c] = static_cast<std::uint8_t>(std::clamp(value + 0.5, 0.0, 255.0));
      }
      p[4 * x + 3] = 255;
    }
  }
  cairo_surface_t* surface = cairo_image_surface_create_for_data(page.pixels.data(), CAIRO_FORMAT_ARGB32, w, h, 4 * w);
  cairo_t* c = cairo_create(surface);
  Figure(c, 0.55 * w, 0.97 * h, 0.90 * h, rng);
  Figure(c, 0.20 * w, 0.37 * h, 0.34 * h, rng);
  Figure(c, 0.80 * w, 0.40 * h, 0.36 * h, rng);
  Figure(c, 0.18 * w, 0.97 * h, 0.45 * h, rng);
  Figure(c, 0.50 * w, 0.74 * h, 0.42 * h, rng);
  Figure(c, 0.86 * w, 0.98 * h, 0.30 * h, rng);
  cairo_destroy(c);
  cairo_surface_destroy(surface);
  const int band = static_cast<int>(0.015 * h);
  for (int y = 0; y < h; ++y) {
    std::uint8_t* p = page.At(0, y);
    const double v = static_cast<double>(y) / h;
    const int a = std::min({255, 255 * y / std::max(1, band), 255 * (h - 1 - y) / std::max(1, band)});
    for (int x = 0; x < w; ++x) {
      std::swap(p[4 * x], p[4 * x + 2]);
      if (v > 0.3 && v < 0.75) {  // airbrush
        const double m = 0.92 + 0.08 * std::sin(9.0 * x / w) * std::cos(7.0 * v);
        for (int k = 0; k < 3; ++k) p[4 * x + k] = static_cast<std::uint8_t>(p[4 * x + k] * m);
      }
      p[4 * x + 3] = static_cast<std::uint8_t>(a);
    }
  }
  return page;
}

double Median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Whole pixel pass against libpng's decode of the same page");
  double megapixels = 35.0, grain = 4.0;
  int rounds = 3;
  std::string save;
  app.add_option("--megapixels", megapixels, "largest page");
  app.add_option("--grain", grain, "sd of the brush grain, bytes");
  app.add_option("--rounds", rounds, "rounds; medians are printed");
  app.add_option("--save", save, "keep the largest page here");
  CLI11_PARSE(app, argc, argv);
  std::printf("%8s %9s %9s %9s %9s %7s %7s %7s %9s\n", "Mpx", "libpng_s", "load_s", "check_s", "pass_cpu", "wall/D", "cpu/D", "mem/pic", "findings");
  std::vector<double> log_n, log_t;
  for (const double part : {0.125, 0.25, 0.5, 1.0}) {
    const double n = megapixels * 1e6 * part;
    const int w = static_cast<int>(std::sqrt(n / 1.4)), h = static_cast<int>(1.4 * w);
    const std::string path = part == 1.0 && !save.empty() ? save : (std::filesystem::temp_directory_path() / ("al_page_" + std::to_string(getpid()) + ".png")).string();
    {
      const auto png = armslength::EncodePng(MakePage(w, h, grain, 7), true, 6);
      if (!png || !armslength::WriteFileAtomic(path, *png)) return 5;
    }
    std::vector<double> d, dc, load, check, cpu;
    double memory = 0;
    std::size_t findings = 0;
    for (int r = 0; r < rounds; ++r) {
      const Cost decode = Measure([&] {
        std::vector<std::uint8_t> pixels;
        if (const auto bytes = armslength::ReadFile(path)) PlainLibpng(*bytes, pixels);
      });
      d.push_back(decode.wall);
      dc.push_back(decode.cpu);
      const long before = Status("VmRSS");
      ResetPeak();
      armslength::Result<armslength::Picture> picture;
      const Cost loading = Measure([&] { picture = armslength::LoadPicture(path); });
      if (!picture) {
        std::fprintf(stderr, "%s\n", picture.error().Text().c_str());
        return 5;
      }
      armslength::Result<armslength::PictureReport> report;
      const Cost checking = Measure([&] { report = armslength::CheckPicture(*picture); });
      cpu.push_back(loading.cpu + checking.cpu);
      load.push_back(loading.wall);
      check.push_back(checking.wall);
      memory = std::max(memory, 1024.0 * static_cast<double>(Status("VmHWM") - before) / (4.0 * w * h));
      if (report) findings = report->findings.size();
    }
    const double decode = Median(d), pass = Median(load) + Median(check);
    std::printf("%8.1f %9.3f %9.3f %9.3f %9.3f %7.2f %7.2f %7.2f %9zu\n", w * static_cast<double>(h) / 1e6, decode, Median(load), Median(check), Median(cpu), pass / decode, Median(cpu) / Median(dc), memory, findings);
    std::fflush(stdout);
    log_n.push_back(std::log(static_cast<double>(w) * h));
    log_t.push_back(std::log(Median(cpu)));
    if (save.empty() || part < 1.0) std::filesystem::remove(path);
  }
  double sx = 0, sy = 0, sxx = 0, sxy = 0;
  const auto k = static_cast<double>(log_n.size());
  for (std::size_t i = 0; i < log_n.size(); ++i) sx += log_n[i], sy += log_t[i], sxx += log_n[i] * log_n[i], sxy += log_n[i] * log_t[i];
  std::printf("cost grows with pixels to the power %.2f (processor time)\n", (k * sxy - sx * sy) / (k * sxx - sx * sx));
  return 0;
}
