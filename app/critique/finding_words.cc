#include "app/critique/finding_words.h"

#include <cmath>

#include <QCoreApplication>

#include "report/words.h"

namespace armslength::app {
namespace {

QString Tr(const char* text) { return QCoreApplication::translate("FindingWords", text); }

}  // namespace

QString KindName(Kind kind) {
  switch (kind) {
    case Kind::kConstruction: return Tr(QT_TRANSLATE_NOOP("FindingWords", "construction"));
    case Kind::kCanon: return Tr(QT_TRANSLATE_NOOP("FindingWords", "your canon"));
    case Kind::kCraft: return Tr(QT_TRANSLATE_NOOP("FindingWords", "craft"));
    case Kind::kTaste: return Tr(QT_TRANSLATE_NOOP("FindingWords", "observation"));
    case Kind::kKeep: return Tr(QT_TRANSLATE_NOOP("FindingWords", "works"));
  }
  return {};
}

QString StageName(Stage stage) {
  switch (stage) {
    case Stage::kThumbnail: return Tr(QT_TRANSLATE_NOOP("FindingWords", "thumbnail"));
    case Stage::kConstruction: return Tr(QT_TRANSLATE_NOOP("FindingWords", "construction sketch"));
    case Stage::kSketch: return Tr(QT_TRANSLATE_NOOP("FindingWords", "clean sketch"));
    case Stage::kLine: return Tr(QT_TRANSLATE_NOOP("FindingWords", "line"));
    case Stage::kFlats: return Tr(QT_TRANSLATE_NOOP("FindingWords", "flats"));
    case Stage::kShading: return Tr(QT_TRANSLATE_NOOP("FindingWords", "shading"));
    case Stage::kLighting: return Tr(QT_TRANSLATE_NOOP("FindingWords", "lighting"));
    case Stage::kFinish: return Tr(QT_TRANSLATE_NOOP("FindingWords", "finish"));
  }
  return {};
}

QString WayName(RemedyWay way) {
  switch (way) {
    case RemedyWay::kGuide: return Tr(QT_TRANSLATE_NOOP("FindingWords", "Redraw over a guide"));
    case RemedyWay::kMove: return Tr(QT_TRANSLATE_NOOP("FindingWords", "Move, scale or turn the part"));
    case RemedyWay::kWarp: return Tr(QT_TRANSLATE_NOOP("FindingWords", "Bend it gently"));
    case RemedyWay::kRepaint: return Tr(QT_TRANSLATE_NOOP("FindingWords", "Repaint"));
    case RemedyWay::kLeave: return Tr(QT_TRANSLATE_NOOP("FindingWords", "Leave the drawing"));
  }
  return {};
}

QString CertaintyName(const Finding& finding) {
  if (finding.verdict == Verdict::kCannotTell)
    return Tr(QT_TRANSLATE_NOOP("FindingWords", "not settled by these marks"));
  const auto step = CertaintyOf(finding);
  if (!step) return {};
  switch (*step) {
    case CertaintyStep::kHint: return Tr(QT_TRANSLATE_NOOP("FindingWords", "a close call"));
    case CertaintyStep::kFairlySure: return Tr(QT_TRANSLATE_NOOP("FindingWords", "fairly sure"));
    case CertaintyStep::kSure: return Tr(QT_TRANSLATE_NOOP("FindingWords", "sure"));
    case CertaintyStep::kVerySure: return Tr(QT_TRANSLATE_NOOP("FindingWords", "very sure"));
  }
  return {};
}

QString MinutesName(double minutes) {
  if (!std::isfinite(minutes) || minutes <= 0.0) return {};
  if (minutes < 1.0) return Tr(QT_TRANSLATE_NOOP("FindingWords", "under a minute"));
  const int whole = static_cast<int>(std::lround(minutes));
  if (whole < 60) return Tr(QT_TRANSLATE_NOOP("FindingWords", "about %1 min")).arg(whole);
  if (whole % 60 == 0) return Tr(QT_TRANSLATE_NOOP("FindingWords", "about %1 h")).arg(whole / 60);
  return Tr(QT_TRANSLATE_NOOP("FindingWords", "about %1 h %2 min")).arg(whole / 60).arg(whole % 60);
}

QString SmallestVisible(const Finding& f) {
  if (!f.smallest_visible || !std::isfinite(*f.smallest_visible)) return {};
  if (OnlyGrossShows(f)) return Tr(QT_TRANSLATE_NOOP("FindingWords", "This view would show only what is grossly off"));
  return Tr(QT_TRANSLATE_NOOP("FindingWords", "The smallest that this view would show: %1"))
      .arg(QString::fromStdString(SmallestVisibleText(f)));
}

QString WideningName(const Widening& w) {
  if (w.disagreed == 0 || !w.needed) return {};
  const QString sure = *w.needed == CertaintyStep::kVerySure ? Tr(QT_TRANSLATE_NOOP("FindingWords", "very sure"))
                                                             : Tr(QT_TRANSLATE_NOOP("FindingWords", "sure"));
  return w.disagreed == 1
             ? Tr(QT_TRANSLATE_NOOP("FindingWords", "You have disagreed with this once; it needs to be %1 now.")).arg(sure)
             : Tr(QT_TRANSLATE_NOOP("FindingWords", "You have disagreed with this %1 times; it needs to be %2 now."))
                   .arg(w.disagreed)
                   .arg(sure);
}

}  // namespace armslength::app
