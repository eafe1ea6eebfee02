#include "app/session/proposer.h"

#include <algorithm>

#include <QtConcurrent>

#include "app/session/background.h"

namespace armslength::app {

Proposer::Proposer(QObject* parent) : QObject(parent) {
  connect(&watcher_, &QFutureWatcherBase::finished, this, [this] {
    if (watcher_.future().resultCount() == 0 || *cancel_) return;
    const Outcome outcome = watcher_.result();
    if (outcome.proposal)
      emit Ready(outcome.proposal);
    else if (!outcome.failure.isEmpty())
      emit Failed(outcome.failure);
  });
}

Proposer::~Proposer() {
  if (cancel_) *cancel_ = true;
  watcher_.waitForFinished();
}

void Proposer::Cancel() {
  if (cancel_) *cancel_ = true;
}

void Proposer::Start(std::shared_ptr<const Picture> picture) {
  if (!picture) return;
  if (cancel_) *cancel_ = true;
  cancel_ = std::make_shared<std::atomic<bool>>(false);
  watcher_.setFuture(QtConcurrent::run([picture = std::move(picture), cancel = cancel_] {
    LetTheWindowGoFirst();
    ProposalOptions options;
    options.control.stop_requested = [cancel] { return cancel->load(); };
    auto proposal = ProposeMarks(*picture, options);
    if (proposal) return Outcome{std::make_shared<const Proposal>(std::move(*proposal)), {}};
    if (proposal.error().kind == ErrorKind::kCancelled) return Outcome{};
    return Outcome{nullptr, QString::fromStdString(proposal.error().Text())};
  }));
}

Work WithProposal(Work work, const Proposal& proposal, const PictureFacts& picture) {
  if (proposal.figures.empty()) return work;
  Marks proposed = ToMarks(proposal, picture);
  auto& figures = work.marks.figures;
  // The figure that a proposal belongs to: the one whose own points lie nearest to the same points.
  const auto distance = [](const FigureMarks& own, const FigureMarks& guess) {
    double sum = 0.0;
    int count = 0;
    for (const auto& [id, at] : own.points)
      if (const auto there = guess.At(id)) {
        sum += (at - *there).norm();
        ++count;
      }
    return count > 0 ? sum / count : 0.0;
  };
  const std::size_t own_count = figures.size();
  std::vector<bool> taken(proposed.figures.size(), false);
  for (std::size_t f = 0; f < own_count; ++f) {
    std::size_t best = proposed.figures.size();
    for (std::size_t g = 0; g < proposed.figures.size(); ++g)
      if (!taken[g] && (best == proposed.figures.size() ||
                        distance(figures[f], proposed.figures[g]) < distance(figures[f], proposed.figures[best])))
        best = g;
    if (best == proposed.figures.size()) break;
    taken[best] = true;
    for (const auto& [id, at] : proposed.figures[best].points)
      if (!figures[f].Has(id)) {
        figures[f].points[id] = at;
        figures[f].proposed.push_back(id);
        if (const auto error = proposed.figures[best].point_error_px.find(id);
            error != proposed.figures[best].point_error_px.end())
          figures[f].point_error_px[id] = error->second;
      }
  }
  for (std::size_t g = 0; g < proposed.figures.size(); ++g) {
    if (taken[g]) continue;
    FigureMarks figure = std::move(proposed.figures[g]);
    for (int n = 2; std::ranges::any_of(figures, [&](const FigureMarks& o) { return o.name == figure.name; }); ++n)
      figure.name = "figure " + std::to_string(n);
    figures.push_back(std::move(figure));
  }
  return work;
}

}  // namespace armslength::app
