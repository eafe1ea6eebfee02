#include "app/critique/notes_beside.h"

#include <functional>

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QMouseEvent>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>

#include "app/critique/arrange.h"
#include "app/window/look_and_feel.h"
#include "report/words.h"

namespace armslength::app {
namespace {

// A line that can be pressed, with pen, mouse or Enter.
class PressRow : public QFrame {
 public:
  PressRow(std::function<void()> pressed, QWidget* parent) : QFrame(parent), pressed_(std::move(pressed)) {
    setFocusPolicy(Qt::StrongFocus);
    setMinimumHeight(34);
  }

 protected:
  void mousePressEvent(QMouseEvent*) override { pressed_(); }
  void keyPressEvent(QKeyEvent* event) override {
    if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter || event->key() == Qt::Key_Space) return pressed_();
    QFrame::keyPressEvent(event);
  }
  void paintEvent(QPaintEvent*) override {
    QPainter p(this);
    p.setRenderHint(QPainter::Antialiasing);
    p.setBrush(palette().color(QPalette::Base));
    p.setPen(hasFocus() ? QPen(palette().color(QPalette::WindowText), 1.5) : QPen(palette().color(QPalette::Mid), 1.0));
    p.drawRoundedRect(QRectF(rect()).adjusted(1, 1, -1, -1), 4, 4);
  }

 private:
  std::function<void()> pressed_;
};

}  // namespace

NotesBesideView::NotesBesideView(QWidget* parent) : QWidget(parent) {
  column_ = new QVBoxLayout(this);
  column_->setContentsMargins(0, 0, 0, 0);
  column_->setSpacing(5);
}

void NotesBesideView::Heading(const QString& text) {
  column_->addWidget(QuietText(text, this));
}

void NotesBesideView::Row(const QString& left, const QString& right, const QString& action, const QString& action_name,
                          const std::function<void()>& pressed, const std::function<void()>& acted) {
  auto* row = new PressRow(pressed, this);
  row->setAccessibleName(right.isEmpty() ? left : tr("%1; finding: %2").arg(left, right));
  auto* line = new QHBoxLayout(row);
  line->setContentsMargins(8, 5, 6, 5);
  line->setSpacing(8);
  auto* words = new QVBoxLayout;
  words->setSpacing(1);
  for (const bool second : {false, true}) {
    const QString& text = second ? right : left;
    if (text.isEmpty()) continue;
    QLabel* label = second ? QuietText(text, row) : new QLabel(text, row);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    words->addWidget(label);
  }
  line->addLayout(words, 1);
  if (!action.isEmpty()) {
    auto* button = new QPushButton(action, row);
    button->setAccessibleName(action_name);
    button->setToolTip(action_name);
    button->setMinimumHeight(30);
    button->setFlat(true);
    connect(button, &QPushButton::clicked, this, [acted] { acted(); });
    line->addWidget(button, 0, Qt::AlignVCenter);
  }
  column_->addWidget(row);
}

void NotesBesideView::Show(const std::vector<Note>& notes, const NotesBeside& beside, const QString& current) {
  while (QLayoutItem* item = column_->takeAt(0)) {
    if (QWidget* widget = item->widget()) {
      widget->hide();
      widget->deleteLater();
    }
    delete item;
  }
  if (notes.empty()) {
    Heading(tr("You wrote no notes before. Look first, note what you see, and then compare: that is how the eye learns."));
    return;
  }
  const auto note_at = [&](qint64 id) -> const Note* {
    for (const Note& n : notes)
      if (n.id == id) return &n;
    return nullptr;
  };
  if (!beside.both.empty()) Heading(tr("Both saw"));
  for (const Seen& s : beside.both) {
    const Note* note = note_at(s.note);
    if (!note) continue;
    const QString key = AnswerKey(*s.finding);
    Row(note->text, QString::fromStdString(ShortTitle(*s.finding)), s.linked ? tr("Unlink") : QString(),
        tr("Take back that this note is about that finding"), [this, key] { emit FindingChosen(key); },
        [this, id = s.note] { emit UnlinkAsked(id); });
  }
  if (!beside.only_you.empty()) Heading(tr("Only you saw"));
  for (const qint64 id : beside.only_you) {
    const Note* note = note_at(id);
    if (!note) continue;
    const bool stale = !note->finding.isEmpty();  // linked to a finding that is no longer there
    Row(note->text, QString(), current.isEmpty() ? QString() : tr("Link"),
        tr("This note is about the finding in front: %1").arg(current), [this, id] { emit NoteChosen(id); },
        [this, id] { emit LinkAsked(id); });
    if (stale) column_->itemAt(column_->count() - 1)->widget()->setToolTip(tr("The finding it was about is gone"));
  }
  if (!beside.only_tool.empty()) Heading(tr("Only the program saw"));
  for (const Finding* f : beside.only_tool) {
    const QString key = AnswerKey(*f);
    Row(QString::fromStdString(ShortTitle(*f)), QString(), QString(), QString(), [this, key] { emit FindingChosen(key); },
        [] {});
  }
}

}  // namespace armslength::app
