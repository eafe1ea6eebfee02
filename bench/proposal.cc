// Errors of proposed marks on drawn pictures with hand-placed marks, false figures, and time.
//   bench_proposal [FOLDER [--rows] [--body] [--coarse]]      b*.png figures and h*.png heads with marks files; none*.png without figures
// Errors are per cent of the longer side of the box of a figure's marks; on heads per cent of the distance
// from crown to chin. The marks are one labeller's, by eye, with an error of their own of about 0.7 %.
#include <algorithm>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <map>

#include <fmt/format.h>
#include <opencv2/core.hpp>
#include <sys/resource.h>

#include "marks/marks_file.h"
#include "proposal/proposal.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;

ProposalOptions g_options;

// Processor time of this program: other programs on the machine do not count.
double Milliseconds() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

struct Case {
  std::string name;
  Picture picture;
  FigureMarks truth;
};

std::vector<Case> Load(const fs::path& folder, const std::string& prefix, bool with_marks) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".png" && entry.path().filename().string().starts_with(prefix)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::vector<Case> cases;
  for (const fs::path& file : files) {
    auto picture = LoadPicture(file);
    if (!picture) continue;
    Case c{file.stem().string(), std::move(*picture), {}};
    if (with_marks) {
      const auto marks = LoadMarks(fs::path(file).replace_extension(".marks.json"));
      if (!marks) continue;
      c.truth = marks->figures.front();
    }
    cases.push_back(std::move(c));
  }
  return cases;
}

double At(std::vector<double> v, double q) {
  if (v.empty()) return 0;
  std::sort(v.begin(), v.end());
  const double at = q * static_cast<double>(v.size() - 1);
  const auto i = static_cast<std::size_t>(at);
  return v[i] + (at - static_cast<double>(i)) * (v[std::min(i + 1, v.size() - 1)] - v[i]);
}
double Share(const std::vector<double>& v, double below) {
  return v.empty() ? 0
                   : 100.0 * static_cast<double>(std::count_if(v.begin(), v.end(), [&](double e) { return e < below; })) /
                         static_cast<double>(v.size());
}
void Line(const std::string& what, const std::vector<double>& e) {
  fmt::print("{:<34} n {:4}  median {:5.2f}  90th {:5.1f}  within 5: {:3.0f}  within 10: {:3.0f}\n", what, e.size(), At(e, 0.5), At(e, 0.9),
             Share(e, 5), Share(e, 10));
}

// Marks of one figure against the truth: errors in per cent, missing points count as 100.
std::map<PointId, double> Errors(const FigureMarks& proposed, const FigureMarks& truth, double size_px) {
  std::map<PointId, double> errors;
  for (const auto& [id, at] : truth.points) {
    const auto p = proposed.At(id);
    errors[id] = p ? (*p - at).norm() / size_px * 100 : 100.0;
  }
  return errors;
}
// Sides right: exchanging legs or arms would not fit the truth clearly better.
bool SidesRight(const FigureMarks& proposed, const FigureMarks& truth, double size_px) {
  for (const auto& [from, to] : {std::pair(PointId::kShoulderL, PointId::kHandTipR), std::pair(PointId::kHipL, PointId::kToeR)}) {
    double as_is = 0, exchanged = 0;
    for (const auto& [id, at] : truth.points)
      if (id >= from && id <= to) {
        const auto p = proposed.At(id), q = proposed.At(Mirrored(id));
        if (!p || !q) continue;
        as_is += std::min((*p - at).norm() / size_px * 100, 30.0);
        exchanged += std::min((*q - at).norm() / size_px * 100, 30.0);
      }
    if (exchanged + 8 < as_is) return false;
  }
  return true;
}

void Bodies(const std::vector<Case>& cases, bool rows) {
  if (cases.empty()) return;
  std::vector<double> all, best_of_two, moves;
  std::map<std::string, std::vector<double>> per;
  std::map<int, std::pair<int, int>> sure;
  double right = 0, right_of_two = 0, found = 0, covered = 0, counted = 0, ms = 0;
  for (const Case& c : cases) {
    Vec2 low = Vec2::Constant(1e12), high = -low;
    for (const auto& [id, at] : c.truth.points) low = low.cwiseMin(at), high = high.cwiseMax(at);
    const double size = (high - low).maxCoeff();
    const double start = Milliseconds();
    const auto proposal = ProposeMarks(c.picture, g_options);
    ms += Milliseconds() - start;
    FigureMarks first, second;
    const ProposedFigure* figure = nullptr;
    for (const ProposedFigure& f : proposal->figures) {  // the one nearest the marked figure
      const Vec2 a(f.box[0], f.box[1]), b(f.box[0] + f.box[2], f.box[1] + f.box[3]);
      if ((a.array() < high.array()).all() && (b.array() > low.array()).all() &&
          (!figure || f.box[2] * f.box[3] > figure->box[2] * figure->box[3]))
        figure = &f;
    }
    if (figure) {
      found += 1;
      first = figure->Marks("a");
      second = figure->OtherMarks("b");
    }
    const auto e = Errors(first, c.truth, size), e2 = Errors(second, c.truth, size);
    std::vector<double> list, list2;
    int move = 0;
    for (const auto& [id, error] : e) {
      list.push_back(error);
      list2.push_back(e2.at(id));
      if (static_cast<int>(id) < kBodyPointCount && error > 3) ++move;
      std::string name(Name(id));
      if (Side(id) != 0) name.resize(name.size() - 2);
      per[name].push_back(error);
    }
    moves.push_back(move);
    all.insert(all.end(), list.begin(), list.end());
    const auto& better = At(list2, 0.75) < At(list, 0.75) ? list2 : list;
    best_of_two.insert(best_of_two.end(), better.begin(), better.end());
    const bool ok = figure && SidesRight(first, c.truth, size), ok2 = figure && SidesRight(second, c.truth, size);
    right += ok;
    right_of_two += ok || ok2;
    if (figure)
      for (const ProposedPoint& p : figure->points)
        if (const auto t = e.find(p.id); t != e.end()) {
          counted += 1;
          covered += t->second / 100 * size < 2.146 * p.sd_px;  // 90 % of a two-dimensional Gaussian
          for (const int level : {30, 50, 70})
            if (p.confidence * 100 >= level) {
              sure[level].first += 1;
              sure[level].second += t->second < 5;
            }
        }
    if (rows)
      fmt::print("  {:<36} figures {}  sure {:.2f}  median {:5.1f}  within 5: {:3.0f}  to move {:2}{}{}\n", c.name,
                 proposal->figures.size(), figure ? figure->confidence : 0.0, At(list, 0.5), Share(list, 5), move, ok ? "" : "  SIDES",
                 figure && figure->undecided ? "  undecided" : "");
  }
  const auto n = static_cast<double>(cases.size());
  Line("figures, all points", all);
  Line("figures, better of two readings", best_of_two);
  fmt::print(
      "figures found {:.0f} of {:.0f}; sides right {:.0f} %, in one of two readings {:.0f} %; marks to move (> 3 %): median {}, mean "
      "{:.1f}\n",
      found, n, 100 * right / n, 100 * right_of_two / n, At(moves, 0.5), [&] {
        double s = 0;
        for (double m : moves) s += m;
        return s / n;
      }());
  fmt::print("stated 90 % circles hold {:.0f} % of {} points; {:.0f} ms a picture\n", 100 * covered / std::max(1.0, counted), counted,
             ms / n);
  for (const auto& [level, hits] : sure)
    fmt::print("confidence >= {:.1f}: {:.0f} % of the points, within 5: {:.0f}\n", level / 100.0,
               100.0 * hits.first / std::max(1.0, counted), 100.0 * hits.second / std::max(1, hits.first));
  for (const auto& [name, v] : per) Line("  " + name, v);
}

void Heads(const std::vector<Case>& cases, bool rows) {
  if (cases.empty()) return;
  std::vector<double> all;
  std::map<std::string, std::vector<double>> per;
  double found = 0, missing = 0, covered = 0, counted = 0;
  for (const Case& c : cases) {
    const auto proposal = ProposeMarks(c.picture, g_options);
    if (proposal->figures.empty()) {
      if (rows) fmt::print("  {:<36} no figure\n", c.name);
      continue;
    }
    found += 1;
    const FigureMarks marks = proposal->figures.front().Marks("a");
    const auto& reference = c.truth.Has(PointId::kCrown) && c.truth.Has(PointId::kChin) ? c.truth : marks;
    if (!reference.Has(PointId::kCrown) || !reference.Has(PointId::kChin)) continue;
    const double height = (*reference.At(PointId::kCrown) - *reference.At(PointId::kChin)).norm();
    std::vector<double> list;
    for (const auto& [id, at] : c.truth.points) {
      const auto p = marks.At(id);
      if (!p) {
        missing += 1;
        continue;
      }
      const double e = (*p - at).norm() / height * 100;
      list.push_back(e);
      std::string name(Name(id));
      per[name].push_back(e);
      counted += 1;
      covered += e / 100 * height < 2.146 * marks.point_error_px.at(id);
    }
    all.insert(all.end(), list.begin(), list.end());
    if (rows) fmt::print("  {:<36} sure {:.2f}  median {:5.2f}\n", c.name, proposal->figures.front().confidence, At(list, 0.5));
  }
  Line("heads, points proposed", all);
  fmt::print("heads found {:.0f} of {}; marked points not proposed {:.0f}; stated 90 % circles hold {:.0f} %\n", found, cases.size(),
             missing, 100 * covered / std::max(1.0, counted));
  if (rows)
    for (const auto& [name, v] : per) Line("  " + name, v);
}

void NoFigures(const std::vector<Case>& cases, bool rows) {
  if (cases.empty()) return;
  int false_ones = 0;
  for (const Case& c : cases) {
    const auto proposal = ProposeMarks(c.picture, g_options);
    if (proposal->figures.empty()) continue;
    ++false_ones;
    if (rows) fmt::print("  {:<36} a figure where there is none, sure {:.2f}\n", c.name, proposal->figures.front().confidence);
  }
  fmt::print("pictures without a figure: {} of {} called a figure\n", false_ones, cases.size());
}

void Speed(const std::vector<Case>& cases) {
  if (cases.empty()) return;
  std::vector<double> ms;
  for (int round = 0; round < 3; ++round)
    for (const Case& c : cases) {
      const double start = Milliseconds();
      (void)ProposeMarks(c.picture, g_options);
      ms.push_back(Milliseconds() - start);
    }
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  fmt::print("one core, processor time: {:.0f} ms a picture (median), fastest {:.0f} ms; peak memory of this program {} MB\n", At(ms, 0.5),
             At(ms, 0.0), use.ru_maxrss / 1024);
}

}  // namespace
}  // namespace armslength

int main(int argc, char** argv) {
  using namespace armslength;
  cv::setNumThreads(1);
  bool rows = false;
  for (int i = 2; i < argc; ++i) {
    rows = rows || std::string(argv[i]) == "--rows";
    if (std::string(argv[i]) == "--coarse") g_options.near_view = false;  // without the upper body's own view
    if (std::string(argv[i]) == "--body") g_options.settle_sides = true;  // sides also by the body reading
  }
  const fs::path folder = argc > 1 ? argv[1] : AL_PROPOSAL_PICTURES;
  if (!fs::is_directory(folder)) {
    fmt::print(stderr, "no folder {}\n", folder.string());
    return 3;
  }
  auto bodies = Load(folder, "b", true);
  Bodies(bodies, rows);
  Heads(Load(folder, "h", true), rows);
  NoFigures(Load(folder, "none", false), rows);
  if (bodies.size() > 4) bodies.resize(4);
  Speed(bodies);
  return 0;
}
