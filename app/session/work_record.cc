#include "app/session/work_record.h"

#include "app/critique/arrange.h"
#include "marks/marks_file.h"

namespace armslength::app {
namespace {

Judgement ToJudgement(const QString& key, Answer answer) {
  const auto [finding, figure] = AnswerParts(key);
  return {finding.toStdString(), figure.toStdString(), answer, 0};
}

QString ToKey(const Judgement& j) {
  const QString id = QString::fromStdString(j.finding);
  return j.figure.empty() ? id : id + QLatin1Char('@') + QString::fromStdString(j.figure);
}

}  // namespace

SavedWork ToRecord(const Work& work) {
  SavedWork saved;
  if (!work.marks.figures.empty()) saved.marks_json = MarksToJson(work.marks);
  for (const Note& n : work.notes) {
    JournalNote note;
    note.number = n.id;
    note.text = n.text.toStdString();
    note.kind = static_cast<NoteKind>(n.kind);
    note.look = static_cast<NoteLook>(n.look);
    if (n.where_px) note.where_px = {n.where_px->x(), n.where_px->y(), n.where_px->width(), n.where_px->height()};
    note.finding = n.finding.toStdString();
    saved.notes.push_back(std::move(note));
  }
  for (const QString& key : work.agreed) saved.judgements.push_back(ToJudgement(key, Answer::kAgree));
  for (const QString& key : work.not_so) saved.judgements.push_back(ToJudgement(key, Answer::kNotSo));
  for (const FigureMarks& figure : work.marks.figures)
    for (const std::string& id : figure.meant) saved.judgements.push_back({id, figure.name, Answer::kMeant, 0});
  saved.stage = work.stage;
  saved.characters = work.characters;
  return saved;
}

Result<Work> FromRecord(const SavedWork& saved, const MarkedPicture& picture) {
  Work work;
  if (saved.marks_json.empty()) {
    work.marks.picture = picture;
  } else {
    auto marks = ParseMarks(saved.marks_json, "journal");
    if (!marks) return tl::unexpected(marks.error());
    work.marks = std::move(*marks);
  }
  for (const JournalNote& n : saved.notes) {
    Note note;
    note.id = n.number;
    note.text = QString::fromStdString(n.text);
    note.kind = static_cast<Note::Kind>(n.kind);
    note.look = static_cast<Note::Look>(n.look);
    if (n.where_px) note.where_px = QRectF((*n.where_px)[0], (*n.where_px)[1], (*n.where_px)[2], (*n.where_px)[3]);
    note.finding = QString::fromStdString(n.finding);
    work.notes.push_back(std::move(note));
  }
  for (const Judgement& j : saved.judgements) {
    if (j.answer == Answer::kAgree) work.agreed.push_back(ToKey(j));
    if (j.answer == Answer::kNotSo) work.not_so.push_back(ToKey(j));
  }
  work.stage = saved.stage;
  work.characters = saved.characters;
  // The picture may have been saved at another size since.
  if (work.marks.picture.width > 0 &&
      (work.marks.picture.width != picture.width || work.marks.picture.height != picture.height)) {
    work = Scaled(std::move(work), static_cast<double>(picture.width) / work.marks.picture.width,
                  static_cast<double>(picture.height) / work.marks.picture.height);
  }
  work.marks.picture = picture;
  return work;
}

}  // namespace armslength::app
