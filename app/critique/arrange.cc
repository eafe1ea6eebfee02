#include "app/critique/arrange.h"

#include <algorithm>

namespace armslength::app {
namespace {

const std::vector<std::string>* MeantOf(const std::string& figure, const Marks& marks) {
  for (const FigureMarks& f : marks.figures)
    if (f.name == figure) return &f.meant;
  return nullptr;
}

bool Meant(const Finding& finding, const Marks& marks) {
  if (const auto* own = MeantOf(finding.figure, marks)) return IsMeant(finding.id, *own);
  if (!finding.figure.empty()) return false;
  return std::any_of(marks.figures.begin(), marks.figures.end(),
                     [&](const FigureMarks& f) { return IsMeant(finding.id, f.meant); });
}

bool Holds(const std::vector<QString>& keys, const QString& key) { return std::ranges::find(keys, key) != keys.end(); }

}  // namespace

QString AnswerKey(const Finding& finding) {
  const QString id = QString::fromStdString(finding.id);
  return finding.figure.empty() ? id : id + QLatin1Char('@') + QString::fromStdString(finding.figure);
}

std::pair<QString, QString> AnswerParts(const QString& key) {
  const auto at = key.indexOf(QLatin1Char('@'));  // ids hold no @, names may
  return at < 0 ? std::pair(key, QString()) : std::pair(key.left(at), key.mid(at + 1));
}

Given AnswerTo(const Finding& finding, const Work& work) {
  if (Meant(finding, work.marks)) return Given::kMeant;
  const QString key = AnswerKey(finding);
  if (Holds(work.not_so, key)) return Given::kNotSo;
  return Holds(work.agreed, key) ? Given::kAgree : Given::kNothing;
}

Work WithAnswer(Work work, const Finding& finding, Given answer) {
  const QString key = AnswerKey(finding);
  std::erase(work.agreed, key);
  std::erase(work.not_so, key);
  auto& figures = work.marks.figures;
  // Taking "meant" back takes back whatever declaration covers this finding.
  const auto covers = [&](const std::string& declared) { return IsMeant(finding.id, {declared}); };
  for (FigureMarks& f : figures)
    if (f.name == finding.figure || finding.figure.empty()) std::erase_if(f.meant, covers);
  switch (answer) {
    case Given::kNothing: break;
    case Given::kAgree: work.agreed.push_back(key); break;
    case Given::kNotSo: work.not_so.push_back(key); break;
    case Given::kMeant: {
      auto figure = std::ranges::find(figures, finding.figure, &FigureMarks::name);
      if (figure == figures.end()) {
        if (figures.empty()) {
          FigureMarks first;
          first.name = "figure 1";  // a name of the marks file, not of the window
          figures.push_back(std::move(first));
        }
        figure = figures.begin();
      }
      figure->meant.push_back(finding.id);
      break;
    }
  }
  return work;
}

Arranged Arrange(const Measured& measured, const Work& work, const ArtistRecord& record, const FindingFilter& filter) {
  Arranged out;
  std::vector<Finding> counted;
  for (const Finding& f : measured.findings) {
    if ((filter.kind && f.kind != *filter.kind) || (filter.stage && f.stage != *filter.stage)) continue;
    Finding finding = f;
    finding.meant = Meant(f, work.marks);
    const bool answered = finding.verdict == Verdict::kOff && finding.kind != Kind::kKeep &&
                          AnswerTo(finding, work) == Given::kNotSo;
    (answered ? out.disagreed : counted).push_back(std::move(finding));
  }
  out.softened = ApplyRecord(record, counted);
  std::vector<FigureCritique> figures = measured.figures;
  for (FigureCritique& figure : figures)
    if (const auto* meant = MeantOf(figure.marks.name, work.marks)) figure.marks.meant = *meant;
  out.critique = Rank(measured.picture, std::move(figures), std::move(counted), work.stage);
  return out;
}

}  // namespace armslength::app
