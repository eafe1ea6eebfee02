#include "app/session/carrier.h"

#include <algorithm>
#include <iterator>
#include <vector>

#include "proposal/carry.h"

namespace armslength::app {
namespace {

constexpr int kFewest = 6;          // body points; fewer are no figure to look for
constexpr double kStaysShare = 0.004;  // of the figure: nobody marks closer, so the artist's own place is kept

bool IsFigure(const FigureMarks& figure) {
  return std::ranges::count_if(figure.points, [](const auto& p) { return static_cast<int>(p.first) < kBodyPointCount; }) >= kFewest;
}

double Extent(const FigureMarks& figure) {
  Vec2 low = Vec2::Constant(1e18), high = Vec2::Constant(-1e18);
  for (const auto& [id, at] : figure.points) low = low.cwiseMin(at), high = high.cwiseMax(at);
  return figure.points.empty() ? 0.0 : (high - low).maxCoeff();
}

}  // namespace

Carrier::Carrier(QObject* parent)
    : QObject(parent), worker_(NewestWins<Job>::Priority::kAfterTheWindow,
                               [this](Job& job, const JobControl& control) { Carry(job, control); }) {}

void Carrier::Start(std::shared_ptr<const Picture> before, const Marks& marks, quint64 marks_revision,
                    std::shared_ptr<const Picture> after) {
  worker_.Ask({std::move(before), std::move(after), marks, marks_revision});
}

void Carrier::Carry(Job& job, const JobControl& control) {
  auto carried = std::make_shared<Carried>();
  carried->marks_revision = job.marks_revision;
  carried->marks = std::move(job.marks);
  CarryOptions options;
  options.control = control;
  std::vector<FigureMarks> figures;
  std::ranges::copy_if(carried->marks.figures, std::back_inserter(figures), IsFigure);
  auto results = CarryFigures(*job.before, figures, *job.after, options);
  if (!results) return;  // stopped; nothing is changed
  auto result = results->begin();
  for (FigureMarks& figure : carried->marks.figures) {
    if (!IsFigure(figure)) continue;
    const double stays = kStaysShare * Extent(figure);
    for (auto& [id, at] : result->marks.points) {
      const Vec2 was = figure.points.at(id);
      if (result->how[id] == CarriedHow::kMatched && (at - was).norm() < stays) at = was;
      carried->moved += at != was;
      const auto proposed = [&](const FigureMarks& f) { return std::ranges::find(f.proposed, id) != f.proposed.end(); };
      carried->to_confirm += proposed(result->marks) && !proposed(figure);
    }
    figure = std::move(result->marks);
    ++result;
  }
  if (carried->moved > 0 || carried->to_confirm > 0) emit Ready(carried);
}

}  // namespace armslength::app
