#include "app/window/help_sheet.h"

#include <QEvent>
#include <QGridLayout>
#include <QLabel>
#include <QMouseEvent>
#include <QScrollArea>
#include <QScrollBar>
#include <QVBoxLayout>

#include "app/window/commands.h"
#include "app/window/look_and_feel.h"

namespace armslength::app {

HelpSheet::HelpSheet(const Commands& commands, QWidget* over) : QFrame(over), commands_(commands) {
  setObjectName(QStringLiteral("helpSheet"));
  setAutoFillBackground(true);
  setFrameShape(QFrame::StyledPanel);
  auto* whole = new QVBoxLayout(this);
  whole->setContentsMargins(0, 0, 0, 0);
  scroll_ = new QScrollArea(this);
  scroll_->setWidgetResizable(true);
  scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll_->setFocusPolicy(Qt::StrongFocus);
  page_ = new QWidget(scroll_);
  scroll_->setWidget(page_);
  whole->addWidget(scroll_);
  auto* column = new QVBoxLayout(page_);
  column->setContentsMargins(24, 20, 24, 20);
  column->setSpacing(kGap);
  title_ = Heading({}, page_);
  QFont big = title_->font();
  big.setPointSizeF(big.pointSizeF() * 1.3);
  title_->setFont(big);
  words_ = new QLabel(page_);
  words_->setWordWrap(true);
  column->addWidget(title_);
  column->addWidget(words_);
  column->addSpacing(kGap);
  keys_ = new QGridLayout;
  keys_->setHorizontalSpacing(12);
  keys_->setVerticalSpacing(5);
  column->addLayout(keys_);
  column->addStretch(1);
  over->installEventFilter(this);
  hide();
}

void HelpSheet::ShowFor(const QString& group, const QString& title, const QString& words) {
  title_->setText(title);
  words_->setText(words);
  while (QLayoutItem* item = keys_->takeAt(0)) {
    delete item->widget();
    delete item;
  }
  std::vector<const QAction*> shown;
  for (const QString& g : {group, kWindowGroup})
    for (const Commands::Entry& e : commands_.All())
      if (e.group == g && e.action->isVisible() && !e.action->shortcut().isEmpty()) shown.push_back(e.action);
  const int rows = (static_cast<int>(shown.size()) + 1) / 2;
  for (int i = 0; i < static_cast<int>(shown.size()); ++i) {
    const int column = i / rows * 2;
    auto* key = new QLabel(shown[static_cast<std::size_t>(i)]->shortcut().toString(QKeySequence::NativeText), page_);
    QFont bold = key->font();
    bold.setBold(true);
    key->setFont(bold);
    key->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    keys_->addWidget(key, i % rows, column);
    keys_->addWidget(new QLabel(shown[static_cast<std::size_t>(i)]->text(), page_), i % rows, column + 1);
  }
  keys_->setColumnStretch(1, 1);
  keys_->setColumnStretch(3, 1);
  scroll_->verticalScrollBar()->setValue(0);
  Place();
  show();
  raise();
  if (page_->height() > scroll_->viewport()->height()) scroll_->setFocus();  // for the keys that scroll
}

void HelpSheet::Place() {
  const QWidget* over = parentWidget();
  const int wide = std::min(620, over->width() - 32);
  const int inside = wide - 2 * frameWidth();
  const int needed = std::max(page_->heightForWidth(inside), page_->sizeHint().height()) + 2 * frameWidth();
  const int high = std::min(needed, over->height() - 32);
  setGeometry((over->width() - wide) / 2, std::max(16, (over->height() - high) / 2), wide, high);
}

bool HelpSheet::eventFilter(QObject* watched, QEvent* event) {
  if (watched == parentWidget() && event->type() == QEvent::Resize && isVisible()) Place();
  return QFrame::eventFilter(watched, event);
}

void HelpSheet::mousePressEvent(QMouseEvent*) { hide(); }

}  // namespace armslength::app
