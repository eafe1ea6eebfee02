#pragma once
#include <functional>

#include <QWidget>

#include "app/critique/compare_notes.h"

class QVBoxLayout;

namespace armslength::app {

// The artist's notes beside the tool's findings: what both saw, what only one of them saw.
class NotesBesideView : public QWidget {
  Q_OBJECT
 public:
  explicit NotesBesideView(QWidget* parent = nullptr);
  // `current`: title of the finding in front, which a note can be linked to; empty: none.
  void Show(const std::vector<Note>& notes, const NotesBeside& beside, const QString& current);

 signals:
  void NoteChosen(qint64 note);
  void FindingChosen(const QString& answer_key);
  void LinkAsked(qint64 note);    // with the finding in front
  void UnlinkAsked(qint64 note);

 private:
  void Heading(const QString& text);
  void Row(const QString& left, const QString& right, const QString& action, const QString& action_name,
           const std::function<void()>& pressed, const std::function<void()>& acted);
  QVBoxLayout* column_ = nullptr;
};

}  // namespace armslength::app
