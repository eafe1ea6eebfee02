#include "app/places/look_place.h"

#include <algorithm>
#include <cmath>

#include <QButtonGroup>
#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QPainter>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QShortcut>
#include <QVBoxLayout>

#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

constexpr double kSpot = 6.0;  // widget px; a smaller drag is a spot, not a region

QString KindName(Note::Kind kind) {
  switch (kind) {
    case Note::Kind::kWrong: return LookPlace::tr("wrong");
    case Note::Kind::kOtherwise: return LookPlace::tr("like otherwise");
    case Note::Kind::kKeep: return LookPlace::tr("keep");
  }
  return {};
}

QString LookName(Note::Look look) {
  switch (look) {
    case Note::Look::kFirst: return LookPlace::tr("first look");
    case Note::Look::kMirrored: return LookPlace::tr("mirrored");
    case Note::Look::kChecklist: return LookPlace::tr("checklist");
  }
  return {};
}

}  // namespace

QPushButton* LookPlace::ViewButton(const QString& text, const QString& key, const std::function<void(bool)>& toggled) {
  auto* button = new QPushButton(QStringLiteral("%1   %2").arg(key, text), this);
  button->setCheckable(true);
  button->setMinimumHeight(34);
  button->setAccessibleName(text);
  button->setStyleSheet(QStringLiteral("text-align:left; padding-left:10px"));
  auto* shortcut = new QShortcut(QKeySequence(key), this);
  shortcut->setContext(Qt::WindowShortcut);
  connect(shortcut, &QShortcut::activated, this, [this, button] {
    if (here_) button->toggle();
  });
  connect(button, &QPushButton::toggled, this, toggled);
  return button;
}

LookPlace::LookPlace(Document& document, Canvas& canvas, QWidget* parent)
    : Place(parent), document_(document), canvas_(canvas) {
  canvas_.AddLayer(this);
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(12, 12, 12, 12);
  column->setSpacing(8);

  auto* views = new QGridLayout;
  views->setSpacing(4);
  auto* mirrored = ViewButton(tr("Mirrored"), QStringLiteral("Q"), [this](bool on) { canvas_.SetMirrored(on); });
  auto* upside = ViewButton(tr("Upside down"), QStringLiteral("W"), [this](bool on) { canvas_.SetUpsideDown(on); });
  auto* grey = ViewButton(tr("Grey"), QStringLiteral("E"), [this](bool on) {
    canvas_.SetFilter(on ? ViewFilter::kGrey : ViewFilter::kColour);
  });
  auto* groups = ViewButton(tr("Three values"), QStringLiteral("R"), [this](bool on) {
    canvas_.SetFilter(on ? ViewFilter::kGroups3 : ViewFilter::kColour);
  });
  auto* blurred = ViewButton(tr("Blurred"), QStringLiteral("A"), [this](bool on) { canvas_.SetBlur(on ? 3 : 0); });
  auto* small = ViewButton(tr("Small"), QStringLiteral("S"), [this](bool on) { canvas_.SetSmall(on ? 160 : 0); });
  // Grey and values are two answers to one question.
  connect(grey, &QPushButton::toggled, groups, [groups](bool on) { if (on) groups->setChecked(false); });
  connect(groups, &QPushButton::toggled, grey, [grey](bool on) { if (on) grey->setChecked(false); });
  QPushButton* all[] = {mirrored, upside, grey, groups, blurred, small};
  for (int i = 0; i < 6; ++i) views->addWidget(all[i], i / 2, i % 2);
  column->addLayout(views);
  auto* plain = new QPushButton(tr("As drawn"), this);
  plain->setMinimumHeight(34);
  connect(plain, &QPushButton::clicked, this, [all] { for (QPushButton* b : all) b->setChecked(false); });
  column->addWidget(plain);

  auto* timed = new QHBoxLayout;
  start_ = new QPushButton(tr("Timed first look"), this);
  start_->setMinimumHeight(34);
  clock_ = new QLabel(tr("30 seconds, then write"), this);
  timed->addWidget(start_);
  timed->addWidget(clock_, 1);
  column->addLayout(timed);
  connect(start_, &QPushButton::clicked, this, [this] {
    since_.start();
    tick_.start(200);
    Tick();
  });
  connect(&tick_, &QTimer::timeout, this, &LookPlace::Tick);

  auto* heading = new QLabel(tr("What do you see? Click or drag on the picture to pin it."), this);
  heading->setWordWrap(true);
  column->addWidget(heading);
  text_ = new QPlainTextEdit(this);
  text_->setPlaceholderText(tr("In your own words"));
  text_->setAccessibleName(tr("Your note"));
  text_->setMaximumHeight(76);
  text_->setTabChangesFocus(true);
  column->addWidget(text_);

  const auto row = [&](QButtonGroup*& group, std::initializer_list<QString> names) {
    auto* line = new QHBoxLayout;
    line->setSpacing(4);
    group = new QButtonGroup(this);
    int id = 0;
    for (const QString& name : names) {
      auto* b = new QPushButton(name, this);
      b->setCheckable(true);
      b->setMinimumHeight(32);
      group->addButton(b, id++);
      line->addWidget(b);
    }
    group->button(0)->setChecked(true);
    column->addLayout(line);
  };
  row(kind_, {KindName(Note::Kind::kWrong), KindName(Note::Kind::kOtherwise), KindName(Note::Kind::kKeep)});
  row(look_, {LookName(Note::Look::kFirst), LookName(Note::Look::kMirrored), LookName(Note::Look::kChecklist)});
  connect(mirrored, &QPushButton::toggled, this, [this](bool on) {
    if (look_->checkedId() != static_cast<int>(Note::Look::kChecklist))
      look_->button(static_cast<int>(on ? Note::Look::kMirrored : Note::Look::kFirst))->setChecked(true);
  });

  auto* add = new QPushButton(tr("Add note"), this);
  add->setMinimumHeight(36);
  add->setShortcut(QKeySequence(Qt::CTRL | Qt::Key_Return));
  connect(add, &QPushButton::clicked, this, &LookPlace::AddNote);
  column->addWidget(add);
  list_ = new QListWidget(this);
  list_->setAccessibleName(tr("Your notes"));
  list_->setWordWrap(true);
  column->addWidget(list_, 1);
  connect(list_, &QListWidget::itemActivated, this, [this](QListWidgetItem* item) {
    for (const Note& note : document_.Current().notes)
      if (note.id == item->data(Qt::UserRole).toLongLong() && note.where_px)
        canvas_.CentreOn(note.where_px->center());
  });
  auto* remove = new QShortcut(QKeySequence::Delete, list_, nullptr, nullptr, Qt::WidgetShortcut);
  connect(remove, &QShortcut::activated, this, [this] {
    if (!list_->currentItem()) return;
    const qint64 id = list_->currentItem()->data(Qt::UserRole).toLongLong();
    Work work = document_.Current();
    std::erase_if(work.notes, [&](const Note& n) { return n.id == id; });
    document_.Change(tr("Remove note"), std::move(work));
  });
  connect(&document_, &Document::NotesChanged, this, &LookPlace::Refresh);
}

void LookPlace::Enter() { here_ = true; }

void LookPlace::Leave() {
  here_ = false;
  pin_px_.reset();
  press_px_.reset();
}

void LookPlace::Tick() {
  const int left = 30 - static_cast<int>(since_.elapsed() / 1000);
  clock_->setText(left > 0 ? tr("Look: %n second(s)", nullptr, left) : tr("Now write"));
  text_->setEnabled(left <= 0);
  if (left <= 0) {
    tick_.stop();
    text_->setFocus();
  }
}

void LookPlace::AddNote() {
  const QString text = text_->toPlainText().trimmed();
  if (text.isEmpty()) {
    text_->setFocus();
    return;
  }
  Work work = document_.Current();
  Note note;
  for (const Note& n : work.notes) note.id = std::max(note.id, n.id);
  ++note.id;
  note.text = text;
  note.kind = static_cast<Note::Kind>(kind_->checkedId());
  note.look = static_cast<Note::Look>(look_->checkedId());
  note.where_px = pin_px_;
  work.notes.push_back(note);
  document_.Change(tr("Add note"), std::move(work));
  text_->clear();
  pin_px_.reset();
  canvas_.update();
}

void LookPlace::Refresh() {
  list_->clear();
  int number = 0;
  for (const Note& note : document_.Current().notes) {
    auto* item = new QListWidgetItem(
        QStringLiteral("%1  %2\n%3, %4").arg(++number).arg(note.text, KindName(note.kind), LookName(note.look)), list_);
    item->setData(Qt::UserRole, note.id);
  }
  canvas_.update();
}

bool LookPlace::Handle(const Pointer& pointer, const QPointF& at, double zoom) {
  if (!here_) return false;
  if (pointer.kind == Pointer::Kind::kPress && pointer.button == Qt::LeftButton) {
    press_px_ = at;
    pin_px_ = QRectF(at, QSizeF(0, 0));
    canvas_.update();
    return true;
  }
  if (!press_px_) return false;
  const QRectF box = QRectF(*press_px_, at).normalized();
  pin_px_ = std::max(box.width(), box.height()) * zoom > kSpot ? box : QRectF(*press_px_, QSizeF(0, 0));
  if (pointer.kind == Pointer::Kind::kRelease) {
    press_px_.reset();
    text_->setFocus();
  }
  canvas_.update();
  return true;
}

void LookPlace::Paint(QPainter& painter, const QTransform& transform) {
  if (!here_) return;
  const auto pin = [&](const QRectF& where, const QString& label, bool strong) {
    const QRectF box = transform.mapRect(where);
    painter.setBrush(Qt::NoBrush);
    for (const bool under : {true, false}) {
      painter.setPen(QPen(under ? QColor(255, 255, 255, 220) : QColor(30, 30, 30), under ? 4.0 : strong ? 2.0 : 1.5));
      if (where.width() > 0.0)
        painter.drawRect(box);
      else
        painter.drawEllipse(box.center(), 9.0, 9.0);
    }
    if (label.isEmpty()) return;
    const QRectF tag(box.center() - QPointF(9, where.width() > 0.0 ? box.height() / 2 + 9 : 9), QSizeF(18, 18));
    painter.setBrush(QColor(30, 30, 30));
    painter.setPen(Qt::NoPen);
    painter.drawEllipse(tag);
    painter.setPen(Qt::white);
    painter.drawText(tag, Qt::AlignCenter, label);
  };
  int number = 0;
  for (const Note& note : document_.Current().notes) {
    ++number;
    if (note.where_px) pin(*note.where_px, QString::number(number), false);
  }
  if (pin_px_) pin(*pin_px_, {}, true);
}

}  // namespace armslength::app
