#include "app/places/mark_place.h"

#include <algorithm>

#include <QComboBox>
#include <QCoreApplication>
#include <QFileDialog>
#include <QFileInfo>
#include <QGridLayout>
#include <QLabel>
#include <QListWidget>
#include <QStackedWidget>
#include <QVBoxLayout>

#include "app/places/figure_choices.h"
#include "app/places/point_order.h"
#include "app/session/words.h"
#include "app/window/commands.h"
#include "app/window/key_button.h"
#include "app/window/look_and_feel.h"
#include "marks/marks_file.h"

namespace armslength::app {
namespace {

const QString kGroup = QStringLiteral("mark");

QVBoxLayout* Column(QWidget* page) {
  auto* column = new QVBoxLayout(page);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(kGap);
  return column;
}

QString AreaKind(const char* english) { return QCoreApplication::translate("areas", english); }

const char* const kAreaKinds[] = {
    QT_TRANSLATE_NOOP("areas", "folds"), QT_TRANSLATE_NOOP("areas", "pattern"), QT_TRANSLATE_NOOP("areas", "focus"),
    QT_TRANSLATE_NOOP("areas", "shadow"), QT_TRANSLATE_NOOP("areas", "light"), QT_TRANSLATE_NOOP("areas", "hair"),
    QT_TRANSLATE_NOOP("areas", "skin"), QT_TRANSLATE_NOOP("areas", "material"), QT_TRANSLATE_NOOP("areas", "part"),
    QT_TRANSLATE_NOOP("areas", "figure")};

}  // namespace

MarkPlace::MarkPlace(Document& document, Canvas& canvas, MarkLayer& marks, OutlineLayer& outlines, Commands& commands,
                     QWidget* parent)
    : Place(parent), document_(document), canvas_(canvas), layer_(marks), outlines_(outlines) {
  AddCommands(commands);
  auto* column = Column(this);
  auto* kinds = new QGridLayout;
  kinds->setSpacing(kSmallGap);
  for (int i = 0; i < 4; ++i) kinds->addWidget(new KeyButton(what_actions_[i], this), i / 2, i % 2);
  column->addLayout(kinds);
  column->addSpacing(kGap);
  pages_ = new QStackedWidget(this);
  pages_->addWidget(MakePoints(commands));
  pages_->addWidget(MakeOutlines(commands));
  column->addWidget(pages_, 1);
  column->addSpacing(kSmallGap);
  MakeFigureRow(column, commands);

  connect(&proposer_, &Proposer::Failed, this, &MarkPlace::Message);
  connect(&proposer_, &Proposer::Ready, this,
          [this](std::shared_ptr<const Proposal> proposal) { TakeProposal(*proposal); });
  connect(&layer_, &MarkLayer::PointSet, this, [this] { AskNext(); });
  connect(&layer_, &MarkLayer::AskedChanged, this, &MarkPlace::Refresh);
  connect(&layer_, &MarkLayer::SelectionChanged, this, &MarkPlace::Refresh);
  connect(&outlines_, &OutlineLayer::DraftChanged, this, &MarkPlace::Refresh);
  connect(&document_, &Document::MarksChanged, this, &MarkPlace::Refresh);
  connect(&document_, &Document::PictureReady, this, [this](bool reloaded) {
    if (!reloaded) {
      skipped_.clear();
      proposer_.Cancel();  // its points are another picture's
    }
    if (here_) AskNext();
  });
}

void MarkPlace::AddCommands(Commands& c) {
  const auto key = [](const char* k) { return QKeySequence(QLatin1String(k)); };
  const auto what = [&](const char* id, const QString& text, const char* k, What w) {
    auto* a = c.Add(QLatin1String(id), kGroup, text, key(k), [this, w] { Show(w); });
    a->setCheckable(true);
    what_actions_[static_cast<int>(w)] = a;
  };
  what("mark.body", tr("Body"), "Q", What::kBody);
  what("mark.head", tr("Head"), "W", What::kHead);
  connect(what_actions_[1], &QAction::triggered, this, [this] { GoToHead(); });
  what("mark.rings", tr("Rings"), "E", What::kRings);
  what("mark.areas", tr("Areas"), "R", What::kAreas);
  c.Add(QStringLiteral("mark.accept"), kGroup, tr("Accept"), key("F"), [this] { Accept(); })
      ->setStatusTip(tr("Take the proposed place; without one, put the point in the middle of the view"));
  c.Add(QStringLiteral("mark.accept_all"), kGroup, tr("Accept all"), key("G"), [this] {
     layer_.AcceptAllProposed();
     AskNext();
   })->setStatusTip(tr("Put every proposed point; look at each before you trust it"));
  c.Add(QStringLiteral("mark.skip"), kGroup, tr("Skip"), key("D"), [this] { Skip(1); })
      ->setStatusTip(tr("Cannot be seen: ask for the next one"));
  c.Add(QStringLiteral("mark.back"), kGroup, tr("Back"), key("S"), [this] { Skip(-1); })
      ->setStatusTip(tr("Ask for the one before"));
  c.Add(QStringLiteral("mark.clear"), kGroup, tr("Clear"), key("A"), [this] { Clear(); })
      ->setStatusTip(tr("Take the chosen mark away"));
  auto* erase = c.Add(QStringLiteral("mark.delete"), kGroup, tr("Clear (also)"), QKeySequence::Delete, [this] { Clear(); });
  erase->setVisible(false);
  const auto depth = [&](const char* id, const QString& text, const char* k, Depth d, const QString& tip) {
    auto* a = c.Add(QLatin1String(id), kGroup, text, key(k), [this, d] { ToggleDepth(d); });
    a->setCheckable(true);
    a->setStatusTip(tip);
    depth_actions_.emplace_back(a, d);
  };
  depth("mark.toward", tr("Toward"), "1", Depth::kToward, tr("The limb that ends here comes toward you; again to leave it open"));
  depth("mark.flat", tr("Flat"), "2", Depth::kFlat, tr("The limb that ends here lies flat in the picture; again to leave it open"));
  depth("mark.away", tr("Away"), "3", Depth::kAway, tr("The limb that ends here goes away from you; again to leave it open"));
  c.Add(QStringLiteral("mark.swap"), kGroup, tr("Swap left, right"), key("X"), [this] {
     layer_.SwapSides();
   })->setStatusTip(tr("Left and right are the figure's own"));
  c.Add(QStringLiteral("mark.swap_limb"), kGroup, tr("Swap from here"), key("Shift+X"), [this] {
     layer_.SwapFromSelected();
   })->setStatusTip(tr("The chosen mark of an arm or leg and what hangs on it, with the other side"));
  auto* snap = c.AddToggle(QStringLiteral("mark.snap"), kGroup, tr("Snap to lines"), key("C"), [this](bool on) { layer_.SetSnapping(on); });
  snap->setChecked(true);
  snap->setStatusTip(tr("To the middle of a line, or an edge; hold Alt to set one mark without"));
  auto* body = c.AddToggle(QStringLiteral("mark.solved"), kGroup, tr("Solved figure"), key("T"),
                           [this](bool on) { layer_.SetBodyShown(on); });
  body->setChecked(true);
  c.Add(QStringLiteral("mark.finish"), kGroup, tr("Finish"), key("Return"), [this] {
    if (!outlines_.Finish()) emit Message(tr("More points are needed: three for an arc or an area, six for a whole ring"));
  });
  c.Add(QStringLiteral("mark.take_back"), kGroup, tr("Take back"), key("Shift+A"), [this] { outlines_.TakeBack(); });
  c.AddToggle(QStringLiteral("mark.whole_ring"), kGroup, tr("Whole"), key("Shift+E"),
              [this](bool on) { outlines_.SetWholeRing(on); })
      ->setStatusTip(tr("Six or more points, ended by Finish, instead of an arc of three"));
  c.Add(QStringLiteral("mark.next_figure"), kGroup, tr("Next figure"), key("Shift+R"), [this] { NextFigure(); });
  c.Add(QStringLiteral("mark.copy"), kGroup, tr("Copy marks..."), key("Shift+C"), [this] { PickMarksFile(); })
      ->setStatusTip(tr("From the marks file of an earlier version of this picture"));
  c.Add(QStringLiteral("mark.propose"), kGroup, tr("Propose all"), key("Z"), [this] { Propose(); })
      ->setStatusTip(tr("A first guess of every mark, for you to accept, drag or clear; points you set stay"));
}

QWidget* MarkPlace::MakePoints(Commands& commands) {
  auto* page = new QWidget(this);
  auto* column = Column(page);
  const auto button = [&](const char* id, KeyButton::Weight w = KeyButton::Weight::kPlain) {
    return new KeyButton(commands.Find(QLatin1String(id)), page, w);
  };
  caption_ = QuietText(tr("Set the"), page);
  column->addWidget(caption_);
  asked_ = new QLabel(page);
  QFont big = asked_->font();
  big.setPointSizeF(big.pointSizeF() * 1.5);
  big.setBold(true);
  asked_->setFont(big);
  asked_->setWordWrap(true);
  asked_->setMinimumHeight(QFontMetrics(big).height() * 2);
  asked_->setAlignment(Qt::AlignLeft | Qt::AlignTop);
  column->addWidget(asked_);
  auto* keys = new QGridLayout;
  keys->setSpacing(kSmallGap);
  keys->addWidget(button("mark.accept", KeyButton::Weight::kStrong), 0, 0);
  keys->addWidget(button("mark.accept_all"), 0, 1);
  keys->addWidget(button("mark.skip"), 1, 0);
  keys->addWidget(button("mark.back"), 1, 1);
  keys->addWidget(button("mark.clear"), 2, 0);
  keys->addWidget(button("mark.swap"), 2, 1);
  keys->addWidget(button("mark.snap"), 3, 0);
  keys->addWidget(button("mark.solved"), 3, 1);
  column->addLayout(keys);
  state_ = QuietText({}, page);
  column->addWidget(state_);
  list_ = new QListWidget(page);
  list_->setAccessibleName(tr("Points"));
  list_->setMinimumHeight(96);
  list_->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Ignored);
  column->addWidget(list_, 1);
  connect(list_, &QListWidget::currentRowChanged, this, [this](int row) {
    if (filling_ || row < 0 || row >= static_cast<int>(Order().size())) return;
    const PointId id = Order()[static_cast<std::size_t>(row)];
    const FigureMarks* figure = ActiveFigureOf(document_);
    skipped_.erase({document_.ActiveFigure(), id});
    if (figure && figure->Has(id))
      layer_.Select(id);
    else
      layer_.SetAsked(id);
  });
  depth_label_ = QuietText({}, page);
  column->addWidget(depth_label_);
  depth_label_->setMinimumHeight(2 * fontMetrics().lineSpacing());
  depth_label_->setAlignment(Qt::AlignLeft | Qt::AlignBottom);
  auto* depth = new QHBoxLayout;
  depth->setSpacing(kSmallGap);
  for (const char* id : {"mark.toward", "mark.flat", "mark.away"}) depth->addWidget(button(id));
  column->addLayout(depth);
  return page;
}

QWidget* MarkPlace::MakeOutlines(Commands& commands) {
  auto* page = new QWidget(this);
  auto* column = Column(page);
  outline_caption_ = new QLabel(page);
  outline_caption_->setWordWrap(true);
  column->addWidget(outline_caption_);
  around_ = new QComboBox(page);
  around_->setAccessibleName(tr("Part"));
  kind_ = new QComboBox(page);
  kind_->setAccessibleName(tr("Kind of area"));
  for (QComboBox* box : {kind_, around_}) {
    box->setMinimumHeight(34);
    column->addWidget(box);
    connect(box, &QComboBox::activated, this, [this] { SetOutlineKind(); });
  }
  for (const char* kind : kAreaKinds) kind_->addItem(AreaKind(kind), QLatin1String(kind));
  auto* keys = new QGridLayout;
  keys->setSpacing(kSmallGap);
  const char* ids[] = {"mark.finish", "mark.take_back", "mark.clear", "mark.whole_ring"};
  for (int i = 0; i < 4; ++i) {
    auto* button =
        new KeyButton(commands.Find(QLatin1String(ids[i])), page, i == 0 ? KeyButton::Weight::kStrong : KeyButton::Weight::kPlain);
    keys->addWidget(button, i / 2, i % 2);
    if (i == 3) whole_ = button;
  }
  for (int c : {0, 1}) keys->setColumnStretch(c, 1);
  column->addLayout(keys);
  outline_state_ = QuietText({}, page);
  column->addWidget(outline_state_);
  outline_list_ = new QListWidget(page);
  outline_list_->setAccessibleName(tr("Rings and areas"));
  outline_list_->setMinimumHeight(120);
  outline_list_->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Ignored);
  column->addWidget(outline_list_, 1);
  connect(outline_list_, &QListWidget::currentRowChanged, this, [this](int row) {
    const QListWidgetItem* item = outline_list_->item(row);
    if (!filling_) outlines_.Select(item ? item->data(Qt::UserRole).toInt() : -1);
  });
  return page;
}

void MarkPlace::MakeFigureRow(QVBoxLayout* column, Commands& commands) {
  auto* row = new QHBoxLayout;
  row->setSpacing(kSmallGap);
  row->addWidget(new KeyButton(commands.Find(QStringLiteral("mark.propose")), this));
  row->addWidget(new KeyButton(commands.Find(QStringLiteral("mark.copy")), this));
  column->addLayout(row);
  figure_ = new QComboBox(this);
  figure_->setAccessibleName(tr("Figure"));
  figure_->setMinimumHeight(34);
  column->addWidget(figure_);
  choices_ = new FigureChoices(document_, this);
  connect(choices_, &FigureChoices::Message, this, &MarkPlace::Message);
  column->addWidget(choices_);
  connect(figure_, &QComboBox::activated, this, [this](int index) {
    document_.SetActiveFigure(index);
    AskNext();
  });
}

QString MarkPlace::Help() const {
  return tr("Click where the named point lies on the drawing, or press Skip when it cannot be seen. After five points the "
            "solved figure proposes the others: accept, drag or clear each. For a limb that comes toward you or goes "
            "away, choose its end and press the key. Arrow keys move the chosen mark by a pixel, with Shift by ten.");
}

void MarkPlace::Enter() {
  here_ = true;
  choices_->Reread();  // files may have been added meanwhile
  Show(what_);
}

void MarkPlace::Leave() {
  here_ = false;
  layer_.SetEditable(false);
  layer_.SetShown(false);
  outlines_.SetDraws(OutlineLayer::Draws::kNothing);
  outlines_.SetShown(false);
}

void MarkPlace::Show(What what) {
  what_ = what;
  const bool points = what == What::kBody || what == What::kHead;
  pages_->setCurrentIndex(points ? 0 : 1);
  for (int i = 0; i < 4; ++i) what_actions_[i]->setChecked(static_cast<int>(what) == i);
  layer_.SetEditable(here_ && points);
  layer_.SetShown(here_ && points);
  layer_.SetPart(what == What::kHead ? MarkLayer::Part::kHead : MarkLayer::Part::kBody);
  outlines_.SetShown(here_ && !points);
  canvas_.SetMagnifier(here_);
  outlines_.SetDraws(!here_ || points ? OutlineLayer::Draws::kNothing
                     : what == What::kRings ? OutlineLayer::Draws::kRing
                                            : OutlineLayer::Draws::kArea);
  if (!points) {
    filling_ = true;
    around_->clear();
    if (what == What::kAreas) around_->addItem(tr("On no limb in particular"), QString());
    for (const std::string_view name : DepthBoneNames()) {
      const QString text = Spoken(*BoneFromName(name));
      around_->addItem(what == What::kRings ? tr("Round the %1").arg(text) : tr("On the %1").arg(text),
                       QString::fromUtf8(name.data(), static_cast<qsizetype>(name.size())));
    }
    if (what == What::kRings) around_->setCurrentIndex(std::max(0, around_->findData(QStringLiteral("neck"))));
    filling_ = false;
    SetOutlineKind();
  }
  kind_->setVisible(what == What::kAreas);
  whole_->setVisible(what == What::kRings);  // an area is always whole
  list_->clear();
  AskNext();
  Refresh();
}

void MarkPlace::GoToHead() {
  // The face is small on a whole figure: go there, once the head's place is known.
  const FigureMarks* figure = ActiveFigureOf(document_);
  const auto crown = figure ? figure->At(PointId::kCrown) : std::nullopt;
  const auto chin = figure ? figure->At(PointId::kChin) : std::nullopt;
  if (!crown || !chin) return;
  const double head_px = (*crown - *chin).norm();
  const Vec2 middle = (*crown + *chin) / 2.0;
  if (head_px > 1.0) canvas_.CentreOn({middle.x(), middle.y()}, 0.55 * canvas_.height() / head_px);
}

void MarkPlace::SetOutlineKind() {
  if (what_ == What::kRings) outlines_.SetRing(around_->currentData().toString());
  outlines_.SetArea(kind_->currentData().toString(), around_->currentData().toString());
}

std::span<const PointId> MarkPlace::Order() const { return what_ == What::kHead ? HeadOrder() : BodyOrder(); }

void MarkPlace::SetReading(std::shared_ptr<const LiveResult> result) {
  result_ = std::move(result);
  Refresh();
}

std::optional<PointId> MarkPlace::NextOpen(std::ptrdiff_t from) const {
  const FigureMarks* figure = ActiveFigureOf(document_);
  const auto order = Order();
  const auto count = static_cast<std::ptrdiff_t>(order.size());
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    const PointId id = order[static_cast<std::size_t>((from + i) % count)];
    if ((!figure || !figure->Has(id)) && !skipped_.contains({document_.ActiveFigure(), id})) return id;
  }
  return {};
}

void MarkPlace::AskNext() { layer_.SetAsked(NextOpen(0)); }

void MarkPlace::Skip(int direction) {
  const auto order = Order();
  const auto now = layer_.Selected() && !layer_.Asked() ? layer_.Selected() : layer_.Asked();
  auto at = now ? std::ranges::find(order, *now) - order.begin() : direction > 0 ? -1 : static_cast<std::ptrdiff_t>(order.size());
  at += direction;
  const FigureMarks* figure = ActiveFigureOf(document_);
  if (direction > 0) {  // it cannot be seen: it is not asked again until the artist goes back to it
    if (now && (!figure || !figure->Has(*now))) skipped_.insert({document_.ActiveFigure(), *now});
    if (const auto next = NextOpen(std::max<std::ptrdiff_t>(at, 0))) {
      layer_.Select(std::nullopt);
      layer_.SetAsked(next);
      return;
    }
    if (now && skipped_.contains({document_.ActiveFigure(), *now})) {  // that was the last one
      layer_.Select(std::nullopt);
      layer_.SetAsked(std::nullopt);
      return;
    }
  }
  if (at < 0 || at >= static_cast<std::ptrdiff_t>(order.size())) return;
  const PointId id = order[static_cast<std::size_t>(at)];
  skipped_.erase({document_.ActiveFigure(), id});
  // A point that is set already is shown; a click then moves on by itself.
  layer_.Select(figure && figure->Has(id) ? std::optional<PointId>(id) : std::nullopt);
  layer_.SetAsked(id);
}

void MarkPlace::Accept() {
  const auto proposed = [&](PointId id) {
    const FigureMarks* f = ActiveFigureOf(document_);
    return f && std::ranges::find(f->proposed, id) != f->proposed.end();
  };
  if (layer_.Selected() && proposed(*layer_.Selected())) layer_.AcceptProposed(*layer_.Selected());
  else if (layer_.Asked()) return AcceptAsked();
  const auto next = std::ranges::find_if(Order(), proposed);  // the next one to look at
  if (next != Order().end()) layer_.Select(*next);
}

void MarkPlace::AcceptAsked() {
  const FigureMarks* figure = ActiveFigureOf(document_);
  const PointId id = *layer_.Asked();
  if (layer_.ProposedAt(id))
    layer_.AcceptProposed(id);
  else if (canvas_.HasPicture() && (!figure || !figure->Has(id)))
    layer_.SetPoint(id, canvas_.PictureFromWidget(QPointF(canvas_.width() / 2.0, canvas_.height() / 2.0)));
  layer_.Select(id);
  AskNext();
}

void MarkPlace::Clear() {
  if (what_ == What::kRings || what_ == What::kAreas) {
    if (outlines_.RemoveChosenPoint()) return;
    const QListWidgetItem* item = outline_list_->currentItem();
    if (item) outlines_.Remove(item->data(Qt::UserRole).toInt());
    return;
  }
  if (!layer_.Selected()) return;
  const PointId id = *layer_.Selected();
  layer_.ClearPoint(id);
  layer_.Select(std::nullopt);
  layer_.SetAsked(id);
}

void MarkPlace::ToggleDepth(Depth depth) {
  const auto chosen = layer_.Selected() ? layer_.Selected() : layer_.Asked();
  const auto bone = chosen ? BoneEndingIn(*chosen) : std::nullopt;
  if (!bone) {
    Refresh();  // the pressed button goes up again
    emit Message(tr("Choose the mark at the end of a limb first: elbow, wrist, fingertips, knee, ankle or toe"));
    return;
  }
  const FigureMarks* figure = ActiveFigureOf(document_);
  const auto now = figure ? figure->depth.find(*bone) : decltype(figure->depth.find(*bone)){};
  const bool same = figure && now != figure->depth.end() && now->second == depth;
  layer_.SetDepth(*bone, same ? std::nullopt : std::optional<Depth>(depth));
}

void MarkPlace::NextFigure() {
  const int count = static_cast<int>(document_.Current().marks.figures.size());
  document_.SetActiveFigure(count == 0 ? 0 : (document_.ActiveFigure() + 1) % (count + 1));
  AskNext();
}

void MarkPlace::Propose() {
  if (!document_.Source() || proposer_.Busy()) return;
  emit Message(tr("Looking for figures"));
  proposer_.Start(document_.Source());
}

void MarkPlace::TakeProposal(const Proposal& proposal) {
  if (proposal.figures.empty()) {
    emit Message(tr("No drawn figure was found; set the marks yourself"));
    return;
  }
  document_.Change(tr("Propose marks"), WithProposal(document_.Current(), proposal, document_.Facts()));
  AskNext();
  const bool undecided = std::ranges::any_of(proposal.figures, &ProposedFigure::undecided);
  emit Message(undecided ? tr("A first guess. Left and right may be the other way round: Swap exchanges all, Swap from here a limb from the chosen mark on")
                         : tr("A first guess: accept, drag or clear each mark"));
}

void MarkPlace::PickMarksFile() {
  if (!document_.Picture()) return;
  const QString path =
      QFileDialog::getOpenFileName(this, tr("Marks of an earlier version"), QFileInfo(document_.Path()).absolutePath(),
                                   tr("Marks (*.marks.json)"));
  if (path.isEmpty()) return;
  const QString trouble = CopyMarksFrom(path);
  emit Message(trouble.isEmpty() ? tr("Marks copied from %1").arg(QFileInfo(path).fileName()) : trouble);
}

QString MarkPlace::CopyMarksFrom(const QString& path) {
  if (!document_.Picture()) return tr("Open a picture first");
  auto marks = LoadMarks(path.toStdString());
  if (!marks) return QString::fromStdString(marks.error().Text());
  Work work = document_.Current();
  const MarkedPicture here = work.marks.picture;
  Work other;
  other.marks = std::move(*marks);
  other = Scaled(std::move(other), static_cast<double>(here.width) / other.marks.picture.width,
                 static_cast<double>(here.height) / other.marks.picture.height);
  work.marks.figures = std::move(other.marks.figures);
  document_.Change(tr("Copy marks"), std::move(work));
  AskNext();
  return {};
}

void MarkPlace::Refresh() {
  if (filling_) return;
  filling_ = true;
  const FigureMarks none;
  const FigureMarks* active = ActiveFigureOf(document_);
  const FigureMarks& figure = active ? *active : none;
  if (pages_->currentIndex() == 0)
    RefreshPoints(figure);
  else
    RefreshOutlines(figure);
  const auto& figures = document_.Current().marks.figures;
  figure_->clear();
  for (const auto& f : figures) figure_->addItem(QString::fromStdString(f.name));
  figure_->addItem(figures.empty() ? tr("First figure") : tr("Add a figure"));
  figure_->setCurrentIndex(std::min(document_.ActiveFigure(), figure_->count() - 1));
  choices_->Refresh();
  filling_ = false;
}

void MarkPlace::RefreshPoints(const FigureMarks& figure) {
  const auto order = Order();
  const bool looking = !layer_.Asked() && !figure.proposed.empty();
  const auto count = std::ranges::count_if(order, [&](PointId id) { return figure.Has(id); });
  asked_->setText(layer_.Asked() ? Spoken(*layer_.Asked())
                  : looking && layer_.Selected() ? Spoken(*layer_.Selected())
                  : looking                      ? tr("Look at each proposal")
                  : count < std::ssize(order)    ? tr("All that can be seen is set")
                                                 : tr("All points are set"));
  caption_->setText(layer_.Asked() ? tr("Set the") : looking && layer_.Selected() ? tr("Is it right?") : QString());
  QString state = tr("%1 of %2 points").arg(count).arg(order.size());
  if (!figure.proposed.empty()) state += tr(", %n still to be looked at", nullptr, static_cast<int>(figure.proposed.size()));
  const bool fresh = result_ && result_->revision == document_.MarksRevision();
  if (fresh && what_ == What::kBody && count >= 5 && !result_->reading.usable)
    state += QStringLiteral("\n") + QString::fromStdString(result_->reading.why_not);
  if (fresh && what_ == What::kHead && result_->head && !result_->head->usable)
    state += QStringLiteral("\n") + QString::fromStdString(result_->head->why_not);
  state_->setText(state);

  if (list_->count() != static_cast<int>(order.size())) {
    list_->clear();
    for (std::size_t i = 0; i < order.size(); ++i) list_->addItem(QString());
  }
  for (int i = 0; i < list_->count(); ++i) {
    const PointId id = order[static_cast<std::size_t>(i)];
    const bool proposed = std::ranges::find(figure.proposed, id) != figure.proposed.end();
    QString text = figure.Has(id) && !proposed ? QStringLiteral("\u2713  ")
                   : proposed || layer_.ProposedAt(id) ? QStringLiteral("\u25CC  ")
                                                       : QStringLiteral("\u2003  ");
    text += Spoken(id);
    if (const auto bone = BoneEndingIn(id); bone && figure.depth.contains(*bone)) {
      const Depth d = figure.depth.at(*bone);
      text += d == Depth::kToward ? tr(" (toward)") : d == Depth::kAway ? tr(" (away)") : tr(" (flat)");
    }
    list_->item(i)->setText(text);
  }
  const auto shown = layer_.Selected() ? layer_.Selected() : layer_.Asked();
  const auto at = shown ? std::ranges::find(order, *shown) : order.end();
  list_->setCurrentRow(at == order.end() ? -1 : static_cast<int>(at - order.begin()));
  const auto bone = shown ? BoneEndingIn(*shown) : std::nullopt;
  const auto depth = bone ? figure.depth.find(*bone) : figure.depth.end();
  for (auto [action, d] : depth_actions_) action->setChecked(depth != figure.depth.end() && depth->second == d);
  depth_label_->setText(bone ? tr("The %1 comes toward you, lies flat, or goes away").arg(Spoken(*bone))
                             : tr("Depth: choose the end of a limb"));
}

void MarkPlace::RefreshOutlines(const FigureMarks& figure) {
  if (what_ == What::kRings)
    outline_caption_->setText(
        tr("A collar, cuff, belt or hem as drawn: click one end, the middle of the bow, the other end."));
  else
    outline_caption_->setText(tr("Click round the region, then Finish, or click the first corner again."));
  outline_state_->setText(outlines_.DraftPoints() > 0 ? tr("%n point(s) so far", nullptr, outlines_.DraftPoints()) : QString());
  outline_state_->setVisible(outlines_.DraftPoints() > 0);
  const int row = outline_list_->currentRow();
  outline_list_->clear();
  const auto part = [](const std::string& name) {
    const auto bone = BoneFromName(name);
    return bone ? Spoken(*bone) : QString::fromStdString(name);
  };
  int index = 0;
  const auto add = [&](const QString& text, bool here) {
    if (here) (new QListWidgetItem(text, outline_list_))->setData(Qt::UserRole, index);
    ++index;
  };
  for (const Ring& r : figure.rings)
    add(tr("%1, round the %2").arg(QString::fromStdString(r.name), part(r.around)), what_ == What::kRings);
  for (const Area& a : figure.areas)
    add(a.on.empty() ? QString::fromStdString(a.name) : tr("%1, on the %2").arg(QString::fromStdString(a.name), part(a.on)),
        what_ == What::kAreas);
  outline_list_->setCurrentRow(std::min(row, outline_list_->count() - 1));
}

}  // namespace armslength::app
