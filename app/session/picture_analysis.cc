#include "app/session/picture_analysis.h"

#include <algorithm>

namespace armslength::app {
namespace {

constexpr int kSmallLongSide = 1400;  // px at most of the first, quick look
constexpr int kLargeLongSide = 2000;  // px above which a quick look is worth its time

}  // namespace

PictureAnalysis::PictureAnalysis(QObject* parent)
    : QObject(parent), worker_(NewestWins<Job>::Priority::kAfterTheWindow,
                               [this](const Job& job, const JobControl& control) { Analyse(job, control); }) {}

void PictureAnalysis::Start(std::shared_ptr<const Picture> picture, std::shared_ptr<const Pyramid> pyramid) {
  worker_.Ask({++started_, std::move(picture), std::move(pyramid)});
}

void PictureAnalysis::Analyse(const Job& job, const JobControl& control) {
  PictureCheckOptions options;
  options.control = control;
  if (std::max(job.picture->image.width, job.picture->image.height) > kLargeLongSide) {
    int level = 0;
    while (level + 1 < job.pyramid->Levels() &&
           std::max(job.pyramid->Size(level).width(), job.pyramid->Size(level).height()) > kSmallLongSide)
      ++level;
    Picture small;
    small.facts = job.picture->facts;
    small.image = job.pyramid->Level(level);
    small.facts.width = small.image.width;
    small.facts.height = small.image.height;
    if (auto report = CheckPicture(small, options))
      emit Ready(std::make_shared<const PictureReport>(std::move(*report)), job.start);
  }
  if (auto report = CheckPicture(*job.picture, options))
    emit Ready(std::make_shared<const PictureReport>(std::move(*report)), job.start);
}

}  // namespace armslength::app
