#include "app/places/look_place.h"

#include <algorithm>

#include <QComboBox>
#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QPainter>
#include <QPlainTextEdit>
#include <QVBoxLayout>

#include "app/canvas/halo.h"
#include "app/window/commands.h"
#include "app/window/key_button.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

const QString kGroup = QStringLiteral("look");
constexpr double kSpot = 6.0;  // widget px; a smaller drag is a spot, not a region
constexpr int kLookSeconds = 30;

QString KindName(Note::Kind kind) {
  switch (kind) {
    case Note::Kind::kWrong: return LookPlace::tr("Wrong");
    case Note::Kind::kOtherwise: return LookPlace::tr("Otherwise");
    case Note::Kind::kKeep: return LookPlace::tr("Keep");
  }
  return {};
}

QString LookName(Note::Look look) {
  switch (look) {
    case Note::Look::kFirst: return LookPlace::tr("First");
    case Note::Look::kMirrored: return LookPlace::tr("Mirrored");
    case Note::Look::kChecklist: return LookPlace::tr("Checklist");
  }
  return {};
}

}  // namespace

LookPlace::LookPlace(Document& document, Canvas& canvas, Commands& commands, QWidget* parent)
    : Place(parent), document_(document), canvas_(canvas), views_(new LookViews(canvas, commands, this)) {
  canvas_.AddLayer(this);
  AddCommands(commands);
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(kGap);
  MakeViews(column, commands);
  column->addSpacing(kGap);
  MakeWriting(column, commands);
  connect(&tick_, &QTimer::timeout, this, &LookPlace::Tick);
  connect(views_, &LookViews::MirroredChanged, this, [this](bool on) {
    if (look_ != Note::Look::kChecklist) SetLook(on ? Note::Look::kMirrored : Note::Look::kFirst);
  });
  connect(&document_, &Document::NotesChanged, this, &LookPlace::Refresh);
  SetLook(Note::Look::kFirst);
  kinds_[0]->setChecked(true);
  Refresh();
}

void LookPlace::AddCommands(Commands& c) {
  const auto key = [](const char* k) { return QKeySequence(QLatin1String(k)); };
  c.Add(QStringLiteral("look.timed"), kGroup, tr("Look for %1 s").arg(kLookSeconds), key("X"), [this] { ToggleTimer(); });
  timed_ = c.Find(QStringLiteral("look.timed"));
  timed_->setCheckable(true);
  timed_->setStatusTip(tr("Look without writing, then write what stayed; again to stop"));
  c.Add(QStringLiteral("look.write"), kGroup, tr("Write a note"), key("C"), [this] { text_->setFocus(); });
  const char* keys[] = {"1", "2", "3"};
  const char* ids[] = {"look.wrong", "look.otherwise", "look.keep"};
  for (int i = 0; i < 3; ++i) {
    const auto kind = static_cast<Note::Kind>(i);
    auto* a = c.Add(QLatin1String(ids[i]), kGroup, KindName(kind), key(keys[i]), [this, kind] { SetKind(kind); });
    a->setCheckable(true);
    kinds_[i] = a;
  }
  kinds_[0]->setStatusTip(tr("It is wrong"));
  kinds_[1]->setStatusTip(tr("I would like it otherwise: taste"));
  kinds_[2]->setStatusTip(tr("It works: keep it"));
  const char* look_ids[] = {"look.first", "look.mirrored_look", "look.checklist"};
  for (int i = 0; i < 3; ++i) {
    const auto look = static_cast<Note::Look>(i);
    auto* a = c.Add(QLatin1String(look_ids[i]), kGroup, LookName(look), QKeySequence(), [this, look] { SetLook(look); });
    a->setCheckable(true);
    looks_[i] = a;
  }
  looks_[0]->setStatusTip(tr("What you see unaided"));
  looks_[1]->setStatusTip(tr("What the mirrored picture shows"));
  looks_[2]->setStatusTip(tr("What a list of questions brings up"));
  add_ = c.Add(QStringLiteral("look.add"), kGroup, tr("Add note"), key("Ctrl+Return"), [this] { AddNote(); });
  rewrite_ = c.Add(QStringLiteral("look.rewrite"), kGroup, tr("Rewrite"), key("Z"), [this] { ToggleRewriting(); });
  rewrite_->setCheckable(true);
  rewrite_->setStatusTip(tr("The chosen note's words, kind and pin; again to leave it as it was"));
  c.Add(QStringLiteral("look.remove"), kGroup, tr("Remove note"), QKeySequence::Delete, [this] {
     RemoveNote();
   })->setStatusTip(tr("The chosen note; undo brings it back"));
}

void LookPlace::MakeViews(QVBoxLayout* column, Commands& commands) {
  auto* grid = new QGridLayout;
  grid->setSpacing(kSmallGap);
  int i = 0;
  for (QAction* view : views_->Actions()) {
    grid->addWidget(new KeyButton(view, this), i / 2, i % 2);
    ++i;
  }
  grid->addWidget(new KeyButton(commands.Find(QStringLiteral("look.plain")), this), i / 2, 0);
  grid->addWidget(new KeyButton(commands.Find(QStringLiteral("look.timed")), this), i / 2, 1);
  column->addLayout(grid);
}

void LookPlace::MakeWriting(QVBoxLayout* column, Commands& commands) {
  column->addWidget(Heading(tr("What do you see?"), this));
  clock_ = QuietText(tr("In your own words, before the program says anything. Click or drag on the picture to pin a note."), this);
  column->addWidget(clock_);
  const auto row = [&](QAction* const (&actions)[3]) {
    auto* line = new QHBoxLayout;
    line->setSpacing(kSmallGap);
    for (QAction* a : actions) line->addWidget(new KeyButton(a, this));
    column->addLayout(line);
  };
  row(looks_);
  questions_ = new QLabel(tr("Does the weight rest over the feet?\nAre both eyes on the line the turn asks for?\n"
                             "Would each limb, unbent, be as long as its twin?\nWhere does the light come from, everywhere?\n"
                             "What is seen first, and should it be?\nDo edges touch that should cross or part?"),
                          this);
  questions_->setWordWrap(true);
  column->addWidget(questions_);
  text_ = new QPlainTextEdit(this);
  text_->setAccessibleName(tr("Your note"));
  text_->setPlaceholderText(tr("One thing per note"));
  text_->setFixedHeight(72);
  text_->setTabChangesFocus(true);
  column->addWidget(text_);
  row(kinds_);
  auto* last = new QHBoxLayout;
  last->setSpacing(kSmallGap);
  pinned_ = QuietText({}, this);
  last->addWidget(pinned_, 1);
  last->addWidget(new KeyButton(commands.Find(QStringLiteral("look.add")), this, KeyButton::Weight::kStrong));
  column->addLayout(last);
  list_ = new QListWidget(this);
  list_->setAccessibleName(tr("Your notes"));
  list_->setWordWrap(true);
  list_->setMinimumHeight(110);
  list_->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Ignored);
  column->addWidget(list_, 1);
  on_chosen_ = new QWidget(this);
  auto* chosen = new QHBoxLayout(on_chosen_);
  chosen->setContentsMargins(0, 0, 0, 0);
  chosen->setSpacing(kSmallGap);
  for (const char* id : {"look.rewrite", "look.remove"}) chosen->addWidget(new KeyButton(commands.Find(QLatin1String(id)), on_chosen_));
  column->addWidget(on_chosen_);
  rest_ = new QWidget(this);  // takes the list's room while there is none
  column->addWidget(rest_, 1);
  finding_ = new QComboBox(this);
  finding_->setAccessibleName(tr("Finding the chosen note is about"));
  finding_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
  finding_->setMinimumHeight(34);
  finding_->hide();
  column->addWidget(finding_);
  connect(list_, &QListWidget::currentItemChanged, this, [this] {
    const Note* note = Chosen();
    if (filling_ || !note) return;
    if (here_) canvas_.update();
    finding_->setCurrentIndex(std::max(0, finding_->findData(note->finding)));
  });
  connect(list_, &QListWidget::itemActivated, this, [this] {
    if (const Note* note = Chosen(); note && note->where_px) canvas_.CentreOn(note->where_px->center());
  });
  connect(finding_, &QComboBox::activated, this, [this] {
    const QString id = finding_->currentData().toString();
    if (const Note* note = Chosen()) EditNote([&](Note& n) { n.finding = id; }, tr("Link note"), note->id);
  });
}

QString LookPlace::Help() const {
  return tr("See the picture as if for the first time: each key shows it in another way. Write what you notice first, by "
            "yourself; then mirrored; then with the questions. The program's own findings come after, and the Critique "
            "place sets both beside each other.");
}

void LookPlace::Enter() {
  here_ = true;
  canvas_.SetMagnifier(false);
  canvas_.setCursor(Qt::CrossCursor);
  canvas_.update();
}

void LookPlace::Leave() {
  here_ = false;
  views_->Reset();
  StopTimer();
  if (text_->toPlainText().trimmed().isEmpty()) pin_px_.reset();  // a half-written note keeps its place
  press_px_.reset();
  canvas_.unsetCursor();
}

void LookPlace::ToggleTimer() {
  if (tick_.isActive()) return StopTimer();
  since_.start();
  tick_.start(200);
  Tick();
}

void LookPlace::StopTimer() {
  if (!tick_.isActive()) return;
  tick_.stop();
  timed_->setChecked(false);
  text_->setEnabled(true);
  clock_->setText(tr("Now write down what stayed."));
}

void LookPlace::Tick() {
  const int left = kLookSeconds - static_cast<int>(since_.elapsed() / 1000);
  clock_->setText(left > 0 ? tr("Look: %n second(s)", nullptr, left) : tr("Now write down what stayed."));
  timed_->setChecked(left > 0);
  text_->setEnabled(left <= 0);
  if (left <= 0) {
    StopTimer();
    text_->setFocus();
  }
}

void LookPlace::SetLook(Note::Look look) {
  look_ = look;
  for (int i = 0; i < 3; ++i) looks_[i]->setChecked(i == static_cast<int>(look));
  questions_->setVisible(look == Note::Look::kChecklist);
}

void LookPlace::AddNote() {
  const QString text = text_->toPlainText().trimmed();
  if (text.isEmpty()) {
    text_->setFocus();
    return;
  }
  if (rewriting_) {
    const qint64 id = *rewriting_;
    const auto pin = pin_px_;
    EditNote(
        [&](Note& n) {
          n.text = text;
          n.kind = kind_;
          n.where_px = pin;
        },
        tr("Rewrite note"), id);
    SetRewriting({});
    canvas_.setFocus();
    return;
  }
  Work work = document_.Current();
  Note note;
  for (const Note& n : work.notes) note.id = std::max(note.id, n.id);
  ++note.id;
  note.text = text;
  note.kind = kind_;
  note.look = look_;
  note.where_px = pin_px_;
  work.notes.push_back(note);
  pin_px_.reset();
  text_->clear();
  document_.Change(tr("Add note"), std::move(work));
  Refresh();
  list_->setCurrentRow(list_->count() - 1);
  canvas_.setFocus();
}

const Note* LookPlace::Chosen() const {
  const QListWidgetItem* item = list_->currentItem();
  if (!item) return nullptr;
  for (const Note& n : document_.Current().notes)
    if (n.id == item->data(Qt::UserRole).toLongLong()) return &n;
  return nullptr;
}

void LookPlace::KeepDraft() {
  if (!text_->toPlainText().trimmed().isEmpty()) AddNote();
  SetRewriting({});
  pin_px_.reset();
  SayPinned();
}

void LookPlace::ToggleRewriting() {
  const Note* chosen = Chosen();
  if (rewriting_ || !chosen) return SetRewriting({});
  const qint64 id = chosen->id;
  if (!text_->toPlainText().trimmed().isEmpty()) AddNote();  // a draft in the field is a note of its own
  SetRewriting(id);
  text_->setFocus();
}

void LookPlace::SetRewriting(std::optional<qint64> id) {
  if (rewriting_ || id) {  // the field holds that note's words, no draft
    text_->clear();
    pin_px_.reset();
  }
  rewriting_ = id;
  for (const Note& n : document_.Current().notes)
    if (id && n.id == *id) {
      text_->setPlainText(n.text);
      text_->moveCursor(QTextCursor::End);
      pin_px_ = n.where_px;
      SetKind(n.kind);
    }
  rewrite_->setChecked(id.has_value());
  add_->setText(id ? tr("Save note") : tr("Add note"));
  SayPinned();
  canvas_.update();
}

void LookPlace::SetKind(Note::Kind kind) {
  kind_ = kind;
  for (int k = 0; k < 3; ++k) kinds_[k]->setChecked(k == static_cast<int>(kind));
}

void LookPlace::SayPinned() {
  pinned_->setText(!pin_px_ ? QString() : pin_px_->isEmpty() ? tr("Pinned to a spot") : tr("Pinned to a region"));
}

void LookPlace::EditNote(const std::function<void(Note&)>& edit, const QString& text, qint64 id) {
  Work work = document_.Current();
  for (Note& n : work.notes)
    if (n.id == id) edit(n);
  document_.Change(text, std::move(work));
}

void LookPlace::RemoveNote() {
  const Note* chosen = Chosen();
  if (!chosen) return;
  const qint64 id = chosen->id;
  Work work = document_.Current();
  std::erase_if(work.notes, [&](const Note& n) { return n.id == id; });
  document_.Change(tr("Remove note"), std::move(work));
}

void LookPlace::SetFindings(const std::vector<std::pair<QString, QString>>& findings) {
  const QString now = finding_->currentData().toString();
  finding_->clear();
  finding_->addItem(tr("About no finding"), QString());
  for (const auto& [id, title] : findings) finding_->addItem(title, id);
  finding_->setCurrentIndex(std::max(0, finding_->findData(now)));
  finding_->setVisible(!findings.empty());
}

void LookPlace::Refresh() {
  filling_ = true;
  const int row = list_->currentRow();
  list_->clear();
  int number = 0;
  for (const Note& note : document_.Current().notes) {
    auto* item = new QListWidgetItem(QStringLiteral("%1  %2\n%3").arg(++number).arg(
                                         note.text, tr("%1, %2 look").arg(KindName(note.kind), LookName(note.look).toLower())),
                                     list_);
    item->setData(Qt::UserRole, note.id);
  }
  list_->setCurrentRow(std::min(row, list_->count() - 1));
  list_->setVisible(list_->count() > 0);
  rest_->setVisible(list_->count() == 0);
  on_chosen_->setVisible(list_->count() > 0);
  SayPinned();
  filling_ = false;
  if (rewriting_ && std::ranges::find(document_.Current().notes, *rewriting_, &Note::id) == document_.Current().notes.end())
    SetRewriting({});
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
    Refresh();
    if (text_->isEnabled()) text_->setFocus();
  }
  canvas_.update();
  return true;
}

void LookPlace::Paint(QPainter& painter, const QTransform& transform) {
  if (!here_) return;
  const auto pin = [&](const QRectF& where, const QString& label, bool strong) {
    const QRectF box = transform.mapRect(where);
    const bool region = where.width() > 0.0 || where.height() > 0.0;
    painter.setBrush(Qt::NoBrush);
    for (const bool under : {true, false}) {
      painter.setPen(QPen(under ? HaloColour() : QColor(30, 30, 30), under ? 4.5 : strong ? 2.2 : 1.5));
      if (region)
        painter.drawRect(box);
      else
        painter.drawEllipse(box.center(), 8.0, 8.0);
    }
    if (!label.isEmpty()) NumberDisc(painter, region ? box.topLeft() : box.center() + QPointF(0, -18.0), label);
  };
  const Note* chosen = Chosen();
  int number = 0;
  for (const Note& note : document_.Current().notes) {
    ++number;
    if (note.where_px) pin(*note.where_px, QString::number(number), &note == chosen);
  }
  if (pin_px_) pin(*pin_px_, {}, true);
}

}  // namespace armslength::app
