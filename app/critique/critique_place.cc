#include "app/critique/critique_place.h"

#include <algorithm>

#include <QAction>
#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QScrollArea>
#include <QVBoxLayout>

#include "app/critique/finding_words.h"
#include "app/critique/notes_beside.h"
#include "app/critique/section.h"
#include "app/critique/shape_painter.h"
#include "app/window/commands.h"
#include "marks/marks_file.h"
#include "report/shapes.h"
#include "report/words.h"

namespace armslength::app {
namespace {

// Lists below the first three, in the order they are shown.
enum List { kRest, kCovered, kObservations, kCannotTell, kDisagreed, kMeantList, kKeepList, kClearList, kListCount };

const QString kGroup = QStringLiteral("critique");

template <typename List>
std::vector<const Finding*> Pointers(const List& findings) {
  std::vector<const Finding*> pointers;
  for (const auto& f : findings) pointers.push_back(&f);
  return pointers;
}

bool AnyFigure(const Document& document) {
  return std::ranges::any_of(document.Current().marks.figures, [](const FigureMarks& f) { return !f.points.empty(); });
}

}  // namespace

CritiquePlace::CritiquePlace(Document& document, Canvas& canvas, Commands& commands, QWidget* parent)
    : Place(parent), document_(document), canvas_(canvas), commands_(commands) {
  canvas_.AddLayer(this);
  commands_.Add(QStringLiteral("critique.previous"), kGroup, tr("Previous finding"), QKeySequence(QStringLiteral("Q")),
                [this] { Step(-1); });
  commands_.Add(QStringLiteral("critique.next"), kGroup, tr("Next finding"), QKeySequence(QStringLiteral("W")), [this] { Step(1); });
  commands_.Add(QStringLiteral("critique.show"), kGroup, tr("Show it on the picture"), QKeySequence(QStringLiteral("E")),
                [this] { ShowOnPicture(); });
  commands_.Add(QStringLiteral("critique.agree"), kGroup, tr("Agree"), QKeySequence(QStringLiteral("A")),
                [this] { Answer(Given::kAgree); });
  commands_.Add(QStringLiteral("critique.not_so"), kGroup, tr("Not so"), QKeySequence(QStringLiteral("S")),
                [this] { Answer(Given::kNotSo); });
  commands_.Add(QStringLiteral("critique.meant"), kGroup, tr("Meant"), QKeySequence(QStringLiteral("D")),
                [this] { Answer(Given::kMeant); });
  connect(&commands_, &Commands::KeysChanged, this, [this] { rebuild_soon_.start(); });

  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(8);

  auto* filters = new QHBoxLayout;
  filters->setSpacing(6);
  const auto filter = [&](const QString& all, const QString& name) {
    auto* box = new QComboBox(this);
    box->setAccessibleName(name);
    box->setMinimumHeight(34);
    box->setMinimumContentsLength(8);
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->addItem(all, -1);
    filters->addWidget(box, 1);
    connect(box, &QComboBox::currentIndexChanged, this, &CritiquePlace::Rebuild);
    return box;
  };
  kind_ = filter(tr("All kinds"), tr("Kind of finding"));
  for (const Kind k : {Kind::kConstruction, Kind::kCanon, Kind::kCraft, Kind::kTaste, Kind::kKeep})
    kind_->addItem(KindName(k), static_cast<int>(k));
  stage_ = filter(tr("All stages"), tr("Stage of the finding"));
  for (int s = 0; s <= static_cast<int>(Stage::kFinish); ++s) stage_->addItem(StageName(static_cast<Stage>(s)), s);
  // What the artist says first, then what they want to see of the answer.
  auto* said = new QHBoxLayout;
  said->setSpacing(6);
  auto* label = new QLabel(tr("The piece is at"), this);
  piece_at_ = new QComboBox(this);
  piece_at_->setAccessibleName(tr("Stage the piece is at"));
  piece_at_->setToolTip(tr("What belongs to a later stage is not asked: the lines of a sketch are left alone"));
  piece_at_->setMinimumHeight(34);
  piece_at_->addItem(tr("any stage"), -1);
  for (int s = 0; s <= static_cast<int>(Stage::kFinish); ++s) piece_at_->addItem(StageName(static_cast<Stage>(s)), s);
  label->setBuddy(piece_at_);
  said->addWidget(label);
  said->addWidget(piece_at_, 1);
  connect(piece_at_, &QComboBox::activated, this, &CritiquePlace::DeclareStage);
  column->addLayout(said);
  column->addLayout(filters);

  headline_ = new QLabel(this);
  QFont large = font();
  large.setPointSizeF(large.pointSizeF() * 1.2);
  large.setBold(true);
  headline_->setFont(large);
  headline_->setWordWrap(true);
  column->addWidget(headline_);
  state_ = new QLabel(this);
  state_->setWordWrap(true);
  column->addWidget(state_);

  first_ = new Section(tr("Mend first"), true, this);
  first_->Heading()->hide();  // the headline says it
  column->addWidget(first_);
  notes_section_ = new Section(tr("Your notes beside it"), true, this);
  notes_ = new NotesBesideView(this);
  notes_section_->Body()->addWidget(notes_);
  column->addWidget(notes_section_);
  for (int i = 0; i < kListCount; ++i) {
    sections_[i] = new Section({}, false, this);
    column->addWidget(sections_[i]);
  }
  column->addStretch(1);

  ask_soon_.setSingleShot(true);
  ask_soon_.setInterval(300);
  connect(&ask_soon_, &QTimer::timeout, this, &CritiquePlace::Ask);
  rebuild_soon_.setSingleShot(true);
  rebuild_soon_.setInterval(0);
  connect(&rebuild_soon_, &QTimer::timeout, this, &CritiquePlace::Rebuild);
  connect(&runner_, &CritiqueRunner::Ready, this, &CritiquePlace::Took, Qt::QueuedConnection);
  connect(&document_, &Document::MarksChanged, this, [this] {
    if (here_) ask_soon_.start();
    rebuild_soon_.start();
  });
  connect(&document_, &Document::JudgementChanged, this, [this] { rebuild_soon_.start(); });
  connect(&document_, &Document::NotesChanged, this, [this] { rebuild_soon_.start(); });
  connect(&document_, &Document::StageChanged, this, [this] {
    ShowStage();
    if (here_) ask_soon_.start();
    rebuild_soon_.start();
  });
  connect(&document_, &Document::PictureReady, this, [this] {
    if (here_) ask_soon_.start();
    rebuild_soon_.start();
  });
  connect(notes_, &NotesBesideView::FindingChosen, this, &CritiquePlace::Choose);
  connect(notes_, &NotesBesideView::NoteChosen, this, [this](qint64 id) {
    for (const Note& note : document_.Current().notes)
      if (note.id == id && note.where_px) canvas_.CentreOn(note.where_px->center());
  });
  connect(notes_, &NotesBesideView::LinkAsked, this, [this](qint64 id) { LinkNote(id, true); });
  connect(notes_, &NotesBesideView::UnlinkAsked, this, [this](qint64 id) { LinkNote(id, false); });
  Rebuild();
}

CritiquePlace::~CritiquePlace() = default;

QString CritiquePlace::Help() const {
  return tr("Three things first: the most gain for the least time. Answer each: you agree, it is not so, or you meant it. "
            "What you meant or disagree with leaves the count and stays to be seen; every answer can be undone.");
}

void CritiquePlace::Enter() {
  here_ = true;
  if (!Fresh()) Ask();
  SayState();
  canvas_.update();
}

void CritiquePlace::Leave() {
  here_ = false;
  canvas_.update();
}

void CritiquePlace::SetRecord(ArtistRecord record) {
  record_ = std::move(record);
  rebuild_soon_.start();
}

std::string CritiquePlace::Key() const {
  if (!document_.Picture()) return {};
  Marks marks = document_.Current().marks;
  for (FigureMarks& f : marks.figures) f.meant.clear();  // declared, not measured
  std::erase_if(marks.figures, [](const FigureMarks& f) {
    return f.points.empty() && f.rings.empty() && f.areas.empty() && f.centre_front.empty();
  });
  std::string key = document_.Facts().sha256 + MarksToJson(marks);
  if (const auto stage = document_.Current().stage) key += Name(*stage);
  for (const auto& [figure, file] : document_.Current().characters) key += '\n' + figure + '\n' + file;
  return key;
}

bool CritiquePlace::Fresh() const { return result_ && result_key_ == Key(); }

void CritiquePlace::DeclareStage() {
  Work work = document_.Current();
  const int stage = piece_at_->currentData().toInt();
  work.stage = stage < 0 ? std::nullopt : std::optional(static_cast<Stage>(stage));
  document_.Change(tr("Stage of the piece"), std::move(work));
}

void CritiquePlace::ShowStage() {
  const auto stage = document_.Current().stage;
  piece_at_->setCurrentIndex(std::max(0, piece_at_->findData(stage ? static_cast<int>(*stage) : -1)));
}

void CritiquePlace::Ask() {
  if (!document_.Picture() || document_.Loading()) return;
  const std::string key = Key();
  if (key == asked_key_) return;
  asked_key_ = key;
  CritiqueRunner::Request request;
  request.revision = document_.MarksRevision();
  request.path = document_.Path();
  request.picture = document_.Source();
  request.marks = document_.Current().marks;
  request.stage = document_.Current().stage;
  request.characters = document_.Current().characters;
  runner_.Ask(std::move(request));
  SayState();
}

void CritiquePlace::Took(std::shared_ptr<const CritiqueResult> result) {
  if (asked_key_ != Key()) {  // a change came while it was measured: the next one is on the way
    if (here_ && !ask_soon_.isActive()) ask_soon_.start();
    return;
  }
  if (!result->failure.isEmpty()) {
    result_.reset();
    result_key_.clear();
    shown_ = {};
    asked_key_.clear();
    Rebuild();
    state_->setText(result->failure);
    state_->setVisible(true);
    return;
  }
  result_ = std::move(result);
  result_key_ = asked_key_;
  Rebuild();
  if (result_->measured.picture_checked) emit Measured(shown_);
}

void CritiquePlace::SayState() {
  QString text;
  if (!document_.Picture()) text = tr("Open a picture first.");
  else if (!result_) text = here_ ? tr("Measuring…") : QString();
  else if (!Fresh()) text = tr("This was measured before your last change. Measuring again…");
  else if (!result_->measured.picture_checked) text = tr("The figure is measured. Still looking at the picture itself…");
  else if (shown_.critique.held_back > 0)
    text = tr("Held back for a later stage: %1").arg(shown_.critique.held_back);
  if (result_) {
    if (Fresh() && !AnyFigure(document_)) {
      if (!text.isEmpty()) text += QLatin1Char('\n');
      text += tr("No figure is marked yet, so only the picture itself was looked at. "
                 "In the Mark place, “Propose all” makes a first guess of the marks.");
    }
    for (const std::string& trouble : result_->measured.trouble)
      text += (text.isEmpty() ? QString() : QStringLiteral("\n")) + QString::fromStdString(trouble);
  }
  state_->setText(text);
  state_->setVisible(!text.isEmpty());
}

FindingCard* CritiquePlace::AddCard(const Finding& finding, int number, bool may_answer, Section* section) {
  FindingCard::Content content;
  content.finding = finding;
  content.number = number;
  content.given = AnswerTo(finding, document_.Current());
  content.may_answer = may_answer;
  content.widening = WideningFor(record_, finding.id);
  // The reason already says it where the record made the finding an observation.
  if (finding.kind == Kind::kTaste) content.widening = {};
  if (const auto parent = shown_.critique.ParentOf(finding); !parent.empty())
    for (const Finding* f : shown_.critique.All())
      if (f->id == parent && f->figure == finding.figure) content.parent = QString::fromStdString(ShortTitle(*f));
  const QString key = AnswerKey(finding);
  auto* card = new FindingCard(std::move(content), document_.Picture(), number > 0 || unfolded_.contains(key), section);
  QStringList keys;
  for (const char* id : {"critique.agree", "critique.not_so", "critique.meant"})
    if (const QAction* action = commands_.Find(QLatin1String(id)))
      keys << action->shortcut().toString(QKeySequence::NativeText);
  card->SetKeys(keys);
  section->Body()->addWidget(card);
  cards_.push_back(card);
  connect(card, &FindingCard::Chosen, this, [this, card, key] {
    if (card->Unfolded()) unfolded_.insert(key);
    else unfolded_.erase(key);
    SetCurrent(card, false);
  });
  connect(card, &FindingCard::Answered, this, [this, card](Given answer) {
    SetCurrent(card, false);
    Answer(answer == Given::kNothing ? AnswerTo(card->TheFinding(), document_.Current()) : answer);
  });
  return card;
}

void CritiquePlace::Fill(Section* section, const QString& title, const std::vector<const Finding*>& findings,
                         bool may_answer) {
  section->SetTitle(title, static_cast<int>(findings.size()));
  for (const Finding* f : findings) AddCard(*f, 0, may_answer, section);
}

void CritiquePlace::Rebuild() {
  rebuild_soon_.stop();
  std::size_t was_at = 0;
  for (std::size_t i = 0; i < cards_.size(); ++i)
    if (AnswerKey(cards_[i]->TheFinding()) == current_key_) was_at = i;
  const bool had_focus = std::ranges::any_of(cards_, [](const FindingCard* c) {
    return c->hasFocus() || (c->focusWidget() && c->isAncestorOf(c->focusWidget()) && c->focusWidget()->hasFocus());
  });
  // Hiding the card with the focus hands the focus to the next one, which is about to go as well.
  for (FindingCard* card : cards_) card->blockSignals(true);
  cards_.clear();
  first_->Clear();
  for (auto& [list, section] : sections_) section->Clear();

  if (result_) {
    FindingFilter filter;
    if (const int k = kind_->currentData().toInt(); k >= 0) filter.kind = static_cast<Kind>(k);
    if (const int s = stage_->currentData().toInt(); s >= 0) filter.stage = static_cast<Stage>(s);
    shown_ = Arrange(result_->measured, document_.Current(), record_, filter);
  } else {
    shown_ = {};
  }
  const Critique& c = shown_.critique;
  headline_->setVisible(result_ != nullptr);
  headline_->setText(c.first.empty()       ? !result_ || !result_->measured.picture_checked ? tr("Nothing to mend so far")
                                             : AnyFigure(document_)                         ? tr("Nothing to mend was found")
                                                                    : tr("Nothing to mend in the picture itself")
                     : c.first.size() == 1 ? tr("One thing to mend")
                     : c.first.size() == 2 ? tr("Two things to mend first")
                                           : tr("Three things to mend first"));
  first_->setVisible(!c.first.empty());
  for (std::size_t i = 0; i < c.first.size(); ++i) AddCard(c.first[i], static_cast<int>(i) + 1, true, first_);
  std::vector<const Finding*> covered;
  for (const CoveredFinding& f : c.covered) covered.push_back(&f.finding);
  Fill(sections_[kRest], tr("More that is off"), Pointers(c.rest), true);
  Fill(sections_[kCovered], tr("Mended together with another"), covered, true);
  Fill(sections_[kObservations], tr("Observations, a matter of taste"), Pointers(c.observations), true);
  Fill(sections_[kCannotTell], tr("Cannot be told from this view"), Pointers(c.cannot_tell), false);
  Fill(sections_[kDisagreed], tr("You disagree"), Pointers(shown_.disagreed), true);
  Fill(sections_[kMeantList], tr("You meant it"), Pointers(c.meant), true);
  Fill(sections_[kKeepList], tr("What works"), Pointers(c.keep), false);
  Fill(sections_[kClearList], tr("Looked at and clear"), Pointers(c.clear), false);

  // The same finding stays in front; when it went elsewhere by an answer, the next one takes its place.
  FindingCard* now = nullptr;
  for (FindingCard* card : cards_) {
    const auto* section = qobject_cast<Section*>(card->parentWidget()->parentWidget());
    if (AnswerKey(card->TheFinding()) == current_key_ && (!section || section->IsOpen())) now = card;
  }
  if (!now && !cards_.empty()) now = cards_[std::min(was_at, cards_.size() - 1)];
  if (now)
    if (auto* section = qobject_cast<Section*>(now->parentWidget()->parentWidget()); section && !section->IsOpen())
      now = c.first.empty() ? nullptr : cards_.front();
  current_key_.clear();
  SetCurrent(now, false);
  if (now && had_focus) now->setFocus();
  RebuildNotes();
  SayState();
  canvas_.update();
}

void CritiquePlace::RebuildNotes() {
  std::vector<const Finding*> off;
  const Critique& c = shown_.critique;
  for (const auto* list : {&c.first, &c.rest})
    for (const Finding& f : *list) off.push_back(&f);
  for (const CoveredFinding& f : c.covered) off.push_back(&f.finding);
  // What works answers the artist's "keep" notes, but is not held against them as unseen.
  std::vector<const Finding*> all = off;
  const std::vector<Finding>& disagreed = shown_.disagreed;
  for (const auto* list : {&c.keep, &c.observations, &c.meant, &disagreed})
    for (const Finding& f : *list) all.push_back(&f);
  const auto& notes = document_.Current().notes;
  NotesBeside beside = CompareNotes(notes, all, NoteReachPx(c.picture.width, c.picture.height));
  std::erase_if(beside.only_tool, [&](const Finding* f) { return std::ranges::find(off, f) == off.end(); });
  notes_section_->setVisible(result_ != nullptr);
  const FindingCard* current = Current();
  notes_->Show(notes, beside, current ? QString::fromStdString(ShortTitle(current->TheFinding())) : QString());
}

FindingCard* CritiquePlace::Current() const {
  for (FindingCard* card : cards_)
    if (card->IsCurrent()) return card;
  return nullptr;
}

void CritiquePlace::SetCurrent(FindingCard* card, bool scroll) {
  const QString key = card ? AnswerKey(card->TheFinding()) : QString();
  const bool changed = key != current_key_;
  current_key_ = key;
  for (FindingCard* c : cards_) c->SetCurrent(c == card);
  if (card && scroll) {
    if (auto* section = qobject_cast<Section*>(card->parentWidget()->parentWidget())) section->SetOpen(true);
    card->setFocus(Qt::OtherFocusReason);
    for (QWidget* w = parentWidget(); w; w = w->parentWidget())
      if (auto* area = qobject_cast<QScrollArea*>(w)) {
        // After the layout has given a card that was just unfolded its height.
        QTimer::singleShot(0, card, [area, card] { area->ensureWidgetVisible(card, 0, 24); });
        break;
      }
  }
  if (changed && result_) QTimer::singleShot(0, this, &CritiquePlace::RebuildNotes);
  canvas_.update();
}

void CritiquePlace::Step(int by) {
  // Over what is open to be seen.
  std::vector<FindingCard*> open;
  for (FindingCard* card : cards_) {
    const auto* section = qobject_cast<Section*>(card->parentWidget()->parentWidget());
    if (!section || section->IsOpen()) open.push_back(card);
  }
  if (open.empty()) return;
  const auto at = std::ranges::find(open, Current());
  const auto last = static_cast<std::ptrdiff_t>(open.size()) - 1;
  const std::ptrdiff_t next = at == open.end() ? 0 : std::clamp<std::ptrdiff_t>(at - open.begin() + by, 0, last);
  SetCurrent(open[static_cast<std::size_t>(next)], true);
}

void CritiquePlace::Choose(const QString& answer_key) {
  for (FindingCard* card : cards_)
    if (AnswerKey(card->TheFinding()) == answer_key) {
      card->SetUnfolded(true);
      unfolded_.insert(answer_key);
      return SetCurrent(card, true);
    }
}

void CritiquePlace::Answer(Given answer) {
  const FindingCard* card = Current();
  if (!card || !card->MayAnswer() || !Fresh()) return;
  const Finding finding = card->TheFinding();
  const Given before = AnswerTo(finding, document_.Current());
  const bool back = answer == before;
  const QString title = QString::fromStdString(ShortTitle(finding));
  const QString text = back                      ? tr("Take back the answer to “%1”").arg(title)
                       : answer == Given::kAgree ? tr("Agree: “%1”").arg(title)
                       : answer == Given::kNotSo ? tr("Not so: “%1”").arg(title)
                                                 : tr("Meant: “%1”").arg(title);
  document_.Change(text, WithAnswer(document_.Current(), finding, back ? Given::kNothing : answer));
  Rebuild();
}

void CritiquePlace::LinkNote(qint64 id, bool link) {
  const FindingCard* card = Current();
  if (link && !card) return;
  Work work = document_.Current();
  for (Note& note : work.notes)
    if (note.id == id) note.finding = link ? QString::fromStdString(card->TheFinding().id) : QString();
  document_.Change(link ? tr("Link note") : tr("Unlink note"), std::move(work));
}

void CritiquePlace::ShowOnPicture() {
  const FindingCard* card = Current();
  if (!card || !document_.Picture()) return;
  const QRectF crop = CropFor(card->TheFinding(), document_.Picture()->Size(), QSizeF(canvas_.size()));
  canvas_.CentreOn(crop.center(), canvas_.width() / std::max(1.0, crop.width()));
}

void CritiquePlace::Paint(QPainter& painter, const QTransform& widget_from_picture) {
  if (!here_ || !Fresh()) return;
  if (const FindingCard* card = Current()) PaintShapes(painter, ShapesOf(card->TheFinding()), widget_from_picture, 2.5);
}

}  // namespace armslength::app
