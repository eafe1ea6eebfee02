#include "app/window/message_line.h"

#include <algorithm>

#include <QAccessible>
#include <QEvent>
#include <QLabel>
#include <QPainter>

namespace armslength::app {
namespace {

constexpr int kEdge = 12;

}  // namespace

MessageLine::MessageLine(QWidget* over, QWidget* parent) : QWidget(parent), over_(over), whole_(new QLabel(over)) {
  setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
  setAccessibleName(tr("Message"));
  whole_->setTextFormat(Qt::PlainText);  // names come from files
  whole_->setWordWrap(true);
  whole_->setMargin(10);
  whole_->setAutoFillBackground(true);
  whole_->setFrameShape(QFrame::Box);
  whole_->setToolTip(tr("Press to put it away"));
  whole_->hide();
  whole_->installEventFilter(this);
  over_->installEventFilter(this);
}

void MessageLine::Say(const QString& text) {
  text_ = text;
  unread_ = !text.isEmpty();
  setToolTip(text);
  setAccessibleDescription(text);
  QAccessibleEvent told(this, QAccessible::Alert);
  QAccessible::updateAccessibility(&told);
  whole_->setText(text);
  Place();
  update();
}

void MessageLine::PutAway() {
  unread_ = false;
  Place();
}

QSize MessageLine::sizeHint() const { return {0, fontMetrics().height() + 2}; }

void MessageLine::Place() {
  const bool long_one = unread_ && width() > 0 && fontMetrics().horizontalAdvance(text_) > width();
  if (long_one) {
    const int wide = std::max(120, over_->width() - 2 * kEdge), high = whole_->heightForWidth(wide);
    whole_->setGeometry(kEdge, std::max(0, over_->height() - high - kEdge), wide, high);
    whole_->raise();
  }
  whole_->setVisible(long_one);
}

void MessageLine::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setPen(palette().color(QPalette::WindowText));
  painter.drawText(rect(), Qt::AlignLeft | Qt::AlignVCenter, fontMetrics().elidedText(text_, Qt::ElideRight, width()));
}

void MessageLine::resizeEvent(QResizeEvent*) { Place(); }

bool MessageLine::eventFilter(QObject* watched, QEvent* event) {
  if (watched == over_ && event->type() == QEvent::Resize) Place();
  if (watched == whole_ && event->type() == QEvent::MouseButtonPress) {
    PutAway();
    return true;
  }
  return QWidget::eventFilter(watched, event);
}

}  // namespace armslength::app
