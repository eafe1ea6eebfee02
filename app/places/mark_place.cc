#include "app/places/mark_place.h"

#include <algorithm>

#include <QCheckBox>
#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QShortcut>
#include <QVBoxLayout>

#include "canon/canon.h"

namespace armslength::app {
namespace {

// The order asked for: the ones that fix size, turn and stance first, so that after five the
// body can be guessed.
constexpr PointId kOrder[] = {PointId::kCrown,     PointId::kChin,     PointId::kNeckPit,  PointId::kHipL,
                              PointId::kHipR,      PointId::kShoulderL, PointId::kShoulderR, PointId::kKneeL,
                              PointId::kAnkleL,    PointId::kKneeR,    PointId::kAnkleR,   PointId::kElbowL,
                              PointId::kWristL,    PointId::kElbowR,   PointId::kWristR,   PointId::kHandTipL,
                              PointId::kHandTipR,  PointId::kToeL,     PointId::kToeR};

QString Spoken(PointId id) { return QString::fromUtf8(SpokenName(id).data(), static_cast<qsizetype>(SpokenName(id).size())); }

// The bone that ends in a point: what a depth key on that mark means.
std::optional<BoneId> BoneEndingIn(PointId id) {
  for (int b = 0; b < kBoneCount; ++b) {
    const auto bone = static_cast<BoneId>(b);
    if (Side(bone) != 0 && Ends(bone).to == id) return bone;
  }
  return std::nullopt;
}

}  // namespace

MarkPlace::MarkPlace(Document& document, Canvas& canvas, MarkLayer& layer, QWidget* parent)
    : Place(parent), document_(document), canvas_(canvas), layer_(layer) {
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(12, 12, 12, 12);
  column->setSpacing(8);
  auto* caption = new QLabel(tr("Set the"), this);
  column->addWidget(caption);
  asked_ = new QLabel(this);
  QFont big = asked_->font();
  big.setPointSizeF(big.pointSizeF() * 1.5);
  big.setBold(true);
  asked_->setFont(big);
  asked_->setWordWrap(true);
  column->addWidget(asked_);
  state_ = new QLabel(this);
  state_->setWordWrap(true);
  column->addWidget(state_);

  auto* keys = new QHBoxLayout;
  keys->setSpacing(4);
  const auto button = [&](const QString& text, const QString& key, const QString& help, auto action) {
    auto* b = new QPushButton(text, this);
    b->setMinimumHeight(36);
    b->setToolTip(tr("%1 (%2)").arg(help, key));
    auto* shortcut = new QShortcut(QKeySequence(key), this);
    const auto act = [this, action] {
      if (here_) action();
    };
    connect(shortcut, &QShortcut::activated, this, act);
    connect(b, &QPushButton::clicked, this, act);
    return b;
  };
  keys->addWidget(button(tr("Accept"), QStringLiteral("F"), tr("Take the proposed place"), [this] {
    if (layer_.Asked()) {
      layer_.AcceptProposed(*layer_.Asked());
      AskNext();
    }
  }));
  keys->addWidget(button(tr("Skip"), QStringLiteral("D"), tr("Cannot be seen: ask for the next one"), [this] {
    const auto now = layer_.Asked();
    const auto* at = now ? std::ranges::find(kOrder, *now) : std::end(kOrder);
    const FigureMarks none;
    const auto& figures = document_.Current().marks.figures;
    const auto index = static_cast<std::size_t>(document_.ActiveFigure());
    const FigureMarks& figure = index < figures.size() ? figures[index] : none;
    if (at != std::end(kOrder)) ++at;
    while (at != std::end(kOrder) && figure.Has(*at)) ++at;
    layer_.SetAsked(at == std::end(kOrder) ? std::nullopt : std::optional<PointId>(*at));
    Refresh();
  }));
  accept_all_ = button(tr("Accept all"), QStringLiteral("G"), tr("Take every proposed place"), [this] {
    layer_.AcceptAllProposed();
    AskNext();
  });
  keys->addWidget(accept_all_);
  column->addLayout(keys);

  list_ = new QListWidget(this);
  list_->setAccessibleName(tr("Points"));
  column->addWidget(list_, 1);
  connect(list_, &QListWidget::currentRowChanged, this, [this](int row) {
    if (filling_ || row < 0) return;
    const auto id = kOrder[row];
    const auto& figures = document_.Current().marks.figures;
    const auto index = static_cast<std::size_t>(document_.ActiveFigure());
    if (index < figures.size() && figures[index].Has(id))
      layer_.Select(id);
    else
      layer_.SetAsked(id);
  });
  auto* clear = new QShortcut(QKeySequence::Delete, this);
  connect(clear, &QShortcut::activated, this, [this] {
    if (here_ && layer_.Selected()) {
      const PointId id = *layer_.Selected();
      layer_.ClearPoint(id);
      layer_.Select(std::nullopt);
      layer_.SetAsked(id);
    }
  });

  auto* depth_label = new QLabel(tr("The limb that ends in the chosen mark comes"), this);
  depth_label->setWordWrap(true);
  column->addWidget(depth_label);
  auto* depth = new QHBoxLayout;
  depth->setSpacing(4);
  depth->addWidget(button(tr("Toward"), QStringLiteral("1"), tr("Toward the viewer"), [this] { ToggleDepth(Depth::kToward); }));
  depth->addWidget(button(tr("Flat"), QStringLiteral("2"), tr("In the picture's plane"), [this] { ToggleDepth(Depth::kFlat); }));
  depth->addWidget(button(tr("Away"), QStringLiteral("3"), tr("Away from the viewer"), [this] { ToggleDepth(Depth::kAway); }));
  column->addLayout(depth);

  auto* more = new QHBoxLayout;
  more->setSpacing(4);
  more->addWidget(button(tr("Swap left and right"), QStringLiteral("X"), tr("The figure's own sides"), [this] { layer_.SwapSides(); }));
  auto* snapping = new QCheckBox(tr("Snap"), this);
  snapping->setChecked(true);
  snapping->setToolTip(tr("To the middle of a line, or an edge. Hold Alt to set a mark without."));
  connect(snapping, &QCheckBox::toggled, this, [this](bool on) { layer_.SetSnapping(on); });
  more->addWidget(snapping);
  column->addLayout(more);

  auto* who = new QHBoxLayout;
  figure_ = new QComboBox(this);
  figure_->setAccessibleName(tr("Figure"));
  figure_->setMinimumHeight(32);
  who->addWidget(figure_, 1);
  connect(figure_, &QComboBox::activated, this, [this](int index) {
    document_.SetActiveFigure(index);
    AskNext();
  });
  column->addLayout(who);
  canon_ = new QComboBox(this);
  canon_->setAccessibleName(tr("Canon"));
  canon_->setMinimumHeight(32);
  canon_->addItem(tr("Canon: not declared"), QString());
  for (const Canon& canon : BuiltInCanons())
    canon_->addItem(QString::fromStdString(canon.title), QString::fromStdString(canon.name));
  connect(canon_, &QComboBox::activated, this, [this](int row) {
    Work work = document_.Current();
    auto& figures = work.marks.figures;
    const auto index = static_cast<std::size_t>(document_.ActiveFigure());
    if (index >= figures.size()) return;
    figures[index].canon = canon_->itemData(row).toString().toStdString();
    document_.Change(tr("Declare canon"), std::move(work));
  });
  column->addWidget(canon_);

  connect(&layer_, &MarkLayer::PointSet, this, [this] { AskNext(); });
  connect(&layer_, &MarkLayer::AskedChanged, this, &MarkPlace::Refresh);
  connect(&layer_, &MarkLayer::SelectionChanged, this, &MarkPlace::Refresh);
  connect(&document_, &Document::MarksChanged, this, &MarkPlace::Refresh);
}

void MarkPlace::Enter() {
  here_ = true;
  layer_.SetEditable(true);
  AskNext();
}

void MarkPlace::Leave() {
  here_ = false;
  layer_.SetEditable(false);
}

void MarkPlace::SetReading(std::shared_ptr<const LiveResult> result) {
  result_ = std::move(result);
  Refresh();
}

void MarkPlace::AskNext() {
  const auto& figures = document_.Current().marks.figures;
  const auto index = static_cast<std::size_t>(document_.ActiveFigure());
  for (const PointId id : kOrder)
    if (index >= figures.size() || !figures[index].Has(id)) {
      layer_.SetAsked(id);
      return;
    }
  layer_.SetAsked(std::nullopt);
}

void MarkPlace::ToggleDepth(Depth depth) {
  if (!layer_.Selected()) return;
  const auto bone = BoneEndingIn(*layer_.Selected());
  if (!bone) return;
  const auto& figure = document_.Current().marks.figures[static_cast<std::size_t>(document_.ActiveFigure())];
  const auto now = figure.depth.find(*bone);
  layer_.SetDepth(*bone, now != figure.depth.end() && now->second == depth ? std::nullopt : std::optional<Depth>(depth));
}

void MarkPlace::Refresh() {
  filling_ = true;
  const auto& figures = document_.Current().marks.figures;
  const auto index = static_cast<std::size_t>(document_.ActiveFigure());
  const FigureMarks none;
  const FigureMarks& figure = index < figures.size() ? figures[index] : none;

  asked_->setText(layer_.Asked() ? Spoken(*layer_.Asked()) : tr("All points are set"));
  QString state = tr("%1 of %2 points").arg(std::ranges::count_if(kOrder, [&](PointId id) { return figure.Has(id); })).arg(std::size(kOrder));
  if (result_ && result_->revision == document_.MarksRevision() && !result_->reading.usable)
    state += QStringLiteral("\n") + QString::fromStdString(result_->reading.why_not);
  state_->setText(state);

  if (list_->count() == 0)
    for (const PointId id : kOrder) list_->addItem(Spoken(id));
  for (int i = 0; i < list_->count(); ++i) {
    const PointId id = kOrder[i];
    QString text = Spoken(id);
    if (figure.Has(id))
      text = QStringLiteral("\u2713  ") + text;
    else if (layer_.ProposedAt(id))
      text = QStringLiteral("\u25CC  ") + text;
    else
      text = QStringLiteral("    ") + text;
    if (const auto bone = BoneEndingIn(id); bone && figure.depth.contains(*bone)) {
      const Depth d = figure.depth.at(*bone);
      text += d == Depth::kToward ? tr("  (toward)") : d == Depth::kAway ? tr("  (away)") : tr("  (flat)");
    }
    list_->item(i)->setText(text);
  }
  const auto shown = layer_.Selected() ? layer_.Selected() : layer_.Asked();
  if (shown)
    if (const auto* at = std::ranges::find(kOrder, *shown); at != std::end(kOrder))
      list_->setCurrentRow(static_cast<int>(at - std::begin(kOrder)));

  figure_->clear();
  for (const auto& f : figures) figure_->addItem(QString::fromStdString(f.name));
  figure_->addItem(figures.empty() ? tr("First figure") : tr("Add a figure"));
  figure_->setCurrentIndex(std::min(document_.ActiveFigure(), figure_->count() - 1));
  canon_->setCurrentIndex(std::max(0, canon_->findData(QString::fromStdString(figure.canon))));
  filling_ = false;
}

}  // namespace armslength::app
