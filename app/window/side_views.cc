#include "app/window/side_views.h"

#include <QAction>
#include <QHBoxLayout>
#include <QStackedWidget>
#include <QVBoxLayout>

#include "app/views/solid_view.h"
#include "app/views/standing_view.h"
#include "app/window/commands.h"
#include "app/window/key_button.h"
#include "app/window/look_and_feel.h"
#include "check/body/standing.h"
#include "words/say.h"

namespace armslength::app {

SideViews::SideViews(Commands& commands, QWidget* parent) : QWidget(parent) {
  setAutoFillBackground(true);
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(12, 12, 12, 12);
  column->setSpacing(kGap);
  auto* row = new QHBoxLayout;
  row->setSpacing(kSmallGap);
  const QString texts[] = {tr("Upright"), tr("Body turned"), tr("Head turned")};
  const char* ids[] = {"view.upright", "view.body_solid", "view.head_solid"};
  const char* keys[] = {"Ctrl+1", "Ctrl+2", "Ctrl+3"};
  for (int i = 0; i < 3; ++i) {
    choose_[i] = commands.Add(QLatin1String(ids[i]), kWindowGroup, texts[i], QKeySequence(QLatin1String(keys[i])),
                              [this, i] { SetView(i); });
    choose_[i]->setCheckable(true);
    row->addWidget(new KeyButton(choose_[i], this));
  }
  column->addLayout(row);
  stack_ = new QStackedWidget(this);
  stack_->addWidget(standing_ = new StandingView(stack_));
  stack_->addWidget(body_ = new SolidView(SolidView::Part::kBody, stack_));
  stack_->addWidget(head_ = new SolidView(SolidView::Part::kHead, stack_));
  column->addWidget(stack_, 1);
  setMinimumWidth(350);
  hide();
}

void SideViews::SetView(int index) {
  if (isVisible() && stack_->currentIndex() == index) {  // the same key closes it
    choose_[index]->setChecked(false);
    hide();
    return;
  }
  stack_->setCurrentIndex(index);
  for (int i = 0; i < 3; ++i) choose_[i]->setChecked(i == index);
  show();
  Refresh();
}

void SideViews::Show(std::shared_ptr<const LiveResult> result, bool stale) {
  result_ = std::move(result);
  stale_ = stale;
  if (isVisible()) Refresh();
}

void SideViews::showEvent(QShowEvent*) { Refresh(); }

void SideViews::Refresh() {
  const BodyReading* body = result_ && result_->reading.usable ? &result_->reading : nullptr;
  switch (stack_->currentIndex()) {
    case 0:
      standing_->Show(body ? std::optional<StandingFigure>(Straighten(*body)) : std::nullopt,
                      body ? QString::fromStdString(SayLater(body->canon.canon.title)) : QString(), stale_);
      break;
    case 1:
      body_->Show(body ? std::optional<BodyReading>(*body) : std::nullopt, result_ ? result_->head : std::nullopt, stale_);
      break;
    case 2:
      head_->Show(body ? std::optional<BodyReading>(*body) : std::nullopt, result_ ? result_->head : std::nullopt, stale_);
      break;
    default:
      break;
  }
}

}  // namespace armslength::app
