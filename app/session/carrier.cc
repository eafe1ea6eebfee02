#include "app/session/carrier.h"

#include <algorithm>

#include <QtConcurrent>

#include "app/session/background.h"
#include "proposal/carry.h"

namespace armslength::app {
namespace {

constexpr int kFewest = 6;          // body points; fewer are no figure to look for
constexpr double kStaysShare = 0.004;  // of the figure: nobody marks closer, so the artist's own place is kept

double Extent(const FigureMarks& figure) {
  Vec2 low = Vec2::Constant(1e18), high = Vec2::Constant(-1e18);
  for (const auto& [id, at] : figure.points) low = low.cwiseMin(at), high = high.cwiseMax(at);
  return figure.points.empty() ? 0.0 : (high - low).maxCoeff();
}

}  // namespace

Carrier::Carrier(QObject* parent) : QObject(parent) {
  connect(&watcher_, &QFutureWatcherBase::finished, this, [this] {
    if (watcher_.future().resultCount() == 0) return;
    if (const auto carried = watcher_.result()) emit Ready(carried);
  });
}

Carrier::~Carrier() {
  if (cancel_) *cancel_ = true;
  watcher_.waitForFinished();
}

void Carrier::Start(std::shared_ptr<const Picture> before, const Marks& marks, quint64 marks_revision,
                    std::shared_ptr<const Picture> after) {
  if (cancel_) *cancel_ = true;
  cancel_ = std::make_shared<std::atomic<bool>>(false);
  watcher_.setFuture(QtConcurrent::run([=, cancel = cancel_]() -> std::shared_ptr<const Carried> {
    LetTheWindowGoFirst();
    auto carried = std::make_shared<Carried>();
    carried->marks_revision = marks_revision;
    carried->marks = marks;
    CarryOptions options;
    options.control.stop_requested = [cancel] { return cancel->load(); };
    for (FigureMarks& figure : carried->marks.figures) {
      const auto body = std::ranges::count_if(figure.points, [](const auto& p) { return static_cast<int>(p.first) < kBodyPointCount; });
      if (body < kFewest) continue;
      auto result = CarryMarks(*before, figure, *after, options);
      if (!result) return nullptr;  // stopped; nothing is changed
      const double stays = kStaysShare * Extent(figure);
      for (auto& [id, at] : result->marks.points) {
        const Vec2 was = figure.points.at(id);
        if (result->how[id] == CarriedHow::kMatched && (at - was).norm() < stays) at = was;
        carried->moved += at != was;
        const auto proposed = [&](const FigureMarks& f) { return std::ranges::find(f.proposed, id) != f.proposed.end(); };
        carried->to_confirm += proposed(result->marks) && !proposed(figure);
      }
      figure = std::move(result->marks);
    }
    return carried->moved > 0 || carried->to_confirm > 0 ? carried : nullptr;
  }));
}

}  // namespace armslength::app
